"""Rules of readings as records: what is measured, in which unit, with what, where, by whom and when."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.place import Place
from buildbook.records.said import row, said, within
from buildbook.records.words import ReadingStage
from buildbook.records.zones import zone
from buildbook.rules.evidence import zone_fault
from buildbook.rules.grades import NOTE, QUERY, STOP_AT_HANDOVER
from buildbook.rules.judged import all_judged, needs_instrument
from buildbook.rules.readings_accepted import READINGS_ACCEPTED
from buildbook.rules.readings_compared import READINGS_COMPARED
from buildbook.rules.readings_cure import READINGS_CURE
from buildbook.rules.readings_film import READINGS_FILM
from buildbook.rules.readings_law import READINGS_LAW
from buildbook.rules.readings_limits import READINGS_LIMITS
from buildbook.rules.readings_odd import READINGS_ODD
from buildbook.rules.readings_paint import READINGS_PAINT
from buildbook.rules.readings_running import READINGS_RUNNING
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import SETTING_RULES
from buildbook.rules.understood import name_of, own_kinds
from buildbook.trade.kinds import KINDS

_AROUND_A_STEP = frozenset({ReadingStage.BEFORE, ReadingStage.DURING, ReadingStage.AFTER})


def _troubles(job: Job, code: str) -> Iterator[Raised]:
    """The readings whose one trouble is this code."""
    for reading, what, _ in all_judged(job):
        if what.trouble is not None and what.trouble.code == code:
            yield Raised(code, reading.place.at(what.trouble.column), what.trouble.says)


@rule(
    "readings.custom-kind-wrong",
    asks="Can each of the job's own kinds of reading be used?",
    why="Readings of a kind that is not described cannot be judged.",
    fix="Correct the entry of [[kinds]] in job.toml: name, title and unit at least (docs/record.md).",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def custom_kind_wrong(job: Job) -> Iterator[Raised]:
    for number, says in own_kinds(job).faults:
        yield Raised("readings.custom-kind-wrong", Place(job.place.file, key=f"kinds.{number}"), says)


@rule(
    "readings.kind-unknown",
    asks="Is each kind of reading in the table of kinds, or described by the job?",
    why="The kind says in which units a value makes sense and how it is judged.",
    fix="Write a name from the table of kinds (docs/record.md), or describe the kind under [[kinds]] in job.toml.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def kind_unknown(job: Job) -> Iterator[Raised]:
    faulty = {str(job.custom_kinds[number - 1].get("name")) for number, _ in own_kinds(job).faults}
    for raised, reading in _with_reading(job, "readings.kind-unknown"):
        if reading.kind not in faulty:
            yield raised


def _with_reading(job: Job, code: str) -> Iterator[tuple[Raised, Reading]]:
    by_place = {r.place: r for r in job.readings}
    for raised in _troubles(job, code):
        place = Place(raised.place.file, raised.place.row)
        yield raised, by_place[place]


@rule(
    "readings.value-form",
    asks="Is each value written as its kind asks: a number, a grade, a code, three colour co-ordinates?",
    why="A value in another form cannot be judged or compared.",
    fix="Write the value as docs/record.md says for its kind: a number with a point or comma and nothing behind it; a "
    "grade or code as on its scale; the unit goes into its own column.",
    source="The scales named in the table of kinds", **STOP_AT_HANDOVER,
)  # fmt: skip
def value_form(job: Job) -> Iterator[Raised]:
    yield from _troubles(job, "readings.value-form")


@rule(
    "readings.unit-unknown",
    asks="Is each unit known?",
    why="A number without a known unit is no measurement.",
    fix="Write the unit's usual symbol, e.g. µm, mm, N·m, °C.",
    source="BIPM SI Brochure; international yard and pound agreement of 1959", **STOP_AT_HANDOVER,
)  # fmt: skip
def unit_unknown(job: Job) -> Iterator[Raised]:
    yield from _troubles(job, "readings.unit-unknown")


@rule(
    "readings.unit-wrong",
    asks="Does each unit measure what the kind is about?",
    why="A torque in millimetres is a slip of the column or of the row.",
    fix="Correct unit or kind in readings.csv.",
    source="Dimensions of the units, BIPM SI Brochure", **STOP_AT_HANDOVER,
)  # fmt: skip
def unit_wrong(job: Job) -> Iterator[Raised]:
    yield from _troubles(job, "readings.unit-wrong")


@rule(
    "readings.impossible",
    asks="Can each value be?",
    why="A value beyond what is possible is a slip of the pen, however good the instrument.",
    fix="Read the notes again and correct value or unit; if it cannot be cleared up, delete the row and measure again.",
    source="Ends of the scale where it has some; else common practice, no source", **STOP_AT_HANDOVER,
)  # fmt: skip
def impossible(job: Job) -> Iterator[Raised]:
    yield from _troubles(job, "readings.impossible")


@rule(
    "readings.unit-slip",
    asks="Is each value usual in the unit it is written in?",
    why="Mil for micrometre, or pound-foot for newton metre, is the commonest slip in a table of readings.",
    fix="Look at the instrument's own unit and correct the column unit, or the value.",
    **QUERY,
)  # fmt: skip
def unit_slip(job: Job) -> Iterator[Raised]:
    yield from _troubles(job, "readings.unit-slip")


@rule(
    "readings.no-date",
    asks="Does each reading carry its date?",
    why="Without a date nobody can say whether the instrument was in calibration, or which side of the work it stands.",
    fix="Write on = 2026-03-04 or 2026-03-04T14:20 in readings.csv.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def no_date(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.lacks("on"):
            yield Raised(
                "readings.no-date", reading.place.at("on"), said("{reading} has no date.", reading=name_of(reading))
            )


@rule(
    "readings.no-by",
    asks="Does each reading say who took it?",
    why="A measurement is a statement of somebody.",
    fix="Write the person's id from job.toml in the column by.",
    **QUERY,
)  # fmt: skip
def no_by(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.lacks("by"):
            yield Raised(
                "readings.no-by",
                reading.place.at("by"),
                said("{reading} does not say who took it.", reading=name_of(reading)),
            )


@rule(
    "readings.step-unknown",
    asks="Does each step a reading names exist?",
    why="A reading of a step that is not there belongs to nothing.",
    fix="Write the step's number or its folder's name.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def step_unknown(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.step and job.step(reading.step) is None:
            says = said(
                '{reading} names step "{step}", which is not among the steps.',
                reading=name_of(reading),
                step=reading.step,
            )
            yield Raised("readings.step-unknown", reading.place.at("step"), says)


@rule(
    "readings.no-step",
    asks="Does each reading before, during or after the work name its step?",
    why="Before or after what is then not known.",
    fix="Write the step, or the stage intake or handover.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def no_step(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.stage in _AROUND_A_STEP and reading.lacks("step"):
            yield Raised("readings.no-step", reading.place.at("step"), _around_none(reading))


def _around_none(reading: Reading) -> str:
    name = name_of(reading)
    if reading.stage is ReadingStage.BEFORE:
        return said("{reading} was taken before a step, but names none.", reading=name)
    if reading.stage is ReadingStage.DURING:
        return said("{reading} was taken during a step, but names none.", reading=name)
    return said("{reading} was taken after a step, but names none.", reading=name)


@rule(
    "readings.zone-unknown",
    asks="Does each reading name a zone this vehicle has?",
    why="Readings are shown and compared zone by zone.",
    fix="Write a zone's name from the table of zones (docs/record.md).",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def zone_unknown(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.zone and (fault := zone_fault(job, reading.zone)):
            yield Raised(
                "readings.zone-unknown",
                reading.place.at("zone"),
                said("{reading} names {fault}.", reading=name_of(reading), fault=fault),
            )


@rule(
    "readings.zone-unlikely",
    asks="Does each kind of reading make sense where it was taken?",
    why="Tread on a bonnet is a slip of the row.",
    fix="Correct zone or kind in readings.csv.",
    source="The table of kinds; common practice, no source", **QUERY,
)  # fmt: skip
def zone_unlikely(job: Job) -> Iterator[Raised]:
    for reading, what, _ in all_judged(job):
        place = zone(reading.zone)
        if what.kind is None or not what.kind.zones or place is None or zone_fault(job, reading.zone):
            continue
        if place.group not in what.kind.zones:
            says = said(
                "{reading}: {kind} of {zone}, which has none.",
                reading=name_of(reading),
                kind=what.kind.within,
                zone=within(place.title),
            )
            yield Raised("readings.zone-unlikely", reading.place.at("zone"), says)


@rule(
    "readings.zone-not-in-step",
    asks="Is each reading around a step taken where the step works?",
    why="A value of another part of the vehicle says nothing about the work.",
    fix="Correct zone or step of the row, or add the zone to zones in step.toml.",
    **QUERY,
)  # fmt: skip
def zone_not_in_step(job: Job) -> Iterator[Raised]:
    corner = {"wheel", "tyre", "brake"}
    for reading, what, judged in all_judged(job):
        step = job.step(reading.step) if reading.step and reading.stage in _AROUND_A_STEP else None
        place = zone(reading.zone)
        if step is None or not step.zones or place is None or {"whole", reading.zone} & set(step.zones):
            continue
        groups = {z.group for name in step.zones if (z := zone(name))}
        # A reference panel lies outside the work by its nature, and so does a torque on a neighbouring part.
        if place.group == "whole" or (place.group in corner and groups & corner) or what.lab is not None:
            continue
        if zone_fault(job, reading.zone) == "" and judged.trouble is None:
            says = said(
                "{reading} is of {zone}; step {step} works on {zones}.",
                reading=name_of(reading),
                zone=reading.zone,
                step=step.id,
                zones=row(step.zones),
            )
            yield Raised("readings.zone-not-in-step", reading.place.at("zone"), says)


@rule(
    "readings.no-instrument",
    asks="Does each measured value name its instrument?",
    why="A value nobody can trace to an instrument is an estimate.",
    fix="Write the instrument's id from job.toml in the column instrument.",
    source="ISO 10012 and ISO/IEC 17025 ask for traceability (from memory)", **STOP_AT_HANDOVER,
)  # fmt: skip
def no_instrument(job: Job) -> Iterator[Raised]:
    for reading, what, _ in all_judged(job):
        if needs_instrument(what.kind) and reading.lacks("instrument"):
            says = said("{reading} names no instrument.", reading=name_of(reading))
            yield Raised("readings.no-instrument", reading.place.at("instrument"), says)


@rule(
    "readings.instrument-unknown",
    asks="Is each instrument a reading names listed in job.toml?",
    why="Only there stands its calibration.",
    fix="Add it under [[instruments]] in job.toml, or correct the id.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def instrument_unknown(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.instrument and reading.instrument not in job.instruments_by_id:
            known = row(job.instruments_by_id) or said("none is listed")
            says = said(
                '{reading} names instrument "{instrument}"; known: {known}.',
                reading=name_of(reading),
                instrument=reading.instrument,
                known=known,
            )
            yield Raised("readings.instrument-unknown", reading.place.at("instrument"), says)


def _instrument_words() -> frozenset[str]:
    return frozenset(word.replace("_", " ") for kind in KINDS for word in kind.instruments)


@rule(
    "readings.instrument-unsuited",
    asks="Does each instrument measure what the reading is of?",
    why="A film thickness read on a glossmeter is a slip of the column.",
    fix="Correct instrument or kind in readings.csv, or what the instrument is in job.toml.",
    source="The table of kinds; common practice, no source", **QUERY,
)  # fmt: skip
def instrument_unsuited(job: Job) -> Iterator[Raised]:
    every = _instrument_words()
    for reading, what, _ in all_judged(job):
        instrument = job.instruments_by_id.get(reading.instrument)
        if instrument is None or what.kind is None or not needs_instrument(what.kind):
            continue
        named = instrument.what.casefold().replace("caliper", "calliper").replace("gage", "gauge")
        fits = {word.replace("_", " ") for word in what.kind.instruments}
        # Only an instrument we recognise as another one is queried; workshops name theirs as they like.
        if any(word in named for word in every) and not any(word in named for word in fits):
            says = said(
                "{reading}: {kind} read on {instrument}, a {what}.",
                reading=name_of(reading),
                kind=what.kind.within,
                instrument=instrument.id,
                what=instrument.what,
            )
            yield Raised("readings.instrument-unsuited", reading.place.at("instrument"), says)


@rule(
    "readings.repeated-row",
    asks="Is each reading written down once?",
    why="A row copied twice makes a mean look surer than it is.",
    fix="Delete the copy, or give the second measurement its own point or time.",
    **NOTE,
)  # fmt: skip
def repeated_row(job: Job) -> Iterator[Raised]:
    seen: dict[tuple[object, ...], Reading] = {}
    for reading in job.readings:
        key = (
            reading.stage, reading.step, reading.zone, reading.point, reading.kind, reading.value_text, reading.unit,
            reading.detail, reading.instrument, reading.by, reading.on,
        )  # fmt: skip
        first = seen.setdefault(key, reading)
        if first is not reading:
            says = said(
                "{reading} says the same as row {row}, word for word.", reading=name_of(reading), row=first.place.row
            )
            yield Raised("readings.repeated-row", reading.place, says)


READINGS: tuple[Rule, ...] = (
    custom_kind_wrong, kind_unknown, value_form, unit_unknown, unit_wrong, impossible, unit_slip,
    no_date, no_by, step_unknown, no_step, zone_unknown, zone_unlikely, zone_not_in_step, no_instrument,
    instrument_unknown, instrument_unsuited, repeated_row, *READINGS_LIMITS, *READINGS_ODD, *READINGS_PAINT,
    *READINGS_FILM, *READINGS_CURE, *READINGS_COMPARED, *READINGS_RUNNING, *READINGS_LAW, *READINGS_ACCEPTED,
    *SETTING_RULES,
)  # fmt: skip
