"""CSV as people save it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Collection

from buildbook.load.disk import as_text
from buildbook.load.grid import MOST_COLUMNS, MOST_ROWS, Grid
from buildbook.load.headings import heading
from buildbook.load.refused import Refused
from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import figure, row, said, said_of, word

DELIMITERS = (",", ";", "\t")
_NAMES = {",": N_("commas"), ";": N_("semicolons"), "\t": N_("tabs")}
_SEP_LINE = re.compile(r"sep=(.)\r?\n?", re.IGNORECASE)
_NOT_TEXT = (
    (b"PK\x03\x04", N_("It is a workbook or a ZIP archive, not CSV text.")),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", N_("It is an old workbook, not CSV text.")),
    (b"%PDF", N_("It is a PDF, not CSV text.")),
    (b"\xff\xd8\xff", N_("It is a picture, not CSV text.")),
    (b"\x89PNG", N_("It is a picture, not CSV text.")),
    (b"\x1f\x8b", N_("It is a compressed file, not CSV text.")),
)


def read_csv(data: bytes, file: str, known: Collection[str]) -> Grid:
    """The records of a CSV file. known: the column names that tell which sign separates the columns.

    UTF-8 (with or without its mark) or marked UTF-16; comma, semicolon or tab; any line ending; line breaks in
    quotes. Records are counted as a spreadsheet shows them: a quoted line break starts no new row, an empty line
    is a row, a `sep=` line is none. Raises Refused (load.not-utf8, load.not-a-table).
    """
    for magic, says in _NOT_TEXT:
        if data.startswith(magic):
            raise Refused("load.not-a-table", said_of(says))
    text = as_text(data)
    if not text.strip():
        raise Refused("load.not-a-table", said("It is empty: there is not even a row of headings."))
    announced = _SEP_LINE.match(text)
    if announced:
        text = text[announced.end() :]
    delimiter = _delimiter(text, known)
    records: list[tuple[int, list[str]]] = []
    raised: list[Raised] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    while True:
        number += 1
        try:
            record = next(reader)
        except StopIteration:
            break
        except csv.Error as error:
            raised.append(_broken(error, file, number))
            break
        if number > MOST_ROWS:
            says = said("It has more than {limit} rows; the rest is not read.", limit=figure(MOST_ROWS, ","))
            raised.append(Raised("load.too-big", Place(file, row=number), says))
            break
        if len(record) > MOST_COLUMNS:
            raise Refused("load.not-a-table", said("Row {row} has {n} cells.", row=number, n=len(record)), row=number)
        records.append((number, record))
    return Grid(tuple(records), delimiter, tuple(raised))


def _broken(error: csv.Error, file: str, number: int) -> Raised:
    text = str(error)
    if "unexpected end" in text:
        why = said("a quotation mark is opened here and never closed")
    elif "expected after" in text:
        why = said("something stands between a closing quotation mark and the end of the cell")
    elif "field larger" in text:
        why = said("a cell is longer than {limit} characters", limit=figure(131_072, ","))
    else:
        why = said("the row is no CSV ({fault})", fault=text)
    says = said("Row {row} cannot be read: {why}. Nothing after it is read.", row=number, why=why)
    return Raised("load.not-a-table", Place(file, row=number), says)


def _delimiter(text: str, known: Collection[str]) -> str:
    """The sign that makes most known headings of the first record that is not empty."""
    best, most = "", 0
    for delimiter in DELIMITERS:
        try:
            records = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
            first = next((record for record in records if any(cell.strip() for cell in record)), [])
        except csv.Error:
            continue
        hits = len({heading(cell) for cell in first} & set(known))
        if hits > most:
            best, most = delimiter, hits
    if not most:
        first_line = text.strip().splitlines()[0]
        if "|" in first_line and len({heading(c) for c in first_line.split("|")} & set(known)) > 1:
            says = said("Its columns are separated by |, which separates names within a cell here.")
            raise Refused("load.not-a-table", says)
        wanted = row(list(known)[:4])
        signs = row(word(name) for name in _NAMES.values())
        says = said(
            "Its first row has none of the headings of this table ({names}, …), separated by {signs}.",
            names=wanted,
            signs=signs,
        )
        raise Refused("load.not-a-table", says)
    return best
