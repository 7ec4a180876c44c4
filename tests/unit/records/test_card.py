"""The code of a card: what is written is read again, and nothing else is."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.records.card import CODE_MAX, Card, CardRefused, code_of, read_code
from buildbook.records.words import Stage
from buildbook.records.zones import ZONES

# The 45 characters of QR's alphanumeric mode, ISO/IEC 18004:2015, table 5 (from memory: PUB-A)
ALPHANUMERIC = re.compile(r"[0-9A-Z $%*+\-./:]+")
MOMENTS = st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1)).map(lambda m: m.replace(microsecond=0, tzinfo=UTC))
NUMBERS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=20).filter(str.strip)
CARDS = st.builds(
    Card, job=NUMBERS, step=st.integers(0, 999_999), stage=st.sampled_from(list(Stage)),
    zone=st.sampled_from(["", *(z.name for z in ZONES)]), made=MOMENTS,
)  # fmt: skip


@given(CARDS | st.builds(Card, job=NUMBERS, made=MOMENTS))
def test_a_card_reads_back_and_needs_only_the_small_alphabet(card: Card) -> None:
    code = code_of(card)
    assert ALPHANUMERIC.fullmatch(code)
    assert read_code(code, card.job) == card
    assert len(code) <= CODE_MAX


@given(CARDS, NUMBERS)
def test_a_card_of_another_job_is_refused(card: Card, other: str) -> None:
    if other != card.job:
        with pytest.raises(CardRefused):
            read_code(code_of(card), other)


def test_a_number_written_in_other_capitals_is_another_number() -> None:
    card = Card(job="a-1", step=1, stage=Stage.AFTER, made=datetime(2026, 1, 1, tzinfo=UTC))
    with pytest.raises(CardRefused, match="does not add up"):
        read_code(code_of(card), "A-1")


@given(CARDS, st.data())
def test_one_character_misread_is_refused(card: Card, data: st.DataObject) -> None:
    code = code_of(card)
    at = data.draw(st.integers(0, len(code) - 1))
    letter = data.draw(st.sampled_from("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:").filter(lambda c: c != code[at]))
    with pytest.raises(CardRefused):
        read_code(code[:at] + letter + code[at + 1 :], card.job)


@pytest.mark.parametrize("text", ["", "BBK1", "BBK1:::::", "BBK2:J:010:AFTER::20260101T000000Z:AAAAAAAA", ":" * 6])
def test_other_codes_are_no_cards(text: str) -> None:
    with pytest.raises(CardRefused):
        read_code(text, "J")


def test_a_job_without_a_number_has_no_card() -> None:
    with pytest.raises(ValueError, match="job number"):
        code_of(Card(job=" ", made=datetime(2026, 1, 1, tzinfo=UTC)))
