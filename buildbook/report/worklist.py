"""Findings as work to do: by step, then by person, each with the photo or the row at fault. Knows no page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, datetime, tzinfo
from itertools import groupby
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from buildbook.records.base import Record
from buildbook.records.finding import Finding, Grade
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.tables import Step

_WORST_FIRST = tuple(Grade)


@dataclass(frozen=True, slots=True)
class Cell:
    """One value of the row at fault, as read. at_fault: the finding names this column."""

    column: str
    value: str
    at_fault: bool


@dataclass(frozen=True, slots=True)
class Shown:
    """A photo to show with a finding: its path in the job folder and its SHA-256."""

    path: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Item:
    """One finding. photos: the photo at fault, or those the row at fault names. cells: the row at fault."""

    finding: Finding
    photos: tuple[Shown, ...]
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Remedy:
    """Findings of one grade that one action puts right: it is said once."""

    grade: Grade
    fix: str
    items: tuple[Item, ...]

    @property
    def to_do(self) -> bool:
        """Whether there is something to tick off: a note is worth knowing and asks for nothing."""
        return self.grade is not Grade.NOTE


@dataclass(frozen=True, slots=True)
class Share:
    """What one person, or people together, has to do in a step; "" if the record names nobody. Stops first."""

    who: str
    remedies: tuple[Remedy, ...]

    @property
    def worst(self) -> int:
        """Rank of the gravest grade: 0 for stop."""
        return min(_WORST_FIRST.index(r.grade) for r in self.remedies)


@dataclass(frozen=True, slots=True)
class Section:
    """One step, or what belongs to none (title "")."""

    title: str
    shares: tuple[Share, ...]


def worklist(job: Job, findings: Sequence[Finding]) -> tuple[Section, ...]:
    """Each finding once: what belongs to no step first, then by step number; in a step by person, stops first."""
    rows = {(r.place.file, r.place.row): r for r in _rows(job)}
    zone = _zone(job.timezone)
    found: dict[tuple[int, str], dict[str, list[Item]]] = {}
    for finding in findings:
        row = rows.get((finding.place.file, finding.place.row)) if finding.place.row is not None else None
        step = _step(job, finding.place, _steps_named(row))
        item = Item(finding, _photos(job, finding, row), _cells(row, finding.place.column, zone) if row else ())
        key = (-1, "") if step is None else (step.number or 0, step.id)
        found.setdefault(key, {}).setdefault(_who(job, row, step), []).append(item)
    titles = {s.id: f"{s.id} {s.title}".strip() for s in job.steps}
    sections = []
    for key in sorted(found):
        shares = (Share(who, _remedies(items)) for who, items in found[key].items())
        sections.append(Section(titles.get(key[1], ""), tuple(sorted(shares, key=lambda s: (s.worst, s.who)))))
    return tuple(sections)


def _remedies(items: Sequence[Item]) -> tuple[Remedy, ...]:
    """Items by grade, then by remedy in the order in which each first comes up."""
    first: dict[tuple[int, str], int] = {}
    keys = [(_WORST_FIRST.index(i.finding.grade), i.finding.fix) for i in items]
    for key in keys:
        first.setdefault(key, len(first))
    paired = sorted(zip(keys, items, strict=True), key=lambda p: (p[0][0], first[p[0]]))
    return tuple(
        Remedy(_WORST_FIRST[rank], fix, tuple(item for _, item in group))
        for (rank, fix), group in groupby(paired, key=lambda p: p[0])
    )


def _photos(job: Job, finding: Finding, row: Record | None) -> tuple[Shown, ...]:
    photos = job.photos_by_path
    paths = [finding.place.file, *(str(p) for p in getattr(row, "photos", ()))]
    known = (photos[path] for path in dict.fromkeys(paths) if path in photos)
    return tuple(Shown(p.path, p.sha256) for p in known if p.shown)


def _zone(name: str) -> tzinfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return UTC  # a zone that is none is a finding of its own; each time is printed with its offset


def _rows(job: Job) -> Iterator[Record]:
    for table in (job.observations, job.approvals, job.parts, job.receipts, job.materials, job.readings):
        for row in table:
            if row.place.row is not None:
                yield row


def _steps_named(row: Record | None) -> tuple[str, ...]:
    """The steps a row names: one, or several for a material."""
    one, several = getattr(row, "step", ""), getattr(row, "steps", ())
    return ((one,) if isinstance(one, str) and one else ()) + tuple(several)


def _step(job: Job, place: Place, named: Sequence[str]) -> Step | None:
    """The step a place lies in, or the first in number of those a row names."""
    parts = place.file.split("/")
    if parts[0] == "steps" and len(parts) > 1:
        return next((s for s in job.steps if s.id == parts[1]), None)
    numbers = {int(n) for n in named if n.isascii() and n.isdigit()}
    same = [s for s in job.steps if s.id in named or s.number in numbers]
    return min(same, key=lambda s: (s.number or 0, s.id), default=None)


def _who(job: Job, row: Record | None, step: Step | None) -> str:
    by = getattr(row, "by", "")
    ids = (by,) if isinstance(by, str) and by else step.done_by if step else ()
    people = job.people_by_id
    return ", ".join(f"{people[i].name} ({i})" if i in people and people[i].name else i for i in ids)


def _cells(row: Record, at_fault: str | None, zone: tzinfo) -> tuple[Cell, ...]:
    return tuple(Cell(name, value, name == at_fault) for name, value in _values(row, at_fault, zone))


def _values(row: Record, at_fault: str | None, zone: tzinfo) -> Iterator[tuple[str, str]]:
    for field in fields(row):
        value = getattr(row, field.name)
        typed: str = getattr(row, f"{field.name}_text", "")
        if field.name in ("place", "bad") or typed:
            continue  # where a field keeps the text as it was typed, that is shown
        if field.name.endswith("_text"):
            if value:
                yield field.name.removesuffix("_text"), str(value)
        elif field.name in row.bad:
            yield field.name, "cannot be read"
        elif isinstance(value, datetime) and value.tzinfo is not None:
            yield field.name, value.astimezone(zone).strftime("%Y-%m-%d %H:%M %z")
        elif isinstance(value, tuple) and value:
            yield field.name, " | ".join(str(v) for v in value)
        elif value not in (None, "", ()):
            yield field.name, str(value)
        elif field.name == at_fault:
            yield field.name, "(empty)"
