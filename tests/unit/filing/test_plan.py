"""Where photos of the inbox go: by the card before them, by the step open at the time, or nowhere, with the reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import factory
import pytest

from buildbook.filing import Left, Move, Waiting, plan_filing
from buildbook.records.card import Card, code_of
from buildbook.records.job import Camera, Job
from buildbook.records.photo import FileEntry, Photo, PhotoFacts
from buildbook.records.place import Place
from buildbook.records.words import Stage

JOB = "J-1"
DAY = datetime(2026, 3, 3)


def at(clock: str, day: datetime = DAY) -> datetime:
    hours, minutes, seconds = (int(p) for p in f"{clock}:00".split(":")[:3])
    return day + timedelta(hours=hours, minutes=minutes, seconds=seconds)


def code(step: int = 10, stage: Stage = Stage.BEFORE, zone: str = "", job: str = JOB) -> str:
    return code_of(Card(job=job, step=step, stage=stage, zone=zone, made=datetime(2026, 3, 1, tzinfo=UTC)))


def clock(shown: datetime) -> str:
    return code_of(Card(job=JOB, made=shown))


def waiting(name: str, taken: datetime | None, *cards: str, **more: Any) -> Waiting:
    facts = factory.picture(**({"taken": taken, "cards": cards} | more))
    return Waiting(FileEntry(path=f"inbox/{name}", size=1000, sha256=factory.sha(name)), facts)


def job(*steps: Any, **more: Any) -> Job:
    return factory.job(steps=steps or (step(10), step(20)), **more)


def step(number: int, started: Any = date(2026, 3, 3), finished: Any = date(2026, 3, 3)) -> Any:
    name = f"{number:03d}-work"
    return factory.step(
        id=name, number=number, started=started, finished=finished, place=Place(f"steps/{name}/step.toml")
    )


def planned(it: Job, *files: Waiting) -> dict[str, str]:
    """Name -> folder, or why it stays."""
    plan = plan_filing(it, files)
    assert len(plan.moves) + len(plan.left) == len(files)
    names = {m.path.removeprefix("inbox/"): m.folder for m in plan.moves}
    return names | {left.path.removeprefix("inbox/"): left.why for left in plan.left}


def test_a_card_speaks_for_what_its_camera_took_after_it_up_to_the_next() -> None:
    found = planned(
        job(),
        waiting("5.jpg", at("9:05")),
        waiting("1.jpg", at("9:01"), code(10, Stage.BEFORE)),
        waiting("2.jpg", at("9:02")),
        waiting("3.jpg", at("9:03"), code(20, Stage.AFTER, "bonnet")),
        waiting("4.jpg", at("9:04")),
    )
    assert found == {
        "1.jpg": "documents/cards/", "2.jpg": "steps/010-work/before/", "3.jpg": "documents/cards/",
        "4.jpg": "steps/020-work/after/bonnet/", "5.jpg": "steps/020-work/after/bonnet/",
    }  # fmt: skip


def test_cameras_do_not_mix() -> None:
    found = planned(
        job(),
        waiting("a1.jpg", at("9:00"), code(10)),
        waiting("b1.jpg", at("9:01"), code(20, Stage.AFTER), camera="Ostra K4"),
        waiting("a2.jpg", at("9:02")),
        waiting("b2.jpg", at("9:03"), camera="Ostra K4"),
        waiting("c2.jpg", at("9:03"), camera="Ostra K4", serial="77"),
        waiting("anna/a3.jpg", at("9:04")),
    )
    assert found["a2.jpg"] == "steps/010-work/before/"
    assert found["b2.jpg"] == "steps/020-work/after/"
    # another body of the same model, and another person's folder: no card of theirs
    assert "no card before it" in found["c2.jpg"]
    assert "no card before it" in found["anna/a3.jpg"]


def test_two_phones_of_one_model_are_told_apart_by_the_folder_they_are_dropped_into() -> None:
    found = planned(
        job(),
        waiting("anna/1.jpg", at("9:00"), code(10)),
        waiting("bo/1.jpg", at("9:01"), code(20)),
        waiting("anna/2.jpg", at("9:02")),
        waiting("bo/2.jpg", at("9:03")),
    )
    assert found["anna/1.jpg"] == "documents/cards/anna/"
    assert found["anna/2.jpg"] == "steps/010-work/before/"
    assert found["bo/2.jpg"] == "steps/020-work/before/"


def test_a_card_holds_for_its_day_only() -> None:
    night = at("23:50")
    it = job(step(10, finished=date(2026, 3, 4)), step(20, finished=date(2026, 3, 4)))
    found = planned(
        it, waiting("1.jpg", night, code(10)), waiting("2.jpg", night + timedelta(minutes=5)),
        waiting("3.jpg", night + timedelta(minutes=15)),
    )  # fmt: skip
    assert found["2.jpg"] == "steps/010-work/before/"
    assert "no card before it" in found["3.jpg"]


def test_cards_filed_earlier_still_speak_so_that_a_run_cut_short_can_be_finished() -> None:
    card = Photo(
        path="documents/cards/1.jpg", size=9, sha256=factory.sha("card"),
        facts=factory.picture(taken=at("9:01"), cards=(code(20),)),
    )  # fmt: skip
    found = planned(job(photos=(card,)), waiting("2.jpg", at("9:02")))
    assert found == {"2.jpg": "steps/020-work/before/"}


def test_photos_are_planned_before_cards() -> None:
    plan = plan_filing(job(), [waiting("1.jpg", at("9:01"), code()), waiting("2.jpg", at("9:02"))])
    assert [m.folder for m in plan.moves] == ["steps/010-work/before/", "documents/cards/"]


def test_one_second_is_ordered_by_sub_seconds_then_by_numbers_in_the_name() -> None:
    found = planned(
        job(),
        waiting("IMG_9.jpg", at("9:00"), code(10)),
        waiting("IMG_10.jpg", at("9:00")),
        waiting("IMG_1.jpg", at("9:00").replace(microsecond=500_000)),
        waiting("IMG_8.jpg", at("9:00")),
    )
    assert found["IMG_10.jpg"] == found["IMG_1.jpg"] == "steps/010-work/before/"
    assert "no card before it" in found["IMG_8.jpg"]


def test_a_clock_card_ends_no_run_and_mends_the_order_of_times() -> None:
    """The camera is 26 h behind; by its own reckoning the photos were taken on the day before the step."""
    behind = timedelta(hours=26)
    shown = at("9:02").replace(tzinfo=UTC) - timedelta(hours=1)  # Berlin in winter
    found = planned(
        job(step(10), step(20, date(2026, 3, 2), date(2026, 3, 2))),
        waiting("1.jpg", at("9:01") - behind, code(10)),
        waiting("2.jpg", at("9:02") - behind, clock(shown)),
        waiting("3.jpg", at("9:03") - behind),
        waiting("0.jpg", at("9:00") - behind),
    )
    assert found["2.jpg"] == "documents/cards/"
    assert found["3.jpg"] == "steps/010-work/before/"
    assert found["0.jpg"] == "steps/010-work/during/"  # on 3 March, when step 10 was open, not on 2 March


def test_without_a_card_the_one_open_step_takes_it_as_during() -> None:
    it = job(step(10, date(2026, 3, 3), date(2026, 3, 4)), step(20, date(2026, 3, 4), date(2026, 3, 6)))
    found = planned(
        it,
        waiting("one.jpg", at("12:00")),
        waiting("both.jpg", at("12:00", DAY + timedelta(days=1))),
        waiting("none.jpg", at("12:00", DAY + timedelta(days=9))),
    )
    assert found["one.jpg"] == "steps/010-work/during/"
    assert found["both.jpg"] == "no card before it that day, and 2 steps were open on 2026-03-04 12:00: 010-work and 020-work"
    assert found["none.jpg"] == "no card before it that day, and no step was open on 2026-03-12 12:00"


def test_an_open_step_runs_to_the_day_of_filing() -> None:
    it = job(step(10, finished=None), as_of=date(2026, 3, 10))
    found = planned(it, waiting("in.jpg", at("12:00", datetime(2026, 3, 10))))
    assert found == {"in.jpg": "steps/010-work/during/"}


def test_an_unknown_clock_near_the_edge_of_a_step_decides_nothing() -> None:
    found = planned(job(step(10)), waiting("late.jpg", at("23:30")))
    assert "clock is not known well enough" in found["late.jpg"]
    known = job(step(10), cameras=(Camera(place=factory.key("cameras.1"), model="Lumet P1", ahead_s=0),))
    assert planned(known, waiting("late.jpg", at("23:30"))) == {"late.jpg": "steps/010-work/during/"}


@pytest.mark.parametrize(
    ("cards", "says"),
    [
        ((code(10, job="J-2"),), "a card in it is refused: it is a card of another job, J-2"),
        ((code(10)[:-1] + "A",), "does not add up"),
        ((code(10), code(20)), "cards that say different things"),
        ((code(10), code(10, job="J-2")), "refused"),
    ],
)
def test_a_card_that_cannot_be_followed_stays_and_so_does_what_comes_after_it(cards: tuple[str, ...], says: str) -> None:
    found = planned(
        job(), waiting("0.jpg", at("8:59"), code(20)), waiting("1.jpg", at("9:01"), *cards), waiting("2.jpg", at("9:02")),
        waiting("3.jpg", at("9:03"), code(20)), waiting("4.jpg", at("9:04")),
    )  # fmt: skip
    assert says in found["1.jpg"]
    assert found["2.jpg"].startswith("the card before it, 1.jpg, cannot be followed")
    assert found["4.jpg"] == "steps/020-work/before/"


def test_the_same_card_twice_in_one_picture_is_one_card() -> None:
    again = code_of(Card(job=JOB, step=10, stage=Stage.BEFORE, made=datetime(2026, 3, 2, tzinfo=UTC)))
    found = planned(job(), waiting("1.jpg", at("9:01"), code(10), again), waiting("2.jpg", at("9:02")))
    assert found["2.jpg"] == "steps/010-work/before/"


@pytest.mark.parametrize(
    ("card", "says"), [(code(30), "no step has that number"), (code(10, zone="elbow"), "names the zone elbow")]
)
def test_a_card_for_what_is_not_there_places_nothing(card: str, says: str) -> None:
    assert says in planned(job(), waiting("1.jpg", at("9:01"), card), waiting("2.jpg", at("9:02")))["2.jpg"]


def test_a_number_that_two_steps_share_places_nothing() -> None:
    it = job(step(10), factory.step(id="010-again", number=10))
    assert "more than one step" in planned(it, waiting("1.jpg", at("9:01"), code()), waiting("2.jpg", at("9:02")))["2.jpg"]


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        (None, "no picture"),
        (PhotoFacts(problem="The JPEG data is damaged."), "cannot be shown: The JPEG data is damaged"),
        (factory.picture(taken=None), "no capture time"),
        (factory.picture(taken=datetime(1980, 1, 1)), "clock was not set"),
        (factory.picture(taken=datetime(2031, 1, 1)), "after 2026-03-20"),
    ],
)
def test_what_cannot_be_placed_says_why(facts: PhotoFacts | None, says: str) -> None:
    plan = plan_filing(job(), [Waiting(FileEntry(path="inbox/x.jpg", size=1, sha256="0" * 64), facts)])
    assert plan.moves == ()
    assert says in plan.left[0].why


def test_a_photo_that_names_no_camera_follows_no_card() -> None:
    found = planned(
        job(), waiting("1.jpg", at("9:01"), code(10), camera=""), waiting("2.jpg", at("9:02"), camera="")
    )
    assert found["1.jpg"] == "documents/cards/"
    assert "no card before it" in found["2.jpg"]


def test_bytes_that_are_filed_already_or_lie_in_another_job_stay() -> None:
    twin = factory.photo("steps/010-work/after/old.jpg", sha256=factory.sha("2.jpg"))
    files = [waiting("1.jpg", at("9:01"), code(10)), waiting("2.jpg", at("9:02")), waiting("3.jpg", at("9:03"))]
    plan = plan_filing(job(photos=(twin,)), files, {factory.sha("3.jpg"): "other/steps/010-x/before/3.jpg"})
    assert [type(x) for x in (*plan.moves, *plan.left)] == [Move, Left, Left]
    assert "lie in the record already, as steps/010-work/after/old.jpg" in plan.left[0].why
    assert "lie in another job" in plan.left[1].why


def test_the_same_bytes_twice_in_the_inbox_are_filed_once() -> None:
    again = replace(waiting("2 copy.jpg", at("9:02")), entry=FileEntry(
        path="inbox/2 copy.jpg", size=1000, sha256=factory.sha("2.jpg")))  # fmt: skip
    found = planned(job(), waiting("1.jpg", at("9:01"), code(10)), waiting("2.jpg", at("9:02")), again)
    assert found["2.jpg"] == "steps/010-work/before/"
    assert found["2 copy.jpg"] == "the same bytes lie in the inbox as inbox/2.jpg too: this one may go"


@pytest.mark.parametrize(
    ("name", "goes"), [("2.jpg", True), ("2-2.jpg", True), ("2 copy.jpg", False), ("12.jpg", False), ("2.jpeg", False)]
)
def test_bytes_in_the_same_folder_are_settled_by_moving_only_under_their_own_name(name: str, goes: bool) -> None:
    twin = factory.photo(f"steps/010-work/before/{name}", sha256=factory.sha("2.jpg"))
    found = planned(job(photos=(twin,)), waiting("1.jpg", at("9:01"), code(10)), waiting("2.jpg", at("9:02")))
    assert (found["2.jpg"] == "steps/010-work/before/") is goes


def test_of_the_same_bytes_the_name_from_the_camera_is_kept() -> None:
    files = [waiting(name, at("10:00")) for name in ("IMG_1 (1).jpg", "IMG_1 copy.jpg", "IMG_1.jpg")]
    same = [replace(f, entry=replace(f.entry, sha256=factory.sha("same"))) for f in files]
    found = planned(job(step(10)), *same)
    assert found["IMG_1.jpg"] == "steps/010-work/during/"
    assert {found["IMG_1 copy.jpg"], found["IMG_1 (1).jpg"]} == {"the same bytes lie in the inbox as inbox/IMG_1.jpg too: this one may go"}


def test_what_cannot_be_read_stays_and_says_why() -> None:
    held = Waiting(FileEntry(path="inbox/1.jpg", size=0, sha256=""), None, "cannot be read: Permission denied")
    assert planned(job(), held) == {"1.jpg": "cannot be read: Permission denied"}
