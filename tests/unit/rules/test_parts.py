"""Rules of part lines."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from asking import codes_of, raised_by
from factory import approval, document, job, part, photo, step

from buildbook.records.job import Job
from buildbook.records.words import Action, Decision, Source, Stage
from buildbook.rules import parts, parts_evidence

AFTER = photo("steps/010-polish/after/one.jpg", stage=Stage.AFTER)
RULES = (*parts.PARTS, *parts_evidence.PARTS_EVIDENCE)


def with_part(step_changes: dict[str, Any] | None = None, **changes: Any) -> Job:
    """A job with one part line, the replaced badge of the factory, changed."""
    return job(
        parts=(part(**changes),), steps=(step(**(step_changes or {})),), photos=(AFTER,),
        approvals=(
            approval(),
            approval(id="A2", decision=Decision.DECLINED),
            approval(id="A3", on=date(2026, 3, 5)),
            approval(id="A4", on=date(2026, 3, 4)),
            approval(id="A5", on=None),
        ),
        files=(document(), document("other.pdf"), document(AFTER.path)),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"zone": ""}, ["parts.no-zone"]),
        ({"zone": "bonet"}, ["parts.zone-unknown"]),
        ({"zone": "roof"}, ["parts.outside-step-zones"]),
        ({"step": ""}, ["parts.no-step"]),
        ({"step": "999"}, ["parts.step-unknown"]),
        ({"part_number": ""}, ["parts.no-part-number"]),
        ({"part_number": "", "bad": frozenset({"part_number"})}, []),
        ({"part_number": "", "source": Source.WORKSHOP_MADE, "receipt": ""}, []),
        ({"part_number": "", "source": Source.USED}, []),
        ({"source": None}, ["parts.no-source"]),
        ({"stated_by": ""}, ["parts.not-stated-by"]),
        ({"source": Source.USED, "supplier": ""}, ["parts.used-no-donor"]),
        ({"quantity": None}, ["parts.no-quantity"]),
        ({"quantity": Decimal(0)}, ["parts.quantity-not-positive"]),
        ({"quantity": Decimal("0.5")}, []),
        ({"old_part": ""}, ["parts.old-part-unstated"]),
        ({"why": ""}, ["parts.replaced-no-reason"]),
        ({"approval": ""}, []),  # its step's approval counts
        ({"approval": "A9"}, ["parts.approval-unknown"]),
        ({"approval": "A2"}, ["parts.approval-declined"]),
        # Fitted on 4 March: approved that day is in time, the day after is late.
        ({"approval": "A4"}, []),
        ({"approval": "A3"}, ["parts.approval-late"]),
        ({"approval": "A3", "fitted_on": None}, []),
        ({"approval": "A5"}, []),
        ({"receipt": ""}, ["parts.no-receipt"]),
        ({"receipt": "", "source": Source.ORIGINAL}, []),
        ({"receipt": "documents/recept.pdf"}, ["parts.receipt-missing"]),
        ({"receipt": "other.pdf"}, ["parts.receipt-missing"]),
        ({"photos": ()}, []),  # the photo after the work shows its zone
        ({"photos": ("after/one.jpg",)}, []),  # relative to its step's folder
        ({"photos": ("after/two.jpg",)}, ["parts.photo-missing"]),
        ({"photos": (), "zone": ""}, ["parts.no-zone", "parts.no-photo"]),
    ],
)
def test_replaced(change: dict[str, Any], expected: list[str]) -> None:
    assert codes_of(RULES, with_part(**change)) == expected


BARE = {
    "part_number": "", "source": None, "stated_by": "", "supplier": "", "receipt": "", "quantity": None, "old_part": "",
    "approval": "", "photos": (), "fitted_on": None,
}  # fmt: skip


def test_kept_parts_are_asked_for_their_reason_only() -> None:
    for action in (Action.PRESERVE, Action.CONSERVE):
        assert not codes_of(RULES, with_part(action=action, **BARE, step="", zone="", why="sound"))
        kept = with_part(action=action, **BARE, step="", zone="", why="")
        assert codes_of(RULES, kept) == ["parts.kept-no-reason"]
    # The client may have declined the replacement of just this part.
    assert not codes_of(RULES, with_part(action=Action.PRESERVE, **BARE | {"approval": "A2"}, why="declined"))


def test_refurbished_parts_have_a_step() -> None:
    for action in (Action.REPAIR, Action.REFURBISH):
        assert not codes_of(RULES, with_part(action=action, **BARE))
        assert codes_of(RULES, with_part(action=action, **BARE, step="")) == ["parts.no-step"]


def test_nobody_approved() -> None:
    assert codes_of(RULES, with_part({"approvals": ()}, approval="")) == ["parts.no-approval"]
    assert not codes_of(RULES, with_part({"approvals": (), "bad": frozenset({"approvals"})}, approval=""))


def test_a_late_approval_of_the_whole_step_is_said_once_there() -> None:
    # The rules of time say it of the step, which started on 3 March.
    assert not codes_of(RULES, with_part({"approvals": ("A3",)}, approval="A3"))
    # With an earlier approval the step itself is fine: then it is the part's.
    assert codes_of(RULES, with_part({"approvals": ("A1", "A3")}, approval="A3")) == ["parts.approval-late"]


def test_a_photo_before_the_work_does_not_show_the_part_fitted() -> None:
    it = job(parts=(part(photos=()),), steps=(step(),), photos=(photo(),), files=(document(),))
    assert codes_of(parts_evidence.no_photo, it) == ["parts.no-photo"]


def test_the_sentence_names_line_and_place() -> None:
    (raised,) = raised_by(parts.no_part_number, with_part(part_number=""))
    assert raised.says == "Replaced part P1 (Badge) has no part number."
    assert str(raised.place) == "parts.csv, row 2, column part_number"
