"""Compression and leak-down by cylinder. Bands are settings (PRAC); the maker's figures win."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from .decision import Decision, judge
from .faults import TradeError
from .statistics import checked

#: Greatest spread between cylinders in % of the highest (PRAC).
USUAL_SPREAD = Decimal(15)


@dataclass(frozen=True, slots=True)
class Compression:
    """Cylinders compared, pressures in one unit: the lowest and highest, spread in % of the highest, decisions.

    ``least`` is ``None`` where no minimum is set.
    """

    lowest: tuple[str, Decimal]
    highest: tuple[str, Decimal]
    spread_percent: Decimal
    spread: Decision
    least: Decision | None


def compare_cylinders(
    pressures: Mapping[str, Decimal],
    *,
    spread_limit: Decimal = USUAL_SPREAD,
    minimum: Decimal | None = None,
    expanded_uncertainty: Decimal | None = None,
) -> Compression:
    """Compression of one engine by cylinder: spread between cylinders, and the lowest against the minimum.

    ``expanded_uncertainty`` is that of a pressure. Raises TradeError for fewer than two cylinders or a pressure
    not above 0.
    """
    values = checked(pressures.values(), "compression readings")
    if len(values) < 2:
        raise TradeError("One cylinder cannot be compared.", "Measure every cylinder.")
    if values[0] <= 0:
        raise TradeError("A compression must be above 0.", "Measure that cylinder again.")
    lowest = min(pressures.items(), key=lambda item: (item[1], item[0]))
    highest = max(pressures.items(), key=lambda item: (item[1], item[0]))
    spread = 100 * (highest[1] - lowest[1]) / highest[1]
    least = None if minimum is None else judge(lowest[1], lower=minimum, expanded_uncertainty=expanded_uncertainty)
    return Compression(lowest, highest, spread, judge(spread, upper=spread_limit), least)


class Leak(StrEnum):
    """Leak-down in words."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"
    BAD = "bad"


@dataclass(frozen=True, slots=True)
class LeakSettings:
    """Upper ends of the bands in % (PRAC); a value on a border belongs to the better band."""

    good: Decimal = Decimal(10)
    fair: Decimal = Decimal(20)
    poor: Decimal = Decimal(30)


def leak_word(percent: Decimal, settings: LeakSettings | None = None) -> Leak:
    """Leak-down of one cylinder (%) in words. Raises TradeError outside 0..100."""
    if not percent.is_finite() or not 0 <= percent <= 100:
        raise TradeError(f"A leak-down of {percent} % cannot be.", "Write 0 to 100.")
    chosen = settings or LeakSettings()
    for word, limit in ((Leak.GOOD, chosen.good), (Leak.FAIR, chosen.fair), (Leak.POOR, chosen.poor)):
        if percent <= limit:
            return word
    return Leak.BAD
