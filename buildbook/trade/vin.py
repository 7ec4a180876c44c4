"""Vehicle identification numbers: the North American check digit, and comparing numbers as stamped.

49 CFR 565.15(c) for the check digit (PUB-A). It is a North American rule: a number made for another market, or
before model year 1981, that does not satisfy it is not in error. A number is never padded and no letter corrected.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum

# 49 CFR 565.15(c) Tables III and IV; I, O and Q have no value because they are never used.
_VALUES = {str(digit): digit for digit in range(10)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)), strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_FORBIDDEN = frozenset("IOQ")
_MARKETS = frozenset({"US", "CA"})
_FIRST_YEAR = 1981
_LENGTH = 17


class VinState(StrEnum):
    """What the check digit says about a number."""

    AGREES = "check digit agrees"
    DOES_NOT_AGREE = "check digit does not agree"
    NOT_APPLICABLE = "check digit not applicable"
    FORBIDDEN_LETTER = "holds I, O or Q, which a 17-character number never does"
    WRONG_LENGTH = "not 17 characters, as the rule asks for this market and year"
    FORBIDDEN_CHARACTER = "holds a character that is neither letter nor digit"


@dataclass(frozen=True, slots=True)
class VinCheck:
    """The state, the number as stamped, its copy for comparison, and the check digit expected and found.

    ``weighted_sum``, ``expected`` and ``found`` are ``None`` where the sum cannot be formed. They are given
    also where the rule does not apply: a digit that agrees is worth knowing, one that does not is no error.
    """

    state: VinState
    as_stamped: str
    normalised: str
    weighted_sum: int | None = None
    expected: str | None = None
    found: str | None = None


def normalised(number: str) -> str:
    """A copy for comparison only: upper case, without spaces, hyphens and a stamping's end stars."""
    # Composed after each step: upper case and a dropped blank can each bring forth a form to compose again.
    upper = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", number).upper())
    return unicodedata.normalize("NFKC", re.sub(r"[\s\-‐‑‒–−]+", "", upper)).strip("*")


def weighted_sum(number: str) -> int:
    """Sum of value times weight over the 17 characters of a normalised number. Raises KeyError or ValueError."""
    return sum(_VALUES[character] * weight for character, weight in zip(number, _WEIGHTS, strict=True))


def check_digit(number: str) -> str:
    """The check digit a 17-character normalised number should have at position 9 (``0`` to ``9`` or ``X``)."""
    remainder = weighted_sum(number) % 11
    return "X" if remainder == 10 else str(remainder)


def classify(number: str, market: str | None, model_year: int | None) -> VinCheck:
    """What the check digit says of ``number``, first sold in ``market`` (ISO 3166 code, as ``US``).

    The rule applies to 17 characters, the United States and Canada, and model years from 1981. Where market
    or year is not known it is not applied.
    """
    copy = normalised(number)
    applies = (
        market is not None
        and market.strip().upper() in _MARKETS
        and model_year is not None
        and model_year >= _FIRST_YEAR
    )
    if len(copy) != _LENGTH:
        return VinCheck(VinState.WRONG_LENGTH if applies else VinState.NOT_APPLICABLE, number, copy)
    if not applies and model_year is not None and model_year < _FIRST_YEAR:
        # A 17-character number of those years follows no common rule.
        return VinCheck(VinState.NOT_APPLICABLE, number, copy)
    if set(copy) & _FORBIDDEN:
        # ISO 3779 bars these letters everywhere, not only in North America.
        return VinCheck(VinState.FORBIDDEN_LETTER, number, copy)
    if not set(copy) <= _VALUES.keys():
        return VinCheck(VinState.FORBIDDEN_CHARACTER, number, copy)
    total, expected, found = weighted_sum(copy), check_digit(copy), copy[8]
    if not applies:
        state = VinState.NOT_APPLICABLE
    else:
        state = VinState.AGREES if expected == found else VinState.DOES_NOT_AGREE
    return VinCheck(state, number, copy, total, expected, found)


def same_number(one: str, other: str) -> bool:
    """Whether two numbers are the same apart from case, spaces and hyphens. O and 0 stay different."""
    return normalised(one) == normalised(other)
