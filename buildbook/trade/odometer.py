"""Odometer readings: exact conversion, a course that never falls unexplained, and the mile-kilometre slip.

1 mi = 1.609344 km exactly. Plausibility rules are common practice without a source (PRAC).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum
from itertools import pairwise

from .faults import TradeError
from .units import convert

KM_PER_MILE = Decimal("1.609344")


class OdometerEvent(StrEnum):
    """What a record says happened since the reading before."""

    NONE = "none"
    ROLLOVER = "rollover"
    REPLACED = "replaced"
    UNIT_CHANGE = "unit change"


class OdometerDoubt(StrEnum):
    """What a person should look at."""

    FALLS = "lower than the reading before, unexplained"
    UNIT_SLIP = "ratio to the reading before is that of mile and kilometre"
    TOO_FAR = "further than a car goes in the time"
    ROLLOVER_WITHOUT_FALL = "a rollover is stated but the reading did not fall"


@dataclass(frozen=True, slots=True)
class OdometerReading:
    """A reading as written: date, value, ``km`` or ``mi``, and what happened since the one before."""

    on: date
    value: Decimal
    unit: str = "km"
    event: OdometerEvent = OdometerEvent.NONE

    @property
    def km(self) -> Decimal:
        """The reading in kilometres, exactly."""
        return convert(self.value, self.unit, "km")


@dataclass(frozen=True, slots=True)
class OdometerFlag:
    """A doubt about ``later``, seen against ``earlier``."""

    doubt: OdometerDoubt
    earlier: OdometerReading
    later: OdometerReading


def travelled_km(earlier: OdometerReading, later: OdometerReading, digits: int | None = None) -> Decimal | None:
    """Kilometres between two readings, or ``None`` where they cannot tell (instrument replaced).

    For a stated rollover ``digits`` is the number of digits of the instrument (5: it turns over at 100,000).
    May be negative: a fall is reported as it is.
    """
    if later.event is OdometerEvent.REPLACED:
        return None
    if later.event is OdometerEvent.ROLLOVER and later.value < earlier.value:
        if digits is None or digits < 4:
            raise TradeError("A rollover is stated without the number of digits.", "Write digits, as 5 or 6.")
        if later.unit != earlier.unit:
            return None
        return convert(Decimal(10) ** digits - earlier.value + later.value, later.unit, "km")
    return later.km - earlier.km


def _slip(earlier: OdometerReading, later: OdometerReading, tolerance: Decimal) -> bool:
    """Whether the written numbers stand in the ratio of mile and kilometre, either way round."""
    if earlier.value <= 0 or later.value <= 0:
        return False
    ratio = later.value / earlier.value
    return any(abs(ratio / factor - 1) <= tolerance for factor in (KM_PER_MILE, 1 / KM_PER_MILE))


def doubts(
    readings: Sequence[OdometerReading],
    *,
    digits: int | None = None,
    ratio_tolerance: Decimal = Decimal("0.005"),
    km_per_day: Decimal = Decimal(1500),
) -> tuple[OdometerFlag, ...]:
    """What does not add up in a car's readings, by date. Thresholds are settings (PRAC).

    A fall is explained only by a stated rollover, replacement or change of unit. A ratio near 1.609 or 0.621
    between neighbours in the same unit asks whether one was read in the other unit.
    """
    # Same-day readings have no order of their own; the smaller one is taken first.
    ordered = sorted(readings, key=lambda reading: (reading.on, reading.km))
    found: list[OdometerFlag] = []
    for earlier, later in pairwise(ordered):
        explained = later.event in (OdometerEvent.REPLACED, OdometerEvent.UNIT_CHANGE)
        if later.event is OdometerEvent.ROLLOVER and later.value >= earlier.value:
            found.append(OdometerFlag(OdometerDoubt.ROLLOVER_WITHOUT_FALL, earlier, later))
        if explained:
            continue
        comparable = later.event is OdometerEvent.NONE and later.unit == earlier.unit
        if comparable and _slip(earlier, later, ratio_tolerance):
            found.append(OdometerFlag(OdometerDoubt.UNIT_SLIP, earlier, later))
            continue
        distance = travelled_km(earlier, later, digits)
        if distance is None:
            continue
        if distance < 0:
            found.append(OdometerFlag(OdometerDoubt.FALLS, earlier, later))
        elif distance > km_per_day * ((later.on - earlier.on).days + 1):
            found.append(OdometerFlag(OdometerDoubt.TOO_FAR, earlier, later))
    return tuple(found)


def without_tenths(value: Decimal) -> Decimal:
    """The reading as a transfer statement wants it, tenths dropped (49 CFR 580.5, PUB-A)."""
    return value.to_integral_value(rounding=ROUND_FLOOR)


def disclosure_exempt(model_year: int, transfer_year: int) -> bool:
    """Whether a United States transfer needs no odometer statement (49 CFR 580.17, PUB-A).

    Model year 2010 and before: from the tenth year after; 2011 and after: from the twentieth.
    """
    return transfer_year >= model_year + (10 if model_year <= 2010 else 20)
