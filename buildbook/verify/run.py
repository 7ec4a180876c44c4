"""The steps in order, for a PDF alone and for an issue folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from buildbook.errors import InputUnreadable
from buildbook.seal.digest import sha256_bytes
from buildbook.verify.parts import (
    MANIFEST,
    RECORD,
    Contents,
    check_manifest,
    check_record,
    check_tree,
    listed_files,
    pdf_contents,
    strict_json,
    tree_digests,
)
from buildbook.verify.report import Report, Step

DOSSIER = "dossier.pdf"
ISSUE = "issue.json"
INSTRUCTIONS = "VERIFY.txt"
ISSUE_FILES = (DOSSIER, RECORD, MANIFEST, ISSUE, INSTRUCTIONS)
DRAFT_FILES = (DOSSIER, RECORD, MANIFEST, INSTRUCTIONS)


def verify_path(path: Path, against: Path | None = None) -> Report:
    """Verify a dossier PDF or an issue folder; see the package's docstring for the steps.

    Raises InputUnreadable if the path, or the job folder to compare with, is not there.
    """
    if against is not None and not against.is_dir():
        raise InputUnreadable(f"{against} is not a folder.", "Give the job folder to compare with.")
    if path.is_dir():
        return _verify_issue(path, against)
    if path.is_file():
        return _verify_pdf(path, against)
    raise InputUnreadable(f"{path} is not there.", "Give a dossier PDF or an issue folder.")


def _read(path: Path) -> bytes | None:
    try:
        return path.read_bytes() if path.is_file() and not path.is_symlink() else None
    except OSError:
        return None


def _verify_pdf(path: Path, against: Path | None) -> Report:
    data = _read(path)
    if data is None:
        raise InputUnreadable(f"{path} cannot be read.", "Give a copy that you may read.")
    opened, found = pdf_contents(data)
    steps, entries, record, seal = _contents_steps(opened, found)
    own = f"a PDF cannot prove its own bytes; its SHA-256 is {sha256_bytes(data)}: compare it with dossier_sha256"
    steps.append(Step("The PDF as a whole is unchanged", None, f"{own} in issue.json"))
    number = _number(record)
    if against is not None:
        steps += _against(against, entries, number, None)
    return Report(str(path), "dossier", _job(record), number, seal, tuple(steps))


def _verify_issue(folder: Path, against: Path | None) -> Report:
    draft = not (folder / ISSUE).exists() and folder.name == "draft"
    steps: list[Step] = [_folder_files(folder, DRAFT_FILES if draft else ISSUE_FILES)]
    pdf = _read(folder / DOSSIER)
    loose = Contents(_read(folder / MANIFEST), _read(folder / RECORD))
    if pdf is None:
        opened, found = Step("The PDF opens and carries its record", False, f"{DOSSIER} is not there"), loose
        steps += _contents_steps(opened, loose)[0]
        _, entries, seal = check_manifest(loose.manifest)
        _, record = check_record(loose.record, entries, seal)
    else:
        opened, found = pdf_contents(pdf)
        more, entries, record, seal = _contents_steps(opened, found)
        steps += more
        steps.append(_same_bytes(found, loose))
    issue_bytes = _read(folder / ISSUE)
    if draft:
        steps.append(Step("The issue", None, "this is a draft: it has no number and no issue.json"))
    else:
        steps += _issue_steps(folder, issue_bytes, record, seal)
    number = _number(record)
    if against is not None:
        steps += _against(against, entries, number, issue_bytes)
    return Report(str(folder), "draft folder" if draft else "issue folder", _job(record), number, seal, tuple(steps))


def _folder_files(folder: Path, expected: tuple[str, ...]) -> Step:
    found, odd = tree_digests(folder)
    lines = [f"missing: {n!r}" for n in expected if n not in found]
    lines += [f"added: {n!r}" for n in sorted(found) if n not in expected] + odd
    return Step("The folder holds its files and no other", not lines, "it does" if not lines else "", tuple(lines))


def _contents_steps(opened: Step, found: Contents) -> tuple[list[Step], dict[str, str] | None, Any, str]:
    manifest_step, entries, seal = check_manifest(found.manifest)
    steps = [opened, manifest_step]
    if found.named_seal or opened.ok:
        name = "The PDF's information names the seal"
        same = found.named_seal == seal
        steps.append(Step(name, same, seal if same else f"got {found.named_seal!r}, expected {seal!r}"))
    more, record = check_record(found.record, entries, seal)
    return steps + more, entries, record, seal


def _same_bytes(carried: Contents, loose: Contents) -> Step:
    lines = [
        f"changed: {name!r} beside the PDF is not what the PDF carries"
        for name, inside, beside in (
            (MANIFEST, carried.manifest, loose.manifest),
            (RECORD, carried.record, loose.record),
        )
        if inside != beside
    ]
    says = "byte for byte" if not lines else "they differ"
    return Step("The PDF carries the files that lie beside it", not lines, says, tuple(lines))


def _issue_steps(folder: Path, data: bytes | None, record: Any, seal: str) -> list[Step]:
    from buildbook.schemas import problems
    from buildbook.seal.chain import canonical_json

    name = "issue.json says what the record says"
    if data is None:
        return [Step(name, False, "issue.json is missing")]
    try:
        issue = strict_json(data)
    except ValueError as error:
        return [Step(name, False, f"changed: 'issue.json' is not JSON any more ({error})")]
    lines = [f"changed: 'issue.json', {p}" for p in problems("issue", issue)]
    if canonical_json(issue) != data:
        lines.append("changed: 'issue.json' is not written as it was issued")
    in_record = record.get("issue", {}) if isinstance(record, dict) else {}
    expected = {
        "job": _job(record),
        "number": in_record.get("number"),
        "issued_on": in_record.get("issued_on"),
        "seal": seal,
        "previous_seal": in_record.get("previous_seal", ""),
        "program": record.get("program") if isinstance(record, dict) else None,
        "files": len(listed_files(record)),
    }
    lines += [
        f"changed: 'issue.json', {key}: got {issue.get(key)!r}, expected {value!r}"
        for key, value in expected.items()
        if issue.get(key) != value
    ]
    steps = [Step(name, not lines, "it does" if not lines else "it does not", tuple(lines))]

    lines = []
    for file, key in (
        (DOSSIER, "dossier_sha256"),
        (RECORD, "record_sha256"),
        (MANIFEST, "seal"),
        (INSTRUCTIONS, "instructions_sha256"),
    ):
        content = _read(folder / file)
        got = sha256_bytes(content) if content is not None else "no file"
        if got != issue.get(key):
            lines.append(f"changed: {file!r} is not what 'issue.json' names (got {got}, expected {issue.get(key)})")
    name = "Dossier, record, manifest and instructions are unchanged"
    steps.append(Step(name, not lines, "their digests agree" if not lines else "they differ", tuple(lines)))
    return steps


def _against(job: Path, entries: dict[str, str] | None, number: int | None, issue: bytes | None) -> list[Step]:
    if entries is None:
        return [Step("The job folder holds exactly the sealed files", None, "there is no manifest to compare with")]
    steps = [check_tree(job, entries, number)]
    name = "The job folder knows this issue"
    if number and issue is not None:
        own = _read(job / "issued" / f"{number:03d}.json")
        same = own == issue
        says = "its JSON is the same" if same else ("it is not there" if own is None else "it says something else")
        steps.append(Step(name, same, says, () if same else (f"changed: 'issued/{number:03d}.json'",)))
    steps.append(_chain(job))
    return steps


def _chain(job: Path) -> Step:
    name = "Each issue names the seal of the one before"
    previous, lines, count = "", [], 0
    paths = sorted((job / "issued").glob("[0-9]*.json")) if (job / "issued").is_dir() else []
    for count, path in enumerate(paths, start=1):
        try:
            issue = strict_json(path.read_bytes())
        except (OSError, ValueError) as error:
            lines.append(f"unreadable: 'issued/{path.name}' ({error})")
            break
        if issue.get("number") != count or path.name != f"{count:03d}.json":
            lines.append(f"missing: 'issued/{count:03d}.json'")
            break
        if issue.get("previous_seal") != previous:
            lines.append(f"changed: 'issued/{path.name}' names {issue.get('previous_seal')!r}, expected {previous!r}")
        previous = str(issue.get("seal"))
    if not paths:
        return Step(name, None, "the job folder has no issue yet")
    return Step(name, not lines, f"{count} in the chain" if not lines else "the chain is broken", tuple(lines))


def _number(record: Any) -> int | None:
    issue = record.get("issue") if isinstance(record, dict) else None
    number = issue.get("number") if isinstance(issue, dict) else None
    return number if isinstance(number, int) and not isinstance(number, bool) else None


def _job(record: Any) -> str:
    job = record.get("job") if isinstance(record, dict) else None
    number = job.get("number") if isinstance(job, dict) else None
    return number if isinstance(number, str) else ""
