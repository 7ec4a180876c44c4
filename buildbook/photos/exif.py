"""EXIF of a photo as facts. Field names and meanings: CIPA DC-008 (Exif 2.32), sections 4.6.5 and 4.6.6."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from buildbook.photos import profiles
from buildbook.photos.exif_block import plausible
from buildbook.records.said import said

MAKE, MODEL, ORIENTATION, SOFTWARE, DATE_CHANGED = 0x010F, 0x0110, 0x0112, 0x0131, 0x0132
EXIF_IFD, GPS_IFD, INTEROP_IFD = 0x8769, 0x8825, 0xA005
DATE_ORIGINAL, OFFSET_ORIGINAL, SUBSEC_ORIGINAL, COLOR_SPACE = 0x9003, 0x9011, 0x9291, 0xA001
BODY_SERIAL = 0xA431
INTEROP_INDEX = 1
GPS_LATITUDE, GPS_LONGITUDE, GPS_TIME, GPS_DATE = 2, 4, 7, 29
TEXT_MAX = 200

_DATE = re.compile(r"(\d{4})[:/-](\d{2})[:/-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})")
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")

Ifd = Mapping[int, Any]


@dataclass(frozen=True, slots=True)
class Tags:
    """The IFDs that matter, by tag number. found: there was EXIF at all."""

    main: Ifd = field(default_factory=dict)
    exif: Ifd = field(default_factory=dict)
    gps: Ifd = field(default_factory=dict)
    interop: Ifd = field(default_factory=dict)

    @property
    def found(self) -> bool:
        return bool(self.main or self.exif or self.gps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Capture:
    """When and with what a photo was taken; fields as in PhotoFacts."""

    taken: datetime | None = None
    taken_problem: str = ""
    offset_known: bool = False
    gps_time: datetime | None = None
    has_gps: bool = False
    camera: str = ""
    serial: str = ""
    software: str = ""
    changed: datetime | None = None
    has_exif: bool = False


def read_tags(image: Any) -> Tags:
    """The tags of an open Pillow image: by piexif from the bytes Pillow found, else as Pillow reads them.

    Never raises: what neither library can read is absent.
    """
    raw = image.info.get("exif")
    if isinstance(raw, bytes) and raw:
        tags = _by_piexif(raw)
        if tags is not None and tags.found:
            return tags
    return _by_pillow(image)


def _by_piexif(raw: bytes) -> Tags | None:
    import piexif

    # Pillow hands out JPEG's block with its header, PNG's without.
    block = raw if raw.startswith(b"Exif") else b"Exif\0\0" + raw
    if not plausible(block):
        return None
    try:
        got = piexif.load(block)
        return Tags(got["0th"], got["Exif"], got["GPS"], got["Interop"])
    except Exception:  # any of InvalidImageDataError, struct.error, ValueError, TypeError, MemoryError, KeyError
        return None


def _by_pillow(image: Any) -> Tags:
    def ifd(tag: int) -> dict[int, Any]:
        try:
            return dict(found.get_ifd(tag))
        except Exception:  # damaged sub-IFDs raise whatever their bytes lead to
            return {}

    try:
        found = image.getexif()
        main = dict(found)
    except Exception:  # OSError, SyntaxError, ValueError, struct.error among others
        return Tags()
    # A TIFF has tags for its own layout, and Pillow takes an orientation from XMP: they alone are not EXIF.
    if not {MAKE, MODEL, DATE_CHANGED, SOFTWARE, EXIF_IFD, GPS_IFD} & set(main) and not image.info.get("exif"):
        return Tags()
    return Tags(main, ifd(EXIF_IFD), ifd(GPS_IFD), ifd(INTEROP_IFD))


def implied_profile(tags: Tags) -> bytes | None:
    """The ICC profile a camera means by the DCF option file "R03" (CIPA DC-009, Adobe RGB without a profile)."""
    return profiles.adobe_rgb() if text(tags.interop.get(INTEROP_INDEX)) == "R03" else None


def capture(tags: Tags) -> Capture:
    """What the tags say about camera and time. A make already in the model's name is not said twice."""
    if not tags.found:
        return Capture()
    make, model = text(tags.main.get(MAKE)), text(tags.main.get(MODEL))
    camera = model if model.lower().startswith(make.lower()) else f"{make} {model}".strip()
    taken, problem = _taken(tags.exif)
    match = _DATE.fullmatch(text(tags.main.get(DATE_CHANGED)))
    return Capture(
        taken=taken,
        taken_problem=problem,
        offset_known=taken is not None and taken.tzinfo is not None,
        gps_time=_gps_time(tags.gps),
        has_gps=GPS_LATITUDE in tags.gps and GPS_LONGITUDE in tags.gps,
        camera=camera,
        serial=text(tags.exif.get(BODY_SERIAL)),
        software=text(tags.main.get(SOFTWARE)),
        changed=_moment(match) if match else None,
        has_exif=True,
    )


def text(value: object) -> str:
    """A tag as one printable line, up to its first NUL, at most TEXT_MAX characters."""
    if isinstance(value, bytes):
        value = value.split(b"\0", 1)[0].decode("utf-8", "replace")
    if not isinstance(value, str):
        return ""
    printable = "".join(c if c.isprintable() else " " for c in value.split("\0", 1)[0])
    return " ".join(printable.split())[:TEXT_MAX].strip()


def _taken(exif: Ifd) -> tuple[datetime | None, str]:
    if DATE_ORIGINAL not in exif:
        return None, ""
    written = text(exif[DATE_ORIGINAL])
    if not written.strip(": 0"):  # Exif: unknown is written as blanks with the colons; many write noughts
        return None, said("The EXIF date of capture is blank.")
    match = _DATE.fullmatch(written)
    moment = _moment(match) if match else None
    if moment is None:
        return None, said("The EXIF date of capture reads “{text}”, which is no date.", text=written[:40])
    fraction = text(exif.get(SUBSEC_ORIGINAL))
    if fraction.isascii() and fraction.isdigit():
        moment = moment.replace(microsecond=int(fraction[:6].ljust(6, "0")))
    written = text(exif.get(OFFSET_ORIGINAL))
    offset = _offset(written)
    if offset is None and _OFFSET.fullmatch(written):
        says = said("The EXIF offset from UTC reads “{text}”; offsets in use go from -12:00 to +14:00.", text=written)
        return moment, says
    return moment.replace(tzinfo=offset), ""


def _moment(match: re.Match[str]) -> datetime | None:
    try:
        return datetime(*(int(g) for g in match.groups()))  # type: ignore[arg-type]
    except ValueError:
        return None


def _offset(written: str) -> timezone | None:
    """The zone of "+02:00"; None if it is absent or no offset in use (-12:00 to +14:00)."""
    match = _OFFSET.fullmatch(written)
    if match is None or int(match[3]) > 59:
        return None
    shift = timedelta(hours=int(match[2]), minutes=int(match[3])) * (-1 if match[1] == "-" else 1)
    return timezone(shift) if timedelta(hours=-12) <= shift <= timedelta(hours=14) else None


def _gps_time(gps: Ifd) -> datetime | None:
    """UTC instant from GPSDateStamp and GPSTimeStamp (three rationals), or None."""
    try:
        year, month, day = (int(x) for x in re.split("[:/-]", text(gps[GPS_DATE])))
        hours, minutes, seconds = (_number(x) for x in gps[GPS_TIME])
        if not (0 <= hours < 24 and 0 <= minutes < 60 and 0 <= seconds < 61):
            return None
        return datetime(year, month, day, tzinfo=UTC) + timedelta(hours=hours, minutes=minutes, seconds=seconds)
    except (KeyError, ValueError, TypeError, ZeroDivisionError, OverflowError):
        return None


def _number(value: Any) -> float:
    if isinstance(value, tuple):
        numerator, denominator = value
        return float(numerator / denominator)
    return float(value)
