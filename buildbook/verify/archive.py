"""Steps over an archive of ours: that it is the one the issue names, holds the sealed record, and is as written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import IO, Any, cast

import buildbook.archive.form as form
from buildbook.archive.zipform import CHUNK, Comparing, Differs, Entry, write_zip
from buildbook.records.litter import is_litter
from buildbook.seal.digest import compare, sha256_bytes
from buildbook.verify import limits
from buildbook.verify.bag import Found
from buildbook.verify.holder import Holder, Unreadable, ZipHolder, read
from buildbook.verify.report import Step
from buildbook.verify.signature import NAMED, SIGNED_FILES
from buildbook.verify.timestamp import REPLY

MADE = ("dossier.pdf", "record.json", "manifest-sha256.txt", "VERIFY.txt")  # beside the job folder in the payload
_LISTS = tuple(name(a) for a in form.ALGORITHMS for name in (form.manifest_name, form.tagmanifest_name))
TAGS = (form.BAGIT, form.BAG_INFO, form.ISSUE, *_LISTS)
_BESIDE_BAGIT = (form.ISSUE, *SIGNED_FILES, REPLY)  # of the issue, but not in the payload, which issue.json names


def is_ours(holder: Holder) -> bool:
    """True if a bag holds any of what our archives hold: then it must hold all."""
    return any(p in holder.sizes for p in (form.ISSUE, "data/dossier.pdf", "data/record.json"))


def member(holder: Holder, name: str) -> bytes | None:
    """A file of the issue as the archive holds it, None if it cannot be read."""
    tag = name in _BESIDE_BAGIT
    most = limits.MOST_PDF_BYTES if name == "dossier.pdf" else limits.MOST_LIST_BYTES
    try:
        return read(holder, name if tag else f"{form.PAYLOAD}/{name}", limits.MOST_TAG_BYTES if tag else most)
    except Unreadable:
        return None


def archive_steps(
    holder: Holder,
    found: Found,
    where: str,
    issue: Mapping[str, Any],
    entries: Mapping[str, str] | None,
    record: Any,
) -> list[Step]:
    """issue, entries, record: what the issue says, its manifest, its record, as they were read before."""
    steps = [_named(holder, where, issue), _sealed(found, where, entries, withheld_of(issue))]
    wrong = tags_wrong = _as_written(holder, found, where, issue, record)
    if isinstance(holder, ZipHolder) and not wrong:
        wrong = _zip_as_written(holder, where, issue)
    says = "it is" if not wrong else "it is not so"
    if isinstance(holder, ZipHolder) and not tags_wrong and wrong:
        says = "its files are, but the ZIP file is not; if another program packed it again, unpack it and verify that"
    steps.append(Step("The archive is as it was written", not wrong, says, wrong))
    return steps


def beside_steps(holder: Holder, found: Found, where: str, beside: Callable[[str], bytes | None]) -> Step:
    """The archive against what lies beside it in the issue folder. beside: reads a file there."""
    lines = []
    for name in MADE:
        data = beside(name)
        if data is None or found.sha256(f"{form.PAYLOAD}/{name}") != sha256_bytes(data):
            lines.append(f"changed: {f'{where}data/{name}'!r} is not {name!r} beside the archive")
    for name in _BESIDE_BAGIT:
        if name == REPLY and name not in holder.sizes:
            continue  # it came when the archive was written
        if member(holder, name) != beside(name):
            lines.append(f"changed: {where + name!r} is not {name!r} beside the archive")
    says = "byte for byte" if not lines else "it does not"
    return Step("The archive holds the files of this issue", not lines, says, tuple(lines))


def _named(holder: Holder, where: str, issue: Mapping[str, Any]) -> Step:
    name = "The archive is the one that issue.json names"
    listed = form.manifest_name("sha256")
    try:
        got = sha256_bytes(read(holder, listed, limits.MOST_LIST_BYTES))
    except Unreadable as error:
        return Step(name, False, "it is not so", (f"missing: {where + listed!r} ({error})",))
    expected = issue.get("archive_sha256")
    if got == expected:
        return Step(name, True, "the digest of its list of payload digests agrees")
    line = f"changed: {where + listed!r} is not what 'issue.json' names (got {got}, expected {expected})"
    return Step(name, False, "it is not so", (line,))


def withheld_of(issue: Mapping[str, Any]) -> frozenset[str]:
    """Paths that an edition's issue.json names as withheld."""
    listed = issue.get("withheld")
    return frozenset(p for p in listed if isinstance(p, str)) if isinstance(listed, list) else frozenset()


def _sealed(found: Found, where: str, entries: Mapping[str, str] | None, withheld: frozenset[str]) -> Step:
    name = "The archived job folder holds exactly the sealed files"
    if entries is None:
        return Step(name, None, "there is no manifest to compare with")
    inside = f"{form.JOB}/"
    job = {path.removeprefix(inside): found.sha256(path) for path in found.found if path.startswith(inside)}
    # What is withheld may be added again by whoever has it: then it must be what the manifest names.
    wanted = {path: digest for path, digest in entries.items() if path in job or path not in withheld}
    changed, missing, added = compare(wanted, job)

    def line(what: str, path: str) -> str:
        return f"{what}: {f'{where}{inside}{path}'!r}"

    lines = [f"{line('changed', p)} (got {job[p]}, expected {entries[p]})" for p in changed]
    lines += [line("missing", p) for p in missing] + [line("added", p) for p in added]
    made = {f"{form.PAYLOAD}/{n}" for n in MADE}
    payload = {p for p in found.found if p.startswith(f"{form.PAYLOAD}/") and not p.startswith(inside)}
    lines += [f"missing: {where + p!r}" for p in sorted(made - payload)]
    lines += [f"added: {where + p!r}" for p in sorted(payload - made)]
    says = f"{len(job)} files" + (f", {len(withheld - job.keys())} withheld" if withheld else "")
    return Step(name, not lines, says if not lines else "it differs", tuple(lines))


def _as_written(holder: Holder, found: Found, where: str, issue: Mapping[str, Any], record: Any) -> tuple[str, ...]:
    """Tag files are exactly those we write, byte for byte as they follow from the payload and the issue."""
    lines: list[str] = []
    tags: dict[str, bytes] = {}
    signature = issue.get("signature")
    named = {n: signature.get(NAMED[n]) for n in SIGNED_FILES} if isinstance(signature, dict) else {}
    wanted = (*TAGS, *named, *([REPLY] if REPLY in holder.sizes else []))
    for path in sorted(p for p in holder.sizes if not p.startswith(f"{form.PAYLOAD}/")):
        if path not in wanted:
            if isinstance(holder, ZipHolder) or not any(map(is_litter, path.split("/"))):
                lines.append(f"added: {where + path!r}")
            continue
        try:
            tags[path] = read(holder, path, limits.MOST_LIST_BYTES)
        except Unreadable as error:
            lines.append(f"unreadable: {where + path!r} ({error})")
    payload = {p: d for p, d in found.found.items() if p.startswith(f"{form.PAYLOAD}/")}
    expected: dict[str, bytes | None] = {form.BAGIT: form.BAGIT_TEXT, form.ISSUE: tags.get(form.ISSUE)}
    for algorithm in form.ALGORITHMS:
        complete = all(algorithm in digests for digests in payload.values())
        expected[form.manifest_name(algorithm)] = (
            form.digest_list({p: d[algorithm] for p, d in payload.items()}) if complete else None
        )
    size = sum(size for path, size in holder.sizes.items() if path.startswith(f"{form.PAYLOAD}/"))
    expected[form.BAG_INFO] = _info(issue, record, size, len(payload))
    lists = {form.tagmanifest_name(a) for a in form.ALGORITHMS}
    expected |= form.tag_lists({n: data for n, data in tags.items() if n not in lists})
    for name, digest in named.items():  # a time stamp has a step of its own
        expected[name] = tags[name] if name in tags and sha256_bytes(tags[name]) == digest else None
    expected[REPLY] = tags.get(REPLY)
    for name in wanted:
        if name not in tags:
            lines.append(f"missing: {where + name!r}")
        elif tags[name] != expected[name]:
            lines.append(f"changed: {where + name!r} is not as it was written")
    return tuple(lines)


def _info(issue: Mapping[str, Any], record: Any, size: int, files: int) -> bytes | None:
    """bag-info.txt as it follows from the issue; None if the issue does not say enough."""
    job = record.get("job") if isinstance(record, dict) else None
    workshop = job.get("workshop") if isinstance(job, dict) else None
    name = workshop.get("name", "") if isinstance(workshop, dict) else ""
    try:
        return form.bag_info(
            organisation=str(name),
            job=str(issue["job"]),
            number=int(issue["number"]),
            issued_on=date.fromisoformat(str(issue["issued_on"])),
            seal=str(issue["seal"]),
            program=str(issue["program"]),
            size=size,
            files=files,
            edition=str(issue.get("edition", "")),
        )
    except (KeyError, ValueError, TypeError):
        return None


def _zip_as_written(holder: ZipHolder, where: str, issue: Mapping[str, Any]) -> tuple[str, ...]:
    """The ZIP file is, byte for byte, what we write for these files: no header or gap holds anything else."""
    name = form.zip_name(str(issue.get("job")), int(issue.get("number", 0)), str(issue.get("edition", "")))
    base = name.removesuffix(".zip")
    if holder.base != base:
        return (f"changed: {where!r} holds the folder {holder.base!r}, expected {base!r}",)

    def copier(path: str) -> Callable[[IO[bytes]], None]:
        def copy(out: IO[bytes]) -> None:
            with holder.open(path) as stream:
                while chunk := stream.read(CHUNK):
                    out.write(chunk)

        return copy

    entries: list[Entry] = [(f"{base}/{path}", size, copier(path)) for path, size in holder.sizes.items()]
    with holder.path.open("rb") as other:
        check = Comparing(other, holder.path.stat().st_size)
        try:
            write_zip(entries, cast("Any", check))
            check.settle()
        except Differs as error:
            return (f"changed: {where!r} at byte {error.place:,} ({holder.near(error.place)})",)
        except Unreadable as error:
            return (f"unreadable: {where!r} ({error})",)
    return ()


