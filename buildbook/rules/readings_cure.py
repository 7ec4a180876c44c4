"""Rules of curing by heat and of recoat windows, from the schedules in step.toml."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Cure, Job, Reading, Recoat, Step, When
from buildbook.records.said import amount, figure, row, said, sentences
from buildbook.rules.grades import QUERY, QUERY_LATER, STOP_AT_HANDOVER
from buildbook.rules.judged import all_judged, counts
from buildbook.rules.moments import earliest, zone_of
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import number
from buildbook.rules.together import Outside, standing
from buildbook.trade.curing import CureCheck, RecoatCheck, check_cure, check_recoat
from buildbook.trade.curing import Recoat as Word
from buildbook.trade.faults import TradeError
from buildbook.trade.units import convert

Log = list[tuple[Reading, datetime, Decimal]]

_METAL, _AIR = "metal_temperature", "air_temperature"
_PRAC = "The product's data sheet; the form of the rule is common practice, no source"
_LONGEST = timedelta(days=3660)


def _span(amount: Decimal, unit: str) -> timedelta | None:
    """A length of time; None for one that cannot be: below 0, or of years."""
    seconds = amount * (60 if unit == "min" else 3600)
    return timedelta(seconds=float(seconds)) if 0 <= seconds <= _LONGEST.total_seconds() else None


def _threshold(cure: Cure) -> Decimal | None:
    """The least metal temperature in °C, None where it cannot be used."""
    if cure.metal_temperature_min is None or "unit" in cure.bad:
        return None
    try:
        return convert(cure.metal_temperature_min, cure.unit or "°C", "°C")
    except TradeError:
        return None


def _cure_faults(cure: Cure) -> Iterator[tuple[str, str]]:
    """Fields of a schedule that lack or cannot be used, each with a sentence."""
    if cure.lacks("metal_temperature_min"):
        yield "metal_temperature_min", said("The cure names no least metal temperature.")
    elif cure.metal_temperature_min is not None and "unit" not in cure.bad and _threshold(cure) is None:
        yield "unit", said("The cure's temperature is in {unit}; °C, °F or K is expected.", unit=repr(cure.unit))
    if cure.lacks("minutes"):
        yield "minutes", said("The cure does not say how many minutes.")
    elif cure.minutes is not None and not _span(cure.minutes, "min"):
        yield "minutes", said("A cure of {minutes} minutes cannot be.", minutes=cure.minutes)
    if cure.lacks("source"):
        yield "source", said("The cure does not say where its schedule comes from.")


@dataclass(frozen=True, slots=True)
class Window:
    """A recoat window with its two instants, or what keeps it from being judged."""

    check: RecoatCheck | None = None
    field: str = ""
    fault: str = ""
    after: When | None = None
    began: When | None = None


def _ends(job: Job, step: Step, recoat: Recoat) -> tuple[When | None, When | None, str]:
    """When the coat beneath ended, when this one began, and the field that says the first."""
    before = job.step(recoat.after_step) if recoat.after_step else None
    field = "after" if recoat.after is not None or not recoat.after_step else "after_step"
    return recoat.after or (before.finished if before else None), recoat.began or step.started, field


def _window(job: Job, step: Step, recoat: Recoat) -> Window:
    if recoat.after_step and job.step(recoat.after_step) is None:
        return Window(
            None, "after_step", said('names step "{step}", which is not among the steps', step=recoat.after_step)
        )
    after, began, field = _ends(job, step, recoat)
    if not isinstance(after, datetime):
        return Window(None, field, said("does not say at what time the coat beneath ended"))
    if not isinstance(began, datetime):
        return Window(None, "began", said("does not say at what time this coat began"))
    if recoat.lacks("not_before_minutes") and recoat.lacks("not_after_hours"):
        return Window(None, "not_before_minutes", said("has neither a least nor a greatest time"))
    least = _span(recoat.not_before_minutes or Decimal(0), "min")
    most = None if recoat.not_after_hours is None else _span(recoat.not_after_hours, "h")
    if least is None or (most is None and recoat.not_after_hours is not None):
        wrong = "not_before_minutes" if least is None else "not_after_hours"
        return Window(None, wrong, said("has a time that cannot be"))
    tz = zone_of(job)
    ended, next_coat = earliest(after, tz), earliest(began, tz)
    if next_coat < ended:
        return Window(None, field, said("cannot be judged: the next coat lies before the one it goes on"))
    if most is not None and most < least:
        return Window(None, field, said("cannot be judged: the recoat window ends before it opens"))
    return Window(check_recoat(ended, next_coat, least, most), "", "", after, began)


def recoat_windows(job: Job) -> Iterator[tuple[Step, Recoat, Window]]:
    """Each recoat window of the steps that could be read."""
    for step in job.steps:
        for recoat in step.recoats:
            if not recoat.bad:
                yield step, recoat, _window(job, step, recoat)


def _coat(recoat: Recoat) -> str:
    return said("The window for {coat}", coat=recoat.coat) if recoat.coat else said("The recoat window")


@rule(
    "readings.schedule-incomplete",
    asks="Can each cure and each recoat window in step.toml be judged, and does it name its source?",
    why="A schedule that lacks its time or its temperature proves nothing.",
    fix="Complete [cure] or [[recoats]] in step.toml from the data sheet; write times to the minute.",
    source=_PRAC, **QUERY,
)  # fmt: skip
def schedule_incomplete(job: Job) -> Iterator[Raised]:
    code = "readings.schedule-incomplete"
    for step in job.steps:
        if step.cure is not None:
            for field, says in _cure_faults(step.cure):
                yield Raised(code, step.cure.place.at(field), says)
    for _, recoat, window in recoat_windows(job):
        if window.fault:
            yield Raised(
                code, recoat.place.at(window.field), said("{coat} {fault}.", coat=_coat(recoat), fault=window.fault)
            )
        elif recoat.lacks("source"):
            yield Raised(
                code, recoat.place.at("source"), said("{coat} does not say where it comes from.", coat=_coat(recoat))
            )


def _logs(job: Job, step: Step) -> dict[tuple[str, str], Log]:
    """The metal's temperature while a step cured, in °C, by zone and point; only instruments in calibration count."""
    found: dict[tuple[str, str], Log] = defaultdict(list)
    tz = zone_of(job)
    for reading, what, _ in all_judged(job):
        if reading.kind != _METAL or what.si is None or job.step(reading.step) is not step:
            continue
        if isinstance(reading.on, datetime) and counts(job, reading, what):
            found[reading.zone, reading.point].append((reading, earliest(reading.on, tz), what.si))
    return {where: sorted(log, key=lambda item: item[1]) for where, log in found.items()}


@rule(
    "readings.cure-no-log",
    asks="Is there a log of the metal's temperature for each cure by heat?",
    why="Air in a booth runs ahead of the panel: its temperature does not show that the metal was ever hot.",
    fix="Enter the log as readings of kind metal_temperature of that step, each with its time; what was not logged is "
    "said under [[open_items]].",
    source=_PRAC, **QUERY_LATER,
)  # fmt: skip
def cure_no_log(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.cure is None or _logs(job, step):
            continue
        there = {r.kind for r in job.readings if r.step and job.step(r.step) is step}
        says: str = said("Step {step} states a cure, and no temperature of the metal counts as its log.", step=step.id)
        if _METAL in there:
            says = said(
                "Step {step}: its metal temperatures lack their times, or an instrument in calibration.", step=step.id
            )
        elif _AIR in there:
            says = sentences(says, said("The air's temperature is not accepted in its place."))
        yield Raised("readings.cure-no-log", step.cure.place, says)


def _to_look_at(log: Log, threshold: Decimal) -> Reading:
    """What broke the dwell: the first reading below it before it rose, else the last hot one, else the hottest."""
    hot = [n for n, (*_, value) in enumerate(log) if value >= threshold]
    if not hot:
        return max(log, key=lambda item: item[2])[0]
    dip = next((n for n in range(hot[0], hot[-1]) if log[n][2] < threshold), None)
    return log[hot[-1] if dip is None else dip][0]


@dataclass(frozen=True, slots=True)
class Cured:
    """One log of the metal held against the step's cure: the check, or why it cannot be made."""

    step: Step
    cure: Cure
    where: str
    readings: tuple[Reading, ...]
    check: CureCheck | None
    fault: str
    look_at: Reading


def cures(job: Job) -> Iterator[Cured]:
    """Each log of a cure that states temperature and minutes."""
    gap = _span(number(job, "cure_log_gap_minutes"), "min")
    for step in job.steps:
        cure = step.cure
        if cure is None or cure.minutes is None or {"unbroken", "minutes"} & cure.bad:
            continue
        threshold, asked = _threshold(cure), _span(cure.minutes, "min")
        if threshold is None or not asked:
            continue
        for (zone, point), log in _logs(job, step).items():
            where = row(part for part in (zone, point) if part) or step.id
            members = tuple(reading for reading, *_ in log)
            try:
                check = check_cure(
                    [(at, value) for _, at, value in log], threshold, asked,
                    measured="metal", unbroken=cure.unbroken, longest_gap=gap,
                )  # fmt: skip
            except TradeError as error:
                yield Cured(step, cure, where, members, None, error.whole, members[-1])
            else:
                yield Cured(step, cure, where, members, check, "", _to_look_at(log, threshold))


def undercured(job: Job) -> Iterator[Outside]:
    """Cures whose metal was not hot for long enough."""
    for cured in cures(job):
        says: str = said("{where}: {fault}", where=cured.where, fault=cured.fault)
        if cured.check is not None:
            if cured.check.enough:
                continue
            says = _too_short(cured, cured.check)
        yield Outside("readings.cure-short", cured.look_at.place.at("value"), says, cured.readings)


def _too_short(cured: Cured, check: CureCheck) -> str:
    cure, got = cured.cure, figure(check.counted.total_seconds() / 60, ".0f")
    least = amount(cure.metal_temperature_min, cure.unit or "°C")
    if cure.unbroken:
        return said(
            "{where}: the metal was at {least} or above for {got} min unbroken; expected {minutes} min ({source}).",
            where=cured.where, least=least, got=got, minutes=cure.minutes, source=_source(cure.source),
        )  # fmt: skip
    return said(
        "{where}: the metal was at {least} or above for {got} min; expected {minutes} min ({source}).",
        where=cured.where, least=least, got=got, minutes=cure.minutes, source=_source(cure.source),
    )  # fmt: skip


def _source(text: str) -> str:
    return text or said("no source")


@rule(
    "readings.cure-short",
    asks="Was the metal hot for as long as the cure asks?",
    why="Paint that is not cured through stays soft, marks, and may lift under the next coat.",
    fix="Check the log. If it is right, cure again as the data sheet allows, or state exception and approval on a "
    "reading of the log.",
    source=_PRAC, **STOP_AT_HANDOVER,
)  # fmt: skip
def cure_short(job: Job) -> Iterator[Raised]:
    yield from standing(job, undercured(job))


def _apart(check: RecoatCheck) -> str:
    minutes = check.elapsed.total_seconds() / 60
    return amount(figure(minutes, ".0f"), "min") if minutes < 180 else amount(figure(minutes / 60, ".1f"), "h")


@rule(
    "readings.recoat-early",
    asks="Was each coat given its time before the next?",
    why="A coat laid on too soon traps solvent beneath it.",
    fix="Check the two times. If they are right, say in the step what was seen, and under [[open_items]] what to "
    "watch.",
    source=_PRAC, **QUERY,
)  # fmt: skip
def recoat_early(job: Job) -> Iterator[Raised]:
    for _, recoat, window in recoat_windows(job):
        if window.check is not None and window.check.word is Word.TOO_EARLY:
            says = said(
                "{coat}: begun {time} after the coat beneath; expected at least {minutes} min ({source}).",
                coat=_coat(recoat), time=_apart(window.check), minutes=recoat.not_before_minutes,
                source=_source(recoat.source),
            )  # fmt: skip
            yield Raised("readings.recoat-early", recoat.place.at("began" if recoat.began else "after"), says)


@rule(
    "readings.recoat-late",
    asks="Was each coat laid on before the window closed, or the one beneath abraded first?",
    why="A coat laid on too late does not bite into the one beneath.",
    fix="Check the two times. If the coat beneath was abraded, write abraded = true; else say so under [[open_items]].",
    source=_PRAC, **QUERY,
)  # fmt: skip
def recoat_late(job: Job) -> Iterator[Raised]:
    for _, recoat, window in recoat_windows(job):
        if window.check is not None and window.check.word is Word.ABRADE_FIRST and not recoat.abraded:
            says = said(
                "{coat}: begun {time} after the coat beneath, not abraded; expected at most {hours} h ({source}).",
                coat=_coat(recoat), time=_apart(window.check), hours=recoat.not_after_hours,
                source=_source(recoat.source),
            )  # fmt: skip
            yield Raised("readings.recoat-late", recoat.place.at("began" if recoat.began else "after"), says)


READINGS_CURE: tuple[Rule, ...] = (schedule_incomplete, cure_no_log, cure_short, recoat_early, recoat_late)
