"""Film thickness rules against worked values.

The four panels are OWN, recomputed; the rule's wording: PUB-C for 80-20, "less than" MEM, "at most" PUB-B.
"""

from decimal import Decimal

import pytest

from buildbook.trade.film import ShareRule, accept_80_20, judge_removal, removal
from buildbook.trade.film_spots import spot_limits, spot_plan
from buildbook.trade.statistics import Summary
from buildbook.trade.units import convert

D = Decimal

PANELS = [
    ("125 131 118 122 126 127 121 133 120 124", "124.7", "4.762", 0, 1, True, True),
    ("125 131 118 122 97 127 121 133 120 124", "121.8", "9.920", 0, 2, False, True),
    ("125 131 128 122 95 127 121 133 120 124", "122.6", "10.575", 1, 0, False, False),
    ("104 131 118 122 97 127 121 133 112 124", "118.9", "11.551", 0, 4, False, False),
]


@pytest.mark.parametrize(("readings", "mean", "s", "below", "low", "strict", "lenient"), PANELS)
def test_acceptance_of_the_four_panels(
    readings: str, mean: str, s: str, below: int, low: int, strict: bool, lenient: bool
) -> None:
    values = [D(part) for part in readings.split()]
    by_rule = {rule: accept_80_20(values, D(120), rule=rule) for rule in ShareRule}
    first = by_rule[ShareRule.STRICT]
    assert first.summary.mean == D(mean)
    assert first.summary.s is not None
    assert round(first.summary.s, 3) == D(s)
    assert (first.below_floor, first.low) == (below, low)
    assert first.accepted is strict
    assert by_rule[ShareRule.LENIENT].accepted is lenient


def test_why_the_panels_fail() -> None:
    reasons = [accept_80_20([D(part) for part in row[0].split()], D(120)).reasons for row in PANELS]
    assert reasons == [
        (),
        ("too large a share of low readings",),
        ("single reading below the floor",),
        ("mean below nominal", "too large a share of low readings"),
    ]


def test_edges_of_the_two_bands() -> None:
    # 96 is exactly 0.80 x 120 and passes as a single reading; 120 itself is not low (OWN)
    found = accept_80_20([D(96), D(120), D(150), D(150), D(150), D(150)], D(120))
    assert (found.below_floor, found.low, found.accepted) == (0, 1, True)
    assert accept_80_20([D("95.9"), *[D(150)] * 9], D(120)).below_floor == 1


def test_ninety_ten_as_parameters() -> None:
    # IMO PSPC: at most 10 % below nominal, none below 0.9 (PUB-C)
    ten = [D(110), *[D(125)] * 9]
    strict = {"floor": D("0.90"), "share": D("0.10")}
    assert accept_80_20(ten, D(120), rule=ShareRule.LENIENT, **strict).accepted
    assert not accept_80_20([D(110), *ten[:-1]], D(120), rule=ShareRule.LENIENT, **strict).accepted
    assert not accept_80_20([D("107.9"), *ten[1:]], D(120), rule=ShareRule.LENIENT, **strict).accepted


def test_thin_films_are_outside_the_standard() -> None:
    # ISO 19840:2012 scope: not for nominal below 40 µm (PUB-A abstract)
    assert "not meant" in accept_80_20([D(40)], D(39)).note
    assert "not meant" not in accept_80_20([D(40)], D(40)).note


@pytest.mark.parametrize(
    ("feet", "areas", "spots", "readings"),
    [
        ("2800", 5, 25, 75),  # PUB-C
        ("28000", 30, 150, 450),  # PUB-C, same page
        ("12500", 15, 75, 225),  # PUB-B, a coatings journal
        ("100", 1, 5, 15),  # DER from the rule (PUB-A/B): every 100 ft² up to 300
        ("101", 2, 10, 30),
        ("300", 3, 15, 45),
        ("1000", 3, 15, 45),
        ("1000.1", 4, 20, 60),
    ],
)
def test_counts_of_sspc_pa_2(feet: str, areas: int, spots: int, readings: int) -> None:
    plan = spot_plan(D(feet))
    assert (plan.areas, plan.spots, plan.readings) == (areas, spots, readings)
    assert spot_plan(D(feet) / 10, "m²") == plan


def test_spot_limits_of_sspc_pa_2() -> None:
    # Specified 8 to 12 mils: lowest spot 6.4, highest 14.4 mils (PUB-C)
    assert spot_limits(D(8), D(12)) == (D("6.4"), D("14.4"))


def test_polish_removal_with_its_uncertainty() -> None:
    # OWN, recomputed: before n 9, mean 118.2, s 2.1; after n 9, mean 114.8, s 2.0; limit 0.3 mil = 7.62 µm (DER)
    before = Summary(9, D("118.2"), D(115), D(121), D("2.1"), D("2.1") / 3)
    after = Summary(9, D("114.8"), D(112), D(118), D("2.0"), D("2.0") / 3)
    found = removal(before, after)
    assert found.removed == D("3.4")
    assert found.u is not None
    assert found.expanded is not None
    assert round(found.u, 3) == D("0.967")
    assert round(found.expanded, 2) == D("1.93")
    limit = convert(D("0.3"), "mil", "µm")
    verdict = judge_removal(found, limit)
    assert verdict.word == "pass"
    assert round(found.removed + found.expanded, 2) == D("5.33")
