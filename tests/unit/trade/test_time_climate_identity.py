"""Curing and recoating by the clock, dew point, identity, odometer at their edges."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from buildbook.trade.climate import check_dew_point, dew_point
from buildbook.trade.curing import Recoat, check_cure, check_recoat, dwell
from buildbook.trade.faults import TradeError
from buildbook.trade.odometer import (
    OdometerDoubt,
    OdometerEvent,
    OdometerReading,
    doubts,
    travelled_km,
)
from buildbook.trade.vin import VinState, classify, normalised, same_number

D = Decimal
BERLIN = ZoneInfo("Europe/Berlin")
HOUR = timedelta(hours=1)


def test_change_of_clocks_adds_and_removes_no_hour() -> None:
    # 29 March 2026: 02:00 becomes 03:00. By the clock face 01:30 to 03:30 are two hours; one passes.
    spring = [
        (datetime(2026, 3, 29, 1, 30, tzinfo=BERLIN), D(60)),
        (datetime(2026, 3, 29, 3, 30, tzinfo=BERLIN), D(20)),
    ]
    assert dwell(spring, D(60)).total == HOUR
    # 25 October 2026: 03:00 becomes 02:00. From 02:30 to 02:30 the second time an hour passes.
    autumn = check_recoat(
        datetime(2026, 10, 25, 2, 30, tzinfo=BERLIN, fold=0), datetime(2026, 10, 25, 2, 30, tzinfo=BERLIN, fold=1), HOUR
    )
    assert (autumn.word, autumn.elapsed) == (Recoat.ALLOWED, HOUR)


def test_times_without_zone_are_refused() -> None:
    aware, naive = datetime(2026, 3, 1, 10, tzinfo=UTC), datetime(2026, 3, 1, 11)
    with pytest.raises(TradeError, match="no time zone"):
        dwell([(naive, D(60))], D(60))
    with pytest.raises(TradeError, match="no time zone"):
        dwell([(aware, D(60))], D(60), until=naive)
    with pytest.raises(TradeError, match="no time zone"):
        check_recoat(aware, naive, HOUR)
    with pytest.raises(TradeError, match="no time zone"):
        check_recoat(naive, aware, HOUR)


def at(minute: int) -> datetime:
    return datetime(2026, 3, 1, 10, tzinfo=UTC) + timedelta(minutes=minute)


def test_dwell_edges() -> None:
    assert dwell([(at(0), D(60))], D(60)).total == timedelta(0)
    assert dwell([(at(0), D(60))], D(60), until=at(20)).total == timedelta(minutes=20)
    assert dwell([(at(0), D(60))], D(60), until=at(0)).total == timedelta(0)
    gappy = [(at(0), D(61)), (at(10), D(61)), (at(70), D(61)), (at(80), D(50))]
    held = dwell(gappy, D(60))
    assert (held.total, held.longest) == (timedelta(minutes=80), timedelta(minutes=80))
    seen = dwell(gappy, D(60), longest_gap=timedelta(minutes=15))
    assert (seen.total, seen.longest) == (timedelta(minutes=20), timedelta(minutes=10))
    falling = dwell([(at(0), D(60)), (at(30), D(50)), (at(40), D(60)), (at(50), D(50))], D(60))
    assert (falling.total, falling.longest) == (timedelta(minutes=40), timedelta(minutes=30))
    # the same row twice is one row; two values for one instant are a contradiction
    assert dwell([*gappy, gappy[0]], D(60)) == held
    with pytest.raises(TradeError, match="Two temperatures"):
        dwell([(at(0), D(60)), (at(0), D(61))], D(60))
    for log, until in (([], None), ([(at(0), D("NaN"))], None), ([(at(5), D(60))], at(0))):
        with pytest.raises(TradeError):
            dwell(log, D(60), until=until)


def test_cure_is_judged_at_the_metal() -> None:
    log = [(at(0), D(60)), (at(30), D(60))]
    with pytest.raises(TradeError, match="air temperature"):
        check_cure(log, D(60), HOUR / 2, measured="air")
    assert check_cure(log, D(60), HOUR / 2, measured="metal", unbroken=True).enough
    with pytest.raises(TradeError):
        check_cure(log, D(60), timedelta(0), measured="metal")


def test_recoat_refusals() -> None:
    with pytest.raises(TradeError, match="before the one"):
        check_recoat(at(10), at(0), timedelta(0))
    with pytest.raises(TradeError, match="ends before it opens"):
        check_recoat(at(0), at(10), HOUR, timedelta(minutes=30))
    assert check_recoat(at(0), at(10_000), HOUR).word is Recoat.ALLOWED


def test_dew_point_bounds() -> None:
    assert dew_point(D(20), D(100)) == 20
    for air, humidity in ((20, 0), (20, 101), (61, 50), (-46, 50)):
        with pytest.raises(TradeError):
            dew_point(D(air), D(humidity))
    with pytest.raises(TradeError):
        check_dew_point(D("NaN"), D(20), D(50))
    unsure = check_dew_point(dew_point(D(20), D(60)) + D("3.5"), D(20), D(60), expanded_uncertainty=D(1))
    assert unsure.decision.word == "conditional pass"


@pytest.mark.parametrize(
    ("number", "market", "year", "state"),
    [
        ("1G4AH59H45G118341", None, 1990, VinState.NOT_APPLICABLE),
        ("1G4AH59H45G118341", "us", None, VinState.NOT_APPLICABLE),
        ("1G4AH59H45G118341", "CA", 1980, VinState.NOT_APPLICABLE),
        ("1g4ah59h4-5g118341", "CA", 1981, VinState.AGREES),
        ("1G4AH59H45G11834", "US", 1990, VinState.WRONG_LENGTH),
        ("123/456", "US", 1972, VinState.NOT_APPLICABLE),
        ("1G4AH59H45G11834O", "US", 1990, VinState.FORBIDDEN_LETTER),
        ("1G4AH59H45G11834O", "DE", 1990, VinState.FORBIDDEN_LETTER),
        ("1G4AH59H45G11834O", "DE", 1972, VinState.NOT_APPLICABLE),
        ("1G4AH59H45G11834?", "US", 1990, VinState.FORBIDDEN_CHARACTER),
    ],
)
def test_vin_states(number: str, market: str | None, year: int | None, state: VinState) -> None:
    found = classify(number, market, year)
    assert (found.state, found.as_stamped) == (state, number)


def test_numbers_are_compared_on_a_copy_and_never_corrected() -> None:
    assert normalised(" *qx12–003 4567* ") == "QX120034567"
    assert same_number("QX12-0034567", "qx12 0034567")
    assert not same_number("QX12-0034567", "QX12-O034567")
    assert not same_number("0034567", "34567")


def reading(day: int, value: str, unit: str = "km", event: OdometerEvent = OdometerEvent.NONE) -> OdometerReading:
    return OdometerReading(date(2026, 1, 1) + timedelta(days=day), D(value), unit, event)


@pytest.mark.parametrize(
    ("later", "doubt"),
    [
        (reading(30, "48300"), None),
        (reading(30, "48199"), OdometerDoubt.FALLS),
        (reading(30, "77563"), OdometerDoubt.UNIT_SLIP),
        (reading(30, "29947"), OdometerDoubt.UNIT_SLIP),
        (reading(30, "29947", "mi"), OdometerDoubt.FALLS),
        (reading(30, "29960", "mi"), None),
        (reading(30, "84300"), None),
        (reading(3, "84300"), OdometerDoubt.TOO_FAR),
        (reading(30, "120", event=OdometerEvent.REPLACED), None),
        (reading(30, "29950", event=OdometerEvent.UNIT_CHANGE), None),
        (reading(30, "49000", event=OdometerEvent.ROLLOVER), OdometerDoubt.ROLLOVER_WITHOUT_FALL),
    ],
)
def test_odometer_doubts(later: OdometerReading, doubt: OdometerDoubt | None) -> None:
    found = doubts([reading(0, "48200"), later])
    assert [flag.doubt for flag in found] == ([] if doubt is None else [doubt])


def test_rollover_needs_its_digits() -> None:
    before, after = reading(0, "98700", "mi"), reading(90, "01200", "mi", OdometerEvent.ROLLOVER)
    assert travelled_km(before, after, 5) == D("4023.36")
    with pytest.raises(TradeError, match="digits"):
        travelled_km(before, after)
    assert doubts([after, before], digits=5) == ()
    assert travelled_km(reading(0, "98700"), after, 5) is None
