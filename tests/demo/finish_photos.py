"""Puts rendered pictures in the place of the drawn ones of the demo job.

Run: `python tests/demo/finish_photos.py RENDERS [JOB] [--only PART ...] [--write]`. RENDERS holds `<path under steps/>.png`.
Each picture takes over the EXIF block of the photo of the same name (times, offsets, orientation, camera, position) and is
stored turned the same way, so that the record does not change; those of AS_HEIC become HEIC (needs pillow-heif). A pair (same zone and stem before and after) is replaced
whole or not at all. Without --write it only says what it would do.
"""

from __future__ import annotations

import argparse
import io
import zlib
from pathlib import Path

import numpy as np
import piexif
import pillow_heif
from PIL import Image, ImageFilter

TURNED = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}
QUALITIES = (86, 84, 82, 80, 78, 75)
LARGEST = 450 * 1024
AS_HEIC = frozenset({"060-paint-bonnet-wing/during/bonnet/primer"})  # as some phones write; upright, as HEIC has its own way of turning


def develop(render: Image.Image, seed: int) -> Image.Image:
    """What a small camera adds: a little fall-off to the corners, softness, noise in the shadows, its own white balance."""
    rng = np.random.default_rng(seed)
    soft = render.convert("RGB").filter(ImageFilter.GaussianBlur(0.45))
    a = np.asarray(soft, dtype=np.float32) / 255
    h, w = a.shape[:2]
    y, x = np.mgrid[-1 : 1 : h * 1j, -1 : 1 : w * 1j]
    a = a * (1 - 0.13 * ((x * x + y * y) / 2) ** 1.4)[..., None].astype(np.float32)
    a = a * (1 + rng.normal(0, 0.012, 3)).astype(np.float32)
    grey = a.mean(2, keepdims=True)
    strength = (0.012 + 0.014 * (1 - grey)).astype(np.float32)
    fine = rng.standard_normal((h, w, 1), dtype=np.float32) + 0.45 * rng.standard_normal((h, w, 3), dtype=np.float32)
    return Image.fromarray(np.clip((a + strength * fine) * 255 + 0.5, 0, 255).astype(np.uint8))


def finished(render: Path, photo: Path, name: str) -> bytes:
    """The file that replaces photo, of the kind its name in AS_HEIC asks for."""
    exif = piexif.load(pillow_heif.open_heif(photo).info["exif"] if photo.suffix == ".heic" else str(photo))
    orientation = exif["0th"].get(piexif.ImageIFD.Orientation, 1)
    block = piexif.dump(exif)
    with Image.open(render) as im:
        seen = develop(im, zlib.crc32(name.encode()))
    turn = TURNED[orientation]
    stored = seen if turn is None else seen.transpose(turn)
    if name in AS_HEIC:
        if orientation != 1:
            raise SystemExit(f"{name}: orientation {orientation}, but HEIC is written upright only")
        out = io.BytesIO()
        pillow_heif.from_pillow(stored).save(out, quality=45, exif=block)
        return out.getvalue()
    for quality in QUALITIES:
        out = io.BytesIO()
        stored.save(out, "JPEG", quality=quality, subsampling=2, optimize=True, exif=block)
        if len(out.getvalue()) <= LARGEST:
            break
    return out.getvalue()


def partner(name: str, names: set[str]) -> set[str]:
    """The pictures that must be of one kind with this one: same step, zone and stem; the whole car from the same place."""
    if "/whole/" in name:
        return {n for n in names if "/whole/" in n and n.rpartition("/")[2] == name.rpartition("/")[2]}
    if name.endswith("/instruments/odometer"):
        return {n for n in names if n.endswith("/instruments/odometer")}
    step, _, rest = name.partition("/")
    stage, _, rest = rest.partition("/")
    return {name} if stage == "during" else {n for n in names if n in (f"{step}/before/{rest}", f"{step}/after/{rest}")}


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("renders", type=Path)
    ask.add_argument("job", type=Path, nargs="?", default=Path(__file__).resolve().parents[2] / "demo_job")
    ask.add_argument("--only", nargs="*", default=[])
    ask.add_argument("--leave", nargs="*", default=[])
    ask.add_argument("--write", action="store_true")
    opt = ask.parse_args()
    steps = opt.job / "steps"
    photos = {p.relative_to(steps).with_suffix("").as_posix(): p for p in sorted(steps.rglob("*")) if p.suffix in (".jpg", ".heic")}
    names = set(photos)
    have = {n for n in names if (opt.renders / f"{n}.png").exists() and not any(part in n for part in opt.leave)}
    take = sorted(n for n in have if partner(n, names) <= have and (not opt.only or any(part in n for part in opt.only)))
    made = {n: finished(opt.renders / f"{n}.png", photos[n], n) for n in take}  # all before the first is written
    for n in take:
        print(f"{len(made[n]) / 1024:6.0f} KB  {n}")
        if opt.write:
            (steps / n).with_suffix(".heic" if n in AS_HEIC else ".jpg").write_bytes(made[n])
            if n in AS_HEIC and photos[n].suffix == ".jpg":
                photos[n].unlink()
    print(f"{len(take)} of {len(names)} pictures, {sum(map(len, made.values())) / 1e6:.1f} MB; left drawn: {', '.join(sorted(names - set(take))) or 'none'}")


if __name__ == "__main__":
    main()
