"""Files and photos of the record, as facts: what was read from the disk, never what was concluded from it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from buildbook.records.words import Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class FileEntry:
    """A regular file of the job folder. path: relative, `/` separated. sha256: lower-case hex."""

    path: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """What a picture looks like, as `photos/looks.py` measures it; not part of the published record.

    grey: 32 x 32 miniature of brightness, row by row, base64. cuts: hashes of its windows, base64.
    mirrored, quarter, half: difference hashes of its mirror image, and of it turned clockwise by a quarter, by half.
    fine, coarse: variance of the Laplacian in the sharpest tile, at 400 and at 100 pixels. dark, burnt: share of
    pixels that are all but black, all but white (0 to 1).
    """

    grey: str = ""
    cuts: str = ""
    mirrored: int = 0
    quarter: int = 0
    half: int = 0
    fine: float = 0.0
    coarse: float = 0.0
    dark: float = 0.0
    burnt: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFacts:
    """What a picture file says of itself. Sizes in pixels, as seen after turning by `orientation`.

    problem: why it cannot be shown ("" = it can): a short sentence. format: by content, e.g. "JPEG".
    taken: EXIF DateTimeOriginal with sub-seconds, naive if no offset is recorded; offset_known says which.
    changed: EXIF DateTime, naive: when camera or editor last wrote the file. dhash: 64-bit difference hash of the
    turned picture, None if unreadable. looks: None if unreadable.
    camera: make and model; serial: of the body. cards: codes of marker cards seen, None if nobody looked.
    """

    format: str = ""
    width: int = 0
    height: int = 0
    orientation: int = 1
    taken: datetime | None = None
    taken_problem: str = ""  # an EXIF date that is there but absurd
    offset_known: bool = False
    gps_time: datetime | None = None
    has_gps: bool = False
    camera: str = ""
    serial: str = ""
    software: str = ""
    has_exif: bool = False
    changed: datetime | None = None
    dhash: int | None = None
    looks: Looks | None = None
    problem: str = ""
    cards: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo in the record. step: its step folder's name or "". zone: from its folder or caption."""

    path: str
    size: int
    sha256: str
    step: str = ""
    stage: Stage | None = None
    zone: str = ""
    caption: str = ""
    facts: PhotoFacts = PhotoFacts()

    @property
    def shown(self) -> bool:
        """True if a picture of it can be made."""
        return not self.facts.problem


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherJob:
    """Photos of another job folder, to compare with. name: how that folder is called. Not part of the record."""

    name: str
    photos: tuple[Photo, ...]
