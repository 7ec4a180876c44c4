"""When a photo was taken, as far as its file and the job's list of cameras tell."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from buildbook.records.job import Job, Step
from buildbook.records.photo import Photo
from buildbook.records.said import day, figure, said
from buildbook.records.words import Operation
from buildbook.rules.clocks import UNKNOWN_CLOCK, ahead_of, camera_of, shown_time
from buildbook.rules.moments import Span, job_span, step_span, sub_day, zone_of
from buildbook.rules.once import once

__all__ = ["UNKNOWN_CLOCK", "Captured", "absurd", "camera_of", "captured", "due_span", "outside"]

FIRST_DIGITAL = 1995  # earlier EXIF times are a camera's clock that was never set


@dataclass(frozen=True, slots=True)
class Captured:
    """moment: with its offset, the camera's error taken off. slack: how far it may be out. clock: whose clock."""

    moment: datetime
    slack: timedelta
    clock: str

    def surely_before(self, other: Captured) -> bool:
        """Whether this one was surely taken first. Two photos by one clock share its error."""
        slack = timedelta(0) if self.clock == other.clock else self.slack + other.slack
        return self.moment + slack < other.moment


def absurd(job: Job, photo: Photo) -> str:
    """Why the capture time in the file cannot be, as a sentence; "" if it can, or there is none."""
    facts = photo.facts
    if facts.taken_problem:
        return said("The capture time in the file cannot be read: {problem}", problem=facts.taken_problem)
    if facts.taken is None:
        return ""
    ahead, _ = ahead_of(job, photo)
    try:
        taken = facts.taken - ahead
    except OverflowError:
        return said(
            "The camera's clock is said to be {days} days out, which no date allows for.",
            days=figure(abs(ahead.days), ","),
        )
    if taken.year < FIRST_DIGITAL:
        if not ahead:
            return said("The file says it was taken in {year}: the camera's clock was not set.", year=taken.year)
        return said(
            "The file says it was taken in {year}, the clock's error of {error} taken off: the camera's clock was "
            "not set.",
            year=taken.year, error=_apart(ahead),
        )  # fmt: skip
    # A day of grace, because the check's day has no time zone of its own.
    if taken.date() > job.as_of + timedelta(days=1):
        taken = taken.astimezone(zone_of(job)) if taken.tzinfo else taken  # as the dossier prints it
        if not ahead:
            return said(
                "The file says it was taken on {day}, after {today}, the day of this check.",
                day=day(taken), today=job.as_of,
            )  # fmt: skip
        return said(
            "The file says it was taken on {day}, the clock's error of {error} taken off, after {today}, the day of "
            "this check.",
            day=day(taken), error=_apart(ahead), today=job.as_of,
        )  # fmt: skip
    return ""


def _apart(ahead: timedelta) -> str:
    """A clock's error in the unit that suits it."""
    seconds = abs(int(ahead.total_seconds()))
    if seconds < 120:
        return said("{n} s", n=seconds)
    if seconds < 7200:
        return said("{n} min", n=figure(seconds // 60, ","))
    return said("{n} h", n=figure(seconds / 3600, ",.1f"))


@once
def captured(job: Job, photo: Photo) -> Captured | None:
    """When it was taken, in the job's time zone; None if the file does not say or what it says cannot be."""
    shown = shown_time(job, photo)
    if not photo.shown or shown is None or absurd(job, photo):
        return None
    ahead, doubt = ahead_of(job, photo)
    moment = (shown - ahead).astimezone(zone_of(job))
    if photo.facts.offset_known and not doubt:
        return Captured(moment, timedelta(0), "utc")
    # Photos of one make that name no camera may come from two phones: no clock in common.
    name = f"{photo.facts.camera.strip().casefold()}|{photo.facts.serial.strip()}".strip("|") or photo.path
    return Captured(moment, UNKNOWN_CLOCK if doubt is None else doubt, name)


@once
def due_span(job: Job, step: Step) -> Span | None:
    """The days on which the photos of a step were taken; intake may be photographed from the day received."""
    span, whole = step_span(job, step), job_span(job)
    if span and whole and step.operation is Operation.INTAKE:
        return Span(min(whole.first, span.first), span.last)
    return span


def outside(job: Job, step: Step, photo: Photo) -> bool:
    """Whether the photo was surely not taken within its step."""
    span, when = due_span(job, step), captured(job, photo)
    if span is None or when is None:
        return False
    days = sub_day(zone_of(job), when.moment, when.slack)
    return days.last < span.first or days.first > span.last
