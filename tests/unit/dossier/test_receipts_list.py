"""The receipts' list: every receipt, amounts as on it, the scan named by label and hash."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from decimal import Decimal

from buildbook.dossier import receipts_csv
from buildbook.dossier.evidence import build_registry
from buildbook.records.job import Job


def rows(job: Job) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(receipts_csv(job).decode("utf-8"), newline="")))


def test_each_receipt_is_a_row_as_recorded(job: Job) -> None:
    scan, ref = build_registry(job).documents[0]
    job = replace(job, receipts=(replace(job.receipts[0], document=scan.path), *job.receipts))
    for row, receipt in zip(rows(job), job.receipts, strict=True):
        assert row["document"] == receipt.document
        assert row["supplier"] == receipt.supplier
        assert Decimal(row["total"]) == receipt.total
        assert row["currency"] == receipt.currency
    assert rows(job)[0]["sha256"] == scan.sha256
    assert rows(job)[0]["label"] == ref.label


def test_a_receipt_without_scan_or_amounts_and_with_awkward_text(job: Job) -> None:
    odd = replace(job.receipts[0], document="documents/none.pdf", supplier='A "b", c\nd 南', net=None, on=None)
    row = rows(replace(job, receipts=(odd,)))[0]
    assert (row["label"], row["sha256"], row["net"], row["date"]) == ("", "", "", "")
    assert row["supplier"] == 'A "b", c\nd 南'


def test_no_receipts_no_list(bare: Job) -> None:
    assert receipts_csv(bare) == b""
