"""A job folder, read: everything it says, and a finding for everything that cannot be read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from buildbook.errors import InputUnreadable
from buildbook.load import head
from buildbook.load.folder import by_bytes, walk
from buildbook.load.head import head_fields, time_zone
from buildbook.load.issued import changed_notes, read_issued
from buildbook.load.refused import meant
from buildbook.load.register import read_register
from buildbook.load.steps import is_note, read_steps, step_photos
from buildbook.load.tables import FILES, read_tables
from buildbook.load.toml_file import Document, read_toml
from buildbook.photos import Library, Progress, Surveyed
from buildbook.records.card import FOLDER as CARDS
from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.photo import FileEntry, Photo
from buildbook.records.place import Place
from buildbook.records.register import NAME as REGISTER
from buildbook.records.register import is_torn_name
from buildbook.records.said import said, sentences

_FOLDERS = ("steps", "documents", "inbox", "issued")


@dataclass(frozen=True, slots=True)
class Loaded:
    """A job as read, and what loading found. trusted: files not read again, as size, times and inode had not changed.

    altered: files that had not changed by these, but had other bytes when they were read again.
    """

    job: Job
    raised: tuple[Raised, ...]
    trusted: int = 0
    altered: tuple[str, ...] = ()


def load_job(
    folder: Path,
    as_of: date,
    *,
    library: Library | None = None,
    rehash: bool = False,
    progress: Progress | None = None,
    cards_in: tuple[str, ...] = (CARDS,),
) -> Loaded:
    """Read a job folder. Nothing in it is changed, and a file that cannot be read hides no other.

    as_of: the day of the check. library: reads files and photos (default: one with the user's cache). rehash: read
    every byte even of files that look unchanged. progress: called with (files done, files in all, path). cards_in: the
    folders whose pictures are searched for marker cards.
    Raises InputUnreadable if the folder, or job.toml in it, is not there.
    """
    look(folder)
    walked = walk(folder)
    raised = list(walked.raised)
    files = walked.files

    if head.FILE in files:
        document = read_toml(folder, head.FILE, "job")
        raised += document.raised
    else:  # a link or a pipe of that name: the walk has said so
        document = Document(head.FILE, {}, frozenset(), (), readable=False)
    zone, zone_known = time_zone(document, raised)
    fields = head_fields(document, zone, zone_known, raised)
    tables, broken = read_tables(folder, files, zone, raised)
    steps = read_steps(folder, files, walked.folders, zone, raised)
    issued = read_issued(folder, files, raised)
    register = read_register(folder, files, raised)

    surveyed = (library or Library()).survey(
        folder, files, rehash=rehash, cards=frozenset(f for f in files if f.startswith(cards_in)), progress=progress
    )
    entries = _entries(files, surveyed, raised)
    changed_notes(folder, issued, entries, raised)
    photos = step_photos(files, steps, surveyed, raised) + _pictured_documents(files, surveyed)
    _say_stray(files, walked.folders, raised)

    bad: frozenset[str] = fields.pop("bad") | broken
    job_fields: dict[str, Any] = {**fields, **tables}
    job = Job(
        place=Place(head.FILE, key="job"),
        bad=bad,
        as_of=as_of,
        steps=steps,
        photos=tuple(sorted(photos, key=lambda p: by_bytes(p.path))),
        documents=_under("documents/", entries),
        inbox=_under("inbox/", entries),
        issued=issued,
        register=register,
        files=entries,
        **job_fields,
    )
    altered = tuple(path for path, s in surveyed.items() if s.altered)
    return Loaded(job, tuple(raised), sum(s.trusted for s in surveyed.values()), altered)


def look(folder: Path) -> None:
    """Raises InputUnreadable unless the folder is there and holds job.toml."""
    if not folder.exists():
        raise InputUnreadable(f"{folder} is not there.", "Check the path, or make a job folder with `buildbook new`.")
    if not folder.is_dir():
        raise InputUnreadable(f"{folder} is a file, not a job folder.", "Give the folder that holds job.toml.")
    try:
        names = [entry.name for entry in folder.iterdir()]
    except OSError as error:
        says = f"{folder} cannot be listed: {error.strerror or error}."
        raise InputUnreadable(says, "Check its permissions.") from error
    if head.FILE not in names:
        near = [n for n in names if n.casefold() in (head.FILE, f"{head.FILE}.txt")]
        hint = f"Rename {near[0]} to {head.FILE}." if near else "Give the folder that holds it, or use `buildbook new`."
        raise InputUnreadable(f"{folder} holds no {head.FILE}, so it is no job folder.", hint)


def _entries(files: Sequence[str], surveyed: Mapping[str, Surveyed], raised: list[Raised]) -> tuple[FileEntry, ...]:
    """Every file that could be read, in order. One that cannot be read cannot be sealed: a finding."""
    made = []
    for path in files:
        found = surveyed.get(path)
        if found is None or found.unread or not found.entry.sha256:
            why = found.unread if found is not None and found.unread else said("it is not there any more")
            raised.append(
                Raised(
                    "load.unreadable",
                    Place(path),
                    said("It cannot be read: {why}.", why=why.rstrip(".") if why.endswith(".") else why),
                )
            )
        else:
            made.append(found.entry)
    return tuple(made)


def _under(folder: str, entries: Iterable[FileEntry]) -> tuple[FileEntry, ...]:
    return tuple(e for e in entries if e.path.startswith(folder) and not is_note(e.path))


def _pictured_documents(files: Iterable[str], surveyed: Mapping[str, Surveyed]) -> list[Photo]:
    """The pictures among the documents, which can be shown as photos are."""
    found = ((path, surveyed.get(path)) for path in files if path.startswith("documents/"))
    return [
        Photo(path=path, size=s.entry.size, sha256=s.entry.sha256, facts=s.facts)
        for path, s in found
        if s is not None and s.facts is not None and not s.unread
    ]


def _say_stray(files: Iterable[str], folders: Iterable[str], raised: list[Raised]) -> None:
    """Files where the record expects none: they are sealed with the rest, but nothing reads or shows them."""
    for path in files:
        top, _, below = path.partition("/")
        if is_note(path) or (not below and (path == head.FILE or path in FILES)):
            continue
        if path == REGISTER or is_torn_name(path):
            continue
        if not below:
            near = get_close_matches(path.casefold(), [head.FILE, *sorted(FILES)], n=1, cutoff=0.75)
            hint = meant(near[0]) if near else ""
            says = sentences(said("Nothing reads a file of this name here."), hint)
            raised.append(Raised("load.stray-file", Place(path), says))
        elif top == "issued" and not is_issue_name(below):
            says = said("It lies in issued/, where only the program's own NNN.json and NNN-record.json belong.")
            raised.append(Raised("load.stray-file", Place(path), says))
    for folder in folders:
        if "/" not in folder and folder not in _FOLDERS:
            near = get_close_matches(folder.casefold(), _FOLDERS, n=1, cutoff=0.6)
            hint = meant(f"{near[0]}/") if near else ""
            says = sentences(
                said("Nothing reads a folder of this name; what lies in it is sealed, but not shown."), hint
            )
            raised.append(Raised("load.stray-file", Place(folder), says))


def is_issue_name(name: str) -> bool:
    """Whether a file of issued/ is one that the program writes: NNN.json, NNN-record.json."""
    stem, _, ending = name.partition(".")
    stem = stem.removesuffix("-record")
    return ending == "json" and len(stem) >= 3 and stem.isascii() and stem.isdigit()
