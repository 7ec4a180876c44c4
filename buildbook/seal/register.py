"""Adding to the accession register: lines are appended, never changed, and two who register at once lose nothing."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from buildbook.durable import sync_folder
from buildbook.errors import AnswerIsNo, BuildbookError
from buildbook.records.register import (
    FIRST,
    MOST_BYTES,
    NAME,
    Register,
    Registration,
    first_registered,
    is_registered_kind,
    line_bytes,
    line_digest,
    parse,
    whole_line,
)
from buildbook.seal.digest import sha256_file

Progress = Callable[[int, int, str], None]
# Clocks of two computers that share a folder may differ a little; more is a clock set wrong.
BACKWARDS = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class Registered:
    """new: the lines added. already: files that stood in it. kept: file that holds a torn line, "" for none.

    completed: the torn last line lacked nothing but its line feed, which was added.
    """

    new: tuple[Registration, ...]
    already: int
    kept: str = ""
    completed: bool = False


def register_files(folder: Path, paths: list[str], at: datetime, progress: Progress | None = None) -> Registered:
    """Register the evidence among `paths` (relative, `/` separated) whose bytes the register does not know yet.

    at: now, with its offset. A file with the bytes of a registered one counts as registered, wherever it lies.
    Raises AnswerIsNo if the register has a fault other than a torn last line, or its last line lies in the future;
    BuildbookError if a file cannot be read or the register cannot be written.
    """
    wanted = [path for path in paths if is_registered_kind(path)]
    found: list[tuple[str, int, str]] = []
    for done, path in enumerate(wanted, start=1):
        try:
            digest = sha256_file(folder / path)
            found.append((path, (folder / path).stat().st_size, digest))
        except OSError as error:
            says = f"{path} cannot be read: {error.strerror or error}. Nothing was registered."
            raise AnswerIsNo(says, "Mend its rights or the disk, then call this again.") from error
        if progress:
            progress(done, len(wanted), "register")
    try:
        with _locked(folder / NAME) as handle:
            return _append(folder, handle, found, at)
    except OSError as error:
        says = f"{NAME} cannot be written: {error.strerror or error}."
        raise BuildbookError(says, "Make room or mend the rights, then call this again: no line is lost.") from error


def _append(folder: Path, handle: int, found: list[tuple[str, int, str]], at: datetime) -> Registered:
    data = _read(handle)
    register = parse(data)
    _refuse(register, at)
    kept, completed = "", False
    entries, prev = list(register.entries), register.last
    if register.torn:
        held = whole_line(register.torn, len(entries) + 1, prev)
        if held is not None:
            _write(handle, b"\n")
            completed = True
            entries.append(held)
            prev = line_digest(register.torn + b"\n")
        else:
            kept = _keep(folder, register.torn)
            os.ftruncate(handle, len(data) - len(register.torn))
    known = first_registered(entries)
    lines: list[bytes] = []
    new: list[Registration] = []
    for path, size, digest in found:
        if digest in known:
            continue
        entry = Registration(n=len(entries) + len(new) + 1, at=at, path=path, size=size, sha256=digest)
        known[digest] = at
        new.append(entry)
        lines.append(line_bytes(entry, prev))
        prev = line_digest(lines[-1])
    _write(handle, b"".join(lines))
    os.fsync(handle)
    sync_folder(folder)
    return Registered(tuple(new), len(found) - len(new), kept, completed)


def _refuse(register: Register, at: datetime) -> None:
    fault = next((f for f in register.faults if f.kind != "torn"), None)
    if fault is not None:
        raise AnswerIsNo(
            f"{NAME}: {fault.says} Nothing was added to it.",
            "Bring it back from a copy, or from the archive of the last issue.",
        )
    if register.entries and at < register.entries[-1].at - BACKWARDS:
        raise AnswerIsNo(
            f"The last line of {NAME} was written at {register.entries[-1].at:%Y-%m-%d %H:%M} UTC; "
            f"this computer says it is {at:%Y-%m-%d %H:%M %Z}.",
            "Set the clock of this computer right, then call this again.",
        )


def _keep(folder: Path, torn: bytes) -> str:
    """Keep what is left of a torn line in a file of its own; the same bytes are kept once."""
    for number in range(1, 1000):
        name = f"register.torn-{number:03d}"
        path = folder / name
        if path.exists():
            if path.read_bytes() == torn:
                return name
            continue
        with path.open("xb") as stream:
            stream.write(torn)
            stream.flush()
            os.fsync(stream.fileno())
        sync_folder(folder)
        return name
    raise AnswerIsNo("There are 999 torn lines beside the register.", "Find out why writing is interrupted.")


def _read(handle: int) -> bytes:
    size = os.fstat(handle).st_size
    if size > MOST_BYTES:
        raise AnswerIsNo(f"{NAME} holds {size:,} bytes; up to {MOST_BYTES:,} are read.", "Look at what it holds.")
    os.lseek(handle, 0, os.SEEK_SET)
    data = b""
    while chunk := os.read(handle, 1 << 20):
        data += chunk
    return data


def _write(handle: int, data: bytes) -> None:
    while data:
        data = data[os.write(handle, data) :]


@contextlib.contextmanager
def _locked(path: Path) -> Iterator[int]:
    """The register, open for reading and adding, by one process at a time. Links are not followed."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, 0o644)
    try:
        with contextlib.suppress(ImportError):
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX)
        yield handle
        if not os.fstat(handle).st_size:  # nothing to register: leave no empty file behind
            with contextlib.suppress(OSError):
                path.unlink()
    finally:
        os.close(handle)


__all__ = ["FIRST", "Registered", "register_files"]
