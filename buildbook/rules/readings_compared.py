"""Rules that compare what should be alike: left and right brakes, cylinders, angles of an effect paint; and charge."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.said import figure, row, said, sentences
from buildbook.records.words import ReadingStage
from buildbook.records.zones import zone
from buildbook.rules.grades import QUERY
from buildbook.rules.judged import (
    all_judged,
    angle_of,
    colours_at_angles,
    is_reference,
    limit_for,
    same_surface,
)
from buildbook.rules.readings_odd import slips
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import choice, effect_angles, number
from buildbook.rules.together import Outside, standing
from buildbook.rules.understood import LEFT_BEHIND, name_of
from buildbook.trade.brakes import side_difference
from buildbook.trade.colour import multi_angle
from buildbook.trade.electrical import Charge, charge, judge_charging
from buildbook.trade.engine import Leak, LeakSettings, compare_cylinders, leak_word
from buildbook.trade.faults import TradeError

Group = list[tuple[Reading, Decimal]]

_ORDER = list(ReadingStage)
_SIDES = {"disc_thickness": "disc_sides_mm", "pad_lining": "lining_sides_mm"}
_CYLINDER = "cylinder "


def _sound(job: Job, *kinds: str) -> Iterator[tuple[Reading, Decimal]]:
    """Numbers of these kinds in the kind's own unit, without slips of the pen."""
    odd = set(slips(job))
    for position, (reading, what, _) in enumerate(all_judged(job)):
        if reading.kind in kinds and what.si is not None and reading.stage is not None and position not in odd:
            yield reading, what.si


def uneven_sides(job: Job) -> Iterator[Outside]:
    """Axles whose brakes were left with more difference between the sides than the setting allows."""
    axles: dict[tuple[str, ...], dict[str, Group]] = defaultdict(lambda: defaultdict(list))
    for reading, value in _sound(job, *_SIDES):
        axle, _, side = reading.zone.rpartition("-")
        place = zone(reading.zone)
        if place is not None and place.group == "brake" and side in ("left", "right") and reading.stage in LEFT_BEHIND:
            axles[reading.kind, str(reading.stage), reading.step, axle][side].append((reading, value))
    for (kind, *_, axle), sides in axles.items():
        if len(sides) != 2:
            continue
        most = number(job, _SIDES[kind])
        found = side_difference([v for _, v in sides["left"]], [v for _, v in sides["right"]], most)
        if found.decision is not None and not found.decision.within:
            thin = min((*sides["left"], *sides["right"]), key=lambda item: item[1])[0]
            says = said(
                "{axle}: {kind} {left} mm left, {right} mm right, {difference} mm apart; expected at most {most} mm.",
                axle=axle, kind=kind, left=found.left, right=found.right, difference=found.difference, most=most,
            )  # fmt: skip
            members = tuple(reading for side in sides.values() for reading, _ in side)
            yield Outside("readings.brake-sides-differ", thin.place.at("value"), says, members)


@rule(
    "readings.brake-sides-differ",
    asks="Are discs and linings of one axle alike on both sides?",
    why="Brakes worn unevenly pull to one side; often a calliper sticks.",
    fix="Measure both sides again and look for the cause; the maker's manual and licensed practice decide. The "
    "greatest difference is disc_sides_mm and lining_sides_mm in [settings].",
    **QUERY,
)  # fmt: skip
def brake_sides_differ(job: Job) -> Iterator[Raised]:
    yield from standing(job, uneven_sides(job))


def _engines(job: Job) -> list[Group]:
    """Compression of one engine at a time (stage, step, detail), in kPa; only sets nothing was measured after."""
    sets: dict[tuple[str, ...], Group] = defaultdict(list)
    last = -1
    for reading, value in _sound(job, "compression"):
        if reading.point.casefold().startswith(_CYLINDER) and reading.stage is not None:
            sets[str(reading.stage), reading.step, reading.zone, reading.detail].append((reading, value))
            last = max(last, _ORDER.index(reading.stage))
    return [group for key, group in sets.items() if _ORDER.index(ReadingStage(key[0])) == last]


def uneven_cylinders(job: Job) -> Iterator[Outside]:
    """Engines whose cylinders differ by more than the setting allows."""
    most = number(job, "compression_spread_percent")
    for group in _engines(job):
        try:
            found = compare_cylinders({reading.point: value for reading, value in group}, spread_limit=most)
        except TradeError:
            continue
        if not found.spread.within:
            by_point = {reading.point: reading for reading, _ in group}
            low, high = by_point[found.lowest[0]], by_point[found.highest[0]]
            says = said(
                "{low}: {low_value}, {high}: {high_value}, {spread} % apart; expected at most {most} %.",
                low=low.point, low_value=f"{low.value_text} {low.unit}",
                high=high.point, high_value=f"{high.value_text} {high.unit}",
                spread=figure(found.spread_percent, ".1f"), most=figure(most.normalize(), "f"),
            )  # fmt: skip
            yield Outside("readings.compression-spread", low.place.at("value"), says, tuple(by_point.values()))


@rule(
    "readings.compression-spread",
    asks="Is the compression of the cylinders alike?",
    why="One cylinder far below the others leaks: rings, valves or the gasket.",
    fix="Measure that cylinder again, warm and with the throttle open. If it is right, say so under [[open_items]]; "
    "the maker's figure wins.",
    source="Common practice, no source: 15 % of the highest unless [settings] says otherwise", **QUERY,
)  # fmt: skip
def compression_spread(job: Job) -> Iterator[Raised]:
    yield from standing(job, uneven_cylinders(job))


def leaking(job: Job) -> Iterator[Outside]:
    """Cylinders whose leak-down is poor or bad and which no limit of the record judges."""
    fair = number(job, "leak_down_percent")
    bands = LeakSettings(good=min(LeakSettings().good, fair), fair=fair, poor=max(LeakSettings().poor, fair))
    for reading, what, verdict in all_judged(job):
        if reading.kind != "leak_down" or what.si is None or verdict.judged or reading.stage not in LEFT_BEHIND:
            continue
        if (leak := leak_word(what.si, bands)) in (Leak.POOR, Leak.BAD):
            says = _leaks(reading, leak, fair)
            yield Outside("readings.leak-down-high", reading.place.at("value"), says, (reading,))


def _leaks(reading: Reading, leak: Leak, fair: Decimal) -> str:
    name, most = name_of(reading), figure(fair.normalize(), "f")
    if leak is Leak.POOR:
        return said(
            "{reading}: {value} %, poor; expected at most {most} %.", reading=name, value=reading.value_text, most=most
        )
    return said(
        "{reading}: {value} %, bad; expected at most {most} %.", reading=name, value=reading.value_text, most=most
    )


@rule(
    "readings.leak-down-high",
    asks="Does each cylinder hold its pressure?",
    why="What leaks past rings or valves is lost power, and grows.",
    fix="Listen where it leaks and measure again; if it stays, say so under [[open_items]]. The maker's figure wins.",
    source="Bands of common practice, no source", **QUERY,
)  # fmt: skip
def leak_down_high(job: Job) -> Iterator[Raised]:
    yield from standing(job, leaking(job))


def _unjudged_volts(job: Job, kind: str) -> Iterator[tuple[Reading, Decimal, int]]:
    nominal = int(choice(job, "system_voltage"))
    for reading, what, verdict in all_judged(job):
        if reading.kind == kind and what.si is not None and not verdict.judged and reading.stage in LEFT_BEHIND:
            yield reading, what.si, nominal


def flat(job: Job) -> Iterator[Outside]:
    """Batteries left low or flat by the usual bands, where no limit of the record judges them."""
    for reading, volts, nominal in _unjudged_volts(job, "battery_voltage"):
        if (state := charge(volts, nominal)) in (Charge.LOW, Charge.FLAT):
            name, value = name_of(reading), f"{reading.value_text} {reading.unit}"
            says = said("{reading}: {value} at rest is low for {volts} V.", reading=name, value=value, volts=nominal)
            if state is Charge.FLAT:
                says = said(
                    "{reading}: {value} at rest is flat for {volts} V.", reading=name, value=value, volts=nominal
                )
            yield Outside("readings.battery-low", reading.place.at("value"), says, (reading,))


@rule(
    "readings.battery-low",
    asks="Does the vehicle leave with its battery charged?",
    why="A battery left low sulphates and strands the driver; or the system is not 12 V.",
    fix="Charge, let it rest, measure again. For 6 V or 24 V write system_voltage in [settings].",
    source="Bands of a lead-acid battery at rest, common practice, no source", **QUERY,
)  # fmt: skip
def battery_low(job: Job) -> Iterator[Raised]:
    yield from standing(job, flat(job))


def charging_badly(job: Job) -> Iterator[Outside]:
    """Charging voltages outside the usual band, where no limit of the record judges them."""
    for reading, volts, nominal in _unjudged_volts(job, "charging_voltage"):
        verdict = judge_charging(volts, nominal)
        if not verdict.within:
            says = said(
                "{reading}: {value} while charging; usual for {volts} V: {low} to {high} V.",
                reading=name_of(reading), value=f"{reading.value_text} {reading.unit}", volts=nominal,
                low=verdict.lower, high=verdict.upper,
            )  # fmt: skip
            yield Outside("readings.charging-voltage", reading.place.at("value"), says, (reading,))


@rule(
    "readings.charging-voltage",
    asks="Does the charging voltage lie in the usual band?",
    why="Below it the battery is never full; above it it boils.",
    fix="Check dynamo or alternator and regulator, and measure again; the maker's figure wins and can be written as a "
    "limit. For 6 V or 24 V write system_voltage in [settings].",
    source="Usual band, common practice, no source", **QUERY,
)  # fmt: skip
def charging_voltage(job: Job) -> Iterator[Raised]:
    yield from standing(job, charging_badly(job))


@rule(
    "readings.colour-angle-missing",
    asks="Was an effect paint compared at every angle the job asks for?",
    why="Metallic and pearl paint may match from one side and not from another; a missing angle is no verdict.",
    fix="Measure panel and reference at each angle, and write it at the end of the point: `centre 45`.",
    source="ASTM E2194 asks for three angles at least (PUB-A); which ones, from memory", **QUERY,
)  # fmt: skip
def colour_angle_missing(job: Job) -> Iterator[Raised]:
    required, told = effect_angles(job), set[tuple[object, ...]]()
    if not required:
        return
    for reading, what, _ in all_judged(job):
        key = same_surface(reading)
        if what.lab is None or is_reference(reading) or key in told:
            continue
        told.add(key)
        panel, reference = colours_at_angles(job, reading)
        limit = limit_for(job, "colour_lab", reading.zone)
        most = limit.max if limit is not None and limit.max is not None else Decimal(1)
        found = multi_angle(reference, panel, most, required=required)
        if found.missing:
            says = said(
                "{reading}: {zone} and its reference were not both measured at {angles}; no verdict.",
                reading=name_of(reading), zone=reading.zone, angles=row(f"{angle}°" for angle in found.missing),
            )  # fmt: skip
            nameless = said("This reading names no angle.") if angle_of(reading) is None else ""
            yield Raised("readings.colour-angle-missing", reading.place.at("point"), sentences(says, nameless))


READINGS_COMPARED: tuple[Rule, ...] = (
    brake_sides_differ, compression_spread, leak_down_high, battery_low, charging_voltage, colour_angle_missing,
)  # fmt: skip
