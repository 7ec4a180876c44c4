"""The step over an edition for others: record and issue.json name the same files as withheld, all in the manifest."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.verify.report import Step

FOR = ("insurer", "resale")
_MOST_LINES = 400


def edition_of(record: Any) -> str:
    """Whom the record says it is for; "" for the owner."""
    issue = record.get("issue") if isinstance(record, dict) else None
    said = issue.get("edition", "") if isinstance(issue, dict) else ""
    return said if isinstance(said, str) else ""


def edition_steps(record: Any, issue: Mapping[str, Any] | None, entries: Mapping[str, str] | None) -> list[Step]:
    """None for an owner's. issue: issue.json, None where there is none to hold it against."""
    said = record.get("issue") if isinstance(record, dict) else None
    said = said if isinstance(said, dict) else {}
    edition = edition_of(record)
    if not edition and not (issue and (issue.get("edition") or issue.get("withheld"))):
        return []
    listed = said.get("withheld", [])
    withheld = [p for p in listed if isinstance(p, str)] if isinstance(listed, list) else []
    lines = []
    if issue is not None and issue.get("edition", "") != edition:
        lines.append(f"changed: 'issue.json' says it is for {issue.get('edition', 'owner')!r}, the record {edition!r}")
    if issue is not None and issue.get("withheld", []) != listed:
        lines.append("changed: 'issue.json' and the record name other files as withheld")
    lines += [f"changed: {path!r} is named as withheld, and stands in no manifest" for path in withheld
              if entries is not None and path not in entries]  # fmt: skip
    says = f"for {edition}: {len(withheld)} files are withheld, and stand in the manifest by their hash only"
    shown = [f"withheld: {path!r}" for path in withheld[:_MOST_LINES]]
    shown += [f"and {len(withheld) - _MOST_LINES} more"] if len(withheld) > _MOST_LINES else []
    return [Step("The edition and what it withholds", not lines, says if not lines else "it is not told alike",
                 tuple(lines or shown))]  # fmt: skip
