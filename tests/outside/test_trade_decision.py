"""Decision rules and calibration dates against worked examples."""

from datetime import date
from decimal import Decimal

import pytest

from buildbook.trade.calibration import CalibrationState, add_months, calibration_on, due_date
from buildbook.trade.decision import Rule, Word, conformance_probability, judge

D = Decimal


def test_conformance_probability_of_jcgm_106() -> None:
    # JCGM 106:2012, 7.4: y 13.6, u 1.8, limits 12.5 and 16.3 (inputs PUB-B); printed 0.66 (MEM), 0.6626 DER
    found = conformance_probability(D("13.6"), D("1.8"), D("12.5"), D("16.3"))
    assert found == pytest.approx(0.6626, abs=5e-5)


@pytest.mark.parametrize(
    ("deviation", "word"),
    # ILAC-G8:09/2019, 4.2.3 with the numbers of a micrometer check: MPE 0.003, U 0.001 -> AL 0.002 (PUB-C)
    [("0.0017", "pass"), ("0.0025", "conditional pass"), ("0.0035", "conditional fail"), ("0.0045", "fail")],
)
@pytest.mark.parametrize("sign", [1, -1])
def test_four_words_of_ilac_g8(deviation: str, word: str, sign: int) -> None:
    found = judge(sign * D(deviation), lower=D("-0.003"), upper=D("0.003"), expanded_uncertainty=D("0.001"))
    assert found.word == word
    assert (found.accept_lower, found.accept_upper) == (D("-0.002"), D("0.002"))


def test_simple_acceptance_and_guard_band_on_one_reading() -> None:
    # y 3.20, T 4.00, U 1.600: w = 0 passes (PUB-C); w = U leaves 2.4, a conditional pass (DER)
    simple = judge(D("3.20"), upper=D("4.00"), expanded_uncertainty=D("1.600"), guard_band=D(0))
    assert (simple.word, simple.rule, simple.accept_upper) == (Word.PASS, Rule.SIMPLE, D("4.00"))
    guarded = judge(D("3.20"), upper=D("4.00"), expanded_uncertainty=D("1.600"))
    assert (guarded.word, guarded.rule, guarded.accept_upper) == (
        Word.CONDITIONAL_PASS,
        Rule.GUARD_BAND,
        D("2.400"),
    )


def test_risk_at_the_acceptance_limit() -> None:
    # At AL with one limit and w = U the chance of a wrong pass is 1 - Phi(2) = 2.28 % (DER; < 2.5 % PUB-B)
    found = judge(D("0.002"), upper=D("0.003"), expanded_uncertainty=D("0.001"))
    assert found.word is Word.PASS
    assert found.probability == pytest.approx(1 - 0.0228, abs=5e-5)
    # simple acceptance: below 50 % (PUB-B), 50 % on the limit itself
    assert judge(D("0.003"), upper=D("0.003"), expanded_uncertainty=D("0.001")).probability == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("tread", "word"),
    # OWN: tread 1.6 mm with U 0.1 gives AL 1.7
    [
        ("1.70", "pass"),
        ("1.65", "conditional pass"),
        ("1.6", "conditional pass"),
        ("1.55", "conditional fail"),
        ("1.45", "fail"),
    ],
)
def test_guard_band_on_a_lower_limit(tread: str, word: str) -> None:
    found = judge(D(tread), lower=D("1.6"), expanded_uncertainty=D("0.1"))
    assert found.word == word
    assert found.accept_lower == D("1.7")


def test_without_uncertainty_the_statement_says_so() -> None:
    # PRAC, required by the decision rule being stated (ILAC-G8)
    found = judge(D("1.6"), lower=D("1.6"))
    assert found.word is Word.PASS
    assert found.probability is None
    assert "simple acceptance, uncertainty not considered" in found.statement


@pytest.mark.parametrize(
    ("last", "months", "due"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),  # PRAC, stated rule: clamp to the month's end
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 2, 29), 48, date(2028, 2, 29)),
        (date(2025, 12, 15), 14, date(2027, 2, 15)),  # 14 months: HSE on examining spray booths (PUB-A)
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
    ],
)
def test_calibration_due_dates(last: date, months: int, due: date) -> None:
    assert due_date(last, months) == due
    assert calibration_on(due, last, months).state is CalibrationState.IN
    after = calibration_on(date.fromordinal(due.toordinal() + 1), last, months)
    assert after.state is CalibrationState.OUT
    assert not after.counts


def test_adding_months_runs_backwards_too() -> None:
    assert add_months(date(2026, 3, 31), -1) == date(2026, 2, 28)
