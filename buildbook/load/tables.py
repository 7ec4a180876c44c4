"""The tables of a job folder: which files they are, and their rows as records."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import tzinfo
from pathlib import Path
from typing import TypeVar

from buildbook.load.build import build
from buildbook.load.check import row_faults
from buildbook.load.numbers import number_of
from buildbook.load.refused import shown
from buildbook.load.schemas import TABLES, about
from buildbook.load.table import Table, read_table
from buildbook.records.base import Record
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import said, word
from buildbook.records.tables import Approval, Material, Observation, Part, Reading, Receipt

R = TypeVar("R", bound=Record)

# table -> the job's field, the record of a row, the column that names a row
_ROWS: dict[str, tuple[str, type[Record], str]] = {
    "condition": ("observations", Observation, "id"),
    "approvals": ("approvals", Approval, "id"),
    "parts": ("parts", Part, "id"),
    "receipts": ("receipts", Receipt, "document"),
    "materials": ("materials", Material, "id"),
    "readings": ("readings", Reading, "id"),
}
FILES = frozenset(f"{table}.{form}" for table in TABLES for form in ("csv", "xlsx"))


def read_tables(
    root: Path, files: Collection[str], zone: tzinfo, raised: list[Raised]
) -> tuple[dict[str, tuple[Record, ...]], frozenset[str]]:
    """The rows of all tables by the job's field, and the fields whose table is not whole.

    zone: of times without an offset. Findings go to `raised`.
    """
    made: dict[str, tuple[Record, ...]] = {}
    broken: set[str] = set()
    for name in TABLES:
        field, kind, key = _ROWS[name]
        table = _one(root, files, name, raised)
        if table is None:
            continue
        raised += table.raised
        if not table.whole:
            broken.add(field)
        made[field] = tuple(_records(table, kind, zone, raised))
        _say_twice(table, key, raised)
    return made, frozenset(broken)


def _one(root: Path, files: Collection[str], name: str, raised: list[Raised]) -> Table | None:
    there = [f for f in (f"{name}.csv", f"{name}.xlsx") if f in files]
    if not there:
        says = said("There is no {table}.csv (or {table}.xlsx): {about}.", table=name, about=word(about(name)))
        raised.append(Raised("load.missing-table", Place(f"{name}.csv"), says))
        return None
    if len(there) > 1:
        says = said(
            "The table is there twice, as {first} and as {second}. Only {first} is read.",
            first=there[0],
            second=there[1],
        )
        raised.append(Raised("load.two-forms", Place(there[1]), says))
    return read_table(root, there[0], name)


def _records(table: Table, kind: type[R], zone: tzinfo, raised: list[Raised]) -> Iterable[R]:
    for row in table.rows:
        place = Place(table.file, row=row.number)
        bad = set(row.bad)
        for fault in row_faults(table.name, row.cells, row.bad):
            column = str(fault.path[-1])
            raised.append(Raised(fault.code, place.at(column), fault.says))
            bad.add(column)
        more: dict[str, object] = {}
        if kind is Reading and "value" in bad:
            bad.add("value_text")
        elif kind is Reading and "value" in row.cells:
            more = {"value_text": row.cells["value"], "value": number_of(row.cells["value"])}
        yield build(kind, place, row.cells, frozenset(bad), zone, raised, **more)


def _say_twice(table: Table, key: str, raised: list[Raised]) -> None:
    first: dict[str, int] = {}
    for row in table.rows:
        name = row.cells.get(key)
        if name is None:
            continue
        if name in first:
            says = said(
                "{name} names row {row} already: what refers to it could mean either.",
                name=shown(name),
                row=first[name],
            )
            raised.append(Raised("load.duplicate-id", Place(table.file, row=row.number, column=key), says))
        else:
            first[name] = row.number
