"""The pictures of the page: named by content, measured by their header, copied byte for byte."""

from __future__ import annotations

import shutil
import struct
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from buildbook.dossier.model import Dossier
from buildbook.errors import BuildbookError

Edge = Literal["print", "small"]
Rendition = Callable[[str, Edge], Path]
FOLDER = "assets"
_LEAST = 12  # hex digits of a name
_HEAD = 1 << 16  # a rendition has no metadata, so its frame header stands in the first bytes
_NO_FRAME = frozenset({0xC4, 0xC8, 0xCC})  # among C0 to CF, markers that do not open a frame


@dataclass(frozen=True, slots=True)
class File:
    """One rendition: its address within the page's folder, and its pixels."""

    href: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Asset:
    """A photo in both sizes."""

    large: File
    small: File


def digits_needed(assets: Iterable[str]) -> int:
    """How many hex digits tell the assets apart, at least 12."""
    names = sorted(set(assets))
    for count in range(_LEAST, 65):
        if len({name[:count] for name in names}) == len(names):
            return count
    return 64


def assets_of(dossier: Dossier) -> tuple[str, ...]:
    """Every asset the page shows, in order of first use."""
    return tuple(dict.fromkeys([*dossier.assets, *(photo.asset for photo in dossier.photos)]))


def copy_assets(
    dossier: Dossier, rendition: Rendition, out: Path, progress: Callable[[int, int], None] | None
) -> dict[str, Asset]:
    """Copy both renditions of every asset into `out/assets`."""
    names = assets_of(dossier)
    digits = digits_needed(names)
    folder = out / FOLDER
    folder.mkdir()
    made: dict[str, Asset] = {}
    for done, name in enumerate(names, 1):
        sizes: list[File] = []
        for edge, mark in (("print", ""), ("small", "-s")):
            source = rendition(name, edge)  # type: ignore[arg-type]
            target = folder / f"{name[:digits]}{mark}.jpg"
            width, height = jpeg_size(source)
            shutil.copyfile(source, target)
            sizes.append(File(f"{FOLDER}/{target.name}", width, height))
        made[name] = Asset(*sizes)
        if progress:
            progress(done, len(names))
    return made


def jpeg_size(path: Path) -> tuple[int, int]:
    """Width and height from the frame header (ITU-T T.81, B.2.2). Raises BuildbookError where there is none."""
    with path.open("rb") as stream:
        head = stream.read(_HEAD)
    at = 2
    if head[:2] == b"\xff\xd8":
        while at + 9 <= len(head) and head[at] == 0xFF:
            marker = head[at + 1]
            if marker == 0xFF:  # a fill byte
                at += 1
                continue
            if 0xC0 <= marker <= 0xCF and marker not in _NO_FRAME:
                height, width = struct.unpack(">HH", head[at + 5 : at + 9])
                if width and height:
                    return int(width), int(height)
                break
            at += 2 + int.from_bytes(head[at + 2 : at + 4], "big")
    raise BuildbookError(
        f"The rendition {path.name} cannot be read as JPEG.", "Delete the cache of renditions and compile again."
    )
