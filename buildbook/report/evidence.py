"""What a finding is about, to be shown beside it: the photos, and the row or entry with the cell at fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import datetime, tzinfo
from enum import Enum

from buildbook.dossier.wording import _
from buildbook.records.base import Record
from buildbook.records.finding import Finding
from buildbook.records.job import Job
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.written import written_name


@dataclass(frozen=True, slots=True)
class Cell:
    """A value of the row at fault, as the table says it. at_fault: the finding is about this one."""

    column: str
    value: str
    at_fault: bool


def records_by_place(job: Job) -> dict[Place, Record]:
    """Every row of a table and every entry of a TOML file that stands in a list, by its place."""
    return {r.place: r for r in _records(job) if r.place.row is not None or _in_list(r.place)}


def _records(record: Record) -> Iterator[Record]:
    for field in fields(record):
        value = getattr(record, field.name)
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Record):
                yield one
                yield from _records(one)


def _in_list(place: Place) -> bool:
    return place.key is not None and place.key.rsplit(".", 1)[-1].isdigit()


def record_at(records: Mapping[Place, Record], place: Place) -> Record | None:
    """The row, or the entry of a TOML file, in which a finding's place lies."""
    if place.row is not None:
        return records.get(Place(place.file, row=place.row))
    key = place.key or ""
    while key:
        if (found := records.get(Place(place.file, key=key))) is not None:
            return found
        key = key.rpartition(".")[0]
    return None


def photos_of(job: Job, finding: Finding, record: Record | None) -> tuple[Photo, ...]:
    """The photo at fault first, then those the finding speaks of, then those that the row names."""
    named = getattr(record, "photos", ())
    paths = dict.fromkeys((finding.place.file, *finding.photos, *(named if isinstance(named, tuple) else ())))
    found = [p for path in paths if (p := job.photos_by_path.get(path)) is not None and p.shown]
    return tuple(found)


def cells(record: Record, place: Place, zone: tzinfo) -> tuple[Cell, ...]:
    """The cells of a row that are filled, and the one at fault even if it is not. Times are told in `zone`."""
    named = place.column or (place.key or "").rpartition(".")[2]
    made = []
    for field in fields(record):
        typed: object = getattr(record, f"{field.name}_text", "")
        if field.name in ("place", "bad") or typed:
            continue  # a value that is kept as it was typed is told by that
        name = written_name(type(record), field.name)
        value = _("cannot be read") if field.name in record.bad else _said(getattr(record, field.name), zone)
        if value or name == named:
            made.append(Cell(name, value or _("(empty)"), name == named))
    return tuple(made)


def _said(value: object, zone: tzinfo) -> str:
    if value is None or isinstance(value, Record):
        return ""
    if isinstance(value, bool):
        return _("yes") if value else ""
    if isinstance(value, datetime):
        return f"{value.astimezone(zone) if value.tzinfo else value:%Y-%m-%d %H:%M}"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, tuple):
        return " | ".join(said for v in value if (said := _said(v, zone)))
    return str(value)
