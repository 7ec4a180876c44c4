"""Faults that show in a picture itself, or in what its file says of its making: code -> the edit that plants it."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime

import piexif
from jobs.pictures import CAMERA
from jobs.planting import OTHER_STEP, STEP, Edit, Folder
from PIL import Image, ImageEnhance, ImageFilter, ImageOps

AFTER = f"{OTHER_STEP}/after/grille.jpg"
BEFORE = f"{OTHER_STEP}/before/grille.jpg"
WHEN = datetime(2026, 3, 5, 10, 50)

Change = Callable[[Image.Image], Image.Image]
Tags = dict[int, object]


def exif_block(taken: datetime | None, main: Tags | None = None, camera: str = CAMERA) -> bytes:
    """An EXIF block. main: further tags of its first directory. taken: None for none."""
    more = {piexif.ExifIFD.DateTimeOriginal: taken.strftime("%Y:%m:%d %H:%M:%S")} if taken else {}
    return bytes(piexif.dump({"0th": {piexif.ImageIFD.Model: camera, **(main or {})}, "Exif": more}))


def saved(image: Image.Image, exif: bytes = b"", quality: int = 60) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, optimize=True, exif=exif)
    return out.getvalue()


def opened(folder: Folder, name: str) -> Image.Image:
    """The picture as seen, in RGB, without its metadata."""
    with Image.open(folder.path(name)) as image:
        return ImageOps.exif_transpose(image).convert("RGB")


def remade(target: str = AFTER, change: Change = lambda i: i, source: str = "", taken: datetime | None = WHEN, **main: object) -> Edit:
    """Write target anew from source (default: itself), changed. main: EXIF tags by name."""

    def edit(folder: Folder) -> None:
        tags: Tags = {getattr(piexif.ImageIFD, name): value for name, value in main.items()}
        folder.write(target, saved(change(opened(folder, source or target)), exif_block(taken, tags)))

    return edit


def window(left: float, top: float, side: float) -> Change:
    """Cut out a part, of the picture's own shape; all three as shares of it."""

    def cut(image: Image.Image) -> Image.Image:
        width, height = image.size
        return image.crop((round(left * width), round(top * height), round((left + side) * width), round((top + side) * height)))

    return cut


def blur(share: float) -> Change:
    """Blur with a radius that is a share of the width."""
    return lambda image: image.filter(ImageFilter.GaussianBlur(share * image.width))


def light(factor: float) -> Change:
    return lambda image: ImageEnhance.Brightness(image).enhance(factor)


def turned(angle: int) -> Change:
    """As a copy without the tag that says how the camera was held."""
    return lambda image: image.rotate(angle, expand=True)


def without_camera(folder: Folder) -> None:
    folder.write(AFTER, saved(opened(folder, AFTER)))


PLANTS: dict[str, Edit] = {
    "photos.same-shot": remade(source=BEFORE),
    "photos.cropped": remade(source=BEFORE, change=window(0.06, 0.1, 0.84)),
    "photos.saved-again": remade(f"{OTHER_STEP}/during/view.jpg", source=f"{STEP}/after/hose.jpg", taken=datetime(2026, 3, 5, 10, 0)),
    "photos.mirrored": remade(f"{OTHER_STEP}/during/grille.jpg", ImageOps.mirror, BEFORE, datetime(2026, 3, 5, 10, 0)),
    "photos.turned": remade(f"{OTHER_STEP}/during/grille.jpg", turned(90), BEFORE, datetime(2026, 3, 5, 10, 0)),
    "photos.blurred": remade(change=blur(0.01)),
    "photos.too-dark": remade(change=light(0.1)),
    "photos.burnt-out": remade(change=lambda image: image.point(lambda v: min(255, v * 4 + 60))),
    "photos.no-camera-data": without_camera,
    "photos.no-time": remade(taken=None),
    "photos.edited": remade(DateTime="2026:03:06 20:15:00", Software="Retouch"),
}
