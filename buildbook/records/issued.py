"""Which files of a job folder were written with which issue, and the job as an issue seals it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from buildbook.records.photo import FileEntry

if TYPE_CHECKING:  # verify starts without the records of a job
    from buildbook.records.job import Job

_ISSUED = re.compile(r"issued/([0-9]{3,})(?:-record)?\.json")


def issued_name(number: int) -> str:
    """Path of an issue's JSON within the job folder."""
    return f"issued/{number:03d}.json"


def issued_record_name(number: int) -> str:
    """Path of the copy of an issue's record within the job folder: what the next issue is compared with."""
    return f"issued/{number:03d}-record.json"


def issue_of_name(path: str) -> int | None:
    """The issue that a file of `issued/` was written with; None for any other file."""
    match = _ISSUED.fullmatch(path)
    return int(match[1]) if match else None


def sealed_files(files: Iterable[FileEntry], number: int) -> list[FileEntry]:
    """The files that issue `number` seals: all but what was written with that issue and with later ones."""

    def kept(entry: FileEntry) -> bool:
        written_with = issue_of_name(entry.path)
        return written_with is None or written_with < number

    return [entry for entry in files if kept(entry)]


def before_issue(job: Job, number: int) -> Job:
    """The job as issue `number` seals it: without what is written with that issue and with later ones.

    So an issue made again, when its own notes already lie in the folder, says the same as the first time.
    """
    return replace(
        job,
        issued=tuple(i for i in job.issued if i.number < number),
        files=tuple(sealed_files(job.files, number)),
    )
