"""The issue chain: which number the next issue has, what it seals, and the small JSON that records it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from buildbook.records.issued import issued_name, issued_record_name, sealed_files
from buildbook.records.photo import FileEntry
from buildbook.seal.digest import manifest_bytes, seal_of

if TYPE_CHECKING:
    from buildbook.records.job import Issued

ISSUE_FORMAT = "buildbook-issue-1"


@dataclass(frozen=True, slots=True)
class IssuePlan:
    """What the next issue is. again: it re-makes the latest one (nothing changed, same date)."""

    number: int
    manifest: bytes
    seal: str
    previous_seal: str
    again: bool


def plan_issue(files: Sequence[FileEntry], issued: Sequence[Issued], issued_on: date) -> IssuePlan:
    """The plan for the next issue of a job.

    The latest issue is made again, with the same number, if it would seal the same bytes on the same date.
    """
    chain = sorted(issued, key=lambda i: i.number)
    if chain:
        last = chain[-1]
        manifest = _manifest(files, last.number)
        if seal_of(manifest) == last.seal and last.issued_on == issued_on:
            return IssuePlan(last.number, manifest, last.seal, last.previous_seal, again=True)
    number = chain[-1].number + 1 if chain else 1
    manifest = _manifest(files, number)
    return IssuePlan(number, manifest, seal_of(manifest), chain[-1].seal if chain else "", again=False)


def _manifest(files: Iterable[FileEntry], number: int) -> bytes:
    return manifest_bytes((entry.path, entry.sha256) for entry in sealed_files(files, number))


def issue_json(
    *,
    job_number: str,
    number: int,
    issued_on: date,
    seal: str,
    previous_seal: str,
    dossier_sha256: str,
    record_sha256: str,
    instructions_sha256: str,
    files: int,
    program: str,
    archive_sha256: str = "",
    web_sha256: str = "",
    signature: Mapping[str, object] | None = None,
    edition: str = "",
    withheld: Sequence[str] = (),
    owner_dossier_sha256: str = "",
) -> bytes:
    """The JSON of an issue, as it stands in `issued/NNN.json` and in the issue folder. Deterministic.

    archive_sha256: of the list of payload digests of the issue's archive, whether or not one was written; "" for none.
    web_sha256: of the list of files of its web edition, likewise.
    edition, withheld, owner_dossier_sha256: of an edition for others than the owner, which has none of them.
    """
    data: dict[str, object] = {
        "format": ISSUE_FORMAT,
        "job": job_number,
        "number": number,
        "issued_on": issued_on.isoformat(),
        "seal": seal,
        "previous_seal": previous_seal,
        "dossier_sha256": dossier_sha256,
        "record_sha256": record_sha256,
        "instructions_sha256": instructions_sha256,
        "files": files,
        "program": program,
    }
    if archive_sha256:
        data["archive_sha256"] = archive_sha256
    if web_sha256:
        data["web_sha256"] = web_sha256
    if signature:
        data["signature"] = dict(signature)
    if edition:
        data["edition"] = edition
        data["owner_dossier_sha256"] = owner_dossier_sha256
        if withheld:
            data["withheld"] = list(withheld)
    return canonical_json(data)


def canonical_json(data: object) -> bytes:
    """The one way an issue's JSON is written: sorted keys, two spaces, UTF-8, LF at the end."""
    return (json.dumps(data, ensure_ascii=False, indent=2, sort_keys=True) + "\n").encode("utf-8")


__all__ = [
    "ISSUE_FORMAT", "IssuePlan", "canonical_json", "issue_json", "issued_name", "issued_record_name", "plan_issue",
]  # fmt: skip
