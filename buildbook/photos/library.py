"""The survey of a job folder's files, and the renditions of its photos."""

from __future__ import annotations

import os
from collections.abc import Callable, Container, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from buildbook.errors import InputUnreadable, WrongUsage
from buildbook.photos import pool, reading
from buildbook.photos.cache import ENVIRONMENT, Cache, Edge, Known, default_folder, unwritable, version
from buildbook.photos.content import picture_by_name
from buildbook.photos.files import Stamp, stat_file
from buildbook.photos.limits import MIB, WORKERS
from buildbook.photos.reading import Outcome, Store, Task
from buildbook.records.photo import FileEntry, PhotoFacts

__all__ = ["Edge", "Library", "Progress", "Surveyed"]

Progress = Callable[[int, int, str], None]
"""Called with (files done, files in all, path of the file just done)."""

_RACY_NS = 2_000_000_000  # coarsest time stamp in use (FAT): a later change may leave the same one
_HERE_BYTES = 4 * MIB  # files up to this that are no pictures by name are not worth a process


@dataclass(frozen=True, slots=True)
class Surveyed:
    """One file as found. facts: None if it is no picture.

    unread: why it could not be read ("" = it was): then entry.sha256 is "" and it must not be sealed.
    trusted: its stat was unchanged since it was last read, so its bytes were not read again.
    altered: its stat was unchanged, and reading it again all the same found other bytes than the last time.
    """

    entry: FileEntry
    facts: PhotoFacts | None
    unread: str = ""
    trusted: bool = False
    altered: bool = False


class Library:
    """Reads files once, remembers what they are, keeps renditions.

    cache_dir: default BUILDBOOK_CACHE, else the user's cache folder. workers: processes, default 2.
    """

    def __init__(self, cache_dir: Path | None = None, workers: int | None = None) -> None:
        self._cache = Cache((cache_dir or default_folder()).absolute(), version())
        self._workers = max(1, workers or WORKERS)
        self._sources: dict[str, Path] = {}  # by sha256: where a rendition can be made from again
        self._checked: set[tuple[str, Edge]] = set()

    @property
    def cache_dir(self) -> Path:
        """Where facts and renditions are kept."""
        return self._cache.folder

    def survey(
        self,
        root: Path,
        paths: Sequence[str],
        *,
        rehash: bool = False,
        cards: Container[str] = (),
        progress: Progress | None = None,
    ) -> dict[str, Surveyed]:
        """Hash every file, learn the facts of every picture and make its renditions. By path, in the order given.

        root: the job folder. paths: relative to it, `/` separated. rehash: read every byte even if a file's size,
        time and inode are those of the last reading. cards: those of the paths whose pictures are searched for marker
        cards. Bad files never raise: see Surveyed.unread, PhotoFacts.problem.
        Raises WrongUsage if the cache cannot be written, or lies in the folder: it would become part of the record.
        """
        root = root.absolute()
        if self._cache.folder.resolve().is_relative_to(root.resolve()):
            raise WrongUsage(
                f"The cache {self._cache.folder} lies in {root}: it would be taken for a part of it.",
                f"Name a folder outside with --cache or {ENVIRONMENT}, or leave both out.",
            )
        known = self._cache.index(root)
        found: dict[str, Surveyed] = {}
        stamps: dict[str, Stamp] = {}
        fresh: list[str] = []
        base = f"{root}{os.sep}"
        for path in paths:
            try:
                stamp = stat_file(base + path)
            except (OSError, ValueError) as reason:
                found[path] = _unread(path, reading.why(reason))
                continue
            last = known.get(path)
            if last is not None and path in cards and reading.unlooked(last.facts):
                last = None  # its bytes are known, but not what its picture shows
                del known[path]
            if last is not None and last.stamp == stamp and not rehash:
                entry = FileEntry(path=path, size=stamp.size, sha256=last.sha256)
                found[path] = Surveyed(entry, last.facts, trusted=True)
                continue
            stamps[path] = stamp
            fresh.append(path)
        if fresh:
            self._read(root, fresh, stamps, found, known, cards, progress)
        for path, surveyed in found.items():
            if surveyed.facts is not None and surveyed.entry.sha256:
                self._sources[surveyed.entry.sha256] = root / path
        return {path: found[path] for path in paths}

    def _read(
        self,
        root: Path,
        fresh: list[str],
        stamps: dict[str, Stamp],
        found: dict[str, Surveyed],
        known: dict[str, Known],
        cards: Container[str],
        progress: Progress | None,
    ) -> None:
        before = dict(known)
        with self._cache.scratch() as scratch:
            began = scratch.stat().st_mtime_ns  # the file system's own clock
            store = Store(self._cache, scratch)
            base = f"{root}{os.sep}"
            expected = {path: _expected(known.get(path), stamps[path]) for path in fresh}
            tasks = [Task(base + path, path, expected[path], cards=path in cards) for path in fresh]
            light = {i for i, p in enumerate(fresh) if stamps[p].size <= _HERE_BYTES and not picture_by_name(p)}
            done = 0

            def take(path: str, outcome: Outcome) -> None:
                nonlocal done
                if outcome.cache_fault:
                    raise unwritable(self._cache.folder, outcome.cache_fault)
                entry = FileEntry(path=path, size=outcome.size, sha256=outcome.sha256)
                last = known.pop(path, None)
                facts = last.facts if outcome.same and last is not None else outcome.facts
                altered = bool(expected[path] and outcome.sha256 and outcome.sha256 != expected[path])
                found[path] = Surveyed(entry, facts, outcome.unread, altered=altered)
                stamp = outcome.stamp
                if stamp is not None and not -_RACY_NS < began - stamp.mtime_ns < _RACY_NS:
                    known[path] = Known(stamp, outcome.sha256, facts)
                done += 1
                if progress is not None:
                    progress(done, len(fresh), path)

            light -= {i for i, task in enumerate(tasks) if task.expected}
            again = [i for i, task in enumerate(tasks) if task.expected]
            heavy = [i for i, task in enumerate(tasks) if i not in light and not task.expected]
            for i, outcome in zip(again, self._reread(store, [tasks[i] for i in again]), strict=True):
                if outcome is None:
                    heavy.append(i)
                else:
                    take(fresh[i], outcome)
            for i in sorted(light):
                read_here = reading.read_if_no_picture(store, tasks[i])
                if read_here is None:
                    heavy.append(i)
                else:
                    take(fresh[i], read_here)
            for n, result in pool.run(partial(reading.read, store), [tasks[i] for i in heavy], self._workers):
                i = heavy[n]
                take(fresh[i], reading.after_loss(tasks[i], result.says) if isinstance(result, pool.Lost) else result)
            kept = {p: k for p, k in known.items() if p in found or os.path.lexists(root / p)}
            if kept == before:
                return
            try:
                self._cache.keep_index(root, kept, scratch)
            except OSError as reason:
                raise unwritable(self._cache.folder, reason) from reason

    def _reread(self, store: Store, tasks: list[Task]) -> Iterator[Outcome | None]:
        """Hash files that look unchanged, by threads: hashing lets them run side by side and nothing is decoded."""
        if not tasks:
            return
        threads = ThreadPoolExecutor(self._workers)
        try:
            yield from threads.map(partial(reading.reread, store), tasks)
        finally:
            threads.shutdown(cancel_futures=True)  # no thread is left when workers are forked

    def rendition(self, sha256: str, edge: Edge) -> Path:
        """The JPEG made of a photo: turned, sRGB, without metadata; long edge at most 1600 ("print") or 400 ("small").

        An entry that is damaged or gone is made again from the photo, if it was surveyed.
        Raises InputUnreadable if there is none and none can be made; WrongUsage if the cache cannot be written.
        """
        if (sha256, edge) not in self._checked:
            if not self._cache.whole(sha256, edge):
                self._remake(sha256)
            self._checked.add((sha256, edge))
        return self._cache.rendition_path(sha256, edge)

    def _remake(self, sha256: str) -> None:
        source = self._sources.get(sha256)
        if source is None:
            raise InputUnreadable(f"No photo with SHA-256 {sha256} is known.", "Survey its folder first.")
        with self._cache.scratch() as scratch:
            task = Task(str(source), source.name, anew=True)
            ((_, result),) = pool.run(partial(reading.read, Store(self._cache, scratch)), [task], 1)
        outcome = reading.after_loss(task, result.says) if isinstance(result, pool.Lost) else result
        if outcome.cache_fault:
            raise unwritable(self._cache.folder, outcome.cache_fault)
        problem = outcome.unread or (outcome.facts.problem if outcome.facts else "The file is no picture.")
        if problem:
            raise InputUnreadable(f"{source}: {problem}", "Check the job folder for what is wrong with this photo.")
        if outcome.sha256 != sha256:
            raise InputUnreadable(f"{source} was changed while it was in use.", "Run the command again.")


def _expected(last: Known | None, stamp: Stamp) -> str:
    return last.sha256 if last is not None and last.stamp == stamp else ""


def _unread(path: str, why: str) -> Surveyed:
    return Surveyed(FileEntry(path=path, size=0, sha256=""), None, unread=why)
