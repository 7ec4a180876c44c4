"""Days and instants of a job, compared in its own time zone.

A record gives some times to the day and some to the minute. Two are said to be in the wrong order only if they surely
are: the earliest moment one can mean lies after the latest moment the other can mean.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

from buildbook.records.job import Job, Step, When
from buildbook.records.place import Place
from buildbook.records.said import day as dated
from buildbook.records.said import said
from buildbook.records.words import Operation
from buildbook.rules.once import once

# Steps that look at the car or hand it over, but do not work on it.
LOOKING = frozenset({Operation.INTAKE, Operation.INSPECT, Operation.HANDOVER})
LOOKING_OR_TESTING = LOOKING | {Operation.TEST}


def named_zone(name: str) -> tzinfo | None:
    """The time zone of that IANA name, or None if there is none."""
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        return None


def zone_of(job: Job) -> tzinfo:
    """The job's time zone; UTC where its name is not known (which has a finding of its own)."""
    return named_zone(job.timezone) or UTC


def day(when: When, tz: tzinfo) -> date:
    """The calendar day in the job's time zone."""
    return _aware(when, tz).date() if isinstance(when, datetime) else when


def _aware(when: datetime, tz: tzinfo) -> datetime:
    return when.replace(tzinfo=tz) if when.tzinfo is None else when.astimezone(tz)


def earliest(when: When, tz: tzinfo) -> datetime:
    """The first moment it can mean, in UTC."""
    moment = _aware(when, tz) if isinstance(when, datetime) else datetime.combine(when, time.min, tz)
    return _utc(moment)


def latest(when: When, tz: tzinfo) -> datetime:
    """The last moment it can mean, in UTC."""
    moment = _aware(when, tz) if isinstance(when, datetime) else datetime.combine(when, time.max, tz)
    return _utc(moment)


def _utc(moment: datetime) -> datetime:
    try:
        return moment.astimezone(UTC)
    except OverflowError:  # the first and the last day there is
        return moment.replace(tzinfo=UTC)


def surely_after(one: When, other: When, tz: tzinfo) -> bool:
    """Whether `one` lies after `other`, whatever hour a bare day stands for."""
    return earliest(one, tz) > latest(other, tz)


def shown(when: When, tz: tzinfo) -> str:
    """As a message prints it: `2026-03-02` or `2026-03-02 10:05`, in the job's time zone."""
    return dated(_aware(when, tz) if isinstance(when, datetime) else when)


@dataclass(frozen=True, slots=True)
class Dated:
    """A date of the record that must not lie in the future: where it stands, and what it is, as a sentence begins."""

    place: Place
    what: str
    when: When


def past_dates(job: Job) -> Iterator[Dated]:
    """Every date that says when something happened; due and expiry dates and the planned handover are left out."""
    singles: list[tuple[Place, str, When | None]] = [
        (job.place.at("received"), said("Received"), job.received),
        (job.vehicle.place.at("first_registered"), said("First registered"), job.vehicle.first_registered),
    ]
    singles += [
        (i.place.at("calibrated_on"), said("Calibration of {instrument}", instrument=i.id), i.calibrated_on)
        for i in job.instruments
    ]
    singles += [(a.place.at("date"), said("Approval {approval}", approval=a.id), a.on) for a in job.approvals]
    singles += [(p.place.at("fitted_on"), said("Fitting of {part}", part=p.id), p.fitted_on) for p in job.parts]
    singles += [
        (r.place.at("date"), said("Receipt {receipt}", receipt=r.number or r.document), r.on) for r in job.receipts
    ]
    singles += [(r.place.at("on"), said("Reading {reading}", reading=r.id or r.kind), r.on) for r in job.readings]
    for step in job.steps:
        singles.append((step.place.at("started"), said("Start of step {step}", step=step.id), step.started))
        singles.append((step.place.at("finished"), said("End of step {step}", step=step.id), step.finished))
    for place, what, when in singles:
        if when is not None:
            yield Dated(place, what, when)


def in_future(job: Job, when: When | None) -> bool:
    """Whether a date lies after the day of the check."""
    return when is not None and day(when, zone_of(job)) > job.as_of


@dataclass(frozen=True, slots=True)
class Span:
    """First and last day of something, both belonging to it."""

    first: date
    last: date

    def holds(self, when: When, tz: tzinfo) -> bool:
        return self.first <= day(when, tz) <= self.last

    def __str__(self) -> str:
        if self.first == self.last:
            return dated(self.first)
        return said("{first} to {last}", first=self.first, last=self.last)


def job_span(job: Job) -> Span | None:
    """From the day received to the day of handover (or of the check, if that is not set); None if it makes no sense."""
    end = job.handover if job.handover is not None else job.as_of
    if job.received is None or job.received > end or in_future(job, job.received):
        return None
    return Span(job.received, end)


def backwards(step: Step, tz: tzinfo) -> bool:
    """Whether the step surely ends before it starts."""
    return step.started is not None and step.finished is not None and surely_after(step.started, step.finished, tz)


def outside_job(job: Job, when: When | None) -> bool:
    """Whether a date, not in the future, lies outside the job's dates."""
    span = job_span(job)
    return span is not None and when is not None and not in_future(job, when) and not span.holds(when, zone_of(job))


@once
def step_span(job: Job, step: Step) -> Span | None:
    """The days of a step; None where its dates are missing or have a finding of their own. An open step ends today."""
    tz = zone_of(job)
    end: When = step.finished if step.finished is not None else job.as_of
    if step.started is None or "finished" in step.bad or backwards(step, tz):
        return None
    if any(in_future(job, w) or outside_job(job, w) for w in (step.started, step.finished)):
        return None
    first, last = day(step.started, tz), day(end, tz)
    return Span(first, last) if first <= last else None


@once
def working_days(job: Job) -> Span | None:
    """From the start of the first working step to the end of the last; None while a sound step is lacking."""
    spans = [s for step in job.steps if step.operation not in LOOKING_OR_TESTING and (s := step_span(job, step))]
    return Span(min(s.first for s in spans), max(s.last for s in spans)) if spans else None


def sub_day(tz: tzinfo, moment: datetime, slack: timedelta) -> Span:
    """The days a moment may belong to when its clock is trusted only to within `slack`."""
    aware = _aware(moment, tz)
    return Span((aware - slack).date(), (aware + slack).date())
