"""Sentences that remember how they were made are texts like any other, and stay so when put together."""

import pickle
from decimal import Decimal

import pytest

from buildbook.records.said import Figure, Row, Said, figure, reworded, row, said, starting, tallied, word

SENTENCE = said("Part line {part} costs {price}.", part="P1 {x}", price=Decimal("12.50"))


def test_a_sentence_is_its_english_text():
    assert SENTENCE == "Part line P1 {x} costs 12.50."
    assert isinstance(SENTENCE, str)
    assert {SENTENCE: 1}["Part line P1 {x} costs 12.50."] == 1
    assert SENTENCE.template == "Part line {part} costs {price}."
    assert SENTENCE.values["price"] == Decimal("12.50")


def test_user_text_with_braces_is_never_read_as_a_template():
    assert said("{what}", what="{0} {x!r} {{") == "{0} {x!r} {{"
    assert word("{x}") == "{x}"
    assert word("pass").template == "pass"


@pytest.mark.parametrize(("n", "text"), [(1, "1 photo of S010"), (2, "2 photos of S010"), (0, "0 photos of S010")])
def test_what_counts_has_two_forms(n, text):
    made = tallied("{n} photo of {step}", "{n} photos of {step}", n, step="S010")
    assert made == text
    assert (made.template, made.many, made.n) == ("{n} photo of {step}", "{n} photos of {step}", n)


def test_put_together_it_is_still_known_what_it_was_made_of():
    both, before = SENTENCE + " More.", "First. " + SENTENCE
    assert both == "Part line P1 {x} costs 12.50. More."
    assert isinstance(both, Row)
    assert both.parts[0] is SENTENCE
    assert before == "First. Part line P1 {x} costs 12.50."
    assert isinstance(before, Row)
    grown = SENTENCE
    grown += said(" And {n}.", n=2)
    assert isinstance(grown, Row)
    assert row(["a", SENTENCE, 3]) == "a, Part line P1 {x} costs 12.50., 3"


def test_a_figure_remembers_its_number():
    made = figure(Decimal("1234.56"), ",.1f")
    assert made == "1,234.6"
    assert isinstance(made, Figure)
    assert made.value == Decimal("1234.56")


@pytest.mark.parametrize("made", [SENTENCE, SENTENCE + "!", figure(2.5, ".0f"), tallied("{n} a", "{n} as", 2)])
def test_it_survives_the_way_to_another_process(made):
    again = pickle.loads(pickle.dumps(made))
    assert again == made
    assert type(again) is type(made)
    assert all(getattr(again, name) == getattr(made, name) for name in type(made).__slots__)


def test_a_template_of_the_program_without_its_value_is_a_fault():
    with pytest.raises(KeyError):
        Said("{gone}", {})


def test_reworded_its_places_are_changed_and_its_templates_are_not():
    inner = starting(row(("rome", SENTENCE)))
    made = reworded(said("Whoever lives in rome says: {what}", what=inner), lambda text: text.replace("P1", "P2"))
    assert made == "Whoever lives in rome says: Rome, Part line P2 {x} costs 12.50."
    assert made.template == "Whoever lives in rome says: {what}"
    assert reworded(made, str.upper) == made.upper()  # the template too would have to change: plain text
    assert type(reworded(made, str.upper)) is str
    assert reworded("plain", str.upper) == "PLAIN"
