"""The list of rules as a whole, and how a job is held against it."""

import ast
import re
from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from factory import job, observation, part, step

from buildbook import rules
from buildbook.errors import BuildbookError, ExitCode
from buildbook.records.finding import Gate, Grade, Raised
from buildbook.records.job import Client, Job, Odometer, Vehicle, Workshop
from buildbook.records.place import Place
from buildbook.rules import RULES, check_job
from buildbook.rules.rule import Rule

ORDER = [Grade.STOP, Grade.QUERY, Grade.NOTE]


def test_codes_are_words_and_stand_once() -> None:
    codes = [rule.code for rule in RULES]
    assert [code for code, count in Counter(codes).items() if count > 1] == []
    for code in codes:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*\.[a-z0-9]+(-[a-z0-9]+)*", code), code


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_each_rule_has_its_whole_text(rule: Rule) -> None:
    for text, end in ((rule.asks, "?"), (rule.why, "."), (rule.fix, ".")):
        assert text[0] == text[0].upper()
        assert text.endswith(end)
        assert "\n" not in text
        assert "  " not in text
    assert rule.source
    words = f"{rule.asks} {rule.why} {rule.fix}".lower()
    assert not re.search(r"\bsafe\b", words)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_a_rule_is_asked_at_handover_and_never_gets_milder(rule: Rule) -> None:
    graded = [rule.grade_at(gate) for gate in Gate]
    assert graded[-1] is not None
    asked = [grade for grade in graded if grade is not None]
    assert asked == graded[len(graded) - len(asked) :]
    strength = [ORDER.index(grade) for grade in asked]
    assert strength == sorted(strength, reverse=True)


def test_every_rule_written_down_is_in_the_list() -> None:
    """No module holds a rule, or raises a code, that the list does not know."""
    written: set[str] = set()
    for path in Path(rules.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("rule", "Raised"):
                (first, *_) = node.args or (None,)
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    written.add(first.value)
    assert written
    assert written <= {rule.code for rule in RULES}


def empty() -> Job:
    """A job of which nothing is known."""
    place = Place("job.toml")
    return Job(
        place=place, as_of=date(2026, 3, 20), workshop=Workshop(place=place), client=Client(place=place),
        vehicle=Vehicle(place=place), odometer=Odometer(place=place),
    )  # fmt: skip


@pytest.mark.parametrize("gate", list(Gate))
def test_an_empty_record_gives_findings_and_no_fault(gate: Gate) -> None:
    found = check_job(empty(), (), gate)
    assert any(f.code == "identity.no-chassis-number" for f in found)


def test_bare_rows_give_findings_and_no_fault() -> None:
    at = Place("parts.csv", row=2)
    bare = replace(
        empty(),
        parts=(replace(part(), place=at, zone="", part_number="", quantity=None, source=None, step="", fitted_on=None,
                       receipt="", total=None, currency="", approval="", photos=(), why="", old_part="", stated_by=""),),
        observations=(observation(),),
        steps=(replace(step(), zones=(), operation=None, started=None, finished=None, done_by=(), approvals=()),),
    )  # fmt: skip
    assert {f.code for f in check_job(bare, (), Gate.HANDOVER)} >= {"parts.no-receipt", "observation.no-outcome"}


def test_the_gate_decides_what_is_asked_and_how_strictly() -> None:
    it = job(observations=(observation(),))
    assert "observation.no-outcome" not in {f.code for f in check_job(it, (), Gate.INTAKE)}
    (at_end,) = [f for f in check_job(it, (), Gate.HANDOVER) if f.code == "observation.no-outcome"]
    assert at_end.grade is Grade.STOP
    number = {gate: f.grade for gate in Gate for f in check_job(it, (), gate) if f.code == "identity.no-chassis-number"}
    assert number == {Gate.INTAKE: Grade.QUERY, Gate.PROGRESS: Grade.QUERY, Gate.HANDOVER: Grade.STOP}


def test_findings_are_sorted_and_stand_once() -> None:
    it = job(observations=(observation(id="O2"), observation(id="O1", place=Place("condition.csv", row=3))))
    found = check_job(it, (), Gate.HANDOVER)
    keys = [(ORDER.index(f.grade), f.place.file, f.place.row or 0, f.code) for f in found]
    assert keys == sorted(keys)
    assert len(set(found)) == len(found)
    code = next(rule.code for rule in RULES if rule.check is None and rule.handover)
    twice = Raised(code, Place("x.csv", row=4), "Said once.")
    assert sum(f.code == code for f in check_job(it, (twice, twice), Gate.HANDOVER)) == 1


def test_a_code_without_a_rule_is_a_fault_of_ours() -> None:
    with pytest.raises(BuildbookError, match="table\\.unheard-of") as fault:
        check_job(job(), (Raised("table.unheard-of", Place("x.csv"), "."),), Gate.INTAKE)
    assert fault.value.exit_code is ExitCode.OUR_FAULT


def test_a_rule_that_raises_the_code_of_another_is_a_fault_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = replace(RULES[-1], check=lambda _: [Raised("parts.no-source", Place(""), ".")])
    monkeypatch.setattr(rules, "RULES", (wrong,))
    with pytest.raises(BuildbookError, match=re.escape(wrong.code)):
        check_job(job(), (), Gate.HANDOVER)
