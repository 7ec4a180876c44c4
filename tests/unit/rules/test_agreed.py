"""Rules of approvals and steps."""

from typing import Any

import pytest
from asking import codes_of
from factory import approval, document, job, key, observation, part, reading, step

from buildbook.records.job import OpenItem
from buildbook.records.words import Action, Decision, Operation, Outcome
from buildbook.rules import approvals, steps


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"document": ""}, ["approvals.no-document"]),
        ({"document": "documents/lettre.pdf"}, ["approvals.document-missing"]),
        ({"means": ""}, ["approvals.no-means"]),
        ({"given_by": ""}, ["approvals.no-giver"]),
    ],
)
def test_one_approval(change: dict[str, Any], expected: list[str]) -> None:
    given = approval(**{"document": "documents/letter.pdf", **change})
    it = job(approvals=(given,), steps=(step(),), files=(document("documents/letter.pdf"),))
    assert codes_of(approvals.APPROVALS, it) == expected


@pytest.mark.parametrize(
    "use",
    [
        {"steps": (step(),)},
        {"parts": (part(),)},
        {"observations": (observation(outcome_refs=("A1",)),)},
        {"readings": (reading(approval="A1"),)},
        {"open_items": (OpenItem(place=key("open_items.1"), what="Bonnet", why="declined, A1"),)},
    ],
)
def test_an_approval_is_used_in_any_of_five_ways(use: dict[str, Any]) -> None:
    assert codes_of(approvals.unused, job()) == ["approvals.unused"]
    assert not codes_of(approvals.unused, job(**use))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"zones": ()}, ["steps.no-zone"]),
        ({"zones": ("bonet", "roof")}, ["steps.zone-unknown"]),
        ({"operation": None}, ["steps.no-operation"]),
        ({"approvals": ("A9",)}, ["steps.approval-unknown"]),
        ({"approvals": ("A1", "A2")}, ["steps.approval-declined"]),
        ({"approvals": ()}, ["steps.not-agreed"]),
        ({"approvals": (), "bad": frozenset({"approvals"})}, []),
        ({"approvals": (), "operation": Operation.INTAKE}, []),
        ({"approvals": (), "operation": Operation.TEST}, []),
        ({"work_done": ""}, ["steps.no-work-text"]),
        ({"outcome": ""}, ["steps.no-outcome"]),
        ({"work_done": "", "outcome": "", "finished": None}, ["steps.no-work-text", "steps.no-outcome"]),
    ],
)
def test_one_step(change: dict[str, Any], expected: list[str]) -> None:
    it = job(steps=(step(**change),), approvals=(approval(), approval(id="A2", decision=Decision.DECLINED)))
    assert codes_of(steps.STEPS, it) == expected


def test_a_step_under_way_is_not_asked_for_its_result() -> None:
    under_way = step(work_done="", outcome="", finished=None)
    assert not codes_of(steps.STEPS, job(steps=(under_way,), handover=None))


@pytest.mark.parametrize(
    ("others", "expected"),
    [
        ({}, ["steps.not-agreed"]),
        ({"observations": (observation(outcome=Outcome.CORRECTED, outcome_refs=("10",)),)}, ["steps.unapproved-work"]),
        ({"observations": (observation(outcome=Outcome.ACCEPTED, outcome_refs=("10",)),)}, ["steps.not-agreed"]),
        ({"parts": (part(action=Action.REFURBISH, approval=""),)}, ["steps.unapproved-work"]),
        ({"parts": (part(action=Action.REFURBISH),)}, []),
        # A replaced part that nobody approved is named itself.
        ({"parts": (part(approval=""),)}, []),
    ],
)
def test_what_ties_a_step_without_approval(others: dict[str, Any], expected: list[str]) -> None:
    assert codes_of(steps.STEPS, job(steps=(step(approvals=()),), **others)) == expected


def test_no_step_at_all() -> None:
    assert codes_of(steps.STEPS, job()) == ["steps.none"]


def test_zone_of_an_open_item() -> None:
    items = tuple(OpenItem(place=key("open_items.1"), what="Seal", zone=zone) for zone in ("", "bonnet", "lamp-rear"))
    assert codes_of(steps.open_item_zone, job(open_items=items)) == ["steps.open-item-zone"]
