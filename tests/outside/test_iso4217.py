"""Currency codes and minor units of ISO 4217, through the rules that use them.

Reference: the Unicode CLDR currency data shipped with Babel (an independent table of the ISO codes in use by country), for
which codes exist; minor units of ISO 4217 List One from memory (MEM): JPY, KRW, VND 0; EUR, USD, GBP 2; BHD, KWD, TND 3; CLF 4.
"""

from decimal import Decimal

import pytest
from asking import codes_of
from babel.core import get_global
from factory import job, part

from buildbook.rules import money


def in_use() -> list[str]:
    """The codes that CLDR gives as legal tender of some country today."""
    found = set()
    for currencies in get_global("territory_currencies").values():
        found |= {code for code, _, end, tender in currencies if end is None and tender}
    return sorted(found)


def test_every_currency_in_use_is_known() -> None:
    codes = in_use()
    assert len(codes) > 140
    unknown = [code for code in codes if codes_of(money.currency_unknown, job(currency=code))]
    # The lev was withdrawn on 1 January 2026, when Bulgaria took the euro; the CLDR release at hand is older.
    assert not set(unknown) - {"BGN"}, unknown


@pytest.mark.parametrize("code", ["DEM", "FRF", "XXY", "EURO", "€", "eur"])
def test_withdrawn_and_invented_codes_are_named(code: str) -> None:
    assert codes_of(money.currency_unknown, job(currency=code)) == ["money.currency-unknown"]


@pytest.mark.parametrize(
    ("code", "places"),
    [("JPY", 0), ("KRW", 0), ("VND", 0), ("EUR", 2), ("USD", 2), ("GBP", 2), ("BHD", 3), ("KWD", 3), ("TND", 3), ("CLF", 4)],
)
def test_minor_units(code: str, places: int) -> None:
    exact = Decimal(1).scaleb(-places)

    def asked(total: Decimal) -> list[str]:
        line = part(currency=code, price=total, quantity=Decimal(1), total=total, receipt="")
        return codes_of(money.too_many_decimals, job(parts=(line,)))

    assert not asked(exact)
    assert set(asked(exact / 10)) == {"money.too-many-decimals"}
