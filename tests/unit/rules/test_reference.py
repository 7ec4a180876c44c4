"""The reference page in docs/ is the rules' own text."""

from pathlib import Path

from buildbook.rules import RULES
from buildbook.rules.reference import grades_of, reference

PAGE = Path(__file__).parents[3] / "docs" / "rules.md"


def test_the_committed_page_is_up_to_date() -> None:
    assert PAGE.read_text("utf-8") == reference(), "run: python -m buildbook.rules.reference > docs/rules.md"


def test_grades_in_words() -> None:
    (rule,) = [rule for rule in RULES if rule.code == "observation.no-outcome"]
    assert grades_of(rule) == "intake – · progress – · handover stop"
