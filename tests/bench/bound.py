"""What any program must do once for a job's photos, and nothing more: the bound that `compile --draft` is held against.

    python tests/bench/bound.py JOB OUT [--placed 300]

For each photo: one read, SHA-256 (OpenSSL), EXIF, one scaled decode, two reductions, two JPEGs of quality 85, a
difference hash; two processes. Then a PDF of the larger renditions, their JPEG bytes as they are, and a list of hashes.
Decoding, reductions and encoding are Pillow's with the same settings as the program's, so that only the rest differs.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import multiprocessing
import os
from pathlib import Path

from PIL import Image

EDGES = (1600, 400)
TURN = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_270, 8: Image.Transpose.ROTATE_90}
EXIF_IFD, ORIENTATION, TAKEN = 0x8769, 0x0112, 0x9003
Result = tuple[str, str, str, int, tuple[int, int]]


def fitted(size: tuple[int, int], edge: int) -> tuple[int, int]:
    scale = min(1.0, edge / max(size))
    return round(size[0] * scale), round(size[1] * scale)


def one_photo(task: tuple[str, str]) -> Result:
    """Hash, EXIF, renditions and difference hash of one photo. task: its path, and the stem of what is made of it."""
    path, stem = task
    data = Path(path).read_bytes()
    digest = hashlib.sha256(data).hexdigest()
    image = Image.open(io.BytesIO(data))
    exif = image.getexif()
    taken, turn = str(exif.get_ifd(EXIF_IFD).get(TAKEN, "")), TURN.get(exif.get(ORIENTATION, 1))
    large_size = fitted(image.size, EDGES[0])
    image.draft("RGB", (large_size[0] * 11 // 10, large_size[1] * 11 // 10))
    large = image.convert("RGB").resize(large_size, Image.Resampling.BICUBIC)
    if turn is not None:
        large = large.transpose(turn)
    small = large.resize(fitted(large.size, EDGES[1]), Image.Resampling.LANCZOS, reducing_gap=2.0)
    for edge, rendition in zip(EDGES, (large, small), strict=True):
        rendition.save(f"{stem}-{edge}.jpg", quality=85)
    cells = small.convert("L").resize((9, 8), Image.Resampling.LANCZOS).tobytes()
    dhash = sum((cells[9 * (n // 8) + n % 8] < cells[9 * (n // 8) + n % 8 + 1]) << n for n in range(64))
    return path, digest, taken, dhash, large.size


def write_pdf(renditions: list[str], sizes: list[tuple[int, int]], out: Path) -> None:
    """Two photos a page."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0
    canvas = Canvas(str(out), pagesize=(595, 842))
    for number, (rendition, (width, height)) in enumerate(zip(renditions, sizes, strict=True)):
        scale = min(480 / width, 360 / height)
        canvas.drawImage(rendition, 57, 440 - 400 * (number % 2), width * scale, height * scale)
        if number % 2:
            canvas.showPage()
    canvas.save()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("job", type=Path)
    parser.add_argument("out", type=Path, help="a folder that is not there yet")
    parser.add_argument("--placed", type=int, default=300, help="photos in the PDF at most")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    given.out.mkdir(parents=True)
    photos = sorted(str(p) for p in given.job.rglob("*.jpg"))
    tasks = [(path, f"{given.out}{os.sep}{number:05d}") for number, path in enumerate(photos)]
    with multiprocessing.get_context("fork").Pool(given.workers) as pool:
        results = list(pool.imap(one_photo, tasks, 4))
    placed = results[: given.placed]
    write_pdf([f"{stem}-{EDGES[0]}.jpg" for _, stem in tasks[: len(placed)]], [r[4] for r in placed], given.out / "bound.pdf")
    lines = (f"{digest}  {Path(path).relative_to(given.job).as_posix()}\n" for path, digest, *_ in results)
    (given.out / "manifest-sha256.txt").write_text("".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
