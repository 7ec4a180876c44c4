"""A progress bar on stderr: only on a terminal, and only for what takes over two seconds."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

_AFTER_S = 2.0
_EVERY_S = 0.1
_WIDTH = 28


def progress_bar() -> Callable[[int, int, str], None]:
    """A function (done, total, what) that draws the bar and clears it at the end."""
    started = last = time.monotonic()
    drawn = False

    def show(done: int, total: int, what: str) -> None:
        nonlocal last, drawn
        now = time.monotonic()
        finished = done >= total
        if not sys.stderr.isatty() or (not drawn and (finished or now - started < _AFTER_S)):
            return
        if finished:
            sys.stderr.write("\r\033[K")
            drawn = False
        elif not drawn or now - last >= _EVERY_S:
            full = round(_WIDTH * done / max(total, 1))
            sys.stderr.write(f"\r\033[K{what} [{'#' * full}{'.' * (_WIDTH - full)}] {done}/{total}")
            last, drawn = now, True
        sys.stderr.flush()

    return show
