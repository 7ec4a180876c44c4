"""Grades of coating degradation against the published scales."""

from decimal import Decimal

import pytest

from buildbook.trade.degradation import (
    RE_SCALE,
    d610_grade,
    d3359_from_iso2409,
    iso2409_class,
    nearest_ri,
    parse_cross_cut,
)

D = Decimal


@pytest.mark.parametrize(
    ("percent", "grade"),
    # ASTM D610-08(2012) Table 1, upper limit included (PUB-B copy)
    [
        ("0", 10), ("0.01", 10), ("0.011", 9), ("0.03", 9), ("0.031", 8), ("0.1", 8), ("0.3", 7), ("1.0", 6),
        ("1.01", 5), ("3", 5), ("3.01", 4), ("10", 4), ("16", 3), ("33", 2), ("33.1", 1), ("50", 1), ("50.1", 0),
        ("100", 0),
    ],
)  # fmt: skip
def test_d610_edges(percent: str, grade: int) -> None:
    assert d610_grade(D(percent)) == grade


@pytest.mark.parametrize(
    ("percent", "grade", "european"),
    # ISO 4628-3 pictures 0, 0.05, 0.5, 1, 8, 40-50 % and the European scale (PUB-C)
    [("0", 0, "Re0"), ("0.05", 1, "Re1"), ("0.5", 2, "Re2"), ("1", 3, "Re3"), ("8", 4, "Re5"), ("40", 5, "Re7"),
     ("50", 5, "Re7")],
)  # fmt: skip
def test_ri_at_the_pictures(percent: str, grade: int, european: str) -> None:
    assert nearest_ri(D(percent)) == grade
    assert RE_SCALE[grade] == european


@pytest.mark.parametrize(
    ("percent", "grade"),
    # Half-way between two pictures goes to the worse grade (PRAC, stated in the function)
    [("0.025", 1), ("0.024", 0), ("0.75", 3), ("4.5", 4), ("4.4", 3), ("24", 5), ("23.9", 4), ("100", 5)],
)
def test_ri_between_the_pictures(percent: str, grade: int) -> None:
    assert nearest_ri(D(percent)) == grade


@pytest.mark.parametrize(("iso", "astm"), [(0, "5B"), (1, "4B"), (2, "3B"), (3, "2B"), (4, "1B"), (5, "0B")])
def test_iso_2409_and_d3359(iso: int, astm: str) -> None:
    # class c <-> (5 - c)B (PUB-B, an instrument maker's page and a test house's table)
    assert d3359_from_iso2409(iso) == astm
    assert parse_cross_cut(astm) == iso
    assert parse_cross_cut(str(iso)) == iso


@pytest.mark.parametrize(
    ("percent", "cls"),
    # The bounds of the same table; 5.0 in class 1 after ISO's wording
    [("0", 0), ("0.1", 1), ("5", 1), ("5.1", 2), ("15", 2), ("15.1", 3), ("35", 3), ("65", 4), ("65.1", 5)],
)
def test_cross_cut_areas(percent: str, cls: int) -> None:
    assert iso2409_class(D(percent)) == cls
