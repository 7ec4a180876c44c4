"""The rules of the trade and of the record: one ordered list, one function that holds a job against it.

A rule is one pure function with its text (`rule.py`); areas are tuples of rules in modules of their own. What the
loader raises is described here too, as rules without a function, so that every code has its text.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from buildbook.errors import BuildbookError
from buildbook.records.finding import Finding, Gate, Raised
from buildbook.records.job import Job
from buildbook.rules.approvals import APPROVALS
from buildbook.rules.files import FILES
from buildbook.rules.identity import IDENTITY
from buildbook.rules.issued import ISSUED
from buildbook.rules.loading import LOADING
from buildbook.rules.money import MONEY
from buildbook.rules.observations import OBSERVATIONS
from buildbook.rules.odometer import ODOMETER
from buildbook.rules.parts import PARTS
from buildbook.rules.parts_evidence import PARTS_EVIDENCE
from buildbook.rules.people import PEOPLE
from buildbook.rules.photos import PHOTOS
from buildbook.rules.readings import READINGS
from buildbook.rules.register import REGISTER
from buildbook.rules.rule import Rule
from buildbook.rules.steps import STEPS
from buildbook.rules.text import TEXT
from buildbook.rules.time import TIME

# Areas in the order of the reference page, each with its heading.
AREAS: Final[tuple[tuple[str, tuple[Rule, ...]], ...]] = (
    ("Reading the folder", LOADING),
    ("Files", FILES),
    ("Accession register", REGISTER),
    ("Earlier issues", ISSUED),
    ("Text", TEXT),
    ("Identity", IDENTITY),
    ("Odometer", ODOMETER),
    ("Observations", OBSERVATIONS),
    ("Approvals", APPROVALS),
    ("Steps", STEPS),
    ("People and hazards", PEOPLE),
    ("Time", TIME),
    ("Photos", PHOTOS),
    ("Part lines", PARTS),
    ("Part lines: papers and photos", PARTS_EVIDENCE),
    ("Money", MONEY),
    ("Readings", READINGS),
)

RULES: Final[tuple[Rule, ...]] = tuple(rule for _, area in AREAS for rule in area)
RULE_OF: Final[dict[str, Rule]] = {rule.code: rule for rule in RULES}


def check_job(job: Job, raised: Iterable[Raised], gate: Gate) -> tuple[Finding, ...]:
    """Hold a job against every rule that the gate asks, and grade what was raised.

    job, raised: from the loader. Returns each finding once, sorted by grade, file, row and code.
    Raises BuildbookError (a fault of ours) where a code has no rule, or a rule raises another rule's code.
    """
    found: dict[Finding, None] = {}
    for item in raised:
        if item.code not in RULE_OF:
            raise BuildbookError(f"The loader raised {item.code}, which no rule describes.", "Report this fault.")
        _grade(RULE_OF[item.code], item, gate, found)
    for rule in RULES:
        if rule.check is None or rule.grade_at(gate) is None:
            continue
        for item in rule.check(job):
            if item.code != rule.code:
                raise BuildbookError(f"Rule {rule.code} raised {item.code}.", "Report this fault.")
            _grade(rule, item, gate, found)
    return tuple(sorted(found, key=_sort_key))


def _grade(rule: Rule, item: Raised, gate: Gate, found: dict[Finding, None]) -> None:
    finding = rule.grade(item, gate)
    if finding is not None:
        found[finding] = None


def _sort_key(finding: Finding) -> tuple[int, str, int, str, str, str, str]:
    place = finding.place
    return (
        finding.grade.rank, place.file, place.row or 0, finding.code,
        place.column or "", place.key or "", finding.says,
    )  # fmt: skip
