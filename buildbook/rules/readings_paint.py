"""Rules of paint: film before and after polishing, gloss, colour, grades, and the climate while painting."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading, Step, When
from buildbook.records.said import amount, figure, give_or_take, row, said, word
from buildbook.records.words import Operation, ReadingStage
from buildbook.records.zones import zone
from buildbook.rules.grades import NOTE, QUERY, STOP_AT_HANDOVER
from buildbook.rules.judged import all_judged, angle_of, counts, is_reference, limit_for, reference_of
from buildbook.rules.moments import surely_after, zone_of
from buildbook.rules.readings_odd import slips
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import film_settings
from buildbook.rules.together import Outside, standing
from buildbook.rules.understood import name_of
from buildbook.trade.climate import LEAST_MARGIN, check_dew_point
from buildbook.trade.degradation import got_worse
from buildbook.trade.faults import TradeError
from buildbook.trade.film import PointRemoval, judge_removal, removal_at_points, signs_of_repair, too_thin
from buildbook.trade.gloss import proposed_angle
from buildbook.trade.units import convert

Points = dict[str, list[tuple[Reading, Decimal]]]

# By how much a second measurement of one point may exceed the first before it says something. Hand gauges repeat to a
# few micrometres; common practice, no source.
REPEATS_TO = Decimal(5)


@dataclass(frozen=True, slots=True)
class Polished:
    """Film of one zone before and after one polishing step, by point, in µm."""

    step: Step
    zone: str
    before: Points
    after: Points

    def means(self, which: Points) -> dict[str, Decimal]:
        return {point: sum((v for _, v in found), Decimal(0)) / len(found) for point, found in which.items()}

    def removed(self) -> PointRemoval | None:
        """What was taken off at the points measured both times; None where there are none."""
        try:
            return removal_at_points(self.means(self.before), self.means(self.after))
        except TradeError:
            return None


def polished(job: Job) -> tuple[Polished, ...]:
    """Each zone whose film was measured around a polishing step; slips of the pen are left out."""
    odd = set(slips(job))
    found: dict[tuple[str, str], tuple[Points, Points]] = {}
    for position, (reading, what, _) in enumerate(all_judged(job)):
        step = job.step(reading.step) if reading.step else None
        if step is None or step.operation is not Operation.POLISH or reading.kind != "film_thickness":
            continue
        if what.si is None or position in odd or reading.stage not in (ReadingStage.BEFORE, ReadingStage.AFTER):
            continue
        sides = found.setdefault((step.id, reading.zone), (defaultdict(list), defaultdict(list)))
        sides[reading.stage is ReadingStage.AFTER][reading.point].append((reading, what.si))
    steps = {step.id: step for step in job.steps}
    return tuple(Polished(steps[step], name, *sides) for (step, name), sides in found.items())


def removal_limit(job: Job, place: str) -> tuple[Decimal, str] | None:
    """The most that polishing may take off, in µm, with its source: [[limits]] of kind "film_removal"."""
    limit = limit_for(job, "film_removal", place)
    if limit is None or limit.max is None:
        return None
    try:
        return convert(limit.max, limit.unit, "µm"), row(
            (amount(limit.max, limit.unit), limit.source or said("no source"))
        )
    except TradeError:
        return None


def taken_off(job: Job) -> Iterator[Outside]:
    """Zones from which polishing took off more than the limit."""
    for pair in polished(job):
        limit, found = removal_limit(job, pair.zone), pair.removed()
        if limit is None or found is None:
            continue
        verdict = judge_removal(found.removal, limit[0])
        if not verdict.within:
            members = tuple(reading for point in found.points for reading, _ in pair.after[point])
            removal = found.removal
            doubt = figure(removal.expanded, ".1f") if removal.expanded is not None else ""
            says = said(
                "{zone}: {removed} µm taken off over {n} points; at most {limit}: {verdict}.",
                zone=pair.zone, removed=give_or_take(figure(removal.removed, ".1f"), doubt), n=len(found.points),
                limit=limit[1], verdict=word(verdict.word),
            )  # fmt: skip
            yield Outside("readings.film-removed", members[0].place.at("value"), says, members)


@rule(
    "readings.film-removed",
    asks="Did polishing take off no more film than the limit allows?",
    why="What is gone does not come back, and a clear coat polished through fails early.",
    fix="Check the readings at the same points. If they are right, say so under [[open_items]] and to the client, and "
    "state exception and approval on one of them.",
    source="Paint makers' limits as quoted in the trade, 0.3 to 0.5 mil (PUB-C); u after GUM 5.1.2", **STOP_AT_HANDOVER,
)  # fmt: skip
def film_removed(job: Job) -> Iterator[Raised]:
    yield from standing(job, taken_off(job))


@rule(
    "readings.film-removed-at-point",
    asks="Did polishing take off no more than the limit at any single point?",
    why="A clear coat is polished through at one place first, while the mean still looks well.",
    fix="Measure that point again; if it is right, say so under [[open_items]].",
    source="Paint makers' limits as quoted in the trade (PUB-C)", **QUERY,
)  # fmt: skip
def film_removed_at_point(job: Job) -> Iterator[Raised]:
    for pair in polished(job):
        limit, found = removal_limit(job, pair.zone), pair.removed()
        if limit is None or found is None or not judge_removal(found.removal, limit[0]).within:
            continue
        before, after = pair.means(pair.before), pair.means(pair.after)
        for point in found.points:
            if before[point] - after[point] > limit[0] + REPEATS_TO:
                reading = pair.after[point][0][0]
                removed = figure(before[point] - after[point], ".1f")
                says = said(
                    "{reading}: {removed} µm taken off at this point; at most {limit}.",
                    reading=name_of(reading), removed=removed, limit=limit[1],
                )  # fmt: skip
                yield Raised("readings.film-removed-at-point", reading.place.at("value"), says)


@rule(
    "readings.film-grown",
    asks="Is the film at no point thicker after polishing than before?",
    why="Polishing adds nothing: the stages are swapped, the point is another, or a value is wrong.",
    fix="Correct stage, point or value in readings.csv, or measure again at the marked point.",
    source="Common practice, no source; a hand gauge repeats to a few micrometres", **QUERY,
)  # fmt: skip
def film_grown(job: Job) -> Iterator[Raised]:
    for pair in polished(job):
        before, after = pair.means(pair.before), pair.means(pair.after)
        for point in sorted(before.keys() & after.keys()):
            reading = pair.after[point][0][0]
            allowed = max(REPEATS_TO, reading.expanded_uncertainty or Decimal(0))
            if after[point] - before[point] > allowed:
                says = said(
                    "{reading}: {after} µm after polishing, {before} µm before.",
                    reading=name_of(reading),
                    after=figure(after[point], ".1f"),
                    before=figure(before[point], ".1f"),
                )
                yield Raised("readings.film-grown", reading.place.at("value"), says)


def _panels(job: Job, stages: frozenset[ReadingStage]) -> dict[str, list[tuple[Reading, Decimal]]]:
    """Film by panel, in µm; only painted panels, and no slips of the pen."""
    odd = set(slips(job))
    found: dict[str, list[tuple[Reading, Decimal]]] = defaultdict(list)
    for position, (reading, what, _) in enumerate(all_judged(job)):
        place = zone(reading.zone)
        if reading.kind != "film_thickness" or what.si is None or position in odd or reading.stage not in stages:
            continue
        if place is not None and place.group == "panel":
            found[reading.zone].append((reading, what.si))
    return dict(found)


@rule(
    "readings.film-thick",
    asks="Which panels carry more film on arrival than the rest of the car?",
    why="Consistent with an earlier repaint or repair, which thickness alone cannot prove. A buyer will measure too.",
    fix="Nothing need be done. Look closer, and write under [[open_items]] what is not known.",
    source="Against the car's own median: common practice (PRAC); published thresholds disagree (PUB-C)", **NOTE,
)  # fmt: skip
def film_thick(job: Job) -> Iterator[Raised]:
    panels = _panels(job, frozenset({ReadingStage.INTAKE}))
    for panel in signs_of_repair({name: [v for _, v in found] for name, found in panels.items()}, film_settings(job)):
        if panel.above < 0 and panel.signs != ("spread",):
            continue
        first = panels[panel.panel][0][0]
        says = said(
            "{zone}: {mean} µm (n = {n}), {comparison}.",
            zone=panel.panel, mean=figure(panel.summary.mean, ".0f"), n=panel.summary.n, comparison=panel.statement,
        )  # fmt: skip
        yield Raised("readings.film-thick", first.place.at("value"), says)


@rule(
    "readings.film-thin",
    asks="Is the film thick enough for the polishing that is planned or done?",
    why="Below 80 µm in total the clear coat may be thin already.",
    fix="Polish with the mildest pair that works, watch the gauge, and agree it with the client.",
    source="Trade pages name 80 to 90 µm (PUB-C)", **NOTE,
)  # fmt: skip
def film_thin(job: Job) -> Iterator[Raised]:
    panels = _panels(job, frozenset({ReadingStage.INTAKE, ReadingStage.BEFORE}))
    planned = {name for step in job.steps if step.operation is Operation.POLISH for name in step.zones}
    values = {name: [v for _, v in found] for name, found in panels.items() if name in planned}
    for name, lowest in too_thin(values, film_settings(job)):
        reading = next(r for r, v in panels[name] if v == lowest)
        says = said(
            "{zone}: {lowest} µm before polishing ({reading}).",
            zone=name,
            lowest=figure(lowest, ".0f"),
            reading=name_of(reading),
        )
        yield Raised("readings.film-thin", reading.place.at("value"), says)


def _gloss(job: Job) -> Iterator[tuple[Reading, int, Decimal]]:
    for reading, what, _ in all_judged(job):
        if reading.kind in ("gloss_20", "gloss_60", "gloss_85") and what.si is not None:
            yield reading, int(reading.kind[-2:]), what.si


@rule(
    "readings.gloss-geometry",
    asks="Was gloss measured at the angle that suits the surface?",
    why="At 60° differences between very bright or very dull surfaces are hardly seen.",
    fix="Measure at 20° above 70 GU, at 85° below 10 GU, besides 60°.",
    source="ASTM D523 as summarised (PUB-C): above 70 use 20°, below 10 use 85°", **NOTE,
)  # fmt: skip
def gloss_geometry(job: Job) -> Iterator[Raised]:
    found = [*_gloss(job)]
    angles = {(r.zone, r.stage, r.step, angle) for r, angle, _ in found}
    told: set[tuple[object, ...]] = set()
    for reading, angle, value in found:
        where = (reading.zone, reading.stage, reading.step)
        better = proposed_angle(value) if angle == 60 else 60
        if better == 60 or (*where, better) in angles or where in told:
            continue
        told.add(where)
        says = said(
            "{reading}: {value} GU at 60°; {angle}° would show more.",
            reading=name_of(reading),
            value=reading.value_text,
            angle=better,
        )
        yield Raised("readings.gloss-geometry", reading.place.at("kind"), says)


@rule(
    "readings.gloss-not-comparable",
    asks="Was gloss measured at the same angle before and after?",
    why="Gloss units of different angles are different scales and cannot be compared.",
    fix="Measure after the work at the angle used before it, or correct the kind of the row.",
    source="ISO 2813:2014, explanatory example: one surface gives 35, 70 and 95 GU at 20°, 60° and 85° (PUB-C)",
    **QUERY,
)  # fmt: skip
def gloss_not_comparable(job: Job) -> Iterator[Raised]:
    befores: dict[tuple[str, str, str], set[int]] = defaultdict(set)
    afters: dict[tuple[str, str, str], list[tuple[Reading, int]]] = defaultdict(list)
    for reading, angle, _ in _gloss(job):
        where = (reading.step, reading.zone, reading.point)
        if reading.stage is ReadingStage.BEFORE:
            befores[where].add(angle)
        elif reading.stage is ReadingStage.AFTER:
            afters[where].append((reading, angle))
    for where, found in afters.items():
        lone = [(r, a) for r, a in found if a not in befores[where]]
        missed = befores[where] - {a for _, a in found}
        if lone and missed:
            reading, angle = lone[0]
            says = said(
                "{reading} is at {angle}°; before the work this point was measured at {before}°.",
                reading=name_of(reading),
                angle=angle,
                before=min(missed),
            )
            yield Raised("readings.gloss-not-comparable", reading.place.at("kind"), says)


@rule(
    "readings.no-reference-colour",
    asks="Does each colour reading have a reference of the same step, stage and angle?",
    why="A colour alone says nothing; the match with the panel beside it does.",
    fix='Measure the reference panel too, and write "reference" (and the angle) as its point.',
    source="ASTM E2194: at least three angles for effect paint (PUB-A); a missing angle is no verdict", **QUERY,
)  # fmt: skip
def no_reference_colour(job: Job) -> Iterator[Raised]:
    for reading, what, _ in all_judged(job):
        if what.lab is not None and not is_reference(reading) and reference_of(job, reading) is None:
            says = _no_reference(reading, angle_of(reading))
            yield Raised("readings.no-reference-colour", reading.place.at("point"), says)


def _no_reference(reading: Reading, angle: int | None) -> str:
    name, step = name_of(reading), reading.step or said("none")
    stage = word(reading.stage) if reading.stage else ""
    if angle is None:
        return said("{reading} has no reference {stage} step {step}.", reading=name, stage=stage, step=step)
    return said(
        "{reading} has no reference at {angle}° {stage} step {step}.", reading=name, angle=angle, stage=stage, step=step
    )


@rule(
    "readings.grade-worse",
    asks="Is no grade of rust, blistering or adhesion worse after the work than before?",
    why="The work would have harmed what it was to mend, or the grades are swapped. The scales run opposite ways.",
    fix="Correct stage or grade, or say in the step what happened.",
    source="ISO 4628 and ISO 2409: 0 is best; ASTM D610, D714: 10 is best (PUB-B, PUB-C)", **QUERY,
)  # fmt: skip
def grade_worse(job: Job) -> Iterator[Raised]:
    befores: dict[tuple[str, ...], Reading] = {}
    graded = [r for r, what, _ in all_judged(job) if what.kind and what.kind.value_form == "grade" and not what.trouble]
    for reading in graded:
        if reading.stage is ReadingStage.BEFORE:
            befores.setdefault((reading.kind, reading.step, reading.zone, reading.point), reading)
    for reading in graded:
        before = befores.get((reading.kind, reading.step, reading.zone, reading.point))
        if reading.stage is not ReadingStage.AFTER or before is None:
            continue
        if got_worse(reading.kind, before.value_text, reading.value_text, half_steps=True):
            says = said(
                "{reading}: {after} after the work, {before} before it.",
                reading=name_of(reading),
                after=reading.value_text,
                before=before.value_text,
            )
            yield Raised("readings.grade-worse", reading.place.at("value"), says)


_CLIMATE = ("surface_temperature", "air_temperature", "relative_humidity")


def _minutes_apart(one: When | None, other: When | None) -> float | None:
    if isinstance(one, datetime) and isinstance(other, datetime):
        return abs((one - other).total_seconds()) / 60
    return None


def _nearest(job: Job, surface: Reading, kind: str) -> tuple[Reading, Decimal] | None:
    """The air reading of the same step nearest in time, within an hour; of the same day where no hour is written."""
    tz = zone_of(job)
    best: tuple[float, Reading, Decimal] | None = None
    for reading, what, _ in all_judged(job):
        if reading.kind != kind or reading.step != surface.step or what.si is None or not counts(job, reading, what):
            continue
        if reading.on is None or surface.on is None:
            continue
        apart = _minutes_apart(surface.on, reading.on)
        if apart is None:
            same_day = not surely_after(reading.on, surface.on, tz) and not surely_after(surface.on, reading.on, tz)
            apart = 0 if same_day else None
        if apart is not None and apart <= 60 and (best is None or apart < best[0]):
            best = (apart, reading, what.si)
    return None if best is None else best[1:]


def near_dew_point(job: Job) -> Iterator[Outside]:
    """Surfaces painted with less than the margin above the dew point."""
    for surface, what, _ in all_judged(job):
        if surface.kind != "surface_temperature" or what.si is None or not surface.step:
            continue
        air, humidity = _nearest(job, surface, _CLIMATE[1]), _nearest(job, surface, _CLIMATE[2])
        if air is None or humidity is None:
            continue
        try:
            check = check_dew_point(what.si, air[1], humidity[1])
        except TradeError:
            continue
        if not check.decision.within:
            says = said(
                "{reading}: surface {surface} °C, dew point {dew_point} °C (air {air} °C, {humidity} % RH): "
                "{margin} °C above it; expected at least {least}.",
                reading=name_of(surface), surface=what.si, dew_point=check.dew_point, air=air[1], humidity=humidity[1],
                margin=check.margin, least=LEAST_MARGIN,
            )  # fmt: skip
            yield Outside("readings.dew-point", surface.place.at("value"), says, (surface, air[0], humidity[0]))


@rule(
    "readings.dew-point",
    asks=f"While painting, was the surface at least {LEAST_MARGIN} °C above the dew point?",
    why="Below it water condenses under the paint.",
    fix="Check the three readings. If they are right, say in the step what was done about it, watch for blisters, and "
    "state exception and approval on one of them.",
    source="ISO 8502-4 (PUB-C); dew point by the Magnus formula, constants of WMO-No. 8 (PUB-B)", **QUERY,
)  # fmt: skip
def dew_point_margin(job: Job) -> Iterator[Raised]:
    yield from standing(job, near_dew_point(job))


READINGS_PAINT: tuple[Rule, ...] = (
    film_removed, film_removed_at_point, film_grown, film_thick, film_thin, gloss_geometry,
    gloss_not_comparable, no_reference_colour, grade_worse, dew_point_margin,
)  # fmt: skip
