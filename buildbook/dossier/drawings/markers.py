"""Marks for verdicts: the shape tells them apart without colour.

Circles lie within their limits, diamonds outside; filled where it is certain, open where the uncertainty leaves it
open. A short bar was not judged; a cross is shown but is no evidence.
"""

from __future__ import annotations

from typing import Final

from buildbook.dossier.drawing import Path, circle, line
from buildbook.dossier.drawings.palette import BAD, GOOD, INK, QUIET, WARN, WHITE

PASS: Final = "pass"
CONDITIONAL_PASS: Final = "conditional pass"
CONDITIONAL_FAIL: Final = "conditional fail"
FAIL: Final = "fail"
NOT_JUDGED: Final = "not judged"
NOT_EVIDENCE: Final = "not evidence"
WORDS: Final = (PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, NOT_JUDGED, NOT_EVIDENCE)

COLOURS: Final = {
    PASS: GOOD, CONDITIONAL_PASS: GOOD, CONDITIONAL_FAIL: WARN, FAIL: BAD, NOT_JUDGED: INK, NOT_EVIDENCE: QUIET,
}  # fmt: skip


def marker(word: str, x: float, y: float, r: float = 2.9) -> list[Path]:
    """The mark for a word, centred at x, y."""
    colour = COLOURS.get(word, INK)
    if word == PASS:
        return [circle(x, y, r, fill=colour, stroke=colour, width=0.6)]
    if word == CONDITIONAL_PASS:
        return [circle(x, y, r, fill=WHITE, stroke=colour, width=1.2), circle(x, y, r * 0.34, fill=colour)]
    if word in (FAIL, CONDITIONAL_FAIL):
        reach = r * 1.3
        points = (("M", x, y - reach), ("L", x + reach, y), ("L", x, y + reach), ("L", x - reach, y), ("Z",))
        fill = colour if word == FAIL else WHITE
        return [Path(commands=points, fill=fill, stroke=colour, width=0.6 if word == FAIL else 1.2)]
    if word == NOT_EVIDENCE:
        a = r * 0.85
        return [
            line(x - a, y - a, x + a, y + a, stroke=colour, width=1.1),
            line(x - a, y + a, x + a, y - a, stroke=colour, width=1.1),
        ]
    return [line(x, y - r, x, y + r, stroke=colour, width=1.8)]


def whisker(x0: float, x1: float, y: float, colour: str, cap: float = 2.0) -> list[Path]:
    """An uncertainty bar from x0 to x1 with end caps."""
    return [
        line(x0, y, x1, y, stroke=colour, width=0.8),
        line(x0, y - cap, x0, y + cap, stroke=colour, width=0.8),
        line(x1, y - cap, x1, y + cap, stroke=colour, width=0.8),
    ]
