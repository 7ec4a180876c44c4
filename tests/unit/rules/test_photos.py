"""Each rule of photos: the fault raises its code alone; what is unknown about a clock is given the benefit of the doubt."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import factory as f
import pytest

from buildbook.records.finding import Raised
from buildbook.records.job import Camera, Caption, Job, Pair
from buildbook.records.photo import PhotoFacts
from buildbook.records.words import Operation
from buildbook.rules.photos import PHOTOS

BEFORE, AFTER = "steps/010-polish/before/one.jpg", "steps/010-polish/after/one.jpg"
FIRST, LAST = datetime(2026, 3, 3, 10), datetime(2026, 3, 4, 15)


def raised(job: Job) -> list[Raised]:
    return [found for rule in PHOTOS if rule.check is not None for found in rule.check(job)]


def only(job: Job, code: str) -> Raised:
    found = raised(job)
    assert f.codes(found) == [code], [(r.code, r.says) for r in found]
    return found[0]


def job(before: Any = None, after: Any = None, step: dict[str, Any] | None = None, **more: Any) -> Job:
    """One step with a photo before and one after; a dict changes the facts of a photo, False leaves it out."""
    photos = []
    for path, change, taken in ((BEFORE, before, FIRST), (AFTER, after, LAST)):
        if change is not False:
            photos.append(f.photo(path, f.picture(**({"taken": taken} | (change or {})))))
    photos += more.pop("photos", [])
    files = tuple(f.document(p.path) for p in photos)
    return f.job(steps=(f.step(**(step or {})),), photos=tuple(photos), files=files, **more)


def test_a_sound_step_raises_nothing() -> None:
    assert raised(job()) == []


@pytest.mark.parametrize(
    ("before", "after", "step", "code"),
    [
        (False, None, {}, "photos.none-before"),
        (False, None, {"no_before": "Found after the door was open"}, None),
        (False, None, {"no_before": "", "bad": frozenset({"no_before"})}, None),
        (None, False, {}, "photos.none-after"),
        (None, False, {"no_after": "Covered by trim"}, None),
        (None, False, {"finished": None}, None),
        (False, False, {}, "photos.step-without-photos"),
        (False, False, {"no_before": "x"}, "photos.step-without-photos"),
        (False, False, {"no_before": "x", "no_after": "y"}, None),
        (False, False, {"operation": Operation.TEST, "no_after": "y"}, None),
        (False, None, {"operation": Operation.INTAKE}, None),
        (False, False, {"started": None}, None),
    ],
)
def test_there_are_photos(before: Any, after: Any, step: dict[str, Any], code: str | None) -> None:
    assert f.codes(raised(job(before, after, step))) == ([code] if code else [])


def test_unreadable_is_all_that_is_said_of_a_damaged_file() -> None:
    photos = (f.photo(BEFORE, f.picture(taken=FIRST)), f.photo(AFTER, PhotoFacts(problem="cut short", width=10, format="GIF")))
    assert only(f.job(steps=(f.step(),), photos=photos), "photos.unreadable").place.file == AFTER


@pytest.mark.parametrize(("size", "code"), [((1000, 750), []), ((999, 750), ["photos.too-small"]), ((750, 1000), [])])
def test_size(size: tuple[int, int], code: list[str]) -> None:
    assert f.codes(raised(job(after={"width": size[0], "height": size[1]}))) == code


def test_format() -> None:
    assert "PNG" in only(job(after={"format": "PNG"}), "photos.wrong-format-name").says
    assert raised(job(after={"format": "MPO"})) == []


def test_copies() -> None:
    one, other = f.photo(BEFORE, sha256="a" * 64, facts=f.picture(taken=FIRST)), f.photo(AFTER, sha256="a" * 64, facts=f.picture(taken=FIRST))
    assert only(f.job(steps=(f.step(),), photos=(one, other)), "photos.before-is-after").place.file == AFTER
    third = f.photo("steps/010-polish/during/one.jpg", sha256=f.sha(AFTER), facts=f.picture(taken=LAST))
    assert only(job(photos=[third]), "photos.duplicate").place.file == AFTER


def test_inbox() -> None:
    found = only(job(inbox=tuple(f.document(f"inbox/{n}.jpg") for n in range(5))), "photos.inbox-not-empty")
    assert "5 files" in found.says
    assert "2 more" in found.says
    assert raised(job(inbox=(f.document("inbox/ABOUT.txt"),))) == []


def test_location_is_said_once() -> None:
    assert only(job({"has_gps": True}, {"has_gps": True}), "photos.has-location").says.startswith("2 photos")


# --- capture times ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("taken", "code"),
    [
        (datetime(2026, 3, 5, 1, 59), []),  # a clock nobody vouched for may be two hours fast
        (datetime(2026, 3, 5, 2, 1), ["photos.outside-step"]),
        (datetime(2026, 3, 4, 23, 59), []),
        (None, ["photos.no-time"]),
        (datetime(1980, 1, 1), ["photos.absurd-time"]),
        (datetime(2026, 3, 22), ["photos.absurd-time"]),
    ],
)
def test_capture_time(taken: datetime | None, code: list[str]) -> None:
    assert f.codes(raised(job(after={"taken": taken}))) == code


def test_a_time_that_cannot_be_read() -> None:
    assert "0000" in only(job(after={"taken": None, "taken_problem": "0000:00:00 00:00:00"}), "photos.absurd-time").says


def camera(**changes: Any) -> Camera:
    return Camera(**({"place": f.key("cameras.1"), "model": "Lumet P1"} | changes))


@pytest.mark.parametrize(
    ("ahead", "zone", "taken", "code"),
    [
        (0, "", datetime(2026, 3, 5, 0, 1), ["photos.outside-step"]),  # a known clock has no slack
        (3600, "", datetime(2026, 3, 5, 0, 59), []),
        (3600, "", datetime(2026, 3, 5, 1, 0), ["photos.outside-step"]),
        (0, "Asia/Tokyo", datetime(2026, 3, 5, 7, 59), []),  # 23:59 in Berlin, UTC+1 against UTC+9
        (0, "Asia/Tokyo", datetime(2026, 3, 5, 8, 0), ["photos.outside-step"]),
    ],
)
def test_the_cameras_clock_is_considered(ahead: int, zone: str, taken: datetime, code: list[str]) -> None:
    assert f.codes(raised(job(after={"taken": taken}, cameras=(camera(ahead_s=ahead, timezone=zone),)))) == code


def test_an_offset_in_the_file_wins() -> None:
    """22:59 UTC on 4 March is 23:59 in Berlin; a minute later it is the 5th."""
    for minute, code in ((59, []), (60, ["photos.outside-step"])):
        taken = datetime(2026, 3, 4, 22, 0, tzinfo=UTC) + timedelta(minutes=minute)
        assert f.codes(raised(job(after={"taken": taken, "offset_known": True}))) == code


def test_intake_may_be_photographed_from_the_day_received() -> None:
    early = {"taken": datetime(2026, 3, 2, 9)}
    assert raised(job(before=early, step={"operation": Operation.INTAKE})) == []
    assert only(job(before=early), "photos.outside-step").place.file == BEFORE


def test_camera_nobody_used() -> None:
    assert only(job(cameras=(camera(model="Orbal 7"),)), "photos.camera-unused").place.key == "cameras.1.model"


def test_order_of_before_and_after() -> None:
    assert only(job({"taken": LAST}, {"taken": FIRST}), "photos.after-before-before").place.file == AFTER
    assert only(job({"taken": LAST}, {"taken": LAST}), "photos.same-shot").place.file == AFTER
    # Two phones whose clocks nobody compared may be two hours apart each.
    near = {"taken": datetime(2026, 3, 4, 11, 30), "camera": "Orbal 7"}
    assert raised(job({"taken": LAST}, near)) == []


def test_order_in_a_stated_pair() -> None:
    more = [
        f.photo("steps/010-polish/before/two.jpg", f.picture(taken=datetime(2026, 3, 4, 16))),
        f.photo("steps/010-polish/after/two.jpg", f.picture(taken=datetime(2026, 3, 4, 17))),
    ]
    wrong = Pair(place=f.key("pairs.1"), before="before/two.jpg", after="after/one.jpg")
    assert only(job(photos=more, step={"pairs": (wrong,)}), "photos.after-before-before").place.file == AFTER


# --- named photos -----------------------------------------------------------------------------------------------------


def pair(before: str, after: str) -> tuple[Pair, ...]:
    return (Pair(place=f.key("pairs.1", "steps/010-polish/step.toml"), before=before, after=after),)


@pytest.mark.parametrize(
    ("before", "after", "code", "key"),
    [
        ("before/one.jpg", "after/one.jpg", None, ""),
        ("before/one.jpg", "after/two.jpg", "photos.pair-missing", "pairs.1.after"),
        ("", "after/one.jpg", "photos.pair-missing", "pairs.1.before"),
        ("after/one.jpg", "before/one.jpg", "photos.pair-swapped", "pairs.1.before"),
    ],
)
def test_pairs(before: str, after: str, code: str | None, key: str) -> None:
    found = raised(job(step={"pairs": pair(before, after)}))
    assert f.codes(found) == ([code] if code else [])
    assert [r.place.key for r in found] == ([key] if code else [])


def test_pairs_across_steps_count_from_the_job_folder() -> None:
    assert raised(job(pairs=pair(BEFORE, AFTER))) == []
    assert only(job(pairs=pair(BEFORE, "after/one.jpg")), "photos.pair-missing")


def caption(file: str, zone: str = "") -> dict[str, Any]:
    return {"captions": (Caption(place=f.key("captions.1"), file=file, text="x", zone=zone),)}


def test_captions() -> None:
    assert raised(job(step=caption("after/*.jpg"))) == []
    assert only(job(step=caption("after/*.png")), "photos.caption-missing").place.key == "captions.1.file"
    assert only(job(step=caption("after/*", "bonet")), "photos.caption-zone-unknown").place.key == "captions.1.zone"


def test_zones() -> None:
    def of(zone: str, **step: Any) -> Job:
        return job(photos=[f.photo(f"steps/010-polish/during/{zone}/x.jpg", f.picture(taken=LAST), zone=zone)], step=step)

    assert raised(of("bonnet")) == []
    assert raised(of("roof", zones=("whole",))) == []
    assert raised(of("tyre-front-left", zones=("wheel-front-left",))) == []
    assert only(of("roof"), "photos.zone-not-in-step").place.file.endswith("roof/x.jpg")
    assert only(of("tank"), "photos.folder-zone-unknown").place.file == "steps/010-polish/during/tank"
