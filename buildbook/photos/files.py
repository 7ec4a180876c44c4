"""Reading and hashing regular files: never a pipe, never a device, each byte once."""

from __future__ import annotations

import hashlib
import os
import stat
from pathlib import Path
from typing import BinaryIO, NamedTuple

from buildbook.photos.limits import CHUNK
from buildbook.records.said import said


class NotAFile(OSError):
    """The path is a folder, pipe, socket or device: its text says which."""

    @property
    def says(self) -> str:
        says: str = self.args[0]
        return says


class Stamp(NamedTuple):
    """What tells an unchanged file without reading it: size (bytes), modification time (ns), inode, and the time (ns)
    of the last change of any of them, which no program can set back; on Windows that is the time it was made.
    """

    size: int
    mtime_ns: int
    inode: int
    ctime_ns: int


_DEVICE = said("is a device, not a file")
_KINDS = (
    (stat.S_ISDIR, said("is a folder, not a file")),
    (stat.S_ISFIFO, said("is a pipe, not a file")),
    (stat.S_ISSOCK, said("is a socket, not a file")),
    (stat.S_ISCHR, _DEVICE),
    (stat.S_ISBLK, _DEVICE),
)


def stamp_of(status: os.stat_result) -> Stamp:
    """The stamp in a stat result. Raises NotAFile unless it is of a regular file."""
    if not stat.S_ISREG(status.st_mode):
        kinds = (clause for test, clause in _KINDS if test(status.st_mode))
        raise NotAFile(next(kinds, said("is no regular file, not a file")))
    return Stamp(status.st_size, status.st_mtime_ns, status.st_ino, status.st_ctime_ns)


def stat_file(path: Path | str) -> Stamp:
    """The stamp of a regular file (links are followed). Raises OSError, NotAFile."""
    return stamp_of(os.stat(path))  # noqa: PTH116 - thousands a call: half the cost of Path.stat


def open_file(path: Path | str) -> BinaryIO:
    """Open a regular file for unbuffered reading. Raises OSError, NotAFile; a pipe never blocks it."""
    stat_file(path)  # a device may act on being opened: look first
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    handle = open(os.open(path, flags), "rb", buffering=0)  # noqa: PTH123, SIM115 - the caller closes it
    try:
        stamp_of(os.fstat(handle.fileno()))  # and again: the name may have been given to something else
    except BaseException:
        handle.close()
        raise
    return handle


def hash_rest(handle: BinaryIO) -> tuple[int, str]:
    """(bytes, SHA-256 in lower-case hex) of what is left to read, in chunks."""
    digest, size = hashlib.sha256(), 0
    buffer = memoryview(bytearray(CHUNK))
    while n := handle.readinto(buffer):  # type: ignore[attr-defined]
        digest.update(buffer[:n])
        size += n
    return size, digest.hexdigest()


def hash_file(path: Path | str) -> tuple[int, str]:
    """(size in bytes, SHA-256 in lower-case hex) of a regular file.

    Raises OSError if it cannot be read and NotAFile (an OSError) for folders, pipes, sockets and devices.
    """
    with open_file(path) as handle:
        return hash_rest(handle)
