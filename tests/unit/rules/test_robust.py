"""Rules hold up when a field is not given, and say nothing of one that was given but could not be read."""

from collections.abc import Iterator
from dataclasses import MISSING, Field, fields, replace
from typing import Any

import pytest
from jobs.planting import AS_OF, MINIMAL

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Gate
from buildbook.records.job import Job, Record
from buildbook.rules import check_job

LISTS = (
    "people", "history", "instruments", "limits", "cameras", "open_items", "aftercare", "observations", "approvals",
    "parts", "receipts", "materials", "readings", "steps",
)  # fmt: skip
SINGLES = ("workshop", "client", "vehicle", "odometer")
# What tables call fields that the record calls otherwise.
COLUMN = {"on": "date", "reading_in": "in", "reading_out": "out", "value_text": "value", "expanded_uncertainty": "uncertainty"}


@pytest.fixture(scope="module")
def minimal(library: Library) -> Job:
    return load_job(MINIMAL, AS_OF, library=library).job


def blank(field: Field[Any]) -> Any:
    assert field.default is not MISSING, field.name
    return field.default


def own_fields(record: Record) -> list[Field[Any]]:
    return [f for f in fields(record) if f.name not in ("place", "bad", "id") and f.default is not MISSING]


def changed(job: Job, bad: bool) -> Iterator[tuple[Job, Record, str]]:
    """The job once for each field of each record, that field taken away; bad: as given but unreadable."""
    for name in (*SINGLES, *LISTS):
        records = (getattr(job, name),) if name in SINGLES else getattr(job, name)
        for number, record in enumerate(records):
            for field in own_fields(record):
                without = replace(record, **{field.name: blank(field)}, bad=frozenset({field.name}) if bad else frozenset())
                kept = without if name in SINGLES else (*records[:number], without, *records[number + 1 :])
                yield replace(job, **{name: kept}), without, field.name
    for name in ("received", "handover", "currency", "timezone", "number", "title", "brief", *LISTS, "documents", "photos"):
        field = next(f for f in fields(job) if f.name == name)
        yield replace(job, **{name: blank(field)}, bad=frozenset({name}) if bad else frozenset()), job, name


def test_no_rule_stumbles_over_what_is_not_given(minimal: Job) -> None:
    tried = 0
    for without, _, _ in changed(minimal, bad=False):
        tried += 1
        for gate in Gate:
            check_job(without, (), gate)
    assert tried > 200


def at_the_field(minimal: Job, bad: bool) -> list[str]:
    """Findings at the very field that was taken away."""
    found = []
    for without, record, name in changed(minimal, bad):
        if not isinstance(record, Job):
            places = {record.place.at(name), record.place.at(COLUMN.get(name, name))}
            found += [f"{f.code}: {f.place}: {f.says}" for f in check_job(without, (), Gate.HANDOVER) if f.place in places]
    return found


def test_what_could_not_be_read_is_not_called_missing(minimal: Job) -> None:
    """The loader has said it; a finding at the very field would say it twice."""
    assert len(at_the_field(minimal, bad=False)) > 40
    assert at_the_field(minimal, bad=True) == []
