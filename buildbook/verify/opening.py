"""Opening a PDF that may come from a stranger: nothing in it is unpacked beyond the limits."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from buildbook.verify.limits import MOST_LIST_BYTES

ROOM = 1 << 30  # bytes of memory the PDF library may take beyond what the program holds
_STATM = Path("/proc/self/statm")


def _spelled(name: bytes) -> bytes:
    """A pattern for a name of a PDF, any letter of which may be written as its number (ISO 32000-1, 7.3.5)."""
    return b"".join(b"(?:%c|#%02x|#%02X)" % (c, c, c) for c in name)


# The two ways of packing for which the PDF library has no limit that holds; a dossier uses neither.
_UNLIMITED = re.compile(b"/(?:%s|%s)%s" % (_spelled(b"LZW"), _spelled(b"RunLength"), _spelled(b"Decode")))


@contextmanager
def opened(data: bytes, *, recover: bool = True) -> Iterator[Any]:
    """The PDF, by pikepdf, while it is open. recover: try to mend a damaged one.

    Raises ValueError for what is packed in a way that has no limit, and whatever pikepdf does, MemoryError for what
    would take more than `ROOM`.
    """
    import pikepdf
    from pikepdf.settings import set_qpdf_limits

    if _UNLIMITED.search(data):
        raise ValueError("something in it is packed in a way that is not unpacked")
    before: dict[str, Any] = set_qpdf_limits(  # they hold for the whole process, so they are put back
        max_stream_filters=2,
        flate_max_memory=MOST_LIST_BYTES,
        png_max_memory=MOST_LIST_BYTES,
        tiff_max_memory=MOST_LIST_BYTES,
        dct_max_memory=MOST_LIST_BYTES,
    )
    try:
        with _room(), pikepdf.open(io.BytesIO(data), attempt_recovery=recover) as pdf:
            yield pdf
    finally:
        set_qpdf_limits(**before)


@contextmanager
def _room() -> Iterator[None]:
    """Let the process grow by `ROOM` and no more, where the system has such a limit (Linux)."""
    try:
        import resource

        holds = int(_STATM.read_text("ascii").split()[0]) * resource.getpagesize()
        soft, hard = resource.getrlimit(resource.RLIMIT_AS)
        most = holds + ROOM
        resource.setrlimit(resource.RLIMIT_AS, (most if soft < 0 else min(most, soft), hard))
    except (ImportError, OSError, ValueError):
        yield
        return
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
