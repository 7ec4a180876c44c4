"""Where a line may not end: what words and signs stay with their neighbours, and where a word may be parted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from buildbook.dossier.language import month_names

# A line may also end inside a word: after a hyphen, dash, slash or point between word characters (not before a file
# name's ending, nor before the figures of a number), around an ideograph or kana (kept from closing and opening
# marks), and before a Thai leading vowel, which always begins a syllable.
_WIDE = (
    "\u2e80-\u2fdf\u3005-\u3007\u3041-\u30ff\u31f0-\u31ff\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff\U00020000-\U0003ffff"
)
_NOT_FIRST = "、。，．・：；？！）］｝〕〉》」』】ーっゃゅょッャュョぁぃぅぇぉァィゥェォ々〜%％)°℃…"
_NOT_LAST = "（［｛〔〈《「『【("
INSIDE = re.compile(
    r"(?<=\w\w[-‐])(?=[^\W\d]\w\w)"
    r"|(?<=\w[–—/.])(?<!\d\.)(?=\w\w\w)(?!(?<=\.)[A-Za-z]\w{1,4}$)"
    rf"|(?<=[{_WIDE}、。，．：；？！）］｝〕〉》」』】])(?![{_NOT_FIRST}])(?<![{_NOT_LAST}])(?=.)"
    rf"|(?<=.)(?<![{_NOT_LAST}])(?=[{_WIDE}（［｛〔〈《「『【])(?![{_NOT_FIRST}])"
    "|(?<=[\u0e01-\u0e3a\u0e45-\u0e4e])(?=[\u0e40-\u0e44])"
)
HASH = re.compile(r"[0-9a-f]{32,}[.,;]?")
PARTABLE = "-‐–—/_."  # where a word that is parted by force is parted first
DOT = "·"  # between parts of a line
COMMAS = ("、", "，")  # of a list whose items are spans of their own

_NUMBER = re.compile(r"[(±≤≥<>~]*\d[\d.,:/×-]*")
_SIGNS = tuple("±×≤≥<>=")
_SYMBOL = re.compile(r".*[(（]\w|\w|\d[\d.,]*")
_SIGN = re.compile("[±×≤≥<>=~x]")
_UNIT = re.compile(r"[^\W\d_]{1,3}[²³]?[.,;:)]*|[%‰°±×·/µ²³a-zA-Z]{1,6}[.,;:)]*")
_SHORT_WORD = re.compile(  # as short as a unit, and none
    "a|al|am|an|and|as|at|auf|bei|bis|by|con|da|das|de|del|der|des|die|el|en|es|for|ist|in|is|la|las|los|mit|no|not|"
    "o|of|on|or|por|que|se|so|the|to|um|und|vom|von|vor|was|y|zu|zum"
)
_THOUSANDS = re.compile(r"[(]?\d{1,3}"), re.compile(r"\d{3}[.,;:)]*")
_CODE = re.compile(r"[A-ZÄÖÜ]{1,4}-?\d+")
_COUNT = re.compile(r"\(\d+\)[.,;:。、]*")
_ABBREVIATION = re.compile(r"[A-Z]{2,5}"), re.compile(r"\d[\d.,-]*[.,;:)]*")
_INSTANT = re.compile(r"\d{4}-\d\d-\d\d"), re.compile(r"\d\d:\d\d.*")
_DAY = re.compile(r"[(]?[0-3]?\d\.?")
_TRAILS = (DOT, "–", "—", "→")


_WIDE_CHARACTER = re.compile(f"[{_WIDE}（）、。，．：；「」]")


def joins(one: str, other: str) -> bool:
    """Whether a line may end between two texts that follow each other without a space, as a wide script allows."""
    both = one[-2:] + other[:2]
    at = len(one[-2:])
    near = one[-1:] + other[:1]
    return bool(_WIDE_CHARACTER.search(near)) and any(m.start() == at for m in INSIDE.finditer(both))


def wide(text: str) -> bool:
    """Whether a text holds ideographs or kana."""
    return re.search(f"[{_WIDE}]", text) is not None


def bound(words: Sequence[str]) -> list[bool]:
    """For each word whether it keeps the next one on its line: number and unit, day and month, what a dot follows."""
    made = [_keeps(one, other) for one, other in pairwise(words)]
    for index, word in enumerate(words):
        if 0 < index < len(words) - 1:
            before, after = words[index - 1], words[index + 1]
            if (word == "…" and _CODE.fullmatch(before) and _CODE.match(after)) or (
                word == "de" and _DAY.fullmatch(before) and _month(after)  # 2 de marzo
            ):
                made[index - 1] = made[index] = True
    return [*made, False]


def _keeps(one: str, other: str) -> bool:
    if not one or not other:
        return False
    if other in _TRAILS:
        return True
    if one == "→":
        return other[0].isdigit()
    if _NUMBER.fullmatch(one) and _UNIT.fullmatch(other) and not _SHORT_WORD.fullmatch(other.rstrip(".,;:)")):
        return True
    if _SIGN.fullmatch(one) and other[0].isdigit():
        return True
    if other in _SIGNS and _SYMBOL.fullmatch(one):
        return True
    if _DAY.fullmatch(one) and _month(other):
        return True
    pairs = (_THOUSANDS, _ABBREVIATION, _INSTANT, (_CODE, _COUNT))
    return any(first.fullmatch(one) and second.fullmatch(other) for first, second in pairs)


def _month(word: str) -> bool:
    return word.rstrip(".,;:)").casefold() in month_names()
