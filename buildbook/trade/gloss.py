"""Gloss by angle of measurement: which angle to use, what may be compared.

ISO 2813, ASTM D523 (PUB-C). Gloss units of different angles are different scales: one surface measured 35 GU at 20°,
70 at 60° and 95 at 85° (explanatory example of ISO 2813:2014, PUB-C), so they are never compared.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from .faults import TradeError

ANGLES = (20, 60, 85)
_HIGH = Decimal(70)
_LOW = Decimal(10)


def _known(angle: int) -> None:
    if angle not in ANGLES:
        raise TradeError(f"Gloss at {angle}° is not a standard angle.", "Measure at 20°, 60° or 85°.")


def proposed_angle(gloss_60: Decimal) -> int:
    """The angle in degrees to measure at, from the gloss at 60°: above 70 GU 20°, below 10 GU 85°, else 60°.

    ASTM D523's wording is "above 70"; a meter maker prints "70 and higher" (PUB-B). At 70.0 we stay at 60°.
    """
    if not gloss_60.is_finite() or gloss_60 < 0:
        raise TradeError(f"A gloss of {gloss_60} cannot be.", "Write the reading at 60°.")
    if gloss_60 > _HIGH:
        return 20
    return 85 if gloss_60 < _LOW else 60


@dataclass(frozen=True, slots=True)
class GlossChange:
    """Change at one angle: ``gain`` in GU, ``retention`` in % (``None`` where there was no gloss before)."""

    angle: int
    before: Decimal
    after: Decimal
    gain: Decimal
    retention: Decimal | None


def gloss_change(angle_before: int, before: Decimal, angle_after: int, after: Decimal) -> GlossChange:
    """Gain and retention (100 x after / before, PRAC) of two readings in GU at the same angle.

    Raises TradeError where the angles differ.
    """
    _known(angle_before)
    _known(angle_after)
    if angle_before != angle_after:
        raise TradeError(
            f"Gloss at {angle_before}° cannot be compared with gloss at {angle_after}°.",
            "Measure both at the same angle.",
        )
    retention = None if before == 0 else 100 * after / before
    return GlossChange(angle_before, before, after, after - before, retention)
