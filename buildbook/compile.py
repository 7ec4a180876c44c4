"""The pipeline: a job folder becomes a sealed dossier in an issue folder. It reads as its story."""

from __future__ import annotations

import contextlib
import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from buildbook import __version__
from buildbook.archive.bag import FOLDER, Bag, payload, write_folder, write_zipped
from buildbook.dossier import (
    RECEIPTS_NAME,
    IssueInfo,
    build_dossier,
    receipts_csv,
    record_json,
    verify_instructions,
)
from buildbook.dossier.language import speaking
from buildbook.dossier.model import Dossier
from buildbook.dossier.wording import _
from buildbook.edition import without
from buildbook.editions import Edition, Group, withholds
from buildbook.errors import AnswerIsNo, BuildbookError, InputUnreadable
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.issued import before_issue
from buildbook.records.job import Job
from buildbook.render.html import render_html
from buildbook.render.pdf import Attachment, render_pdf
from buildbook.rules import check_job
from buildbook.schemas import is_job_number
from buildbook.seal.chain import IssuePlan, issue_json, issued_name, issued_record_name, plan_issue
from buildbook.seal.changes import changes_since
from buildbook.seal.digest import MANIFEST_NAME, sha256_bytes, sha256_file
from buildbook.seal.publish import mend_folder, publish_draft, publish_issue, workplace, write_new
from buildbook.seal.signing import Signing, proofs, sign_issue, signing_of
from buildbook.seal.timestamp import LIST, REPLY, STAMPED
from buildbook.seal.tree import list_tree

Progress = Callable[[int, int, str], None]
PROGRAM = f"buildbook {__version__}"
WEB = "web"


@dataclass(frozen=True, slots=True)
class Compiled:
    """What compile made. number: 0 for a draft. already: the same issue was there before.

    archives: the forms of the archive that lie in the issue folder now. files: in the job folder; trusted: of these,
    not read again, as size, time and inode had not changed (drafts only). web: the page of the web edition, if it is
    there. mended: that page, or a picture of it, had been changed or lost, and was put right. editions: folders of the
    editions for others. altered: see Loaded.
    """

    folder: Path
    pdf: Path
    number: int
    seal: str
    findings: tuple[Finding, ...]
    already: bool
    archives: tuple[Path, ...] = ()
    files: int = 0
    trusted: int = 0
    altered: tuple[str, ...] = ()
    web: Path | None = None
    mended: bool = False
    editions: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Archiving:
    """How an issue's archive is written. folder, zipped: in which forms. link: share bytes with the job folder."""

    folder: bool = True
    zipped: bool = False
    link: bool = False


_AS_FOLDER = Archiving()


class StopFindings(AnswerIsNo):
    """Compile refuses: the findings say why."""

    def __init__(self, job_number: str, findings: tuple[Finding, ...]) -> None:
        stops = sum(f.grade is Grade.STOP for f in findings)
        says = "1 of its findings says" if stops == 1 else f"{stops} of its findings say"
        super().__init__(
            f"Job {job_number or '(no number)'} is not ready: {says} stop.",
            "Put them right (`buildbook check` lists them), or compile with --draft to look at the pages.",
        )
        self.job_number = job_number
        self.findings = findings


def compile_job(
    folder: Path,
    out: Path,
    issued_on: date,
    *,
    draft: bool = False,
    editions: Sequence[Edition] = (Edition.OWNER,),
    archiving: Archiving = _AS_FOLDER,
    web: bool = True,
    signing: Signing | None = None,
    library: Library | None = None,
    progress: Progress | None = None,
) -> Compiled:
    """Check a job folder at the handover gate and write its dossier.

    Writes `out/<job number>/issue-NN/` (or `draft/`), whole or not at all: with the web edition in it unless `web` is
    False, and for an issue also its archive, and `issued/NNN.json` with a copy of the record in the job folder. An
    issue re-reads every file it seals; a draft trusts the cache and has no archive.
    editions: for others than the owner, each in a folder beside it (`issue-NN-resale/`); an issue always has its
    owner's, a draft only those asked for.
    Raises StopFindings on any `stop` unless `draft`; InputUnreadable if there is no job to read.
    """
    library = library or Library()
    loaded = load_job(folder, issued_on, library=library, rehash=not draft, progress=progress)
    job = loaded.job
    plan = plan_issue(job.files, job.issued, issued_on)
    # An issue that was published, but not yet noted in the job.
    if not draft and is_job_number(job.number) and _adopt(out / job.number, plan, folder):
        return compile_job(
            folder, out, issued_on, editions=editions, archiving=archiving, web=web, signing=signing, library=library,
            progress=progress,
        )  # fmt: skip
    findings = check_job(job, loaded.raised, Gate.HANDOVER)
    if not draft and any(f.grade is Grade.STOP for f in findings):
        raise StopFindings(job.number, findings)
    parent = out / _folder_name(job, folder, draft)
    # The dossier speaks of what it seals: notes of this and later issues are not yet there.
    job = before_issue(job, plan.number)
    issue = IssueInfo(
        number=0 if draft else plan.number,
        issued_on=issued_on,
        draft=draft,
        seal=plan.seal,
        previous_seal=plan.previous_seal,
    )
    if job.issued:
        issue = replace(issue, changes=changes_since(folder, job.issued[-1], record_json(job, findings, issue)))
    given = _Given(
        folder, parent, job, findings, issue, plan, archiving, web, signing, library, progress,
        len(loaded.job.files), loaded.trusted,
    )
    wanted = dict.fromkeys(editions if draft else (Edition.OWNER, *editions))
    made = [_edition(given, edition) for edition in wanted]
    return replace(made[0], altered=loaded.altered, editions=tuple(one.folder for one in made[1:]))


@dataclass(frozen=True, slots=True)
class _Given:
    """What all editions of an issue are made from. issue: as the owner's edition tells it, not yet signed."""

    folder: Path
    parent: Path
    job: Job
    findings: tuple[Finding, ...]
    issue: IssueInfo
    plan: IssuePlan
    archiving: Archiving
    web: bool
    signing: Signing | None
    library: Library
    progress: Progress | None
    files: int
    trusted: int


def _edition(given: _Given, edition: Edition) -> Compiled:
    """Write one edition, whole or not at all; the owner's is noted in the job folder."""
    folder, parent, plan, draft = given.folder, given.parent, given.plan, given.issue.draft
    others = "" if edition is Edition.OWNER else edition.value
    whole = "draft" if draft else f"issue-{plan.number:02d}"
    name = f"{whole}-{others}" if others else whole
    noted = parent / name / "issue.json" if others else folder / issued_name(plan.number)
    seals = None if draft else signing_of(parent / name, noted, given.signing)
    issue = given.issue
    if seals:
        issue = replace(issue, signer=seals.person, fingerprint=seals.fingerprint)
    job, findings, issue = without(folder, given.job, given.findings, issue, edition)
    withheld = frozenset(issue.withheld)
    record = record_json(job, findings, issue)
    instructions = verify_instructions(job, issue).encode("utf-8")
    receipts = b"" if withholds(edition, Group.RECEIPTS) else receipts_csv(job)
    with _told_where(parent), workplace(parent, name) as made:
        dossier = build_dossier(job, findings, issue)
        progress = given.progress
        render_pdf(
            dossier,
            given.library.rendition,
            _attachments(job.language, plan.manifest, record, receipts),
            made / "dossier.pdf",
            progress=progress,
        )
        (made / "record.json").write_bytes(record)
        (made / MANIFEST_NAME).write_bytes(plan.manifest)
        (made / "VERIFY.txt").write_bytes(instructions)
        beside = {MANIFEST_NAME: plan.manifest, "record.json": record, "VERIFY.txt": instructions}
        web_sha256 = (
            _write_web(dossier, given.library, beside, made / WEB, progress) if given.web or not draft else ""
        )
        if draft:
            publish_draft(made, parent / name)
            return Compiled(
                folder=parent / name, pdf=parent / name / "dossier.pdf", number=0, seal=plan.seal, findings=findings,
                already=False, files=given.files, trusted=given.trusted, web=_page(parent / name),
            )  # fmt: skip
        signature = sign_issue(made, seals, plan.manifest) if seals else None
        bag = Bag(
            job=job.number,
            number=plan.number,
            issued_on=issue.issued_on,
            seal=plan.seal,
            organisation=job.workshop.name,
            program=PROGRAM,
            items=payload(
                folder,
                [entry for entry in job.files if entry.path not in withheld],
                {"dossier.pdf": made / "dossier.pdf", **beside},
            ),
            edition=others,
        )
        note = issue_json(
            job_number=job.number,
            number=plan.number,
            issued_on=issue.issued_on,
            seal=plan.seal,
            previous_seal=plan.previous_seal,
            dossier_sha256=sha256_file(made / "dossier.pdf"),
            record_sha256=sha256_bytes(record),
            instructions_sha256=sha256_bytes(instructions),
            files=len(plan.manifest.splitlines()),
            program=PROGRAM,
            archive_sha256=bag.sha256,
            web_sha256=web_sha256,
            signature=signature,
            edition=others,
            withheld=issue.withheld,
            owner_dossier_sha256=sha256_file(parent / whole / "dossier.pdf") if others else "",
        )
        (made / "issue.json").write_bytes(note)
        tags = {"issue.json": note, **proofs(made, parent / name)}
        _write_archive(bag, tags, made, parent / name, given.archiving, progress)
        if not given.web:  # its digest stands in issue.json all the same, so that it can be added later
            shutil.rmtree(made / WEB)
        if not others and not (parent / name).exists():
            _as_noted(folder, plan.number, note, record)
        fresh = publish_issue(made, parent / name, frozenset({FOLDER, bag.zip_name, REPLY, STAMPED, LIST, WEB}))
        mended = not fresh and mend_folder(made, parent / name, WEB)
    if not others:
        _note(folder, plan.number, note, record)
    return Compiled(
        folder=parent / name,
        pdf=parent / name / "dossier.pdf",
        number=plan.number,
        seal=plan.seal,
        findings=findings,
        already=not fresh,
        archives=tuple(p for n in (FOLDER, bag.zip_name) if (p := parent / name / n).exists()),
        web=_page(parent / name),
        mended=mended,
    )


def _write_web(
    dossier: Dossier, library: Library, beside: dict[str, bytes], out: Path, progress: Progress | None
) -> str:
    """Write the web edition with a list of its files; gives the digest of that list."""
    out.mkdir()
    told = (lambda done, total: progress(done, total, "web edition")) if progress else None
    render_html(dossier, library.rendition, beside, out, told)
    return list_tree(out)


def _page(published: Path) -> Path | None:
    page = published / WEB / "index.html"
    return page if page.is_file() else None


def _as_noted(folder: Path, number: int, note: bytes, record: bytes) -> None:
    """Refuse to put out an issue that the job folder notes otherwise: two different ones would bear one number."""
    noted = folder / issued_name(number)
    for path, data in ((noted, note), (folder / issued_record_name(number), record)):
        if noted.exists() and path.exists() and path.read_bytes() != data:
            raise AnswerIsNo(
                f"Issue {number} was made before, and this run would make it differently: {path} says so. "
                "Nothing was issued.",
                "Put the issue of then back from a copy. Where there is none, bring the record up to date: a record "
                "that has changed makes a new issue.",
            )


def _note(folder: Path, number: int, note: bytes, record: bytes) -> None:
    """Note an issue in the job folder: a copy of its record, then its JSON, which makes it count."""
    noted = folder / issued_name(number)
    write_new(folder / issued_record_name(number), record, replace=not noted.exists())
    write_new(noted, note)


def _write_archive(
    bag: Bag, tags: dict[str, bytes], made: Path, published: Path, archiving: Archiving, progress: Progress | None
) -> None:
    """Write the archive into `made`, in the forms asked for that the published issue does not have yet."""
    there = published / FOLDER
    if archiving.folder and not there.exists():
        write_folder(bag, tags, made / FOLDER, link=archiving.link, progress=progress)
    if archiving.zipped and not (published / bag.zip_name).exists():
        copied = made / FOLDER if (made / FOLDER).exists() else None
        write_zipped(bag, tags, made / bag.zip_name, folder=copied, progress=progress)


@contextlib.contextmanager
def _told_where(parent: Path) -> Iterator[None]:
    """A full disk or a missing right, said with its place."""
    try:
        yield
    except OSError as error:
        says = f"Writing in {parent} failed: {error.strerror or error}. Nothing was issued."
        raise BuildbookError(says, "Make room or mend the rights, then call this again.") from error


def _attachments(language: str, manifest: bytes, record: bytes, receipts: bytes) -> tuple[Attachment, ...]:
    with speaking(language):
        made = [
            Attachment(
                name=MANIFEST_NAME, data=manifest, mime="text/plain", relationship="Supplement",
                description=_("SHA-256 of every file of the record; its own SHA-256 is the seal"),
            ),
            Attachment(
                name="record.json", data=record, mime="application/json", relationship="Data",
                description=_("The record as data, after its published JSON Schema"),
            ),
            Attachment(
                name=RECEIPTS_NAME, data=receipts, mime="text/csv", relationship="Data",
                description=_("The receipts as a table, each with the SHA-256 of its scan"),
            ),
        ]  # fmt: skip
    return tuple(one for one in made if one.data or one.name != RECEIPTS_NAME)


def _adopt(parent: Path, plan: IssuePlan, folder: Path) -> bool:
    """Note an issue in the job folder that a killed run had published but not noted. True if there was one."""
    from buildbook.verify import verify_path
    from buildbook.verify.parts import strict_json

    published = parent / f"issue-{plan.number:02d}"
    note, record = published / "issue.json", published / "record.json"
    target = folder / issued_name(plan.number)
    if target.exists() or not note.is_file():
        return False
    try:
        said = strict_json(note.read_bytes())
    except (OSError, ValueError):
        return False
    if said.get("previous_seal") != plan.previous_seal or not verify_path(published).ok:
        return False
    _note(folder, plan.number, note.read_bytes(), record.read_bytes())
    return True


def _folder_name(job: Job, folder: Path, draft: bool) -> str:
    """The job number as a folder name; a draft of a job without a usable number takes its folder's name."""
    if is_job_number(job.number):
        return job.number
    if draft:
        return re.sub(r"[^A-Za-z0-9-]+", "-", folder.resolve().name).strip("-") or "job"
    raise InputUnreadable(
        f"The job number {job.number!r} cannot name a folder.",
        "Use letters, digits, dots and hyphens in job.number (job.toml), beginning and ending with a letter or digit.",
    )
