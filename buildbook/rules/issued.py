"""Rules of the notes in issued/: the chain of earlier issues is whole, and each has the record it was made from."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.issued import issued_name, issued_record_name
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.rules.grades import STOP
from buildbook.rules.rule import Rule, rule

_OWN = "this record's own form (schemas/issue.schema.json, docs/adr/002-issues.md)"
_RECORD = re.compile(r"(issued/[0-9]{3,})-record\.json")
_WHY_RECORD = "The next dossier tells what changed since this issue from it, and so does verify."
_FIX_RECORD = "Bring it back from the issue folder, where it is called record.json, or from a later archive."
_FIX_NOTE = "Bring it back from the issue folder, where it is called issue.json, or from a later archive."


@rule(
    "issued.missing",
    asks="Is each issue before the last one noted in issued/?",
    why="A gap looks as if an issue was to be forgotten; the one after it names a seal that nobody can find.",
    fix=_FIX_NOTE,
    source=_OWN,
    **STOP,
)  # fmt: skip
def missing(job: Job) -> Iterator[Raised]:
    there = {entry.path for entry in job.files}  # one that cannot be read has its own finding
    last = max((issue.number for issue in job.issued), default=0)
    known = {issue.number for issue in job.issued}
    for number in range(1, last):
        if number not in known and issued_name(number) not in there:
            says = said("Issue {last} is noted, but issue {number} is not.", last=last, number=number)
            yield Raised("issued.missing", Place(issued_name(number)), says)


@rule(
    "issued.chain-broken",
    asks="Does each issue name the seal of the issue before it?",
    why="The seals are a chain: an issue that was exchanged or changed later breaks it.",
    fix=_FIX_NOTE,
    source=_OWN,
    **STOP,
)  # fmt: skip
def chain_broken(job: Job) -> Iterator[Raised]:
    seals = {issue.number: issue.seal for issue in job.issued}
    for issue in job.issued:
        before = "" if issue.number == 1 else seals.get(issue.number - 1)
        if before is None or issue.previous_seal == before:
            continue
        if issue.number == 1:
            says = said("It is the first issue, and yet it names a seal before it.")
        else:
            says = said(
                "It does not name the seal of issue {issue}: one of the two was changed or exchanged.",
                issue=issue.number - 1,
            )
        yield Raised("issued.chain-broken", Place(issued_name(issue.number), key="previous_seal"), says)


@rule(
    "issued.record-missing",
    asks="Does the record of each issue lie beside its note?",
    why=_WHY_RECORD,
    fix=_FIX_RECORD,
    source=_OWN,
    **STOP,
)  # fmt: skip
def record_missing(job: Job) -> Iterator[Raised]:
    there = {entry.path for entry in job.files}
    for issue in job.issued:
        name = issued_record_name(issue.number)
        if name not in there:
            yield Raised(
                "issued.record-missing",
                Place(name),
                said("The record of issue {issue} is not there.", issue=issue.number),
            )


@rule(
    "issued.record-changed",
    asks="Is the record of each issue byte for byte what was issued?",
    why=_WHY_RECORD,
    fix=_FIX_RECORD,
    source=_OWN,
    **STOP,
)  # fmt: skip
def record_changed(job: Job) -> Iterator[Raised]:
    digests = {entry.path: entry.sha256 for entry in job.files}
    for issue in job.issued:
        name = issued_record_name(issue.number)
        if digests.get(name, issue.record_sha256) != issue.record_sha256:
            says = said(
                "It is not the record that was issued: {file} names another SHA-256.", file=issued_name(issue.number)
            )
            yield Raised("issued.record-changed", Place(name), says)


@rule(
    "issued.record-alone",
    asks="Does each record in issued/ have the note of its issue?",
    why="Without its note the issue is not in the chain: another one would be given its number.",
    fix="Bring the note back from the issue folder, where it is called issue.json. Where that folder lies in the "
    "output, compile does so by itself. Take the record away only if there never was such an issue.",
    source=_OWN,
    **STOP,
)  # fmt: skip
def record_alone(job: Job) -> Iterator[Raised]:
    there = {entry.path for entry in job.files}
    last = max((issue.number for issue in job.issued), default=0)
    for path in sorted(there):
        match = _RECORD.fullmatch(path)
        if match is None or f"{match[1]}.json" in there:
            continue
        if int(match[1].removeprefix("issued/")) > last:  # a gap further down is issued.missing
            yield Raised(
                "issued.record-alone", Place(path), said("It lies there without {file}.", file=f"{match[1]}.json")
            )


ISSUED: tuple[Rule, ...] = (
    missing,
    chain_broken,
    Rule(
        code="issued.changed",
        asks="Is the note of each issue before the last one still what a later issue sealed?",
        why="Verify holds the dossiers against these notes; a changed one accuses a dossier that is right.",
        fix=_FIX_NOTE,
        source=_OWN,
        **STOP,
    ),
    record_missing,
    record_changed,
    record_alone,
)  # fmt: skip
