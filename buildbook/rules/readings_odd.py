"""Rules of readings that do not fit their neighbours: slips of the pen, and sums that do not agree."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from itertools import islice

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.said import amount, figure, row, said
from buildbook.records.words import ReadingStage
from buildbook.rules.grades import QUERY, STOP_AT_HANDOVER
from buildbook.rules.judged import all_judged, limit_for
from buildbook.rules.rule import Rule, rule
from buildbook.rules.together import Outside, standing
from buildbook.rules.understood import AS_FOUND, SameJob, Understood, name_of
from buildbook.trade.brakes import thickness_variation
from buildbook.trade.faults import TradeError
from buildbook.trade.statistics import median
from buildbook.trade.units import convert

Group = list[tuple[Reading, Decimal]]

# How far from its neighbours a value must lie before a slip is looked for: four times their usual spread (1.4826 x the
# median deviation, which is s for a normal distribution), and at least 8 % of their median. Common practice, no source.
_FAR = Decimal(4)
_TO_S = Decimal("1.4826")
_LEAST_SHARE = Decimal("0.08")
_LEAST_GROUP = 3
_MANY = 50
# The dwell of a cure and a falling or rising log are no repeated measurements of one thing.
_COURSES = frozenset({"metal_temperature", "odometer", "carbon_dioxide", "ozone"})


def groups(job: Job) -> dict[tuple[str, ...], Group]:
    """Numbers that measure one thing several times (same kind, stage, step, zone, detail), in the kind's own unit."""
    found: dict[tuple[str, ...], Group] = defaultdict(list)
    for reading, what, _ in all_judged(job):
        if what.kind is None or what.kind.value_form != "number" or reading.kind in _COURSES:
            continue
        if what.si is not None:
            key = (reading.kind, str(reading.stage), reading.step, reading.zone, reading.detail)
            found[key].append((reading, what.si))
    return found


def _misread(text: str) -> Iterator[tuple[str, str]]:
    """What a number may have been meant to be, with the slip: neighbouring digits swapped, or the point moved."""
    for at in range(len(text) - 1):
        one, two = text[at], text[at + 1]
        if one.isdigit() and two.isdigit() and one != two:
            yield text[:at] + two + one + text[at + 2 :], "swapped"
    try:
        value = Decimal(text)
    except InvalidOperation:
        return
    for factor in (Decimal(10), Decimal("0.1")):
        yield str(value * factor), "moved"


def typing_slip(reading: Reading, si: Decimal, others: list[Decimal]) -> str:
    """The slip that explains why a value lies far from the others of its group; "" if it lies near, or none does."""
    return _slip(reading, si, *_reach(others))


def _reach(values: list[Decimal]) -> tuple[Decimal, Decimal]:
    """The middle of values, and how far from it another still lies near."""
    middle = median(values)
    spread = _FAR * _TO_S * median([abs(value - middle) for value in values])
    return middle, max(spread, _LEAST_SHARE * abs(middle))


def _slip(reading: Reading, si: Decimal, middle: Decimal, room: Decimal) -> str:
    if abs(si - middle) <= room or si == 0 or reading.value in (None, 0):
        return ""
    for text, slip in _misread(str(reading.value)):
        meant = Decimal(text)
        factor = si / reading.value if reading.value else Decimal(0)
        if abs(meant * factor - middle) <= room:
            likely = figure(meant.normalize(), "f")
            if slip == "swapped":
                return said("with two digits swapped it would be {value}", value=likely)
            return said("with the decimal point moved it would be {value}", value=likely)
    return ""


def slips(job: Job) -> dict[int, str]:
    """Readings that look like a slip of the pen, by their position in the job, with the words for it; found once."""
    return _slips(SameJob(job))


@lru_cache(maxsize=4)
def _slips(same: SameJob) -> dict[int, str]:
    job = same.job
    position = {id(reading): n for n, reading in enumerate(job.readings)}
    found: dict[int, str] = {}
    for group in groups(job).values():
        if len(group) < _LEAST_GROUP:
            continue
        # Among many values a single one moves neither middle nor spread: what is common to all is worked out once.
        common = _reach([value for _, value in group]) if len(group) > _MANY else None
        for n, (reading, si) in enumerate(group):
            middle, room = common or _reach([value for m, (_, value) in enumerate(group) if m != n])
            if words := _slip(reading, si, middle, room):
                found[position[id(reading)]] = words
    return found


@rule(
    "readings.typing-slip",
    asks="Does each value fit the others of its zone, or is it a slip of the pen?",
    why="Two swapped digits change a verdict and are hard to see in a table.",
    fix="Read the notes or the instrument's memory again and correct the value; if it is right, leave it.",
    source="Median deviation as a robust spread (PRAC); common practice, no source", **QUERY,
)  # fmt: skip
def typing_slips(job: Job) -> Iterator[Raised]:
    members = {id(r): g for g in groups(job).values() for r, _ in g}
    for position, words in slips(job).items():
        reading = job.readings[position]
        others = (other for other, _ in members[id(reading)] if other is not reading)
        near = row(other.value_text for other in islice(others, 4))
        says = said(
            "{reading}: {value} among {others}; {slip}.",
            reading=name_of(reading), value=f"{reading.value_text} {reading.unit}", others=near, slip=words,
        )  # fmt: skip
        yield Raised("readings.typing-slip", reading.place.at("value"), says)


def _one(job: Job, kind: str, like: Reading) -> tuple[Reading, Understood] | None:
    for reading, what, _ in all_judged(job):
        same = (reading.kind, reading.zone, reading.stage, reading.step) == (kind, like.zone, like.stage, like.step)
        if same and what.si is not None:
            return reading, what
    return None


def _discs(job: Job) -> Iterator[tuple[Group, Decimal]]:
    """Each disc measured at four points or more, with its thickness variation in mm."""
    for key, group in groups(job).items():
        if key[0] == "disc_thickness":
            try:
                yield group, thickness_variation([value for _, value in group])
            except TradeError:
                continue


@rule(
    "readings.variation-disagrees",
    asks="Does the thickness variation written down agree with the thicknesses round the disc?",
    why="It is the greatest less the smallest of them; if not, one of the values is wrong.",
    fix="Work it out again, or correct the value that was mistyped.",
    source="Greatest less smallest, as makers' manuals define it (PUB-B)", **QUERY,
)  # fmt: skip
def variation_disagrees(job: Job) -> Iterator[Raised]:
    for group, variation in _discs(job):
        first = group[0][0]
        stated = _one(job, "disc_thickness_variation", first)
        if stated is None:
            continue
        reading, meant = stated
        allowed = reading.expanded_uncertainty or Decimal(0)
        # Two readings of a micrometer, each rounded to its last place, may make the last place differ by one.
        step = Decimal(1).scaleb(max(int(value.as_tuple().exponent) for _, value in group))
        if meant.si is not None and abs(meant.si - variation) > max(step, allowed):
            says = said(
                "{reading}: {value}; the {n} thicknesses give {variation} mm.",
                reading=name_of(reading), value=f"{reading.value_text} {reading.unit}", n=len(group),
                variation=variation,
            )  # fmt: skip
            yield Raised("readings.variation-disagrees", reading.place.at("value"), says)


def varying_discs(job: Job) -> Iterator[Outside]:
    """Discs whose thicknesses vary by more than the car's own limit, where nobody wrote the variation down."""
    for group, variation in _discs(job):
        first = group[0][0]
        limit = limit_for(job, "disc_thickness_variation", first.zone)
        if first.stage in AS_FOUND or first.stage is ReadingStage.DURING or limit is None or limit.max is None:
            continue
        if _one(job, "disc_thickness_variation", first) is not None:
            continue
        try:
            most = convert(limit.max, limit.unit, "mm")
        except TradeError:
            continue
        if variation > most:
            says = said(
                "{zone}: {n} thicknesses vary by {variation} mm; at most {most}.",
                zone=first.zone, n=len(group), variation=variation, most=amount(limit.max, limit.unit),
            )  # fmt: skip
            members = tuple(reading for reading, _ in group)
            yield Outside("readings.disc-variation", first.place.at("value"), says, members)


@rule(
    "readings.disc-variation",
    asks="Does the thickness variation that follows from the readings round a disc lie within the car's limit?",
    why="It is felt as judder in the pedal; the readings are there, so the sum is made here.",
    fix="Machine or renew the disc and measure again; the maker's manual and licensed practice decide.",
    source="The car's own limit; makers' manuals run from 0.005 to 0.03 mm (PUB-B)", **STOP_AT_HANDOVER,
)  # fmt: skip
def disc_variation(job: Job) -> Iterator[Raised]:
    yield from standing(job, varying_discs(job))


@rule(
    "readings.unit-differs",
    asks="Are the values measured together written in one unit?",
    why="A single row in another unit than its neighbours is more often a slip than another instrument.",
    fix="Look at the instrument and correct the unit; if it is right, leave it.",
    **QUERY,
)  # fmt: skip
def unit_differs(job: Job) -> Iterator[Raised]:
    together: dict[tuple[str, ...], list[tuple[Reading, str]]] = defaultdict(list)
    for reading, what, _ in all_judged(job):
        if what.unit is not None and what.trouble is None:
            together[reading.kind, str(reading.stage), reading.step].append((reading, what.unit.symbol))
    for found in together.values():
        by_unit: dict[str, list[Reading]] = defaultdict(list)
        for reading, unit in found:
            by_unit[unit].append(reading)
        if len(by_unit) != 2 or len(found) < _LEAST_GROUP:
            continue
        (lone, few), (usual, many) = sorted(by_unit.items(), key=lambda item: len(item[1]))
        if len(few) == 1 < len(many):
            says = said(
                "{reading} is in {unit}; the {n} measured with it are in {usual}.",
                reading=name_of(few[0]),
                unit=lone,
                n=len(many),
                usual=usual,
            )
            yield Raised("readings.unit-differs", few[0].place.at("unit"), says)


Measured = dict[str, list[tuple[Reading, Decimal]]]


def _points(job: Job, stages: frozenset[ReadingStage]) -> dict[tuple[str, ...], dict[ReadingStage, Measured]]:
    """Numbers at named points: by kind, step and zone, then stage, then point. Slips of the pen are left out."""
    found: dict[tuple[str, ...], dict[ReadingStage, Measured]] = {}
    odd = {id(job.readings[position]) for position in slips(job)}
    for group in groups(job).values():
        for reading, si in group:
            if reading.stage in stages and reading.point and id(reading) not in odd:
                sides = found.setdefault((reading.kind, reading.step, reading.zone), {})
                sides.setdefault(reading.stage, {}).setdefault(reading.point, []).append((reading, si))
    return found


def _farthest(found: list[tuple[Reading, Decimal]], others: list[Decimal]) -> Reading:
    """Of readings at one point the one that is least like the others of its stage; the later row if there are none."""
    middle = median(others) if others else found[0][1]
    return max(found, key=lambda item: (abs(item[1] - middle), item[0].place.row or 0))[0]


@rule(
    "readings.points-differ",
    asks="Was the same thing measured at the same points before and after the work?",
    why="Only then does the difference show what the work changed. A stage mistyped shows here too.",
    fix="Correct stage or point of the row, or measure the points that lack.",
    **QUERY,
)  # fmt: skip
def points_differ(job: Job) -> Iterator[Raised]:
    around = frozenset({ReadingStage.BEFORE, ReadingStage.AFTER})
    slipped = {(r.kind, r.step, r.zone) for r in (job.readings[position] for position in slips(job))}
    for (kind, step, place), sides in _points(job, around).items():
        if len(sides) < 2 or (kind, step, place) in slipped:
            continue
        lone = {
            stage: [point for point in measured if point not in sides[other]]
            for (stage, measured), other in zip(sides.items(), reversed(sides), strict=True)
        }
        stage, points = min(((s, p) for s, p in lone.items() if p), key=lambda item: len(item[1]), default=(None, []))
        if stage is None:
            continue
        others = [v for point, found in sides[stage].items() if point not in points for _, v in found]
        reading = _farthest(sides[stage][points[0]], others)
        says = said(
            "{reading}: {kind} of {zone} was measured only after the work at {points}.",
            reading=name_of(reading), kind=kind, zone=place, points=row(points),
        )  # fmt: skip
        if stage is ReadingStage.BEFORE:
            says = said(
                "{reading}: {kind} of {zone} was measured only before the work at {points}.",
                reading=name_of(reading), kind=kind, zone=place, points=row(points),
            )  # fmt: skip
        yield Raised("readings.points-differ", reading.place.at("stage"), says)


@rule(
    "readings.point-twice",
    asks="Was each point measured as often as the others?",
    why="A point that stands there twice while its neighbours stand once is a copied row, or a mistyped stage or kind.",
    fix="Correct point, stage or kind of one of the two rows.",
    **QUERY,
)  # fmt: skip
def point_twice(job: Job) -> Iterator[Raised]:
    once = frozenset(ReadingStage) - {ReadingStage.DURING}
    for sides in _points(job, once).values():
        for measured in sides.values():
            least = min(len(found) for found in measured.values())
            uneven = [point for point, found in measured.items() if len(found) > least]
            if len(measured) < _LEAST_GROUP or len(uneven) != 1:
                continue
            found = measured[uneven[0]]
            if len({(r.value_text, r.on, r.detail) for r, _ in found}) < len(found):
                continue  # a row copied word for word has its own code
            others = [v for point, there in measured.items() if point != uneven[0] for _, v in there]
            reading = _farthest(found, others)
            rows = row(r.place.row for r, _ in found if r is not reading)
            says = said(
                "{reading}: point {point} is measured again in row {rows}, the others {n} time(s).",
                reading=name_of(reading),
                point=uneven[0],
                rows=rows,
                n=least,
            )
            yield Raised("readings.point-twice", reading.place.at("point"), says)


READINGS_ODD: tuple[Rule, ...] = (
    typing_slips, unit_differs, points_differ, point_twice, variation_disagrees, disc_variation,
)  # fmt: skip
