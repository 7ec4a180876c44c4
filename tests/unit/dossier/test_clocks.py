"""The table of cameras and their clocks says what is stated, what was measured, and how far it may be out."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import factory

from buildbook.dossier.clocks import clocks_table
from buildbook.dossier.view import build_view
from buildbook.records.card import Card, code_of
from buildbook.records.job import Camera

TRUE = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)


def clock(number, seconds, **more):
    taken = (TRUE + timedelta(hours=1, seconds=seconds)).replace(tzinfo=None)
    facts = factory.picture(taken=taken, cards=(code_of(Card(job="J-1", made=TRUE)),), **more)
    return factory.photo(f"documents/cards/{number}.jpg", facts)


def rows(issue, **changes):
    table = clocks_table(build_view(factory.job(**changes), (), issue))
    return [] if table is None else [["".join(run.text for run in cell) for cell in row.cells] for row in table.rows]


def test_no_camera_described_and_no_card_no_table(issue):
    assert rows(issue, photos=(factory.photo(),)) == []


def test_an_estimate_is_said_to_be_one_with_its_spread(issue):
    photos = (clock(1, 40), clock(2, 43), clock(3, 50), factory.photo())
    ((who, says, zone, how),) = rows(issue, photos=photos)
    assert who == "Lumet P1\n4 photos"
    assert says == "43\u00a0s ahead\nestimated, the median"
    assert zone == "not recorded"
    assert how == "3 photos of clock cards: 43\u00a0s ahead; they differ by 10 s"


def test_a_stated_error_stands_first_and_the_measured_one_beside_it(issue):
    camera = Camera(place=factory.key("cameras.1"), model="lumet p1", ahead_s=-7, timezone="UTC", why="telephone")
    ((_, says, zone, how),) = rows(issue, photos=(clock(1, 40),), cameras=(camera,))
    assert says == "7\u00a0s behind\nas stated"
    assert zone == "UTC"
    assert how == "telephone\n1 photo of a clock card: 1\u00a0h 40\u00a0s ahead; no spread known"


def test_each_body_and_each_unused_entry_has_its_row(issue):
    unused = Camera(place=factory.key("cameras.1"), model="Ostra K4", serial="9", ahead_s=0)
    found = rows(issue, photos=(clock(1, 40, serial="1"), clock(2, -3600, serial="2")), cameras=(unused,))
    assert [row[0] for row in found] == [
        "Lumet P1\nserial 1\n1 photo", "Lumet P1\nserial 2\n1 photo", "Ostra K4\nserial 9\n0 photos",
    ]  # fmt: skip
    assert found[2][1] == "agrees with true time\nas stated"


def test_it_stands_in_the_index(job, issue):
    from buildbook.dossier import build_dossier

    card = clock(1, 5, serial="44")
    made = build_dossier(replace(job, number="J-1", photos=(*job.photos, card)), (), issue)
    index = next(section for section in made.sections if section.title.startswith("Index"))
    assert any(getattr(block, "caption", "") == "Cameras and their clocks" for block in index.blocks)
