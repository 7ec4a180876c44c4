"""Drawings and the seal mark: vector shapes on the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildbook.dossier.drawing import Drawing, Label, Path
from buildbook.dossier.model import Figure, SealMark
from buildbook.dossier.wording import _
from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.pen import Pen, num, rgb
from buildbook.render.pdf.rows import Cell, Look, Row
from buildbook.render.pdf.setter import Setter
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import BODY, INK, LEAST_SIZE, SMALL_INK, UNIT, Type
from buildbook.render.pdf.typeset import Line, Span, lines_of
from buildbook.render.qr import dark_runs

_SEAL = Type("mono", 9.0, 13.0)


@dataclass(frozen=True, slots=True)
class _Words:
    """A label of a drawing, set."""

    line: Line
    x: float
    y: float


class DrawingFlow(Flow):
    """A drawing scaled to a width; its labels never become smaller than the least size."""

    def __init__(self, setter: Setter, drawing: Drawing, width: float, node: Node, links: Node) -> None:
        self.drawing = drawing
        self.scale = width / drawing.width
        self.node = node
        self.links = links  # beside the figure: what is inside one is read as its alternative text alone
        self._setter = setter
        self._labels = [self._set(item) for item in drawing.items if isinstance(item, Label)]

    def _set(self, label: Label) -> _Words:
        fonts = self._setter.fonts
        size = max(label.size * min(self.scale, 1.0), LEAST_SIZE)
        text = label.text.replace("\n", " ")
        span = Span(text, "strong" if label.bold else "text", size, label.colour)
        (line, *_rest) = lines_of(fonts, [span], 1e6, size)
        x = label.x * self.scale - {"start": 0.0, "middle": line.width / 2, "end": line.width}[label.anchor]
        return _Words(line, x, label.y * self.scale)

    def height(self) -> float:
        return self.drawing.height * self.scale

    def squeeze(self, room: float) -> Flow:
        width = self.drawing.width * room / self.drawing.height
        made = DrawingFlow(self._setter, self.drawing, width, self.node, self.links)
        made.anchor, made.keep_next = self.anchor, self.keep_next
        return made

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.anchor(self.anchor, x, y)
        pen.covers(self.node, x, y, self.drawing.width * self.scale, self.height())
        with pen.tagged(self.node):
            pen.raw("q")
            for item in self.drawing.items:
                if isinstance(item, Path):
                    pen.raw(self._path(item, x, pen.sheet.height - y))
            pen.raw("Q")
        for words in self._labels:
            middle = (words.line.pitch + words.line.size * 0.70) / 2
            pen.line(words.line, x + words.x, y + words.y - middle, self.node)
        for item in self.drawing.items:
            if isinstance(item, Path) and item.link and pen.leads(item.link):
                left, top, wide, high = self._bounds(item)
                link = self.links.add("Link", alt=item.title or item.link)
                pen.link(x + left, y + top, wide, high, item.link, item.title or item.link, link)

    def _path(self, path: Path, x: float, y: float) -> str:
        scale = self.scale
        out: list[str] = []
        for name, *numbers in path.commands:
            points = [float(value) for value in numbers]
            placed = [
                num(x + value * scale) if index % 2 == 0 else num(y - value * scale)
                for index, value in enumerate(points)
            ]
            out.append(" ".join([*placed, {"M": "m", "L": "l", "C": "c", "Z": "h"}[str(name)]]))
        dash = " ".join(num(part * scale) for part in path.dash)
        dressed = [f"[{dash}] 0 d 1 J 1 j"]
        if path.fill:
            dressed.append(f"{rgb(path.fill)} rg")
        if path.stroke:
            dressed.append(f"{rgb(path.stroke)} RG {num(max(path.width * scale, 0.2))} w")
        paints = {(True, True): "B", (True, False): "f", (False, True): "S", (False, False): "n"}
        paint = paints[bool(path.fill), bool(path.stroke)]
        return " ".join([*dressed, *out, paint])

    def _bounds(self, path: Path) -> tuple[float, float, float, float]:
        xs: list[float] = []
        ys: list[float] = []
        for _name, *numbers in path.commands:
            for index, value in enumerate(numbers):
                (ys if index % 2 else xs).append(float(value) * self.scale)
        if not xs or not ys:
            return 0.0, 0.0, 0.0, 0.0
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def figure(setter: Setter, block: Figure, parent: Node) -> list[Flow]:
    """A drawing at its own size, or as wide as the measure, and its caption."""
    if block.drawing.width <= 0 or block.drawing.height <= 0:
        return []
    group = parent.add("Div")
    node = group.add("Figure", alt=block.drawing.alt)
    links = group.add("P")
    width = min(block.drawing.width, setter.measure)
    tall = block.drawing.height * width / block.drawing.width
    most = setter.sheet.depth * 0.8
    made = DrawingFlow(setter, block.drawing, width if tall <= most else width * most / tall, node, links)
    made.before, made.anchor = 4 * UNIT, block.anchor
    if not block.caption:
        return [made]
    made.keep_next = True
    lines = setter.lines(SMALL_INK, block.caption, setter.text_width)
    return [made, Row([Cell(lines, 0, setter.text_width, group.add("Caption"))], setter.text_width, Look(top=UNIT))]


class QrCode(Flow):
    """A QR code (ISO/IEC 18004) as one vector path of dark runs."""

    def __init__(self, payload: str, side: float, node: Node) -> None:
        self.rows = dark_runs(payload)
        self.side = side
        self.node = node

    def height(self) -> float:
        return self.side

    def draw(self, pen: Pen, x: float, y: float) -> None:
        count = len(self.rows)
        cell = self.side / count
        out = [f"q {rgb(INK)} rg"]
        for line, row in enumerate(self.rows):
            for start, length in row:
                top = pen.sheet.height - y - (line + 1) * cell
                out.append(f"{num(x + start * cell)} {num(top)} {num(length * cell)} {num(cell)} re")
        pen.covers(self.node, x, y, self.side, self.side)
        with pen.tagged(self.node):
            pen.raw(" ".join([*out, "f Q"]))


class SealFlow(Flow):
    """The QR code with the whole seal and its text beside it."""

    def __init__(self, qr: QrCode, rows: Sequence[Row], x: float) -> None:
        self.qr = qr
        self.rows = tuple(rows)
        self.x = x

    def height(self) -> float:
        return max(self.qr.height(), sum(row.before + row.height() for row in self.rows))

    def draw(self, pen: Pen, x: float, y: float) -> None:
        self.qr.draw(pen, x, y)
        for row in self.rows:
            y += row.before
            row.draw(pen, x + self.x, y)
            y += row.height()


def seal_mark(setter: Setter, block: SealMark, parent: Node) -> list[Flow]:
    """The seal: code at the left, in groups of four beside it, what it means below."""
    side = setter.sheet.columns(3)
    x = setter.sheet.columns(4) - setter.sheet.columns(1) + 13.0
    width = setter.measure - x
    node = parent.add("Figure", alt=_("QR code: {code}").format(code=block.payload))
    seal = [block.seal[start : start + 4] for start in range(0, len(block.seal), 4)]
    lines: list[Line] = []
    for start in range(0, len(seal), 8):
        lines += setter.plain(_SEAL, " ".join(seal[start : start + 8]), width)
    rows = [Row([Cell(tuple(lines), 0, width, parent.add("P"))], width)]
    flow = SealFlow(QrCode(block.payload, side, node), rows, x)
    flow.before = 6 * UNIT
    flows: list[Flow] = [flow]
    if block.text:
        text = Row([Cell(setter.lines(BODY, block.text, width), 0, width, parent.add("P"))], width)
        text.before = 2 * UNIT
        if sum(row.height() for row in rows) + text.height() + text.before <= max(side * 1.5, 160):
            flow.rows = (*rows, text)
        else:
            text.cells = tuple(
                Cell(setter.lines(BODY, block.text, setter.text_width), 0, setter.text_width, text.cells[0].node)
                for _ in (0,)
            )
            flows.append(text)
    return flows
