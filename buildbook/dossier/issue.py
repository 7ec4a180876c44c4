"""What the release of a dossier is called: given to the builder, never found out by it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from buildbook.records.changes import Changes
from buildbook.records.job import Job

_ISSUED = re.compile(r"issued/([0-9]{3,})(?:-record)?\.json")


@dataclass(frozen=True, slots=True)
class IssueInfo:
    """number: 0 for a draft. seal, previous_seal: 64 hex digits, "" where there is none.

    changes: what differs from the issue before, None where there is no earlier one.
    signer, fingerprint: who signs it, and SHA-256 of the certificate; "" for an unsigned one.
    """

    number: int
    issued_on: date
    draft: bool
    seal: str
    previous_seal: str
    changes: Changes | None = None
    signer: str = ""
    fingerprint: str = ""


def as_sealed(job: Job, issue: IssueInfo) -> Job:
    """The job as this issue seals it: without what is written with this issue and with later ones.

    So an issue made again, when its own JSON already lies in the folder, says the same as the first time.
    """
    if issue.draft:
        return job

    def earlier(path: str) -> bool:
        match = _ISSUED.fullmatch(path)
        return match is None or int(match[1]) < issue.number

    return replace(
        job,
        issued=tuple(i for i in job.issued if i.number < issue.number),
        files=tuple(f for f in job.files if earlier(f.path)),
    )
