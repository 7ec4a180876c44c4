"""Reading the job folder's own files: regular files only, bounded, and their text."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from buildbook.load.refused import Refused, reason
from buildbook.records.said import figure, said

TABLE_BYTES = 20_000_000
TOML_BYTES = 2_000_000
JSON_BYTES = 1_000_000

_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


def read_bytes(root: Path, path: str, most: int) -> bytes:
    """The bytes of a regular file of the folder. path: relative, `/` separated. most: limit in bytes.

    Links are not followed and a pipe never blocks. Raises Refused (load.unreadable, load.too-big).
    """
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    try:
        handle = os.open(root / path, flags)
        try:
            status = os.fstat(handle)
            if not stat.S_ISREG(status.st_mode):
                raise Refused("load.unreadable", said("It is not an ordinary file."))
            if status.st_size > most:
                raise Refused(
                    "load.too-big",
                    said(
                        "It holds {n} bytes; a file of this kind is read up to {limit} bytes.",
                        n=figure(status.st_size, ","),
                        limit=figure(most, ","),
                    ),
                )
            with os.fdopen(os.dup(handle), "rb") as stream:
                data = stream.read(most + 1)
        finally:
            os.close(handle)
    except OSError as error:
        raise Refused("load.unreadable", said("It cannot be read: {why}.", why=reason(error))) from error
    if len(data) > most:
        raise Refused(
            "load.too-big",
            said("It holds more than {limit} bytes, the limit for a file of this kind.", limit=figure(most, ",")),
        )
    return data


def as_text(data: bytes) -> str:
    """The text of a file as people save it: UTF-8 with or without its mark, UTF-16 or UTF-32 with theirs.

    Raises Refused (load.not-utf8), naming the line and the byte.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            try:
                return data.decode(encoding)
            except UnicodeDecodeError as error:
                raise Refused(
                    "load.not-utf8",
                    said(
                        "It begins as {encoding} but breaks off at byte {byte}.",
                        encoding=_title(encoding),
                        byte=error.start + 1,
                    ),
                ) from error
    if b"\x00" in data:
        sample = data[:400]
        even, odd = sample[::2].count(0), sample[1::2].count(0)
        if max(even, odd) * 3 > len(sample):
            raise Refused("load.not-utf8", said("It is UTF-16 text without the mark that says so."))
        where = data.index(b"\x00")
        raise Refused("load.not-utf8", said("It is not text: line {line} holds a zero byte.", line=_line(data, where)))
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = data[error.start]
        old = bytes([byte]).decode("cp1252", "replace")
        line = _line(data, error.start)
        if old.isprintable() and old != "�":
            says = said(
                "It is not UTF-8: line {line} holds the byte {byte}, which is {letter} in the older Windows encoding "
                "(cp1252).",
                line=line, byte=f"{byte:#04x}", letter=old,
            )  # fmt: skip
        else:
            says = said("It is not UTF-8: line {line} holds the byte {byte}.", line=line, byte=f"{byte:#04x}")
        raise Refused("load.not-utf8", says) from error


def _title(encoding: str) -> str:
    return encoding.upper().removesuffix("-SIG")


def _line(data: bytes, at: int) -> int:
    before = data[:at].replace(b"\r\n", b"\n")
    return before.count(b"\n") + before.count(b"\r") + 1
