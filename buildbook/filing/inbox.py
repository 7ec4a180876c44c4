"""What lies in the inbox, and what lies in another job's folder already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from buildbook.errors import InputUnreadable
from buildbook.load import load_job
from buildbook.load.folder import walk
from buildbook.load.steps import is_note
from buildbook.photos import Library, Progress, hash_file
from buildbook.records.card import FOLDER as CARDS
from buildbook.records.job import Job
from buildbook.records.photo import FileEntry, PhotoFacts

INBOX = "inbox/"


@dataclass(frozen=True, slots=True)
class Waiting:
    """A file in the inbox. facts: None if it is no picture."""

    entry: FileEntry
    facts: PhotoFacts | None


def read_inbox(
    folder: Path, as_of: date, library: Library, progress: Progress | None = None
) -> tuple[Job, tuple[Waiting, ...]]:
    """The job, and what waits in its inbox, searched for cards. Raises InputUnreadable if there is no job to read."""
    job = load_job(folder, as_of, library=library, progress=progress, cards_in=(CARDS, INBOX)).job
    paths = [entry.path for entry in job.inbox]
    surveyed = library.survey(folder, paths, cards=frozenset(paths))
    return job, tuple(Waiting(s.entry, s.facts) for s in surveyed.values() if not s.unread)


def already_elsewhere(waiting: Sequence[Waiting], folders: Iterable[Path]) -> dict[str, str]:
    """SHA-256 -> where, of files that lie in other jobs' folders too. Only files of a size that occurs are read.

    Raises InputUnreadable if a folder is not there.
    """
    sizes = {w.entry.size for w in waiting}
    found: dict[str, str] = {}
    for folder in folders:
        if not folder.is_dir():
            raise InputUnreadable(f"{folder} is no folder.", "Give the folder of the other job with --against.")
        for path in walk(folder).files:
            try:
                if not is_note(path) and (folder / path).stat().st_size in sizes:
                    _, sha256 = hash_file(folder / path)
                    found.setdefault(sha256, f"{folder.name}/{path}")
            except OSError:  # what cannot be read there is that job's business
                continue
    return found
