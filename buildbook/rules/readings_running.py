"""Rules of what the car drives on: brake fluid, tyres, fasteners, odometer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.place import Place
from buildbook.records.said import amount, either, figure, said, starting
from buildbook.records.said import day as on_day
from buildbook.records.words import MaterialKind, ReadingStage
from buildbook.rules.grades import NOTE, QUERY, STOP_AT_HANDOVER
from buildbook.rules.judged import all_judged
from buildbook.rules.moments import in_future
from buildbook.rules.rule import Rule, rule
from buildbook.rules.understood import AS_FOUND, day_of, name_of
from buildbook.trade.brakes import FluidGrade, fluid_grade
from buildbook.trade.fasteners import TorqueQuery, query_torque
from buildbook.trade.faults import TradeError
from buildbook.trade.tyres import ADVISED_AT_MOST, AgeRange, AgeWord, age_on, age_word, parse_date_code
from buildbook.trade.units import convert

_DOT = re.compile(r"\bDOT[ -]?(\d(?:\.\d)?)\b", re.IGNORECASE)
# Coarse threads only: a size with a pitch written beside it (M12x1.5) is left alone.
_BOLT = re.compile(r"\b(M(?:6|8|10|12|14|16))\b(?!\s*[x×]).*?(?<![\d.])(8\.8|10\.9|12\.9)(?![\d.])", re.IGNORECASE)


def _grade_in(text: str) -> FluidGrade | None:
    found = _DOT.search(text)
    try:
        return fluid_grade(found[1]) if found else None
    except TradeError:
        return None


def _fluids(job: Job) -> Iterator[tuple[Place, str, FluidGrade, bool]]:
    """Brake fluids named: place, what names it within a sentence, its grade, and whether it was there on arrival."""
    for material in job.materials:
        grade = _grade_in(material.name)
        if material.kind is MaterialKind.FLUID and grade is not None:
            yield material.place.at("name"), said("material {material}", material=material.id), grade, False
    for reading in job.readings:
        grade = _grade_in(reading.detail) if reading.kind == "brake_fluid_boiling_point" else None
        if grade is not None:
            name = said("reading {reading}", reading=name_of(reading))
            yield reading.place.at("detail"), name, grade, reading.stage in AS_FOUND


def _base(grade: FluidGrade) -> str:
    return said("silicone") if grade.base == "silicone" else said("glycol")


@rule(
    "readings.fluid-mixed",
    asks="Are the brake fluids put in all of one base, glycol or silicone?",
    why="Silicone and glycol fluids do not mix; the brakes may fail.",
    fix="Correct the grade. If two bases were used, the system is emptied, cleaned and filled by licensed practice.",
    source="FMVSS 116: DOT 5 is silicone, DOT 3, 4 and 5.1 glycol (PUB-C)", **STOP_AT_HANDOVER,
)  # fmt: skip
def fluid_mixed(job: Job) -> Iterator[Raised]:
    used = [f for f in _fluids(job) if not f[3]]
    for place, who, grade, _ in used[1:]:
        if grade.base != used[0][2].base:
            says = said(
                "{one} is {grade}, {base}; {other} is {other_grade}, {other_base}.",
                one=starting(who), grade=grade.name, base=_base(grade),
                other=used[0][1], other_grade=used[0][2].name, other_base=_base(used[0][2]),
            )  # fmt: skip
            yield Raised("readings.fluid-mixed", place, says)


@rule(
    "readings.fluid-base-changed",
    asks="Is the brake fluid put in of the base found on arrival?",
    why="A change between glycol and silicone asks for the system to be emptied and every seal to be looked at.",
    fix="Correct the grade, or say in the step how the system was emptied and which seals were renewed.",
    source="Trade pages (PUB-C); the maker's manual decides", **QUERY,
)  # fmt: skip
def fluid_base_changed(job: Job) -> Iterator[Raised]:
    found = [f for f in _fluids(job) if f[3]]
    used = [f for f in _fluids(job) if not f[3]]
    bases = {f[2].base for f in used}
    if found and len(bases) == 1 and found[0][2].base not in bases:
        place, who, grade, _ = used[0]
        says = said(
            "{one} is {grade}, {base}; on arrival it was {other_grade}, {other_base}.",
            one=starting(who), grade=grade.name, base=_base(grade),
            other_grade=found[0][2].name, other_base=_base(found[0][2]),
        )  # fmt: skip
        yield Raised("readings.fluid-base-changed", place, says)


@rule(
    "readings.fluid-grade-unknown",
    asks="Does each boiling point of brake fluid name the fluid's grade?",
    why="Each grade has its own least boiling point.",
    fix="Write the grade in the column detail: DOT 3, DOT 4, DOT 5 or DOT 5.1.",
    source="FMVSS 116 S5.1 (PUB-C)", **QUERY,
)  # fmt: skip
def fluid_grade_unknown(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.kind == "brake_fluid_boiling_point" and _grade_in(reading.detail) is None:
            says = said("{reading} names none; a grade of brake fluid is expected.", reading=name_of(reading))
            if reading.detail:
                says = said(
                    '{reading} says "{detail}"; a grade of brake fluid is expected.',
                    reading=name_of(reading), detail=reading.detail,
                )  # fmt: skip
            yield Raised("readings.fluid-grade-unknown", reading.place.at("detail"), says)


def _last_codes(job: Job) -> Iterator[Reading]:
    """The last date code read on each tyre."""
    order = list(ReadingStage)
    last: dict[str, Reading] = {}
    for reading, what, _ in all_judged(job):
        if reading.kind != "tyre_date_code" or what.kind is None or what.trouble is not None:
            continue
        held = last.get(reading.zone)
        stages = [None if r is None or r.stage is None else order.index(r.stage) for r in (held, reading)]
        if stages[0] is None or stages[1] is None or stages[1] >= stages[0]:
            last[reading.zone] = reading
    yield from last.values()


@rule(
    "readings.tyre-code-future",
    asks="Was each tyre made before its date code was read?",
    why="A code is week, then year; read the other way round it makes a tyre of tomorrow.",
    fix="Read the code again: 0301 is week 03 of 2001.",
    source="49 CFR 574.5: week and year (PUB-A)", **QUERY,
)  # fmt: skip
def tyre_code_future(job: Job) -> Iterator[Raised]:
    for reading, what, _ in all_judged(job):
        day = day_of(reading)
        if reading.kind != "tyre_date_code" or what.trouble is not None or what.kind is None or day is None:
            continue
        code = parse_date_code(reading.value_text, oldest_year=1971)
        if code.earliest > day and not in_future(job, day):
            says = said(
                "{reading}: {code} is {earliest} or later; it was read on {day}.",
                reading=name_of(reading),
                code=reading.value_text,
                earliest=on_day(code.earliest),
                day=on_day(day),
            )
            yield Raised("readings.tyre-code-future", reading.place.at("value"), says)


@rule(
    "readings.tyre-old",
    asks="Is no tyre the car leaves on ten years old or more?",
    why="Rubber ages with the tread still deep. The age is advice, not law.",
    fix="Advise new tyres, and say so under [[open_items]] if the client keeps them.",
    source="Advice of a manufacturers' association of 2001 (PUB-C); other pages set no age", **NOTE,
)  # fmt: skip
def tyre_old(job: Job) -> Iterator[Raised]:
    for reading in _last_codes(job):
        day = job.handover or job.as_of
        try:
            age = age_on(parse_date_code(reading.value_text, oldest_year=1971), day)
        except TradeError:
            continue
        if (over := age_word(age)) is not AgeWord.UNDER:
            says = _old(reading, age, over)
            yield Raised("readings.tyre-old", reading.place.at("value"), says)


def _old(reading: Reading, age: AgeRange, over: AgeWord) -> str:
    """A tyre's age by its code, and that it is over what is advised, or may be."""
    years = str(age.youngest)
    if age.youngest != age.oldest:
        years = said("{least} to {most}", least=age.youngest, most=age.oldest)
    if over is AgeWord.MAY_BE_OVER:
        return said(
            "{reading}: made by its code {code} {years} years ago; may be over {advised} years.",
            reading=name_of(reading), code=reading.value_text, years=years, advised=ADVISED_AT_MOST,
        )  # fmt: skip
    return said(
        "{reading}: made by its code {code} {years} years ago; over {advised} years.",
        reading=name_of(reading), code=reading.value_text, years=years, advised=ADVISED_AT_MOST,
    )  # fmt: skip


@rule(
    "readings.torque-implausible",
    asks="Can the bolt bear the torque written down?",
    why="A torque far outside what the bolt's class explains is most often a slip of the unit.",
    fix="Check unit and value against the torque wrench, size and class in the column detail. The maker's figure wins.",
    source="ISO 898-1 proof loads (PUB-C); T = K F d (PUB-B); the band is wide on purpose (PRAC)", **QUERY,
)  # fmt: skip
def torque_implausible(job: Job) -> Iterator[Raised]:
    for reading, what, _ in all_judged(job):
        bolt = _BOLT.search(reading.detail) if reading.kind == "tightening_torque" else None
        if bolt is None or what.number is None or what.unit is None:
            continue
        try:
            asked = query_torque(what.number, what.unit, bolt[1], bolt[2])
        except TradeError:
            continue
        if asked is not None:
            says = _bears(name_of(reading), f"{reading.value_text} {reading.unit}", bolt[1].upper(), bolt[2], asked)
            yield Raised("readings.torque-implausible", reading.place.at("value"), says)


def _bears(name: str, torque: str, size: str, strength: str, asked: TorqueQuery) -> str:
    """What a bolt should be tightened to, in place of what was written."""
    band = said("{least} to {most} N·m", least=figure(asked.band.least, ".0f"), most=figure(asked.band.greatest, ".0f"))
    if asked.other_units:
        units = either(unit.symbol for unit in asked.other_units)
        band = said("{band}; in {units} it would fit", band=band, units=units)
    if asked.too_high:
        return said(
            "{reading}: {torque} on an {size} of class {strength} is more than it bears; expected {band}.",
            reading=name, torque=torque, size=size, strength=strength, band=band,
        )  # fmt: skip
    return said(
        "{reading}: {torque} on an {size} of class {strength} is hardly tightened; expected {band}.",
        reading=name, torque=torque, size=size, strength=strength, band=band,
    )  # fmt: skip


@rule(
    "readings.odometer-differs",
    asks="Do the odometer readings in readings.csv agree with those of job.toml?",
    why="One car cannot have stood at two distances at once.",
    fix="Look at the photo of the instrument and correct the one that is wrong.",
    source="49 CFR 580.5 asks for one reading at transfer (PUB-A)", **STOP_AT_HANDOVER,
)  # fmt: skip
def odometer_differs(job: Job) -> Iterator[Raised]:
    meter = job.odometer
    stated = {ReadingStage.INTAKE: ("in", meter.reading_in), ReadingStage.HANDOVER: ("out", meter.reading_out)}
    for reading, what, _ in all_judged(job):
        if reading.kind != "odometer" or what.number is None or what.unit is None or reading.stage not in stated:
            continue
        name, value = stated[reading.stage]
        if value is None or not meter.unit:
            continue
        try:
            expected = convert(Decimal(value), meter.unit, what.unit)
        except TradeError:
            continue
        if abs(expected - what.number) >= 1:  # tenths are dropped in one of the two
            says = said(
                "{reading}: {got}; job.toml says {stated} {field}.",
                reading=name_of(reading), got=f"{reading.value_text} {reading.unit}",
                stated=amount(value, meter.unit), field=name,
            )  # fmt: skip
            yield Raised("readings.odometer-differs", reading.place.at("value"), says)


READINGS_RUNNING: tuple[Rule, ...] = (
    fluid_mixed, fluid_base_changed, fluid_grade_unknown, tyre_code_future, tyre_old, torque_implausible,
    odometer_differs,
)  # fmt: skip
