"""Which photos stand side by side, and that nothing else is guessed."""

from __future__ import annotations

import factory
import pytest

from buildbook.dossier.pairs import counted_up, pairs_of_job, pairs_of_step
from buildbook.records.job import Pair
from buildbook.records.place import Place


def step(number, name="work", **changes):
    return factory.step(id=f"{number:03d}-{name}", number=number, **changes)


def photo(path, **changes):
    parts = path.split("/")
    zone = parts[3] if len(parts) > 4 else ""
    return factory.photo(path, zone=zone, **changes)


def named(pairs):
    return [(p.before.path, p.after.path) for p in pairs]


def test_same_zone_and_stem_in_one_step():
    one = step(10)
    before, after = photo("steps/010-work/before/bonnet/chips.jpg"), photo("steps/010-work/after/bonnet/Chips.PNG")
    job = factory.job(steps=(one,), photos=(after, before))
    assert named(pairs_of_step(job, one)) == named(pairs_of_job(job)) == [(before.path, after.path)]


def test_across_steps_the_first_before_and_the_last_after():
    steps = (step(10), step(20), step(30))
    paths = [
        "steps/010-work/before/whole/front.jpg", "steps/020-work/before/whole/front.jpg",
        "steps/020-work/after/whole/front.jpg", "steps/030-work/after/whole/front.jpg",
    ]  # fmt: skip
    job = factory.job(steps=steps, photos=tuple(map(photo, paths)))
    assert named(pairs_of_job(job)) == [(paths[0], paths[3])]
    assert named(pairs_of_step(job, steps[1])) == [(paths[1], paths[2])]


def test_an_after_earlier_than_the_before_is_no_pair():
    steps = (step(10), step(20))
    photos = (photo("steps/010-work/after/roof/top.jpg"), photo("steps/020-work/before/roof/top.jpg"))
    assert pairs_of_job(factory.job(steps=steps, photos=photos)) == ()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("steps/010-work/before/bonnet/left.jpg", "steps/010-work/after/roof/left.jpg"),  # another zone
        ("steps/010-work/before/bonnet/left.jpg", "steps/010-work/after/bonnet/right.jpg"),  # another view
        ("steps/010-work/before/bonnet/IMG_0012.jpg", "steps/020-work/after/bonnet/IMG_0012.jpg"),  # counted up
        ("steps/010-work/before/left.jpg", "steps/020-work/after/left.jpg"),  # no zone said, other step
        ("steps/010-work/during/bonnet/left.jpg", "steps/010-work/after/bonnet/left.jpg"),  # not a before
    ],
)
def test_nothing_is_guessed(before, after):
    job = factory.job(steps=(step(10), step(20)), photos=(photo(before), photo(after)))
    assert pairs_of_job(job) == ()


def test_alike_named_in_one_step_without_zone_is_a_pair():
    one = step(10)
    photos = (photo("steps/010-work/before/IMG_0012.jpg"), photo("steps/010-work/after/IMG_0012.jpg"))
    job = factory.job(steps=(one,), photos=photos)
    assert len(pairs_of_step(job, one)) == len(pairs_of_job(job)) == 1


def test_stated_pairs_come_first_and_use_up_their_photos():
    pair = Pair(place=Place("steps/010-work/step.toml"), before="before/bonnet/a.jpg", after="after/bonnet/b.jpg", caption="edge")
    one = step(10, pairs=(pair,))
    photos = tuple(
        photo(f"steps/010-work/{name}")
        for name in ("before/bonnet/a.jpg", "after/bonnet/a.jpg", "after/bonnet/b.jpg", "before/roof/c.jpg", "after/roof/c.jpg")
    )
    job = factory.job(steps=(one,), photos=photos)
    for found in (pairs_of_step(job, one), pairs_of_job(job)):
        assert named(found) == [(photos[0].path, photos[2].path), (photos[3].path, photos[4].path)]
        assert found[0].caption == "edge"
        assert found[0].stated


def test_pairs_of_the_job_join_steps():
    steps = (step(10), step(20))
    photos = (photo("steps/010-work/before/one.jpg"), photo("steps/020-work/after/two.jpg"))
    stated = Pair(place=factory.key("pairs.1"), before=photos[0].path, after=photos[1].path)
    job = factory.job(steps=steps, photos=photos, pairs=(stated, stated))
    assert named(pairs_of_job(job)) == [(photos[0].path, photos[1].path)]


def test_an_unreadable_photo_is_never_paired():
    one = step(10)
    photos = (
        photo("steps/010-work/before/bonnet/a.jpg", facts=factory.picture(problem="cut short")),
        photo("steps/010-work/after/bonnet/a.jpg"),
    )
    job = factory.job(steps=(one,), photos=photos)
    assert pairs_of_job(job) == pairs_of_step(job, one) == ()


@pytest.mark.parametrize("stem", ["IMG_0012", "DSC01234", "20260302_101500", "PXL_20260302_1015", "0012"])
def test_camera_counting_is_known(stem):
    assert counted_up(stem)


@pytest.mark.parametrize("stem", ["front-left", "chips", "edge 2", "chassis-number", "badge2b"])
def test_names_by_people_are_not_counting(stem):
    # "edge 2" is a few letters and a digit, as a camera writes: it pairs within its step alone.
    assert counted_up(stem) == (stem == "edge 2")
