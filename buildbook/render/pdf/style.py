"""Page, grid, type and palette: every measure the layout uses, in points unless said.

All vertical spacing is a multiple of UNIT, a quarter of the body's line pitch, so lines of facing columns meet again.
The page is twelve columns wide: running text stands in eight of them, the evidence for it in the other four.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

UNIT = 3.25
GUTTER = 13.0

# Palette. Each colour of text has a contrast of at least 4.5 on white and on the tint (WCAG 2.1), and good, warn and
# bad stay apart for people who do not tell red from green and, by lightness and weight, in grey; held by a test.
INK = "#1f2328"
QUIET = "#59626b"
HAIR = "#c4c9ce"
PAPER = "#f4f2ee"
ACCENT = "#1d4f66"
GOOD = "#1f5c8a"
WARN = "#8f5b00"
BAD = "#8a1f2b"
WHITE = "#ffffff"

Face = Literal["text", "strong", "display", "mono"]


@dataclass(frozen=True, slots=True)
class Type:
    """One step of the type scale: size and line pitch in points."""

    face: Face
    size: float
    pitch: float
    colour: str = INK


SMALL = Type("text", 7.25, 9.75, QUIET)
SMALL_INK = Type("text", 7.25, 9.75)
SMALL_STRONG = Type("strong", 7.25, 9.75)
TABLE = Type("text", 8.0, 9.75)
BODY = Type("text", 9.0, 13.0)
BODY_STRONG = Type("strong", 9.0, 13.0)
LEAD = Type("text", 11.5, 16.25)
HEAD_3 = Type("strong", 9.0, 13.0)
HEAD_2 = Type("display", 15.0, 19.5)
HEAD_1 = Type("display", 26.0, 32.5)
TITLE = Type("display", 36.0, 42.25)
MONO = Type("mono", 8.0, 13.0)
MONO_SMALL = Type("mono", 7.0, 9.75, QUIET)

LEAST_SIZE = 7.0  # points; nothing is set smaller
LEAST_DPI = 110  # a picture is never placed so large that fewer of its pixels than this make an inch

TONES: dict[str, str] = {
    "plain": INK,
    "strong": INK,
    "quiet": QUIET,
    "good": GOOD,
    "warn": WARN,
    "bad": BAD,
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """A paper size with its margins; origin top left."""

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float

    @property
    def measure(self) -> float:
        """Width of the type area."""
        return self.width - self.left - self.right

    @property
    def depth(self) -> float:
        """Height of the type area."""
        return self.height - self.top - self.bottom

    def columns(self, count: int) -> float:
        """Width of `count` of the twelve columns, gutters between them included."""
        one = (self.measure - 11 * GUTTER) / 12
        return count * one + (count - 1) * GUTTER


SHEETS: dict[str, Sheet] = {
    "A4": Sheet(595.276, 841.89, 54.0, 54.0, 71.5, 65.0),
    "Letter": Sheet(612.0, 792.0, 58.0, 58.0, 68.25, 61.75),
}


def sheet_of(paper: str) -> Sheet:
    """The sheet for a paper name; A4 where the name is not known."""
    return SHEETS["Letter"] if paper.strip().casefold() == "letter" else SHEETS["A4"]
