"""A table as it lies in a file: numbered records of raw cells, before any heading is understood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from buildbook.records.finding import Raised

MOST_ROWS = 50_000
MOST_COLUMNS = 200


@dataclass(frozen=True, slots=True)
class NoValue:
    """A cell whose formula was saved without its result."""

    formula: str


RawCell = str | int | float | bool | date | datetime | time | timedelta | NoValue | None


@dataclass(frozen=True, slots=True)
class Grid:
    """Records with their number, the first being 1. delimiter: "" for a workbook. raised: what could not be read."""

    records: tuple[tuple[int, Sequence[RawCell]], ...]
    delimiter: str
    raised: tuple[Raised, ...] = ()
