"""Findings as a person reads them."""

from __future__ import annotations

from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.place import Place
from buildbook.report.text import findings_text


def _finding(code: str, file: str, fix: str) -> Finding:
    return Finding(code=code, grade=Grade.QUERY, place=Place(file), says=f"Something about {file}.", fix=fix, source="")


def test_a_remedy_that_several_in_a_row_share_stands_once_behind_the_last() -> None:
    found = [_finding("a.b", f"{n}.jpg", "Move it.") for n in range(10)] + [_finding("c.d", "x.csv", "Correct it.")]
    said = findings_text("J-1", Gate.INTAKE, found).splitlines()
    assert sum("What to do: Move it." in line for line in said) == 1
    assert all(any(f"{n}.jpg  [a.b]" in line for line in said) for n in range(10))
    assert said.index("    What to do: Move it.") == said.index("    Something about 9.jpg.") + 1
    assert said[-1] == "    What to do: Correct it."


def test_unlike_remedies_of_one_code_each_stand() -> None:
    found = [_finding("a.b", "1.csv", "Do this."), _finding("a.b", "2.csv", "Do that.")]
    said = findings_text("J-1", Gate.INTAKE, found)
    assert "Do this." in said
    assert "Do that." in said
