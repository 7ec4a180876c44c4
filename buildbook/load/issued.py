"""Earlier issues, from issued/NNN.json."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from datetime import UTC
from pathlib import Path
from typing import Any

from buildbook.load.build import build
from buildbook.load.check import document_faults
from buildbook.load.disk import JSON_BYTES, as_text, read_bytes
from buildbook.load.refused import Refused, shown
from buildbook.load.toml_file import dotted
from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.issued import issued_name, issued_record_name
from buildbook.records.photo import FileEntry
from buildbook.records.place import Place
from buildbook.records.said import said, word
from buildbook.records.tables import Issued

RECORD_BYTES = 64 << 20  # a record of 20,000 photos takes about a quarter of that
# What the JSON reader of Python finds.
_FAULTS = (
    N_("Expecting value"), N_("Expecting property name enclosed in double quotes"), N_("Expecting ':' delimiter"),
    N_("Expecting ',' delimiter"), N_("Extra data"), N_("Unterminated string starting at"),
)  # fmt: skip
_NAME = re.compile(r"issued/([0-9]{3,})\.json")


def read_issued(root: Path, files: Iterable[str], raised: list[Raised]) -> tuple[Issued, ...]:
    """The issues made so far, by number. A file that cannot be read is a finding and is no issue."""
    made: dict[int, Issued] = {}
    for path in files:
        found = _NAME.fullmatch(path)
        if found is None:
            continue
        try:
            document = strict_json(as_text(read_bytes(root, path, JSON_BYTES)))
        except Refused as refused:
            raised.append(refused.at(Place(path)))
            continue
        faults = document_faults("issue", document)
        for fault in faults:
            raised.append(Raised("load.bad-issue", Place(path, key=dotted(fault.path) or None), fault.says))
        if faults:
            continue
        if document["number"] != int(found[1]):
            says = said(
                "It says it is issue {said}, its name says {named}.", said=document["number"], named=int(found[1])
            )
            raised.append(Raised("load.bad-issue", Place(path, key="number"), says))
            continue
        if path != issued_name(document["number"]):
            says = said("The name of its issue is {file}.", file=issued_name(document["number"]))
            raised.append(Raised("load.bad-issue", Place(path), says))
            continue
        issue = build(Issued, Place(path), document, frozenset(), UTC, raised)
        made[issue.number] = issue
    return tuple(made[n] for n in sorted(made))


def changed_notes(root: Path, issued: Iterable[Issued], files: Iterable[FileEntry], raised: list[Raised]) -> None:
    """Say which notes are no longer what a later issue sealed: the latest record that is whole lists them all."""
    digests = {entry.path: entry.sha256 for entry in files}
    notes = {issued_name(issue.number) for issue in issued}
    for issue in sorted(issued, key=lambda i: i.number, reverse=True):
        name = issued_record_name(issue.number)
        if digests.get(name) != issue.record_sha256:
            continue  # it has its own finding
        try:
            document = json.loads(read_bytes(root, name, RECORD_BYTES))
            listed = {entry["path"]: entry["sha256"] for entry in document["job"]["files"]}
        except (Refused, ValueError, RecursionError, KeyError, TypeError):
            continue  # not in the form of a record, though it is what was issued: the chain still holds
        for path in sorted(notes):
            if listed.get(path, digests.get(path)) != digests.get(path):
                says = said("Its SHA-256 is not the one that issue {issue} sealed.", issue=issue.number)
                raised.append(Raised("issued.changed", Place(path), says))
        return


def strict_json(text: str) -> Any:
    """JSON as RFC 8259 has it: no name twice in an object, no NaN, no Infinity. Raises Refused (load.bad-issue)."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) != len(pairs):
            names = [name for name, _ in pairs]
            twice = next(n for n in names if names.count(n) > 1)
            raise Refused("load.bad-issue", said("The name {name} stands in it twice.", name=shown(twice)))
        return made

    def number(text: str) -> Any:
        raise Refused("load.bad-issue", said("{value} stands in it, which is no number in JSON.", value=text))

    try:
        return json.loads(text, object_pairs_hook=once, parse_constant=number)
    except json.JSONDecodeError as error:
        says = said(
            "It is not JSON at line {line}, column {column}: {fault}.",
            line=error.lineno,
            column=error.colno,
            fault=word(error.msg) if error.msg in _FAULTS else error.msg,
        )
        raise Refused("load.bad-issue", says) from error
    except RecursionError as error:
        raise Refused("load.bad-issue", said("Its brackets are nested too deep to be read.")) from error
    except ValueError as error:
        raise Refused("load.bad-issue", said("It cannot be read: {why}.", why=str(error))) from error
