"""Amounts of money in text: a number with its currency, or a number that is one of the job's own amounts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal, InvalidOperation

from buildbook.editions.redact import Pattern, any_of, fold

# Signs, and words that are no other unit ("pound" is a weight). Common practice, no source.
_SIGNS = r"(?:[A-Za-z]{1,3})?[$€£¥₣₤₧₩₪₫₭₮₱₲₴₵₸₹₺₼₽₾₿฿]"
_WORDS = (
    "euro", "euros", "eur", "cent", "cents", "dollar", "dollars", "sterling", "franc", "francs", "franken", "kronen",
    "kronor", "kroner", "zloty", "yen", "pesos", "rupees", "円", "บาท",
)  # fmt: skip
_CODES = (
    "USD", "EUR", "GBP", "JPY", "CHF", "CAD", "AUD", "NZD", "SEK", "NOK", "DKK", "ISK", "PLN", "CZK", "HUF", "BGN",
    "UAH", "CNY", "HKD", "SGD", "THB", "KRW", "TWD", "INR", "BRL", "MXN", "ARS", "CLP", "ZAR", "ILS", "AED",
)  # fmt: skip
_NUMBER = r"\d(?:[\d.,'’ ]*\d)?(?:[.,][-–—])?(?:\s?[km](?![^\W_]))?"
# A number with one of these behind it is a measured value, whatever it looks like.
_UNITS = (
    "mm", "cm", "m", "km", "um", "µm", "μm", "mil", "mils", "inch", "kg", "g", "mg", "l", "ml", "litre", "litres",
    "bar", "mbar", "kpa", "psi", "v", "mv", "ah", "w", "kw", "hz", "ohm", "n", "nm", "min", "h", "rpm", "ppm", "gu",
)  # fmt: skip


def amount_patterns(currencies: Iterable[str], amounts: Iterable[Decimal], mark: str) -> Iterator[Pattern]:
    """Patterns over folded text. currencies: codes the job uses. amounts: values on record, sought without currency."""
    codes = any_of(re.escape(fold(c)) for c in (*_CODES, *currencies, *_WORDS))
    unit = rf"(?:{_SIGNS}|(?<![^\W\d_])(?:{codes})(?![^\W\d_]))"
    before = rf"{unit}[\s:.]{{0,3}}[-–]?\s?{_NUMBER}(?:\s?{unit})?"
    after = rf"(?<![\w.,]){_NUMBER}\s{{0,2}}{unit}"
    yield Pattern(re.compile(rf"{before}|{after}"), mark)
    known = {a.copy_abs() for a in amounts}
    if known:
        units = any_of(re.escape(u) for u in _UNITS)
        bare = rf"(?<![\w.,\-/])\d(?:[\d.,'’ ]*\d)?[.,]\d\d(?![\w/\-])(?![.,]\d)(?!\s?(?:{units})(?![^\W_]))(?!\s?[%°])"
        yield Pattern(re.compile(bare), mark, lambda found: _value(found) in known)


def _value(written: str) -> Decimal | None:
    """The amount of a number with two decimals, whatever parts its thousands."""
    try:
        return Decimal(f"{re.sub(r'[^0-9]', '', written[:-3])}.{written[-2:]}")
    except InvalidOperation:
        return None
