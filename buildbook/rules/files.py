"""Rules of documents: each one named by a table is there, and each one there is named."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from buildbook.marking import N_
from buildbook.records.card import FOLDER as CARDS
from buildbook.records.finding import Raised
from buildbook.records.job import Job, Record
from buildbook.records.place import Place
from buildbook.records.said import said, said_of
from buildbook.rules.evidence import found_file, not_there
from buildbook.rules.grades import NOTE, STOP_AT_HANDOVER
from buildbook.rules.photos import NOTE_FILE
from buildbook.rules.rule import Rule, rule


def _papers(job: Job) -> Iterator[tuple[Record, str, str, str]]:
    """Certificates and data sheets: the record, its id, its field, and the sentence about it."""
    certificate = N_("Instrument {id}: certificate {document}, {why}.")
    yield from ((i, i.id, "certificate", certificate) for i in job.instruments)
    sheet = N_("Material {id}: data sheet {document}, {why}.")
    yield from ((m, m.id, "data_sheet", sheet) for m in job.materials)


@rule(
    "files.document-missing",
    asks="Is each certificate and data sheet that is named in the folder?",
    why="A calibration or a product is vouched for by its paper; a name alone vouches for nothing.",
    fix="Put the paper into documents/ and write its path, or leave the field empty.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def document_missing(job: Job) -> Iterator[Raised]:
    for record, whose, field, sentence in _papers(job):
        name: str = getattr(record, field)
        if name and found_file(job, name) is None:
            says = said_of(sentence, id=whose, document=name, why=not_there(job, name))
            yield Raised("files.document-missing", record.place.at(field), says)


@rule(
    "files.document-empty",
    asks="Does each document have content?",
    why="An empty file looks like a paper in a list and shows nothing.",
    fix="Copy or scan the paper again.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def document_empty(job: Job) -> Iterator[Raised]:
    pictures = job.photos_by_path  # a picture that cannot be shown has a finding of its own
    for entry in job.documents:
        if entry.size == 0 and entry.path not in pictures:
            yield Raised("files.document-empty", Place(entry.path), said("The document is empty (0 bytes)."))


def named_paths(job: Job) -> frozenset[str]:
    """Every path a record names, as written."""
    car, meter = job.vehicle, job.odometer
    named = {car.chassis_number_photo, car.engine_number_photo, meter.photo_in, meter.photo_out}
    named |= {entry.document for entry in job.history}
    named |= {instrument.certificate for instrument in job.instruments}
    named |= {approval.document for approval in job.approvals}
    named |= {receipt.document for receipt in job.receipts}
    named |= {material.data_sheet for material in job.materials}
    for part in job.parts:
        named |= {part.receipt, *part.photos}
    for observation in job.observations:
        named |= set(observation.photos)
    for pair in job.pairs:
        named |= {pair.before, pair.after}
    return frozenset(named - {""})


@rule(
    "files.document-unreferenced",
    asks="Is each document named by a table?",
    why="A paper that nothing refers to proves nothing, though it is sealed with the rest.",
    fix="Name it where it belongs (an approval, a receipt, a certificate, the history), or take it out of the folder.",
    **NOTE,
)  # fmt: skip
def document_unreferenced(job: Job) -> Iterator[Raised]:
    named = named_paths(job)
    for entry in job.documents:
        kept = entry.path.startswith(CARDS)  # photos of marker cards: evidence of order and clocks, named by nobody
        if entry.path not in named and not kept and PurePosixPath(entry.path).name != NOTE_FILE:
            yield Raised("files.document-unreferenced", Place(entry.path), said("No table names this document."))


FILES: tuple[Rule, ...] = (document_missing, document_empty, document_unreferenced)
