"""Rules of money: lines and receipts add up, per currency, exactly."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from iso4217 import Currency

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Part, Receipt
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.rules.evidence import found_file, listed, not_there
from buildbook.rules.grades import QUERY, QUERY_LATER, STOP_AT_HANDOVER
from buildbook.rules.parts import name
from buildbook.rules.rule import Rule, rule

_ISO = "ISO 4217, as in the table of the package iso4217 (PUB-A)"
_ADDS_UP = "Arithmetic; that receipts are checked is common practice, no source"
# Decimal places of each currency; none for metals and test codes, which have no minor unit.
_PLACES: Final[dict[str, int | None]] = {c.code: c.exponent for c in Currency}


def currency_of(job: Job, record: Part | Receipt) -> str:
    """The currency of a line: its own, else the job's."""
    return record.currency or ("" if "currency" in record.bad else job.currency)


def _rounded(amount: Decimal, currency: str) -> Decimal:
    """To the currency's minor unit, halves up; as it is where the currency has none."""
    places = _PLACES.get(currency)
    return amount if places is None else amount.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def line_total(job: Job, part: Part) -> Decimal | None:
    """What a part line costs: its total, else price times quantity; None if neither is given."""
    if part.total is not None:
        return part.total
    if part.price is None or part.quantity is None:
        return None
    return _rounded(part.price * part.quantity, currency_of(job, part))


def _lines(job: Job) -> dict[str, list[Part]]:
    """Part lines by the receipt they name."""
    lines: dict[str, list[Part]] = defaultdict(list)
    for part in job.parts:
        if part.receipt:
            lines[part.receipt].append(part)
    return lines


def _amounts(job: Job) -> Iterator[tuple[Place, str, str, Decimal]]:
    """Every amount of the record: place, where in words, currency, value. Prices may have more decimals."""
    for part in job.parts:
        if part.total is not None:
            yield part.place.at("total"), said("Part line {part}", part=name(part)), currency_of(job, part), part.total
    for receipt in job.receipts:
        for field in ("net", "other", "tax", "total"):
            value: Decimal | None = getattr(receipt, field)
            if value is not None:
                yield (
                    receipt.place.at(field),
                    said("Receipt {receipt}", receipt=receipt.document),
                    currency_of(job, receipt),
                    value,
                )


@rule(
    "money.currency-unknown",
    asks="Is each currency a code of ISO 4217?",
    why="Sums in a code nobody knows cannot be added, insured or converted.",
    fix="Write the three letters of the currency, e.g. EUR, JPY, GBP.",
    source=_ISO,
    **STOP_AT_HANDOVER,
)
def currency_unknown(job: Job) -> Iterator[Raised]:
    named = [(job.place.at("currency"), said("The job"), job.currency)]
    named += [(p.place.at("currency"), said("Part line {part}", part=name(p)), p.currency) for p in job.parts]
    named += [(r.place.at("currency"), said("Receipt {receipt}", receipt=r.document), r.currency) for r in job.receipts]
    for place, where, code in named:
        if code and code not in _PLACES:
            yield Raised(
                "money.currency-unknown", place,
                said('{where} names currency "{code}", which ISO 4217 has not.', where=where, code=code),
            )  # fmt: skip


@rule(
    "money.no-currency",
    asks="Has each amount a currency, its own or the job's?",
    why="An amount without currency is no amount.",
    fix='Write currency = "EUR" under [job] in job.toml, or the code in the currency column of the line.',
    source=_ISO,
    **STOP_AT_HANDOVER,
)
def no_currency(job: Job) -> Iterator[Raised]:
    if job.currency or "currency" in job.bad:
        return
    for part in job.parts:
        if (part.price is not None or part.total is not None) and part.lacks("currency"):
            yield Raised(
                "money.no-currency", part.place.at("currency"),
                said("Part line {part} has an amount but no currency.", part=name(part)),
            )  # fmt: skip
    for receipt in job.receipts:
        if (receipt.net is not None or receipt.total is not None) and receipt.lacks("currency"):
            yield Raised(
                "money.no-currency", receipt.place.at("currency"),
                said("Receipt {receipt} has an amount but no currency.", receipt=receipt.document),
            )  # fmt: skip


@rule(
    "money.too-many-decimals",
    asks="Has each amount no more decimal places than its currency?",
    why="There are no half cents on a receipt, and no sen in a Japanese price: a digit or the currency is wrong.",
    fix="Copy the amount again from the receipt, or correct the currency.",
    source=_ISO,
    **QUERY,
)
def too_many_decimals(job: Job) -> Iterator[Raised]:
    for place, where, currency, value in _amounts(job):
        places = _PLACES.get(currency)
        if places is not None and value != _rounded(value, currency):
            yield Raised(
                "money.too-many-decimals", place,
                said(
                    "{where} has the amount {amount}; {currency} has {places} decimal places.",
                    where=where, amount=value, currency=currency, places=places,
                ),
            )  # fmt: skip


@rule(
    "money.no-price",
    asks="Does each part line that names a receipt say what the part cost?",
    why="Without it the lines cannot be held against the receipt, and the sum spent cannot be shown.",
    fix="Write price and quantity, or total, as the receipt has them; 0 for a part that came free.",
    **QUERY_LATER,
)
def no_price(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        unreadable = part.bad & {"price", "total", "quantity"}
        if part.receipt and line_total(job, part) is None and not unreadable and not _counted(part):
            yield Raised(
                "money.no-price", part.place.at("total"),
                said("Part line {part} names receipt {receipt} but no price.", part=name(part), receipt=part.receipt),
            )  # fmt: skip


def _counted(part: Part) -> bool:
    """True if only the quantity is lacking of a replaced part: that has a finding of its own."""
    return part.replaced and part.price is not None and part.quantity is None


@rule(
    "money.line-total",
    asks="Is the total of each part line price times quantity?",
    why="A sum that does not add up is doubted with everything around it.",
    fix="Correct price, quantity or total from the receipt; a discount belongs in the price.",
    source=_ADDS_UP,
    **STOP_AT_HANDOVER,
)
def wrong_line_total(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.price is None or part.quantity is None or part.total is None:
            continue
        currency = currency_of(job, part)
        expected = _rounded(part.price * part.quantity, currency)
        if _rounded(part.total, currency) != expected:
            yield Raised(
                "money.line-total", part.place.at("total"),
                said(
                    "Part line {part}: {price} × {quantity} is {expected}, the total says {total} {currency}.",
                    part=name(part), price=part.price, quantity=part.quantity, expected=expected, total=part.total,
                    currency=currency,
                ),
            )  # fmt: skip


@rule(
    "money.receipt-arithmetic",
    asks="Do parts (net), other charges and tax of each receipt add up to its total?",
    why="A receipt that does not add up was copied wrong, or is wrong itself.",
    fix="Copy net, other, tax and total again from the receipt; other holds what is no part line: carriage, labour, "
    "materials.",
    source=_ADDS_UP,
    **STOP_AT_HANDOVER,
)
def receipt_arithmetic(job: Job) -> Iterator[Raised]:
    for receipt in job.receipts:
        if receipt.net is None or receipt.total is None or receipt.bad & {"other", "tax"}:
            continue
        other, tax = receipt.other or Decimal(0), receipt.tax or Decimal(0)
        expected = receipt.net + other + tax
        if receipt.total != expected:
            yield Raised(
                "money.receipt-arithmetic", receipt.place.at("total"),
                said(
                    "Receipt {receipt}: {net} + {other} + {tax} is {expected}, the total says {total} {currency}.",
                    receipt=receipt.document, net=receipt.net, other=other, tax=tax, expected=expected,
                    total=receipt.total, currency=currency_of(job, receipt),
                ),
            )  # fmt: skip


@rule(
    "money.receipt-incomplete",
    asks="Has each receipt in receipts.csv its net sum and its total?",
    why="Without both it can be held neither against the part lines nor against itself.",
    fix="Copy net and total from the receipt.",
    **QUERY,
)
def receipt_incomplete(job: Job) -> Iterator[Raised]:
    for receipt in job.receipts:
        missing = [field for field in ("net", "total") if receipt.lacks(field)]
        if missing:
            yield Raised(
                "money.receipt-incomplete", receipt.place.at(missing[0]),
                said("Receipt {receipt} has no {missing}.", receipt=receipt.document, missing=listed(missing)),
            )  # fmt: skip


def _not_the_net(job: Job, receipt: Receipt, lines: list[str], total: Decimal) -> str:
    net, currency = receipt.net, currency_of(job, receipt)
    if not lines:
        return said(
            "Receipt {receipt}: part lines (none) add up to {total}, the receipt's net says {net} {currency}.",
            receipt=receipt.document, total=total, net=net, currency=currency,
        )  # fmt: skip
    return said(
        "Receipt {receipt}: part lines ({parts}) add up to {total}, the receipt's net says {net} {currency}.",
        receipt=receipt.document, parts=listed(lines), total=total, net=net, currency=currency,
    )  # fmt: skip


def _mixed(job: Job, receipt: Receipt, lines: list[Part]) -> bool:
    return any(currency_of(job, part) != currency_of(job, receipt) for part in lines)


@rule(
    "money.receipt-lines",
    asks="Do the part lines of a receipt add up to its net sum?",
    why="A difference is a part that is not in the register, or one that is in it twice.",
    fix="Add the missing part line, correct the totals, or move what is no part to the other column of receipts.csv.",
    source=_ADDS_UP,
    **STOP_AT_HANDOVER,
)
def receipt_lines(job: Job) -> Iterator[Raised]:
    by_receipt = _lines(job)
    for receipt in job.receipts:
        lines = by_receipt.get(receipt.document, [])
        totals = [line_total(job, part) for part in lines]
        known = [t for t in totals if t is not None]
        if receipt.net is None or len(known) < len(totals) or _mixed(job, receipt, lines):
            continue
        total = sum(known, Decimal(0))
        if total != receipt.net:
            yield Raised(
                "money.receipt-lines", receipt.place.at("net"),
                _not_the_net(job, receipt, [part.id for part in lines], total),
            )  # fmt: skip


@rule(
    "money.receipt-unlisted",
    asks="Is each receipt that a part line names in receipts.csv?",
    why="Only with its net, tax and total can a receipt be held against the part lines.",
    fix="Add a row to receipts.csv with the document's path, net, other, tax, total and currency.",
    **QUERY_LATER,
)
def receipt_unlisted(job: Job) -> Iterator[Raised]:
    listed_receipts = {receipt.document for receipt in job.receipts}
    for document, lines in _lines(job).items():
        # A receipt that is not there at all has a finding of its own.
        if document not in listed_receipts and found_file(job, document) is not None:
            yield Raised(
                "money.receipt-unlisted", lines[0].place.at("receipt"),
                said(
                    "Receipt {receipt}, named by {parts}, is not in receipts.csv.",
                    receipt=document, parts=listed(part.id for part in lines),
                ),
            )  # fmt: skip


@rule(
    "money.receipt-document-missing",
    asks="Does the document of each receipt exist?",
    why="A named receipt that is not there is a claim without its evidence.",
    fix="Put the receipt in documents/ and write its path in the document column of receipts.csv.",
    **STOP_AT_HANDOVER,
)
def receipt_document_missing(job: Job) -> Iterator[Raised]:
    by_line = _lines(job)
    for receipt in job.receipts:
        # One that a part line names too has a finding there.
        if receipt.document and receipt.document not in by_line and found_file(job, receipt.document) is None:
            yield Raised(
                "money.receipt-document-missing", receipt.place.at("document"),
                said(
                    "Row {row} names {document}, {why}.",
                    row=receipt.number or receipt.document, document=receipt.document,
                    why=not_there(job, receipt.document),
                ),
            )  # fmt: skip


@rule(
    "money.mixed-currency",
    asks="Is each part line in the currency of its receipt?",
    why="Sums in two currencies cannot be added.",
    fix="Correct the currency of the line or of the receipt; amounts are written as on the receipt, never converted.",
    source=_ADDS_UP,
    **STOP_AT_HANDOVER,
)
def mixed_currency(job: Job) -> Iterator[Raised]:
    by_document = {receipt.document: receipt for receipt in job.receipts}
    for part in job.parts:
        receipt = by_document.get(part.receipt) if part.receipt else None
        if receipt is None or line_total(job, part) is None:
            continue
        got, expected = currency_of(job, part), currency_of(job, receipt)
        if got and expected and got != expected:
            yield Raised(
                "money.mixed-currency", part.place.at("currency"),
                said(
                    "Part line {part} is in {got}, its receipt {receipt} in {expected}.",
                    part=name(part), got=got, receipt=receipt.document, expected=expected,
                ),
            )  # fmt: skip


@rule(
    "money.receipt-twice",
    asks="Is each receipt of a supplier listed once?",
    why="A receipt counted twice doubles what was spent.",
    fix="Take one of the two rows out of receipts.csv, or correct the number.",
    **QUERY,
)
def receipt_twice(job: Job) -> Iterator[Raised]:
    seen: dict[tuple[str, str], Receipt] = {}
    for receipt in job.receipts:
        if not receipt.supplier or not receipt.number:
            continue
        first = seen.setdefault((receipt.supplier.casefold(), receipt.number), receipt)
        if first is not receipt:
            yield Raised(
                "money.receipt-twice", receipt.place.at("number"),
                said(
                    "Receipt {receipt} of {supplier} is listed as {first} and as {second}.",
                    receipt=receipt.number, supplier=receipt.supplier, first=first.document, second=receipt.document,
                ),
            )  # fmt: skip


MONEY: tuple[Rule, ...] = (
    currency_unknown,
    no_currency,
    too_many_decimals,
    no_price,
    wrong_line_total,
    receipt_arithmetic,
    receipt_incomplete,
    receipt_lines,
    receipt_unlisted,
    receipt_document_missing,
    mixed_currency,
    receipt_twice,
)
