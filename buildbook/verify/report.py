"""What a verification says: numbered steps, each done, failed or not possible, with every file named."""

from __future__ import annotations

import json
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One step. ok: None = could not be done here, and `says` tells why. details: one line a file."""

    name: str
    ok: bool | None
    says: str
    details: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """All steps over one path. what: "dossier", "issue folder", ..."""

    path: str
    what: str
    job: str
    issue: int | None
    seal: str
    steps: tuple[Step, ...]

    @property
    def ok(self) -> bool:
        """True if no step failed. A step that could not be done is no failure, and is printed as such."""
        return all(step.ok is not False for step in self.steps)


_MARK = {True: "ok    ", False: "FAILED", None: "-     "}


def report_text(report: Report) -> str:
    """The report for a person."""
    lines = [f"Verifying {report.path} ({report.what})"]
    for number, step in enumerate(report.steps, start=1):
        lines.append(f"{number:3}. {_MARK[step.ok]} {step.name}: {step.says}")
        lines += [f"         {detail}" for detail in step.details]
    failed = sum(step.ok is False for step in report.steps)
    skipped = sum(step.ok is None for step in report.steps)
    if failed:
        lines.append(f"NOT VERIFIED: {failed} of {len(report.steps)} steps failed.")
    else:
        done = len(report.steps) - skipped
        lines.append(f"Verified: {done} steps passed" + (f", {skipped} could not be done here." if skipped else "."))
    if report.seal:
        lines.append(f"Seal {report.seal}")
        lines.append("Compare it with the seal printed in the dossier, or with one you were given by other means.")
    return "\n".join(lines) + "\n"


def report_json(report: Report) -> str:
    """The report for a program."""
    data = {
        "path": report.path,
        "what": report.what,
        "job": report.job or None,
        "issue": report.issue,
        "seal": report.seal or None,
        "ok": report.ok,
        "steps": [{"name": s.name, "ok": s.ok, "says": s.says, "details": list(s.details)} for s in report.steps],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
