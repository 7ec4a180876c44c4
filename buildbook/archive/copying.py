"""Copies that are hashed while they are copied: each original is read once, and never touched."""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import stat
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from buildbook.errors import AnswerIsNo, BuildbookError

CHUNK = 1 << 20
_FICLONE = 0x40049409  # ioctl_ficlone(2): share the blocks of a file until one of them is changed


@dataclass(frozen=True, slots=True)
class Item:
    """A payload file. path: within the bag. source: where its bytes are. size, sha256: as they were sealed."""

    path: str
    source: Path | bytes
    size: int
    sha256: str

    @property
    def named(self) -> str:
        """What to call it in a message."""
        return self.path.removeprefix("data/job/") if isinstance(self.source, Path) else self.path


@dataclass(frozen=True, slots=True)
class Copied:
    """Digests of a copied file, lower-case hex."""

    sha256: str
    sha512: str


@contextlib.contextmanager
def opened(item: Item) -> Iterator[IO[bytes]]:
    """The original, open for reading. Links are not followed, a pipe never blocks.

    Raises BuildbookError, naming the file, if it is gone, unreadable or no ordinary file.
    """
    if isinstance(item.source, bytes):
        yield io.BytesIO(item.source)
        return
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        handle = os.open(item.source, flags)
    except OSError as error:
        raise _lost(item, error.strerror or str(error)) from error
    with os.fdopen(handle, "rb", buffering=0) as stream:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise _lost(item, "it is no ordinary file any more")
        yield stream


def copy_hashed(item: Item, out: IO[bytes] | None) -> Copied:
    """Copy an item into an open stream, or only read it where `out` is None.

    Raises AnswerIsNo, naming the file, if its bytes are not those that were sealed.
    """
    short, long = hashlib.sha256(), hashlib.sha512()
    size = 0
    with opened(item) as stream:
        while chunk := _read(item, stream):
            size += len(chunk)
            if size > item.size:
                break  # longer than sealed: no need to read on
            short.update(chunk)
            long.update(chunk)
            if out is not None:
                out.write(chunk)
    if size != item.size or short.hexdigest() != item.sha256:
        raise AnswerIsNo(
            f"{item.named} was changed while the issue was being made. Nothing was issued.",
            "Leave the job folder alone while it is compiled; check what was changed, then call this again.",
        )
    return Copied(short.hexdigest(), long.hexdigest())


def _read(item: Item, stream: IO[bytes]) -> bytes:
    try:
        return stream.read(CHUNK)
    except OSError as error:
        raise _lost(item, error.strerror or str(error)) from error


def _lost(item: Item, why: str) -> BuildbookError:
    return AnswerIsNo(
        f"{item.named} cannot be read any more: {why}. Nothing was issued.",
        "Put the file back or mend its rights, then call this again.",
    )


def copy_to_file(item: Item, target: Path, link: bool) -> Copied:
    """Put an item at `target`, which must not exist.

    link: share the blocks (reflink) or else the file itself (hard link) with the original where the file system
    can, instead of writing them again; the bytes are read and hashed all the same.
    """
    if link and isinstance(item.source, Path) and _linked(item, target):
        return copy_hashed(Item(item.path, target, item.size, item.sha256), None)
    with target.open("xb", buffering=0) as out:
        copied = copy_hashed(item, out)
    with contextlib.suppress(OSError):
        target.chmod(0o644)
    return copied


def _linked(item: Item, target: Path) -> bool:
    with opened(item) as source:
        if sys.platform == "linux":
            import fcntl

            try:
                with target.open("xb") as out:
                    fcntl.ioctl(out.fileno(), _FICLONE, source.fileno())
                return True
            except OSError:
                target.unlink(missing_ok=True)
        try:
            os.link(str(item.source), target, follow_symlinks=False)
        except (OSError, NotImplementedError):
            return False
        # What was opened must be what was linked: a link put in its place meanwhile is not taken.
        if os.path.samestat(os.fstat(source.fileno()), target.lstat()):
            return True
        target.unlink()
        return False
