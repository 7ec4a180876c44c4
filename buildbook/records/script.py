"""Which characters the dossier can print, and which it must refuse by name.

A character prints if one of our fonts has a glyph for it (coverage.py) and its script can be set letter by letter.
Scripts that need joining or reordering, or run from right to left, would come out wrong even with a glyph, so they
are refused. Text is looked at in its composed form (Unicode NFC), the form it is printed in.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_right
from functools import cache

from buildbook.marking import N_
from buildbook.records.coverage import RANGES
from buildbook.records.said import row, said

# Marks that turn the direction of text: what is read is then not what is stored.
BIDI_CONTROLS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_WHITE = frozenset("\t\n\r")
MOST_MARKS = 4  # on one letter; Vietnamese and polytonic Greek need three at most

# Covered by a font, but only right with shaping that we do not do.
_NEEDS_SHAPING = ((0x0900, 0x097F), (0xA8E0, 0xA8FF), (0x1100, 0x11FF), (0xA960, 0xA97F), (0xD7B0, 0xD7FF))
_VARIATION = ((0xFE00, 0xFE0F), (0xE0100, 0xE01EF))
_OBJECT_REPLACEMENT = 0xFFFC
# Names for a message; whole blocks, after the Unicode Standard's block list (Blocks.txt; ends from memory).
_SCRIPTS = (
    (0x0530, 0x058F, N_("Armenian")), (0x0590, 0x05FF, N_("Hebrew")), (0x0600, 0x06FF, N_("Arabic")),
    (0x0700, 0x074F, N_("Syriac")), (0x0750, 0x077F, N_("Arabic")), (0x0900, 0x097F, N_("Devanagari")),
    (0x0980, 0x09FF, N_("Bengali")), (0x0A00, 0x0A7F, N_("Gurmukhi")), (0x0A80, 0x0AFF, N_("Gujarati")),
    (0x0B80, 0x0BFF, N_("Tamil")), (0x0C00, 0x0C7F, N_("Telugu")), (0x0C80, 0x0CFF, N_("Kannada")),
    (0x0D00, 0x0D7F, N_("Malayalam")), (0x0D80, 0x0DFF, N_("Sinhala")), (0x0E80, 0x0EFF, N_("Lao")),
    (0x0F00, 0x0FFF, N_("Tibetan")), (0x1000, 0x109F, N_("Myanmar")), (0x10A0, 0x10FF, N_("Georgian")),
    (0x1100, 0x11FF, N_("Hangul")), (0x1200, 0x137F, N_("Ethiopic")), (0x1780, 0x17FF, N_("Khmer")),
    (0x1800, 0x18AF, N_("Mongolian")), (0xA8E0, 0xA8FF, N_("Devanagari")), (0xFB1D, 0xFB4F, N_("Hebrew")),
    (0xFB50, 0xFDFF, N_("Arabic")), (0xFE70, 0xFEFE, N_("Arabic")), (0x1F300, 0x1FAFF, N_("emoji")),
    (0x2600, 0x27BF, N_("symbol")), (0x1F1E6, 0x1F1FF, N_("emoji")),
)  # fmt: skip


@cache
def _bounds() -> tuple[tuple[int, ...], tuple[int, ...]]:
    """First and last code points of the covered ranges, ascending."""
    firsts: list[int] = []
    lasts: list[int] = []
    at = -1
    for word in RANGES.split():
        gap, _, more = word.partition(".")
        first = at + 1 + int(gap, 36)
        at = first + (int(more, 36) if more else 0)
        firsts.append(first)
        lasts.append(at)
    return tuple(firsts), tuple(lasts)


def covered(code_point: int) -> bool:
    """Whether one of the fonts has a glyph for the code point."""
    firsts, lasts = _bounds()
    index = bisect_right(firsts, code_point) - 1
    return index >= 0 and code_point <= lasts[index]


def _within(code_point: int, ranges: tuple[tuple[int, int], ...]) -> bool:
    return any(first <= code_point <= last for first, last in ranges)


def is_control(character: str) -> bool:
    """A control character, a bidirectional control, half of a surrogate pair, or a code point that is no character.

    Tab and line breaks are white space here and are no fault.
    """
    if character in _WHITE:
        return False
    point = ord(character)
    no_character = point & 0xFFFE == 0xFFFE or 0xFDD0 <= point <= 0xFDEF  # Unicode Standard, 23.7
    return character in BIDI_CONTROLS or no_character or unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp")


@cache
def _prints(character: str) -> bool:
    if character in _WHITE:
        return True
    point = ord(character)
    if is_control(character) or unicodedata.category(character) in ("Cf", "Co", "Cn"):
        return False
    if point == _OBJECT_REPLACEMENT or _within(point, _NEEDS_SHAPING) or _within(point, _VARIATION):
        return False
    return covered(point)


def unprintable(text: str) -> list[str]:
    """The characters of `text` (composed) that cannot be printed, each once, in order; control characters too."""
    if text.isascii() and text.isprintable():
        return []
    return list(dict.fromkeys(c for c in unicodedata.normalize("NFC", text) if not _prints(c)))


def stacked_marks(text: str) -> int:
    """The longest run of combining marks on one letter, in the composed form."""
    most = run = 0
    for character in unicodedata.normalize("NFC", text):
        run = run + 1 if unicodedata.category(character) in ("Mn", "Me") else 0
        most = max(most, run)
    return most


_UNNAMED = {
    "Cc": said("control character"), "Cs": said("half of a pair"), "Co": said("private use"),
    "Cn": said("no character"),
}  # fmt: skip


def describe(character: str) -> str:
    """A character as a message names it: code point and Unicode name, e.g. `U+202E RIGHT-TO-LEFT OVERRIDE`."""
    point = ord(character)
    name = unicodedata.name(character, "")
    if not name:
        kind = unicodedata.category(character)
        return row((f"U+{point:04X}", _UNNAMED.get(kind, said("no name"))), " ")
    return f"U+{point:04X} {name}"


def script_of(character: str) -> str:
    """The script or kind a refused character belongs to, in a word, or "" where a name says no more."""
    point = ord(character)
    for first, last, name in _SCRIPTS:
        if first <= point <= last:
            return name
    return N_("invisible") if unicodedata.category(character) == "Cf" or _within(point, _VARIATION) else ""
