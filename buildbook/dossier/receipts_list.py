"""The receipts' list as a table of its own, for whoever opens the dossier with a spreadsheet at hand."""

from __future__ import annotations

import csv
from io import StringIO

from buildbook.dossier.evidence import build_registry
from buildbook.records.job import Job

RECEIPTS_NAME = "receipts-list.csv"  # not the name of the job's own table, which it must not overwrite when saved
_FIELDS = ("supplier", "number", "date", "net", "other", "tax", "total", "currency")


def receipts_csv(job: Job) -> bytes:
    """The receipts as CSV (UTF-8, LF, RFC 4180 quoting), one a row in the record's order; empty where there are none.

    label: as the dossier prints the scan; sha256: of the scan's bytes, as in the manifest; amounts as on the receipt.
    """
    if not job.receipts:
        return b""
    registry = build_registry(job)
    scans = {entry.path: (ref.label, entry.sha256) for entry, ref in registry.documents}
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(("label", "document", *_FIELDS, "sha256"))
    for one in job.receipts:
        label, sha256 = scans.get(one.document, ("", ""))
        given = (one.supplier, one.number, one.on, one.net, one.other, one.tax, one.total, one.currency)
        table.writerow((label, one.document, *("" if value is None else str(value) for value in given), sha256))
    return out.getvalue().encode("utf-8", "backslashreplace")
