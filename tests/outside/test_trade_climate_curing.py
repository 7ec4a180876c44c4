"""Dew point against a published table, dwell and recoat windows against worked values."""

from datetime import datetime, timedelta, timezone
from decimal import Decimal

import pytest

from buildbook.trade.climate import check_dew_point, dew_point
from buildbook.trade.curing import check_cure, check_recoat, dwell

D = Decimal

# A paint maker's information sheet 1650, June 2013, "relation between dew point, air temperature and relative
# humidity" (PUB-B, read in a stored copy): °C to one decimal.
AT_15 = dict(zip(range(50, 95, 5), ["4.7", "6.1", "7.3", "8.5", "9.5", "10.6", "11.5", "12.5", "13.4"], strict=True))
BY_HUMIDITY = {
    50: "5.6 6.5 7.4 8.3 9.3 10.2 11.1 12.0 12.9 13.8 14.8 15.7 16.6 17.5 18.4",
    55: "7.0 7.9 8.8 9.7 10.7 11.6 12.5 13.5 14.4 15.3 16.2 17.2 18.1 19.1 20.0",
    60: "8.3 9.2 10.2 11.1 12.0 12.9 13.8 14.8 15.7 16.7 17.6 18.6 19.5 20.5 21.4",
}
TABLE = [(15, humidity, value) for humidity, value in AT_15.items()] + [
    (air, humidity, value)
    for humidity, row in BY_HUMIDITY.items()
    for air, value in zip(range(16, 31), row.split(), strict=True)
]


@pytest.mark.parametrize(("air", "humidity", "printed"), TABLE)
def test_dew_point_table(air: int, humidity: int, printed: str) -> None:
    assert abs(dew_point(D(air), D(humidity)) - D(printed)) <= D("0.1")


def test_dew_point_of_a_weather_library() -> None:
    # MetPy documentation, dewpoint_from_relative_humidity(10 °C, 50 %) = 0.0479 °C, by other constants (PUB-B)
    assert abs(dew_point(D(10), D(50)) - D("0.0479")) <= D("0.05")


def test_painting_example() -> None:
    # A paint maker's guide to ambient conditions: 16 °C and 71 % give 11 °C by its chart; a substrate of 13 °C is
    # then less than 3 °C above it (PUB-C)
    found = check_dew_point(D(13), D(16), D(71))
    assert round(found.dew_point) == 11
    assert found.decision.word == "fail"
    assert check_dew_point(D(14), D(16), D(71)).decision.word == "pass"


def test_three_degrees_exactly_is_enough() -> None:
    # ISO 8502-4: at least 3 °C above the dew point (PUB-C)
    point = dew_point(D(20), D(60))
    assert check_dew_point(point + 3, D(20), D(60)).decision.word == "pass"
    assert check_dew_point(point + D("2.99"), D(20), D(60)).decision.word == "fail"


CET = timezone(timedelta(hours=1))
# OWN log; the rule forms are PRAC
LOG = [
    (datetime(2026, 2, 3, 10, minute, tzinfo=CET), D(value))
    for minute, value in ((0, 55), (5, 60), (15, 62), (20, 58), (25, 61), (40, 61))
]


def test_dwell_log() -> None:
    found = dwell(LOG, D(60))
    assert (found.total, found.longest) == (timedelta(minutes=30), timedelta(minutes=15))
    required = timedelta(minutes=20)
    assert check_cure(LOG, D(60), required, measured="metal").enough
    assert not check_cure(LOG, D(60), required, measured="metal", unbroken=True).enough


@pytest.mark.parametrize(
    ("day", "clock", "word"),
    # OWN: base ended 10:00, not before 15 min, not after 24 h
    [
        (3, "10:14", "not yet"),
        (3, "10:15", "within the window"),
        (4, "10:00", "within the window"),
        (4, "10:01", "window closed: scuff first"),
    ],
)
def test_recoat_window(day: int, clock: str, word: str) -> None:
    ended = datetime(2026, 2, 3, 10, 0, tzinfo=CET)
    following = datetime.fromisoformat(f"2026-02-{day:02d}T{clock}:00+01:00")
    assert check_recoat(ended, following, timedelta(minutes=15), timedelta(hours=24)).word == word
