"""The end of each stream, said beyond doubt.

The PDF library ends a stream's data with a line feed before `endstream`. Where the data's own last byte is a carriage
return (one packed stream in 256) the two look like one line end, so that a reader may take the data for a byte shorter
than /Length says, against ISO 19005-3, 6.1.7.1. Such data gets a space behind it, which is after the end of what is
packed; the byte is saved in the stream's dictionary, so nothing in the file moves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

_END = b"\r\nendstream\nendobj"
_PART = 1 << 22
_BACK = (1 << 16, 1 << 20, 1 << 24)  # bytes of a packed stream looked back over: few at first, most streams are short
_HEAD = re.compile(rb"<< ([^\r\n]*?/Length )(\d+)([^\r\n]*) >>\nstream\n")


def mend_stream_ends(path: Path) -> int:
    """Mend the file in place; its size stays. Returns how many streams were mended."""
    mended = 0
    with path.open("r+b") as file:
        for at in list(_found(file)):
            mended += _mend(file, at)
    return mended


def _found(file: BinaryIO) -> Iterator[int]:
    """Where `_END` begins, in order; the file is read in parts."""
    start, held = 0, b""
    while part := file.read(_PART):
        held += part
        at = held.find(_END)
        while at >= 0:
            yield start + at
            at = held.find(_END, at + 1)
        keep = min(len(held), len(_END) - 1)
        start += len(held) - keep
        held = held[-keep:]


def _mend(file: BinaryIO, at: int) -> bool:
    """Mend the stream whose last byte is at `at`, if a dictionary before it says just that length and is packed."""
    found = (_mend_within(file, at, back) for back in _BACK)
    return next((mended for mended in found if mended is not None), False)


def _mend_within(file: BinaryIO, at: int, back: int) -> bool | None:
    """Whether it was mended; None if its dictionary does not stand in the `back` bytes before its end."""
    first = max(at - back, 0)
    file.seek(first)
    held = file.read(at + 1 - first)
    stop = len(held)
    while (stop := held.rfind(b">>\nstream\n", 0, stop)) >= 0:
        begins = stop + len(b">>\nstream\n")
        line = held.rfind(b"\n", 0, stop) + 1
        head = _HEAD.fullmatch(held, line, begins)
        if head is not None and int(head[2]) == len(held) - begins:
            if b"/FlateDecode" not in head[0]:
                return False
            made = b"<<%b%d%b >>\nstream\n" % (head[1], int(head[2]) + 1, head[3])
            if len(made) == len(head[0]):  # one digit more
                made = made.replace(b" >>\nstream\n", b">>\nstream\n")
            file.seek(first + line)
            file.write(made + held[begins:] + b" ")
            return True
    return None
