"""Findings as work to do: by step, then by person, each with the photo or the row at fault. Knows no page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

from buildbook.records.base import Record
from buildbook.records.finding import Finding
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.tables import Step


@dataclass(frozen=True, slots=True)
class Item:
    """One finding. photo: SHA-256 of the photo at fault or "". cells: the row at fault as read, (column, value)."""

    finding: Finding
    photo: str
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Share:
    """What one person, or people together, has to do in a step; "" if the record names nobody."""

    who: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One step, or what belongs to none (title "")."""

    title: str
    shares: tuple[Share, ...]


def worklist(job: Job, findings: Sequence[Finding]) -> tuple[Section, ...]:
    """Each finding once: what belongs to no step first, then by step number; within it by person. Order is kept."""
    rows = {(r.place.file, r.place.row): r for r in _rows(job)}
    photos = {p.path: p for p in job.photos}
    found: dict[tuple[int, str], dict[str, list[Item]]] = {}
    for finding in findings:
        row = rows.get((finding.place.file, finding.place.row)) if finding.place.row is not None else None
        photo = photos.get(finding.place.file)
        step = _step(job, finding.place, getattr(row, "step", ""))
        item = Item(finding, photo.sha256 if photo and photo.shown else "", _cells(row) if row else ())
        key = (-1, "") if step is None else (step.number or 0, step.id)
        found.setdefault(key, {}).setdefault(_who(job, row, step), []).append(item)
    titles = {s.id: f"{s.id} {s.title}".strip() for s in job.steps}
    return tuple(
        Section(titles.get(key[1], ""), tuple(Share(who, tuple(items)) for who, items in sorted(found[key].items())))
        for key in sorted(found)
    )


def _rows(job: Job) -> Iterator[Record]:
    for table in (job.observations, job.approvals, job.parts, job.receipts, job.materials, job.readings):
        for row in table:
            if row.place.row is not None:
                yield row


def _step(job: Job, place: Place, named: object) -> Step | None:
    parts = place.file.split("/")
    if parts[0] == "steps" and len(parts) > 1:
        return next((s for s in job.steps if s.id == parts[1]), None)
    if not isinstance(named, str) or not named:
        return None
    same = [s for s in job.steps if s.id == named]
    if not same and named.isdigit():
        same = [s for s in job.steps if s.number == int(named)]
    return same[0] if same else None


def _who(job: Job, row: Record | None, step: Step | None) -> str:
    by = getattr(row, "by", "")
    ids = (by,) if isinstance(by, str) and by else step.done_by if step else ()
    people = job.people_by_id
    return ", ".join(f"{people[i].name} ({i})" if i in people and people[i].name else i for i in ids)


def _cells(row: Record) -> tuple[tuple[str, str], ...]:
    cells = []
    for field in fields(row):
        value = getattr(row, field.name)
        if getattr(row, f"{field.name}_text", ""):
            continue  # shown as it was typed, by the field that keeps the text
        if field.name.endswith("_text") and value:
            cells.append((field.name.removesuffix("_text"), str(value)))
        elif field.name in row.bad:
            cells.append((field.name, "cannot be read"))
        elif field.name not in ("place", "bad") and isinstance(value, tuple) and value:
            cells.append((field.name, " | ".join(str(v) for v in value)))
        elif field.name not in ("place", "bad") and value not in (None, "", ()):
            cells.append((field.name, str(value)))
    return tuple(cells)
