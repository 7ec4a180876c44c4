"""Coverage of the fonts and what is refused by name."""

from __future__ import annotations

import unicodedata

import pytest
from tools import make_coverage

from buildbook.records import coverage, script


@pytest.fixture(scope="module")
def points() -> frozenset[int]:
    return make_coverage.code_points()


def test_the_table_is_what_the_fonts_hold(points: frozenset[int]) -> None:
    assert {p for p in range(0x110000) if script.covered(p)} == points
    assert " ".join(coverage.RANGES.split()) == make_coverage.encode(points)


@pytest.mark.parametrize(
    "text",
    [
        "Łukasz Żółć", "Σπύρος", "Юрій Ґалаґан", "Núñez", "Nu\u0301n\u0303ez", "日産 山田太郎 高橋 﨑 \U00020bb7野家",
        "王小明 龍䨻 〇", "김철수", unicodedata.normalize("NFD", "김철수"), "สมชาย ใจดี", "ＶＩＮ１２３\u3000／．．／",
        "3.4 ± 1.9 µm, 7 °C, 1½ in, €12 – “fine” … ≤ ≥ → ✓", " \t\xa0\u3000 ", "a\",\"b\r\n\"c\";d", "<b>never closed",
    ],
)  # fmt: skip
def test_printed(text: str) -> None:
    assert script.unprintable(text) == []


@pytest.mark.parametrize(
    ("text", "first", "word"),
    [
        ("محمد", "م", "Arabic"), ("שלום", "ש", "Hebrew"), ("नमस्ते", "न", "Devanagari"), ("👍", "👍", "emoji"),
        ("soft\u00adhyphen", "\u00ad", "invisible"), ("zero\u200bwidth", "\u200b", "invisible"), ("\ue000", "\ue000", ""),
        ("\U000e0067", "\U000e0067", "invisible"), ("漢\ufe00", "\ufe00", "invisible"), ("\u0378", "\u0378", ""),
        ("\u1112\u1161\u11ab\u11c3", "\u11c3", "Hangul"),
    ],
)  # fmt: skip
def test_refused(text: str, first: str, word: str) -> None:
    found = script.unprintable(text)
    assert found[0] == first
    assert script.script_of(first) == word
    assert not any(script.is_control(c) for c in found)


@pytest.mark.parametrize(
    "character", ["\x00", "\x1b", "\x7f", "\u202e", "\u2066", "\ufffe", "\U0010ffff", "\ufdd0", "\ud83d", "\u2028"]
)
def test_controls(character: str) -> None:
    assert script.is_control(character)
    assert script.unprintable(f"a{character}b") == [character]
    assert script.describe(character).startswith(f"U+{ord(character):04X} ")


def test_white_space_is_no_control() -> None:
    assert not any(script.is_control(c) for c in "\t\n\r \u3000\xa0")


def test_marks_on_one_letter() -> None:
    assert script.stacked_marks("Việt Nam ᾧ") == 0
    assert script.stacked_marks("e" + "\u0316\u0317\u0318\u0319\u031a") == 5
    assert script.stacked_marks("ที่นี่") == 2
