"""How wide a line of text will be, near enough to place it, and how to cut one that is too long.

Advances of an open sans-serif family in its semi-bold weight (a little wider than the regular one), in thousandths of
an em; scripts that are not Latin, Greek or Cyrillic count as a full em. The renderer measures again what it sets.
"""

from __future__ import annotations

import unicodedata
from itertools import accumulate

LEAST = 7.0  # points; nothing is set smaller
_ASCII = (
    260, 277, 452, 646, 572, 875, 743, 250, 324, 324, 546, 572, 279, 320, 276, 399, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 276, 279, 572, 572, 572, 461, 898, 672, 659, 638, 732, 558,
    538, 726, 756, 370, 309, 647, 546, 929, 793, 787, 615, 787, 643, 550, 569, 747, 631, 953, 638,
    603, 576, 330, 399, 330, 572, 423, 333, 585, 626, 502, 626, 585, 371, 626, 638, 283, 283, 588,
    283, 960, 638, 617, 626, 626, 434, 493, 406, 638, 547, 830, 560, 548, 484, 389, 551, 389, 572,
)  # fmt: skip


def width(text: str, size: float = LEAST) -> float:
    """Width of one line in points."""
    return sum(_advance(c) for c in text) * size / 1000


def _advance(character: str) -> int:
    point = ord(character)
    if 32 <= point < 127:
        return _ASCII[point - 32]
    if unicodedata.combining(character):
        return 0
    return 640 if point < 0x0600 or 0x1E00 <= point < 0x2300 else 1000


def wrapped(text: str, room: float, size: float = LEAST) -> list[str]:
    """The text on one line, or on two where it does not fit in `room` points; the second is cut where that is not
    enough. Parted after a dot between two parts where there is one, else at a space, else between characters.
    """
    sums = _sums(text)
    if sums[-1] * size / 1000 <= room:
        return [text]
    places = [n for n, c in enumerate(text) if c == " " and text[n + 1 : n + 2] != "·"]
    bare = _bare(text, " ")
    ends = [n for n in places if sums[bare[n]] * size / 1000 <= room]
    dots = [n for n in ends if text[n - 1] == "·" and (sums[-1] - sums[n + 1]) * size / 1000 <= room]
    if dots or ends:
        at = (dots or ends)[-1]
        return [text[:at].rstrip(" "), cut(text[at + 1 :], room, size)]
    at = next(n for n in range(len(text), 0, -1) if n == 1 or sums[n] * size / 1000 <= room)
    return [text[:at], cut(text[at:], room, size)]


def cut(text: str, room: float, size: float = LEAST) -> str:
    """The text, or as much of it as fits in `room` points, with an ellipsis."""
    sums = _sums(text)
    if sums[-1] * size / 1000 <= room:
        return text
    bare, more = _bare(text), _advance("…")
    kept = next((n for n in range(len(text), 0, -1) if (sums[bare[n]] + more) * size / 1000 <= room), 0)
    return text[:kept].rstrip(" ,·") + "…"


def _sums(text: str) -> list[int]:
    """What the first 0, 1, 2, ... characters take, in thousandths of an em: any part is then one subtraction."""
    return list(accumulate(map(_advance, text), initial=0))


def _bare(text: str, spaces: str = "") -> list[int]:
    """Where the first 0, 1, 2, ... characters end without the spaces at their end; of any kind if none is named."""
    ends = [0]
    for n, c in enumerate(text, 1):
        ends.append(ends[-1] if (c in spaces if spaces else c.isspace()) else n)
    return ends
