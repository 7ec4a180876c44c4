"""The pictures of the page: named by content, measured by their header, copied byte for byte."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from buildbook.dossier.model import Dossier
from buildbook.render.jpeg import jpeg_size

Edge = Literal["print", "small"]
Rendition = Callable[[str, Edge], Path]
FOLDER = "assets"
_LEAST = 12  # hex digits of a name


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
            width, height, _ = jpeg_size(source, name[:digits])
            shutil.copyfile(source, target)
            sizes.append(File(f"{FOLDER}/{target.name}", width, height))
        made[name] = Asset(*sizes)
        if progress:
            progress(done, len(names))
    return made
