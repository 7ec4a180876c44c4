"""Small pictures drawn by program for the jobs of the tests: distinct, dated, and the same bytes each time."""

from __future__ import annotations

import io
import random
from datetime import datetime
from pathlib import Path

import piexif
from PIL import Image, ImageDraw

CAMERA = "Lumet P1"


def picture(
    path: Path,
    title: str,
    taken: datetime | str | None,
    *,
    size: tuple[int, int] = (1200, 900),
    camera: str = CAMERA,
    orientation: int = 1,
    offset: str = "",
    quality: int = 40,
) -> None:
    """Draw a JPEG whose content follows from its title (same title, same picture).

    taken: EXIF time of capture in the camera's own clock, text to write it as it is, None for no EXIF at all.
    offset: EXIF offset from UTC, as "+01:00".
    """
    drawn = _scene(title, size)
    kept = io.BytesIO()
    drawn.save(kept, "JPEG", quality=quality, optimize=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    if taken is None:
        path.write_bytes(kept.getvalue())
        return
    when = taken if isinstance(taken, str) else taken.strftime("%Y:%m:%d %H:%M:%S")
    exif = {piexif.ExifIFD.DateTimeOriginal: when.encode()}
    if offset:
        exif[piexif.ExifIFD.OffsetTimeOriginal] = offset.encode()
    block = piexif.dump({
        "0th": {piexif.ImageIFD.Model: camera.encode(), piexif.ImageIFD.Orientation: orientation}, "Exif": exif,
    })  # fmt: skip
    dated = io.BytesIO()
    piexif.insert(block, kept.getvalue(), dated)
    path.write_bytes(dated.getvalue())


def _scene(title: str, size: tuple[int, int]) -> Image.Image:
    """Rectangles seeded by the title, so that no two titles look alike, and the title itself."""
    # Seeding by text is stable across runs and releases (random.seed version 2 hashes it with SHA-512).
    chance = random.Random(title)
    width, height = size
    image = Image.new("RGB", size, tuple(chance.randrange(60, 200) for _ in range(3)))
    draw = ImageDraw.Draw(image)
    for _ in range(18):
        # Edges on the 16-pixel grid of JPEG keep the files small: many folders hold copies of them.
        x, y = chance.randrange(0, width, 16), chance.randrange(0, height, 16)
        w, h = chance.randrange(112, width // 2, 16), chance.randrange(112, height // 2, 16)
        colour = tuple(chance.randrange(20, 240) for _ in range(3))
        draw.rectangle((x, y, x + w - 1, y + h - 1), fill=colour)
    draw.rectangle((0, height - 64, width, height), fill=(245, 245, 240))
    draw.text((24, height - 52), title, fill=(20, 20, 20), font_size=36)
    return image
