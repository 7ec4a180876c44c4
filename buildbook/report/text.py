"""Findings as text for a terminal and as JSON for programs."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from itertools import groupby

from buildbook.records.finding import Finding, Gate, Grade

_HEAD = {
    Grade.STOP: "STOP — no handover with these",
    Grade.QUERY: "QUERY — a person must look at these",
    Grade.NOTE: "NOTE — worth knowing",
}


def counts(findings: Sequence[Finding]) -> dict[str, int]:
    """How many of each grade: {"stop": n, "query": n, "note": n}."""
    found = Counter(f.grade for f in findings)
    return {grade.value: found[grade] for grade in Grade}


def counts_line(findings: Sequence[Finding]) -> str:
    """ "2 stop, 0 query, 5 note"."""
    return ", ".join(f"{number} {grade}" for grade, number in counts(findings).items())


def printable(text: str) -> str:
    """Text for a terminal: control characters (also those that turn the writing direction) made visible."""
    return "".join(c if c.isprintable() or c == "\n" else f"\\u{ord(c):04x}" for c in text)


def findings_text(job_number: str, gate: Gate, findings: Sequence[Finding]) -> str:
    """The check's result for a person: grouped by grade, each with its place, its sentence and its remedy; a
    remedy that several in a row share stands once, behind the last of them.
    """
    lines = [f"Job {job_number or '(no number)'}, gate {gate}: {counts_line(findings)}"]
    for grade in Grade:
        group = [f for f in findings if f.grade is grade]
        if not group:
            continue
        lines += ["", f"{_HEAD[grade]} ({len(group)})"]
        for (_, fix), alike in groupby(group, key=lambda f: (f.code, f.fix)):
            for finding in alike:
                lines.append(f"  {finding.place}  [{finding.code}]")
                lines.append(f"    {finding.says}")
            lines.append(f"    What to do: {fix}")  # once for findings in a row that are put right alike
    if not findings:
        lines.append("Nothing missing, nothing that does not add up.")
    return printable("\n".join(lines)) + "\n"


def findings_json(job_number: str, gate: Gate, findings: Sequence[Finding]) -> str:
    """The check's result for a program; see schemas/findings.schema.json."""
    data = {
        "job": job_number,
        "gate": gate.value,
        "counts": counts(findings),
        "findings": [
            {
                "code": f.code,
                "grade": f.grade.value,
                "file": f.place.file or None,
                "row": f.place.row,
                "column": f.place.column,
                "key": f.place.key,
                "says": f.says,
                "fix": f.fix,
                "source": f.source,
            }
            for f in findings
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
