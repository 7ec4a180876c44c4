"""Steps that hold an issue against the job folder it was made from."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from buildbook.seal.chain import issued_name, issued_record_name
from buildbook.verify import chain, limits
from buildbook.verify.edition import edition_of
from buildbook.verify.parts import as_object, check_tree, read_file
from buildbook.verify.register import register_step
from buildbook.verify.report import Step


def in_job(folder: Path) -> Callable[[str], bytes | None]:
    """Reads a list or a note in a job folder, within limits; None if it cannot be."""
    return lambda name: read_file(folder / name, limits.MOST_LIST_BYTES)


def against_steps(
    job: Path,
    entries: dict[str, str] | None,
    record: Any,
    number: int | None,
    issue: bytes | None,
    record_bytes: bytes | None,
) -> list[Step]:
    """The folder holds the sealed files, knows the issue, and its register and chain hold. None: not there."""
    if entries is None:
        return [Step("The job folder holds exactly the sealed files", None, "there is no manifest to compare with")]
    steps = [check_tree(job, entries, number), register_step(in_job(job), entries)]
    if number and issue is not None and edition_of(record):
        steps.append(_of_owner(job, number, as_object(issue)))
    elif number and issue is not None:
        lines = []
        for path, wanted in ((issued_name(number), issue), (issued_record_name(number), record_bytes)):
            own = read_file(job / path, limits.MOST_LIST_BYTES)
            if own != wanted:
                lines.append(f"{'missing' if own is None else 'changed'}: {path!r}")
        says = "its notes are the same" if not lines else "its notes are not those of this issue"
        steps.append(Step("The job folder knows this issue", not lines, says, tuple(lines)))
    folder = job / "issued"
    names = [f"issued/{p.name}" for p in folder.glob("[0-9]*.json")] if folder.is_dir() else []
    steps.append(chain.job_chain(in_job(job), names))
    return steps


def _of_owner(job: Path, number: int, issue: dict[str, Any]) -> Step:
    """An edition for others is not noted in the job folder: its owner's is, which it names."""
    own = as_object(read_file(job / issued_name(number), limits.MOST_LIST_BYTES))
    same = bool(own) and (own.get("seal"), own.get("dossier_sha256")) == (
        issue.get("seal"), issue.get("owner_dossier_sha256"),
    )  # fmt: skip
    says = "by seal and owner's dossier" if same else "its note is not that of the owner's edition this one names"
    lines = () if same else (f"changed: {issued_name(number)!r}",)
    return Step("The job folder knows the issue this is an edition of", same, says, lines)


