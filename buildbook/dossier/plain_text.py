"""Paragraphs of plain text set to a width in columns, also where a language puts no blanks between its words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

WIDTH = 78
# What may not begin a line, and what may not end one (after JIS X 4051; the signs our texts use).
_CLOSING = frozenset("、。，．：；！？）］｝」』】〉》〕・ー…々ぁぃぅぇぉっゃゅょァィゥェォッャュョ")
_OPENING = frozenset("（［｛「『【〈《〔")
_WORD = re.compile(r"(?:`[^`]*`|[^\s`])+|`")  # what is quoted to be typed stays on one line


def columns(said: str) -> int:
    """How many columns of a terminal a text takes: two for each wide sign (Unicode Standard Annex 11)."""
    return sum(1 + (unicodedata.east_asian_width(c) in "WF") for c in said if not unicodedata.combining(c))


def filled(said: str, first: str = "", rest: str = "", width: int = WIDTH) -> str:
    """One paragraph in lines of at most `width` columns; what is longer than a line stands by itself.

    first, rest: what the first line and the others begin with.
    """
    lines, line, empty = [], first, True
    for gap, piece in _pieces(said):
        between = "" if empty else gap
        if not empty and columns(line + between + piece) > width:
            lines.append(line)
            line, between = rest, ""
        line += between + piece
        empty = False
    return "\n".join([*lines, line.rstrip()])


def _pieces(said: str) -> Iterator[tuple[str, str]]:
    """What must stay on one line, each with the blank before it, if there is one."""
    for word in _WORD.findall(said):
        gap, held = " ", ""
        for char in word:
            ends = held and (_wide(held[-1]) or _wide(char)) and char not in _CLOSING and held[-1] not in _OPENING
            if ends:
                yield gap, held
                gap, held = "", ""
            held += char
        yield gap, held


def _wide(char: str) -> bool:
    return unicodedata.east_asian_width(char) in "WF"
