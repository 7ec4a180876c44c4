"""Curing: dwell at metal temperature, and recoat windows.

The paint's product sheet sets times and temperatures; the rule forms here are common practice (PRAC). All instants
carry a time zone and are compared in UTC, so that a change of the clocks neither adds nor removes an hour.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from buildbook.records.said import said

from .faults import TradeError


def _utc(instant: datetime, what: str) -> datetime:
    """The instant in UTC. Python subtracts two times of one zone by the clock face, so never subtract local ones."""
    if instant.tzinfo is None or instant.utcoffset() is None:
        raise TradeError(
            f"The time {instant.isoformat(sep=' ')} of {what} has no time zone.",
            "Write it with its offset: 2026-03-29T10:00:00+01:00.",
        )
    return instant.astimezone(UTC)


@dataclass(frozen=True, slots=True)
class Dwell:
    """Time at or above the threshold: all of it, and the longest unbroken stretch."""

    total: timedelta
    longest: timedelta


def dwell(
    log: Iterable[tuple[datetime, Decimal]],
    threshold: Decimal,
    *,
    until: datetime | None = None,
    longest_gap: timedelta | None = None,
) -> Dwell:
    """Time the metal was at or above ``threshold`` (both in °C), holding each reading until the next.

    The last reading counts for nothing unless ``until`` says when the heat was ended. Where readings lie further
    apart than ``longest_gap`` the time between counts for nothing and breaks the stretch: nobody looked. Raises
    TradeError for an empty log, a time without zone, or two different readings of one instant.
    """
    points: dict[datetime, Decimal] = {}
    for instant, temperature in log:
        at = _utc(instant, "the temperature log")
        if not temperature.is_finite():
            raise TradeError(
                said("A logged temperature is not a number."), said("Leave the row out or write the value.")
            )
        if points.setdefault(at, temperature) != temperature:
            raise TradeError(
                said("Two temperatures are logged for {instant}.", instant=instant.isoformat(sep=" ")),
                said("Log one value per instant."),
            )
    if not points:
        raise TradeError("The temperature log is empty.", "Log the metal temperature while curing.")
    ordered = sorted(points.items())
    if until is not None:
        end = _utc(until, "the end of the heat")
        if end < ordered[-1][0]:
            raise TradeError("The heat ends before the last reading.", "Correct the end or the log.")
        if end > ordered[-1][0]:
            ordered.append((end, ordered[-1][1]))
    total = stretch = longest = timedelta(0)
    for (start, temperature), (end, _) in pairwise(ordered):
        span = end - start
        if temperature < threshold or (longest_gap is not None and span > longest_gap):
            stretch = timedelta(0)
            continue
        total += span
        stretch += span
        longest = max(longest, stretch)
    return Dwell(total, longest)


@dataclass(frozen=True, slots=True)
class CureCheck:
    """Dwell against what the schedule asks; ``counted`` is the time that the rule looks at."""

    dwell: Dwell
    counted: timedelta
    required: timedelta
    unbroken: bool

    @property
    def enough(self) -> bool:
        """Whether the counted time reaches the required one."""
        return self.counted >= self.required


def check_cure(
    log: Iterable[tuple[datetime, Decimal]],
    threshold: Decimal,
    required: timedelta,
    *,
    measured: str,
    unbroken: bool = False,
    until: datetime | None = None,
    longest_gap: timedelta | None = None,
) -> CureCheck:
    """Whether the metal was hot for long enough, in all or (``unbroken``) in one stretch.

    ``measured`` says what the log is of and must be ``"metal"``: air in a booth runs ahead of the panel.
    """
    if measured != "metal":
        raise TradeError(
            f"The log is of {measured} temperature; a cure is judged at the metal.",
            "Log the metal's temperature with a surface thermometer or logger.",
        )
    if required <= timedelta(0):
        raise TradeError("The schedule asks for no time.", "Write the minutes of the product sheet.")
    found = dwell(log, threshold, until=until, longest_gap=longest_gap)
    return CureCheck(found, found.longest if unbroken else found.total, required, unbroken)


class Recoat(StrEnum):
    """What the recoat window says."""

    TOO_EARLY = "not yet"
    ALLOWED = "within the window"
    ABRADE_FIRST = "window closed: scuff first"


@dataclass(frozen=True, slots=True)
class RecoatCheck:
    """The word and the time gone by since the coat before."""

    word: Recoat
    elapsed: timedelta


def check_recoat(
    coat_ended: datetime, next_coat: datetime, not_before: timedelta, not_after: timedelta | None = None
) -> RecoatCheck:
    """The next coat against the window: both ends belong to it (PRAC).

    Raises TradeError for a time without zone, a next coat before the first, or a window that ends before it opens.
    """
    elapsed = _utc(next_coat, "the next coat") - _utc(coat_ended, "the coat before")
    if elapsed < timedelta(0):
        raise TradeError("The next coat lies before the one it goes on.", "Check the two times.")
    if not_before < timedelta(0) or (not_after is not None and not_after < not_before):
        raise TradeError("The recoat window ends before it opens.", "Check the two limits.")
    if elapsed < not_before:
        return RecoatCheck(Recoat.TOO_EARLY, elapsed)
    if not_after is not None and elapsed > not_after:
        return RecoatCheck(Recoat.ABRADE_FIRST, elapsed)
    return RecoatCheck(Recoat.ALLOWED, elapsed)
