"""The steps in order: for a PDF alone, an issue folder, an archive as a folder or as one ZIP file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from buildbook.archive.form import BAGIT, ISSUE, JOB, zip_name
from buildbook.errors import InputUnreadable
from buildbook.records.litter import is_litter
from buildbook.seal.chain import issued_record_name
from buildbook.seal.digest import sha256_bytes
from buildbook.verify import chain, limits
from buildbook.verify.against import against_steps, in_job
from buildbook.verify.archive import archive_steps, beside_steps, is_ours, member
from buildbook.verify.bag import Found, check_bag
from buildbook.verify.edition import FOR, edition_of, edition_steps
from buildbook.verify.holder import FolderHolder, Holder, ZipHolder
from buildbook.verify.parts import (
    MANIFEST,
    RECORD,
    Contents,
    as_object,
    check_manifest,
    check_record,
    listed_files,
    pdf_contents,
    read_file,
    strict_json,
)
from buildbook.verify.proofs import proof_steps
from buildbook.verify.register import register_step
from buildbook.verify.report import Report, Step
from buildbook.verify.signature import SIGNED_FILES, signature_steps
from buildbook.verify.stamped import LIST, STAMPED, list_step, stamped_steps, unstamped
from buildbook.verify.timestamp import REPLY
from buildbook.verify.web import WEB, web_step

DOSSIER = "dossier.pdf"
INSTRUCTIONS = "VERIFY.txt"
ARCHIVE = "archive"
ISSUE_FILES = (DOSSIER, RECORD, MANIFEST, ISSUE, INSTRUCTIONS)
DRAFT_FILES = (DOSSIER, RECORD, MANIFEST, INSTRUCTIONS)

_SMALL = (ISSUE, INSTRUCTIONS, REPLY, LIST, *SIGNED_FILES)

Reader = Callable[[str], bytes | None]


@dataclass(frozen=True, slots=True)
class Given:
    """What the reader was given by other means: the signer's fingerprint, the roots of time stamp authorities."""

    fingerprint: str = ""
    roots: Path | None = None


_NOTHING = Given()


def verify_path(path: Path, against: Path | None = None, given: Given = _NOTHING) -> Report:
    """Verify a dossier PDF, an issue folder or an archive; see the package's docstring for the steps.

    Raises InputUnreadable if the path, or the job folder to compare with, is not there.
    """
    if against is not None and not against.is_dir():
        raise InputUnreadable(f"{against} is not a folder.", "Give the job folder to compare with.")
    if path.is_dir():
        if _like_bag(path):
            return _verify_archive(path, FolderHolder(path), against, given)
        if (path / "job.toml").is_file() and not (path / DOSSIER).exists():
            raise InputUnreadable(
                f"{path} is a job folder; only what was issued from it can be verified.",
                "Give an issue folder, a dossier or an archive, and this folder with --against.",
            )
        return _verify_issue(path, against, given)
    if path.is_file():
        if path.suffix.casefold() == ".zip" or _begins(path, b"PK"):
            with closing(ZipHolder(path)) as holder:
                return _verify_archive(path, holder, against, given)
        return _verify_pdf(path, against, given)
    raise InputUnreadable(f"{path} is not there.", "Give a dossier PDF, an issue folder or an archive.")


def _like_bag(folder: Path) -> bool:
    """True for a folder that is a bag, or was one before something was taken from it."""
    if (folder / DOSSIER).exists():
        return False
    return (folder / BAGIT).exists() or (folder / "data").is_dir()


def _begins(path: Path, mark: bytes) -> bool:
    try:
        with path.open("rb") as stream:
            return stream.read(len(mark)) == mark
    except OSError:
        return False


def _reader(folder: Path) -> Reader:
    """Reads a file of a folder, within limits; None if it cannot be."""

    def read(name: str) -> bytes | None:
        most = limits.MOST_TAG_BYTES if name in _SMALL else limits.MOST_LIST_BYTES
        return read_file(folder / name, limits.MOST_PDF_BYTES if name in (DOSSIER, STAMPED) else most)

    return read


def _kept(read: Reader) -> Reader:
    """Reads the dossier, which several steps look at, once."""
    held: dict[str, bytes | None] = {}

    def kept(name: str) -> bytes | None:
        if name != DOSSIER:
            return read(name)
        if name not in held:
            held[name] = read(name)
        return held[name]

    return kept


# A PDF alone --------------------------------------------------------------------------------------------------------
def _verify_pdf(path: Path, against: Path | None, given: Given) -> Report:
    data = read_file(path.resolve(), limits.MOST_PDF_BYTES)
    if data is None:
        raise InputUnreadable(
            f"{path} cannot be read, or holds more than {limits.MOST_PDF_BYTES:,} bytes.",
            "Give a copy that you may read.",
        )
    opened, found = pdf_contents(data)
    steps, entries, record, seal = _contents_steps(opened, found)
    own = f"a PDF cannot prove its own bytes; its SHA-256 is {sha256_bytes(data)}: compare it with dossier_sha256"
    bare = unstamped(data)
    if bare is not None:
        own = own.replace(": compare", f", and {sha256_bytes(bare)} without its time stamp: compare one of them")
    steps.append(Step("The PDF as a whole is unchanged", None, f"{own} in issue.json"))
    number = _number(record)
    steps += signature_steps(data, None, None, None, given.fingerprint)
    steps += stamped_steps(data, given.roots)
    steps += edition_steps(record, None, entries)
    steps.append(chain.record_chain(record, number))
    if against is not None:
        steps += against_steps(against, entries, record, number, None, found.record)
    return Report(str(path), "dossier", _job(record), number, seal, tuple(steps))


# An issue folder ----------------------------------------------------------------------------------------------------
def _verify_issue(folder: Path, against: Path | None, given: Given) -> Report:
    draft = not (folder / ISSUE).exists() and folder.name in ("draft", *(f"draft-{name}" for name in FOR))
    read = _kept(_reader(folder))
    parts, entries, record, seal = _parts_steps(read)
    number = _number(record)
    archive_name = zip_name(_job(record), number or 0, edition_of(record))
    issue = None if draft else as_object(read(ISSUE))
    signed = bool(issue and issue.get("signature"))
    files = DRAFT_FILES if draft else (*ISSUE_FILES, *(SIGNED_FILES if signed else ()))
    steps = [_folder_files(folder, files, archive_name), *parts]
    steps.append(web_step(folder, issue))
    steps += edition_steps(record, issue, entries)
    if draft:
        steps.append(Step("The issue", None, "this is a draft: it has no number and no issue.json"))
    else:
        steps += _issue_steps(read, record, seal)
        names = {p.name for p in folder.iterdir()}
        steps += proof_steps(read, names.__contains__, issue or {}, seal, given.fingerprint, given.roots)
        listed = list_step(read, names.__contains__)
        steps += [listed] if listed else []
        steps.append(chain.record_chain(record, number))
        steps.append(chain.folders_chain(folder, record, entries))
    readers = [_at(folder.parent / f"issue-{(number or 0) - 1:02d}", {issued_record_name((number or 1) - 1): RECORD})]
    if not draft:
        for where, holder in _archives(folder, archive_name):
            with holder as held:
                steps += _beside(where, held, read, entries, record)
            readers.append(in_job(folder / ARCHIVE / JOB))
    if against is not None:
        steps += against_steps(against, entries, record, number, read(ISSUE), read(RECORD))
        readers.append(in_job(against))
    told = None if edition_of(record) else chain.changes_step(record, number, readers)
    steps += [told] if told else []
    return Report(str(folder), "draft folder" if draft else "issue folder", _job(record), number, seal, tuple(steps))


def _at(folder: Path, names: dict[str, str]) -> Reader:
    """Reads under other names."""
    return lambda name: read_file(folder / names[name], limits.MOST_LIST_BYTES) if name in names else None


def _folder_files(folder: Path, expected: tuple[str, ...], archive: str) -> Step:
    holder = FolderHolder(folder)

    def counts(path: str) -> bool:
        parts = path.split("/")
        return not any(map(is_litter, parts)) and not (parts[0] in (ARCHIVE, WEB) and len(parts) > 1)

    found = [p for p in holder.sizes if counts(p)]
    lines = [f"missing: {n!r}" for n in expected if n not in found]
    lines += [f"added: {n!r}" for n in sorted(found) if n not in (*expected, archive, REPLY, STAMPED, LIST)]
    lines += [f"added: {path!r} ({why})" for path, why in holder.odd if counts(path)]
    return Step("The folder holds its files and no other", not lines, "it does" if not lines else "", tuple(lines))


def _archives(folder: Path, archive_name: str) -> Iterator[tuple[str, Any]]:
    """(what stands before its names, opener) of each form of the archive that lies in an issue folder."""

    @contextmanager
    def opened(holder: Any) -> Iterator[Any]:
        try:
            yield holder
        finally:
            if isinstance(holder, ZipHolder):
                holder.close()

    if (folder / ARCHIVE).is_dir() and not (folder / ARCHIVE).is_symlink():
        yield f"{ARCHIVE}/", opened(FolderHolder(folder / ARCHIVE))
    if (folder / archive_name).is_file() and not (folder / archive_name).is_symlink():
        yield f"{archive_name}/", opened(ZipHolder(folder / archive_name))
    if not (folder / ARCHIVE).exists() and not (folder / archive_name).exists():
        yield "", opened(None)


def _beside(where: str, holder: Any, read: Reader, entries: dict[str, str] | None, record: Any) -> list[Step]:
    """The steps over an archive that lies in its issue folder."""
    if holder is None:
        return [Step("The archive", None, "none lies here; issue.json names the digest of its list")]
    found, steps = _bag(where, holder)
    if found is None:
        return steps
    issue = as_object(read(ISSUE))
    steps += archive_steps(holder, found, where, issue, entries, record)
    steps.append(beside_steps(holder, found, where, read))
    steps += [] if edition_of(record) else [_holder_chain(where, holder)]
    return [Step(f"{where.rstrip('/')}: {s.name}", s.ok, s.says, s.details) for s in steps]


def _bag(where: str, holder: Holder) -> tuple[Found | None, list[Step]]:
    if isinstance(holder, ZipHolder) and holder.problem:
        name = where.rstrip("/") or holder.path.name
        return None, [Step("The archive opens", False, holder.problem, (f"unreadable: {name!r} ({holder.problem})",))]
    found = check_bag(holder, where)
    return found, found.steps


def _holder_chain(where: str, holder: Holder) -> Step:
    """The chain noted in the archived job folder."""
    names = [p.removeprefix(f"{JOB}/") for p in holder.sizes if p.startswith(f"{JOB}/issued/")]
    return chain.job_chain(lambda name: member(holder, f"job/{name}"), names, f"{where}{JOB}/")


# An archive alone ---------------------------------------------------------------------------------------------------
def _verify_archive(path: Path, holder: FolderHolder | ZipHolder, against: Path | None, given: Given) -> Report:
    what = "archive (ZIP)" if isinstance(holder, ZipHolder) else "archive"

    read = _kept(lambda name: member(holder, name))
    with ThreadPoolExecutor(max_workers=1) as aside:  # hashing takes its time: the dossier is read meanwhile
        checking = aside.submit(_bag, "", holder)
        if (isinstance(holder, ZipHolder) and holder.problem) or not is_ours(holder):
            found, steps = checking.result()
            if found is not None:
                steps.append(Step("The dossier in it", None, "it holds none: a bag, but no archive of this program"))
            return Report(str(path), what, "", None, "", tuple(steps))
        parts, entries, record, seal = _parts_steps(read)
        parts += _issue_steps(read, record, seal)
        there = holder.sizes.__contains__
        issue = as_object(read(ISSUE))
        parts += proof_steps(read, there, issue, seal, given.fingerprint, given.roots)
        found, steps = checking.result()
    assert found is not None
    number = _number(record)
    steps += parts
    steps += archive_steps(holder, found, "", issue, entries, record)
    steps += edition_steps(record, issue, entries)
    steps.append(chain.record_chain(record, number))
    steps += [] if edition_of(record) else [_holder_chain("", holder)]
    readers: list[Reader] = [lambda name: member(holder, f"job/{name}")]
    steps.append(register_step(readers[0], entries, f"{JOB}/"))
    if against is not None:
        steps += against_steps(against, entries, record, number, read(ISSUE), read(RECORD))
    told = None if edition_of(record) else chain.changes_step(record, number, readers)
    steps += [told] if told else []
    return Report(str(path), what, _job(record), number, seal, tuple(steps))


# Pieces -------------------------------------------------------------------------------------------------------------
def _parts_steps(read: Reader) -> tuple[list[Step], dict[str, str] | None, Any, str]:
    """The dossier, the manifest and the record that lie side by side."""
    pdf = read(DOSSIER)
    loose = Contents(read(MANIFEST), read(RECORD))
    if pdf is not None:
        opened, found = pdf_contents(pdf)
        steps, entries, record, seal = _contents_steps(opened, found)
        return [*steps, _same_bytes(found, loose)], entries, record, seal
    opened = Step("The PDF opens and carries its record", False, f"{DOSSIER} is not there, or is too large to be read")
    return _contents_steps(opened, loose)


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


def _issue_steps(read: Reader, record: Any, seal: str) -> list[Step]:
    from buildbook.schemas import problems
    from buildbook.seal.chain import canonical_json

    name = "issue.json says what the record says"
    data = read(ISSUE)
    if data is None:
        return [Step(name, False, "issue.json is missing", (f"missing: {ISSUE!r}",))]
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
        content = read(file)
        got = sha256_bytes(content) if content is not None else "no file"
        if got != issue.get(key):
            lines.append(f"changed: {file!r} is not what 'issue.json' names (got {got}, expected {issue.get(key)})")
    name = "Dossier, record, manifest and instructions are unchanged"
    steps.append(Step(name, not lines, "their digests agree" if not lines else "they differ", tuple(lines)))
    return steps


def _number(record: Any) -> int | None:
    issue = record.get("issue") if isinstance(record, dict) else None
    number = issue.get("number") if isinstance(issue, dict) else None
    return number if isinstance(number, int) and not isinstance(number, bool) else None


def _job(record: Any) -> str:
    job = record.get("job") if isinstance(record, dict) else None
    number = job.get("number") if isinstance(job, dict) else None
    return number if isinstance(number, str) else ""
