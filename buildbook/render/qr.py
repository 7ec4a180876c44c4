"""QR codes (ISO/IEC 18004) as rows of dark runs, for any renderer to draw."""

from __future__ import annotations

from collections.abc import Sequence

import segno


def dark_runs(payload: str, *, border: int = 0) -> list[list[tuple[int, int]]]:
    """For each row of modules its dark runs as (first module, length). border: quiet zone around it, in modules."""
    code = segno.make_qr(payload, error="m", boost_error=False)
    return [_runs([bool(cell) for cell in row]) for row in code.matrix_iter(border=border)]


def _runs(row: Sequence[bool]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    start = None
    for index, dark in enumerate([*row, False]):
        if dark and start is None:
            start = index
        elif not dark and start is not None:
            found.append((start, index - start))
            start = None
    return found
