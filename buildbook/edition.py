"""What an edition for others is made from: the job, the findings and the issue without what it withholds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from buildbook.dossier import IssueInfo
from buildbook.dossier.language import speaking
from buildbook.dossier.wording import _
from buildbook.editions import (
    Edition,
    Words,
    marked_photos,
    telling_names,
    withheld_files,
    withhold,
    withhold_changes,
    withhold_findings,
)
from buildbook.editions.files import Personal
from buildbook.errors import AnswerIsNo
from buildbook.photos.personal import beside_picture
from buildbook.records.finding import Finding
from buildbook.records.job import Job
from buildbook.records.photo import FileEntry

_MOST = 64 << 20  # a larger text is not searched, and is withheld


def without(
    folder: Path, job: Job, findings: Sequence[Finding], issue: IssueInfo, edition: Edition
) -> tuple[Job, tuple[Finding, ...], IssueInfo]:
    """The three as the edition tells them. Raises AnswerIsNo where a file's name tells what is to be withheld."""
    if edition is Edition.OWNER:
        return job, tuple(findings), issue
    told = telling_names(job, edition)
    if told:
        names = ", ".join(repr(path) for path, _word in told[:5])
        raise AnswerIsNo(
            f"The {edition.value} edition cannot be made: the manifest lists every file by its name, and these names "
            f"hold what it withholds: {names}{' and more' if len(told) > 5 else ''}.",
            "Rename them in the job folder, name them anew in the record, and issue again.",
        )

    def look(entry: FileEntry) -> Personal:
        seen = beside_picture(folder / entry.path)
        return Personal(seen.kinds, seen.data)

    def read(entry: FileEntry) -> bytes:
        return (folder / entry.path).read_bytes() if entry.size <= _MOST else b"\0"

    with speaking(job.language):
        words = Words(mark=_("[withheld]"), client=_("the client"), photo=_("withheld from this edition"))
    hidden = marked_photos(job, edition)
    return (
        withhold(job, edition, hidden, words),
        tuple(withhold_findings(findings, job, edition, words)),
        replace(
            issue,
            changes=withhold_changes(issue.changes, job, edition, words),
            edition=edition,
            withheld=withheld_files(job, edition, look, read),
        ),
    )
