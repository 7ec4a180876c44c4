"""Which files of a job an edition withholds: they stand in its manifest by their hash only."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import cast

from buildbook.editions.private import private_redactor
from buildbook.editions.redact import Redactor
from buildbook.editions.table import Edition, Group, withholds
from buildbook.records.job import Job
from buildbook.records.photo import FileEntry

_TABLES = (".toml", ".csv", ".xlsx")
_CARDS = "documents/cards/"
_WHOLE = "whole"  # a photo of the whole vehicle shows its plate, as a rule

# What a picture's file says beside the picture. What cannot be read might be a position.
POSITION = frozenset({"position", "maker's notes", "XMP", "unreadable", "data behind the picture"})


@dataclass(frozen=True, slots=True)
class Personal:
    """What an original says beside its picture. kinds: of data, empty for none. data: its bytes, for a search."""

    kinds: frozenset[str]
    data: bytes = b""


Look = Callable[[FileEntry], Personal]
Read = Callable[[FileEntry], bytes]


def marked_photos(job: Job, edition: Edition) -> frozenset[str]:
    """Pictures that the edition does not show: those job.toml names; where it names none, all of the whole vehicle.

    Pictures of papers that are withheld are among them.
    """
    if edition is Edition.OWNER:
        return frozenset()
    hidden = {p.path for p in job.photos if p.path.startswith("documents/") and _paper(job, edition, p.path)}
    if withholds(edition, Group.MARKED_PHOTOS):
        named = job.editions.withhold_photos
        for photo in job.photos:
            if photo.zone == _WHOLE if named is None else any(matches(photo.path, glob) for glob in named):
                hidden.add(photo.path)
    return frozenset(hidden)


def matches(path: str, glob: str) -> bool:
    """Whether a path is meant by a glob; `*` stays within a folder, `**` does not."""
    if "**" in glob:
        return fnmatchcase(path, glob)
    parts, wanted = path.split("/"), glob.split("/")
    return len(parts) == len(wanted) and all(map(fnmatchcase, parts, wanted))


def withheld_files(job: Job, edition: Edition, look: Look, read: Read) -> tuple[str, ...]:
    """Paths of the files that the edition withholds, in the manifest's order.

    look: at the data in a photo's file. read: a whole file. Each file is asked for at most once.
    """
    if edition is Edition.OWNER:
        return ()
    redactor = private_redactor(job, edition)
    hidden = marked_photos(job, edition)
    photos = {p.path for p in job.photos}

    def private(entry: FileEntry) -> bool:
        path = entry.path
        if path in hidden or _by_name(edition, path):
            return True
        if path.startswith("documents/") and _paper(job, edition, path):
            return True
        if path in photos:
            return _picture(edition, look(entry), redactor)
        return tells(read(entry), redactor)

    return tuple(e.path for e in job.files if private(e))


def _by_name(edition: Edition, path: str) -> bool:
    if path.startswith("issued/"):
        return withholds(edition, Group.NOTES)
    if path.endswith(_TABLES) and withholds(edition, Group.TABLES):
        return True
    # The client's address stands in job.toml; a workbook is packed, and is not searched.
    return path == "job.toml" or path.endswith(".xlsx")


def _paper(job: Job, edition: Edition, path: str) -> bool:
    """Whether a paper is withheld. Nobody can know what a scan says: only papers of a kind that is known go in."""
    if path.startswith(_CARDS):
        return False
    open_to_all = {m.data_sheet for m in job.materials} | {i.certificate for i in job.instruments}
    receipts = {p.receipt for p in job.parts} | {r.document for r in job.receipts}
    from_client = {a.document for a in job.approvals} | {h.document for h in job.history}
    if path in from_client:
        return withholds(edition, Group.CLIENT_PAPERS)
    if path in receipts:
        return withholds(edition, Group.RECEIPTS)
    return path not in open_to_all and withholds(edition, Group.CLIENT_PAPERS)


def _picture(edition: Edition, personal: Personal, redactor: Redactor) -> bool:
    kinds = personal.kinds
    if withholds(edition, Group.POSITION) and kinds & POSITION:
        return True
    if withholds(edition, Group.PHOTO_DATA) and kinds:
        return True
    data = personal.data
    texts = (data.decode("utf-8", "ignore"), data.decode("cp1252", "ignore"))
    wide = (data[start:].decode("utf-16-le", "ignore") for start in (0, 1))
    return any(redactor.finds(text) for text in (*texts, *wide))


def tells(data: bytes, redactor: Redactor) -> bool:
    """True if a file holds a private string as text: in a text's encodings, or in the streams of a PDF.

    Other packed or compressed forms are not looked into: a file that is no text and no PDF is taken to tell.
    """
    if data.startswith(b"%PDF-"):
        return _pdf_tells(data, redactor)
    if _binary(data):
        return True
    return any(redactor.finds(text) for text in _decoded(data))


def _binary(data: bytes) -> bool:
    """Neither text of one byte a character nor UTF-16."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return False
    return b"\0" in data


def _decoded(data: bytes) -> Iterator[str]:
    yield data.decode("utf-8", "ignore")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        yield data.decode("utf-16", "ignore")
    elif not data.isascii():
        yield data.decode("cp1252", "ignore")


def _pdf_tells(data: bytes, redactor: Redactor) -> bool:
    """An unreadable PDF cannot be cleared."""
    import pikepdf

    try:
        return any(redactor.finds(text) for text in _pdf_texts(data))
    except pikepdf.PdfError:
        return True


def _pdf_texts(data: bytes) -> Iterator[str]:
    """Every stream and string of a PDF, and the strings of its pages joined as they are shown."""
    import io

    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as pdf:
        for thing in pdf.objects:
            if isinstance(thing, pikepdf.Stream):
                try:
                    raw = thing.read_bytes()
                except pikepdf.PdfError:  # a picture's own packing
                    continue
                yield raw.decode("latin-1")
                yield raw.decode("utf-8", "ignore")
                yield from _shown(thing)
            yield from _strings(thing, 0)


def _shown(stream: object) -> Iterator[str]:
    import pikepdf

    try:
        operations = pikepdf.parse_content_stream(stream)  # type: ignore[arg-type]
    except (pikepdf.PdfError, TypeError, ValueError):
        return
    pieces: list[str] = []
    for operation in operations:
        if str(operation.operator) in ("Tj", "TJ", "'", '"'):
            for operand in cast("list[object]", operation.operands):
                inner = list(operand) if isinstance(operand, pikepdf.Array) else [operand]
                words = (bytes(o).decode("cp1252", "ignore") for o in inner if isinstance(o, pikepdf.String))
                pieces += ["".join(words), " "]
    yield re.sub(r" +", " ", "".join(pieces))


def _strings(thing: object, depth: int) -> Iterator[str]:
    import pikepdf

    if depth > 8:
        return
    if isinstance(thing, pikepdf.String):
        yield str(thing)
    elif isinstance(thing, pikepdf.Array):
        for inner in thing:
            yield from _strings(inner, depth + 1)
    elif isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        for _key, inner in thing.items():
            yield from _strings(inner, depth + 1)
