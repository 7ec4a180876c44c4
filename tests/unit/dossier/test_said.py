"""Findings in the language of the dossier: sentence and remedy looked up, numbers with its marks, user text as written."""

import pickle
from datetime import date, datetime
from decimal import Decimal

import factory as f
import pytest

from buildbook.dossier.language import speaking
from buildbook.dossier.said import in_language
from buildbook.dossier.wording import _
from buildbook.records.said import (
    amount,
    day,
    either,
    figure,
    give_or_take,
    row,
    said,
    sentences,
    some_of,
    starting,
    tallied,
    within,
    word,
)
from buildbook.records.words import ReadingStage, Stage
from buildbook.rules import RULE_OF
from buildbook.rules.clocks import Body
from buildbook.rules.evidence import listed
from buildbook.rules.moments import Span
from buildbook.trade.decision import Word
from buildbook.trade.faults import TradeError
from buildbook.trade.kinds import kind, make_kind
from buildbook.trade.units import convert

LONG = said("{n} characters; expected at most {allowed}.", n=5000, allowed=Decimal("4000.5"))


def test_english_is_what_the_check_said():
    assert in_language(LONG) == str(LONG) == "5000 characters; expected at most 4000.5."
    assert type(in_language(LONG)) is str


def test_a_sentence_is_said_in_the_language_spoken():
    with speaking("de"):
        assert in_language(LONG) == "5000 Zeichen; erwartet höchstens 4000,5."
        assert in_language(row([LONG, "X{0}"])) == "5000 Zeichen; erwartet höchstens 4000,5., X{0}"
        assert in_language("as written {x}") == "as written {x}"
    with speaking("ja"):
        assert in_language(row(["a", "b"])) == "a、b"


def test_figures_take_the_marks_of_the_language():
    """CLDR: a decimal comma and a dot between thousands in German, an apostrophe in Swiss German."""
    big = figure(Decimal("12345.678"), ",.1f")
    for tag, text in (("en", "12,345.7"), ("de", "12.345,7"), ("de-CH", "12’345.7"), ("ja", "12,345.7")):
        with speaking(tag):
            assert in_language(big) == text
            assert in_language(said("{n}", n=big)) == text


def test_what_is_not_in_the_catalogue_stays_english():
    with speaking("de"):
        assert in_language(tallied("{n} zzz", "{n} zzzs", 2)) == "2 zzzs"


def test_a_finding_and_its_remedy_are_said_in_german():
    (found,) = RULE_OF["text.language-unknown"].check(f.job(language="tlh"))
    with speaking("de"):
        assert in_language(found.says).startswith("Für die Sprache „tlh“ gibt es keine Texte")
        assert _(RULE_OF["text.language-unknown"].fix).startswith("Unter language in job.toml")


PIECES = (
    (word(Stage.AFTER), "after", "nachher"),
    (word(ReadingStage.AFTER), "after", "nach der Arbeit"),
    (word(Word.FAIL), "fail", "nicht bestanden"),
    (starting(word(Word.FAIL)), "Fail", "Nicht bestanden"),
    (within("Tyre tread depth"), "tyre tread depth", "Profiltiefe der Reifen"),
    (amount(Decimal("1.6"), "mm"), "1.6 mm", "1,6 mm"),
    (amount(Decimal("1.6"), ""), "1.6", "1,6"),
    (give_or_take(figure(Decimal("69.04"), ".1f"), figure(Decimal("1.2"), ".1f")), "69.0 ± 1.2", "69,0 ± 1,2"),
    (give_or_take(figure(Decimal(69)), ""), "69", "69"),
    (day(date(2026, 3, 5)), "2026-03-05", "5. März 2026"),
    (day(datetime(2026, 3, 5, 9, 1)), "2026-03-05 09:01", "5. März 2026, 09:01"),
)


@pytest.mark.parametrize(("piece", "english", "german"), PIECES)
def test_what_stands_in_the_places(piece, english, german):
    assert str(piece) == english
    back = pickle.loads(pickle.dumps(piece))
    with speaking("de"):
        assert in_language(piece) == in_language(back) == in_language(said("{piece}", piece=piece)) == german


def test_lists_and_sentences_in_english():
    assert str(listed("abc")) == "a, b and c"
    assert str(either("abc")) == "a or b or c"
    assert str(listed("a")) == str(either("a")) == "a"
    assert str(some_of("abcde")) == "a, b, c and 2 more"
    assert str(some_of("abc")) == "a, b, c"
    assert str(sentences("", said("One."), "", said("Two."))) == "One. Two."
    assert sentences("", "") == ""


def test_a_refusal_can_be_said_whole_and_a_kind_of_the_job_keeps_its_title():
    with pytest.raises(TradeError) as refused:
        convert(Decimal(1), "mm", "N·m")
    whole = refused.value.whole
    assert str(whole) == str(refused.value)
    assert whole.values["before"].template == "{unit} is a unit of {dimension}, but {asked} is asked for."
    own = make_kind({"name": "wax", "title": "Tyre Tread Depth", "unit": "µm", "instruments": ["rule"]})
    with speaking("de"):
        assert in_language(own.within) == "tyre tread depth"
        assert in_language(kind("tyre_tread").within) == "Profiltiefe der Reifen"


def test_a_span_and_a_camera_are_said_where_they_stand_for_themselves():
    """They are no texts, but what they print as is one that can be said."""
    span, body = Span(date(2026, 3, 2), date(2026, 3, 5)), Body("Lumet P1", "77")
    told = said("{day}: {camera}", day=span, camera=body)
    assert told == "2026-03-02 to 2026-03-05: Lumet P1, serial 77"
    with speaking("de"):
        assert in_language(said("{day}", day=span)) == in_language(str(span))
        assert "2. März 2026" in in_language(told)
        assert "5. März 2026" in in_language(told)
        assert in_language(said("{day}", day=Span(span.first, span.first))) == "2. März 2026"


def test_thousands_of_a_whole_number_are_grouped_the_way_of_the_language():
    with speaking("de"):
        assert in_language(figure(20000, ",")) == "20.000"
        assert in_language(said("{n}", n=2026)) == "2026"
