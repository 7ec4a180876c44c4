"""Figures and dates as printed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from buildbook.dossier.formats import Formats, locale_of, short_hash
from buildbook.dossier.model import Ref, Run
from buildbook.dossier.wording import lines, phrase, plural, together

NB = "\u00a0"


def test_days_are_written_out():
    assert Formats().day(date(2026, 3, 2)) == "2 March 2026"
    assert Formats().day(None) == "not recorded"


def test_american_english_keeps_its_own_order():
    assert Formats("en-US").day(date(2026, 3, 2)) == "March 2, 2026"


@pytest.mark.parametrize("language", ["", "en", "fr", "xx-not-a-language", "zz"])
def test_a_language_without_words_falls_back_to_british_english(language):
    assert str(locale_of(language)) == "en_GB"


def test_instants_are_printed_on_the_clock_of_the_job():
    formats = Formats(timezone="Europe/Lisbon")
    assert formats.when(datetime(2026, 7, 1, 9, 5, tzinfo=UTC)) == "1 July 2026, 10:05"
    assert formats.when(datetime(2026, 7, 1, 9, 5)) == "1 July 2026, 09:05"
    assert Formats(timezone="No/Where").when(datetime(2026, 7, 1, 9, 5, tzinfo=UTC)) == "1 July 2026, 09:05"


@pytest.mark.parametrize(
    ("value", "printed"),
    [("84312", "84,312"), ("26.40", "26.40"), ("0.005", "0.005"), ("-3", "-3"), ("1E+3", "1,000"), ("NaN", "NaN")],
)
def test_numbers_keep_every_digit(value, printed):
    assert Formats().number(Decimal(value)) == printed


@pytest.mark.parametrize(
    ("value", "currency", "printed"),
    [
        # Minor units after ISO 4217: EUR 2, JPY 0, BHD 3.
        ("1234.5", "EUR", f"EUR{NB}1,234.50"),
        ("1234", "JPY", f"JPY{NB}1,234"),
        ("1.5", "BHD", f"BHD{NB}1.500"),
        ("0.125", "EUR", f"EUR{NB}0.125"),
        ("3", "", "3.00"),
    ],
)
def test_money_has_the_decimals_of_its_currency_or_more(value, currency, printed):
    assert Formats().money(Decimal(value), currency) == printed


@pytest.mark.parametrize(
    ("octets", "printed"), [(999, f"999{NB}B"), (1500, f"1.5{NB}kB"), (184_200, f"184{NB}kB"), (3_210_000, f"3.2{NB}MB"),
                            (5 * 10**12, f"5,000{NB}GB")]
)  # fmt: skip
def test_sizes(octets, printed):
    assert Formats().size(octets) == printed


def test_spans_and_hashes():
    formats = Formats()
    assert formats.span(date(2026, 3, 2), date(2026, 3, 2)) == "2 March 2026"
    assert formats.span(date(2026, 3, 2), None) == "2 March 2026 – not recorded"
    assert formats.span(None, None) == "dates not recorded"
    assert short_hash("0123456789abcdef" * 4) == "0123 4567 89ab cdef"


def test_phrases_take_runs_and_never_read_user_text_as_template():
    made = phrase("in {step}, {why}", step=Ref("S010", "step-1"), why="{step} <b>")
    assert [r.text for r in made] == ["in ", "S010", ", ", "{step} <b>"]
    assert made[1].target == "step-1"
    assert plural("{n} part", "{n} parts", 1) == "1 part"
    assert plural("{n} part", "{n} parts", 0) == "0 parts"
    assert together([(), (Run("a"),), (Run("b"),)]) == (Run("a"), Run(", "), Run("b"))
    assert lines("a", (), "b") == (Run("a"), Run("\n"), Run("b"))
