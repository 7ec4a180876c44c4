"""Colour difference CIEDE2000 (ISO/CIE 11664-6) from L*a*b*, at one angle or several.

The formula is coloraide's; the weights kL, kC, kH are 1. There is no universal refinish limit: the limit is the
workshop's setting. Equal colour at three angles may still not match where gloss, texture or flake differ
(ASTM E2194, PUB-A).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import TYPE_CHECKING

from buildbook.records.said import said

from .decision import Decision, judge
from .faults import TradeError

if TYPE_CHECKING:
    from coloraide import Color

#: ASTM E2194 needs three angles (PUB-A); the values 15, 45 and 110 degrees from the gloss angle are MEM.
EFFECT_ANGLES = (15, 45, 110)
# Beyond these no surface colour lies; MEM, wide on purpose so that only slips are refused.
_AB_BOUND = Decimal(150)
_L_BOUND = Decimal(100)


@dataclass(frozen=True, slots=True)
class Lab:
    """CIE 1976 L*a*b*: L* 0..100, a* (green to red), b* (blue to yellow), all plain numbers."""

    L: Decimal
    a: Decimal
    b: Decimal

    def __post_init__(self) -> None:
        if not all(part.is_finite() for part in (self.L, self.a, self.b)):
            raise TradeError(said("L*, a* and b* must be numbers."), said("Write them as the instrument shows them."))
        if not 0 <= self.L <= _L_BOUND:
            raise TradeError(
                said("L* of {L} cannot be: it runs from 0 to 100.", L=self.L), said("Check for swapped digits.")
            )
        if abs(self.a) > _AB_BOUND or abs(self.b) > _AB_BOUND:
            raise TradeError(
                said("a* {a}, b* {b} lie beyond any surface colour.", a=self.a, b=self.b),
                said("Check for swapped digits."),
            )


def parse_lab(text: str) -> Lab:
    """``"52.31 -12.4 8.05"`` (blanks, semicolons, slashes or vertical bars between) as :class:`Lab`.

    Decimal points only: a comma could part numbers or decimals. Raises TradeError with a remedy.
    """
    plain = text.replace("−", "-").strip()
    parts = [part for part in re.split(r"[\s;/|]+", plain) if part]
    try:
        numbers = [Decimal(part) for part in parts]
    except InvalidOperation:
        numbers = []
    if len(numbers) != 3:
        raise TradeError(
            said("{value} is not a colour.", value=repr(text)),
            said("Write L*, a* and b* with blanks between: 52.3 -12.4 8.0."),
        )
    return Lab(*numbers)


@cache
def _colour_class() -> type[Color]:
    from coloraide import Color

    return Color


def delta_e_2000(one: Lab, other: Lab) -> Decimal:
    """The colour difference ΔE00 of two colours, a plain number, rounded to four decimals.

    Rounded because the formula is evaluated in floating point and limits are compared in decimals. The order
    of the two makes no difference.
    """
    colour = _colour_class()
    # CIEDE2000 uses L*a*b* alone; the name of the white point is only the library's label.
    first = colour("lab-d65", [float(one.L), float(one.a), float(one.b)])
    second = colour("lab-d65", [float(other.L), float(other.a), float(other.b)])
    return round(Decimal(repr(float(first.delta_e(second, method="2000", space="lab-d65")))), 4)


@dataclass(frozen=True, slots=True)
class AngleDifferences:
    """ΔE00 by angle. ``decision`` is of the worst angle, and ``None`` while an angle is missing."""

    by_angle: tuple[tuple[int, Decimal], ...]
    missing: tuple[int, ...]
    worst_angle: int | None
    decision: Decision | None


def multi_angle(
    reference: Mapping[int, Lab],
    panel: Mapping[int, Lab],
    limit: Decimal,
    *,
    required: Collection[int] = EFFECT_ANGLES,
    expanded_uncertainty: Decimal | None = None,
) -> AngleDifferences:
    """A panel against the reference panel at each angle (degrees); the worst angle decides.

    A required angle missing on either side is no verdict. Angles measured on both sides beyond the required
    ones are judged too.
    """
    if not required:
        raise TradeError("No angle is required.", "State at least one angle.")
    shared = sorted(reference.keys() & panel.keys())
    missing = tuple(sorted(set(required) - set(shared)))
    found = tuple((angle, delta_e_2000(reference[angle], panel[angle])) for angle in shared)
    if not found:
        return AngleDifferences((), missing, None, None)
    worst_angle, worst = max(found, key=lambda pair: pair[1])
    decision = None if missing else judge(worst, upper=limit, expanded_uncertainty=expanded_uncertainty)
    return AngleDifferences(found, missing, worst_angle, decision)


@dataclass(frozen=True, slots=True)
class ColourSettings:
    """Bands of ΔE00 (PRAC): up to ``target`` no blending needed, up to ``blend`` blend in, above it rework."""

    target: Decimal = Decimal("1.0")
    blend: Decimal = Decimal("2.0")


def colour_band(difference: Decimal, settings: ColourSettings | None = None) -> str:
    """``"match"``, ``"blend"`` or ``"rework"``; a difference on the border belongs to the better band."""
    chosen = settings or ColourSettings()
    if difference <= chosen.target:
        return "match"
    return "blend" if difference <= chosen.blend else "rework"
