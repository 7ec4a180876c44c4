"""Identity numbers and odometer against the regulations."""

from datetime import date
from decimal import Decimal

import pytest

from buildbook.trade.odometer import (
    OdometerEvent,
    OdometerReading,
    disclosure_exempt,
    travelled_km,
    without_tenths,
)
from buildbook.trade.units import convert
from buildbook.trade.vin import VinState, classify, weighted_sum

D = Decimal


@pytest.mark.parametrize(
    ("number", "total", "digit", "agrees"),
    [
        ("1G4AH59H45G118341", 411, "4", True),  # 49 CFR 565.15, Table V, the regulation's own example (PUB-A text)
        ("1J9RP1A36A1644345", 314, "6", True),  # outline for new makers of the road-safety authority (PUB-A)
        ("1M8GDM9AXKP042788", 351, "X", True),  # MEM, recomputed
        ("11111111111111111", 89, "1", True),  # MEM: passes though meaningless
        ("1M8GDM9A1KP042788", 351, "X", False),  # DER
    ],
)
def test_check_digit(number: str, total: int, digit: str, agrees: bool) -> None:
    found = classify(number, "US", 1990)
    assert weighted_sum(number) == total
    assert (found.weighted_sum, found.expected) == (total, digit)
    assert found.state is (VinState.AGREES if agrees else VinState.DOES_NOT_AGREE)


def test_decimal_remainders_of_the_regulation() -> None:
    # 49 CFR 565.15(c) also gives the remainder as a decimal: 6/11 = .545 -> 6, 10/11 = .909 -> X (PUB-A)
    assert 314 % 11 == 6
    assert round(D(314) / 11 % 1, 3) == D("0.545")
    assert 351 % 11 == 10
    assert round(D(351) / 11 % 1, 3) == D("0.909")


def test_not_a_north_american_number() -> None:
    # European use of ISO 3779 needs no check digit (PUB-C): not agreeing is not an error
    found = classify("1M8GDM9A1KP042788", "DE", 1995)
    assert found.state is VinState.NOT_APPLICABLE
    # Japanese form, invented example of it: neither padded nor corrected (PUB-C)
    stamped = "QX12-0034567"
    found = classify(stamped, "JP", 1989)
    assert (found.state, found.as_stamped, found.normalised) == (VinState.NOT_APPLICABLE, stamped, "QX120034567")


def test_miles_and_kilometres() -> None:
    # 62,137 mi = 99,999.8 km (DER from 1.609344)
    assert round(convert(D(62137), "mi", "km"), 1) == D("99999.8")


def test_rollover_of_five_digits() -> None:
    # PRAC: 98,700 -> 01,200 is +2,500 if the rollover is stated
    before = OdometerReading(date(2026, 1, 1), D(98700), "km")
    after = OdometerReading(date(2026, 6, 1), D(1200), "km", OdometerEvent.ROLLOVER)
    assert travelled_km(before, after, digits=5) == 2500


def test_transfer_statement() -> None:
    # 49 CFR 580.5: without tenths (PUB-A); 49 CFR 580.17: MY2010 exempt in 2020, MY2011 from 2031 (PUB-A)
    assert without_tenths(D("48211.9")) == 48211
    assert disclosure_exempt(2010, 2020)
    assert not disclosure_exempt(2010, 2019)
    assert not disclosure_exempt(2011, 2030)
    assert disclosure_exempt(2011, 2031)
