"""The one way our ZIP files are written, so that the same files give the same bytes: APPNOTE 6.3 (PKWARE), stored
entries in order of name, no times, no extras but the ZIP64 ones where a size asks for them.

Nothing is squeezed: photos are squeezed already, and a compressor's bytes differ from version to version.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterable
from typing import IO, Any, BinaryIO

CHUNK = 1 << 20
_WHEN = (1980, 1, 1, 0, 0, 0)  # the earliest a ZIP can say: no time is meant
_MODE = 0o100644 << 16

# Name in the ZIP, size in bytes, what copies the file's bytes into an open stream.
Entry = tuple[str, int, Callable[[IO[bytes]], object]]


def write_zip(entries: Iterable[Entry], out: BinaryIO) -> None:
    """Write entries, sorted by the bytes of their names, into a seekable stream that also gives its place (tell).

    Raises zipfile.LargeZipFile or RuntimeError if an entry turns out larger than said.
    """
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED, allowZip64=True) as made:
        for name, size, copy in sorted(entries, key=lambda entry: entry[0].encode("utf-8")):
            with made.open(entry_info(name, size), "w") as stream:
                copy(stream)


def entry_info(name: str, size: int) -> zipfile.ZipInfo:
    """The header of one entry."""
    info = zipfile.ZipInfo(name, _WHEN)
    info.compress_type = zipfile.ZIP_STORED
    info.create_system = 3  # Unix, whatever system this runs on
    info.external_attr = _MODE
    info.file_size = size
    return info


class Differs(Exception):
    """The bytes at `place` are not those of the other file."""

    def __init__(self, place: int) -> None:
        super().__init__(place)
        self.place = place


class Comparing:
    """Stands in for an output file: what is written must be what another file holds at the same place.

    A header is written twice, first without its digest: so headers are compared at the end, by `settle`. The first
    difference is kept until then too, since what raises while a ZIP file is written is met by more writing.
    """

    def __init__(self, other: BinaryIO, size: int) -> None:
        self._other, self._size, self._at = other, size, 0
        self._heads: dict[int, bytes] = {}  # written once, may be written again
        self._differs: int | None = None

    def write(self, data: Any) -> int:
        """Note a header, compare anything else."""
        raw = bytes(data)
        if raw[:4] == b"PK\x03\x04" or self._at in self._heads:
            self._heads[self._at] = raw
        else:
            self._compare(self._at, raw)
        self._at += len(raw)
        return len(raw)

    def _compare(self, place: int, raw: bytes) -> None:
        if self._differs is not None:
            return
        self._other.seek(place)
        found = self._other.read(len(raw))
        if found != raw:
            first = next((i for i, (a, b) in enumerate(zip(found, raw, strict=False)) if a != b), len(found))
            self._differs = place + first

    def settle(self) -> None:
        """Compare the headers as they were written last, and the length. Raises Differs."""
        for place, raw in sorted(self._heads.items()):
            self._compare(place, raw)
        if self._differs is None and self._at != self._size:
            self._differs = min(self._at, self._size)
        if self._differs is not None:
            raise Differs(self._differs)

    def tell(self) -> int:
        """Where the next write goes."""
        return self._at

    def seek(self, place: int, whence: int = 0) -> int:
        """Go to a place counted from the start."""
        if whence != 0:
            raise OSError("only from the start")
        self._at = place
        return place

    def flush(self) -> None:
        """Nothing is held back."""

    def seekable(self) -> bool:
        return True
