"""What a picture's file says beside the picture: position, owner, serial numbers, notes nobody can read.

Only plain JPEG files are read to the last byte; of any other form nobody here can say what it holds.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from buildbook.photos.exif_block import plausible

# Exif 2.32 (CIPA DC-008), tables 4 to 8; HostComputer is TIFF 6.0; the XP tags are written by a desktop system.
_OWNER = {"0th": {0x013B, 0x8298, 0x013C, 0x9C9D}, "Exif": {0xA430}}
_SERIAL = {"Exif": {0xA431, 0xA435, 0xA420}, "0th": {0xC62F}}
_COMMENT = {"0th": {0x010D, 0x010E, 0x9C9B, 0x9C9C, 0x9C9E, 0x9C9F}, "Exif": {0x9286}}
_MAKER_NOTE = 0x927C
_BLANK = b" \0\t\r\n"
_MOST = 256 << 20


@dataclass(frozen=True, slots=True)
class Beside:
    """kinds: of data beside the picture, empty for none. data: the bytes of its segments, for a search."""

    kinds: frozenset[str]
    data: bytes = b""


def beside_picture(path: Path) -> Beside:
    """Never raises: what cannot be read is of the kind "unreadable"."""
    try:
        if path.stat().st_size > _MOST:
            return Beside(frozenset({"unreadable"}))
        data = path.read_bytes()
        segments, scan = _segments(data)
    except (OSError, ValueError, struct.error):
        return Beside(frozenset({"unreadable"}))
    kinds: set[str] = set()
    for marker, body in segments:
        kinds |= _kinds(marker, body)
    if _behind(data, scan):
        kinds.add("data behind the picture")
    return Beside(frozenset(kinds), b"\n".join(body for _, body in segments))


def _segments(data: bytes) -> tuple[list[tuple[int, bytes]], int]:
    """(marker, body) of each segment before the first scan, and where that begins. Raises ValueError for no JPEG."""
    if data[:2] != b"\xff\xd8":
        raise ValueError("no JPEG")
    found: list[tuple[int, bytes]] = []
    at = 2
    while True:
        if data[at : at + 1] != b"\xff":
            raise ValueError("no marker")
        marker = data[at + 1]
        if marker == 0xFF:  # a fill byte
            at += 1
            continue
        (length,) = struct.unpack_from(">H", data, at + 2)
        if marker == 0xDA:
            return found, at
        if length < 2 or at + 2 + length > len(data):
            raise ValueError("cut off")
        if marker == 0xFE or 0xE0 <= marker <= 0xEF:
            found.append((marker, data[at + 4 : at + 2 + length]))
        at += 2 + length


def _behind(data: bytes, scan: int) -> bool:
    """True if anything but blank bytes follows the picture: a second one, or a film. A scan holds no FF D9."""
    end = data.find(b"\xff\xd9", scan)
    return end < 0 or bool(data[end + 2 :].strip(_BLANK))


def _kinds(marker: int, body: bytes) -> set[str]:
    if marker == 0xFE:
        return {"comment"} if body.strip(_BLANK) else set()
    if marker == 0xE1 and body.startswith(b"Exif\0"):
        return _exif(body)
    if marker == 0xE1:
        return {"XMP"}
    if marker == 0xE0 and body.startswith((b"JFIF\0", b"JFXX\0")):
        return set()
    if marker == 0xE2 and body.startswith(b"ICC_PROFILE\0"):
        return set()
    if marker == 0xEE and body.startswith(b"Adobe"):
        return set()
    return {"IPTC"} if marker == 0xED else {"maker's notes"}  # segments of a maker's own may hold anything


def _exif(body: bytes) -> set[str]:
    import piexif

    block = b"Exif\0\0" + body[6:]
    if not plausible(block):
        return {"unreadable"}
    try:
        ifds: dict[str, Any] = piexif.load(block)
    except Exception:  # any of InvalidImageDataError, struct.error, ValueError, TypeError, KeyError
        return {"unreadable"}
    kinds = set()
    if any(tag != 0 for tag in ifds["GPS"]):  # tag 0 is the version alone
        kinds.add("position")
    if _MAKER_NOTE in ifds["Exif"]:
        kinds.add("maker's notes")
    for kind, tags in (("owner", _OWNER), ("serial number", _SERIAL), ("comment", _COMMENT)):
        if any(_said(ifds[ifd].get(tag)) for ifd, wanted in tags.items() for tag in wanted):
            kinds.add(kind)
    return kinds


def _said(value: object) -> bool:
    """Whether a tag says anything; cameras fill some with blanks."""
    if isinstance(value, bytes):
        return bool(value.removeprefix(b"ASCII\0\0\0").strip(_BLANK))
    return value not in (None, "", ())
