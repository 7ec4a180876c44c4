"""Units: spellings, refusals, slips."""

from decimal import Decimal

import pytest

from buildbook.trade.faults import UnitError
from buildbook.trade.unit_table import DIMENSIONS, UNIT_ROWS
from buildbook.trade.units import (
    convert,
    convert_difference,
    dimension_of,
    known_units,
    parse_unit,
    plausible_other_unit,
    same_dimension,
)

D = Decimal


@pytest.mark.parametrize(
    ("text", "symbol"),
    [
        ("µm", "µm"), ("μm", "µm"), ("um", "µm"), ("micron", "µm"), ("mils", "mil"), ('"', "in"), ("″", "in"),
        ("in.", "in"), ("''", "in"), ("1/32 in", "1/32 in"), ("Nm", "N·m"), ("N.m", "N·m"), ("N m", "N·m"),
        ("N-m", "N·m"), ("nm", "N·m"), ("lb-ft", "lbf·ft"), ("ft-lb", "lbf·ft"), ("ft.lbs", "lbf·ft"),
        ("LB FT", "lbf·ft"), ("lb.in", "lbf·in"), ("kg-m", "kgf·m"), ("PSI", "psi"), ("lb/in²", "psi"),
        ("℃", "°C"), ("deg C", "°C"), ("F", "°F"), ("% RH", "%RH"), ("km", "km"), ("Miles", "mi"), ("V", "V"),
        ("g/l", "g/L"), ("gu", "GU"), ("ppm", "ppm"), ("", ""), (" mm ", "mm"),
    ],
)  # fmt: skip
def test_spellings(text: str, symbol: str) -> None:
    assert parse_unit(text).symbol == symbol


@pytest.mark.parametrize("text", ["furlong", "mm²", "?", "=1+1", "mm mm", "1e9"])
def test_unknown_unit_is_refused_with_a_remedy(text: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_unit(text)
    assert repr(text) in caught.value.says
    assert "µm" in caught.value.fix


def test_every_spelling_finds_its_own_row() -> None:
    for row in UNIT_ROWS:
        for spelling in (row.symbol, *row.spellings):
            assert parse_unit(spelling).symbol == row.symbol


def test_every_pair_of_one_dimension_converts_and_no_other() -> None:
    units = known_units()
    for one in units:
        for other in units:
            if same_dimension(one, other):
                assert convert(D(1), one, other).is_finite()
            else:
                with pytest.raises(UnitError):
                    convert(D(1), one, other)


def test_gloss_and_grades_are_not_shares() -> None:
    assert dimension_of("GU") == "gloss"
    with pytest.raises(UnitError, match="unit of gloss"):
        convert(D(90), "GU", "%")
    with pytest.raises(UnitError, match="plain number"):
        convert(D(3), "", "mm")


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "sNaN"])
def test_what_is_no_number_is_refused(value: str) -> None:
    with pytest.raises(UnitError, match="not a number"):
        convert(D(value), "mm", "mm")


def test_a_difference_has_no_zero_of_its_own() -> None:
    assert convert_difference(D(9), "°F", "°C") == 5
    assert convert_difference(D(3), "K", "°C") == 3
    assert convert_difference(D("0.5"), "mil", "µm") == D("12.7")


def test_results_are_written_without_powers_of_ten() -> None:
    assert str(convert(D(12), "km", "mm")) == "12000000"
    assert str(convert(D("25.40"), "mm", "in")) == "1"


def test_slip_of_unit_is_found() -> None:
    # 4.5 µm of paint is 4.5 mil
    found = plausible_other_unit(D("4.5"), "µm", D(20), D(2000), ["µm", "mm", "mil"], bounds_unit="µm")
    assert [unit.symbol for unit in found] == ["mil"]
    assert plausible_other_unit(D(120), "µm", D(20), D(2000), ["mil"], bounds_unit="µm") == ()
    assert plausible_other_unit(D("0.001"), "µm", D(20), D(2000), ["mil", "V"], bounds_unit="µm") == ()
    assert plausible_other_unit(D(1), "µm", None, None, ["mil"], bounds_unit="µm") == ()


def test_a_unit_of_another_quantity_is_no_fit_as_written() -> None:
    found = plausible_other_unit(D(120), "V", D(20), D(2000), ["µm"], bounds_unit="µm")
    assert [unit.symbol for unit in found] == ["µm"]


def test_every_dimension_is_marked_for_the_catalogues() -> None:
    assert set(DIMENSIONS) == {row.dimension for row in UNIT_ROWS}
    assert len(DIMENSIONS) == len(set(DIMENSIONS))
