"""Readings understood: kind, unit and number, or the first thing that is wrong with one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache

from buildbook.records.job import Job, Reading
from buildbook.records.said import amount, either, row, said, sentences
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
            faults.append((number, error.whole))
    return OwnKinds(tuple(kinds), tuple(faults))


def day_of(reading: Reading) -> date | None:
    """The day a value was measured, as written."""
    return reading.on.date() if isinstance(reading.on, datetime) else reading.on


def name_of(reading: Reading) -> str:
    """How a sentence names a reading."""
    where = " ".join(part for part in (reading.zone, reading.point) if part)
    return reading.id or " ".join(part for part in (reading.kind, where) if part) or said("the reading")


def understood(job: Job, reading: Reading) -> Understood:
    """Kind, unit and number of a reading, or the first thing that is wrong with it."""
    if not reading.kind or {"kind", "value_text", "value"} & reading.bad:
        return Understood()  # the loader has said so
    try:
        known = find_kind(reading.kind, own_kinds(job).kinds)
    except KindError as error:
        return _trouble("readings.kind-unknown", "kind", error.whole)
    if not reading.value_text.strip() and reading.value is None:
        return Understood(known)
    if known.value_form in ("lab", "code", "grade"):
        return _coded(known, reading)
    if reading.value is None or not reading.value.is_finite():
        says = said(
            "{reading}: {value} is not a number; {kind} asks for one.",
            reading=name_of(reading), value=repr(reading.value_text), kind=known.within,
        )  # fmt: skip
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
                says = said(
                    "{reading}: {value} is not on the scale, {bounds}.",
                    reading=name_of(reading), value=text, bounds=_bounds(known),
                )  # fmt: skip
                return _trouble("readings.impossible", "value", says, known)
            return Understood(known, parse_unit(""), number, number)
        if known.name == "tyre_date_code":
            parse_date_code(text, oldest_year=1971)
    except TradeError as error:
        return _trouble("readings.value-form", "value", _faulty(reading, error), known)
    return Understood(known)


def _measured(known: Kind, reading: Reading, value: Decimal) -> Understood:
    try:
        unit = parse_unit(reading.unit)
    except TradeError as error:
        return _trouble("readings.unit-unknown", "unit", _faulty(reading, error), known)
    try:
        si = known.to_si(value, unit)
    except TradeError as error:
        says = _faulty(reading, error)
        if not unit.symbol:
            says = said(
                "{reading} has no unit; {kind} is written in {units}.",
                reading=name_of(reading), kind=known.within, units=row(known.units),
            )  # fmt: skip
        return _trouble("readings.unit-wrong", "unit", says, known)
    others = plausible_other_unit(
        value, unit, known.typical_low, known.typical_high, known.units, bounds_unit=known.si_unit
    )
    written = f"{reading.value_text or value} {unit.symbol}".strip()
    if known.impossible(si):
        says = said(
            "{reading}: {value} is impossible for {kind}, {bounds}.",
            reading=name_of(reading), value=written, kind=known.within, bounds=_bounds(known),
        )  # fmt: skip
        if others:
            says = sentences(says, said("In {unit} it could be.", unit=others[0].symbol))
        return _trouble("readings.impossible", "value", says, known, unit)
    if others:
        says = said(
            "{reading}: {value} is unusual for {kind}; in {units} it would not be.",
            reading=name_of(reading), value=written, kind=known.within, units=either(u.symbol for u in others),
        )  # fmt: skip
        return _trouble("readings.unit-slip", "unit", says, known, unit)
    return Understood(known, unit, value, si)


def _faulty(reading: Reading, error: TradeError) -> str:
    return said("{reading}: {fault}", reading=name_of(reading), fault=error.whole)


def _bounds(known: Kind) -> str:
    low, high = known.hard_low, known.hard_high
    if low is not None and high is not None:
        return said("which lies between {low} and {high}", low=low, high=amount(high, known.si_unit))
    if low is not None:
        return said("which is at least {low}", low=amount(low, known.si_unit))
    return said("which is at most {high}", high=amount(high, known.si_unit))


def in_si(reading: Reading, what: Understood) -> Decimal | None:
    """The expanded uncertainty in the kind's own unit, None where none is stated."""
    if reading.expanded_uncertainty is None or what.unit is None or what.kind is None:
        return None
    return convert_difference(reading.expanded_uncertainty, what.unit, what.kind.si_unit)
