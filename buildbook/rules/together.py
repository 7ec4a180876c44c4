"""Verdicts on several readings together, and the exceptions made of them.

A verdict that no single reading carries (what polishing took off, how cylinders compare) is excused as a single one is:
by a reason and an approval on one of its readings. It is then shown with who accepted it, and never disappears.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from buildbook.records.finding import Raised
from buildbook.records.job import Approval, Job, Reading
from buildbook.records.place import Place
from buildbook.records.said import day, said, sentences
from buildbook.records.words import Decision


@dataclass(frozen=True, slots=True)
class Outside:
    """Readings that together lie outside what is asked.

    code: of the rule. place: of the reading to look at first. says: a whole sentence. readings: those it rests on.
    """

    code: str
    place: Place
    says: str
    readings: tuple[Reading, ...]


Find = Callable[[Job], Iterable[Outside]]


def approval_of(job: Job, reading: Reading) -> Approval | None:
    """The client's yes to the exception made of a reading, None where it was not given."""
    approval = job.approvals_by_id.get(reading.approval) if reading.approval else None
    return None if approval is None or approval.decision is Decision.DECLINED else approval


def accepted(job: Job, found: Outside) -> tuple[Reading, Approval] | None:
    """The reading that carries reason and approval, and the approval; None while the verdict stands."""
    for reading in found.readings:
        approval = approval_of(job, reading) if reading.exception else None
        if approval is not None:
            return reading, approval
    return None


def standing(job: Job, found: Iterable[Outside]) -> Iterator[Raised]:
    """The verdicts nobody has accepted."""
    for each in found:
        if accepted(job, each) is not None:
            continue
        begun = any(r.exception for r in each.readings)
        more = said("An exception is written, but no approval of it is on record.") if begun else ""
        yield Raised(each.code, each.place, sentences(each.says, more))


def said_of_accepted(job: Job, found: Outside) -> str:
    """Who accepted it, when and why, as a sentence; "" while the verdict stands."""
    by = accepted(job, found)
    if by is None:
        return ""
    reading, approval = by
    reason, by_name = reading.exception.rstrip("."), approval.given_by
    if by_name and approval.on:
        more = said(
            "Accepted by {who} on {day} (approval {approval}): {reason}.",
            who=by_name, day=day(approval.on), approval=approval.id, reason=reason,
        )  # fmt: skip
    elif by_name:
        more = said(
            "Accepted by {who} (approval {approval}): {reason}.", who=by_name, approval=approval.id, reason=reason
        )
    elif approval.on:
        more = said(
            "Accepted on {day} (approval {approval}): {reason}.",
            day=day(approval.on), approval=approval.id, reason=reason,
        )  # fmt: skip
    else:
        more = said("Accepted (approval {approval}): {reason}.", approval=approval.id, reason=reason)
    return sentences(found.says, more)
