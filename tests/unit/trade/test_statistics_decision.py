"""Statistics and decision rules at their edges."""

from datetime import date
from decimal import Decimal

import pytest

from buildbook.trade.calibration import CalibrationState, add_months, calibration_on, due_date
from buildbook.trade.decision import Rule, Word, conformance_probability, judge
from buildbook.trade.faults import TradeError
from buildbook.trade.statistics import median, root_sum_square, summarise

D = Decimal


def test_a_single_reading_has_no_deviation() -> None:
    found = summarise([D("101.5")])
    assert (found.n, found.mean, found.s, found.u_mean, found.variation) == (1, D("101.5"), None, None, None)


def test_equal_readings_have_deviation_zero() -> None:
    found = summarise([D("0.1")] * 3)
    assert (found.mean, found.s) == (D("0.1"), 0)


def test_no_cancellation_in_the_deviation() -> None:
    # a float sum of squares loses this difference altogether
    found = summarise([D("1000000000.1"), D("1000000000.2"), D("1000000000.3")])
    assert found.s == D("0.1")


@pytest.mark.parametrize("values", [[], [D("NaN")], [D(1), D("Infinity")]])
def test_what_cannot_be_summarised_is_refused(values: list[Decimal]) -> None:
    with pytest.raises(TradeError):
        summarise(values)


def test_median_and_root_sum_square() -> None:
    assert median([D(5), D(1), D(3)]) == 3
    assert median([D(4), D(1), D(3), D(2)]) == D("2.5")
    assert root_sum_square([D(3), D(4)]) == 5


def test_two_sided_limits_take_the_worse_side() -> None:
    assert judge(D(5), lower=D(0), upper=D(10), expanded_uncertainty=D(1)).word is Word.PASS
    assert judge(D("0.5"), lower=D(0), upper=D(10), expanded_uncertainty=D(1)).word is Word.CONDITIONAL_PASS
    assert judge(D("10.5"), lower=D(0), upper=D(10), expanded_uncertainty=D(1)).word is Word.CONDITIONAL_FAIL
    # limits closer than twice U: nothing passes without condition
    assert judge(D(5), lower=D("4.5"), upper=D("5.5"), expanded_uncertainty=D(1)).word is Word.CONDITIONAL_PASS


def test_limits_belong_to_the_range_in_decimals() -> None:
    assert 0.1 + 0.2 > 0.3
    assert judge(D("0.1") + D("0.2"), upper=D("0.3")).within
    assert not judge(D("0.3000000000000000000001"), upper=D("0.3")).within


def test_a_stated_guard_band() -> None:
    found = judge(D("9.6"), upper=D(10), expanded_uncertainty=D(1), guard_band=D("0.5"))
    assert (found.word, found.rule, found.accept_upper) == (
        Word.CONDITIONAL_PASS, Rule.OTHER_GUARD_BAND, D("9.5"),
    )  # fmt: skip
    assert "probability of conformity 78.8 %" in found.statement


def test_the_statement_claims_no_certainty() -> None:
    assert "over 99.9 %" in judge(D(1), upper=D(100), expanded_uncertainty=D(1)).statement
    assert "below 0.1 %" in judge(D(200), upper=D(100), expanded_uncertainty=D(1)).statement


def test_zero_uncertainty() -> None:
    assert conformance_probability(D(1), D(0), upper=D(1)) == 1
    assert conformance_probability(D(2), D(0), upper=D(1)) == 0
    assert judge(D(1), upper=D(1), expanded_uncertainty=D(0)).word is Word.PASS


@pytest.mark.parametrize(
    "arguments",
    [
        {},
        {"lower": D(2), "upper": D(1)},
        {"upper": D("NaN")},
        {"upper": D(1), "expanded_uncertainty": D(-1)},
        {"upper": D(1), "guard_band": D("Infinity")},
        {"upper": D(1), "coverage_factor": D(0)},
    ],
)
def test_what_cannot_be_judged_is_refused(arguments: dict[str, Decimal]) -> None:
    with pytest.raises(TradeError) as caught:
        judge(D(1), **arguments)
    assert caught.value.fix
    with pytest.raises(TradeError):
        judge(D("NaN"), upper=D(1))
    with pytest.raises(TradeError):
        conformance_probability(D(1), D(-1), upper=D(1))


def test_calibration_states() -> None:
    last = date(2026, 1, 10)
    assert calibration_on(date(2026, 6, 1), last, 12).counts
    assert calibration_on(date(2026, 1, 9), last, 12).state is CalibrationState.BEFORE
    assert calibration_on(date(2026, 6, 1), None, 12).state is CalibrationState.UNKNOWN
    assert not calibration_on(date(2026, 6, 1), last, None).counts
    with pytest.raises(TradeError):
        due_date(last, 0)
    with pytest.raises(TradeError):
        add_months(date(9999, 12, 1), 12)
