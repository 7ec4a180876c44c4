"""The array forms of likeness against plain ones, pair by pair."""

from __future__ import annotations

import random
from base64 import b64encode
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from jobs.pictures import _scene as drawn
from PIL import Image

from buildbook.photos import cutouts, likeness
from buildbook.photos.looks import GRID, difference_hash, gradients, measure
from buildbook.photos.miniature import flipped
from buildbook.records.photo import PhotoFacts


def facts(image: Image.Image) -> PhotoFacts:
    small = image.resize((400, 300) if image.width >= image.height else (300, 400))
    return PhotoFacts(format="JPEG", width=small.width, height=small.height, dhash=difference_hash(small), looks=measure(small))


def hashes(count: int, chance: random.Random) -> list[int]:
    """Hashes in clusters, so that many pairs lie about the reach apart."""
    heads = [chance.getrandbits(64) for _ in range(1 + count // 8)]
    return [
        chance.choice(heads) ^ sum(1 << n for n in chance.sample(range(64), chance.randrange(9))) for _ in range(count)
    ]


@pytest.mark.parametrize("count", [0, 1, 40, 600])
def test_near_finds_the_pairs_that_counting_finds(count: int) -> None:
    chance = random.Random(count)
    one, two = hashes(count, chance), hashes(count, chance)
    two[: count // 4] = one[: count // 4]
    wanted = [
        (i, j) for i in range(count) for j in range(i + 1, count) if (one[i] ^ one[j]).bit_count() <= likeness.REACH
    ]
    assert list(likeness.near(one)) == wanted
    across = [(i, j) for i in range(count) for j in range(count) if (one[i] ^ two[j]).bit_count() <= likeness.REACH]
    assert list(likeness.near(one, two)) == across
    assert count < 600 or (wanted and across)


def test_pictures_among_others_are_found_as_pair_by_pair() -> None:
    titles = ("Bonnet", "Roof", "Sill", "Boot lid", "Wheel", "Seat")
    pictures = [drawn(title, (600, 450)) for title in titles]
    shown = [facts(p) for p in pictures] + [facts(p.point(lambda v: round(v * 0.9))) for p in pictures]
    shown += [facts(p.transpose(Image.Transpose.FLIP_LEFT_RIGHT)) for p in pictures[:3]] + [
        facts(Image.new("RGB", (400, 300), "grey"))
    ] * 2
    pairs = [(i, j) for i in range(len(shown)) for j in range(i + 1, len(shown))]
    same = [(i, j) for i, j in pairs if likeness.alike([(shown[i], shown[j])])[0]]
    mirrored = [(i, j) for i, j in pairs if list(likeness.mirrored_among([shown[i]], [shown[j]]))]
    assert list(likeness.alike_among(shown)) == same
    assert list(likeness.mirrored_among(shown)) == mirrored
    assert set(same) >= {(n, n + 6) for n in range(6)}
    assert set(mirrored) >= {(n, n + 12) for n in range(3)}
    turns = [p.rotate(angle, expand=True) for p, angle in zip(pictures, (90, 180, 270, 90, 180, 270), strict=True)]
    both = [*shown[:6], *(facts(p) for p in turns), shown[15]]
    pairs = [(i, j) for i in range(len(both)) for j in range(i + 1, len(both))]
    turned = [(i, j) for i, j in pairs if list(likeness.turned_among([both[i]], [both[j]]))]
    assert list(likeness.turned_among(both)) == turned == [(n, n + 6) for n in range(6)]
    assert list(likeness.turned_among(both[6:12], both[:6])) == [(n, n) for n in range(6)]
    assert not any({15, 16} & set(pair) for pair in same + mirrored), "a plain picture tells nothing"


def test_the_fit_takes_off_gain_and_offset_and_nothing_else() -> None:
    """Against a least-squares fit by numpy's own solver."""
    chance = np.random.default_rng(3)
    one = chance.integers(40, 200, GRID * GRID)
    for noise in (0.0, 1.0, 1.5, 1.7, 3.0):
        other = np.clip(np.rint(0.9 * one + 7 + chance.normal(0, noise, one.size)), 0, 255).astype(np.uint8)
        columns = np.stack([other, np.ones(one.size)], axis=1)
        left = one - columns @ np.linalg.lstsq(columns, one, rcond=None)[0]
        wanted = bool(np.sqrt((left**2).mean()) <= likeness.RESIDUE and np.abs(left).max() <= likeness.WORST)
        assert likeness.same_pictures([(bytes(one.astype(np.uint8)), bytes(other))]) == [wanted]


def test_a_picture_is_not_told_by_its_white_and_black_cells() -> None:
    cells = bytes((n * 37) % 200 + 20 for n in range(GRID * GRID))
    clipped = bytes(255 if value > 180 else value for value in cells)
    burnt = bytes(255 if value > 90 else value for value in cells)
    assert likeness.same_pictures([(cells, cells), (cells, clipped), (cells, burnt), (cells, b"")]) == [
        True,
        True,
        False,
        False,
    ]
    assert flipped(flipped(cells)) == cells


def test_gradients_of_many_are_those_of_each() -> None:
    chance = random.Random(5)
    shown = [bytes(chance.randrange(256) for _ in range(GRID * GRID)) for _ in range(20)]
    edges = [round(n * GRID / 9) for n in range(10)]

    def mean(cells: bytes, top: int, bottom: int, left: int, right: int) -> int:
        under = [cells[GRID * y + x] for y in range(top, bottom) for x in range(left, right)]
        return round(sum(under) / len(under))

    wanted = [
        gradients(bytes(mean(c, *rows, *columns) for rows in pairwise(edges) for columns in pairwise(edges)))
        for c in shown
    ]
    got = cutouts._gradients(cutouts._miniatures([b64encode(c).decode() for c in shown]))
    assert [bytes(row) for row in got] == wanted


def test_cutouts_of_many_are_those_of_each_and_of_the_right_size() -> None:
    wholes = [drawn(title, (1200, 900)) for title in ("Bonnet", "Sill", "Wheel")]
    boxes = [(0.05, 0.1, 0.8), (0.2, 0.15, 0.7), (0.1, 0.2, 0.6)]
    parts = [
        whole.crop(tuple(round(v) for v in (x * 1200, y * 900, (x + side) * 1200, (y + side) * 900)))
        for whole, (x, y, side) in zip(wholes, boxes, strict=True)
    ]
    pairs = [(facts(part), facts(whole)) for part in parts for whole in wholes]
    sides = cutouts.cuts(pairs)
    assert sides == [cutouts.cut_from(*pair) for pair in pairs]
    for at, side in enumerate(sides):
        part, whole = divmod(at, 3)
        assert side is None if part != whole else side == pytest.approx(boxes[part][2], abs=0.05)


def test_windows_of_no_use_find_no_cutout() -> None:
    whole = facts(drawn("Bonnet", (1200, 900)))
    part = facts(drawn("Bonnet", (1200, 900)).crop((60, 90, 1020, 810)))
    assert whole.looks is not None
    assert cutouts.cut_from(part, whole) is not None
    assert cutouts.cut_from(part, replace(whole, looks=replace(whole.looks, cuts=""))) is None
    assert cutouts.cut_from(part, replace(whole, height=400)) is None
