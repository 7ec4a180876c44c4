"""Single checks on the parts of an issue. Each takes bytes or a folder and says what is wrong, never raises."""

from __future__ import annotations

import json
import os
import re
import stat
import zlib
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from buildbook.records.issued import issue_of_name
from buildbook.records.litter import is_litter
from buildbook.seal.digest import NotAManifest, compare, parse_manifest, seal_of, sha256_file
from buildbook.verify.limits import MOST_LIST_BYTES
from buildbook.verify.opening import opened
from buildbook.verify.report import Step

MANIFEST = "manifest-sha256.txt"
RECORD = "record.json"


@dataclass(frozen=True, slots=True)
class Contents:
    """What was found: the manifest and the record as bytes, and the seal the PDF names in its information."""

    manifest: bytes | None
    record: bytes | None
    named_seal: str = ""


def read_file(path: Path, most: int) -> bytes | None:
    """The bytes of a regular file of at most `most` bytes; None if there is none, or it is a link, or larger."""
    try:
        status = path.lstat()
        if not stat.S_ISREG(status.st_mode) or status.st_size > most:
            return None
        return path.read_bytes()
    except OSError:
        return None


def strict_json(data: bytes) -> dict[str, Any]:
    """A JSON object. Raises ValueError on repeated keys, NaN, or anything but an object."""

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(items)
        if len(made) != len(items):
            raise ValueError("a key stands twice")
        return made

    def constant(name: str) -> Any:
        raise ValueError(f"{name} is not a JSON value")

    try:
        value = json.loads(data.decode("utf-8"), object_pairs_hook=pairs, parse_constant=constant)
    except RecursionError as error:
        raise ValueError("nested too deeply") from error
    if not isinstance(value, dict):
        raise ValueError("it is not an object")
    return value


def as_object(data: bytes | None) -> dict[str, Any]:
    """issue.json as an object; an empty one if it is none, which earlier steps have said."""
    try:
        return strict_json(data or b"")
    except ValueError:
        return {}


def pdf_contents(data: bytes) -> tuple[Step, Contents]:
    """Open a dossier and take out what it carries."""
    import pikepdf

    name = "The PDF opens and carries its record"
    try:
        with opened(data) as pdf:
            names = [n for n in (MANIFEST, RECORD) if n in pdf.attachments]
            carried = {n: _unpacked(pdf.attachments[n].get_file().obj, MOST_LIST_BYTES) for n in names}
            keywords = str(pdf.docinfo.get("/Keywords", "")) if pdf.trailer.get("/Info") is not None else ""
    except (pikepdf.PdfError, ValueError, KeyError, TypeError, RuntimeError, AttributeError, MemoryError) as error:
        return Step(name, False, f"it cannot be read as a PDF ({_first_line(error)})"), Contents(None, None)
    missing = [n for n in (MANIFEST, RECORD) if n not in carried]
    found = Contents(carried.get(MANIFEST), carried.get(RECORD), _seal_in(keywords))
    if missing:
        return Step(name, False, "attachments are missing", tuple(f"missing: {n}" for n in missing)), found
    return Step(name, True, f"{MANIFEST} and {RECORD} are attached"), found


def _unpacked(stream: Any, most: int) -> bytes:
    """The bytes of an attached file. Raises ValueError if they are more than `most`, or packed in another way than
    plain Flate: nothing is unpacked further than that.
    """
    import pikepdf

    packing = stream.get("/Filter")
    if isinstance(packing, pikepdf.Array) and len(packing) == 1:
        packing = packing[0]
    raw: bytes = stream.read_raw_bytes()
    if packing is None:
        data = raw
    elif packing == pikepdf.Name.FlateDecode and stream.get("/DecodeParms") is None:
        unpacker = zlib.decompressobj()
        try:
            data = unpacker.decompress(raw, most + 1)
        except zlib.error as error:
            raise ValueError(f"an attached file cannot be unpacked ({error})") from error
        if len(data) <= most and not unpacker.eof:
            raise ValueError("an attached file is cut off")
    else:
        raise ValueError("an attached file is packed in a way that is not read")
    if len(data) > most:
        raise ValueError(f"an attached file holds more than {most:,} bytes")
    return data


def _seal_in(keywords: str) -> str:
    words = keywords.replace(",", " ").replace(";", " ").split()
    return next((w for w in words if len(w) == 64 and all(c in "0123456789abcdef" for c in w)), "")


def check_manifest(data: bytes | None) -> tuple[Step, dict[str, str] | None, str]:
    """The manifest is well formed; gives its entries and the seal."""
    name = "The manifest is a list of SHA-256 digests"
    if data is None:
        return Step(name, None, "there is no manifest to look at"), None, ""
    try:
        entries = parse_manifest(data)
    except NotAManifest as error:
        return Step(name, False, str(error)), None, seal_of(data)
    if list(entries) != sorted(entries, key=lambda p: p.encode("utf-8", "surrogateescape")):
        return Step(name, False, "its lines are not in order"), entries, seal_of(data)
    return Step(name, True, f"{len(entries)} files"), entries, seal_of(data)


def check_record(
    data: bytes | None, entries: dict[str, str] | None, seal: str
) -> tuple[list[Step], dict[str, Any] | None]:
    """The record is valid, names this seal, and lists the same files as the manifest."""
    from buildbook.schemas import problems

    valid = "The record follows its schema"
    if data is None:
        return [Step(valid, None, "there is no record to look at")], None
    try:
        record = strict_json(data)
    except ValueError as error:
        return [Step(valid, False, f"record.json is not JSON: {_first_line(error)}")], None
    steps = []
    wrong = problems("record", record)
    steps.append(Step(valid, not wrong, "it does" if not wrong else "it does not", tuple(wrong[:20])))

    issue = record.get("issue")
    named = issue.get("seal") if isinstance(issue, dict) else None
    steps.append(
        Step("The record names the manifest's seal", named == seal, "it does")
        if named == seal
        else Step("The record names the manifest's seal", False, f"got {named!r}, expected {seal!r}")
    )
    if entries is not None:
        steps.append(_same_files(record, entries))
    return steps, record


def listed_files(record: Any) -> dict[str, str]:
    """Path -> digest of the files a record lists; whatever is not of that form is left out."""
    job = record.get("job") if isinstance(record, dict) else None
    listed = job.get("files") if isinstance(job, dict) else None
    return {
        f["path"]: f["sha256"]
        for f in (listed if isinstance(listed, list) else [])
        if isinstance(f, dict) and isinstance(f.get("path"), str) and isinstance(f.get("sha256"), str)
    }


def _same_files(record: dict[str, Any], entries: dict[str, str]) -> Step:
    name = "Record and manifest list the same files"
    found = listed_files(record)
    lines = _difference(entries, found)
    return Step(name, not lines, f"{len(found)} files" if not lines else "they differ", tuple(lines))


def _difference(wanted: Mapping[str, str], found: Mapping[str, str]) -> list[str]:
    changed, missing, added = compare(wanted, found)
    return (
        [f"changed: {p!r} (got {found[p]}, expected {wanted[p]})" for p in changed]
        + [f"missing: {p!r}" for p in missing]
        + [f"added: {p!r}" for p in added]
    )


def tree_digests(root: Path) -> tuple[dict[str, str], list[str]]:
    """(path -> digest of each regular file below root, lines about what cannot be hashed). Litter is left out."""
    regular: dict[str, Path] = {}
    odd: list[str] = []
    stack = [root]
    while stack:
        folder = stack.pop()
        try:
            with os.scandir(folder) as entries:
                listed = list(entries)
        except OSError as error:
            odd.append(f"unreadable: {folder.relative_to(root).as_posix()!r} ({error.strerror})")
            continue
        for entry in listed:
            if is_litter(entry.name):
                continue
            path = Path(entry.path)
            relative = path.relative_to(root).as_posix()
            mode = entry.stat(follow_symlinks=False).st_mode
            if stat.S_ISDIR(mode):
                stack.append(path)
            elif stat.S_ISREG(mode):
                regular[relative] = path
            else:
                odd.append(f"added: {relative!r} (a link or a device, not a file)")
    found: dict[str, str] = {}
    with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:  # hashing lets other threads run
        for relative, digest in zip(regular, pool.map(_digest, regular.values()), strict=True):
            if isinstance(digest, OSError):
                odd.append(f"unreadable: {relative!r} ({digest.strerror or digest})")
            else:
                found[relative] = digest
    return found, odd


def _digest(path: Path) -> str | OSError:
    try:
        return sha256_file(path)
    except OSError as error:
        return error


def check_tree(root: Path, entries: dict[str, str], own_number: int | None) -> Step:
    """The files of a job folder are those of the manifest. Notes of this and later issues may have been added."""
    name = "The job folder holds exactly the sealed files"
    found, odd = tree_digests(root)
    for path in list(found):
        written_with = issue_of_name(path)
        later = written_with is not None and own_number is not None and written_with >= own_number
        if path not in entries and later:
            del found[path]
    lines = _difference(entries, found) + odd
    return Step(name, not lines, f"{len(entries)} files, all unchanged" if not lines else "it differs", tuple(lines))


def _first_line(error: BaseException) -> str:
    first = (str(error).splitlines() or [type(error).__name__])[0]
    return re.sub(r"^stream <[^>]*>: ", "", first)  # how the library names what it reads, an address in memory
