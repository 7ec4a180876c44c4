"""Colours of drawings: ink, verdict colours, and our own sequential scale for film thickness.

The scale runs from warm paper to deep sea: lightness falls evenly in OKLCH (B. Ottosson, 2020) while hue turns from
sand through grey-green to blue, so it reads the same in grey and for people who confuse hues. Tests hold lightness,
differences under simulated colour-vision deficiency, and the contrast of what is written on each class.
"""

from __future__ import annotations

from functools import cache

INK = "#1f2328"
QUIET = "#59626b"
MIST = "#98a0a7"
HAIR = "#c4c9ce"
FAINT = "#eceef0"
PAPER = "#f4f2ee"
WHITE = "#ffffff"
ACCENT = "#1d4f66"
LIT = "#e0a13c"  # where a step worked: light enough for ink on it, dark enough to stand out in grey
GOOD = "#1f5c8a"
WARN = "#855100"
BAD = "#a1301c"
BARRED = "#f3e4df"  # beyond a limit
GUARD = "#f6efdf"  # within a limit by less than the uncertainty

# Grades 0 to 5 of what was seen: paper to umber, so that nobody takes them for film thickness.
GRADES = ("#ffffff", "#f8ecd2", "#f0d8a6", "#e3bb72", "#cf9747", "#ad6f2c")

MOST_CLASSES = 8
# (lightness, chroma, hue in degrees) of the ends; the hue passes through 150.
_LIGHT = (0.945, 0.042, 82.0)
_MIDDLE_HUE = 178.0
_DARK = (0.315, 0.085, 262.0)


@cache
def scale(classes: int) -> tuple[str, ...]:
    """`classes` colours (2 to MOST_CLASSES), light for little film and dark for much."""
    if not 2 <= classes <= MOST_CLASSES:
        raise ValueError(f"a scale has 2 to {MOST_CLASSES} classes, not {classes}")
    return tuple(_colour(n / (classes - 1)) for n in range(classes))


def _colour(share: float) -> str:
    from coloraide import Color

    lightness = _LIGHT[0] + share * (_DARK[0] - _LIGHT[0])
    # Chroma dips in the middle, where the hue turns, and is strongest at the dark end.
    chroma = _LIGHT[1] + share * (_DARK[1] - _LIGHT[1])
    hue = (1 - share) ** 2 * _LIGHT[2] + 2 * share * (1 - share) * _MIDDLE_HUE + share**2 * _DARK[2]
    return str(Color("oklch", [lightness, chroma, hue]).convert("srgb").fit().to_string(hex=True))


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.1, relative luminance)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def text_on(fill: str) -> str:
    """Ink or white, whichever stands out with at least 4.5:1 (WCAG 2.1, 1.4.3); black where neither does."""
    for colour in (INK, WHITE):
        if contrast(colour, fill) >= 4.5:
            return colour
    return max(("#000000", WHITE), key=lambda colour: contrast(colour, fill))
