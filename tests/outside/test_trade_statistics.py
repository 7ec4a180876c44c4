"""Mean and standard deviation of published readings."""

from decimal import Decimal

from buildbook.trade.statistics import summarise

D = Decimal


def numbers(text: str) -> list[Decimal]:
    return [D(part) for part in text.split()]


def test_oiled_bolts_of_the_handbook() -> None:
    # Shigley, Mechanical Engineering Design, Table 8-14, prints mean 34.18 and s 2.88 (PUB-B)
    found = summarise(numbers("30.3 32.5 32.5 32.9 32.9 33.8 34.3 34.7 37.4 40.5"))
    assert found.n == 10
    assert found.mean == D("34.18")
    assert found.s is not None
    assert round(found.s, 2) == D("2.88")
    assert round(found.s, 4) == D("2.8813")  # DER


def test_dry_bolts_of_the_handbook() -> None:
    # Shigley, Table 8-13, prints mean 34.3 and s 4.91 (PUB-B)
    found = summarise(
        numbers("23.6 27.6 28.0 29.4 30.3 30.7 32.9 33.8 33.8 33.8 34.7 35.6 35.6 37.4 37.8 37.8 39.2 40.0 40.5 42.7")
    )
    assert found.n == 20
    assert found.mean == D("34.26")  # DER; printed 34.3
    assert found.s is not None
    assert round(found.s, 2) == D("4.91")
    assert found.variation is not None
    assert round(found.variation * 100) == 14  # printed v 14 %


def test_temperature_readings_of_the_gum() -> None:
    # JCGM 100:2008, 4.4.3 and Table 1: mean 100.14, s 1.489, s of the mean 0.333 (clause PUB-A, data PUB-C)
    found = summarise(
        numbers(
            "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 "
            "100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72"
        )
    )
    # The mean is exactly 100.145: its printed 100.14 is that number rounded to even
    assert found.mean == D("100.145")
    assert found.s is not None
    assert found.u_mean is not None
    assert round(found.s, 3) == D("1.489")
    assert round(found.u_mean, 3) == D("0.333")
