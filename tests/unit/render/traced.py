"""What was set where: each line with the cell it was set into, each rule and each picture, noted while a page is drawn.

Measured against each other here, and against the words as poppler finds them on the finished page.
"""

from __future__ import annotations

import re
import subprocess
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.typeset import Line

NOT_FIRST = tuple("、。，．）」』】〕］")  # JIS X 4051 and JLReq 3.1.7, the marks of these that the catalogues use
NOT_LAST = tuple("（「『【〔［")  # the same, 3.1.8
_HANG = 6.0  # points a dot between two parts may hang over the end of its line
_TOUCH = 0.3  # points that two boxes may have in common


@dataclass(frozen=True, slots=True)
class Box:
    """Left, top, right, bottom in points from the top left of its page."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether they have more in common than a touch."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > _TOUCH and down > _TOUCH


    def holds(self, other: Box) -> bool:
        """Whether the other lies within."""
        return (
            self.left <= other.left and self.top <= other.top
            and other.right <= self.right and other.bottom <= self.bottom
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line of text: the box of its letters, what it says; cell: left and right of what it was set into."""

    box: Box
    said: str
    least: float  # its smallest type
    cell: tuple[float, float] | None


@dataclass(slots=True)
class Trace:
    """Of each page, from 0, what stands on it."""

    lines: dict[int, list[SetLine]] = field(default_factory=lambda: defaultdict(list))
    rules: dict[int, list[Box]] = field(default_factory=lambda: defaultdict(list))
    pictures: dict[int, list[Box]] = field(default_factory=lambda: defaultdict(list))
    grounds: dict[int, list[tuple[Box, int]]] = field(default_factory=lambda: defaultdict(list))  # after n pictures
    cells: list[tuple[int, list[Line]]] = field(default_factory=list)


@contextmanager
def traced(monkeypatch: Any) -> Iterator[Trace]:
    """Note what the pen sets while this lasts."""
    made = Trace()
    held: list[tuple[float, float]] = []
    one, many, fill, image = Pen.line, Pen.lines, Pen.fill, Pen.image

    def line(pen: Pen, line: Line, x: float, y: float, *more: Any) -> None:
        inked = [piece for piece in line.pieces if said(piece).strip()]
        if inked:
            size = max(piece.span.size for piece in inked)
            base = y + (line.pitch + line.size * 0.70) / 2
            box = Box(x + inked[0].x, base - 0.72 * size, x + inked[-1].x + inked[-1].width, base + 0.2 * size)
            words = "".join(said(piece) + (" " if piece.gap else "") for piece in line.pieces).strip()
            least = min(piece.span.size for piece in inked)
            made.lines[pen.page].append(SetLine(box, words, least, held[-1] if held else None))
        one(pen, line, x, y, *more)

    def lines(pen: Pen, lines: Any, x: float, y: float, width: float, align: str, node: Any) -> float:
        held.append((x, x + width))
        made.cells.append((pen.page, list(lines)))
        try:
            return many(pen, lines, x, y, width, align, node)
        finally:
            held.pop()

    def filled(pen: Pen, x: float, y: float, width: float, height: float, colour: str) -> None:
        if min(width, height) <= 2:
            made.rules[pen.page].append(Box(x, y, x + width, y + height))
        else:
            made.grounds[pen.page].append((Box(x, y, x + width, y + height), len(made.pictures[pen.page])))
        fill(pen, x, y, width, height, colour)

    def pictured(pen: Pen, name: str, path: Path, x: float, y: float, width: float, height: float, node: Any) -> None:
        made.pictures[pen.page].append(Box(x, y, x + width, y + height))
        image(pen, name, path, x, y, width, height, node)

    with monkeypatch.context() as patched:
        for name, does in (("line", line), ("lines", lines), ("fill", filled), ("image", pictured)):
            patched.setattr(Pen, name, does)
        yield made


def said(piece: Any) -> str:
    """The text of a piece of a line."""
    return "".join(run.text for run in piece.runs)


def faults(trace: Trace, width: float, height: float) -> Iterator[tuple[int, str, str]]:
    """Page from 1, what is wrong, the words: out of the cell or the sheet, upon another, upon a rule or a picture."""
    for page, lines in sorted(trace.lines.items()):
        for set_ in lines:
            box = set_.box
            if set_.least < 7 - 1e-6:
                yield page + 1, "too small", set_.said
            if set_.cell:
                hang = _HANG if set_.said.endswith(" ·") else 0.05
                if box.left < set_.cell[0] - hang or box.right > set_.cell[1] + hang:
                    yield page + 1, "out of its cell", set_.said
            if box.left < 0 or box.top < 0 or box.right > width or box.bottom > height:
                yield page + 1, "out of the sheet", set_.said
            if any(box.meets(rule) for rule in trace.rules[page]):
                yield page + 1, "upon a rule", set_.said
            upon = [at for at, picture in enumerate(trace.pictures[page], 1) if box.meets(picture)]
            if upon and not any(ground.holds(box) and after >= upon[-1] for ground, after in trace.grounds[page]):
                yield page + 1, "upon a picture", set_.said
        ordered = sorted(lines, key=lambda set_: set_.box.top)
        for index, set_ in enumerate(ordered):
            for other in ordered[index + 1 :]:
                if other.box.top >= set_.box.bottom:
                    break
                if set_.box.meets(other.box):
                    yield page + 1, "upon another", f"{set_.said} | {other.said}"


def ill_parted(trace: Trace) -> Iterator[tuple[int, str, str]]:
    """Page from 1, what is wrong, where: marks that may not begin or end a line, words broken between their letters."""
    for page, lines in trace.cells:
        for one, other in pairwise(lines):
            if not one.pieces or not other.pieces:
                continue
            last, first = one.pieces[-1], other.pieces[0]
            before, after = said(last), said(first)
            if after.startswith(NOT_FIRST) or before.endswith(NOT_LAST):
                yield page + 1, "mark", f"{before} | {after}"
            letters = re.search(r"[^\W\d_]{2,}$", before), re.match(r"[^\W\d_]{2,}", after)
            if all(letters) and not last.gap and last.span is first.span and before[-1] < "\u0e00" and after[0] < "\u0e00":
                yield page + 1, "word", f"{before} | {after}"


def words_of(pdf: Path) -> list[list[tuple[Box, str]]]:
    """Of each page its words, as poppler finds and measures them."""
    told = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True).stdout.decode("utf-8")
    word = re.compile(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</word>')
    return [
        [(Box(*map(float, found[:4])), found[4]) for found in word.findall(page)]
        for page in re.findall(r"<page .*?</page>", told, re.S)
    ]


def strays(trace: Trace, pdf: Path) -> Iterator[tuple[int, str]]:
    """Page from 1 and word: what poppler measures beyond every line that was noted there."""
    for page, words in enumerate(words_of(pdf)):
        for box, word in words:
            middle = (box.top + box.bottom) / 2
            if not any(
                line.box.top - 3 <= middle <= line.box.bottom + 3
                and line.box.left - 0.6 <= box.left
                and box.right <= line.box.right + 0.6
                for line in trace.lines[page]
            ):
                yield page + 1, word
