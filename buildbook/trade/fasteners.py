"""Fasteners: torque against the maker's figure, what a bolt can bear, and the recheck of wheel nuts.

T = K F d (Shigley, Mechanical Engineering Design, PUB-B). The maker's torque always wins. Torque is not clamping force:
20 dry bolts at one torque spread by 14 % (same book).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from .decision import Decision, judge
from .faults import TradeError
from .units import Unit, convert, known_units, plausible_other_unit


@dataclass(frozen=True, slots=True)
class Bolt:
    """A metric coarse-thread bolt: diameter and pitch in mm, stress area in mm², proof load in N by class."""

    size: str
    diameter: Decimal
    pitch: Decimal
    stress_area: Decimal
    proof_loads: tuple[tuple[str, Decimal | None], ...]


def _bolt(size: str, diameter: str, pitch: str, area: str, *loads: str | None) -> Bolt:
    values = tuple(
        (cls, None if load is None else Decimal(load)) for cls, load in zip(("8.8", "10.9", "12.9"), loads, strict=True)
    )
    return Bolt(size, Decimal(diameter), Decimal(pitch), Decimal(area), values)


#: ISO 898-1, coarse thread (PUB-C); pitches after ISO 261 (MEM).
BOLTS: tuple[Bolt, ...] = (
    _bolt("M6", "6", "1", "20.1", "11600", "16700", "19500"),
    _bolt("M8", "8", "1.25", "36.6", "21200", "30400", "35500"),
    _bolt("M10", "10", "1.5", "58.0", "33700", "48100", "56300"),
    _bolt("M12", "12", "1.75", "84.3", "48900", "70000", "81800"),
    _bolt("M14", "14", "2", "115", "66700", "95500", "112000"),
    _bolt("M16", "16", "2", "157", "91000", "130000", None),
)

#: Torque coefficient K by surface (Shigley Table 8-15, PUB-B).
TORQUE_COEFFICIENTS = {
    "black": Decimal("0.30"),
    "zinc": Decimal("0.20"),
    "lubricated": Decimal("0.18"),
    "cadmium": Decimal("0.16"),
}
#: K where friction is about 0.15, any size or pitch (Shigley, PUB-B).
USUAL_COEFFICIENT = Decimal("0.20")
#: Preload as a share of the proof load for joints to be reused (PUB-C).
REUSED_SHARE = Decimal("0.75")


def bolt(size: str) -> Bolt:
    """The bolt of a size such as ``M10`` (coarse thread). Raises TradeError for sizes not in the table."""
    plain = re.sub(r"\s", "", size).upper()
    for known in BOLTS:
        if known.size == plain:
            return known
    raise TradeError(
        f"The bolt size {size!r} is not in the table of coarse threads.",
        f"Write one of {', '.join(known.size for known in BOLTS)}, or leave the size out.",
    )


def proof_load(size: str, strength_class: str) -> Decimal:
    """Proof load in N (ISO 898-1). Raises TradeError for an unknown size or class, or one without a value."""
    found = bolt(size)
    loads = dict(found.proof_loads)
    load = loads.get(strength_class.strip())
    if load is None:
        given = ", ".join(cls for cls, value in loads.items() if value is not None)
        raise TradeError(
            f"There is no proof load for {found.size} of class {strength_class!r} here.", f"Classes: {given}."
        )
    return load


def torque(coefficient: Decimal, preload: Decimal, diameter: Decimal) -> Decimal:
    """T = K F d in the units of its factors: N and m give N·m, lbf and in give lbf·in."""
    return coefficient * preload * diameter


def usual_torque(size: str, strength_class: str, coefficient: Decimal = USUAL_COEFFICIENT) -> Decimal:
    """Torque in N·m that brings a reused joint to 0.75 of its proof load. For orientation, not for tightening."""
    preload = REUSED_SHARE * proof_load(size, strength_class)
    return torque(coefficient, preload, bolt(size).diameter / 1000)


@dataclass(frozen=True, slots=True)
class TorqueBand:
    """Least and greatest torque in N·m that make sense for a bolt."""

    least: Decimal
    greatest: Decimal


#: The band is wide so that it catches slips of unit, not choices of the maker (PRAC): a quarter of the proof
#: load with a slippery thread, up to the whole proof load with a dry black one.
_LEAST = (Decimal("0.12"), Decimal("0.25"))
_GREATEST = (TORQUE_COEFFICIENTS["black"], Decimal(1))


def plausible_torque(size: str, strength_class: str) -> TorqueBand:
    """The band in N·m outside which a torque for this bolt is probably a slip. Raises TradeError."""
    load, diameter = proof_load(size, strength_class), bolt(size).diameter / 1000
    low, high = (torque(k, share * load, diameter) for k, share in (_LEAST, _GREATEST))
    return TorqueBand(low, high)


@dataclass(frozen=True, slots=True)
class TorqueQuery:
    """A torque a bolt's class does not explain, the band it should lie in, and units that would put it there."""

    torque: Decimal
    band: TorqueBand
    other_units: tuple[Unit, ...]

    @property
    def too_high(self) -> bool:
        """Above what the bolt bears, rather than below what makes sense."""
        return self.torque > self.band.greatest


def query_torque(value: Decimal, unit: Unit | str, size: str, strength_class: str) -> TorqueQuery | None:
    """``None`` where the torque is plausible for the bolt, else what to ask. Raises TradeError or UnitError."""
    band = plausible_torque(size, strength_class)
    in_newton_metres = convert(value, unit, "N·m")
    if band.least <= in_newton_metres <= band.greatest:
        return None
    candidates = [known for known in known_units() if known.dimension == "torque"]
    others = plausible_other_unit(value, unit, band.least, band.greatest, candidates, bounds_unit="N·m")
    return TorqueQuery(in_newton_metres, band, others)


def judge_torque(
    value: Decimal,
    target: Decimal,
    *,
    tolerance: Decimal | None = None,
    tolerance_percent: Decimal | None = None,
    expanded_uncertainty: Decimal | None = None,
) -> Decision:
    """A torque against the maker's figure and tolerance, all in one unit; give exactly one form of tolerance."""
    if (tolerance is None) == (tolerance_percent is None):
        raise TradeError("The torque needs one tolerance.", "Write it in the torque's unit or in %.")
    band = tolerance if tolerance is not None else target * (tolerance_percent or Decimal(0)) / 100
    if not target.is_finite() or target <= 0 or not band.is_finite() or band < 0:
        raise TradeError(f"A torque of {target} ± {band} cannot be.", "Write the maker's figure.")
    return judge(value, lower=target - band, upper=target + band, expanded_uncertainty=expanded_uncertainty)


class Recheck(StrEnum):
    """Where the recheck of wheel nuts stands."""

    DONE = "done"
    NOT_YET = "not yet due"
    DUE = "due"
    OVERDUE = "overdue"


@dataclass(frozen=True, slots=True)
class RecheckDue:
    """The window of the recheck in km on the odometer, and where it stands."""

    due_km: Decimal
    overdue_km: Decimal
    state: Recheck


def wheel_recheck(
    fitted_km: Decimal,
    now_km: Decimal,
    checked_km: Decimal | None = None,
    *,
    after_km: Decimal = Decimal(50),
    overdue_km: Decimal = Decimal(100),
) -> RecheckDue:
    """The recheck a wheel fitted at ``fitted_km`` opens: due 50 km on, overdue beyond 100 km.

    50 km after a tyre maker (PUB-B), 50 to 100 km in the trade (PUB-C); the car maker's figure wins. A check
    made earlier than due leaves it open. Raises TradeError where the odometer runs backwards.
    """
    if now_km < fitted_km or (checked_km is not None and not fitted_km <= checked_km <= now_km):
        raise TradeError(
            "The odometer of the recheck does not follow that of the wheel fitting.", "Check the readings."
        )
    due, late = fitted_km + after_km, fitted_km + overdue_km
    if checked_km is not None and checked_km >= due:
        state = Recheck.DONE
    elif now_km < due:
        state = Recheck.NOT_YET
    else:
        state = Recheck.DUE if now_km <= late else Recheck.OVERDUE
    return RecheckDue(due, late, state)
