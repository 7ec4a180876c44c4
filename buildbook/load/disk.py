"""Reading the job folder's own files: regular files only, bounded, and their text."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from buildbook.load.refused import Refused

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
                raise Refused("load.unreadable", "It is not an ordinary file.")
            if status.st_size > most:
                raise Refused(
                    "load.too-big",
                    f"It holds {status.st_size:,} bytes; a file of this kind is read up to {most:,} bytes.",
                )
            with os.fdopen(os.dup(handle), "rb") as stream:
                data = stream.read(most + 1)
        finally:
            os.close(handle)
    except OSError as error:
        raise Refused("load.unreadable", f"It cannot be read: {error.strerror or error}.") from error
    if len(data) > most:
        raise Refused("load.too-big", f"It holds more than {most:,} bytes, the limit for a file of this kind.")
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
                    "load.not-utf8", f"It begins as {_title(encoding)} but breaks off at byte {error.start + 1}."
                ) from error
    if b"\x00" in data:
        sample = data[:400]
        even, odd = sample[::2].count(0), sample[1::2].count(0)
        if max(even, odd) * 3 > len(sample):
            raise Refused("load.not-utf8", "It is UTF-16 text without the mark that says so.")
        where = data.index(b"\x00")
        raise Refused("load.not-utf8", f"It is not text: line {_line(data, where)} holds a zero byte.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = data[error.start]
        old = bytes([byte]).decode("cp1252", "replace")
        guess = f", which is {old} in the older Windows encoding (cp1252)" if old.isprintable() and old != "�" else ""
        line = _line(data, error.start)
        raise Refused("load.not-utf8", f"It is not UTF-8: line {line} holds the byte {byte:#04x}{guess}.") from error


def _title(encoding: str) -> str:
    return encoding.upper().removesuffix("-SIG")


def _line(data: bytes, at: int) -> int:
    before = data[:at].replace(b"\r\n", b"\n")
    return before.count(b"\n") + before.count(b"\r") + 1
