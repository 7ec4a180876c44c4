"""From a grid of raw cells to rows of text by column, as the schema of a table asks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path

from buildbook.load import headings
from buildbook.load.csv_grid import read_csv
from buildbook.load.disk import TABLE_BYTES, read_bytes
from buildbook.load.grid import Grid, NoValue, RawCell
from buildbook.load.numbers import Style, looks_like_number, spreadsheet_number
from buildbook.load.refused import Refused, shown
from buildbook.load.schemas import kind_of, resolved, schema
from buildbook.load.values import check_characters, check_damage, like_a_date, normal, tidy
from buildbook.load.xlsx_grid import read_xlsx
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import row, said

NUMBERS = frozenset({"decimal", "grade"})
DATES = frozenset({"date", "when"})
# Columns that hold a number for some rows and a name for others.
EITHER = frozenset({("readings", "value")})


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its number, its cells that are not empty, and the columns that were given but cannot be read."""

    number: int
    cells: Mapping[str, str]
    bad: frozenset[str]


@dataclass(frozen=True, slots=True)
class Table:
    """A table as read. whole: False if some of its rows, or all, could not be read."""

    name: str
    file: str
    rows: tuple[Row, ...]
    raised: tuple[Raised, ...]
    whole: bool = True


@dataclass(frozen=True, slots=True)
class _Column:
    name: str
    kind: str
    either: bool
    words: Sequence[str]

    @property
    def number(self) -> bool:
        return self.kind in NUMBERS


def read_table(root: Path, file: str, name: str) -> Table:
    """Read a `.csv` or `.xlsx` file of the job folder as the table `name`. Never raises: see Table.raised."""
    parts = schema(name)["properties"]
    try:
        data = read_bytes(root, file, TABLE_BYTES)
        known = tuple(parts)
        grid = read_csv(data, file, known) if file.endswith(".csv") else read_xlsx(data, file, name, known)
    except Refused as refused:
        return Table(name, file, (), (refused.at(Place(file)),), whole=False)
    return _understand(grid, file, name)


def _understand(grid: Grid, file: str, name: str) -> Table:
    parts = schema(name)["properties"]
    raised = list(grid.raised)
    records = [(number, record) for number, record in grid.records if any(map(_filled, record))]
    if not records:  # the very first row could not be read: the grid has said why
        return Table(name, file, (), tuple(raised), whole=False)
    first, head = records[0]
    heads = headings.match(head, first, file, tuple(parts))
    if not heads.columns:  # a workbook; CSV is refused earlier
        says = said(
            "Row {row} has none of the headings of this table ({names}, …).", row=first, names=row(list(parts)[:4])
        )
        raised.append(Raised("load.not-a-table", Place(file, row=first), says))
        return Table(name, file, (), tuple(raised), whole=False)
    raised += heads.raised
    columns = {
        index: _Column(
            column, kind_of(parts[column]), (name, column) in EITHER, resolved(name, parts[column]).get("enum", ())
        )
        for index, column in heads.columns.items()
    }
    style = _style(grid.delimiter, records[1:], columns)
    rows = tuple(_row(number, record, file, heads, columns, style, raised) for number, record in records[1:])
    _say_blank_headings(records, heads, file, raised)
    return Table(name, file, rows, tuple(raised), whole=not grid.raised)


def _filled(cell: RawCell) -> bool:
    return bool(tidy(cell)) if isinstance(cell, str) else cell is not None


def _style(delimiter: str, records: Sequence[tuple[int, Sequence[RawCell]]], columns: Mapping[int, _Column]) -> Style:
    wanted = [index for index, column in columns.items() if column.number or column.either]
    cells = (record[i] for _, record in records for i in wanted if i < len(record))
    return Style.of(delimiter, (tidy(cell) for cell in cells if isinstance(cell, str)))


def _row(
    number: int,
    record: Sequence[RawCell],
    file: str,
    heads: headings.Headings,
    columns: Mapping[int, _Column],
    style: Style,
    raised: list[Raised],
) -> Row:
    place = Place(file, row=number)
    if any(map(_filled, record[heads.width :])):
        given = len(record) - next(i for i, cell in enumerate(reversed(record)) if _filled(cell))
        says = said(
            "The row has {given} cells under {headings} headings: an unquoted separator has moved its cells.",
            given=given,
            headings=heads.width,
        )
        raised.append(Raised("load.ragged-row", place, says))
        column = columns.get(0)
        first = record[0] if record else None
        cells = {column.name: tidy(first)} if column and isinstance(first, str) and tidy(first) else {}
        return Row(number, cells, frozenset(c.name for c in columns.values()) - cells.keys())
    cells = {}
    bad: set[str] = set()
    for index, column in columns.items():
        raw = record[index] if index < len(record) else None
        if not _filled(raw):
            continue
        try:
            text = _text(raw, column, style)
        except Refused as refused:
            raised.append(refused.at(place.at(column.name)))
            bad.add(column.name)
            continue
        cells[column.name] = text
        if column.kind == "code" and like_a_date(text):
            says = said("{value} looks like a date that a spreadsheet made of a number.", value=shown(text))
            raised.append(Raised("load.date-for-number", place.at(column.name), says))
    return Row(number, cells, frozenset(bad))


def _text(raw: RawCell, column: _Column, style: Style) -> str:
    """A cell as text. Raises Refused."""
    if isinstance(raw, str):
        text = tidy(raw)
        check_characters(text)
        check_damage(text, column.kind)
        if column.number or (column.either and looks_like_number(text)):
            return style.plain(text)
        return normal(text, column.kind, column.words)
    if isinstance(raw, NoValue):
        raise Refused(
            "load.formula", said("The formula {formula} was saved without its result.", formula=shown(raw.formula))
        )
    if isinstance(raw, bool):
        return "TRUE" if raw else "FALSE"
    if isinstance(raw, int | float):
        if column.kind in DATES:
            raise Refused("load.bad-date", said("{value} is a number, not a date.", value=shown(raw)))
        return spreadsheet_number(raw, text_column=not (column.number or column.either))
    return _moment(raw, column)


def _moment(raw: date | datetime | time | timedelta | None, column: _Column) -> str:
    midnight = isinstance(raw, datetime) and raw.time() == time()
    if isinstance(raw, datetime):
        text = raw.date().isoformat() if midnight else raw.isoformat(timespec="seconds")
    else:
        text = raw.isoformat() if isinstance(raw, date | time) else str(raw)
    if column.kind in ("code", "id", "list") or column.number:
        says = said("A spreadsheet has made a date or time of what was typed here: it now says {text}.", text=text)
        raise Refused("load.spreadsheet-damage", says)
    return text


def _say_blank_headings(
    records: Sequence[tuple[int, Sequence[RawCell]]], heads: headings.Headings, file: str, raised: list[Raised]
) -> None:
    for index in heads.blank:
        for number, record in records[1:]:
            if index < len(record) and _filled(record[index]):
                says = said("Cell {n} of this row holds something under no heading, so it is not read.", n=index + 1)
                raised.append(Raised("load.unknown-column", Place(file, row=number), says))
                break
