"""A job folder of n photos as telephones take them: 12 megapixels, 3 to 6 MB, with EXIF of several cameras.

    python tests/bench/make_photos.py FOLDER [--photos 300] [--scenes 12] [--seed 1]

The pictures are drawn from a few scenes (clouded surfaces, hard edges, sensor noise); each file has bytes of its own by its
EXIF block, turned in four ways. Same arguments, same bytes. Needs numpy, pillow, piexif.
"""

from __future__ import annotations

import argparse
import io
import sys
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import piexif
from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs.make_good_minimal import PAPERS, PICTURES, TEXTS, paper
from jobs.pictures import picture

SIZE = (4000, 3000)
PER_STEP = 50  # photos in a step's folder
FIRST = datetime(2026, 3, 5, 9, 0)
CAMERAS = (("Norrsken", "N2 Phone", "+01:00"), ("Belmar", "C-40", ""), ("Lumet", "P1", ""))


@dataclass(frozen=True, slots=True)
class Scene:
    """An encoded picture without EXIF, and its thumbnail as cameras embed one."""

    jpeg: bytes
    thumbnail: bytes


def clouds(chance: np.random.Generator) -> np.ndarray:
    """Brightness whose spectrum falls with frequency as that of photographs does: sums of ever finer, ever fainter grids."""
    width, height = SIZE
    total = np.zeros((height, width), np.float32)
    cells, strength = 4, 40.0
    while cells < 2048:
        grid = chance.normal(0, strength, (cells * 3 // 4, cells)).astype(np.float32)
        total += np.asarray(Image.fromarray(grid).resize(SIZE, Image.Resampling.BILINEAR))
        cells, strength = cells * 2, strength * 0.7
    return total


def draw(seed: int) -> Scene:
    """One scene: a tinted surface, parts with hard edges, the noise of a small sensor."""
    chance = np.random.default_rng(seed)
    light = clouds(chance)
    tint = chance.uniform(0.75, 1.1, 3).astype(np.float32)
    image = Image.fromarray(np.clip(118 + light[..., None] * tint, 0, 255).astype(np.uint8))
    pen = ImageDraw.Draw(image)
    for _ in range(70):
        x, y = (int(v) for v in chance.integers(0, SIZE))
        w, h = (int(v) for v in chance.integers(30, 500, 2))
        colour = tuple(int(v) for v in chance.integers(15, 240, 3))
        shape = (pen.ellipse, pen.rectangle, pen.line)[int(chance.integers(3))]
        shape((x, y, x + w, y + h), fill=colour, width=int(chance.integers(1, 12)))
    noise = chance.normal(0, 3.2 + 2.4 * chance.random(), (SIZE[1], SIZE[0], 1))
    image = Image.fromarray(np.clip(np.asarray(image) + noise, 0, 255).astype(np.uint8))
    jpeg, thumbnail = io.BytesIO(), io.BytesIO()
    image.save(jpeg, "JPEG", quality=92)
    image.resize((320, 240)).save(thumbnail, "JPEG", quality=75)
    return Scene(jpeg.getvalue(), thumbnail.getvalue())


def exif(number: int, taken: datetime, thumbnail: bytes, orientation: int) -> bytes:
    """The block a camera would write for photo `number`, with a maker's note of bytes nobody can read."""
    make, model, offset = CAMERAS[number % len(CAMERAS)]
    when = taken.strftime("%Y:%m:%d %H:%M:%S")
    more: dict[int, object] = {
        piexif.ExifIFD.DateTimeOriginal: when, piexif.ExifIFD.DateTimeDigitized: when,
        piexif.ExifIFD.SubSecTimeOriginal: f"{number % 1000:03d}", piexif.ExifIFD.ISOSpeedRatings: 100 + number % 400,
        piexif.ExifIFD.ExposureTime: (1, 50 + number % 200), piexif.ExifIFD.FNumber: (18, 10),
        piexif.ExifIFD.MakerNote: np.random.default_rng(number).bytes(2000),
    }  # fmt: skip
    if offset:
        more[piexif.ExifIFD.OffsetTimeOriginal] = offset
    return bytes(piexif.dump({
        "0th": {piexif.ImageIFD.Make: make, piexif.ImageIFD.Model: model, piexif.ImageIFD.DateTime: when, piexif.ImageIFD.Orientation: orientation},
        "Exif": more, "1st": {piexif.ImageIFD.Compression: 6}, "thumbnail": thumbnail,
    }))  # fmt: skip


def make(folder: Path, photos: int, scenes: int, seed: int) -> None:
    """Write the small clean job of the tests, and steps of PER_STEP photos beside its own."""
    for name, text in TEXTS.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8", newline="")
    for name, lines in PAPERS.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(paper(*lines))
    for name, (title, taken) in PICTURES.items():
        picture(folder / name, title, taken)
    drawn = [draw(seed * 1000 + n) for n in range(min(scenes, photos))]
    for number in range(photos):
        step = number // PER_STEP
        home = folder / "steps" / f"{100 + 10 * step}-inspect"
        day = FIRST + timedelta(days=step % 10)
        if number % PER_STEP == 0:
            (home / "during").mkdir(parents=True)
            (home / "step.toml").write_text(
                f'title = "Inspect, part {step + 1}"\nzones = ["whole"]\noperation = "inspect"\nstarted = {day:%Y-%m-%d}\nfinished = {day:%Y-%m-%d}\n'
                'done_by = ["AB"]\nwork_done = "Looked at."\noutcome = "Noted."\n',
                encoding="utf-8",
            )
        at = number % len(drawn)
        scene, orientation = drawn[at], (1, 6, 1, 8, 3)[at % 5]  # of a scene one only: no photo is another one turned
        out = io.BytesIO()
        taken = day + timedelta(minutes=number % PER_STEP)
        piexif.insert(exif(number, taken, scene.thumbnail, orientation), scene.jpeg, out)
        (home / "during" / f"IMG_{number:05d}.jpg").write_bytes(out.getvalue())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--photos", type=int, default=300)
    parser.add_argument("--scenes", type=int, default=12)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    make(given.folder, given.photos, given.scenes, given.seed)


if __name__ == "__main__":
    main()
