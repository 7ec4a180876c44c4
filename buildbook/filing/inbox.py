"""What lies in the inbox, and what lies in another job's folder already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from buildbook.errors import InputUnreadable
from buildbook.load import load_job
from buildbook.load.folder import by_bytes, walk
from buildbook.load.steps import is_note
from buildbook.photos import Library, Progress, hash_file
from buildbook.records.card import FOLDER as CARDS
from buildbook.records.job import Job
from buildbook.records.photo import FileEntry, PhotoFacts

INBOX = "inbox/"
_NO_FILES = frozenset({"load.link", "load.odd-file", "load.odd-name", "load.unreadable"})  # what the walk leaves out


@dataclass(frozen=True, slots=True)
class Waiting:
    """Something in the inbox. facts: None if it is no picture. unread: why it cannot be read, as a clause."""

    entry: FileEntry
    facts: PhotoFacts | None
    unread: str = ""


def read_inbox(
    folder: Path, as_of: date, library: Library, progress: Progress | None = None
) -> tuple[Job, tuple[Waiting, ...]]:
    """The job, and what waits in its inbox, searched for cards.

    Raises InputUnreadable if there is no job to read, or an inbox that cannot be listed.
    """
    loaded = load_job(folder, as_of, library=library, progress=progress, cards_in=(CARDS, INBOX))
    job = loaded.job
    paths = [entry.path for entry in job.inbox]
    surveyed = library.survey(folder, paths, cards=frozenset(paths))
    found = {path: Waiting(s.entry, s.facts, s.unread) for path, s in surveyed.items()}
    for raised in loaded.raised:
        path = raised.place.file
        if path == INBOX.rstrip("/") and raised.code == "load.unreadable":
            raise InputUnreadable(f"{folder / path}: {raised.says}", "Mend its rights, then call this again.")
        if path.startswith(INBOX) and path not in found and raised.code in _NO_FILES:
            why = raised.says[:1].lower() + raised.says[1:].rstrip(".")
            found[path] = Waiting(FileEntry(path=path, size=0, sha256=""), None, why)
    return job, tuple(found[path] for path in sorted(found, key=by_bytes))


def already_elsewhere(waiting: Sequence[Waiting], folders: Iterable[Path]) -> dict[str, str]:
    """SHA-256 -> where, of files that lie in other jobs' folders too. Only files of a size that occurs are read.

    Raises InputUnreadable if a folder is not there.
    """
    sizes = {w.entry.size for w in waiting if not w.unread}
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
