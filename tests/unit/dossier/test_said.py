"""Findings in the language of the dossier: sentence and remedy looked up, numbers with its marks, user text as written."""

from decimal import Decimal

import factory as f

from buildbook.dossier.language import speaking
from buildbook.dossier.said import in_language
from buildbook.dossier.wording import _
from buildbook.records.said import figure, row, said, tallied
from buildbook.rules import RULE_OF

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
