"""What the release of a dossier is called: given to the builder, never found out by it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from buildbook.editions.table import Edition
from buildbook.records.changes import Changes
from buildbook.records.issued import before_issue
from buildbook.records.job import Job


@dataclass(frozen=True, slots=True)
class IssueInfo:
    """number: 0 for a draft. seal, previous_seal: 64 hex digits, "" where there is none.

    changes: what differs from the issue before, None where there is no earlier one.
    signer, fingerprint: who signs it, and SHA-256 of the certificate; "" for an unsigned one.
    edition: whom it is for. withheld: files that stand in its manifest by their hash only.
    """

    number: int
    issued_on: date
    draft: bool
    seal: str
    previous_seal: str
    changes: Changes | None = None
    signer: str = ""
    fingerprint: str = ""
    edition: Edition = Edition.OWNER
    withheld: tuple[str, ...] = ()


def as_sealed(job: Job, issue: IssueInfo) -> Job:
    """The job as this issue seals it: without what is written with this issue and with later ones.

    So an issue made again, when its own JSON already lies in the folder, says the same as the first time.
    """
    return job if issue.draft else before_issue(job, issue.number)
