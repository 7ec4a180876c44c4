"""Text blocks as flows: headings, paragraphs, claims beside their evidence, facts, counters, cautions, commands."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.dossier.model import (
    Bullets,
    CautionBox,
    Claim,
    Code,
    Counter,
    Counters,
    Heading,
    KeyValues,
    Paragraph,
    Run,
    Text,
)
from buildbook.render.pdf import words
from buildbook.render.pdf.breaks import wide
from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.rows import HAIRLINE, Cell, Look, Row
from buildbook.render.pdf.setter import Setter, refs
from buildbook.render.pdf.stacks import Stacks, halfway
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import (
    BODY,
    GUTTER,
    HEAD_1,
    HEAD_2,
    HEAD_3,
    INK,
    LEAD,
    MONO,
    PAPER,
    QUIET,
    SMALL,
    SMALL_INK,
    TONES,
    UNIT,
    WARN,
    Type,
)
from buildbook.render.pdf.typeset import Span, clamped, lines_of

_COUNTER = Type("display", 24.0, 29.25)


def stacked(rows: Sequence[Row]) -> list[Flow]:
    """Rows that must not be parted from the one after."""
    for row in rows[:-1]:
        row.keep_next = True
    return list(rows)


def heading(setter: Setter, block: Heading, parent: Node, role: str) -> list[Flow]:
    """A heading, its eyebrow above it. Level 1 is a section opening: a strong rule, the number beside the title."""
    type_ = {1: HEAD_1, 2: HEAD_2, 3: HEAD_3}[block.level]
    width = setter.measure if block.level < 3 else setter.text_width
    node = parent.add(role)
    rows: list[Row] = []
    above = (1.4, INK) if block.level == 1 else None
    if block.eyebrow:
        lines = setter.plain(SMALL, block.eyebrow, width)
        rows.append(Row([Cell(lines, 0, width, node)], width, Look(top=2 * UNIT if above else 0, above=above)))
        above = None
    title: list[Span] = []
    face = "strong" if wide(block.text) else type_.face  # there is one face for ideographs; its figures go with it
    if block.number:
        title.append(Span(block.number + "\u00a0\u00a0", face, type_.size, QUIET if block.level < 3 else INK))
    title.append(Span(block.text, face, type_.size, type_.colour))
    lines = lines_of(setter.fonts, title, width, type_.pitch)
    top = 2 * UNIT if above else 0.0
    rows.append(Row([Cell(lines, 0, width, node)], width, Look(top=top, bottom=_below(block.level), above=above)))
    rows[0].before = {1: 8 * UNIT, 2: 8 * UNIT, 3: 5 * UNIT}[block.level]
    rows[0].anchor = block.anchor
    for row in rows:
        row.keep_next = True
    return list(rows)


def _below(level: int) -> float:
    return {1: 4 * UNIT, 2: 1 * UNIT, 3: 0.0}[level]


def paragraph(setter: Setter, block: Paragraph, parent: Node) -> list[Flow]:
    """Running text in the eight text columns."""
    type_ = {"body": BODY, "lead": LEAD, "quiet": SMALL}[block.style]
    lines = setter.lines(type_, block.text, setter.text_width)
    row = Row([Cell(lines, 0, setter.text_width, parent.add("P"))], setter.text_width)
    row.before = {"body": 2 * UNIT, "lead": 2 * UNIT, "quiet": 2 * UNIT}[block.style]
    row.anchor = block.anchor
    return [row]


def claim(setter: Setter, block: Claim, parent: Node) -> list[Flow]:
    """A statement in the text columns, the evidence for it beside it."""
    node = parent.add("P")
    text = Cell(setter.lines(BODY, block.text, setter.text_width), 0, setter.text_width, node)
    side: list[Span] = []
    if block.evidence:
        side += refs(SMALL, block.evidence)
    else:
        side.append(Span(words.NO_EVIDENCE, "strong", SMALL.size, WARN))
    if block.stated_by:
        side.append(Span("\n" + words.stated_by(block.stated_by), SMALL.face, SMALL.size, SMALL.colour))
    lines = lines_of(setter.fonts, side, setter.side_width, SMALL.pitch)
    beside = Cell(lines, setter.side_x, setter.side_width, parent.add("P"), top=UNIT * 0.75)
    row = Row([text, beside], setter.measure, Look(top=UNIT, bottom=UNIT, below=HAIRLINE))
    return [row]


def bullets(setter: Setter, block: Bullets, parent: Node) -> list[Flow]:
    """A list."""
    node = parent.add("L")
    rows: list[Flow] = []
    indent = 9.75
    for index, item in enumerate(block.items):
        entry = node.add("LI")
        mark = Cell(setter.plain(BODY, "•", indent), 0, indent, entry.add("Lbl"))
        width = setter.text_width - indent
        row = Row([mark, Cell(setter.lines(BODY, item, width), indent, width, entry.add("LBody"))], setter.text_width)
        row.before = (0.5 if index else 2) * UNIT
        rows.append(row)
    return rows


def key_values(setter: Setter, block: KeyValues, parent: Node, measure: float | None = None) -> list[Flow]:
    """Facts: the label quiet, the value beside it, a hairline below. Two columns are read down, then across.

    measure: the width in points they may take, else all of the type area.
    """
    columns = block.columns if len(block.rows) > 3 else 1
    gap = 2 * GUTTER if measure is None else GUTTER
    width = ((measure or setter.measure) - (columns - 1) * gap) / columns
    table = parent.add("Table")
    rows = [_fact(setter, label, value, width, columns, table.add("TR")) for label, value in block.rows]
    if columns == 1:
        rows[0].before = 3 * UNIT
        if len(rows) > 1:
            rows[0].keep_next = rows[-2].keep_next = True
        return list(rows)
    cut = halfway([row.height() for row in rows])
    made = Stacks([rows[:cut], rows[cut:]], width + gap)
    made.before = 3 * UNIT
    return [made]


def _fact(setter: Setter, label: str, value: Text, width: float, columns: int, node: Node) -> Row:
    label_width = width * (0.36 if columns == 2 else 0.24)
    said = setter.plain(SMALL, label, label_width - 6)
    left = Cell(said, 0, label_width - 6, node.add("TH", scope="Row"), top=2.0)
    lines = setter.lines(BODY, value, width - label_width)
    right = Cell(lines, label_width, width - label_width, node.add("TD"))
    return Row([left, right], width, Look(top=0.75 * UNIT, bottom=0.75 * UNIT, below=HAIRLINE))


def counters(setter: Setter, block: Counters, parent: Node) -> list[Flow]:
    """The summary's figures, four across: the number large, what it counts below, a coloured edge above."""
    count = len(block.items)
    across = 4 if count % 4 == 0 or (count > 6 and count % 3) else min(3, max(count, 1))
    width = (setter.measure - (across - 1) * GUTTER) / across
    flows: list[Flow] = []
    for start in range(0, len(block.items), across):
        cells: list[Cell] = []
        edges: list[tuple[float, float, str]] = []
        cut: list[Counter] = []
        for index, item in enumerate(block.items[start : start + across]):
            x = index * (width + GUTTER)
            cells += _counter(setter, item, x, width, parent, cut)
            edges.append((x, width, TONES.get(item.tone, INK)))
        more = [_whole_counter(setter, item, parent) for item in cut]
        row = CounterRow(cells, setter.measure, Look(top=2 * UNIT, bottom=2 * UNIT), edges)
        row.before = (3 if start else 4) * UNIT
        flows += [row, *more]
    return flows


def _counter(setter: Setter, item: Counter, x: float, width: float, parent: Node, cut: list[Counter]) -> list[Cell]:
    colour = TONES.get(item.tone, INK)
    value = clamped(setter.fonts, [Span(item.value, "display", _COUNTER.size, colour)], width, _COUNTER.pitch, 1)
    label = clamped(
        setter.fonts, [Span(item.label, "text", SMALL.size, INK, item.target, shows=False)], width, SMALL.pitch, 4
    )
    node = None  # what is cut here is read where it stands whole
    if value.rest or label.rest:
        cut.append(item)
    else:
        node = parent.add("P")
    below = _COUNTER.pitch + 0.5 * UNIT
    return [Cell(value.lines, x, width, node), Cell(label.lines, x, width, node, top=below)]


def _whole_counter(setter: Setter, item: Counter, parent: Node) -> Flow:
    text = (Run(item.value, "strong"), Run("  "), Run(item.label, "plain", item.target))
    cell = Cell(setter.lines(SMALL_INK, text, setter.measure), 0, setter.measure, parent.add("P"))
    row = Row([cell], setter.measure)
    row.before = UNIT
    return row


class CounterRow(Row):
    """Counters with their coloured edges."""

    def __init__(
        self, cells: Sequence[Cell], width: float, look: Look, edges: Sequence[tuple[float, float, str]]
    ) -> None:
        super().__init__(cells, width, look)
        self.edges = tuple(edges)

    def split(self, room: float) -> None:
        del room

    def draw(self, pen: Pen, x: float, y: float) -> None:
        for start, width, colour in self.edges:
            pen.rule(x + start, y, width, 1.4, colour)
        super().draw(pen, x, y)


def caution(setter: Setter, block: CautionBox, parent: Node) -> list[Flow]:
    """A caution: a bar at its left, its title and text, its source in small print."""
    width, pad = setter.text_width, 4 * UNIT
    inner = width - pad - 3 * UNIT
    node = parent.add("Div")
    title = [Span(words.CAUTION, "strong", BODY.size, WARN)]
    if block.title:
        title.append(Span("\u00a0\u00a0" + block.title, "strong", BODY.size, INK))
    parts = [lines_of(setter.fonts, title, inner, BODY.pitch), setter.plain(BODY, block.text, inner)]
    if block.source:
        parts.append(setter.plain(SMALL, words.source(block.source), inner))
    rows: list[Row] = []
    for index, lines in enumerate(parts):
        look = Look(
            top=2 * UNIT if index == 0 else (UNIT if index == 2 else 0.0),
            bottom=2 * UNIT if index == len(parts) - 1 else 0.0,
            fill=PAPER, bar=WARN,
        )  # fmt: skip
        rows.append(Row([Cell(lines, pad, inner, node.add("P"))], width, look))
    rows[0].before = 3 * UNIT
    return stacked(rows)


def code(setter: Setter, block: Code, parent: Node) -> list[Flow]:
    """Commands as they are typed; a line too long goes on below, indented."""
    pad = 3 * UNIT
    width = setter.measure
    node = parent.add("P").add("Code")
    rows: list[Row] = []
    for index, line in enumerate(block.lines or ("",)):
        lines = setter.plain(MONO, line.replace("  ", "\u00a0\u00a0"), width - 2 * pad)
        look = Look(
            top=1.5 * UNIT if index == 0 else 0.0,
            bottom=1.5 * UNIT if index == len(block.lines) - 1 else 0.0,
            fill=PAPER,
        )
        rows.append(Row([Cell(lines, pad, width - 2 * pad, node)], width, look))
    rows[0].before = 3 * UNIT
    if len(rows) <= 8:
        return stacked(rows)
    return list(rows)
