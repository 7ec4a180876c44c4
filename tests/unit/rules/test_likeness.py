"""Rules of likeness and of quality, on pictures drawn for the purpose and measured as a survey measures them."""

from __future__ import annotations

import io
import random
from dataclasses import replace
from datetime import datetime
from typing import Any

import factory as f
import pytest
from asking import raised_by
from jobs.pictures import _scene as drawn
from jobs.plant_photos import Change, blur, exif_block, light, saved, turned, window
from PIL import Image, ImageOps

from buildbook.photos.picture import decode
from buildbook.records.finding import Raised
from buildbook.records.job import Job, Pair
from buildbook.records.photo import OtherJob, Photo
from buildbook.rules.photos_likeness import PHOTOS_LIKENESS
from buildbook.rules.photos_quality import PHOTOS_QUALITY

BEFORE, AFTER = "steps/010-polish/before/one.jpg", "steps/010-polish/after/one.jpg"
DURING = "steps/010-polish/during/one.jpg"
ELSEWHERE = "steps/020-wash/during/one.jpg"
FIRST, LAST = datetime(2026, 3, 3, 10), datetime(2026, 3, 4, 15)


def same(image: Image.Image) -> Image.Image:
    return image


def shot(path: str, title: str = "Bonnet", taken: datetime | None = FIRST, change: Change = same, **main: Any) -> Photo:
    """A photo with the facts that a survey finds."""
    data = saved(change(drawn(title, (1200, 900))), exif_block(taken, main or None))
    return f.photo(path, decode(data).facts, sha256=f.sha(path + title))


def asked(*photos: Photo, **more: Any) -> list[tuple[str, str]]:
    job = f.job(steps=(f.step(), f.step(id="020-wash", number=20)), photos=photos, **more)
    return [(r.code, r.place.file) for r in raised_by([*PHOTOS_LIKENESS, *PHOTOS_QUALITY], job)]


SMALLER: Change = lambda image: image.resize((1000, 750))  # noqa: E731
BRIGHTER = light(1.12)


@pytest.mark.parametrize("change", [same, SMALLER, BRIGHTER], ids=["same", "smaller", "brighter"])
@pytest.mark.parametrize("taken", [FIRST, None], ids=["same time", "no time"])
def test_one_picture_before_and_after_stops(change: Change, taken: datetime | None) -> None:
    assert asked(shot(BEFORE), shot(AFTER, taken=taken, change=change)) == [("photos.before-is-after", AFTER)]


def test_a_changed_time_makes_it_a_question() -> None:
    assert asked(shot(BEFORE), shot(AFTER, taken=LAST, change=SMALLER)) == [("photos.same-shot", AFTER)]


def test_two_pictures_of_one_moment_are_asked_about() -> None:
    assert asked(shot(BEFORE), shot(AFTER, "Another", FIRST)) == [("photos.same-shot", AFTER)]


@pytest.mark.parametrize("side", [0.88, 0.8, 0.7])
def test_a_cut_out_of_the_photo_before(side: float) -> None:
    found = asked(shot(BEFORE), shot(AFTER, taken=LAST, change=window(0.05, 0.09, side)))
    assert found == [("photos.cropped", AFTER)]


def test_pairs_across_steps() -> None:
    pair = Pair(place=f.key("pairs[0]"), before=BEFORE, after=ELSEWHERE.replace("during", "after"))
    photos = shot(BEFORE), shot(ELSEWHERE.replace("during", "after"), taken=None)
    assert ("photos.before-is-after", photos[1].path) in asked(*photos, pairs=(pair,))


def test_the_same_picture_under_another_step() -> None:
    assert asked(shot(BEFORE), shot(ELSEWHERE, taken=LAST, change=SMALLER)) == [("photos.saved-again", ELSEWHERE)]
    assert asked(shot(BEFORE), shot(DURING, taken=LAST)) == []  # a burst that two folders share
    assert asked(shot(BEFORE), shot(BEFORE.replace("one", "two"))) == []  # and one in a folder


def test_mirrored() -> None:
    assert asked(shot(BEFORE), shot(AFTER, taken=LAST, change=ImageOps.mirror)) == [("photos.mirrored", AFTER)]


@pytest.mark.parametrize("angle", [90, 180, 270])
def test_turned(angle: int) -> None:
    copy = shot(ELSEWHERE, taken=None, change=turned(angle))
    assert ("photos.turned", ELSEWHERE) in asked(shot(BEFORE), copy)
    assert asked(shot(BEFORE), shot(ELSEWHERE, "Another", LAST, turned(angle))) == []


def test_each_of_many_turned_copies_is_told_once_with_the_original() -> None:
    copy = shot(ELSEWHERE, taken=None, change=turned(90))
    copies = [replace(copy, path=f"steps/020-wash/during/{n}.jpg", sha256=f.sha(str(n))) for n in range(60)]
    job = f.job(steps=(f.step(), f.step(id="020-wash", number=20)), photos=(shot(BEFORE), *copies))
    found = [r for r in raised_by(PHOTOS_LIKENESS, job) if r.code == "photos.turned"]
    assert sorted(r.place.file for r in found) == sorted(c.path for c in copies)
    assert {r.says for r in found} == {f"Looks like {BEFORE}, turned by a quarter or by half."}


def test_a_picture_that_looks_the_same_when_turned_tells_nothing() -> None:
    def round_thing(path: str, angle: int) -> Photo:
        quarter = drawn("Rim", (600, 600))
        whole = Image.new("RGB", (1200, 1200))
        for at, turn in (((0, 0), 0), ((600, 0), 270), ((600, 600), 180), ((0, 600), 90)):
            whole.paste(quarter.rotate(turn), at)
        return f.photo(path, decode(saved(whole.rotate(angle), exif_block(FIRST))).facts, sha256=f.sha(path))

    assert "photos.turned" not in {code for code, _ in asked(round_thing(BEFORE, 0), round_thing(ELSEWHERE, 90))}


def test_different_pictures_raise_nothing() -> None:
    photos = [shot(f"steps/010-polish/during/{n}.jpg", f"View {n}", FIRST.replace(minute=n)) for n in range(12)]
    assert asked(*photos, shot(BEFORE), shot(AFTER, "The result", LAST)) == []


def test_plain_panels_are_not_taken_for_one_another() -> None:
    def plain(path: str, taken: datetime, level: int) -> Photo:
        chance = random.Random(path)
        image = Image.new("RGB", (1200, 900), (level,) * 3)
        image.putdata([(level + chance.randrange(-3, 4),) * 3 for _ in range(1200 * 900)])
        return f.photo(path, decode(saved(image, exif_block(taken))).facts)

    assert asked(plain(BEFORE, FIRST, 90), plain(AFTER, LAST, 92), plain(ELSEWHERE, LAST, 91)) == []


@pytest.mark.parametrize(
    ("theirs", "words"),
    [
        (shot("steps/050-oil/before/x.jpg", taken=LAST, change=SMALLER), "same picture"),
        (shot("steps/050-oil/before/x.jpg", taken=LAST, change=ImageOps.mirror), "mirror image"),
        (shot("steps/050-oil/before/x.jpg", taken=LAST, change=turned(90)), "turned"),
        (replace(shot("steps/050-oil/before/x.jpg", "Other"), sha256=f.sha(BEFORE + "Bonnet")), "same file"),
        (shot("steps/050-oil/before/x.jpg", "Other"), ""),
    ],
)
def test_a_photo_of_another_job(theirs: Photo, words: str) -> None:
    job = f.job(steps=(f.step(),), photos=(shot(BEFORE),), elsewhere=(OtherJob(name="2025-009", photos=(theirs,)),))
    found = raised_by(PHOTOS_LIKENESS, job)
    assert [(r.code, r.place.file) for r in found] == ([("photos.of-another-job", BEFORE)] if words else [])
    assert all(words in r.says and "2025-009" in r.says for r in found)


# --- quality ----------------------------------------------------------------------------------------------------------


def of(change: Change, settings: dict[str, object] | None = None) -> list[str]:
    return [code for code, _ in asked(shot(DURING, change=change), settings=settings or {})]


def test_blur_is_told_from_plainness() -> None:
    assert of(blur(0.01)) == ["photos.blurred"]
    assert of(blur(0.001)) == []
    assert of(blur(0.01), {"photo_blur_below": 1}) == []
    assert of(lambda image: Image.new("RGB", image.size, "grey")) == []
    sharp_somewhere: Change = lambda image: _pasted(blur(0.01)(image), image.crop((800, 300, 1200, 600)), (800, 300))  # noqa: E731
    assert of(sharp_somewhere) == []


def _pasted(image: Image.Image, part: Image.Image, at: tuple[int, int]) -> Image.Image:
    image.paste(part, at)
    return image


def test_light() -> None:
    assert of(light(0.1)) == ["photos.too-dark"]
    assert of(light(0.5)) == []
    assert of(lambda image: image.point(lambda v: min(255, v * 4 + 60))) == ["photos.burnt-out"]
    assert of(light(0.1), {"photo_dark_share": 1}) == []


def test_a_white_screenshot_is_no_camera_s_and_not_burnt_out_too() -> None:
    page = Image.new("RGB", (1200, 900), "white")
    page.paste(drawn("Invoice", (500, 400)), (100, 100))
    out = io.BytesIO()
    page.save(out, "PNG")
    photo = f.photo("steps/010-polish/during/screen.png", decode(out.getvalue()).facts)
    assert photo.facts.looks is not None
    assert photo.facts.looks.burnt > 0.7
    (found,) = raised_by(PHOTOS_QUALITY, f.job(steps=(f.step(),), photos=(photo,)))
    assert found.code == "photos.no-camera-data"
    assert "screenshot" in found.says


def test_what_no_camera_wrote() -> None:
    bare = [f.photo(f"steps/010-polish/during/{n}.jpg", decode(saved(drawn(str(n), (1200, 900)))).facts) for n in range(5)]
    (found,) = raised_by(PHOTOS_QUALITY, f.job(steps=(f.step(),), photos=tuple(bare)))
    assert found.code == "photos.no-camera-data"
    assert "4 more" in found.says


@pytest.mark.parametrize(
    ("written", "codes"),
    [("2026:03:03 10:00:40", []), ("2026:03:03 10:02:00", ["photos.edited"]), ("2026:03:03 09:00:00", []), ("", []), ("noon", [])],
)
def test_written_again(written: str, codes: list[str]) -> None:
    from piexif import ImageIFD

    found = asked(replace_tags(DURING, {ImageIFD.DateTime: written}))
    assert [code for code, _ in found] == codes


def replace_tags(path: str, tags: dict[int, object], taken: datetime = FIRST, title: str = "Bonnet") -> Photo:
    data = saved(drawn(title, (1200, 900)), exif_block(taken, tags))
    return f.photo(path, decode(data).facts)


def test_software_unlike_the_cameras_other_photos() -> None:
    from piexif import ImageIFD

    def roll(*names: str) -> list[tuple[str, str]]:
        photos = [
            f.photo(f"steps/010-polish/during/{n:02}.jpg", f.picture(taken=FIRST.replace(minute=n), software=name))
            for n, name in enumerate(names)
        ]
        return asked(*photos)

    assert roll(*["4.1"] * 3, "Retouch", *["4.1"] * 3) == [("photos.edited", "steps/010-polish/during/03.jpg")]
    assert roll(*["4.1"] * 4, *["4.2"] * 4) == []  # brought up to date
    assert roll(*["4.1", "4.2"] * 4) == []  # two cameras of one model
    assert asked(replace_tags(DURING, {ImageIFD.Software: "Retouch"})) == []  # nothing to compare with


def test_scans_among_the_documents_are_left_alone() -> None:
    scan = f.photo("documents/letter.jpg", decode(saved(Image.new("RGB", (1200, 1600), "white"))).facts, step="", stage=None)
    assert asked(scan) == []


def test_findings_say_where_and_what() -> None:
    job: Job = f.job(steps=(f.step(),), photos=(shot(BEFORE), shot(AFTER, taken=None)))
    found: list[Raised] = raised_by(PHOTOS_LIKENESS, job)
    assert BEFORE in found[0].says
