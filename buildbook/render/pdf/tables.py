"""Tables: column widths from what stands in them, rows with quiet rules, the header again on each page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildbook.dossier.model import Column, Table, TableRow, Text
from buildbook.render.pdf.flow import Flow
from buildbook.render.pdf.rows import HAIRLINE, Cell, Look, Row
from buildbook.render.pdf.setter import Setter, spans
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import INK, PAPER, SMALL_INK, SMALL_STRONG, TABLE, UNIT, Type
from buildbook.render.pdf.typeset import Span, clamped, fitted, lines_of, longest_word, natural_width

_PAD = 4.5  # between columns, on each side
_MONO = Type("mono", 7.0, 9.75)


def table_flows(setter: Setter, table: Table, parent: Node) -> list[Flow]:
    """Caption, header and rows as flows."""
    type_ = SMALL_INK if table.dense else TABLE
    node = parent.add("Table")
    flows: list[Flow] = []
    if table.caption:
        caption = Row([_caption(setter, table, node)], setter.measure, Look(bottom=UNIT))
        caption.before, caption.keep_next = 5 * UNIT, True
        flows.append(caption)
    widths = column_widths(setter, table, type_)
    header = _header(setter, table, widths, node)
    repeated = _header(setter, table, widths, None)
    header.before = 0 if table.caption else 4 * UNIT
    header.keep_next = bool(table.rows)
    flows.append(header)
    pad = 0.75 * UNIT if table.dense else UNIT
    for index, row in enumerate(table.rows):
        made = _row(setter, table, row, widths, type_, node.add("TR"), pad)
        made.anchor, made.header = row.anchor, repeated
        last_but_one = index == len(table.rows) - 2
        made.keep_next = row.group or (last_but_one and index > 0) or (index == 0 and len(table.rows) > 1)
        flows.append(made)
    if flows:
        flows[-1].keep_next = False
    return flows


def _caption(setter: Setter, table: Table, node: Node) -> Cell:
    lines = setter.plain(SMALL_STRONG, table.caption, setter.measure)
    return Cell(lines, 0, setter.measure, node.add("Caption"))


def column_widths(setter: Setter, table: Table, type_: Type) -> list[float]:
    """Widths that add up to the measure: the wished weights, but no column narrower than its codes and words need.

    A column asks for its widest unbreakable cell, at most its fair share and a half; what cannot be had is shrunk or
    broken by the cell.
    """
    total = setter.measure
    weights = [max(column.width, 0.05) for column in table.columns]
    fair = [total * weight / sum(weights) for weight in weights]
    asked: list[float] = []
    whole: list[float] = []  # what would keep each line of each cell whole
    for index, column in enumerate(table.columns):
        cells = [row.cells[index] for row in table.rows if not row.group and index < len(row.cells)]
        face = _MONO if column.mono else type_
        said = [spans(face, cell) for cell in _some(cells)]
        lines = [natural_width(setter.fonts, cell) for cell in said]
        words = lines if column.nowrap else [longest_word(setter.fonts, cell) for cell in said]
        title = longest_word(setter.fonts, _title(column))
        whole.append(max(*lines, natural_width(setter.fonts, _title(column)), 0.0))
        most = fair[index] * 1.5 if column.nowrap else fair[index]
        asked.append(min(max(*words, title, 0.0), most) + 2 * _PAD)
    if sum(asked) >= total:
        return [want * total / sum(asked) for want in asked]
    widths = [max(want, share) for want, share in zip(asked, fair, strict=True)]
    over = sum(widths) - total
    spare = [width - want for width, want in zip(widths, asked, strict=True)]
    if over > 0 and sum(spare) > 0:
        widths = [width - over * free / sum(spare) for width, free in zip(widths, spare, strict=True)]
    return _evened(widths, [want + 2 * _PAD for want in whole])


def _evened(widths: Sequence[float], whole: Sequence[float]) -> list[float]:
    """Columns wider than all they hold give to those whose text must break, least need first."""
    made = list(widths)
    spare = [max(0.0, width - want) for width, want in zip(widths, whole, strict=True)]
    lacking = {index: want - widths[index] for index, want in enumerate(whole) if want > widths[index]}
    needy = sorted(lacking, key=lacking.__getitem__)
    left = given = sum(spare) if needy else 0.0
    for rank, index in enumerate(needy):
        more = min(lacking[index], left / (len(needy) - rank))
        made[index] += more
        left -= more
    share = (given - left) / given if given else 0.0
    return [width - share * free for width, free in zip(made, spare, strict=True)]


def _title(column: Column) -> tuple[Span, ...]:
    return (Span(column.title, "strong", SMALL_STRONG.size, INK),)


def _some(cells: Sequence[Text]) -> Sequence[Text]:
    """All cells of a table of a usual length; of a very long one the first thousand and the last."""
    return cells if len(cells) <= 2000 else [*cells[:1000], *cells[-1000:]]


def _header(setter: Setter, table: Table, widths: Sequence[float], node: Node | None) -> Row:
    row = node.add("TR") if node is not None else None
    cells: list[Cell] = []
    x = 0.0
    for index, (column, width) in enumerate(zip(table.columns, widths, strict=True)):
        inner = width - _PAD - (_PAD if index < len(widths) - 1 else 0) - (0 if index else -_PAD)
        title = _title(column)
        most = 4 if node is None else 1000  # the repeated header is never most of a page
        lines = clamped(setter.fonts, title, inner, SMALL_STRONG.pitch, most).lines
        th = row.add("TH", scope="Column") if row is not None else None
        cells.append(Cell(lines, x + (_PAD if index else 0), inner, th, column.align))
        x += width
    tallest = max((cell.height for cell in cells), default=0.0)
    cells = [Cell(c.lines, c.x, c.width, c.node, c.align, tallest - c.height) for c in cells]
    look = Look(top=UNIT, bottom=UNIT, above=(0.9, INK), below=(0.5, INK))
    return Row(cells, setter.measure, look, artifact=node is None)


def _row(
    setter: Setter, table: Table, row: TableRow, widths: Sequence[float], type_: Type, node: Node, pad: float
) -> Row:
    if row.group:
        text = row.cells[0] if row.cells else ()
        strong = Type("strong", type_.size, type_.pitch)
        th = node.add("TH", scope="Row", span=len(widths))
        pairs = zip(text, spans(strong, text), strict=True)
        said = [replace(span, face="text") if run.tone == "quiet" else span for run, span in pairs]
        lines = lines_of(setter.fonts, said, setter.measure - 2 * _PAD, strong.pitch)
        cell = Cell(lines, _PAD, setter.measure - 2 * _PAD, th)
        return Row([cell], setter.measure, Look(top=pad, bottom=pad, below=HAIRLINE, fill=PAPER))
    cells: list[Cell] = []
    x = 0.0
    for index, (column, width) in enumerate(zip(table.columns, widths, strict=True)):
        inner = width - _PAD - (_PAD if index < len(widths) - 1 else 0) - (0 if index else -_PAD)
        text = row.cells[index] if index < len(row.cells) else ()
        cells.append(_cell(setter, column, spans(_face(column, type_), text), x + (_PAD if index else 0), inner, node))
        x += width
    return Row(cells, setter.measure, Look(top=pad, bottom=pad, below=HAIRLINE))


def _face(column: Column, type_: Type) -> Type:
    return _MONO if column.mono else type_


def _cell(setter: Setter, column: Column, text: Sequence[Span], x: float, width: float, node: Node) -> Cell:
    pitch = TABLE.pitch
    lines = fitted(setter.fonts, text, width, pitch) if column.nowrap else lines_of(setter.fonts, text, width, pitch)
    return Cell(lines, x, width, node.add("TD"), column.align)
