"""Film thickness by spots and areas, after SSPC-PA 2 (default restriction level).

A spot is the mean of at least three gauge readings within a circle of 4 cm; an area is the mean of five spots over
100 ft² (10 m²). Source: the society's newsletter, PUB-A/B; counts and limits PUB-B and PUB-C.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from .faults import TradeError
from .statistics import summarise

SPOTS_PER_AREA = 5
READINGS_PER_SPOT = 3
SPOT_LOW = Decimal("0.80")
SPOT_HIGH = Decimal("1.20")


@dataclass(frozen=True, slots=True)
class SpotPlan:
    """How many areas, spots and gauge readings a surface needs."""

    areas: int
    spots: int
    readings: int


def spot_plan(surface: Decimal, unit: str = "ft²") -> SpotPlan:
    """The least number of measurements for a painted ``surface`` in ft² or m² (100 ft² stand for 10 m²).

    Up to 300 ft² one area per 100 ft²; to 1,000 ft² three areas; above, one more per further 1,000 ft² or
    part. Raises TradeError for another unit or a surface not above 0.
    """
    if unit not in ("ft²", "m²"):
        raise TradeError(f"A surface in {unit!r} is not understood here.", "Write it in m² or ft².")
    feet = surface if unit == "ft²" else surface * 10
    if not feet.is_finite() or feet <= 0:
        raise TradeError(f"A surface of {surface} {unit} cannot be.", "Write the painted surface.")
    if feet <= 300:
        areas = math.ceil(feet / 100)
    elif feet <= 1000:
        areas = 3
    else:
        areas = 3 + math.ceil((feet - 1000) / 1000)
    spots = areas * SPOTS_PER_AREA
    return SpotPlan(areas, spots, spots * READINGS_PER_SPOT)


def spot_limits(minimum: Decimal, maximum: Decimal) -> tuple[Decimal, Decimal]:
    """Lowest and highest spot allowed: 0.80 x the specified minimum, 1.20 x the specified maximum."""
    if minimum > maximum:
        raise TradeError(f"The minimum {minimum} is above the maximum {maximum}.", "Swap them.")
    return SPOT_LOW * minimum, SPOT_HIGH * maximum


@dataclass(frozen=True, slots=True)
class AreaResult:
    """One area: its mean, its spots' means, and what speaks against it. ``complete`` is about counts."""

    mean: Decimal
    spots: tuple[Decimal, ...]
    complete: bool
    reasons: tuple[str, ...]

    @property
    def accepted(self) -> bool | None:
        """Accepted or not; ``None`` (no verdict) where spots or readings are missing and nothing fails."""
        if self.reasons:
            return False
        return True if self.complete else None


def judge_area(spots: Sequence[Sequence[Decimal]], minimum: Decimal, maximum: Decimal) -> AreaResult:
    """One area of spots, each a sequence of gauge readings, against the specified thickness range.

    Single gauge readings are not judged. Raises TradeError for an empty area or spot.
    """
    low, high = spot_limits(minimum, maximum)
    if not spots:
        raise TradeError("The area has no spots.", f"Measure {SPOTS_PER_AREA} spots.")
    means = tuple(summarise(readings).mean for readings in spots)
    mean = summarise(means).mean
    reasons = []
    if any(spot < low for spot in means):
        reasons.append("spot below 80 % of the minimum")
    if any(spot > high for spot in means):
        reasons.append("spot above 120 % of the maximum")
    if not minimum <= mean <= maximum:
        reasons.append("area mean outside the specified range")
    complete = len(spots) >= SPOTS_PER_AREA and all(len(spot) >= READINGS_PER_SPOT for spot in spots)
    return AreaResult(mean, means, complete, tuple(reasons))
