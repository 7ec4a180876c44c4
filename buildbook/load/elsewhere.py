"""Photos of other job folders, to compare a job's own with."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from buildbook.load.folder import walk
from buildbook.load.job import look
from buildbook.photos import Library, Progress
from buildbook.records.photo import OtherJob, Photo


def read_other_job(folder: Path, *, library: Library, progress: Progress | None = None) -> OtherJob:
    """The photos of another job's steps, by their facts; nothing else of it is read, and nothing is changed.

    Raises InputUnreadable if the folder, or job.toml in it, is not there.
    """
    look(folder)
    paths = [path for path in walk(folder).files if path.startswith("steps/") and PurePosixPath(path).suffix != ".toml"]
    surveyed = library.survey(folder, paths, progress=progress)
    photos = (
        Photo(path=path, size=s.entry.size, sha256=s.entry.sha256, facts=s.facts)
        for path, s in surveyed.items()
        if s.facts is not None and not s.unread
    )
    return OtherJob(name=folder.resolve().name, photos=tuple(photos))
