"""Rules of readings held against limits, and of the instruments' calibration behind them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Instrument, Job, Limit, Reading
from buildbook.records.said import amount, day, figure, give_or_take, said, starting, word
from buildbook.records.words import ReadingStage
from buildbook.rules.grades import NOTE, QUERY, QUERY_AT_HANDOVER, STOP_AT_HANDOVER
from buildbook.rules.judged import DERIVED, Judged, all_judged, counts, needs_instrument
from buildbook.rules.readings_accepted import outside_together
from buildbook.rules.rule import Rule, rule
from buildbook.rules.together import approval_of
from buildbook.rules.understood import AS_FOUND, Understood, day_of, name_of, own_kinds
from buildbook.trade.calibration import CalibrationState
from buildbook.trade.decision import Word
from buildbook.trade.faults import TradeError
from buildbook.trade.kinds import kind as find_kind
from buildbook.trade.units import convert

_DECISION = "JCGM 106:2012; ILAC-G8:09/2019 4.2 (PUB-B), guard band w = U"
_CALIBRATION = "Common practice, no source: the day it falls due still counts"


def _said(reading: Reading, verdict: Judged, what: Understood) -> str:
    """Got and expected, in words."""
    value = verdict.judged_value if what.lab is not None else None
    shown = f"{reading.value_text} {reading.unit}".strip()
    if value is not None:
        shown = said("ΔE00 {value} from the reference", value=value)
    if verdict.uncertainty is not None:
        shown = give_or_take(shown, figure(verdict.uncertainty))
    low, high, unit = verdict.limit_min, verdict.limit_max, verdict.unit
    if low is not None and high is not None:
        expected = said("{low} to {high}", low=low, high=amount(high, unit))
    elif low is not None:
        expected = said("at least {low}", low=amount(low, unit))
    else:
        expected = said("at most {high}", high=amount(high, unit))
    if verdict.source:
        expected = said("{limits} ({source})", limits=expected, source=verdict.source)
    return said("{reading}: {value}; expected {limits}", reading=name_of(reading), value=shown, limits=expected)


def _agreed(job: Job, reading: Reading) -> bool:
    """Whether the client's yes to the exception is on record."""
    return approval_of(job, reading) is not None


def _excused(reading: Reading) -> bool:
    """Whether somebody has begun to make an exception of it; what that lacks has codes of its own."""
    return bool(reading.exception or reading.approval) or bool({"exception", "approval"} & reading.bad)


def _later(job: Job, reading: Reading) -> bool:
    """Whether the same thing was measured again later by an instrument that counts.

    Later: a stage that follows, by any point of the same kind and zone.
    """
    order = list(ReadingStage)
    for other, meant, _ in all_judged(job):
        if other is reading or (other.kind, other.zone) != (reading.kind, reading.zone) or other.stage is None:
            continue
        later = reading.stage is not None and order.index(other.stage) > order.index(reading.stage)
        if later and counts(job, other, meant):
            return True
    return False


@rule(
    "readings.outside-limits",
    asks="Does each value the work left behind lie within its limits?",
    why="The vehicle would leave with a value its own limit forbids.",
    fix="Put the cause right and measure again; or state in exception why it is accepted, and name the client's "
    "approval. For brakes, steering and tyres the maker's manual, local law and licensed practice decide.",
    source=_DECISION, **STOP_AT_HANDOVER,
)  # fmt: skip
def outside_limits(job: Job) -> Iterator[Raised]:
    for reading, what, verdict in all_judged(job):
        if verdict.word == Word.FAIL and reading.stage not in AS_FOUND and not _excused(reading):
            by = word(verdict.decision.rule) if verdict.decision else verdict.rule_text
            says = said("{told}: outside the limit. {rule}.", told=_said(reading, verdict, what), rule=starting(by))
            yield Raised("readings.outside-limits", reading.place.at("value"), says)


@rule(
    "readings.conditional-fail",
    asks="Is any value outside its limit by less than its uncertainty?",
    why="The value is outside; whether the car is, the instrument cannot tell.",
    fix="Measure again with a finer instrument, put the cause right, or state the exception and the approval.",
    source=_DECISION, **QUERY,
)  # fmt: skip
def conditional_fail(job: Job) -> Iterator[Raised]:
    for reading, what, verdict in all_judged(job):
        if verdict.word == Word.CONDITIONAL_FAIL and reading.stage not in AS_FOUND and not _excused(reading):
            says = said(
                "{told}: outside, by less than its uncertainty: conditional fail.", told=_said(reading, verdict, what)
            )
            yield Raised("readings.conditional-fail", reading.place.at("value"), says)


@rule(
    "readings.conditional-pass",
    asks="Is any value within its limit by less than its uncertainty?",
    why="The dossier calls it a conditional pass, and a reader should know why.",
    fix="Nothing need be done; a finer instrument would tell.",
    source=_DECISION, settled=True, **NOTE,
)  # fmt: skip
def conditional_pass(job: Job) -> Iterator[Raised]:
    for reading, what, verdict in all_judged(job):
        if verdict.word == Word.CONDITIONAL_PASS and reading.stage not in AS_FOUND:
            says = said(
                "{told}: within, by less than its uncertainty: conditional pass.", told=_said(reading, verdict, what)
            )
            yield Raised("readings.conditional-pass", reading.place.at("value"), says)


@rule(
    "readings.not-measured-again",
    asks="Was each value found outside its limits measured again after the work?",
    why="The record shows the fault and not what became of it.",
    fix="Measure again and add the row; or state in exception why it stays so, and name the client's approval.",
    **QUERY_AT_HANDOVER,
)  # fmt: skip
def not_measured_again(job: Job) -> Iterator[Raised]:
    for reading, what, verdict in all_judged(job):
        if verdict.outside and reading.stage in AS_FOUND and not _excused(reading) and not _later(job, reading):
            says = said("{told}: outside on arrival, and not measured again.", told=_said(reading, verdict, what))
            yield Raised("readings.not-measured-again", reading.place.at("value"), says)


@rule(
    "readings.exception-unapproved",
    asks="Is each exception agreed by the client?",
    why="Whoever drives the car must have accepted it, by name and date.",
    fix="Name the approval in the column approval, and record it in approvals.csv with decision approved.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def exception_unapproved(job: Job) -> Iterator[Raised]:
    for reading, _, verdict in all_judged(job):
        if not verdict.outside or not reading.exception or _agreed(job, reading) or "approval" in reading.bad:
            continue
        name, reason = name_of(reading), reading.exception[:60]
        if not reading.approval:
            says = said("{reading} is an exception ({reason}) and names no approval.", reading=name, reason=reason)
        elif reading.approval in job.approvals_by_id:
            says = said(
                "{reading} is an exception ({reason}) and names approval {approval}, which was declined.",
                reading=name, reason=reason, approval=reading.approval,
            )  # fmt: skip
        else:
            continue  # an approval that does not exist has its own code
        yield Raised("readings.exception-unapproved", reading.place.at("approval"), says)


@rule(
    "readings.exception-without-reason",
    asks="Does each approved exception say why?",
    why="An approval without a reason cannot be weighed by a later reader.",
    fix="Write the reason in the column exception.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def exception_without_reason(job: Job) -> Iterator[Raised]:
    for reading, what, verdict in all_judged(job):
        if verdict.outside and reading.approval and reading.lacks("exception"):
            says = said(
                "{told}: approved as {approval}, without a reason.",
                told=_said(reading, verdict, what),
                approval=reading.approval,
            )
            yield Raised("readings.exception-without-reason", reading.place.at("exception"), says)


@rule(
    "readings.exception-needless",
    asks="Is each exception needed?",
    why="An exception on a value that lies within its limits hides a wrong value or a wrong limit.",
    fix="Correct value or limit, or take the exception out.",
    **QUERY,
)  # fmt: skip
def exception_needless(job: Job) -> Iterator[Raised]:
    # Within by itself, it may still be part of a verdict on several that is outside.
    needed = {id(reading) for found in outside_together(job) for reading in found.readings}
    for reading, what, verdict in all_judged(job):
        if reading.exception and verdict.word == Word.PASS and id(reading) not in needed:
            says = said("{told}: within its limits, yet an exception is stated.", told=_said(reading, verdict, what))
            yield Raised("readings.exception-needless", reading.place.at("exception"), says)


@rule(
    "readings.approval-unknown",
    asks="Does each approval a reading names exist?",
    why="An exception rests on it.",
    fix="Correct the id, or add the approval to approvals.csv.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def approval_unknown(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if reading.approval and reading.approval not in job.approvals_by_id:
            says = said(
                "{reading} names approval {approval}, which is not in approvals.csv.",
                reading=name_of(reading),
                approval=reading.approval,
            )
            yield Raised("readings.approval-unknown", reading.place.at("approval"), says)


@rule(
    "readings.limits-crossed",
    asks="Is each lower limit below its upper limit?",
    why="No value can lie within crossed limits.",
    fix="Swap or correct the two.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def limits_crossed(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        low, high = reading.limit_min, reading.limit_max
        if low is not None and high is not None and low > high:
            says = said(
                "{reading}: the lower limit {low} lies above the upper limit {high}.",
                reading=name_of(reading),
                low=low,
                high=high,
            )
            yield Raised("readings.limits-crossed", reading.place.at("limit_min"), says)
    for limit in job.limits:
        if limit.min is not None and limit.max is not None and limit.min > limit.max:
            says = said(
                "Limit for {kind}: min {low} lies above max {high}.", kind=limit.kind, low=limit.min, high=limit.max
            )
            yield Raised("readings.limits-crossed", limit.place.at("min"), says)


@rule(
    "readings.limit-without-source",
    asks="Does each limit say where it comes from?",
    why="A limit nobody stands behind proves nothing, whatever the verdict.",
    fix="Write the source: the maker's manual with its page, the stamping, a data sheet, or the workshop's own limit.",
    **QUERY,
)  # fmt: skip
def limit_without_source(job: Job) -> Iterator[Raised]:
    for reading in job.readings:
        if (reading.limit_min is not None or reading.limit_max is not None) and reading.lacks("limit_source"):
            says = said("{reading} has limits without a source.", reading=name_of(reading))
            yield Raised("readings.limit-without-source", reading.place.at("limit_source"), says)
    for limit in job.limits:
        if limit.lacks("source"):
            says = said("The limit for {kind} has no source.", kind=limit.kind)
            yield Raised("readings.limit-without-source", limit.place.at("source"), says)


def _limit_fault(job: Job, limit: Limit) -> tuple[str, str] | None:
    """Field and reason why a limit of job.toml can never be used; None if it can."""
    try:
        if limit.kind in DERIVED:
            convert(Decimal(1), limit.unit, DERIVED[limit.kind])
        else:
            found = find_kind(limit.kind, own_kinds(job).kinds)
            if found.value_form in ("number", "odometer"):
                found.to_si(Decimal(1), limit.unit)
    except TradeError as error:
        return ("unit" if "kind of reading" not in error.says else "kind"), error.whole
    if limit.lacks("min") and limit.lacks("max"):
        return "min", said("It has neither min nor max.")
    return None


@rule(
    "readings.limit-unusable",
    asks="Can each limit of job.toml be used: its kind known, its unit of the right sort, a number at least?",
    why="A limit that fits no reading leaves them all unjudged without a word.",
    fix="Correct the entry of [[limits]] in job.toml.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def limit_unusable(job: Job) -> Iterator[Raised]:
    for limit in job.limits:
        if {"kind", "unit"} & limit.bad:
            continue
        if fault := _limit_fault(job, limit):
            says = said(
                "The limit for {kind} cannot be used: {fault}", kind=limit.kind or said("no kind"), fault=fault[1]
            )
            yield Raised("readings.limit-unusable", limit.place.at(fault[0]), says)


@rule(
    "readings.uncertainty-odd",
    asks="Is each stated uncertainty above 0 and smaller than the room between the limits?",
    why="With a guard band wider than the tolerance nothing can ever pass; with 0 the instrument would be perfect.",
    fix="Write U (k = 2) from the certificate, in the unit of the value; leave it empty if it is not known.",
    source=_DECISION, **QUERY,
)  # fmt: skip
def uncertainty_odd(job: Job) -> Iterator[Raised]:
    for reading, _, verdict in all_judged(job):
        given = reading.expanded_uncertainty
        if given is None:
            continue
        says = ""
        if given <= 0:
            says = said("{reading}: an uncertainty of {doubt} cannot be.", reading=name_of(reading), doubt=given)
        elif verdict.decision and verdict.decision.lower is not None and verdict.decision.upper is not None:
            room = verdict.decision.upper - verdict.decision.lower
            if 2 * given > room:
                says = said(
                    "{reading}: with U = {doubt} on both sides nothing passes: limits {room} apart.",
                    reading=name_of(reading),
                    doubt=given,
                    room=room,
                )
        if says:
            yield Raised("readings.uncertainty-odd", reading.place.at("uncertainty"), says)


def _instruments_in_use(job: Job) -> Iterator[tuple[Reading, Judged, Instrument]]:
    for reading, what, verdict in all_judged(job):
        instrument = job.instruments_by_id.get(reading.instrument)
        if instrument is not None and what.kind is not None and needs_instrument(what.kind):
            yield reading, verdict, instrument


@rule(
    "readings.not-calibrated",
    asks="Is the calibration of each instrument in use recorded: its date and its interval?",
    why="Without them no reading taken with it counts as evidence.",
    fix="Write calibrated_on and interval_months of the instrument in job.toml, from its certificate.",
    source=_CALIBRATION, **QUERY,
)  # fmt: skip
def not_calibrated(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    for *_, instrument in _instruments_in_use(job):
        known = not instrument.lacks("calibrated_on") and not instrument.lacks("interval_months")
        if known or instrument.id in told:
            continue
        told.add(instrument.id)
        field = "calibrated_on" if instrument.lacks("calibrated_on") else "interval_months"
        says = said(
            "Instrument {instrument} ({what}) has no {field}.",
            instrument=instrument.id,
            what=instrument.what,
            field=field,
        )
        yield Raised("readings.not-calibrated", instrument.place.at(field), says)


def _uncalibrated(reading: Reading, verdict: Judged, instrument: Instrument) -> str:
    check = verdict.calibration
    name, read = name_of(reading), _when(day_of(reading))
    if check.state is CalibrationState.OUT:
        return said(
            "{reading} of {day}: {instrument} was due for calibration on {due}",
            reading=name, day=read, instrument=instrument.id, due=_when(check.due),
        )  # fmt: skip
    if check.state is CalibrationState.BEFORE:
        return said(
            "{reading} of {day}: {instrument} was calibrated on {calibrated}",
            reading=name, day=read, instrument=instrument.id, calibrated=_when(instrument.calibrated_on),
        )  # fmt: skip
    return ""


def _when(known: date | None) -> str:
    return str(known) if known is None else day(known)


@rule(
    "readings.out-of-calibration",
    asks="Was each instrument in calibration on the day of the reading?",
    why="The value is kept and shown, and does not count as evidence for a pass.",
    fix="Measure again with an instrument in calibration; or record the calibration that covers the day.",
    source=_CALIBRATION, **QUERY,
)  # fmt: skip
def out_of_calibration(job: Job) -> Iterator[Raised]:
    for reading, verdict, instrument in _instruments_in_use(job):
        says = _uncalibrated(reading, verdict, instrument)
        if says and not _later(job, reading):
            yield Raised(
                "readings.out-of-calibration",
                reading.place.at("instrument"),
                said("{told}; not measured again.", told=says),
            )


@rule(
    "readings.out-of-calibration-repeated",
    asks="Which readings were taken out of calibration and measured again since?",
    why="They are shown and do not count; the later ones do.",
    fix="Nothing need be done.",
    source=_CALIBRATION, settled=True, **NOTE,
)  # fmt: skip
def out_of_calibration_repeated(job: Job) -> Iterator[Raised]:
    for reading, verdict, instrument in _instruments_in_use(job):
        says = _uncalibrated(reading, verdict, instrument)
        if says and _later(job, reading):
            says = said("{told}; measured again later with one in calibration.", told=says)
            yield Raised("readings.out-of-calibration-repeated", reading.place.at("instrument"), says)


READINGS_LIMITS: tuple[Rule, ...] = (
    outside_limits, conditional_fail, conditional_pass, not_measured_again, exception_unapproved,
    exception_without_reason, exception_needless, approval_unknown, limits_crossed, limit_without_source,
    limit_unusable, uncertainty_odd, not_calibrated, out_of_calibration,
    out_of_calibration_repeated,
)  # fmt: skip
