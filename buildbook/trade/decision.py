"""Decision rules: is a reading within its limits, and how sure is that.

JCGM 106:2012 (conformance probability, 7.4) and ILAC-G8:09/2019 (4.1 guard band w = |TL - AL|; 4.2.1 simple
acceptance; 4.2.3 four words). Limits belong to the permitted range: a value on a limit is within it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from buildbook.records.said import said

from .faults import TradeError


class Word(StrEnum):
    """The four words of ILAC-G8 4.2.3, from best to worst."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"

    @property
    def severity(self) -> int:
        """0 for pass up to 3 for fail."""
        return list(Word).index(self)


class Rule(StrEnum):
    """The rules by name, as a dossier prints them."""

    SIMPLE_UNSTATED = "simple acceptance, uncertainty not considered"
    SIMPLE = "simple acceptance, guard band 0"
    GUARD_BAND = "guard band equal to the expanded uncertainty (w = U)"
    OTHER_GUARD_BAND = "stated guard band"


@dataclass(frozen=True, slots=True)
class Decision:
    """A judged value, everything in the value's own unit.

    ``accept_lower``/``accept_upper`` are the acceptance limits (tolerance limit moved inwards by the guard
    band). ``probability`` is the conformance probability 0..1, ``None`` where no uncertainty is stated.
    """

    word: Word
    rule: Rule
    value: Decimal
    lower: Decimal | None
    upper: Decimal | None
    accept_lower: Decimal | None
    accept_upper: Decimal | None
    expanded_uncertainty: Decimal | None
    guard_band: Decimal
    probability: float | None

    @property
    def within(self) -> bool:
        """Whether the value itself lies within the tolerance limits (pass or conditional pass)."""
        return self.word in (Word.PASS, Word.CONDITIONAL_PASS)

    @property
    def statement(self) -> str:
        """The word with the rule it was found by."""
        if self.probability is None:
            return f"{self.word}: {self.rule}"
        return f"{self.word}: {self.rule}; probability of conformity {_percent(self.probability)}"


def _percent(p: float) -> str:
    # "100 %" would claim a certainty nobody has.
    if p >= 0.999:
        return "over 99.9 %"
    if p <= 0.001:
        return "below 0.1 %"
    return f"{100 * p:.1f} %"


def _normal(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def conformance_probability(
    value: Decimal, standard_uncertainty: Decimal, lower: Decimal | None = None, upper: Decimal | None = None
) -> float:
    """Probability (0..1) that the true value lies within the limits, for a normal distribution about ``value``.

    JCGM 106:2012, 7.4: Phi((TU - y)/u) - Phi((TL - y)/u). All arguments in one unit. Raises TradeError for a
    negative uncertainty or where no limit is given.
    """
    _limits(lower, upper)
    if standard_uncertainty < 0 or not standard_uncertainty.is_finite():
        raise TradeError("An uncertainty cannot be negative.", "Write it as a positive number.")
    if standard_uncertainty == 0:
        inside = (lower is None or value >= lower) and (upper is None or value <= upper)
        return 1.0 if inside else 0.0
    above = 0.0 if upper is None else _normal(float((value - upper) / standard_uncertainty))
    below = 0.0 if lower is None else _normal(float((lower - value) / standard_uncertainty))
    return min(1.0, max(0.0, 1.0 - above - below))


def _limits(lower: Decimal | None, upper: Decimal | None) -> None:
    if lower is None and upper is None:
        raise TradeError(said("There is no limit to judge by."), said("State a lower limit, an upper limit or both."))
    if any(limit is not None and not limit.is_finite() for limit in (lower, upper)):
        raise TradeError(said("A limit is not a number."), said("Write the limit as a number."))
    if lower is not None and upper is not None and lower > upper:
        raise TradeError(
            said("The lower limit {low} is above the upper limit {high}.", low=lower, high=upper),
            said("Swap or correct the limits."),
        )


def _unusable(number: Decimal | None) -> bool:
    return number is not None and (not number.is_finite() or number < 0)


def _side(beyond: Decimal, guard: Decimal) -> Word:
    """The word for one limit; ``beyond`` is how far the value lies outside it (negative: inside)."""
    if beyond <= -guard:
        return Word.PASS
    if beyond <= 0:
        return Word.CONDITIONAL_PASS
    if beyond <= guard:
        return Word.CONDITIONAL_FAIL
    return Word.FAIL


def judge(
    value: Decimal,
    *,
    lower: Decimal | None = None,
    upper: Decimal | None = None,
    expanded_uncertainty: Decimal | None = None,
    coverage_factor: Decimal = Decimal(2),
    guard_band: Decimal | None = None,
) -> Decision:
    """``value`` against its limits, all in one unit.

    Without ``expanded_uncertainty`` (U): simple acceptance, and the rule's name says that uncertainty was not
    considered. With U: guard band w = U on each limit, on the inside of it. ``guard_band`` states another w
    (0 is simple acceptance with U known). U / ``coverage_factor`` is the standard uncertainty for the
    probability. Raises TradeError for values that are not numbers, no limit, or limits the wrong way round.
    """
    _limits(lower, upper)
    if not value.is_finite():
        raise TradeError(said("The value is not a number."), said("Write the value as measured."))
    if _unusable(expanded_uncertainty):
        raise TradeError(
            said("The uncertainty is {n}.", n=expanded_uncertainty), said("Write it as a number not below 0.")
        )
    if _unusable(guard_band):
        raise TradeError(said("The guard band is {n}.", n=guard_band), said("Write it as a number not below 0."))
    if not coverage_factor.is_finite() or coverage_factor <= 0:
        raise TradeError("The coverage factor must be above 0.", "Write the k of the certificate, often 2.")
    guard = guard_band if guard_band is not None else (expanded_uncertainty or Decimal(0))
    sides = [_side(value - upper, guard)] if upper is not None else []
    if lower is not None:
        sides.append(_side(lower - value, guard))
    if guard_band is not None and guard_band != expanded_uncertainty:
        rule = Rule.SIMPLE if guard_band == 0 else Rule.OTHER_GUARD_BAND
    else:
        rule = Rule.SIMPLE_UNSTATED if expanded_uncertainty is None else Rule.GUARD_BAND
    return Decision(
        word=max(sides, key=lambda word: word.severity),
        rule=rule,
        value=value,
        lower=lower,
        upper=upper,
        accept_lower=None if lower is None else lower + guard,
        accept_upper=None if upper is None else upper - guard,
        expanded_uncertainty=expanded_uncertainty,
        guard_band=guard,
        probability=None
        if expanded_uncertainty is None
        else conformance_probability(value, expanded_uncertainty / coverage_factor, lower, upper),
    )
