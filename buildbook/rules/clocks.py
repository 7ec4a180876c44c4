"""How far a camera's clock is ahead of true time: as stated in job.toml, else as its photos of a clock card show.

A clock card shows the present second; the photo of it carries the camera's own time. The difference is the camera's
error, the median of several its estimate. A printed card says only that its photo cannot be older than the print.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from buildbook.records.card import Card, CardRefused, read_code
from buildbook.records.job import Camera, Job
from buildbook.records.photo import Photo
from buildbook.records.said import said
from buildbook.rules.moments import named_zone, zone_of
from buildbook.rules.once import once

# A clock nobody vouched for may be an hour out by summer time and minutes by drift. Common practice, no source.
UNKNOWN_CLOCK = timedelta(hours=2)
# What a clock may drift between the photo of the clock card and the photo in question. Common practice, no source.
DRIFT = timedelta(minutes=1)
# Beyond what a clock drifts by, or a photographer holds a card for: it was set in between. Common practice, no source.
SET_BETWEEN = timedelta(minutes=30)
MOST_AHEAD = timedelta(days=40 * 365)  # beyond it, the date of capture is no clock's


@dataclass(frozen=True, slots=True)
class Body:
    """A camera as its photos name it."""

    camera: str
    serial: str

    def __str__(self) -> str:
        return said("{camera}, serial {serial}", camera=self.camera, serial=self.serial) if self.serial else self.camera


@dataclass(frozen=True, slots=True)
class Estimate:
    """ahead: median error. spread: between the largest and the least error of its shots of clock cards. most: the
    largest error, either way.
    """

    ahead: timedelta
    spread: timedelta
    shots: int
    most: timedelta

    @property
    def doubt(self) -> timedelta:
        return self.spread + DRIFT

    @property
    def set_between(self) -> bool:
        """Whether the clock was set between its shots, so that no one error is right for all its photos."""
        return self.spread > SET_BETWEEN


def body_of(photo: Photo) -> Body | None:
    """The camera of a photo; None where it names none: then it may be anybody's."""
    camera = photo.facts.camera.strip()
    return Body(camera, photo.facts.serial.strip()) if camera else None


@once
def camera_of(job: Job, photo: Photo) -> Camera | None:
    """The entry of [[cameras]] for the camera a photo names: one with its serial number before one without."""
    body = body_of(photo)
    if body is None:
        return None
    meant = [c for c in job.cameras if c.model.strip().casefold() == body.camera.casefold()]
    own = (c for c in meant if c.serial and c.serial.strip() == body.serial)
    return next(own, None) or next((c for c in meant if not c.serial), None)


def shown_time(job: Job, photo: Photo) -> datetime | None:
    """What the camera's clock showed, as an instant: in the offset it recorded, its stated zone, or the job's."""
    taken = photo.facts.taken
    if taken is None or taken.tzinfo is not None:
        return taken
    camera = camera_of(job, photo)
    own = named_zone(camera.timezone) if camera and camera.timezone else None
    return taken.replace(tzinfo=own or zone_of(job))


def cards_on(job: Job, photo: Photo) -> tuple[tuple[Card, ...], tuple[str, ...]]:
    """The job's cards that a photo shows, and why others it shows are refused."""
    cards, refused = [], []
    for code in photo.facts.cards or ():
        try:
            cards.append(read_code(code, job.number))
        except CardRefused as reason:
            refused.append(reason.says)
    return tuple(cards), tuple(refused)


def clock_errors(job: Job, body: Body) -> Iterator[tuple[Photo, timedelta]]:
    """How far the camera's clock was ahead in each of its photos of a clock card."""
    for photo in job.card_photos:
        if body_of(photo) != body:
            continue
        cards, _ = cards_on(job, photo)
        clocks = [card for card in cards if card.is_clock]
        shown = shown_time(job, photo)
        if len(clocks) == 1 and shown is not None and abs(shown - clocks[0].made) < MOST_AHEAD:
            yield photo, shown - clocks[0].made


def estimate(job: Job, body: Body | None) -> Estimate | None:
    """The estimated error of a camera's clock; None if no photo of a clock card tells."""
    errors = [error.total_seconds() for _, error in clock_errors(job, body)] if body else []
    if not errors:
        return None
    ahead, spread = round(median(errors)), max(errors) - min(errors)
    most = max(map(abs, errors))
    return Estimate(
        timedelta(seconds=ahead), timedelta(seconds=round(spread)), len(errors), timedelta(seconds=round(most))
    )


@once
def ahead_of(job: Job, photo: Photo) -> tuple[timedelta, timedelta | None]:
    """(error of the clock that took a photo, how far that may be out); a stated error wins over an estimated one.

    The second is None where nobody vouches for the clock.
    """
    camera = camera_of(job, photo)
    if camera is not None and camera.ahead_s is not None:
        return timedelta(seconds=camera.ahead_s), timedelta(0)
    found = estimate(job, body_of(photo))
    if found is not None and found.set_between:  # out by anything up to the most that was seen, and more
        return timedelta(0), max(UNKNOWN_CLOCK, found.most + DRIFT)
    if found is not None:
        return found.ahead, found.doubt
    return timedelta(0), timedelta(0) if camera is not None else None


def bodies_of(job: Job) -> tuple[Body, ...]:
    """Every camera that a photo of the record names, in the order of their names."""
    found = {body for photo in job.photos if (body := body_of(photo)) is not None}
    return tuple(sorted(found, key=lambda b: (b.camera.casefold(), b.serial)))
