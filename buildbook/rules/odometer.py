"""Rules of the odometer: readings in and out, in one unit, in an order that can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise

from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.said import said, said_of
from buildbook.rules.grades import COMPLETE_BY_HANDOVER, ONLY_AT_HANDOVER, QUERY, QUERY_LATER, STOP_AT_HANDOVER
from buildbook.rules.rule import Rule, rule
from buildbook.trade.odometer import OdometerDoubt, OdometerReading, doubts
from buildbook.trade.units import convert

# Further than a workshop drives a client's car on test (common practice, no source).
TEST_DRIVE_KM = Decimal(500)


@rule(
    "identity.no-odometer-in",
    asks="Was the odometer read on arrival?",
    why="It fixes the state on the day the vehicle changed hands, and how far it was driven in the workshop.",
    fix="Write odometer.in in job.toml, without tenths; if the instrument does not work, write so in "
    "odometer.statement.",
    source="Form after 49 CFR 580.5 (PUB-A): reading without tenths, with its date",
    **STOP_AT_HANDOVER,
)
def no_odometer_in(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if odometer.lacks("reading_in") and "in" not in odometer.bad and not odometer.statement:
        yield Raised("identity.no-odometer-in", odometer.place.at("in"), said("The odometer was not read on arrival."))


@rule(
    "identity.no-odometer-out",
    asks="Was the odometer read on leaving?",
    why="Distances of aftercare count from it, and it shows that the vehicle was not used.",
    fix="Write odometer.out in job.toml, without tenths; if the instrument does not work, write so in "
    "odometer.statement.",
    source="Form after 49 CFR 580.5 (PUB-A): reading without tenths, with its date",
    **ONLY_AT_HANDOVER,
)
def no_odometer_out(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if odometer.lacks("reading_out") and "out" not in odometer.bad and not odometer.statement:
        yield Raised(
            "identity.no-odometer-out", odometer.place.at("out"), said("The odometer was not read on leaving.")
        )


@rule(
    "identity.odometer-unit",
    asks="Is it said whether the odometer counts kilometres or miles?",
    why="A figure without its unit is off by 61 % for half of its readers.",
    fix='Write odometer.unit in job.toml: "km" or "mi", as the instrument itself is marked.',
    source="1 mi = 1.609344 km exactly (1959 agreement, MEM)",
    **STOP_AT_HANDOVER,
)
def odometer_unit(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if (odometer.reading_in is not None or odometer.reading_out is not None) and odometer.lacks("unit"):
        yield Raised(
            "identity.odometer-unit", odometer.place.at("unit"), said("The odometer has a reading but no unit.")
        )


@rule(
    "identity.odometer-falls",
    asks="Does the odometer on leaving stand at or above the one on arrival?",
    why="An odometer does not run backwards; a fall is explained only by a stated rollover or a replaced instrument.",
    fix="Read both photos again and correct job.toml; if the instrument was replaced or rolled over, say so in "
    "odometer.statement.",
    **COMPLETE_BY_HANDOVER,
)
def odometer_falls(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if odometer.reading_in is None or odometer.reading_out is None or odometer.statement or _slip_in_out(job):
        return
    if odometer.reading_out < odometer.reading_in:
        yield Raised(
            "identity.odometer-falls", odometer.place.at("out"),
            said(
                "Odometer out {out} is below odometer in {arrival}.",
                out=odometer.reading_out, arrival=odometer.reading_in,
            ),
        )  # fmt: skip


@rule(
    "identity.odometer-far",
    asks="Was the vehicle driven no further in the workshop than a test drive goes?",
    why=f"More than {TEST_DRIVE_KM} km between arrival and leaving is a slip in a digit, or use that the owner will "
    "ask about.",
    fix="Read both photos again and correct job.toml; if the distance is right, say why in odometer.statement.",
    **QUERY_LATER,
)
def odometer_far(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if odometer.reading_in is None or odometer.reading_out is None or odometer.statement or _slip_in_out(job):
        return
    driven = odometer.reading_out - odometer.reading_in
    unit = odometer.unit if odometer.unit in ("km", "mi") else "km"
    if convert(Decimal(driven), unit, "km") > TEST_DRIVE_KM:
        yield Raised(
            "identity.odometer-far", odometer.place.at("out"),
            said(
                "Between odometer in {arrival} and out {out} lie {driven} {unit}; expected at most {limit} "
                "km of test drives.",
                arrival=odometer.reading_in, out=odometer.reading_out, driven=driven, unit=unit, limit=TEST_DRIVE_KM,
            ),
        )  # fmt: skip


@rule(
    "identity.odometer-ratio",
    asks="Are neighbouring odometer readings free of the ratio of mile and kilometre?",
    why="A ratio near 1.609 or 0.621 between neighbours means that one was most likely read in the other unit.",
    fix="Look at both photos or papers; write all readings in the unit of the instrument. If both are right, say so in "
    "odometer.statement.",
    source="Common practice, no source; 1 mi = 1.609344 km exactly",
    **QUERY,
)
def odometer_ratio(job: Job) -> Iterator[Raised]:
    if job.odometer.statement:
        return
    for leg in _course(job):
        if OdometerDoubt.UNIT_SLIP in _doubts(job, leg.earlier, leg.later):
            ratio = (Decimal(leg.later) / leg.earlier).quantize(Decimal("0.001"))
            yield Raised(
                "identity.odometer-ratio", leg.place,
                said(
                    "Odometer {later} against {earlier} before it: got the ratio {ratio}, which is that of mile "
                    "and kilometre (1.609 or 0.621).",
                    later=leg.later, earlier=leg.earlier, ratio=ratio,
                ),
            )  # fmt: skip


@rule(
    "identity.history-falls",
    asks="Do the odometer readings of the history rise with time, up to the one on arrival?",
    why="A reading below an earlier one means a replaced instrument, a rollover or a wrong figure; a buyer will ask.",
    fix="Correct the figure in [[history]], or explain the fall in odometer.statement (replaced, rolled over).",
    **QUERY,
)
def history_falls(job: Job) -> Iterator[Raised]:
    if job.odometer.statement:
        return
    arrival = job.odometer.place.at("in")
    out = job.odometer.place.at("out")
    for leg in _course(job):
        if leg.place != out and OdometerDoubt.FALLS in _doubts(job, leg.earlier, leg.later):
            if leg.place == arrival:
                says = said(
                    "Odometer {later} on arrival is below the {earlier} of {year}.",
                    later=leg.later, earlier=leg.earlier, year=leg.earlier_on.year,
                )  # fmt: skip
            else:
                says = said(
                    "Odometer {later} of {later_year} is below the {earlier} of {year}.",
                    later=leg.later, later_year=leg.later_on.year, earlier=leg.earlier, year=leg.earlier_on.year,
                )  # fmt: skip
            yield Raised(
                "identity.history-falls", leg.place,
                says,
            )  # fmt: skip


@rule(
    "identity.odometer-digits",
    asks="Does each reading fit on the wheels of the counter?",
    why="A five-digit counter cannot show 161,204; either the digits or the reading are wrong.",
    fix="Count the wheels on the photo and correct odometer.digits, or write the reading as shown and the rollover in "
    "odometer.statement.",
    **QUERY,
)
def odometer_digits(job: Job) -> Iterator[Raised]:
    odometer = job.odometer
    if odometer.digits is None:
        return
    counted = (
        ("in", N_("Odometer in {reading} has {n} digits; the counter has {digits}."), odometer.reading_in),
        ("out", N_("Odometer out {reading} has {n} digits; the counter has {digits}."), odometer.reading_out),
    )
    for field, sentence, reading in counted:
        if reading is not None and len(str(reading)) > odometer.digits:
            yield Raised(
                "identity.odometer-digits", odometer.place.at(field),
                said_of(sentence, reading=reading, n=len(str(reading)), digits=odometer.digits),
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Leg:
    """Two neighbouring readings: their days, their values, the place of the later one."""

    place: Place
    earlier_on: date
    earlier: int
    later_on: date
    later: int


def _doubts(job: Job, earlier: int, later: int) -> set[OdometerDoubt]:
    """The doubts about two neighbours. Any two days will do: their order is known, the speed is not asked."""
    unit = job.odometer.unit if job.odometer.unit in ("km", "mi") else "km"
    course = [
        OdometerReading(date(2000, 1, number), Decimal(value), unit) for number, value in enumerate((earlier, later), 1)
    ]
    return {flag.doubt for flag in doubts(course)}


def _course(job: Job) -> Iterator[_Leg]:
    """Neighbouring readings by date: history first, then arrival and leaving."""
    odometer = job.odometer
    past = [
        (on, entry.place.at("odometer"), entry.odometer)
        for entry in job.history
        if entry.odometer is not None and (on := _when(entry.on)) is not None
    ]
    course = sorted(past, key=lambda p: p[0])
    if odometer.reading_in is not None:
        course.append((job.received or job.as_of, odometer.place.at("in"), odometer.reading_in))
    if odometer.reading_out is not None:
        course.append((job.handover or job.as_of, odometer.place.at("out"), odometer.reading_out))
    for (earlier_on, _, earlier), (later_on, place, later) in pairwise(course):
        yield _Leg(place, earlier_on, earlier, later_on, later)


def _slip_in_out(job: Job) -> bool:
    """True if in and out stand in the ratio of mile and kilometre: that has a finding of its own."""
    odometer = job.odometer
    if odometer.reading_in is None or odometer.reading_out is None:
        return False
    return OdometerDoubt.UNIT_SLIP in _doubts(job, odometer.reading_in, odometer.reading_out)


def _when(on: str) -> date | None:
    """The first day a statement of history can mean: `1998`, `1998-06` or `1998-06-30`; None for other words."""
    for filled in (on, f"{on}-01", f"{on}-01-01"):
        try:
            return date.fromisoformat(filled)
        except ValueError:
            continue
    return None


ODOMETER: tuple[Rule, ...] = (
    no_odometer_in,
    no_odometer_out,
    odometer_unit,
    odometer_falls,
    odometer_far,
    odometer_ratio,
    history_falls,
    odometer_digits,
)
