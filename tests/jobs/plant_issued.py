"""Faults of the notes in issued/, where two issues have been made."""

from __future__ import annotations

import json
from datetime import date

from jobs.planting import Edit, Folder, both, gone

from buildbook.seal.chain import issue_json, issued_name, issued_record_name
from buildbook.seal.digest import sha256_bytes

SEALS = "1" * 64, "2" * 64


def two_issues(f: Folder) -> None:
    """Notes and records of two issues; of a record only what the next check reads of it."""
    for number, seal in enumerate(SEALS, start=1):
        listed = [
            {"path": name, "sha256": sha256_bytes(f.path(name).read_bytes())}
            for earlier in range(1, number)
            for name in (issued_record_name(earlier), issued_name(earlier))
        ]
        record = json.dumps({"job": {"files": listed}}).encode() + b"\n"
        f.write(issued_record_name(number), record)
        note = issue_json(
            job_number="Q-014",
            number=number,
            issued_on=date(2026, 3, 18 + number),
            seal=seal,
            previous_seal=SEALS[number - 2] if number > 1 else "",
            dossier_sha256="a" * 64,
            record_sha256=sha256_bytes(record),
            instructions_sha256="b" * 64,
            files=20,
            program="buildbook 0.1.0",
        )
        f.write(issued_name(number), note)


PLANTS: dict[str, Edit] = {
    "issued.missing": both(two_issues, gone(issued_name(1))),
    "issued.chain-broken": both(two_issues, lambda f: f.replace(issued_name(2), SEALS[0], "3" * 64)),
    "issued.changed": both(two_issues, lambda f: f.replace(issued_name(1), "a" * 64, "c" * 64)),
    "issued.record-missing": both(two_issues, gone(issued_record_name(1))),
    "issued.record-changed": both(two_issues, lambda f: f.append(issued_record_name(1), "\n")),
    "issued.record-alone": both(two_issues, gone(issued_name(2))),
}
