"""What a file is by its first bytes. The name only says what a person takes it for."""

from __future__ import annotations

from enum import StrEnum
from pathlib import PurePosixPath

from buildbook.records.said import said

HEAD_BYTES = 64
"""How many of the first bytes `format_of` needs."""


class Format(StrEnum):
    """Picture formats by content. Values as Pillow names them where it reads them."""

    JPEG = "JPEG"
    PNG = "PNG"
    WEBP = "WEBP"
    TIFF = "TIFF"
    HEIC = "HEIF"
    GIF = "GIF"
    BMP = "BMP"
    PSD = "PSD"
    AVIF = "AVIF"
    JPEG2000 = "JPEG2000"
    JPEG_XL = "JPEG XL"
    OTHER = ""


ACCEPTED = frozenset({Format.JPEG, Format.PNG, Format.WEBP, Format.TIFF, Format.HEIC})
ACCEPTED_TEXT = said("JPEG, PNG, WebP, TIFF and HEIC")

PICTURE_SUFFIXES = frozenset(
    {".jpg", ".jpeg", ".jpe", ".jfif", ".mpo", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".hif"}
    | {".gif", ".bmp", ".psd", ".avif", ".jp2", ".jxl"}
)
# Camera raw is built on TIFF; it is kept and hashed, its picture is not developed. Suffixes in common use.
RAW_SUFFIXES = frozenset(
    {".3fr", ".arw", ".cr2", ".cr3", ".dng", ".erf", ".iiq", ".mef", ".mrw", ".nef", ".nrw", ".orf", ".pef"}
    | {".raf", ".raw", ".rw2", ".srw", ".x3f"}
)

_HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"})
_AVIF_BRANDS = frozenset({b"avif", b"avis"})


def format_of(head: bytes) -> Format:
    """The picture format of a file that begins with `head` (HEAD_BYTES of it); OTHER if it is no picture we know."""
    if head[4:8] == b"ftyp":  # ISO base media: stills and video alike, told apart by brand (ISO/IEC 14496-12)
        brands = [head[8:12], *(head[i : i + 4] for i in range(16, min(len(head), int.from_bytes(head[:4])), 4))]
        if head[8:12] in _AVIF_BRANDS or (head[8:12] == b"mif1" and _AVIF_BRANDS & set(brands)):
            return Format.AVIF
        return Format.HEIC if head[8:12] in _HEIC_BRANDS else Format.OTHER
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return Format.WEBP
    for magic, found in _MAGIC:
        if head.startswith(magic):
            return found
    return Format.OTHER


_MAGIC = (
    (b"\xff\xd8\xff", Format.JPEG),
    (b"\x89PNG\r\n\x1a\n", Format.PNG),
    (b"II*\0", Format.TIFF),
    (b"MM\0*", Format.TIFF),
    (b"II+\0", Format.TIFF),
    (b"MM\0+", Format.TIFF),
    (b"GIF8", Format.GIF),
    (b"BM", Format.BMP),
    (b"8BPS", Format.PSD),
    (b"\0\0\0\x0cjP  ", Format.JPEG2000),
    (b"\xff\x4f\xff\x51", Format.JPEG2000),
    (b"\xff\x0a", Format.JPEG_XL),
    (b"\0\0\0\x0cJXL ", Format.JPEG_XL),
)


def suffix_of(path: str) -> str:
    """The suffix of a name, lower case, with its dot."""
    return PurePosixPath(path).suffix.lower()


def picture_by_name(path: str) -> bool:
    """True if a person would take the file for a picture."""
    return suffix_of(path) in PICTURE_SUFFIXES


def is_picture(path: str, found: Format) -> bool:
    """True if the file is to be looked at as a picture: by its content, or because its name claims so."""
    if picture_by_name(path):
        return True
    if found is Format.TIFF and suffix_of(path) in RAW_SUFFIXES:
        return False
    # Two letters are not proof: a text may begin with BM.
    return found not in (Format.OTHER, Format.BMP)


def refusal(found: Format, empty: bool) -> str:
    """Why a file of this format cannot be shown; "" if it can."""
    if empty:
        return said("The file is empty.")
    if found in ACCEPTED:
        return ""
    if found is Format.OTHER:
        return said("The file is no picture by its content; {formats} pictures are shown.", formats=ACCEPTED_TEXT)
    return said(
        "{format} pictures are not shown; save it as one of {formats}.", format=found.value, formats=ACCEPTED_TEXT
    )
