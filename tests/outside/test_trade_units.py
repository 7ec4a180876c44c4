"""Exact unit factors. The definitions are those of the international yard and pound agreement and the SI."""

from decimal import Decimal

import pytest

from buildbook.trade.units import convert

D = Decimal

# Exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s² (NIST SP 811 App. B prints 1.355 818
# and 9.806 65: MEM). lbf·ft, lbf·in, kgf·m: DER from these.
EXACT = [
    ("1", "lbf·ft", "N·m", "1.3558179483314004"),
    ("1", "lbf·in", "N·m", "0.1129848290276167"),
    ("1", "kgf·m", "N·m", "9.80665"),
    ("1", "mi", "km", "1.609344"),
    ("1", "mil", "µm", "25.4"),
    ("1", "in", "mm", "25.4"),
    ("1", "1/32 in", "mm", "0.79375"),  # 49 CFR 570.59(c) prints 1/32 in; DER
    ("2", "1/32 in", "mm", "1.5875"),  # DER
    ("0.3", "mil", "µm", "7.62"),  # DER; trade pages print 7 to 7.5 (PUB-C, rounded down)
    ("0.5", "mil", "µm", "12.7"),  # DER
    ("1", "bar", "kPa", "100"),
    ("1", "kgf/cm²", "kPa", "98.0665"),
    ("212", "°F", "°C", "100"),
    ("32", "°F", "°C", "0"),
    ("-40", "°F", "°C", "-40"),
    ("0", "°C", "K", "273.15"),
    # FMVSS 116 boiling points, PUB-C for the table, 311 °F PUB-A; °F recomputed from °C
    ("205", "°C", "°F", "401"),
    ("140", "°C", "°F", "284"),
    ("230", "°C", "°F", "446"),
    ("155", "°C", "°F", "311"),
    ("260", "°C", "°F", "500"),
    ("180", "°C", "°F", "356"),
    ("200", "°F", "°C", "93.33333333333333333333333333"),
    ("62137", "mi", "km", "99999.808128"),  # check values print 99,999.8
]


@pytest.mark.parametrize(("value", "unit", "to", "expected"), EXACT)
def test_exact_factor(value: str, unit: str, to: str, expected: str) -> None:
    assert convert(D(value), unit, to) == D(expected)


# Printed to the digits given. psi: NIST SP 811 (MEM). lbf·in: PUB-B, tpub 1004_6. ft·lb to kg·m: exact
# 0.138254954 (PUB-C prints 0.138255). kgf·m to lbf·ft: DER.
PRINTED = [
    ("1", "psi", "kPa", "6.894757"),
    ("1", "lbf·in", "N·m", "0.112985"),
    ("1", "lbf·ft", "kgf·m", "0.138254954"),
    ("1", "kgf·m", "lbf·ft", "7.233013851"),
    # a maker's manual prints 90-110 N·m as 9.0-11.0 kgf·m and 65-80 lb·ft (PUB-B): these are the true ones
    ("90", "N·m", "kgf·m", "9.18"),
    ("110", "N·m", "kgf·m", "11.22"),
    ("90", "N·m", "lbf·ft", "66.4"),
    ("110", "N·m", "lbf·ft", "81.1"),
]


@pytest.mark.parametrize(("value", "unit", "to", "printed"), PRINTED)
def test_printed_factor(value: str, unit: str, to: str, printed: str) -> None:
    places = -int(D(printed).as_tuple().exponent)
    assert round(convert(D(value), unit, to), places) == D(printed)
