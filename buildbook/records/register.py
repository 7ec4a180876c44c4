"""The accession register: when each file of the evidence came into the job folder. Its lines, as pure functions.

`register.jsonl` in the job folder: one JSON object a line, only ever added to. Each line names the SHA-256 of the line
before it, line feed included, so that `sed -n 3p register.jsonl | sha256sum` gives the `prev` of line 4.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from buildbook.records.said import said

NAME = "register.jsonl"
FIRST = "0" * 64  # what the first line names as its predecessor
MOST_BYTES = 64 << 20
_FOLDERS = ("steps/", "documents/", "inbox/")
_NOTES = frozenset({"about.txt", "readme.txt", "readme.md", "step.toml"})
_TORN = re.compile(r"register\.torn-[0-9]{3}")
_HEX = re.compile(r"[0-9a-f]{64}")
_AT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Registration:
    """One line: this file was there then. n: from 1. at: UTC, by the clock of the computer that registered it."""

    n: int
    at: datetime
    path: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a line (from 1). kind: "broken", "out-of-order" or "torn"."""

    kind: str
    line: int
    says: str


@dataclass(frozen=True, slots=True)
class Register:
    """A register as read. last: SHA-256 of its last whole line. torn: the bytes after it, b"" if there are none."""

    entries: tuple[Registration, ...] = ()
    faults: tuple[Fault, ...] = ()
    last: str = FIRST
    torn: bytes = b""


def is_registered_kind(path: str) -> bool:
    """True for evidence: photos and papers. Tables and job.toml are written over time, and are not registered."""
    return path.startswith(_FOLDERS) and path.rpartition("/")[2].casefold() not in _NOTES


def is_torn_name(path: str) -> bool:
    """True for what a repair kept of a torn line."""
    return _TORN.fullmatch(path) is not None


def line_bytes(entry: Registration, prev: str) -> bytes:
    """The one way a line is written."""
    at = entry.at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    data = {
        "n": entry.n, "at": at, "path": entry.path, "size": entry.size, "sha256": entry.sha256, "prev": prev,
    }  # fmt: skip
    return (json.dumps(data, ensure_ascii=False, separators=(",", ":")) + "\n").encode("utf-8")


def line_digest(line: bytes) -> str:
    """What the next line names: SHA-256 of a line with its line feed."""
    return hashlib.sha256(line).hexdigest()


def parse(data: bytes) -> Register:
    """A register from its bytes. Never raises: what is wrong is said, line by line, and the rest is still read."""
    *whole, torn = data.split(b"\n")
    entries: list[Registration] = []
    faults: list[Fault] = []
    prev = FIRST
    for number, raw in enumerate(whole, start=1):
        read = _read(raw)
        if isinstance(read, str):
            faults.append(Fault("broken", number, said("Line {line} cannot be read: {why}.", line=number, why=read)))
        else:
            entry, named = read
            if entry.n != number:
                says = said(
                    "Line {line} calls itself line {named}: a line was taken out, put in or moved.",
                    line=number, named=entry.n,
                )  # fmt: skip
                faults.append(Fault("out-of-order", number, says))
            elif named != prev:
                says = said(
                    "Line {line} does not name the digest of the line before it: one of the two was changed.",
                    line=number,
                )
                faults.append(Fault("broken", number, says))
            entries.append(entry)
        prev = line_digest(raw + b"\n")
    if torn:
        where = len(whole) + 1
        faults.append(Fault("torn", where, said("Line {line} breaks off: writing it was interrupted.", line=where)))
    return Register(tuple(entries), tuple(faults), prev, torn)


def whole_line(torn: bytes, number: int, prev: str) -> Registration | None:
    """The registration that a torn line holds in full, if nothing but its line feed is missing."""
    read = _read(torn)
    if isinstance(read, str) or read[0].n != number or read[1] != prev:
        return None
    return read[0] if line_bytes(read[0], prev) == torn + b"\n" else None


def _read(raw: bytes) -> tuple[Registration, str] | str:
    """A line and the digest it names, or what is wrong with it."""
    try:
        data = json.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError):
        return said("it is not JSON")
    if not isinstance(data, dict) or list(data) != ["n", "at", "path", "size", "sha256", "prev"]:
        return said("it does not hold n, at, path, size, sha256 and prev, in this order")
    n, at, path, size, sha256, prev = data.values()
    if type(n) is not int or type(size) is not int or n < 1 or size < 0:
        return said("n and size are no whole numbers")
    if not (isinstance(sha256, str) and _HEX.fullmatch(sha256) and isinstance(prev, str) and _HEX.fullmatch(prev)):
        return said("sha256 and prev are no digests")
    if not isinstance(path, str) or not path or not isinstance(at, str) or not _AT.fullmatch(at):
        return said("path and at are no path and no time in UTC")
    try:
        when = datetime.fromisoformat(at.removesuffix("Z") + "+00:00")
    except ValueError:
        return said("{time} is no time", time=at)
    return Registration(n=n, at=when, path=path, size=size, sha256=sha256), prev


def first_registered(entries: Iterable[Registration]) -> dict[str, datetime]:
    """Digest -> when a file with these bytes was first registered. A file that is moved keeps its registration."""
    found: dict[str, datetime] = {}
    for entry in entries:
        found.setdefault(entry.sha256, entry.at)
    return found


def gone(entries: Iterable[Registration], files: Iterable[tuple[str, str]]) -> list[tuple[Registration, bool]]:
    """Registered bytes that none of the files (path, digest) hold now. True: another file lies in their place."""
    listed = list(files)
    paths, digests = {path for path, _ in listed}, {digest for _, digest in listed}
    return [(entry, entry.path in paths) for entry in entries if entry.sha256 not in digests]
