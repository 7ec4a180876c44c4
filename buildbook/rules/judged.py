"""Readings judged: what check and dossier both say of a value.

A reading is held against its own limits, else the job's, else a published one, by the decision rules of
`buildbook.trade`. What it means is read by `understood`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache

from buildbook.records.job import Instrument, Job, Limit, Reading
from buildbook.records.place import Place
from buildbook.records.said import row, said, word
from buildbook.rules.settings import choice, effect_angles
from buildbook.rules.understood import SameJob, Trouble, Understood, day_of, understood
from buildbook.trade.brakes import LINING_LIMITS, LiningLimit, fluid_grade
from buildbook.trade.calibration import CalibrationCheck, CalibrationState, calibration_on
from buildbook.trade.colour import Lab, delta_e_2000
from buildbook.trade.decision import Decision, Word
from buildbook.trade.decision import judge as decide
from buildbook.trade.faults import TradeError
from buildbook.trade.kinds import Kind
from buildbook.trade.tyres import tread_limit
from buildbook.trade.units import convert

# Limits of quantities computed from readings, by the name [[limits]] gives them, with their unit.
DERIVED = {"film_removal": "µm", "film_nominal": "µm"}
NO_LIMIT = "no limit on record"
_NO_INSTRUMENT = frozenset({"eye", "reference_pictures", "odometer", "chalking_tape"})
REFERENCE = "reference"  # the point of a colour reading that the others are compared with


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits in force for a reading, in its own unit, and as they were written.

    origin: "reading", "job", "published" or "" (none).
    """

    low: Decimal | None = None
    high: Decimal | None = None
    written_low: Decimal | None = None
    written_high: Decimal | None = None
    unit: str = ""
    source: str = ""
    origin: str = ""
    place: Place | None = None

    @property
    def given(self) -> bool:
        return self.low is not None or self.high is not None


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading's verdict.

    word: one of the four words of the decision rule, "" if it was not judged. rule_text: the decision rule, or why
    it was not judged. limit_min, limit_max, unit: as written. uncertainty: expanded (k = 2), in the reading's unit.
    judged_value: what was held against the limits, in the reading's unit; for a colour, its difference from the
    reference. probability: of conformity, 0..1, None where no uncertainty is stated. counts_as_evidence: False
    where the value has a trouble or the instrument was not shown to be in calibration on that day.
    """

    word: str
    rule_text: str
    limit_min: Decimal | None
    limit_max: Decimal | None
    unit: str
    source: str
    uncertainty: Decimal | None
    judged_value: Decimal | None
    probability: float | None
    counts_as_evidence: bool
    calibration: CalibrationCheck
    decision: Decision | None
    trouble: Trouble | None

    @property
    def judged(self) -> bool:
        return bool(self.word)

    @property
    def within(self) -> bool:
        """Pass or conditional pass."""
        return self.word in (Word.PASS, Word.CONDITIONAL_PASS)

    @property
    def outside(self) -> bool:
        """Conditional fail or fail."""
        return self.judged and not self.within


def limit_for(job: Job, kind: str, zone: str) -> Limit | None:
    """The job's limit for a kind: that of the zone before that of any zone."""
    fitting = [limit for limit in job.limits if limit.kind == kind and limit.zone in ("", zone)]
    return next((limit for limit in fitting if limit.zone), fitting[0] if fitting else None)


def limits_of(job: Job, reading: Reading, what: Understood) -> Limits:
    """The limits in force: the reading's own, else the job's, else a published one its detail or the settings choose.

    Empty where there are none, or where those there are cannot be converted (which has a finding of its own).
    """
    low, high = reading.limit_min, reading.limit_max
    if low is not None or high is not None or {"limit_min", "limit_max"} & reading.bad:
        return Limits(low, high, low, high, reading.unit, reading.limit_source, "reading", reading.place)
    limit = limit_for(job, reading.kind, reading.zone)
    if limit is not None and (limit.min is not None or limit.max is not None):
        try:
            ends = [None if end is None else _in_unit(end, limit.unit, what) for end in (limit.min, limit.max)]
        except TradeError:
            return Limits()
        return Limits(ends[0], ends[1], limit.min, limit.max, limit.unit, limit.source, "job", limit.place)
    return _published(job, reading, what)


def _in_unit(value: Decimal, unit: str, what: Understood) -> Decimal:
    return value if what.unit is None else convert(value, unit, what.unit)


def _published(job: Job, reading: Reading, what: Understood) -> Limits:
    """Limits that a standard sets once the record says which applies."""
    try:
        if reading.kind == "brake_fluid_boiling_point" and reading.detail:
            grade = fluid_grade(reading.detail)
            source = said("wet boiling point of {grade}, FMVSS 116 S5.1.2", grade=grade.name)
            return Limits(_in_unit(grade.wet, "°C", what), None, grade.wet, None, "°C", source, "published")
        chosen = choice(job, "tyre_jurisdiction")
        if reading.kind == "tyre_tread" and chosen:
            tread = tread_limit(chosen)
            low = _in_unit(tread.least, tread.unit, what)
            return Limits(
                low,
                None,
                tread.least,
                None,
                tread.unit,
                said("{source}; local law decides", source=word(tread.source)),
                "published",
            )
        lining = lining_limit(job)
        if reading.kind == "pad_lining" and lining is not None:
            low = _in_unit(lining.least, lining.unit, what)
            source = said("{source}; local law decides", source=word(lining.source))
            return Limits(low, None, lining.least, None, lining.unit, source, "published")
    except TradeError:
        pass
    return Limits()


def lining_limit(job: Job) -> LiningLimit | None:
    """The least brake lining of the jurisdiction chosen in [settings], None where none is."""
    chosen = choice(job, "lining_jurisdiction")
    return next((limit for limit in LINING_LIMITS if limit.code == chosen), None)


def calibration_of(instrument: Instrument | None, day: date | None) -> CalibrationCheck:
    """Whether the instrument was in calibration on that day; unknown where either is, or the dates make no sense."""
    if instrument is None or day is None:
        return CalibrationCheck(CalibrationState.UNKNOWN, None)
    try:
        return calibration_on(day, instrument.calibrated_on, instrument.interval_months)
    except TradeError:
        return CalibrationCheck(CalibrationState.UNKNOWN, None)


def needs_instrument(known: Kind | None) -> bool:
    """Whether a value of the kind is read on an instrument, rather than by eye, by pictures or on the car itself."""
    return known is not None and bool(set(known.instruments) - _NO_INSTRUMENT)


def counts(job: Job, reading: Reading, what: Understood) -> bool:
    """Whether the reading is evidence: understood, and its instrument shown to be in calibration on that day."""
    if what.kind is None or what.trouble is not None:
        return False
    if not needs_instrument(what.kind):
        return True
    return calibration_of(job.instruments_by_id.get(reading.instrument), day_of(reading)).counts


def reference_of(job: Job, reading: Reading) -> Reading | None:
    """The reading a colour is compared with: same step, stage and angle, at a point called reference."""
    if is_reference(reading):
        return None
    for other in job.readings:
        same = (other.kind, other.step, other.stage) == (reading.kind, reading.step, reading.stage)
        if same and is_reference(other) and angle_of(other) == angle_of(reading):
            return other
    return None


def is_reference(reading: Reading) -> bool:
    """Whether a colour reading is of the reference panel."""
    return reading.point.casefold().startswith(REFERENCE)


def angle_of(reading: Reading) -> int | None:
    """The angle in degrees at the end of a colour reading's point (`centre 45`), None where none is written."""
    last = reading.point.replace("°", "").split()[-1:] or [""]
    return int(last[0]) if last[0] in ("15", "25", "45", "75", "110") else None


def same_surface(reading: Reading) -> tuple[object, ...]:
    """What readings of one surface share at all angles: step, stage, zone, and the point without its angle."""
    angle = angle_of(reading)
    words = reading.point.split()
    point = " ".join(words if angle is None else words[:-1])
    return reading.step, reading.stage, reading.zone, point


def colours_at_angles(job: Job, reading: Reading) -> tuple[dict[int, Lab], dict[int, Lab]]:
    """The colours of a reading's surface and of its reference, by angle in degrees."""
    panel: dict[int, Lab] = {}
    reference: dict[int, Lab] = {}
    for other in job.readings:
        angle = angle_of(other)
        if other.kind != reading.kind or angle is None:
            continue
        if is_reference(other):
            same, into = (other.step, other.stage) == (reading.step, reading.stage), reference
        else:
            same, into = same_surface(other) == same_surface(reading), panel
        lab = understood(job, other).lab if same else None
        if lab is not None:
            into[angle] = lab
    return panel, reference


def judge(job: Job, reading: Reading) -> Judged:
    """The verdict on one reading. Pure; check and dossier both use it."""
    what = understood(job, reading)
    limits = limits_of(job, reading, what) if what.kind is not None else Limits()
    value, unavailable = what.number, ""
    if what.trouble is not None:
        unavailable = what.trouble.says
    elif what.lab is not None:
        value, unavailable = _difference(job, reading, what.lab)
    elif value is None:
        unavailable = "not a single number"
    elif reading.kind == "metal_temperature":
        unavailable = "judged by its course, not value by value"
    decision: Decision | None = None
    if not unavailable and not limits.given:
        unavailable = NO_LIMIT
    if not unavailable and value is not None:
        try:
            decision = decide(
                value, lower=limits.low, upper=limits.high, expanded_uncertainty=reading.expanded_uncertainty
            )
        except TradeError as error:
            unavailable = error.whole
    return Judged(
        word=str(decision.word) if decision else "",
        rule_text=str(decision.rule) if decision else unavailable,
        limit_min=limits.written_low,
        limit_max=limits.written_high,
        unit=limits.unit,
        source=limits.source,
        uncertainty=reading.expanded_uncertainty,
        judged_value=value,
        probability=decision.probability if decision else None,
        counts_as_evidence=counts(job, reading, what),
        calibration=calibration_of(job.instruments_by_id.get(reading.instrument), day_of(reading)),
        decision=decision,
        trouble=what.trouble,
    )


def _difference(job: Job, reading: Reading, lab: Lab) -> tuple[Decimal | None, str]:
    """ΔE00 from the reference, or why there is none."""
    if is_reference(reading):
        return None, "the reference itself"
    other = reference_of(job, reading)
    if other is None:
        return None, "no reference measured in the same step, stage and angle"
    if required := effect_angles(job):
        panel, reference = colours_at_angles(job, reading)
        if missing := sorted(set(required) - (panel.keys() & reference.keys())):
            angles = row(f"{angle}°" for angle in missing)
            return None, said("effect paint not measured at {angles}: no verdict", angles=angles)
    found = understood(job, other)
    return (delta_e_2000(found.lab, lab), "") if found.lab else (None, "the reference cannot be read")


def all_judged(job: Job) -> tuple[tuple[Reading, Understood, Judged], ...]:
    """Every reading with its meaning and verdict, in row order; computed once a job."""
    return _all_judged(SameJob(job))


@lru_cache(maxsize=4)
def _all_judged(same: SameJob) -> tuple[tuple[Reading, Understood, Judged], ...]:
    return tuple((r, understood(same.job, r), judge(same.job, r)) for r in same.job.readings)
