"""Climate while painting: dew point and the margin of the surface above it.

Magnus formula with the constants the World Meteorological Organization recommends over liquid water (WMO-No. 8,
as given in the documentation of a public solar-energy library, PUB-B), good from -45 to +60 °C.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from .decision import Decision, judge
from .faults import TradeError

#: e_s(t) = 6.112 hPa x exp(MAGNUS_B t / (MAGNUS_C + t)), t in °C; the 6.112 cancels in the dew point.
MAGNUS_B = 17.62
MAGNUS_C = 243.12
_RANGE = (Decimal(-45), Decimal(60))
#: ISO 8502-4: the surface at least this far above the dew point, in K (PUB-C; the standard's text not read).
LEAST_MARGIN = Decimal(3)


def dew_point(air: Decimal, humidity: Decimal) -> Decimal:
    """Dew point in °C, to 0.01 °C, from air temperature in °C and relative humidity in %.

    Raises TradeError outside -45..60 °C or where the humidity is not above 0 and at most 100 %.
    """
    if not air.is_finite() or not _RANGE[0] <= air <= _RANGE[1]:
        raise TradeError(
            f"An air temperature of {air} °C is outside the formula (-45 to 60 °C).", "Check the unit: °C or °F?"
        )
    if not humidity.is_finite() or not 0 < humidity <= 100:
        raise TradeError(f"A relative humidity of {humidity} % cannot be.", "Write above 0, to 100.")
    t = float(air)
    gamma = math.log(float(humidity) / 100) + MAGNUS_B * t / (MAGNUS_C + t)
    # Rounded because limits are compared in decimals; the formula itself is good to some hundredths.
    return round(Decimal(repr(MAGNUS_C * gamma / (MAGNUS_B - gamma))), 2)


@dataclass(frozen=True, slots=True)
class DewPointCheck:
    """Dew point and ``margin`` (surface less dew point, K), with the decision on the margin."""

    dew_point: Decimal
    margin: Decimal
    decision: Decision


def check_dew_point(
    surface: Decimal,
    air: Decimal,
    humidity: Decimal,
    *,
    least: Decimal = LEAST_MARGIN,
    expanded_uncertainty: Decimal | None = None,
) -> DewPointCheck:
    """The surface temperature (°C) against the dew point: at least ``least`` K above it (ISO 8502-4).

    ``expanded_uncertainty`` is that of the margin, in K.
    """
    if not surface.is_finite():
        raise TradeError("The surface temperature is not a number.", "Write it as measured.")
    point = dew_point(air, humidity)
    margin = surface - point
    return DewPointCheck(point, margin, judge(margin, lower=least, expanded_uncertainty=expanded_uncertainty))
