"""Tables kept as workbooks (.xlsx), read through openpyxl."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Collection, Iterator, Sequence
from itertools import repeat
from typing import Any

from buildbook.load.grid import MOST_COLUMNS, MOST_ROWS, Grid, NoValue, RawCell
from buildbook.load.headings import heading
from buildbook.load.refused import Refused, listed
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import figure, said

MOST_UNPACKED = 100_000_000  # bytes
MOST_CELLS = 400_000
MOST_PARTS = 5_000
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_FORMULA = re.compile(rb"<(?:[A-Za-z][\w.-]*:)?f[ >/]")
_ENTITY = re.compile(rb"<\x00?!\x00?(?:D\x00?O\x00?C\x00?T|E\x00?N\x00?T)")
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")  # ST_Xstring of ISO/IEC 29500-1: a character XML cannot hold
_ZEROS = re.compile(r"0{2,30}")


def read_xlsx(data: bytes, file: str, table: str, known: Collection[str]) -> Grid:
    """The records of a workbook: of the sheet named as the table, else of the first visible sheet.

    Formulas give their saved result. Raises Refused (load.not-a-table, load.too-big), also for encrypted
    workbooks, other files under this name, and packed contents of more than MOST_UNPACKED bytes.
    """
    has_formulas = _look_inside(data)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions that hold no data
            values = _open(data, data_only=True)
            formulas = _open(data, data_only=False) if has_formulas else None
            sheet, others = _sheet(values, table, known)
            rows = _rows(sheet, formulas[sheet.title] if formulas is not None else None)
            records = tuple(rows)
    except Refused:
        raise
    except Exception as error:  # openpyxl and zipfile raise whatever a damaged part makes them raise
        raise Refused(
            "load.not-a-table", said("The workbook is damaged: {fault}.", fault=type(error).__name__)
        ) from error
    raised: list[Raised] = []
    if others:
        says = said(
            "Only the sheet {sheet} is read; {sheets} hold something too.", sheet=sheet.title, sheets=listed(others)
        )
        raised.append(Raised("load.other-sheets", Place(file), says))
    if len(records) > MOST_ROWS:
        says = said("It has more than {limit} rows; the rest is not read.", limit=figure(MOST_ROWS, ","))
        raised.append(Raised("load.too-big", Place(file, row=MOST_ROWS + 1), says))
        records = records[:MOST_ROWS]
    if not records:
        raise Refused("load.not-a-table", said("It is empty: there is not even a row of headings."))
    return Grid(records, "", tuple(raised))


def _look_inside(data: bytes) -> bool:
    """Whether there are formulas. Raises Refused on what is no workbook, or must not be unpacked."""
    if data.startswith(_OLD_OFFICE):
        says = said("It is protected by a password, or an old workbook (.xls) under a new name.")
        raise Refused("load.not-a-table", says)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            unpacked = sum(part.file_size for part in parts)
            if unpacked > MOST_UNPACKED or len(parts) > MOST_PARTS:
                says = said(
                    "Unpacked it would be {size} bytes in {n} parts: no table is that big.",
                    size=figure(unpacked, ","),
                    n=figure(len(parts), ","),
                )
                raise Refused("load.too-big", says)
            names = {part.filename for part in parts}
            if "[Content_Types].xml" not in names or not any(n.endswith("workbook.xml") for n in names):
                raise Refused("load.not-a-table", said("It is a ZIP archive, not a workbook."))
            if any(part.flag_bits & 1 for part in parts):
                raise Refused("load.not-a-table", said("It is protected by a password."))
            formulas = False
            for part in parts:
                if not part.filename.endswith((".xml", ".rels")):
                    continue
                content = archive.read(part)
                if _ENTITY.search(content):
                    raise Refused(
                        "load.not-a-table",
                        said("Its part {name} declares entities; no workbook does.", name=part.filename),
                    )
                formulas = formulas or ("worksheets/" in part.filename and bool(_FORMULA.search(content)))
            return formulas
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, OSError, EOFError, ValueError) as error:
        raise Refused("load.not-a-table", said("It is not a workbook, or it is damaged.")) from error


def _open(data: bytes, *, data_only: bool) -> Any:
    from openpyxl import load_workbook

    return load_workbook(io.BytesIO(data), read_only=True, data_only=data_only, keep_links=False)


def _sheet(book: Any, table: str, known: Collection[str]) -> tuple[Any, tuple[str, ...]]:
    """The sheet to read, and the titles of other sheets with this table's headings or any content."""
    sheets = [s for s in book.worksheets if hasattr(s, "iter_rows")]
    if not sheets:
        raise Refused("load.not-a-table", said("It has no sheet with cells."))
    visible = [s for s in sheets if getattr(s, "sheet_state", "visible") == "visible"] or sheets
    named = [s for s in visible if heading(s.title) == table]
    chosen = (named or visible)[0]
    others = tuple(s.title for s in visible if s is not chosen and not named and _holds_something(s))
    return chosen, others


def _holds_something(sheet: Any) -> bool:
    sheet.reset_dimensions()
    rows = sheet.iter_rows(max_row=20, max_col=MOST_COLUMNS, values_only=True)
    return any(value is not None for row in rows for value in row)


def _rows(sheet: Any, formulas: Any) -> Iterator[tuple[int, Sequence[RawCell]]]:
    """Numbered rows up to the last one with something in it, at most MOST_ROWS + 1 of them."""
    waiting: list[tuple[int, Sequence[RawCell]]] = []
    held = 0
    written = _cells(formulas) if formulas is not None else repeat(())
    for number, (row, beside) in enumerate(zip(_cells(sheet), written, strict=False), start=1):
        cells = [_value(cell) for cell in row]
        for index, cell in enumerate(beside[: len(cells)]):
            if cells[index] is None and cell.data_type == "f":
                cells[index] = NoValue(str(cell.value))
        if any(c is not None for c in cells[MOST_COLUMNS:]):
            raise Refused(
                "load.not-a-table",
                said("Row {row} has more than {limit} cells.", row=number, limit=MOST_COLUMNS),
                row=number,
            )
        while cells and cells[-1] is None:
            cells.pop()
        held += len(cells)
        if held > MOST_CELLS:
            raise Refused(
                "load.too-big", said("It has more than {limit} cells.", limit=figure(MOST_CELLS, ",")), row=number
            )
        waiting.append((number, cells))
        if cells:
            yield from waiting
            waiting = []


def _cells(sheet: Any) -> Iterator[Sequence[Any]]:
    sheet.reset_dimensions()  # what the file says of its own size is often wrong
    yield from sheet.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS + 1)


def _value(cell: Any) -> RawCell:
    value: RawCell = cell.value
    if isinstance(value, str):
        value = _ESCAPE.sub(lambda found: chr(int(found[1], 16)), value)
        return value if value.strip() else None
    if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
        shape = cell.number_format
        if isinstance(shape, str) and _ZEROS.fullmatch(shape):
            return str(value).zfill(len(shape))  # the zeros are the cell's format: what the person sees
    return value
