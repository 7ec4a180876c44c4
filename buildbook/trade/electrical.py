"""Battery at rest and charging voltage. Bands are common practice without a source (PRAC); the maker's figures win."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from .decision import Decision, judge
from .faults import TradeError


class Charge(StrEnum):
    """State of charge of a lead-acid battery at rest."""

    FULL = "full"
    PART = "partly charged"
    LOW = "low"
    FLAT = "flat"


@dataclass(frozen=True, slots=True)
class VoltageSettings:
    """Bands in V per cell of a lead-acid battery at rest, and while charging; all PRAC.

    At rest: full from ``full``, partly charged from ``part``, low from ``low``, flat below. For 12 V (six cells)
    that is 12.6, 12.3 and 11.8 V. ``charge_low``/``charge_high``: 13.8 and 14.7 V for 12 V.
    """

    full: Decimal = Decimal("2.10")
    part: Decimal = Decimal("2.05")
    low: Decimal = Decimal("11.8") / 6
    charge_low: Decimal = Decimal("2.30")
    charge_high: Decimal = Decimal("2.45")


_CELLS = {6: 3, 12: 6, 24: 12}


def cells(nominal: int) -> int:
    """Cells of a lead-acid battery by nominal voltage: 6, 12 or 24 V. Raises TradeError for others."""
    if nominal not in _CELLS:
        raise TradeError(f"A {nominal} V system is not known here.", "Write 6, 12 or 24.")
    return _CELLS[nominal]


def charge(voltage: Decimal, nominal: int, settings: VoltageSettings | None = None) -> Charge:
    """State of charge from the voltage at rest (V), hours after charging and with nothing switched on."""
    chosen = settings or VoltageSettings()
    count = cells(nominal)
    if not voltage.is_finite() or voltage < 0:
        raise TradeError(f"A voltage of {voltage} V cannot be.", "Check leads and polarity.")
    for word, per_cell in ((Charge.FULL, chosen.full), (Charge.PART, chosen.part), (Charge.LOW, chosen.low)):
        # 11.8 V spread over six cells has no finite decimal: compare at a hundredth of a millivolt.
        if voltage >= round(per_cell * count, 5):
            return word
    return Charge.FLAT


def judge_charging(
    voltage: Decimal,
    nominal: int,
    settings: VoltageSettings | None = None,
    *,
    expanded_uncertainty: Decimal | None = None,
) -> Decision:
    """The voltage while charging (V) against the band of its system."""
    chosen = settings or VoltageSettings()
    count = cells(nominal)
    return judge(
        voltage,
        lower=chosen.charge_low * count,
        upper=chosen.charge_high * count,
        expanded_uncertainty=expanded_uncertainty,
    )
