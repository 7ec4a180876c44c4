"""What falls due after handover, worked out from the record: dates and distances, each with its source.

Figures that are not the record's own carry the mark of where they come from (PUB-B maker or handbook, PUB-C
secondary page, PRAC common practice without source); the maker's word goes before every one of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from buildbook.marking import N_
from buildbook.records.job import Job, Reading, Step
from buildbook.records.words import MaterialKind, Operation
from buildbook.records.zones import zone
from buildbook.trade.calibration import add_months
from buildbook.trade.faults import TradeError
from buildbook.trade.tyres import ADVISED_AT_MOST, DateCode, parse_date_code

_LOOKING = frozenset({Operation.INTAKE, Operation.INSPECT, Operation.HANDOVER, Operation.CLEAN})
# A check of wheel nuts after 50 km or 30 miles (PUB-B); overdue after twice that (PRAC).
RETORQUE = {"km": 50, "mi": 30}
COATING_DRY_DAYS = 2  # 24 to 48 hours (PUB-C): the longer
COATING_CURE_DAYS = 14  # 7 to 14 days (PUB-C): the longer
FLUID_MONTHS = (12, 24)  # every one to two years (PUB-C)


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing due. kind: which rule it comes from, "recorded" for the workshop's own entry.

    on, until: days (until: the end of a span, or the day it is overdue). at, overdue_at: readings of the odometer.
    records: what it follows from, as (kind, id or index): ("step", id), ("part", id), ("material", id),
    ("reading", index from 0).
    """

    kind: str
    subject: str = ""
    zones: tuple[str, ...] = ()
    on: date | None = None
    until: date | None = None
    at: int | None = None
    overdue_at: int | None = None
    source: str = ""
    records: tuple[tuple[str, str], ...] = ()


def due_list(job: Job) -> tuple[Due, ...]:
    """Everything due, the nearest kinds first, the workshop's own entries last."""
    return (*_wheels(job), *_linings(job), *_coatings(job), *_paint(job), *_fluid(job), *_tyres(job), *_recorded(job))


def group_of(zone_name: str) -> str:
    """The group of a zone, "" for a name that is in no table."""
    found = zone(zone_name)
    return found.group if found else ""


def end_of(step: Step) -> date | None:
    """The day a step ended, or the day it started where the end is not recorded."""
    when = step.finished or step.started
    return when.date() if isinstance(when, datetime) else when


def latest(steps: Iterable[Step]) -> date | None:
    return max((d for s in steps if (d := end_of(s)) is not None), default=None)


def _days_after(day: date | None, days: int) -> date | None:
    """None where the day is, or where the sum is beyond the calendar."""
    try:
        return None if day is None else day + timedelta(days=days)
    except OverflowError:
        return None


def _months_after(day: date | None, months: int) -> date | None:
    try:
        return None if day is None else add_months(day, months)
    except TradeError:
        return None


def _wheels(job: Job) -> list[Due]:
    """Each job that had wheels off opens one check of the nuts, counted from the odometer on leaving."""
    torqued = {r.step for r in job.readings if r.kind == "tightening_torque" and group_of(r.zone) in ("wheel", "tyre")}
    steps = [
        s
        for s in job.steps
        if (s.operation not in _LOOKING and any(group_of(z) in ("wheel", "tyre") for z in s.zones))
        or any((found := job.step(ref)) is not None and found.id == s.id for ref in torqued if ref)
    ]
    if not steps:
        return []
    after = RETORQUE.get(job.odometer.unit)
    start = job.odometer.reading_out
    known = after is not None and start is not None
    return [
        Due(
            kind="wheel-nuts",
            at=start + after if known and start is not None and after is not None else None,
            overdue_at=start + 2 * after if known and start is not None and after is not None else None,
            source=N_("a tyre maker's advice, 50 km or 30 miles (PUB-B); overdue at twice that (PRAC)"),
            records=tuple(("step", s.id) for s in steps),
        )
    ]


def _linings(job: Job) -> list[Due]:
    """Replaced parts of the wheel brakes: if linings, discs or drums are among them they want bedding in."""
    parts = [
        p for p in job.parts
        if p.replaced and group_of(p.zone) == "brake" and p.zone not in ("brake-hydraulics", "handbrake")
    ]  # fmt: skip
    if not parts:
        return []
    return [
        Due(
            kind="bedding-in",
            at=job.odometer.reading_out,
            source=N_("common practice, no source; the distance is for the maker of the parts to say"),
            records=tuple(("part", p.id) for p in parts if p.id),
        )
    ]


def _steps_of(job: Job, names: Sequence[str]) -> list[Step]:
    return [s for name in names if (s := job.step(name)) is not None]


def _coatings(job: Job) -> list[Due]:
    made = []
    for material in job.materials:
        if material.kind is not MaterialKind.COATING:
            continue
        done = latest(_steps_of(job, material.steps))
        made.append(
            Due(
                kind="coating-cure",
                subject=material.name,
                on=_days_after(done, COATING_DRY_DAYS),
                until=_days_after(done, COATING_CURE_DAYS),
                source=N_("keep dry 24 to 48 hours, cure 7 to 14 days (PUB-C); the longer figure of each is used"),
                records=(("material", material.id),) if material.id else (),
            )
        )
    return made


def _paint(job: Job) -> list[Due]:
    made = []
    for material in job.materials:
        if material.kind not in (MaterialKind.PAINT, MaterialKind.CLEAR_COAT):
            continue
        made.append(
            Due(
                kind="fresh-paint",
                subject=material.name,
                on=latest(_steps_of(job, material.steps)),
                source=N_("the paint maker's data sheet; no figure on record"),
                records=(("material", material.id),) if material.id else (),
            )
        )
    return made


def _fluid(job: Job) -> list[Due]:
    """Brake fluid put in: the next change, between one and two years on."""
    made = []
    for material in job.materials:
        steps = _steps_of(job, material.steps)
        in_brakes = any(group_of(z) == "brake" for s in steps for z in s.zones)
        if material.kind is not MaterialKind.FLUID or not in_brakes:
            continue
        done = latest(steps)
        made.append(
            Due(
                kind="brake-fluid",
                subject=material.name,
                on=_months_after(done, FLUID_MONTHS[0]),
                until=_months_after(done, FLUID_MONTHS[1]),
                source=N_("change every one to two years (PUB-C)"),
                records=(("material", material.id),) if material.id else (),
            )
        )
    return made


def _tyres(job: Job) -> list[Due]:
    """The span in which tyres become ten years old, by the last date code read of each; one entry for each code."""
    last: dict[str, tuple[int, Reading]] = {}
    for n, reading in enumerate(job.readings):
        if reading.kind == "tyre_date_code":
            last[reading.zone] = (n, reading)
    by_code: dict[str, list[tuple[int, Reading]]] = {}
    for n, reading in last.values():
        by_code.setdefault(reading.value_text, []).append((n, reading))
    made = []
    for written, found in by_code.items():
        code = _code(written)
        made.append(
            Due(
                kind="tyre-age",
                subject=written,
                zones=tuple(r.zone for _n, r in found),
                on=_months_after(code.earliest if code else None, 12 * ADVISED_AT_MOST),
                until=_months_after(code.latest if code else None, 12 * ADVISED_AT_MOST),
                source=N_("advice of a manufacturers' association, 2001: replaced at ten years (PUB-C); not a law"),
                records=tuple(("reading", str(n)) for n, _r in found),
            )
        )
    return made


def _code(written: str) -> DateCode | None:
    try:
        return parse_date_code(written)
    except TradeError:
        return None


def _recorded(job: Job) -> list[Due]:
    made = []
    for entry in job.aftercare:
        on = entry.due_on
        if on is None and entry.due_days is not None:
            on = _days_after(job.handover, entry.due_days)
        at = None
        if entry.due_distance is not None and job.odometer.reading_out is not None:
            at = job.odometer.reading_out + entry.due_distance
        made.append(Due(kind="recorded", subject=entry.what, on=on, at=at, source=entry.source))
    return made
