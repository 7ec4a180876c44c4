"""What the release of a dossier is called: given to the builder, never found out by it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from buildbook.records.job import Job

_ISSUED = re.compile(r"issued/(\d{3,})\.json")


@dataclass(frozen=True, slots=True)
class IssueInfo:
    """number: 0 for a draft. seal, previous_seal: 64 hex digits, "" where there is none."""

    number: int
    issued_on: date
    draft: bool
    seal: str
    previous_seal: str


def as_sealed(job: Job, issue: IssueInfo) -> Job:
    """The job as this issue seals it: without the small JSON of this issue and of later ones.

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
