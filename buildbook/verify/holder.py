"""Reading a bag that may come from a stranger, as a folder or as one ZIP file, through one small interface.

Nothing is written or unpacked, no link is followed, no pipe is opened. What is odd is said, by name.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import struct
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import IO, Protocol

from buildbook.verify import limits

_DRIVE = re.compile(r"[A-Za-z]:|%[^/\\]*%[/\\]|~")


class Unreadable(Exception):
    """A file in a bag cannot be read; the message says why, without its name."""


class Holder(Protocol):
    """A bag's files. sizes: path -> bytes. odd: (path, why) of what cannot be part of a bag."""

    sizes: dict[str, int]
    odd: list[tuple[str, str]]

    def open(self, path: str) -> contextlib.AbstractContextManager[IO[bytes]]:
        """A file of `sizes`, to be read from its start. Raises Unreadable, also while reading."""
        ...


def outside(path: str) -> bool:
    """True if a path, as a bag lists it, leads out of the bag on one common system or another."""
    parts = path.split("/")
    return (
        path.startswith(("/", "\\"))
        or "\0" in path
        or ".." in parts
        or ".." in path.split("\\")
        or _DRIVE.match(path) is not None
    )


def read(holder: Holder, path: str, most: int) -> bytes:
    """A whole small file. Raises Unreadable if it is not there or larger than `most` bytes."""
    if path not in holder.sizes:
        raise Unreadable("it is not there")
    if holder.sizes[path] > most:
        raise Unreadable(f"it holds {holder.sizes[path]:,} bytes, and {most:,} is as much as is read")
    with holder.open(path) as stream:
        data = stream.read(most + 1)
    if len(data) > most:
        raise Unreadable(f"it holds more than {most:,} bytes, which is as much as is read")
    return data


@dataclass
class FolderHolder:
    """A bag as a folder."""

    root: Path
    sizes: dict[str, int] = field(default_factory=dict)
    odd: list[tuple[str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        waiting: list[tuple[str, int]] = [("", 0)]
        while waiting:
            folder, depth = waiting.pop()
            try:
                with os.scandir(self.root / folder) as entries:
                    found = sorted(entries, key=lambda e: os.fsencode(e.name))
            except OSError as error:
                self.odd.append((folder, f"cannot be listed: {error.strerror or error}"))
                continue
            for entry in found:
                path = f"{folder}/{entry.name}" if folder else entry.name
                mode = entry.stat(follow_symlinks=False).st_mode
                if stat.S_ISDIR(mode) and depth < limits.MOST_DEPTH:
                    waiting.append((path, depth + 1))
                elif stat.S_ISDIR(mode):
                    self.odd.append((path, f"deeper than {limits.MOST_DEPTH} folders"))
                elif not stat.S_ISREG(mode):
                    self.odd.append((path, "a link or a device, not a file"))
                elif len(self.sizes) >= limits.MOST_FILES:
                    self.odd.append((path, f"more than {limits.MOST_FILES:,} files: no more are read"))
                    return
                else:
                    self.sizes[path] = entry.stat(follow_symlinks=False).st_size

    @contextlib.contextmanager
    def open(self, path: str) -> Iterator[IO[bytes]]:
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        try:
            handle = os.open(self.root / path, flags)
            with os.fdopen(handle, "rb", buffering=0) as stream:
                if not stat.S_ISREG(os.fstat(handle).st_mode):
                    raise Unreadable("it is not a file any more")
                yield stream
        except OSError as error:
            raise Unreadable(error.strerror or str(error)) from error


class ZipHolder:
    """A bag as one ZIP file with one folder in it. Opened for reading; entries are read one at a time.

    base: the name of that folder. problem: why nothing can be read ("" = it can).
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.sizes: dict[str, int] = {}
        self.odd: list[tuple[str, str]] = []
        self.base = ""
        self.problem = ""
        self._infos: dict[str, zipfile.ZipInfo] = {}
        self._zip: zipfile.ZipFile | None = None
        try:
            self._look()
        except (OSError, zipfile.BadZipFile, NotImplementedError, ValueError, EOFError, struct.error) as error:
            self.problem = f"it cannot be read as a ZIP file ({error})"

    def close(self) -> None:
        """Close the file."""
        if self._zip is not None:
            self._zip.close()

    def near(self, place: int) -> str:
        """Which entry the byte at `place` belongs to, as far as the table of contents says."""
        before = [(i.header_offset, i.orig_filename) for i in self._infos.values() if i.header_offset <= place]
        start = self._zip.start_dir if self._zip is not None else 0
        return "its table of contents" if place >= start else repr(max(before)[1]) if before else "its beginning"

    def _look(self) -> None:
        length = self.path.stat().st_size
        with self.path.open("rb") as stream:
            entries, directory = _end_of(stream, length)
        if entries > limits.MOST_FILES or directory > limits.MOST_DIRECTORY_BYTES:
            self.problem = f"it names {entries:,} files, and {limits.MOST_FILES:,} is as much as is read"
            return
        self._zip = zipfile.ZipFile(self.path)
        infos = self._zip.infolist()
        if len(infos) > limits.MOST_FILES:
            self.problem = f"it names {len(infos):,} files, and {limits.MOST_FILES:,} is as much as is read"
            return
        total = sum(info.file_size for info in infos)
        if total > limits.MOST_TIMES * max(length, 1):
            times = limits.MOST_TIMES
            self.problem = f"it says it holds {total:,} bytes, more than {times} times its own {length:,}: not opened"
            return
        bases = set()
        taken: list[tuple[int, int, str]] = []
        for info in infos:
            name = info.orig_filename
            if problem := _entry_problem(info):
                self.odd.append((name, problem))
                continue
            base, _, inner = name.partition("/")
            bases.add(base)
            taken.append((info.header_offset, info.compress_size, name))
            if name.endswith("/"):
                continue
            if inner in self._infos:
                self.odd.append((name, "a second file of that name"))
                continue
            self._infos[inner] = info
            self.sizes[inner] = info.file_size
        taken.sort()
        for (start, size, name), (after, _, _) in pairwise(taken):
            if start + 30 + len(name) + size > after:
                self.odd.append((name, "it overlaps another file of the ZIP"))
        if len(bases) != 1:
            self.odd.append(("", f"it must hold one folder and no more, and holds {len(bases)}"))
        self.base = min(bases, default="")

    @contextlib.contextmanager
    def open(self, path: str) -> Iterator[IO[bytes]]:
        assert self._zip is not None
        try:
            with self._zip.open(self._infos[path]) as stream:
                yield stream
        except (OSError, zipfile.BadZipFile, NotImplementedError, ValueError, EOFError, RuntimeError) as error:
            raise Unreadable(str(error)) from error
        except Exception as error:  # zlib.error and its like have no common base
            if type(error).__module__ not in ("zlib", "struct"):
                raise
            raise Unreadable(str(error)) from error


def _entry_problem(info: zipfile.ZipInfo) -> str:
    name = info.orig_filename
    mode = info.external_attr >> 16
    if outside(name) or "\\" in name or name.startswith("./") or "/./" in name or "//" in name:
        return "its path leads out of the bag or is not in plain form"
    if len(name.encode("utf-8", "surrogatepass")) > limits.MOST_PATH_BYTES or name.count("/") > limits.MOST_DEPTH:
        return "its path is too long"
    if "/" not in name:
        return "it lies beside the folder of the bag, not in it"
    if mode and stat.S_IFMT(mode) not in (0, stat.S_IFREG, stat.S_IFDIR):
        return "a link or a device, not a file"
    if info.flag_bits & 0x1:
        return "it is encrypted"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return f"compressed by method {info.compress_type}, which is not read"
    if name.endswith("/") and info.file_size:
        return "a folder with bytes in it"
    if info.compress_type == zipfile.ZIP_STORED and info.file_size != info.compress_size:
        return "its sizes contradict each other"
    return ""


def _end_of(stream: IO[bytes], length: int) -> tuple[int, int]:
    """(entries, bytes of the directory) that a ZIP file says it has, from its end record (APPNOTE 6.3, 4.3.16 and
    4.3.14), read before anything is built from it. Raises ValueError if there is none.
    """
    tail = min(length, 22 + 65535 + 20)
    stream.seek(length - tail)
    data = stream.read(tail)
    at = data.rfind(b"PK\x05\x06")
    if at < 0 or len(data) - at < 22:
        raise ValueError("it has no end record")
    entries, directory = struct.unpack("<HI", data[at + 10 : at + 16])
    locator = data[at - 20 : at]
    if at >= 20 and locator[:4] == b"PK\x06\x07":
        (place,) = struct.unpack("<Q", locator[8:16])
        # Readers differ in where they look for the wide record, at the place named or right before: the larger counts.
        for where in (place, length - tail + at - 20 - 56):
            stream.seek(min(max(where, 0), length))
            wide = stream.read(56)
            if wide[:4] == b"PK\x06\x06" and len(wide) == 56:
                said = struct.unpack("<QQ", wide[32:48])
                entries, directory = max(entries, said[0]), max(directory, said[1])
    return entries, directory
