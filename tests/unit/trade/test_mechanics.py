"""Brakes, tyres, fasteners, electrics and engine at their edges."""

from datetime import date
from decimal import Decimal

import pytest

from buildbook.trade.brakes import (
    fluid_grade,
    judge_runout,
    may_mix,
    side_difference,
    thickness_variation,
)
from buildbook.trade.electrical import Charge, charge, judge_charging
from buildbook.trade.engine import Leak, compare_cylinders, leak_word
from buildbook.trade.fasteners import (
    Recheck,
    bolt,
    judge_torque,
    plausible_torque,
    proof_load,
    query_torque,
    usual_torque,
    wheel_recheck,
)
from buildbook.trade.faults import TradeError
from buildbook.trade.tyres import (
    JURISDICTIONS,
    AgeRange,
    AgeWord,
    TreadLimit,
    age_on,
    age_word,
    judge_tread,
    parse_date_code,
    tread_limit,
)

D = Decimal


def test_brakes() -> None:
    with pytest.raises(TradeError, match="3 readings"):
        thickness_variation([D(1), D(2), D(3)])
    assert judge_runout([D("0.02"), D("0.04")], D("0.03")).word == "fail"
    found = side_difference([D(9), D(8)], [D(10)], D(1))
    assert (found.left, found.right, found.difference) == (8, 10, 2)
    assert found.decision is not None
    assert found.decision.word == "fail"
    assert side_difference([D(9)], [D(10)]).decision is None
    assert fluid_grade("dot5.1").name == "DOT 5.1"
    assert fluid_grade("4") == fluid_grade("DOT-4")
    with pytest.raises(TradeError) as caught:
        may_mix("DOT 4", "LHM")
    assert "DOT 5.1" in caught.value.fix


def test_tread_limits_are_data_with_sources() -> None:
    assert all("[" in limit.source and limit.how for limit in JURISDICTIONS)
    assert tread_limit(" eu ").code == "EU"
    with pytest.raises(TradeError):
        tread_limit("XX")
    own = TreadLimit("own", "club rule", D(3), "mm", "all grooves", "the client's club [OWN]")
    assert judge_tread([D("2.9"), D(8)], own).word == "fail"
    assert judge_tread([D("1.65")], "EU", expanded_uncertainty=D("0.1")).word == "conditional pass"


@pytest.mark.parametrize("code", ["0001", "5401", "12", "12345", "3a23", "", "DOT 3623", "-301", "٣٦٢٣"])
def test_bad_date_codes_are_refused_with_a_remedy(code: str) -> None:
    with pytest.raises(TradeError) as caught:
        parse_date_code(code)
    assert caught.value.fix


def test_date_code_ranges() -> None:
    assert parse_date_code("53 20").latest.year in (2020, 2021)
    with pytest.raises(TradeError, match="candidate"):
        parse_date_code("451", oldest_year=1990)
    code = parse_date_code("3623")
    with pytest.raises(TradeError, match="after"):
        age_on(code, date(2023, 6, 1))
    age = age_on(code, date(2029, 9, 6))
    assert (age.youngest, age.oldest) == (5, 6)
    assert age_on(code, code.earliest) == AgeRange(0, 0)


def test_a_year_that_begins_on_a_sunday() -> None:
    # 2023-01-01 was a Sunday: the first full week starts a day before ISO week 1
    code = parse_date_code("0123")
    assert (code.earliest, code.latest) == (date(2023, 1, 1), date(2023, 1, 8))


def test_age_words() -> None:
    assert [age_word(AgeRange(*pair)) for pair in ((8, 9), (9, 10), (10, 11))] == [
        AgeWord.UNDER, AgeWord.MAY_BE_OVER, AgeWord.OVER,
    ]  # fmt: skip


def test_torque_that_a_bolt_does_not_explain_is_queried() -> None:
    assert query_torque(D(88), "N·m", "M12", "8.8") is None
    high = query_torque(D(88), "kgf·m", "M12", "8.8")
    assert high is not None
    assert high.too_high
    assert "N·m" in [unit.symbol for unit in high.other_units]
    low = query_torque(D("2.6"), "N·m", "M8", "8.8")
    assert low is not None
    assert not low.too_high
    assert [unit.symbol for unit in low.other_units] == ["kgf·m"]


def test_usual_torque_lies_within_the_plausible_band() -> None:
    for size in ("M6", "M8", "M10", "M12", "M14"):
        for cls in ("8.8", "10.9", "12.9"):
            band = plausible_torque(size, cls)
            assert band.least < usual_torque(size, cls) < band.greatest


def test_unknown_bolts_are_refused() -> None:
    assert bolt(" m10 ").stress_area == D("58.0")
    for size, cls in (("M11", "8.8"), ("M10x1.25", "8.8"), ("M10", "9.9"), ("M16", "12.9")):
        with pytest.raises(TradeError) as caught:
            proof_load(size, cls)
        assert caught.value.fix


def test_torque_against_target() -> None:
    assert judge_torque(D("95.0"), D(100), tolerance_percent=D(5)).word == "pass"
    assert judge_torque(D("94.9"), D(100), tolerance_percent=D(5)).word == "fail"
    assert judge_torque(D(104), D(100), tolerance=D(5), expanded_uncertainty=D(2)).word == "conditional pass"
    for arguments in ({}, {"tolerance": D(1), "tolerance_percent": D(1)}, {"tolerance": D(-1)}):
        with pytest.raises(TradeError):
            judge_torque(D(100), D(100), **arguments)
    with pytest.raises(TradeError):
        judge_torque(D(100), D(0), tolerance=D(1))


@pytest.mark.parametrize(
    ("now", "checked", "state"),
    [
        (1049, None, Recheck.NOT_YET),
        (1050, None, Recheck.DUE),
        (1100, None, Recheck.DUE),
        (1101, None, Recheck.OVERDUE),
        (1101, 1060, Recheck.DONE),
        (1101, 1050, Recheck.DONE),
        # a look before it is due leaves it open
        (1101, 1020, Recheck.OVERDUE),
    ],
)
def test_recheck_window(now: int, checked: int | None, state: Recheck) -> None:
    found = wheel_recheck(D(1000), D(now), None if checked is None else D(checked))
    assert (found.due_km, found.overdue_km, found.state) == (1050, 1100, state)


def test_recheck_needs_a_rising_odometer() -> None:
    for now, checked in ((999, None), (1060, 1070), (1060, 990)):
        with pytest.raises(TradeError):
            wheel_recheck(D(1000), D(now), None if checked is None else D(checked))


@pytest.mark.parametrize(
    ("voltage", "nominal", "word"),
    [
        ("12.60", 12, Charge.FULL), ("12.59", 12, Charge.PART), ("12.29", 12, Charge.LOW), ("11.8", 12, Charge.LOW),
        ("11.79", 12, Charge.FLAT), ("6.3", 6, Charge.FULL), ("5.9", 6, Charge.LOW), ("23.5", 24, Charge.FLAT),
    ],
)  # fmt: skip
def test_charge(voltage: str, nominal: int, word: Charge) -> None:
    assert charge(D(voltage), nominal) is word


def test_charging_band() -> None:
    words = [judge_charging(D(v), 12).word for v in ("13.79", "13.8", "14.70", "14.71")]
    assert words == ["fail", "pass", "pass", "fail"]
    with pytest.raises(TradeError):
        judge_charging(D(14), 9)
    with pytest.raises(TradeError):
        charge(D(-12), 12)


def test_compression() -> None:
    engine = {"1": D(1200), "2": D(1100), "3": D(1020), "4": D(1180)}
    found = compare_cylinders(engine, minimum=D(1000))
    assert (found.lowest, found.highest, found.spread_percent) == (("3", D(1020)), ("1", D(1200)), 15)
    assert found.spread.within
    assert found.least is not None
    assert found.least.within
    assert not compare_cylinders({**engine, "3": D(1019)}).spread.within
    for bad in ({"1": D(1200)}, {"1": D(1200), "2": D(0)}, {}):
        with pytest.raises(TradeError):
            compare_cylinders(bad)


def test_leak_down() -> None:
    words = [leak_word(D(v)) for v in ("10", "10.1", "20.1", "30.1")]
    assert words == [Leak.GOOD, Leak.FAIR, Leak.POOR, Leak.BAD]
    with pytest.raises(TradeError):
        leak_word(D(101))
