"""Reading one file: once, whole; hash, facts and renditions from the same bytes. What a worker does."""

from __future__ import annotations

import errno
import hashlib
import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from buildbook.photos.cache import Cache
from buildbook.photos.content import HEAD_BYTES, Format, format_of, is_picture
from buildbook.photos.files import NotAFile, Stamp, hash_rest, open_file, stamp_of
from buildbook.photos.limits import BYTES_MAX, MIB
from buildbook.photos.picture import decode
from buildbook.records.photo import PhotoFacts
from buildbook.records.said import figure, said


@dataclass(frozen=True, slots=True)
class Store:
    """Where a worker keeps what it made: the cache, and a folder for files being written."""

    cache: Cache
    scratch: Path


@dataclass(frozen=True, slots=True)
class Task:
    """A file to read. file: absolute path. path: as it is named in the record.

    expected: SHA-256 of the last reading, if nothing but a rehash asks for this one. anew: pass the cache over.
    cards: look for marker cards in it.
    """

    file: str
    path: str
    expected: str = ""
    anew: bool = False
    cards: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What reading gave. stamp: None if it must not be trusted next time.

    same: the bytes are those of the last reading, so its facts stand.
    unread: why the file could not be read. cache_fault: why the cache could not be written.
    """

    size: int = 0
    sha256: str = ""
    stamp: Stamp | None = None
    facts: PhotoFacts | None = None
    same: bool = False
    unread: str = ""
    cache_fault: str = ""


def read(store: Store, task: Task) -> Outcome:
    """Read a file of any kind. Never raises for what the file is."""
    try:
        with open_file(task.file) as handle:
            stamp = stamp_of(os.fstat(handle.fileno()))
            outcome = _read(store, task, handle, stamp)
            if stamp_of(os.fstat(handle.fileno())) != stamp or outcome.size != stamp.size:
                return Outcome(unread=said("was changed while it was being read; run the command again"))
            return outcome
    except (OSError, ValueError) as reason:
        return Outcome(unread=why(reason))


def reread(store: Store, task: Task) -> Outcome | None:
    """Hash a file that is expected to be unchanged, in pieces, so that a thread will do; None if it must be read."""
    try:
        with open_file(task.file) as handle:
            stamp = stamp_of(os.fstat(handle.fileno()))
            outcome = _reread(store, task, handle, stamp)
            return outcome if stamp_of(os.fstat(handle.fileno())) == stamp else None
    except (OSError, ValueError):
        return None


def read_if_no_picture(store: Store, task: Task) -> Outcome | None:
    """Read a file whose name is not a picture's; None (and hardly read) if it is one all the same."""
    try:
        with open_file(task.file) as handle:
            if is_picture(task.path, format_of(handle.read(HEAD_BYTES))):
                return None
    except (OSError, ValueError) as reason:
        return Outcome(unread=why(reason))
    return read(store, task)


def _reread(store: Store, task: Task, handle: BinaryIO, stamp: Stamp) -> Outcome | None:
    """Hash what is expected to be unchanged; None, rewound, if it is not or its cache entry is gone."""
    size, sha256 = hash_rest(handle)
    if sha256 == task.expected and (store.cache.has(sha256) or not is_picture(task.path, _format(handle))):
        return Outcome(size, sha256, stamp, same=True)
    handle.seek(0)
    return None


def _format(handle: BinaryIO) -> Format:
    handle.seek(0)
    return format_of(handle.read(HEAD_BYTES))


def _read(store: Store, task: Task, handle: BinaryIO, stamp: Stamp) -> Outcome:
    head = handle.read(HEAD_BYTES)
    handle.seek(0)
    found = format_of(head)
    if not is_picture(task.path, found):
        size, sha256 = hash_rest(handle)
        return Outcome(size, sha256, stamp)
    if found is Format.OTHER or stamp.size > BYTES_MAX:
        size, sha256 = hash_rest(handle)
        return Outcome(size, sha256, stamp, _unshown(head, found, stamp.size))
    data = handle.read()
    sha256 = hashlib.sha256(data).hexdigest()
    outcome = Outcome(len(data), sha256, stamp)
    facts = None if task.anew else store.cache.facts(sha256)
    if facts is not None and not (task.cards and unlooked(facts)):
        return replace(outcome, facts=facts)
    decoded = decode(data, cards=task.cards)
    if not decoded.lasting:
        return replace(outcome, facts=decoded.facts, stamp=None)
    try:
        store.cache.keep(sha256, decoded, store.scratch)
    except OSError as reason:
        return replace(outcome, cache_fault=str(reason))
    return replace(outcome, facts=decoded.facts)


def unlooked(facts: PhotoFacts | None) -> bool:
    """Whether a picture that can be shown was never searched for marker cards."""
    return facts is not None and not facts.problem and facts.cards is None


def _unshown(head: bytes, found: Format, size: int) -> PhotoFacts:
    if size > BYTES_MAX:
        problem = said(
            "The file has {size} MiB; pictures of up to {most} MiB are shown.",
            size=figure(size // MIB, ","), most=BYTES_MAX // MIB,
        )  # fmt: skip
        return PhotoFacts(format=found.value, problem=problem)
    return decode(head).facts


def after_loss(task: Task, says: str) -> Outcome:
    """The outcome for a picture that cost a worker: hashed, not shown, tried again next time."""
    try:
        with open_file(task.file) as handle:
            found = format_of(handle.read(HEAD_BYTES))
            handle.seek(0)
            size, sha256 = hash_rest(handle)
    except (OSError, ValueError) as reason:
        return Outcome(unread=why(reason))
    problem = said("The picture {why}, so it is not shown; open it in an editor and save it again.", why=says)
    return Outcome(size, sha256, None, PhotoFacts(format=found.value, problem=problem))


_REASONS = {
    errno.ENOENT: said("does not exist"),
    errno.EACCES: said("may not be read by this user"),
    errno.EPERM: said("may not be read by this user"),
    errno.ELOOP: said("is a link that leads back to itself"),
    errno.ENAMETOOLONG: said("has a name that is too long"),
    errno.EIO: said("cannot be read from the disk (input/output error)"),
}


def why(reason: OSError | ValueError) -> str:
    """Why a file cannot be read, to follow its name."""
    if isinstance(reason, NotAFile):
        return reason.says
    if isinstance(reason, OSError):
        named = reason.strerror or type(reason).__name__
        return _REASONS.get(reason.errno or 0) or said("cannot be read ({why})", why=named)
    return said("has a name that the system refuses")
