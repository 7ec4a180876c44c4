"""Brakes: discs, linings, fluid. Lengths in mm, temperatures in °C.

Limits of thickness variation and runout are the car's own (makers' manuals run from 0.005 to 0.03 mm and from 0.03 to
0.10 mm, PUB-B): there is no default verdict. A reading judged here does not release a car for the road; the maker's
manual, local law and licensed practice decide.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from buildbook.marking import N_

from .decision import Decision, judge
from .faults import TradeError
from .statistics import checked

#: Points a disc is measured at, about 45° apart (PUB-B: eight in most manuals, four in one).
DISC_POINTS = 8


def judge_disc(
    readings: Iterable[Decimal], minimum: Decimal, *, expanded_uncertainty: Decimal | None = None
) -> Decision:
    """The thinnest reading against the minimum stamped on the disc, else the maker's (49 CFR 570.59(b), PUB-A)."""
    thinnest = checked(readings, "disc readings")[0]
    return judge(thinnest, lower=minimum, expanded_uncertainty=expanded_uncertainty)


def thickness_variation(readings: Iterable[Decimal]) -> Decimal:
    """Disc thickness variation: greatest less smallest reading round the disc, exact in decimals.

    Raises TradeError for fewer than four readings: variation round a disc cannot be seen from them (PUB-B).
    """
    found = checked(readings, "disc readings")
    if len(found) < 4:
        raise TradeError(
            f"{len(found)} readings do not show the variation round a disc.",
            f"Measure at {DISC_POINTS} points, at least 4.",
        )
    return found[-1] - found[0]


def judge_thickness_variation(
    readings: Iterable[Decimal], limit: Decimal, *, expanded_uncertainty: Decimal | None = None
) -> Decision:
    """Thickness variation against the car's own limit."""
    return judge(thickness_variation(readings), upper=limit, expanded_uncertainty=expanded_uncertainty)


RUNOUT_ADVICE = "Turn the disc on its hub by one hole and measure again before rejecting it (makers' manuals)."


def judge_runout(
    readings: Iterable[Decimal], limit: Decimal, *, expanded_uncertainty: Decimal | None = None
) -> Decision:
    """The greatest runout against the car's own limit; where it fails, see :data:`RUNOUT_ADVICE`."""
    return judge(checked(readings, "runout readings")[-1], upper=limit, expanded_uncertainty=expanded_uncertainty)


@dataclass(frozen=True, slots=True)
class SideDifference:
    """Left and right of one axle: the two values compared, their difference, and the decision if a limit is set."""

    left: Decimal
    right: Decimal
    difference: Decimal
    decision: Decision | None


def side_difference(left: Iterable[Decimal], right: Iterable[Decimal], limit: Decimal | None = None) -> SideDifference:
    """The lowest reading of each side, and how far they are apart. The limit is a setting (PRAC)."""
    low_left = checked(left, "readings on the left")[0]
    low_right = checked(right, "readings on the right")[0]
    apart = abs(low_left - low_right)
    return SideDifference(low_left, low_right, apart, None if limit is None else judge(apart, upper=limit))


@dataclass(frozen=True, slots=True)
class LiningLimit:
    """A least lining thickness, in the unit it is printed in, with where it comes from."""

    code: str
    least: Decimal
    unit: str
    source: str


LINING_LIMITS: tuple[LiningLimit, ...] = (
    LiningLimit("us-riveted", Decimal(1), "1/32 in", N_("49 CFR 570.59(c), over fastener; heavy vehicles [PUB-A]")),
    LiningLimit("us-bonded", Decimal(2), "1/32 in", N_("49 CFR 570.59(c), over shoe; heavy vehicles [PUB-A]")),
    LiningLimit("gb", Decimal("1.5"), "mm", N_("MOT: fails below 1.5 mm at any point [PUB-C]")),
    LiningLimit("trade", Decimal(3), "mm", N_("trade advice: change at 3 mm [PUB-C]")),
)


def judge_lining(
    readings: Iterable[Decimal], least: Decimal, *, expanded_uncertainty: Decimal | None = None
) -> Decision:
    """The thinnest reading of a lining against the least; exactly the least passes."""
    thinnest = checked(readings, "lining readings")[0]
    return judge(thinnest, lower=least, expanded_uncertainty=expanded_uncertainty)


@dataclass(frozen=True, slots=True)
class FluidGrade:
    """A grade of brake fluid: least boiling points dry and wet in °C, and what it is made of."""

    name: str
    dry: Decimal
    wet: Decimal
    base: str


#: FMVSS 116 S5.1.1 and S5.1.2 (PUB-C for the table; PUB-A for DOT 4 wet). A label may promise more.
FLUID_GRADES: tuple[FluidGrade, ...] = (
    FluidGrade("DOT 3", Decimal(205), Decimal(140), "glycol"),
    FluidGrade("DOT 4", Decimal(230), Decimal(155), "glycol"),
    FluidGrade("DOT 5", Decimal(260), Decimal(180), "silicone"),
    FluidGrade("DOT 5.1", Decimal(260), Decimal(180), "glycol"),
)


def fluid_grade(name: str) -> FluidGrade:
    """The grade called ``DOT 4``, ``dot4``, ``4``. Raises TradeError with the names there are."""
    plain = name.upper().replace("DOT", "").replace("-", "").strip()
    for grade in FLUID_GRADES:
        if grade.name == f"DOT {plain}":
            return grade
    raise TradeError(
        f"The brake fluid grade {name!r} is not known.",
        f"Write one of: {', '.join(grade.name for grade in FLUID_GRADES)}.",
    )


def judge_fluid(boiling_point: Decimal, grade: str, *, expanded_uncertainty: Decimal | None = None) -> Decision:
    """Fluid in service (°C) against its grade's least wet boiling point."""
    return judge(boiling_point, lower=fluid_grade(grade).wet, expanded_uncertainty=expanded_uncertainty)


def may_mix(one: str, other: str) -> bool:
    """Whether two grades are of one base. Silicone and glycol never mix (PUB-C); same base is no advice to mix."""
    return fluid_grade(one).base == fluid_grade(other).base
