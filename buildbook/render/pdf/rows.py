"""The one shape most of the page is made of: cells of text lines side by side, cut between lines where a page ends."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace

from buildbook.render.pdf.flow import SLACK, Flow
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import HAIR
from buildbook.render.pdf.typeset import Line


@dataclass(frozen=True, slots=True)
class Cell:
    """Lines in a column. x: from the row's left edge; node: the structure element the text belongs to."""

    lines: tuple[Line, ...]
    x: float
    width: float
    node: Node | None
    align: str = "left"
    top: float = 0.0  # more space above, to bring first baselines of different sizes into line

    @property
    def height(self) -> float:
        """Height of the text."""
        return self.top + sum(line.pitch for line in self.lines)

    def fitting(self, room: float) -> int:
        """How many lines fit."""
        used, count = self.top, 0
        for line in self.lines:
            used += line.pitch
            if used > room + SLACK:
                break
            count += 1
        return count


@dataclass(frozen=True, slots=True)
class Look:
    """How a row is dressed. rules: (weight, colour) above and below; fill: a tint; bar: a thick line at the left."""

    top: float = 0.0
    bottom: float = 0.0
    above: tuple[float, str] | None = None
    below: tuple[float, str] | None = None
    fill: str = ""
    bar: str = ""


PLAIN = Look()
_SHORT_ROW = 130.0  # points
HAIRLINE = (0.4, HAIR)


class Row(Flow):
    """Cells side by side."""

    def __init__(
        self, cells: Sequence[Cell], width: float, look: Look = PLAIN, *, artifact: bool = False, x: float = 0.0
    ) -> None:
        self.cells = tuple(cells)
        self.width = width
        self.look = look
        self.artifact = artifact
        self.x = x

    def height(self) -> float:
        return self.look.top + self.look.bottom + max((cell.height for cell in self.cells), default=0.0)

    def _stays_whole(self) -> bool:
        """A row of a table is only cut when it is long; a short one goes to the next page as it is."""
        lines = max((len(cell.lines) for cell in self.cells), default=0)
        return lines < 4 or (self.header is not None and self.height() <= _SHORT_ROW)

    def least(self) -> float:
        if self._stays_whole():
            return self.height()
        first = max(cell.top + sum(line.pitch for line in cell.lines[:2]) for cell in self.cells)
        return self.look.top + first

    def split(self, room: float) -> tuple[Row, Row] | None:
        inner = room - self.look.top
        counts = [cell.fitting(inner) for cell in self.cells]
        if self._stays_whole() or room < self.least():
            return None
        for index, cell in enumerate(self.cells):  # never a single line over the page
            left = len(cell.lines) - counts[index]
            if left == 1 and counts[index] > 2:
                counts[index] -= 1
        if not any(counts) or all(count >= len(cell.lines) for count, cell in zip(counts, self.cells, strict=True)):
            return None
        pairs = list(zip(self.cells, counts, strict=True))
        head = self._part([replace(cell, lines=cell.lines[:count]) for cell, count in pairs])
        tail = self._part([replace(cell, lines=cell.lines[count:], top=0.0) for cell, count in pairs])
        head.look = replace(self.look, bottom=0.0, below=None)
        head.anchor, head.before = self.anchor, self.before
        if self.header is None:
            tail.look = replace(self.look, above=None)
        return head, tail

    def _part(self, cells: list[Cell]) -> Row:
        return Row(cells, self.width, self.look, artifact=self.artifact, x=self.x)

    def squeeze(self, room: float) -> Flow:
        parts = self.split(room)
        return parts[0] if parts else self

    def draw(self, pen: Pen, x: float, y: float) -> None:
        x += self.x
        height = self.height()
        look = self.look
        if look.fill:
            pen.fill(x, y, self.width, height, look.fill)
        if look.bar:
            pen.fill(x, y, 2.0, height, look.bar)
        if look.above:
            pen.rule(x, y, self.width, *look.above)
        if look.below:
            pen.rule(x, y + height - look.below[0], self.width, *look.below)
        pen.anchor(self.anchor, x, y)
        for cell in self.cells:
            if cell.lines:
                node = None if self.artifact else cell.node
                with pen.running() if self.artifact else nullcontext():
                    pen.lines(cell.lines, x + cell.x, y + look.top + cell.top, cell.width, cell.align, node)
