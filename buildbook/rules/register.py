"""Rules of the accession register: what is in it stays as it was, and what came in stands in it."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.register import NAME, Registration, first_registered, gone, is_registered_kind
from buildbook.records.said import day, said
from buildbook.rules.grades import NOTE, QUERY_AT_HANDOVER, STOP, STOP_AT_HANDOVER, Grades
from buildbook.rules.moments import zone_of
from buildbook.rules.rule import Rule, rule

_OWN = "this record's own form (schemas/register.schema.json, docs/adr/004-register.md)"


def _text(code: str, grades: Grades, asks: str, why: str, fix: str, *, settled: bool = False) -> Rule:
    return Rule(code=f"register.{code}", asks=asks, why=why, fix=fix, source=_OWN, settled=settled, **grades)


def _when(job: Job, entry: Registration) -> str:
    """When a file was registered, in the job's time zone."""
    return day(entry.at.astimezone(zone_of(job)))


@rule(
    "register.changed",
    asks="Does each registered file still hold the bytes it was registered with?",
    why="The register shows when a photo or paper came in; that is worth nothing for one that was changed since.",
    fix="Bring the original back under its name; keep the changed one, if it is wanted, under another.",
    source=_OWN,
    **STOP,
)  # fmt: skip
def changed(job: Job) -> Iterator[Raised]:
    for entry, replaced in gone(job.register, ((f.path, f.sha256) for f in job.files)):
        if replaced:
            says = said(
                "It was changed since it was registered on {when} (line {line}).", when=_when(job, entry), line=entry.n
            )
            yield Raised("register.changed", Place(entry.path), says)


@rule(
    "register.missing",
    asks="Is each registered file still in the folder, under whatever name?",
    why="Evidence that came in and is gone is missed by whoever asks for it later.",
    fix="Bring the file back. A wrong one stays too: say in its caption that it does not belong to the job.",
    source=_OWN,
    **STOP,
)  # fmt: skip
def missing(job: Job) -> Iterator[Raised]:
    for entry, replaced in gone(job.register, ((f.path, f.sha256) for f in job.files)):
        if not replaced:
            says = said("It was registered on {when} (line {line}), and is gone.", when=_when(job, entry), line=entry.n)
            yield Raised("register.missing", Place(entry.path), says)


@rule(
    "register.unregistered",
    asks="If a register is kept, does each photo and paper stand in it?",
    why="When an unregistered photo came in is known from its camera's clock alone.",
    fix="Call `buildbook register` on the job folder whenever something new was put into it.",
    source=_OWN,
    **QUERY_AT_HANDOVER,
)  # fmt: skip
def unregistered(job: Job) -> Iterator[Raised]:
    if not job.register:
        return
    known = first_registered(job.register)
    other = {e.path for e, _ in gone(job.register, ((f.path, f.sha256) for f in job.files))}  # those have a finding
    for entry in job.files:
        if is_registered_kind(entry.path) and entry.sha256 not in known and entry.path not in other:
            yield Raised("register.unregistered", Place(entry.path), said("It does not stand in the register."))


REGISTER: tuple[Rule, ...] = (
    changed,
    missing,
    _text(
        "broken", STOP,
        "Is each line of the register as it was written, and does it name the digest of the line before?",
        "A line that was changed later could say that a file came in when it did not.",
        f"Bring {NAME} back from a copy, or from the archive of the last issue.",
    ),
    _text(
        "out-of-order", STOP,
        "Do the lines of the register follow each other by number, with none left out?",
        "A line taken out, put in or moved is a register written over.",
        f"Bring {NAME} back from a copy, or from the archive of the last issue.",
    ),
    _text(
        "torn", STOP_AT_HANDOVER,
        "Is the last line of the register whole?",
        "A power cut while it was written leaves half a line; what it was to say is not registered.",
        "Call `buildbook register`: it keeps what is left in a file of its own, and registers anew.",
    ),
    _text(
        "repaired", NOTE,
        "Was the register never interrupted while it was written?",
        "A repair is worth knowing: what broke off is kept beside the register.",
        "Nothing need be done; the file stays in the record.",
        settled=True,
    ),
    unregistered,
)  # fmt: skip
