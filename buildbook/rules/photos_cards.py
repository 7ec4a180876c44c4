"""Rules of cameras' clocks: what marker cards and GPS say about the capture times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import timedelta

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.said import amount, day, figure, said, tallied
from buildbook.rules.captured import captured
from buildbook.rules.clocks import Body, ahead_of, bodies_of, body_of, camera_of, cards_on, clock_errors, estimate
from buildbook.rules.grades import QUERY
from buildbook.rules.rule import Rule, rule

# Common practice, no source: what two clocks that are both right may show apart.
APART = timedelta(minutes=2)
_SET_CLOCK = (
    "Photograph a clock card with the camera (`buildbook cards JOB --clock`) and file it, or write its error under "
    "[[cameras]] in job.toml."
)


@rule(
    "photos.gps-time-differs",
    asks="Do the capture times agree with the GPS time in the same files?",
    why="GPS time comes from satellites; where the camera's clock says otherwise, one of the two is wrong or old.",
    fix=f"{_SET_CLOCK} If the GPS time is that of an earlier fix, nothing needs doing.",
    source="EXIF GPSDateStamp and GPSTimeStamp, in UTC (CIPA DC-008, from memory); 2 minutes are common practice, "
    "no source", **QUERY,
)  # fmt: skip
def gps_time_differs(job: Job) -> Iterator[Raised]:
    found: dict[object, list[tuple[Photo, timedelta]]] = defaultdict(list)
    for photo in job.photos:
        when, fix = captured(job, photo), photo.facts.gps_time
        if when is None or fix is None:
            continue
        _, doubt = ahead_of(job, photo)
        apart = when.moment - fix
        if abs(apart) > APART + (doubt or timedelta(0)):
            found[body_of(photo) or photo.path].append((photo, apart))
    for body, photos in found.items():
        who = str(body) if isinstance(body, Body) else said("an unnamed camera")
        for alike in _like_differences(photos):
            first, apart = alike[0]
            yield Raised(
                "photos.gps-time-differs", Place(first.path), _off_gps(who, apart, len(alike)),
                tuple(p.path for p, _ in alike[1:]),
            )  # fmt: skip


def _like_differences(photos: list[tuple[Photo, timedelta]]) -> list[list[tuple[Photo, timedelta]]]:
    """Photos whose times differ by about as much, together; in each the order they came in."""
    groups: list[list[tuple[Photo, timedelta]]] = []
    for photo, apart in photos:
        near = (g for g in groups if abs(g[0][1] - apart) <= APART)
        group = next(near, None)
        if group is None:
            groups.append([(photo, apart)])
        else:
            group.append((photo, apart))
    return groups


def _off_gps(who: str, apart: timedelta, n: int) -> str:
    """How far a clock is from that of GPS, and in how many photos."""
    if apart > timedelta(0):
        return tallied(
            "The clock of {who} is {time} ahead of GPS.",
            "The clock of {who} is {time} ahead of GPS; {n} photos of it differ so, this one first.",
            n, who=who, time=span(apart),
        )  # fmt: skip
    return tallied(
        "The clock of {who} is {time} behind GPS.",
        "The clock of {who} is {time} behind GPS; {n} photos of it differ so, this one first.",
        n, who=who, time=span(apart),
    )  # fmt: skip


@rule(
    "photos.clock-unsteady",
    asks="Is each camera's clock out by the same time in all its photos of a clock card?",
    why="A clock that was set in between has no one error; the times before and after are not comparable.",
    fix="Look when it was set. Write the error of the time that matters under [[cameras]] in job.toml and say why.",
    source="Spread of the differences above 2 minutes; common practice, no source", **QUERY,
)  # fmt: skip
def clock_unsteady(job: Job) -> Iterator[Raised]:
    for body in bodies_of(job):
        found = estimate(job, body)
        shots = list(clock_errors(job, body))
        if found is None or found.spread <= APART or _stated(job, shots[0][0]):
            continue
        least, most = min(shots, key=lambda s: s[1]), max(shots, key=lambda s: s[1])
        yield Raised(
            "photos.clock-unsteady", Place(most[0].path),
            said(
                "The clock of {camera} was {here} here and {there} in {file}.",
                camera=str(body), here=ahead(most[1]), there=ahead(least[1]), file=least[0].path,
            ),
            (least[0].path,),
        )  # fmt: skip


def _stated(job: Job, photo: Photo) -> bool:
    camera = camera_of(job, photo)
    return camera is not None and camera.ahead_s is not None


@rule(
    "photos.card-not-yet-printed",
    asks="Was each marker card photographed after it was printed?",
    why="A photo cannot be older than the card it shows: the camera's clock is behind by at least the difference.",
    fix=_SET_CLOCK,
    source="Own cards: the moment of printing is part of their code", **QUERY,
)  # fmt: skip
def card_not_yet_printed(job: Job) -> Iterator[Raised]:
    told: set[object] = set()
    for photo in job.card_photos:
        cards, _ = cards_on(job, photo)
        when, body = captured(job, photo), body_of(photo) or photo.path
        printed = max((card.made for card in cards if not card.is_clock), default=None)
        if when is None or printed is None or body in told:
            continue
        _, doubt = ahead_of(job, photo)  # an unknown clock is no excuse: it is what is asked about
        if when.moment + APART + (doubt or timedelta(0)) < printed:
            told.add(body)
            yield Raised(
                "photos.card-not-yet-printed", Place(photo.path),
                said(
                    "Taken {taken}, but the card in it was printed {printed}: the camera's clock is at least {time} "
                    "behind.",
                    taken=day(when.moment), printed=day(printed.astimezone(when.moment.tzinfo)),
                    time=span(printed - when.moment),
                ),
            )  # fmt: skip


def span(apart: timedelta) -> str:
    """A length of time in words: `42 s`, `1 h 05 min`, `3 days 2 h`."""
    seconds = abs(round(apart.total_seconds()))
    if seconds < 120:
        return amount(seconds, "s")
    minutes = seconds // 60
    if minutes < 60:
        return amount(minutes, "min")
    hours, minutes = divmod(minutes, 60)
    if hours < 48:
        return said("{hours} h {minutes} min", hours=hours, minutes=f"{minutes:02d}")
    return said("{days} days {hours} h", days=figure(hours // 24, ","), hours=hours % 24)


def ahead(error: timedelta) -> str:
    """A clock's error in words: `42 s behind`, `right`."""
    if not round(error.total_seconds()):
        return said("right")
    if error > timedelta(0):
        return said("{time} ahead", time=span(error))
    return said("{time} behind", time=span(error))


PHOTOS_CARDS: tuple[Rule, ...] = (gps_time_differs, clock_unsteady, card_not_yet_printed)
