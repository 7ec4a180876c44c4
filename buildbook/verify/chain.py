"""Steps over the chain of issues: in the record, in a job folder, and in issue folders that lie side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from buildbook.records.changes import Changes
from buildbook.seal.chain import issued_name, issued_record_name
from buildbook.seal.changes import changes_between
from buildbook.seal.digest import sha256_bytes
from buildbook.verify import limits
from buildbook.verify.parts import read_file, strict_json
from buildbook.verify.report import Step

Reader = Callable[[str], bytes | None]
MOST_LINES = 400


def issues_before(record: Any) -> list[dict[str, Any]]:
    """The earlier issues as a record lists them; what is not of that form is left out."""
    job = record.get("job") if isinstance(record, dict) else None
    listed = job.get("issued") if isinstance(job, dict) else None
    return [i for i in (listed if isinstance(listed, list) else []) if isinstance(i, dict)]


def record_chain(record: Any, number: int | None) -> Step:
    """The record lists every issue before this one, each naming the seal before it, up to this one."""
    name = "The record names each issue before this one"
    issue = record.get("issue") if isinstance(record, dict) else None
    if number is None or not isinstance(issue, dict):
        return Step(name, None, "this is no numbered issue")
    lines, previous = [], ""
    listed = issues_before(record)
    for count, earlier in enumerate(listed, start=1):
        if earlier.get("number") != count:
            lines.append(f"changed: 'record.json' names issue {earlier.get('number')!r} where {count} belongs")
        if earlier.get("previous_seal", "") != previous:
            lines.append(f"changed: 'record.json', issue {count} does not name the seal before it")
        previous = str(earlier.get("seal", ""))
    if len(listed) != number - 1:
        lines.append(f"changed: 'record.json' names {len(listed)} earlier issues, this is issue {number}")
    if issue.get("previous_seal", "") != previous:
        lines.append("changed: 'record.json' does not name the seal of the issue before as its previous seal")
    says = f"{number - 1} before it" if number > 1 else "it is the first"
    return Step(name, not lines, says if not lines else "the chain is broken", tuple(lines))


def job_chain(read: Reader, names: Iterable[str], where: str = "") -> Step:
    """The notes NNN.json in the `issued` folder of a job, each naming the seal of the one before."""
    name = "Each issue noted in the job folder names the one before"
    notes = sorted(n for n in names if n.removeprefix("issued/").removesuffix(".json").isdecimal())
    previous, lines, count = "", [], 0
    for count, path in enumerate(notes, start=1):
        shown = repr(where + path)
        try:
            issue = strict_json(read(path) or b"")
        except ValueError as error:
            lines.append(f"unreadable: {shown} ({error})")
            break
        if issue.get("number") != count or path != issued_name(count):
            lines.append(f"missing: {where + issued_name(count)!r}")
            break
        if issue.get("previous_seal") != previous:
            lines.append(f"changed: {shown} names {issue.get('previous_seal')!r}, expected {previous!r}")
        kept = read(issued_record_name(count))
        if kept is None or sha256_bytes(kept) != issue.get("record_sha256"):
            what = "missing" if kept is None else "changed"
            lines.append(f"{what}: {where + issued_record_name(count)!r} is not the record that {shown} names")
        previous = str(issue.get("seal"))
    if not notes:
        return Step(name, None, "it has no issue yet")
    return Step(name, not lines, f"{count} in the chain" if not lines else "the chain is broken", tuple(lines))


def folders_chain(folder: Path, record: Any, entries: Mapping[str, str] | None) -> Step:
    """Issue folders of earlier issues that lie beside this one: each is the one that the chain names."""
    name = "Earlier issues that lie beside it are those it names"
    lines, seen, absent = [], 0, []
    for earlier in issues_before(record):
        number = earlier.get("number")
        if not isinstance(number, int) or isinstance(number, bool):
            continue
        other = folder.parent / f"issue-{number:02d}"
        note = read_file(other / "issue.json", limits.MOST_TAG_BYTES)
        if note is None:
            absent.append(str(number))
            continue
        seen += 1
        if entries is not None and sha256_bytes(note) != entries.get(issued_name(number)):
            lines.append(f"changed: '{other.name}/issue.json' is not the sealed {issued_name(number)!r}")
        for file, key, most in (
            ("dossier.pdf", "dossier_sha256", limits.MOST_PDF_BYTES),
            ("record.json", "record_sha256", limits.MOST_LIST_BYTES),
            ("manifest-sha256.txt", "seal", limits.MOST_LIST_BYTES),
            ("archive/manifest-sha256.txt", "archive_sha256", limits.MOST_LIST_BYTES),
        ):
            data = read_file(other / file, most)
            if data is None and file.startswith("archive/"):
                continue  # it may have been written without one, or be kept elsewhere
            if data is None or sha256_bytes(data) != earlier.get(key):
                lines.append(f"changed: '{other.name}/{file}' is not what the chain names")
    if not seen and not lines:
        return Step(name, None, "none lies beside it" if absent else "there is none before it")
    says = f"{seen} of {seen + len(absent)}" if not lines else "they are not"
    return Step(name, not lines, says, tuple(lines))


def changes_step(record: Any, number: int | None, readers: Iterable[Reader]) -> Step | None:
    """What changed since the issue before, from the first copy of its record that is the one the chain names."""
    before = issues_before(record)
    if number is None or number < 2 or not before:
        return None
    last = before[-1]
    name = f"What changed since issue {number - 1}"
    for read in readers:
        data = read(issued_record_name(number - 1))
        if data is None or sha256_bytes(data) != last.get("record_sha256"):
            continue
        try:
            return Step(name, True, *_told(changes_between(strict_json(data), record, since=number - 1)))
        except ValueError as error:
            return Step(name, None, f"the records cannot be compared ({error})")
    return Step(name, None, "the record of that issue is not here")


def _told(changes: Changes) -> tuple[str, tuple[str, ...]]:
    lines = [f"{f.change}: {f.path!r}" + (f", was {f.was!r}" if f.was else "") for f in changes.files]
    for part in changes.parts:
        fields = "; ".join(f"{f.name} {f.was!r} -> {f.now!r}" for f in part.fields)
        lines.append(f"{part.change}: part line {part.id!r} ({fields or part.what})")
    if len(lines) > MOST_LINES:
        lines = [*lines[:MOST_LINES], f"and {len(lines) - MOST_LINES} more"]
    return f"{len(changes.files)} files and {len(changes.parts)} part lines", tuple(lines)
