"""The miniature of a picture: GRID x GRID cells of brightness that two pictures are compared by."""

from __future__ import annotations

from base64 import b64decode
from functools import lru_cache

from buildbook.photos.looks import GRID

PLAIN = 2.0
"""A picture whose miniature varies by less (standard deviation) shows too little to be told from another."""


@lru_cache(maxsize=8192)
def miniature(grey: str) -> bytes:
    """The cells of a miniature, row by row; b"" if there is none."""
    cells = b64decode(grey)
    return cells if len(cells) == GRID * GRID else b""


def flipped(cells: bytes) -> bytes:
    """A miniature seen in a mirror."""
    return b"".join(cells[at : at + GRID][::-1] for at in range(0, GRID * GRID, GRID))


def upside_down(cells: bytes) -> bytes:
    """A miniature turned by half."""
    return cells[::-1]


def quarter_turned(cells: bytes) -> bytes:
    """A miniature turned clockwise by a quarter."""
    return b"".join(cells[column::GRID][::-1] for column in range(GRID)) if cells else b""
