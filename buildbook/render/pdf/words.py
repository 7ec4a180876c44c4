"""The fixed words a renderer adds of its own, in one place so that they can be translated."""

from __future__ import annotations

from datetime import date

CONTENTS = "Contents"
DRAFT = "DRAFT"
DRAFT_LINE = "DRAFT · not an issued record"
ISSUE = "Issue"
ISSUED_ON = "Issued on"
SEAL = "Seal"
PREVIOUS = "Seal of the issue before"
JOB = "Job"
BEFORE = "Before"
AFTER = "After"
NO_EVIDENCE = "no evidence on file"
STATED_BY = "stated by"
CAUTION = "Caution"
SOURCE = "Source"
NO_PICTURE = "No picture"

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def page_of(number: int, total: int) -> str:
    """`page n of N`."""
    return f"page {number} of {total}"


def day(when: date) -> str:
    """A date as printed on the cover: 2 March 2026."""
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


FIXED = (
    CONTENTS, DRAFT_LINE, ISSUE, ISSUED_ON, SEAL, PREVIOUS, JOB, BEFORE, AFTER, NO_EVIDENCE, STATED_BY, CAUTION, SOURCE,
    NO_PICTURE, page_of(0, 0), *MONTHS, "•…·–—[]U+0123456789ABCDEF",
)  # fmt: skip
