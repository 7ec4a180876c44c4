"""What a rule is: a code, its text, its grade at each gate, and one pure function `(job) -> raised`."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from buildbook.records.finding import Finding, Gate, Grade, Raised
from buildbook.records.job import Job

Check = Callable[[Job], Iterable[Raised]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule of the trade or of the record.

    code: `area.what-is-wrong`, never used again once retired. asks: one question, whose answer should be yes.
    why: why it matters. fix: how to put it right. source: the standard, or "common practice, no source".
    intake, progress, handover: grade at that gate, None = not asked yet.
    check: None for what the loader itself raises. settled: nothing need be done about what it says.
    """

    code: str
    asks: str
    why: str
    fix: str
    source: str
    intake: Grade | None
    progress: Grade | None
    handover: Grade | None
    check: Check | None = None
    settled: bool = False

    def grade_at(self, gate: Gate) -> Grade | None:
        return {Gate.INTAKE: self.intake, Gate.PROGRESS: self.progress, Gate.HANDOVER: self.handover}[gate]

    def grade(self, raised: Raised, gate: Gate) -> Finding | None:
        """The finding at this gate, or None where the gate does not ask."""
        grade = self.grade_at(gate)
        if grade is None:
            return None
        return Finding(
            raised.code, grade, raised.place, raised.says, self.fix, self.source, raised.photos, self.settled
        )  # fmt: skip


def rule(
    code: str,
    *,
    asks: str,
    why: str,
    fix: str,
    source: str = "common practice, no source",
    intake: Grade | None,
    progress: Grade | None,
    handover: Grade | None,
    settled: bool = False,
) -> Callable[[Check], Rule]:
    """Decorator: turns a check function into a Rule. The function yields `Raised` with this very code."""

    def wrap(check: Check) -> Rule:
        return Rule(
            code=code, asks=asks, why=why, fix=fix, source=source,
            intake=intake, progress=progress, handover=handover, check=check, settled=settled,
        )  # fmt: skip

    return wrap
