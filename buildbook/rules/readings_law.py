"""Rules of values that law or a published limit sets, whatever limit the job itself wrote; and of the air at work.

A value that its own limit already finds outside has its finding there, and none here.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading, Step
from buildbook.records.said import amount, figure, said, sentences, word
from buildbook.records.words import Operation
from buildbook.records.zones import zone
from buildbook.rules.grades import NOTE_AT_HANDOVER, QUERY, STOP_AT_HANDOVER
from buildbook.rules.judged import Judged, all_judged, lining_limit
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import choice
from buildbook.rules.together import Outside, standing
from buildbook.rules.understood import LEFT_BEHIND, in_si, name_of
from buildbook.trade.brakes import judge_fluid, judge_lining
from buildbook.trade.decision import Decision
from buildbook.trade.faults import TradeError
from buildbook.trade.tyres import DEFER, judge_tread, tread_limit
from buildbook.trade.units import convert

_OZONE_PPM = Decimal("0.1")
# Carbon dioxide in ppm, with what stands there; the highest that is passed is named.
_CARBON_DIOXIDE = (
    (Decimal(40000), said("immediately dangerous to life (IDLH)")),
    (Decimal(30000), said("the short-term limit")),
    (Decimal(5000), said("the limit over a shift")),
)
_NO_WORK = frozenset({Operation.INTAKE, Operation.INSPECT, Operation.HANDOVER, Operation.CLEAN})
_RETORQUE_KM = 100  # an entry due later than that is another one


def _left(job: Job, kind: str) -> Iterator[tuple[Reading, Decimal, Decimal | None, Judged]]:
    """Values the work left behind that their own limits do not find outside: value and U in the kind's own unit."""
    for reading, what, verdict in all_judged(job):
        if reading.kind == kind and what.si is not None and reading.stage in LEFT_BEHIND and not verdict.outside:
            yield reading, what.si, in_si(reading, what), verdict


def _below(code: str, reading: Reading, verdict: Decision, least: str, why: str) -> Outside:
    says = said(
        "{reading}: {value}; expected at least {least}: {verdict}.",
        reading=name_of(reading), value=f"{reading.value_text} {reading.unit}", least=least, verdict=word(verdict.word),
    )  # fmt: skip
    return Outside(code, reading.place.at("value"), sentences(says, why), (reading,))


def _least(least: Decimal, unit: str, jurisdiction: str) -> str:
    return said("{least} ({jurisdiction})", least=amount(least, unit), jurisdiction=jurisdiction)


def worn_tyres(job: Job) -> Iterator[Outside]:
    """Treads below the chosen jurisdiction's least, though the job's own limit lets them pass."""
    code = choice(job, "tyre_jurisdiction")
    if not code:
        return
    limit = tread_limit(code)
    for reading, value, u, _ in _left(job, "tyre_tread"):
        verdict = judge_tread([value], limit, expanded_uncertainty=u)
        if not verdict.within:
            least = _least(limit.least, limit.unit, code)
            yield _below("readings.tread-below-law", reading, verdict, least, word(DEFER))


@rule(
    "readings.tread-below-law",
    asks="Is the tread of each tyre at least what the chosen jurisdiction asks, whatever limit the job wrote?",
    why="The job's own limit is laxer than the law it names.",
    fix="Correct the limit; renew the tyre, or state exception and approval. Local law decides.",
    source="The jurisdictions' limits with their sources stand in the table of tyre limits (PUB-A, PUB-C, MEM)",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def tread_below_law(job: Job) -> Iterator[Raised]:
    yield from standing(job, worn_tyres(job))


def worn_linings(job: Job) -> Iterator[Outside]:
    """Linings below the chosen jurisdiction's least, though the job's own limit lets them pass."""
    limit = lining_limit(job)
    if limit is None:
        return
    for reading, value, u, _ in _left(job, "pad_lining"):
        verdict = judge_lining([value], convert(limit.least, limit.unit, "mm"), expanded_uncertainty=u)
        if not verdict.within:
            least = _least(limit.least, limit.unit, limit.code)
            yield _below("readings.lining-below-law", reading, verdict, least, said("Local law decides."))


@rule(
    "readings.lining-below-law",
    asks="Is each brake lining at least what the chosen jurisdiction asks, whatever limit the job wrote?",
    why="The job's own limit is laxer than the law it names.",
    fix="Correct the limit; renew the linings. The maker's manual, local law and licensed practice decide.",
    source="49 CFR 570.59(c), heavy vehicles (PUB-A); UK test, below 1.5 mm (PUB-C); trade advice, 3 mm (PUB-C)",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def lining_below_law(job: Job) -> Iterator[Raised]:
    yield from standing(job, worn_linings(job))


def wet_fluids(job: Job) -> Iterator[Outside]:
    """Brake fluids below the wet boiling point of their grade, though the job's own limit lets them pass."""
    for reading, value, u, verdict in _left(job, "brake_fluid_boiling_point"):
        try:
            found = judge_fluid(value, reading.detail, expanded_uncertainty=u)
        except TradeError:
            continue
        if not found.within:
            own = said("No limit stated.")
            if verdict.limit_min:
                own = said("The limit written is {limit}.", limit=amount(verdict.limit_min, verdict.unit))
            least = said("{least} °C, the wet boiling point of {grade}", least=found.lower, grade=reading.detail)
            yield _below("readings.fluid-below-wet", reading, found, least, own)


@rule(
    "readings.fluid-below-wet",
    asks="Does brake fluid left in the car boil no lower than its grade's wet boiling point?",
    why="Fluid below it may boil in the brakes on a long descent.",
    fix="Renew the fluid and measure again, or correct grade or limit; licensed practice decides.",
    source="FMVSS 116 S5.1.2 (PUB-C for the table, PUB-A for DOT 4)", **STOP_AT_HANDOVER,
)  # fmt: skip
def fluid_below_wet(job: Job) -> Iterator[Raised]:
    yield from standing(job, wet_fluids(job))


def ozone_left(job: Job) -> Iterator[Outside]:
    """The last ozone reading of each room and step, where it is above the limit."""
    last: dict[tuple[str, str], tuple[Reading, Decimal]] = {}
    for reading, value, _, _ in _left(job, "ozone"):
        held = last.get((reading.step, reading.zone))
        if held is None or str(reading.on or "") >= str(held[0].on or ""):
            last[reading.step, reading.zone] = (reading, value)
    for reading, value in last.values():
        if value > _OZONE_PPM:
            says = said(
                "{reading}: {value} is the last ozone read; expected at most {most} ppm before anybody enters.",
                reading=name_of(reading), value=f"{reading.value_text} {reading.unit}", most=_OZONE_PPM,
            )  # fmt: skip
            yield Outside("readings.ozone-high", reading.place.at("value"), says, (reading,))


@rule(
    "readings.ozone-high",
    asks="Had the ozone gone before the cabin was used again?",
    why="Ozone harms the lungs; nobody belongs in it, and no limit of one's own changes that.",
    fix="Air out and measure again; local rules decide.",
    source="OSHA and NIOSH, 0.1 ppm (PUB-A, read in a copy)", **STOP_AT_HANDOVER,
)  # fmt: skip
def ozone_high(job: Job) -> Iterator[Raised]:
    yield from standing(job, ozone_left(job))


@rule(
    "readings.ozone-not-read",
    asks="Was ozone measured after each treatment with it?",
    why="Only a reading shows that it had gone.",
    fix="Measure and enter it as kind ozone, stage after; else say under [[open_items]] that it was not measured.",
    **NOTE_AT_HANDOVER,
)  # fmt: skip
def ozone_not_read(job: Job) -> Iterator[Raised]:
    for step in _unread(job, "ozone", "ozone"):
        says = said("Step {step} names the caution ozone, and no ozone was read after it.", step=step.id)
        yield Raised("readings.ozone-not-read", step.place.at("cautions"), says)


@rule(
    "readings.carbon-dioxide-high",
    asks="Did carbon dioxide stay below its limit while blasting with dry ice?",
    why="It gathers low, in pits and closed rooms, and suffocates without warning.",
    fix="Check the reading. If it is right, say in the step what was done about it, and who was there; local rules "
    "decide.",
    source="OSHA and NIOSH: 5,000 ppm, short term 30,000, IDLH 40,000 (PUB-A, read in a copy)", **QUERY,
)  # fmt: skip
def carbon_dioxide_high(job: Job) -> Iterator[Raised]:
    yield from standing(job, thick_air(job))


def thick_air(job: Job) -> Iterator[Outside]:
    """Carbon dioxide above a published limit that the job's own limit lets pass."""
    for reading, what, verdict in all_judged(job):
        if reading.kind != "carbon_dioxide" or what.si is None or verdict.outside:
            continue
        passed = next(((limit, words) for limit, words in _CARBON_DIOXIDE if what.si > limit), None)
        if passed is not None:
            says = said(
                "{reading}: {value}, above {limit} ppm, {meaning}.",
                reading=name_of(reading), value=f"{reading.value_text} {reading.unit}",
                limit=figure(passed[0], ","), meaning=passed[1],
            )  # fmt: skip
            yield Outside("readings.carbon-dioxide-high", reading.place.at("value"), says, (reading,))


@rule(
    "readings.carbon-dioxide-not-read",
    asks="Was carbon dioxide measured in each step that used dry ice?",
    why="In a closed room of 50 m³ less than half a kilogram of dry ice reaches the limit over a shift.",
    fix="Enter the meter's readings as kind carbon_dioxide, stage during; else say under [[open_items]] that none "
    "were taken.",
    source="Arithmetic from the OSHA limit (DER)", **NOTE_AT_HANDOVER,
)  # fmt: skip
def carbon_dioxide_not_read(job: Job) -> Iterator[Raised]:
    for step in _unread(job, "dry-ice", "carbon_dioxide"):
        says = said("Step {step} names the caution dry-ice, and no carbon dioxide was read during it.", step=step.id)
        yield Raised("readings.carbon-dioxide-not-read", step.place.at("cautions"), says)


def _unread(job: Job, caution: str, kind: str) -> Iterator[Step]:
    """Steps with that caution in which nothing of that kind was measured."""
    measured = {step.id for r in job.readings if r.kind == kind and r.step and (step := job.step(r.step)) is not None}
    for step in job.steps:
        if caution in step.cautions and step.id not in measured:
            yield step


def _corner(name: str) -> bool:
    place = zone(name)
    return place is not None and place.group in ("wheel", "tyre")


@rule(
    "readings.retorque-not-listed",
    asks="Where wheels were fitted, does [[aftercare]] tell the owner to have them tightened again?",
    why="Wheel nuts settle in the first kilometres. The dossier works the distance out; the owner needs it said.",
    fix="Add it under [[aftercare]] in job.toml with due_distance = 50 (30 in miles).",
    source="A tyre maker's advice, 50 km or 30 miles (PUB-B)", **NOTE_AT_HANDOVER,
)  # fmt: skip
def retorque_not_listed(job: Job) -> Iterator[Raised]:
    most = Decimal(_RETORQUE_KM)
    if job.odometer.unit == "mi":
        most = convert(most, "km", "mi")
    if "aftercare" in job.bad or any(a.bad for a in job.aftercare):
        return
    if any(a.due_distance is not None and a.due_distance <= most for a in job.aftercare):
        return
    for step in job.steps:
        if step.operation not in _NO_WORK and any(_corner(name) for name in step.zones):
            says = said(
                "Step {step} fitted wheels or tyres; nothing under [[aftercare]] is due within {distance}.",
                step=step.id, distance=amount(figure(most, ".0f"), job.odometer.unit or "km"),
            )  # fmt: skip
            yield Raised("readings.retorque-not-listed", step.place.at("zones"), says)


READINGS_LAW: tuple[Rule, ...] = (
    tread_below_law, lining_below_law, fluid_below_wet, ozone_high, ozone_not_read, carbon_dioxide_high,
    carbon_dioxide_not_read, retorque_not_listed,
)  # fmt: skip
