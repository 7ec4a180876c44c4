"""Readings understood: kind, unit and number, or the first thing that is wrong with one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache

from buildbook.records.job import Job, Reading
from buildbook.records.words import ReadingStage
from buildbook.trade.colour import Lab, parse_lab
from buildbook.trade.degradation import grade_value
from buildbook.trade.faults import KindError, TradeError
from buildbook.trade.kinds import Kind, make_kind
from buildbook.trade.kinds import kind as find_kind
from buildbook.trade.tyres import parse_date_code
from buildbook.trade.units import Unit, convert_difference, parse_unit, plausible_other_unit

# Stages that state what the work left behind; intake and before state what it found.
LEFT_BEHIND = frozenset({ReadingStage.AFTER, ReadingStage.HANDOVER})
AS_FOUND = frozenset({ReadingStage.INTAKE, ReadingStage.BEFORE})


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a reading cannot be used: a code of the readings' rules, the column, what is wrong."""

    code: str
    column: str
    says: str


@dataclass(frozen=True, slots=True)
class Understood:
    """A reading read for what it means. number: in `unit`; si: in the kind's own unit; None where it has no number."""

    kind: Kind | None = None
    unit: Unit | None = None
    number: Decimal | None = None
    si: Decimal | None = None
    lab: Lab | None = None
    trouble: Trouble | None = None


@dataclass(frozen=True, slots=True)
class OwnKinds:
    """The job's own kinds that can be used, and those that cannot, by number from 1 with the reason."""

    kinds: tuple[Kind, ...]
    faults: tuple[tuple[int, str], ...]


class SameJob:
    """A job as a key by identity: jobs hold tables and cannot be hashed."""

    __slots__ = ("job",)

    def __init__(self, job: Job) -> None:
        self.job = job

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameJob) and self.job is other.job

    def __hash__(self) -> int:
        return id(self.job)


def own_kinds(job: Job) -> OwnKinds:
    """The job's own kinds of reading."""
    return _own_kinds(SameJob(job))


@lru_cache(maxsize=4)
def _own_kinds(same: SameJob) -> OwnKinds:
    kinds: list[Kind] = []
    faults: list[tuple[int, str]] = []
    for number, table in enumerate(same.job.custom_kinds, 1):
        try:
            kinds.append(make_kind(table, [k.name for k in kinds]))
        except TradeError as error:
            faults.append((number, str(error)))
    return OwnKinds(tuple(kinds), tuple(faults))


def day_of(reading: Reading) -> date | None:
    """The day a value was measured, as written."""
    return reading.on.date() if isinstance(reading.on, datetime) else reading.on


def name_of(reading: Reading) -> str:
    """How a sentence names a reading."""
    where = " ".join(part for part in (reading.zone, reading.point) if part)
    return reading.id or " ".join(part for part in (reading.kind, where) if part) or "the reading"


def understood(job: Job, reading: Reading) -> Understood:
    """Kind, unit and number of a reading, or the first thing that is wrong with it."""
    if not reading.kind or {"kind", "value_text", "value"} & reading.bad:
        return Understood()  # the loader has said so
    try:
        known = find_kind(reading.kind, own_kinds(job).kinds)
    except KindError as error:
        return _trouble("readings.kind-unknown", "kind", str(error))
    if not reading.value_text.strip() and reading.value is None:
        return Understood(known)
    if known.value_form in ("lab", "code", "grade"):
        return _coded(known, reading)
    if reading.value is None or not reading.value.is_finite():
        says = f"{name_of(reading)}: {reading.value_text!r} is not a number; {known.title.lower()} asks for one."
        return _trouble("readings.value-form", "value", says, known)
    return Understood(known) if "unit" in reading.bad else _measured(known, reading, reading.value)


def _trouble(code: str, column: str, says: str, known: Kind | None = None, unit: Unit | None = None) -> Understood:
    return Understood(known, unit, trouble=Trouble(code, column, says))


def _coded(known: Kind, reading: Reading) -> Understood:
    """A grade, a colour or a date code, which has no unit."""
    text = reading.value_text.strip()
    try:
        if known.value_form == "lab":
            return Understood(known, lab=parse_lab(text))
        if known.value_form == "grade":
            number = grade_value(known.name, text, half_steps=True)
            if known.impossible(number):
                says = f"{name_of(reading)}: {text} is not on the scale, {_bounds(known)}."
                return _trouble("readings.impossible", "value", says, known)
            return Understood(known, parse_unit(""), number, number)
        if known.name == "tyre_date_code":
            parse_date_code(text, oldest_year=1971)
    except TradeError as error:
        return _trouble("readings.value-form", "value", f"{name_of(reading)}: {error}", known)
    return Understood(known)


def _measured(known: Kind, reading: Reading, value: Decimal) -> Understood:
    try:
        unit = parse_unit(reading.unit)
    except TradeError as error:
        return _trouble("readings.unit-unknown", "unit", f"{name_of(reading)}: {error}", known)
    try:
        si = known.to_si(value, unit)
    except TradeError as error:
        says = f"{name_of(reading)}: {error}"
        if not unit.symbol:
            says = f"{name_of(reading)} has no unit; {known.title.lower()} is written in {', '.join(known.units)}."
        return _trouble("readings.unit-wrong", "unit", says, known)
    others = plausible_other_unit(
        value, unit, known.typical_low, known.typical_high, known.units, bounds_unit=known.si_unit
    )
    written = f"{reading.value_text or value} {unit.symbol}".strip()
    if known.impossible(si):
        hint = f" In {others[0].symbol} it could be." if others else ""
        says = f"{name_of(reading)}: {written} is impossible for {known.title.lower()}, {_bounds(known)}.{hint}"
        return _trouble("readings.impossible", "value", says, known, unit)
    if others:
        units = " or ".join(u.symbol for u in others)
        says = f"{name_of(reading)}: {written} is unusual for {known.title.lower()}; in {units} it would not be."
        return _trouble("readings.unit-slip", "unit", says, known, unit)
    return Understood(known, unit, value, si)


def _bounds(known: Kind) -> str:
    unit = f" {known.si_unit}" if known.si_unit else ""
    if known.hard_low is not None and known.hard_high is not None:
        return f"which lies between {known.hard_low} and {known.hard_high}{unit}"
    return f"which is at least {known.hard_low}{unit}" if known.hard_low is not None else (
        f"which is at most {known.hard_high}{unit}"
    )


def in_si(reading: Reading, what: Understood) -> Decimal | None:
    """The expanded uncertainty in the kind's own unit, None where none is stated."""
    if reading.expanded_uncertainty is None or what.unit is None or what.kind is None:
        return None
    return convert_difference(reading.expanded_uncertainty, what.unit, what.kind.si_unit)
