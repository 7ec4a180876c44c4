"""Papers of the invented jobs as small plain PDFs: receipts, letters, certificates, data sheets.

Every firm, number and sum is invented. Same input, same bytes (reportlab's invariant mode).
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from reportlab.lib.pagesizes import A5
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

SMALLEST = {"JPY": Decimal(1)}  # ISO 4217 minor units; two digits elsewhere here


def _least(currency: str) -> Decimal:
    return SMALLEST.get(currency, Decimal("0.01"))


@dataclass(frozen=True, slots=True)
class Bill:
    """A receipt: its part lines come from parts.csv, `extra` are lines for work, freight and materials."""

    document: str
    supplier: str
    address: str
    number: str
    date: str
    extra: tuple[tuple[str, str], ...] = ()
    tax_percent: str = "23"
    tax_name: str = "VAT"


def paper(path: Path, title: str, lines: Sequence[str], *, mono: bool = False) -> None:
    """One A5 page: a title and lines of text; a line that starts with `|` is ruled off above."""
    page = Canvas(str(path), pagesize=A5, invariant=1)
    width, height = A5
    page.setTitle(title)
    y = height - 52
    page.setFont("Helvetica-Bold", 13)
    page.drawString(40, y, title)
    y -= 26
    font, size = ("Courier", 7.6) if mono else ("Helvetica", 9)
    for line in lines:
        if line.startswith("|"):
            page.setLineWidth(0.5)
            page.line(40, y + 9, width - 40, y + 9)
            line = line[1:]
        page.setFont(font, size)
        for piece in [line] if mono else simpleSplit(line, font, size, width - 80) or [""]:
            page.drawString(40, y, piece)
            y -= size * 1.45
    page.save()


def _money(amount: Decimal, currency: str) -> str:
    return f"{amount.quantize(_least(currency)):>10} {currency}"


def write_bills(job: Path, bills: Sequence[Bill], parts: Sequence[dict[str, str]], currency: str, delimiter: str = ",") -> None:
    """The receipts as PDFs and receipts.csv, each sum from the part lines that name the receipt."""
    rows = []
    for bill in bills:
        mine = [p for p in parts if p["receipt"] == bill.document]
        net = sum((Decimal(p["total"]) for p in mine), Decimal(0))
        other = sum((Decimal(amount) for _, amount in bill.extra), Decimal(0))
        tax = ((net + other) * Decimal(bill.tax_percent) / 100).quantize(_least(currency), ROUND_HALF_UP)
        total = net + other + tax
        lines = [bill.supplier, bill.address, "", f"Invoice {bill.number}    {bill.date}", ""]
        for p in mine:
            lines.append(f"{p['part_number'][:22]:<22} {p['what'][:48]}")
            lines.append(f"{'':<22} {p['quantity']:>5} x {p['price']:>8} {_money(Decimal(p['total']), currency):>28}")
        lines += [f"{what[:44]:<44} {_money(Decimal(amount), currency):>22}" for what, amount in bill.extra]
        lines += [
            f"|{'Parts':<44} {_money(net, currency):>22}",
            f"{'Other':<44} {_money(other, currency):>22}",
            f"{bill.tax_name + ' ' + bill.tax_percent + ' %':<44} {_money(tax, currency):>22}",
            f"|{'Total':<44} {_money(total, currency):>22}",
            "", "Paid by transfer. Thank you.",
        ]  # fmt: skip
        paper(job / bill.document, f"{bill.supplier}", lines, mono=True)
        amounts = [str(a.quantize(_least(currency))) for a in (net, other, tax, total)]
        if delimiter == ";":
            amounts = [a.replace(".", ",") for a in amounts]
        rows.append([bill.document, bill.supplier, bill.number, bill.date, *amounts, currency])
    with (job / "receipts.csv").open("w", encoding="utf-8", newline="") as out:
        sheet = csv.writer(out, delimiter=delimiter, lineterminator="\n")
        sheet.writerow(["document", "supplier", "number", "date", "net", "other", "tax", "total", "currency"])
        sheet.writerows(rows)


def write_certificate(path: Path, instrument: dict[str, object], laboratory: str) -> None:
    """A calibration certificate for one instrument of job.toml."""
    lines = [
        laboratory, "", f"Certificate no. {instrument['serial']}/{instrument['calibrated_on']}", "",
        f"Instrument: {instrument['what']}", f"Maker: {instrument['maker']}    Serial number: {instrument['serial']}",
        f"Workshop's own number: {instrument['id']}", f"Calibrated on: {instrument['calibrated_on']}",
        f"Interval agreed with the customer: {instrument['interval_months']} months", "",
        "All points were within the maker's stated error. Expanded uncertainty (k = 2) as stated on page 2, held by the customer.",
    ]  # fmt: skip
    paper(path, "Calibration certificate", lines)
