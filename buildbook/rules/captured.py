"""When a photo was taken, as far as its file and the job's list of cameras tell."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from buildbook.records.job import Camera, Job, Step
from buildbook.records.photo import Photo
from buildbook.records.words import Operation
from buildbook.rules.moments import Span, job_span, named_zone, step_span, sub_day, zone_of

# A clock nobody vouched for may be an hour out by summer time and minutes by drift. Common practice, no source.
UNKNOWN_CLOCK = timedelta(hours=2)
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


def camera_of(job: Job, photo: Photo) -> Camera | None:
    """The entry of [[cameras]] for the camera a photo names."""
    model = photo.facts.camera.strip().casefold()
    return next((c for c in job.cameras if c.model.strip().casefold() == model), None) if model else None


def absurd(job: Job, photo: Photo) -> str:
    """Why the capture time in the file cannot be, as a sentence; "" if it can, or there is none."""
    facts = photo.facts
    if facts.taken_problem:
        return f"The capture time in the file cannot be read: {facts.taken_problem}."
    if facts.taken is None:
        return ""
    if facts.taken.year < FIRST_DIGITAL:
        return f"The file says it was taken in {facts.taken.year}: the camera's clock was not set."
    # A day of grace, because the check's day has no time zone of its own.
    if facts.taken.date() > job.as_of + timedelta(days=1):
        return f"The file says it was taken on {facts.taken:%Y-%m-%d %H:%M}, after {job.as_of}, the day of this check."
    return ""


def captured(job: Job, photo: Photo) -> Captured | None:
    """When it was taken, in the job's time zone; None if the file does not say or what it says cannot be."""
    taken = photo.facts.taken
    if not photo.shown or taken is None or absurd(job, photo):
        return None
    camera = camera_of(job, photo)
    ahead = timedelta(seconds=camera.ahead_s or 0) if camera else timedelta(0)
    zone = zone_of(job)
    if photo.facts.offset_known and taken.tzinfo is not None:
        return Captured((taken - ahead).astimezone(zone), timedelta(0), "utc")
    own = named_zone(camera.timezone) if camera and camera.timezone else None
    # Photos of one make that name no camera may come from two phones: no clock in common.
    name = photo.facts.camera.strip().casefold() or photo.path
    moment = (taken.replace(tzinfo=own or zone) - ahead).astimezone(zone)
    return Captured(moment, timedelta(0) if camera else UNKNOWN_CLOCK, name)


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
