"""Numbers as printed in figures and sentences: a value and its uncertainty to the same decimals."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, ROUND_UP, Decimal

from babel.numbers import get_decimal_symbol, get_group_symbol

from buildbook.dossier.language import voice

NBSP = "\u00a0"
MINUS = "\u2212"


def in_locale(number: str) -> str:
    """A number written as `1,234.5` with the marks of the language spoken."""
    locale = voice().locale
    return number.translate({ord(","): get_group_symbol(locale), ord("."): get_decimal_symbol(locale)})


def places_of(value: Decimal) -> int:
    """Decimals a number was written with."""
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def fixed(value: Decimal, places: int) -> str:
    """The value to that many decimals (half to even), thousands grouped, with a real minus sign."""
    rounded = value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    if rounded == 0:
        rounded = abs(rounded)
    return in_locale(f"{rounded:,f}").replace("-", MINUS)


def plain(value: Decimal) -> str:
    """A number as it was written, thousands grouped; powers of ten written out."""
    return in_locale(f"{value:,f}").replace("-", MINUS)


def uncertainty_places(uncertainty: Decimal) -> int:
    """Decimals to print an uncertainty with: at most two significant digits (GUM 7.2.6), none above 10."""
    if uncertainty == 0:
        return 0
    return max(0, 1 - uncertainty.adjusted())


def pair(value: Decimal, uncertainty: Decimal | None, places: int | None = None) -> tuple[str, str]:
    """Value and uncertainty to the same decimals; the second is "" where there is none.

    Without `places` the uncertainty sets them: as it was written where it has two significant digits or fewer, else
    two. What is printed is never more than a twentieth smaller than what was found.
    """
    if uncertainty is None:
        return fixed(value, places if places is not None else min(places_of(value), 6)), ""
    chosen = places if places is not None else min(places_of(uncertainty), uncertainty_places(uncertainty))
    up = uncertainty.quantize(Decimal(1).scaleb(-chosen), rounding=ROUND_UP)
    nearest = uncertainty.quantize(Decimal(1).scaleb(-chosen), rounding=ROUND_HALF_EVEN)
    # Rounded up (GUM 7.2.6 allows it) only where rounding to the nearest would lose more than a twentieth.
    shown = nearest if uncertainty <= nearest * Decimal("1.05") else up
    return fixed(value, chosen), fixed(shown, chosen)


def with_unit(text: str, unit: str) -> str:
    return f"{text}{NBSP}{unit}" if unit else text


def amount(value: Decimal, uncertainty: Decimal | None, unit: str, places: int | None = None) -> str:
    """`3.4 ± 1.9 µm`, or `3.4 µm` where no uncertainty is known."""
    shown, by = pair(value, uncertainty, places)
    return with_unit(f"{shown} ± {by}" if by else shown, unit)
