"""A neutral vector drawing: any renderer (PDF, SVG) can put it on a page. Plain numbers and words, no library.

Coordinates in points, origin top left, y downwards. Colours are `#rrggbb`. Text is user data: renderers escape it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A path. commands: ("M", x, y), ("L", x, y), ("C", x1, y1, x2, y2, x, y), ("Z",)."""

    commands: tuple[tuple[str | float, ...], ...]
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.6
    dash: tuple[float, ...] = ()
    link: str = ""  # anchor id this shape leads to
    title: str = ""  # for a tooltip and for people who cannot see it


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One line of text. anchor: which end of the text stands at x. size in points, never under 7."""

    x: float
    y: float  # baseline
    text: str
    size: float = 7.0
    colour: str = "#1f2328"
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing with its size and an alternative text that says what it shows."""

    width: float
    height: float
    items: tuple[Path | Label, ...]
    alt: str


def rect(x: float, y: float, w: float, h: float, **style: object) -> Path:
    """A rectangle as a path."""
    return Path(
        commands=(("M", x, y), ("L", x + w, y), ("L", x + w, y + h), ("L", x, y + h), ("Z",)),
        **style,  # type: ignore[arg-type]
    )


def line(x1: float, y1: float, x2: float, y2: float, **style: object) -> Path:
    """A straight line as a path."""
    return Path(commands=(("M", x1, y1), ("L", x2, y2)), **style)  # type: ignore[arg-type]


def circle(cx: float, cy: float, r: float, **style: object) -> Path:
    """A circle as four Bezier curves (0.5523 r control distance)."""
    k = 0.5523 * r
    return Path(
        commands=(
            ("M", cx + r, cy),
            ("C", cx + r, cy + k, cx + k, cy + r, cx, cy + r),
            ("C", cx - k, cy + r, cx - r, cy + k, cx - r, cy),
            ("C", cx - r, cy - k, cx - k, cy - r, cx, cy - r),
            ("C", cx + k, cy - r, cx + r, cy - k, cx + r, cy),
            ("Z",),
        ),
        **style,  # type: ignore[arg-type]
    )
