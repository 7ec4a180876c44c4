"""Rules of money. Currency codes and decimal places against published entries of ISO 4217."""

from decimal import Decimal
from typing import Any

import pytest
from asking import codes_of, raised_by
from factory import document, job, part, receipt

from buildbook.records.job import Job
from buildbook.rules import money

D = Decimal
SUMS = {"net": D("10.00"), "other": D("2.00"), "tax": D("2.28"), "total": D("14.28"), "supplier": "Orrin", "number": "7"}


def with_money(part_changes: dict[str, Any] | None = None, receipt_changes: dict[str, Any] | None = None) -> Job:
    """One part line of 10.00 and its receipt of 10.00 + 2.00 + 2.28 = 14.28."""
    return job(
        parts=(part(**(part_changes or {})),), receipts=(receipt(**(SUMS | (receipt_changes or {}))),),
        files=(document(),),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("line", "paper", "expected"),
    [
        ({}, {}, []),
        ({"price": D("10.00")}, {}, []),
        ({"price": D("10.00"), "total": None}, {}, []),
        ({"price": D("9.00")}, {}, ["money.line-total"]),
        ({"price": D("5.00"), "quantity": D(2)}, {}, []),
        # 3 x 3.335 = 10.005, halves up 10.01.
        ({"price": D("3.335"), "quantity": D(3), "total": D("10.01")}, {"net": D("10.01"), "total": D("14.29")}, []),
        ({"price": D("3.335"), "quantity": D(3), "total": D("10.00")}, {}, ["money.line-total"]),
        ({"total": None}, {}, ["money.no-price"]),
        ({"total": None, "bad": frozenset({"total"})}, {}, []),
        ({"total": None, "price": D(10), "quantity": None}, {}, []),  # parts.no-quantity says it
        ({"total": D("10.005")}, {"net": D("10.005"), "total": D("14.285")}, ["money.too-many-decimals"] * 3),
        ({"total": D("10.000")}, {}, []),
        ({"currency": "EUX"}, {"currency": "EUX"}, ["money.currency-unknown"] * 2),
        ({"currency": ""}, {}, []),  # the job's
        ({"currency": "CHF"}, {}, ["money.mixed-currency"]),
        ({}, {"total": D("14.29")}, ["money.receipt-arithmetic"]),
        ({}, {"other": None, "tax": None, "total": D("10.00")}, []),
        ({}, {"tax": None, "bad": frozenset({"tax"})}, []),
        ({}, {"total": None}, ["money.receipt-incomplete"]),
        ({}, {"net": D("11.00"), "total": D("15.28")}, ["money.receipt-lines"]),
        ({}, {"document": "documents/recept.pdf", "net": D(0), "total": D("4.28")},
         ["money.receipt-unlisted", "money.receipt-document-missing"]),
        ({"receipt": ""}, {}, ["money.receipt-lines"]),
    ],
)  # fmt: skip
def test_line_and_receipt(line: dict[str, Any], paper: dict[str, Any], expected: list[str]) -> None:
    assert codes_of(money.MONEY, with_money(line, paper)) == expected


# ISO 4217 list one (PUB-A): yen has no minor unit, the Kuwaiti dinar three decimal places, the euro two.
@pytest.mark.parametrize(
    ("currency", "total", "expected"),
    [
        ("JPY", D("1050"), []),
        ("JPY", D("1050.5"), ["money.too-many-decimals"]),
        ("KWD", D("10.505"), []),
        ("KWD", D("10.5055"), ["money.too-many-decimals"]),
        ("EUR", D("10.50"), []),
    ],
)
def test_decimal_places(currency: str, total: Decimal, expected: list[str]) -> None:
    assert codes_of(money.MONEY, job(parts=(part(currency=currency, total=total, receipt=""),))) == expected


def test_yen_lines_are_rounded_to_whole_yen() -> None:
    # 3 x 350.5 = 1,051.5, halves up 1,052.
    line = part(currency="JPY", price=D("350.5"), quantity=D(3), total=D(1052), receipt="")
    assert not codes_of(money.wrong_line_total, job(parts=(line,)))


@pytest.mark.parametrize("code", ["EUR", "JPY", "GBP", "CHF", "USD", "SEK"])
def test_codes_of_the_published_list(code: str) -> None:
    assert not codes_of(money.currency_unknown, job(currency=code))


@pytest.mark.parametrize("code", ["EURO", "EUX", "DEM", "eur", "€"])
def test_codes_that_are_not_on_the_list(code: str) -> None:
    """DEM was withdrawn from the list of current codes in 2002."""
    assert codes_of(money.currency_unknown, job(currency=code)) == ["money.currency-unknown"]


def test_no_currency_anywhere() -> None:
    it = job(currency="", parts=(part(currency="", receipt=""),), receipts=(receipt(**SUMS | {"currency": ""}),))
    assert codes_of(money.no_currency, it) == ["money.no-currency"] * 2
    assert not codes_of(money.no_currency, job(currency="", parts=(part(),)))


def test_several_lines_of_one_receipt() -> None:
    lines = (part(total=D("4.00")), part(id="P2", total=D("6.00")))
    assert not codes_of(money.MONEY, job(parts=lines, receipts=(receipt(**SUMS),), files=(document(),)))
    (raised,) = raised_by(money.receipt_lines, job(parts=lines[:1], receipts=(receipt(**SUMS),)))
    assert "(P1) add up to 4.00, the receipt's net says 10.00 EUR" in raised.says


def test_a_sum_is_exact() -> None:
    # In binary floating point 0.1 + 0.2 is not 0.3 (IEEE 754).
    lines = (part(total=D("0.1")), part(id="P2", total=D("0.2")))
    it = job(parts=lines, receipts=(receipt(net=D("0.3"), total=D("0.3")),))
    assert not codes_of((money.receipt_lines, money.receipt_arithmetic), it)


def test_a_receipt_listed_twice() -> None:
    papers = (receipt(**SUMS), receipt(**SUMS | {"document": "documents/again.pdf", "supplier": "ORRIN"}))
    assert codes_of(money.receipt_twice, job(receipts=papers)) == ["money.receipt-twice"]
    other = (papers[0], receipt(**SUMS | {"document": "documents/again.pdf", "number": "8"}))
    assert not codes_of(money.receipt_twice, job(receipts=other))
