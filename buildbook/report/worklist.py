"""Findings as work to do: by step, then by person, what is put right alike together. Knows no page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from buildbook.dossier.wording import bracketed, comma
from buildbook.records.base import Record
from buildbook.records.finding import Finding, Grade
from buildbook.records.job import Job
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.tables import Approval, Observation, Receipt, Step
from buildbook.report.evidence import Cell, cells, photos_of, record_at, records_by_place
from buildbook.report.text import counts
from buildbook.rules.moments import zone_of


@dataclass(frozen=True, slots=True)
class Item:
    """One finding. photos: those it speaks of. cells: the row at fault. also: titles of further steps it concerns."""

    finding: Finding
    photos: tuple[Photo, ...]
    cells: tuple[Cell, ...]
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remedy:
    """Findings of one rule, put right alike: said once. settled: nothing need be done."""

    grade: Grade
    code: str
    fix: str
    settled: bool
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """What one person, or people together, has to do in a step; "" if the record names nobody. Stops come first."""

    who: str
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One step, or what belongs to none (title "")."""

    title: str
    shares: tuple[Share, ...]
    counts: dict[str, int]


def worklist(job: Job, findings: Sequence[Finding]) -> tuple[Section, ...]:
    """Each finding once: what belongs to no step first, then by step number.

    Within a step by person, those with stops first; within a person by grade, in the order given.
    """
    records = records_by_place(job)
    zone = zone_of(job)
    found: dict[tuple[int, str], dict[str, list[Item]]] = {}
    for finding in findings:
        row = record_at(records, finding.place)
        steps = _steps(job, finding.place, row)
        step = steps[0] if steps else None
        item = Item(
            finding,
            photos_of(job, finding, row),
            cells(row, finding.place, zone) if row else (),
            tuple(_title(s) for s in steps[1:]),
        )
        key = (-1, "") if step is None else (step.number or 0, step.id)
        found.setdefault(key, {}).setdefault(_who(job, row, step), []).append(item)
    titles = {s.id: _title(s) for s in job.steps}
    return tuple(_section(titles.get(key[1], ""), found[key]) for key in sorted(found))


def people(sections: Iterable[Section]) -> tuple[tuple[str, dict[str, int]], ...]:
    """Who has how many findings of each grade, those with stops first; "" stands for nobody named."""
    named: dict[str, list[Finding]] = {}
    for section in sections:
        for share in section.shares:
            named.setdefault(share.who, []).extend(_findings(share))
    told = [(who, counts(found)) for who, found in named.items()]
    return tuple(sorted(told, key=lambda t: (*(-n for n in t[1].values()), t[0])))


def _section(title: str, by_person: dict[str, list[Item]]) -> Section:
    shares = [Share(who, _remedies(items)) for who, items in by_person.items()]
    shares.sort(key=lambda share: (share.remedies[0].grade.rank, not share.who, share.who))
    return Section(title, tuple(shares), counts([i.finding for items in by_person.values() for i in items]))


def _remedies(items: Sequence[Item]) -> tuple[Remedy, ...]:
    alike: dict[tuple[int, bool, str, str], list[Item]] = {}
    for item in items:
        one = item.finding
        alike.setdefault((one.grade.rank, one.settled, one.code, one.fix), []).append(item)
    ordered = sorted(alike.items(), key=lambda pair: pair[0][:2])  # what needs nothing stands last
    return tuple(
        Remedy(group[0].finding.grade, code, fix, settled, tuple(group)) for (_, settled, code, fix), group in ordered
    )


def _findings(share: Share) -> list[Finding]:
    return [item.finding for remedy in share.remedies for item in remedy.items]


def _title(step: Step) -> str:
    return f"{step.number:03d} {step.title or step.id}" if step.number is not None else step.title or step.id


def _steps(job: Job, place: Place, row: Record | None) -> tuple[Step, ...]:
    """The steps that a finding belongs to, in order of work."""
    parts = place.file.split("/")
    if parts[0] == "steps" and len(parts) > 1:
        return tuple(s for s in job.steps if s.id == parts[1])
    found = {s.id: s for ref in _refs(job, row) if (s := job.step(ref)) is not None}
    return tuple(sorted(found.values(), key=lambda s: (s.number or 0, s.id)))


def _refs(job: Job, row: Record | None) -> list[str]:
    """What a row says of steps, or what steps and part lines say of it."""
    named = getattr(row, "step", "")
    refs = [named] if isinstance(named, str) and named else []
    listed = getattr(row, "steps", ())
    refs += [ref for ref in listed if isinstance(ref, str)] if isinstance(listed, tuple) else []
    if isinstance(row, Observation):
        refs += row.outcome_refs
        refs += [part.step for ref in row.outcome_refs if (part := job.parts_by_id.get(ref)) is not None]
    elif isinstance(row, Approval) and row.id:
        refs += [s.id for s in job.steps if row.id in s.approvals]
        refs += [p.step for p in job.parts if p.approval == row.id]
    elif isinstance(row, Receipt) and row.document:
        refs += [p.step for p in job.parts if p.receipt == row.document]
    return refs


def _who(job: Job, row: Record | None, step: Step | None) -> str:
    by = getattr(row, "by", "")
    ids = (by,) if isinstance(by, str) and by else step.done_by if step else ()
    known = job.people_by_id
    return comma().join(bracketed(known[i].name, i) if i in known and known[i].name else i for i in ids)
