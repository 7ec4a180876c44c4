"""Gloss angles and colour differences against published values."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from buildbook.trade.colour import Lab, delta_e_2000
from buildbook.trade.faults import TradeError
from buildbook.trade.gloss import gloss_change, proposed_angle

D = Decimal
DATA = Path(__file__).parent / "data" / "ciede2000.csv"


@pytest.mark.parametrize(
    ("gloss", "angle"),
    # ASTM D523: above 70 use 20°, below 10 use 85° (summary PUB-C); the edges stay at 60°
    [("92", 20), ("70.1", 20), ("70.0", 60), ("40", 60), ("10.0", 60), ("9.9", 85), ("0", 85)],
)
def test_geometry(gloss: str, angle: int) -> None:
    assert proposed_angle(D(gloss)) == angle


def test_one_surface_three_angles_is_never_compared() -> None:
    # ISO 2813:2014, explanatory example: one surface is 35 GU at 20°, 70 at 60°, 95 at 85° (PUB-C)
    triple = {20: D(35), 60: D(70), 85: D(95)}
    for one in triple:
        for other in triple:
            if one != other:
                with pytest.raises(TradeError, match="cannot be compared"):
                    gloss_change(one, triple[one], other, triple[other])


def test_retention() -> None:
    # 84.0 -> 79.8 is 95.0 % (PRAC)
    found = gloss_change(60, D("84.0"), 60, D("79.8"))
    assert (found.gain, found.retention) == (D("-4.2"), D(95))


def pairs() -> list[tuple[Lab, Lab, Decimal]]:
    # Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21-30, Table 1 (PUB-B)
    with DATA.open(encoding="utf-8", newline="") as file:
        rows = [{key: D(value) for key, value in row.items()} for row in csv.DictReader(file)]
    return [(Lab(r["L1"], r["a1"], r["b1"]), Lab(r["L2"], r["a2"], r["b2"]), r["dE00"]) for r in rows]


def test_all_pairs_are_there() -> None:
    assert len(pairs()) == 33


@pytest.mark.parametrize(("one", "other", "expected"), pairs())
def test_ciede2000(one: Lab, other: Lab, expected: Decimal) -> None:
    assert abs(delta_e_2000(one, other) - expected) <= D("0.0001")
    assert delta_e_2000(one, other) == delta_e_2000(other, one)
