"""A camera's clock: stated, estimated from photos of clock cards, or unknown; and what is asked about it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import factory
import pytest
from asking import raised_by

from buildbook.records.card import Card, code_of
from buildbook.records.job import Camera, Job
from buildbook.records.photo import Photo
from buildbook.records.words import Stage
from buildbook.rules.captured import UNKNOWN_CLOCK, absurd, captured
from buildbook.rules.clocks import DRIFT, Body, Estimate, ahead_of, camera_of, estimate
from buildbook.rules.photos_cards import (
    ahead,
    card_not_yet_printed,
    clock_unsteady,
    gps_time_differs,
    span,
)
from buildbook.rules.photos_time import camera_unused, outside_step

TRUE = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)  # 10:00 in Berlin
BODY = Body("Lumet P1", "")


def clock(seconds: int, number: int = 1, *, true: datetime = TRUE, **more: Any) -> Photo:
    """A photo of a clock card by a camera that is so many seconds ahead; its time carries no offset."""
    taken = (true + timedelta(hours=1, seconds=seconds)).replace(tzinfo=None)
    facts = factory.picture(**({"taken": taken, "cards": (code_of(Card(job="J-1", made=true)),)} | more))
    return factory.photo(f"documents/cards/{number}.jpg", facts)


def camera(**more: Any) -> Camera:
    return Camera(place=factory.key("cameras.1"), **({"model": "Lumet P1"} | more))


def job(*photos: Photo, **more: Any) -> Job:
    return factory.job(photos=photos, **more)


def test_the_estimate_is_the_median_and_says_how_far_the_shots_differ() -> None:
    it = job(clock(40, 1), clock(43, 2), clock(90, 3))
    assert estimate(it, BODY) == Estimate(timedelta(seconds=43), timedelta(seconds=50), 3, timedelta(seconds=90))
    assert estimate(it, Body("Ostra K4", "")) is None
    assert estimate(it, None) is None


@pytest.mark.parametrize("seconds", [-86_400, -3_600, -7, 0, 42, 3_600, 5 * 365 * 86_400])
def test_an_estimated_error_is_taken_off(seconds: int) -> None:
    photo = factory.photo(
        facts=factory.picture(taken=datetime(2026, 3, 3, 14, 0, 0, 250_000) + timedelta(seconds=seconds))
    )
    when = captured(job(clock(seconds), photo), photo)
    assert when is not None
    assert when.moment == datetime(2026, 3, 3, 13, 0, 0, 250_000, tzinfo=UTC)
    assert when.slack == DRIFT


def test_a_stated_error_goes_before_an_estimated_one() -> None:
    photo = clock(40)
    assert ahead_of(job(photo, cameras=(camera(ahead_s=-5),)), photo) == (timedelta(seconds=-5), timedelta(0))
    # a camera described without its error is estimated as any other
    assert ahead_of(job(photo, cameras=(camera(why="new battery"),)), photo) == (timedelta(seconds=40), DRIFT)


def test_a_camera_described_without_error_or_card_is_taken_as_right() -> None:
    photo = factory.photo()
    assert ahead_of(job(photo, cameras=(camera(),)), photo) == (timedelta(0), timedelta(0))
    assert ahead_of(job(photo), photo) == (timedelta(0), None)
    when = captured(job(photo), photo)
    assert when is not None
    assert when.slack == UNKNOWN_CLOCK


def test_the_zone_a_camera_was_set_to_is_part_of_what_its_clock_showed() -> None:
    photo = clock(7200, true=TRUE)  # 12:00 where Berlin has 10:00: set to Berlin it is 2 h ahead, to Moscow it is right
    assert estimate(job(photo), BODY) == Estimate(timedelta(hours=2), timedelta(0), 1, timedelta(hours=2))
    it = job(photo, cameras=(camera(timezone="Europe/Moscow"),))
    assert estimate(it, BODY) == Estimate(timedelta(0), timedelta(0), 1, timedelta(0))


def test_bodies_of_one_model_are_told_apart_by_serial_number() -> None:
    one, two = clock(40, 1, serial="1"), clock(-900, 2, serial="2")
    it = job(one, two, cameras=(camera(serial="2", ahead_s=7), camera(why="all others")))
    assert estimate(it, Body("Lumet P1", "1")) == Estimate(timedelta(seconds=40), timedelta(0), 1, timedelta(seconds=40))
    assert camera_of(it, one) is it.cameras[1]
    assert camera_of(it, two) is it.cameras[0]
    assert ahead_of(it, two)[0] == timedelta(seconds=7)


def test_cards_of_another_job_two_clocks_and_printed_cards_tell_nothing_of_a_clock() -> None:
    other = code_of(Card(job="J-2", made=TRUE))
    printed = code_of(Card(job="J-1", step=10, stage=Stage.BEFORE, made=TRUE))
    both = (code_of(Card(job="J-1", made=TRUE)), code_of(Card(job="J-1", made=TRUE + timedelta(seconds=9))))
    for cards in ((other,), (printed,), both):
        assert estimate(job(clock(0, cards=cards)), BODY) is None


def test_a_recorded_offset_is_believed_and_its_error_estimated_all_the_same() -> None:
    taken = TRUE + timedelta(seconds=100)
    photo = clock(0, taken=taken, offset_known=True)
    when = captured(job(photo), photo)
    assert when is not None
    assert when.moment == TRUE
    assert when.clock != "utc"


def test_the_error_is_taken_off_before_a_date_is_called_absurd() -> None:
    """A camera set to 2031 by mistake: unknown, its dates are absurd; known, they are right."""
    years = 5 * 365 * 86_400
    photo = factory.photo(facts=factory.picture(taken=datetime(2026, 3, 3, 12) + timedelta(seconds=years)))
    assert "after 2026-03-20" in absurd(job(photo), photo)
    assert absurd(job(photo, cameras=(camera(ahead_s=years),)), photo) == ""
    assert absurd(job(photo, clock(years)), photo) == ""
    assert "clock's error of 43,800.0 h taken off" in absurd(job(photo, cameras=(camera(ahead_s=-years),)), photo)


def test_an_error_beyond_all_dates_is_a_sentence_and_no_fault() -> None:
    photo = factory.photo()
    it = job(photo, cameras=(camera(ahead_s=10**10 * 30),))
    assert "no date allows for" in absurd(it, photo)
    assert captured(it, photo) is None


def test_the_error_is_taken_off_before_a_photo_is_said_to_be_outside_its_step() -> None:
    late = factory.photo(facts=factory.picture(taken=datetime(2026, 3, 6, 10, 0)))
    step = factory.step(started=date(2026, 3, 3), finished=date(2026, 3, 4))
    assert raised_by(outside_step, job(late, steps=(step,)))
    assert not raised_by(outside_step, job(late, clock(2 * 86_400), steps=(step,)))


def gps(apart: timedelta, name: str = "one", **more: Any) -> Photo:
    path = f"steps/010-polish/before/{name}.jpg"
    taken = datetime(2026, 3, 3, 10, 0, tzinfo=UTC) + apart
    facts = {"taken": taken, "offset_known": True, "gps_time": datetime(2026, 3, 3, 10, 0, tzinfo=UTC)} | more
    return factory.photo(path, factory.picture(**facts))


@pytest.mark.parametrize(("seconds", "asked"), [(0, 0), (120, 0), (121, 1), (-121, 1)])
def test_gps_time_may_differ_by_two_minutes(seconds: int, asked: int) -> None:
    assert len(raised_by(gps_time_differs, job(gps(timedelta(seconds=seconds))))) == asked


def test_gps_is_held_against_the_mended_time_and_asked_once_a_camera() -> None:
    photos = [gps(timedelta(hours=1), name) for name in ("one", "two")]
    (raised,) = raised_by(gps_time_differs, job(*photos))
    assert "The clock of Lumet P1 is 1 h 00 min ahead of GPS; 2 photos of it differ so, this one first." in raised.says
    assert not raised_by(gps_time_differs, job(*photos, cameras=(camera(ahead_s=3600),)))


def test_without_an_offset_gps_must_differ_by_more_than_an_unknown_clock_may() -> None:
    """A naive time is read in the job's zone; two minutes are asked about all the same, for GPS knows better."""
    photo = gps(timedelta(0), taken=datetime(2026, 3, 3, 11, 5), offset_known=False)
    (raised,) = raised_by(gps_time_differs, job(photo))
    assert "is 5 min ahead of GPS" in raised.says


@pytest.mark.parametrize(("second", "asked"), [(160, 0), (161, 1), (3640, 1)])
def test_a_clock_that_was_set_in_between_is_asked_about(second: int, asked: int) -> None:
    found = raised_by(clock_unsteady, job(clock(40, 1), clock(second, 2)))
    assert len(found) == asked
    stated = job(clock(40, 1), clock(second, 2), cameras=(camera(ahead_s=40),))
    assert not raised_by(clock_unsteady, stated)


def test_a_card_photographed_before_it_was_printed_shows_a_slow_clock() -> None:
    card = code_of(Card(job="J-1", step=10, stage=Stage.BEFORE, made=TRUE))
    slow = clock(-7200, cards=(card,))
    (raised,) = raised_by(card_not_yet_printed, job(slow))
    assert "printed 2026-03-03 10:00: the camera's clock is at least 2 h 00 min behind." in raised.says
    assert not raised_by(card_not_yet_printed, job(clock(-60, cards=(card,))))
    assert not raised_by(card_not_yet_printed, job(slow, cameras=(camera(ahead_s=-7200),)))


@pytest.mark.parametrize(
    ("seconds", "says"),
    [(0, "right"), (1, "1 s ahead"), (-119, "119 s behind"), (120, "2 min ahead"), (-5400, "1 h 30 min behind"),
     (200_000, "2 days 7 h ahead")],
)  # fmt: skip
def test_errors_in_words(seconds: int, says: str) -> None:
    assert ahead(timedelta(seconds=seconds)) == says
    assert span(timedelta(seconds=-seconds)) == span(timedelta(seconds=seconds))


def test_photos_whose_gps_differs_otherwise_are_asked_about_by_themselves() -> None:
    hours = (1, 1, -24 * 365)
    photos = [gps(timedelta(hours=h, seconds=n), f"{n}") for n, h in enumerate(hours)]
    said = [raised.says for raised in raised_by(gps_time_differs, job(*photos))]
    assert len(said) == 2
    assert "1 h 00 min ahead of GPS; 2 photos of it differ so" in said[0]
    assert "364 days 23 h behind GPS" in said[1]
    assert "photos" not in said[1]


def test_a_camera_described_twice_is_named_as_that() -> None:
    it = job(clock(0), cameras=(camera(), replace(camera(), place=factory.key("cameras.2"))))
    (raised,) = raised_by(camera_unused, it)
    assert raised.says == 'The camera "Lumet P1" is described more than once; the first entry counts.'
    assert raised.place.key == "cameras.2.model"


def test_of_a_clock_that_was_set_in_between_nothing_is_taken_off() -> None:
    """The mean of right and three hours ahead is an error it never had; any time may be out by all that was seen."""
    photo = factory.photo("steps/010-polish/during/one.jpg", factory.picture(taken=datetime(2026, 3, 3, 12, 0)))
    it = job(clock(0, 1), clock(3 * 3600, 2), photo)
    assert ahead_of(it, photo) == (timedelta(0), timedelta(hours=3, minutes=1))
    assert captured(it, photo).slack == timedelta(hours=3, minutes=1)
    near = job(clock(0, 1), clock(1700, 2), photo)  # by drift, or a card held too long
    assert ahead_of(near, photo)[0] == timedelta(seconds=850)
