"""record.json: the whole record in one file for machines, in the form of schemas/record.schema.json.

Names are the field names of the record types; what is not given is left out, false and 0 stay; decimals are text.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time
from decimal import Decimal
from enum import Enum

from buildbook import __version__
from buildbook.dossier.evidence import Registry, build_registry
from buildbook.dossier.issue import IssueInfo, as_sealed
from buildbook.editions.table import Edition
from buildbook.records.finding import Finding, Grade
from buildbook.records.job import Job
from buildbook.records.photo import PhotoFacts

RECORD_FORMAT = "buildbook-record-1"


def record_json(job: Job, findings: Sequence[Finding], issue: IssueInfo) -> bytes:
    """The record as JSON: UTF-8, LF, keys sorted; the same bytes for the same arguments.

    Photos, readings and documents carry the label the dossier prints for them.
    """
    job = as_sealed(job, issue)
    data = {
        "format": RECORD_FORMAT,
        "program": f"buildbook {__version__}",
        "issue": _issue(issue),
        "job": _job(job, build_registry(job)),
        "findings": {
            "counts": {grade.value: sum(1 for f in findings if f.grade is grade) for grade in Grade},
            "list": [_finding(f) for f in findings],
        },
    }
    made = json.dumps(data, ensure_ascii=False, sort_keys=True, indent=1, allow_nan=False) + "\n"
    # A lone surrogate (an undecodable file name) becomes its JSON escape: Python writes it in the same form.
    return made.encode("utf-8", "backslashreplace")


def _issue(issue: IssueInfo) -> dict[str, object]:
    made: dict[str, object] = {"issued_on": issue.issued_on.isoformat(), "draft": issue.draft}
    if not issue.draft:
        made["number"] = issue.number
    if issue.seal:
        made["seal"] = issue.seal
    if issue.previous_seal:
        made["previous_seal"] = issue.previous_seal
    if issue.edition is not Edition.OWNER:
        made["edition"] = issue.edition.value
        if issue.withheld:
            made["withheld"] = list(issue.withheld)
    return made


def _finding(finding: Finding) -> dict[str, object]:
    place = finding.place
    made: dict[str, object] = {"code": finding.code, "grade": finding.grade.value, "says": finding.says}
    optional = {
        "file": place.file, "row": place.row, "column": place.column, "key": place.key,
        "fix": finding.fix, "source": finding.source,
    }  # fmt: skip
    return made | {name: value for name, value in optional.items() if value}


def _job(job: Job, registry: Registry) -> dict[str, object]:
    made = _plain_record(job)
    # Labels go beside the records they number, in the order the record keeps.
    photo = {p.path: ref.label for p, ref in registry.photos}
    document = {d.path: ref.label for d, ref in registry.documents}
    _label(made, "photos", [photo[p.path] for p in job.photos])
    _label(made, "documents", [document[d.path] for d in job.documents])
    _label(made, "readings", [ref.label for _r, ref in registry.readings])
    return made


def _label(made: dict[str, object], name: str, labels: Sequence[str]) -> None:
    rows = made.get(name)
    if isinstance(rows, list):
        for row, label in zip(rows, labels, strict=True):
            row["label"] = label


def _plain_record(record: object) -> dict[str, object]:
    """A dataclass as an object; fields that hold nothing are left out."""
    made: dict[str, object] = {}
    for field in fields(record):  # type: ignore[arg-type]
        value = getattr(record, field.name)
        if isinstance(record, PhotoFacts) and field.name in ("looks", "changed"):  # measured for the check alone
            continue
        if isinstance(record, Job) and field.name == "elsewhere":  # other jobs, which are not this one's to publish
            continue
        if isinstance(record, PhotoFacts) and field.name == "dhash":
            value = None if value is None else f"{value:016x}"
        if value is None or (isinstance(value, str | tuple | frozenset | dict | list) and not value):
            continue
        made[field.name] = plain(value)
    return made


def plain(value: object) -> object:
    """A value as JSON knows it: dates in ISO 8601, decimals and what is no finite number as text."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, bool | int | str):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, float):
        return value if math.isfinite(value) else str(value)
    if isinstance(value, frozenset | set):
        return sorted(str(v) for v in value)
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, dict):
        return {str(k): plain(v) for k, v in value.items()}
    if is_dataclass(value):
        return _plain_record(value)
    raise TypeError(f"no JSON form for {type(value).__name__}")


