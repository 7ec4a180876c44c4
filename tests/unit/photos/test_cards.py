"""Marker cards in the survey: looked for where asked, kept, and found again without reading twice."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from jobs.card_pictures import card_image, shot
from photo_files import jpeg, put

from buildbook.photos import Library
from buildbook.photos.codes import card_codes
from buildbook.photos.facts import from_plain, to_plain
from buildbook.records.card import Card, code_of
from buildbook.records.photo import PhotoFacts
from buildbook.records.words import Stage

CARD = Card(job="J-1", step=10, stage=Stage.BEFORE, zone="bonnet", made=datetime(2026, 3, 2, tzinfo=UTC))


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    shot(folder / "inbox/card.jpg", card_image(CARD), datetime(2026, 3, 3, 9, 0), serial="00421", subsec="25")
    put(folder, "inbox/card.jpg", (folder / "inbox/card.jpg").read_bytes())
    put(folder, "inbox/work.jpg", jpeg())
    return folder


PATHS = ("inbox/card.jpg", "inbox/work.jpg")


def test_cards_are_looked_for_only_where_asked(root: Path, tmp_path: Path) -> None:
    library = Library(tmp_path / "cache", workers=1)
    found = library.survey(root, PATHS, cards={"inbox/card.jpg"})
    facts = found["inbox/card.jpg"].facts
    assert facts is not None
    assert facts.cards == (code_of(CARD),)
    assert facts.serial == "00421"
    assert facts.taken == datetime(2026, 3, 3, 9, 0, 0, 250_000)
    assert found["inbox/work.jpg"].facts.cards is None  # type: ignore[union-attr]


def test_what_was_looked_for_is_trusted_afterwards_and_what_was_not_is_looked_for(root: Path, tmp_path: Path) -> None:
    library = Library(tmp_path / "cache", workers=1)
    assert library.survey(root, PATHS)["inbox/card.jpg"].facts.cards is None  # type: ignore[union-attr]
    first = library.survey(root, PATHS, cards=set(PATHS))
    assert not any(one.trusted for one in first.values())
    assert [one.facts.cards for one in first.values()] == [(code_of(CARD),), ()]  # type: ignore[union-attr]
    again = Library(tmp_path / "cache", workers=1).survey(root, PATHS, cards=set(PATHS))
    assert all(one.trusted for one in again.values())
    assert [one.facts for one in again.values()] == [one.facts for one in first.values()]


def test_a_photo_that_was_moved_keeps_its_card(root: Path, tmp_path: Path) -> None:
    library = Library(tmp_path / "cache", workers=1)
    library.survey(root, PATHS, cards=set(PATHS))
    put(root, "documents/cards/card.jpg", (root / "inbox/card.jpg").read_bytes())
    for asked in ((), {"documents/cards/card.jpg"}):
        found = library.survey(root, ["documents/cards/card.jpg"], rehash=True, cards=asked)
        assert found["documents/cards/card.jpg"].facts.cards == (code_of(CARD),)  # type: ignore[union-attr]


def test_a_damaged_picture_is_not_looked_at_again_and_again(root: Path, tmp_path: Path) -> None:
    put(root, "inbox/cut.jpg", jpeg()[:700])
    library = Library(tmp_path / "cache", workers=1)
    library.survey(root, ["inbox/cut.jpg"], cards={"inbox/cut.jpg"})
    assert library.survey(root, ["inbox/cut.jpg"], cards={"inbox/cut.jpg"})["inbox/cut.jpg"].trusted


def test_other_peoples_codes_are_not_kept() -> None:
    assert card_codes(card_image("https://part.example/12345")) == ()
    assert card_codes(card_image("BBK1:" + "X" * 500)) == ()
    assert card_codes(card_image("BBK1:anything")) == ("BBK1:anything",)  # whether it counts is the job's to say


@pytest.mark.parametrize("cards", [None, (), ("BBK1:A", "BBK1:B")])
def test_facts_survive_their_plain_form(cards: tuple[str, ...] | None) -> None:
    facts = PhotoFacts(format="JPEG", serial="7", cards=cards)
    assert from_plain(to_plain(facts)) == facts
