"""Pictures of marker cards for tests, drawn by program: the QR code by segno, not by the code under test."""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import piexif
import segno
from PIL import Image

from buildbook.records.card import Card, code_of


def card_image(card: Card | str, size: tuple[int, int] = (640, 480)) -> Image.Image:
    """A card lying in the middle of a grey picture. card: as a record, or the text of its code."""
    drawn = io.BytesIO()
    text = card if isinstance(card, str) else code_of(card)
    segno.make_qr(text, error="m").save(drawn, kind="png", scale=8, border=4)
    code = Image.open(drawn).convert("RGB")
    side = int(min(size) * 0.7)
    image = Image.new("RGB", size, (120, 122, 118))
    image.paste(code.resize((side, side)), ((size[0] - side) // 2, (size[1] - side) // 2))
    return image


def shot(
    path: Path,
    image: Image.Image,
    taken: datetime | None,
    *,
    camera: str = "Lumet P1",
    serial: str = "",
    gps: datetime | None = None,
    subsec: str = "",
    quality: int = 60,
) -> None:
    """Write a picture as a camera would. taken: by the camera's clock, without offset. gps: UTC."""
    main: dict[int, object] = {piexif.ImageIFD.Model: camera.encode()} if camera else {}
    exif: dict[int, object] = {}
    if taken is not None:
        exif[piexif.ExifIFD.DateTimeOriginal] = taken.strftime("%Y:%m:%d %H:%M:%S").encode()
    if subsec:
        exif[piexif.ExifIFD.SubSecTimeOriginal] = subsec.encode()
    if serial:
        exif[piexif.ExifIFD.BodySerialNumber] = serial.encode()
    where: dict[int, object] = {}
    if gps is not None:
        where[piexif.GPSIFD.GPSDateStamp] = gps.strftime("%Y:%m:%d").encode()
        where[piexif.GPSIFD.GPSTimeStamp] = ((gps.hour, 1), (gps.minute, 1), (gps.second, 1))
    path.parent.mkdir(parents=True, exist_ok=True)
    block = piexif.dump({"0th": main, "Exif": exif, "GPS": where})
    image.save(path, "JPEG", quality=quality, exif=block)
