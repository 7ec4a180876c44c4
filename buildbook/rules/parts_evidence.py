"""Rules of part lines: the papers and photos behind them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Part
from buildbook.records.said import said
from buildbook.records.words import Source, Stage
from buildbook.rules.evidence import found_file, not_there, zone_of
from buildbook.rules.grades import COMPLETE_BY_HANDOVER, STOP_AT_HANDOVER
from buildbook.rules.parts import name
from buildbook.rules.rule import Rule, rule

# Neither bought for this job nor sold by anybody who writes receipts.
_UNRECEIPTED = frozenset({Source.WORKSHOP_MADE, Source.ORIGINAL})


@rule(
    "parts.no-receipt",
    asks="Does each bought part name its receipt?",
    why="What was spent on a vehicle counts as far as a document shows it.",
    fix="Put a scan of the receipt in documents/ and write its path in the receipt column.",
    source="Guidance on restoration appraisal (PUB-C, no authority): demonstrably spent sums",
    **COMPLETE_BY_HANDOVER,
)
def no_receipt(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.source not in _UNRECEIPTED and part.lacks("receipt"):
            yield Raised(
                "parts.no-receipt",
                part.place.at("receipt"),
                said("Replaced part {part} names no receipt.", part=name(part)),
            )


@rule(
    "parts.receipt-missing",
    asks="Is the receipt of each part line in documents/?",
    why="A named receipt that is not there is a claim without its evidence.",
    fix="Put the receipt in documents/ and write its path, e.g. documents/receipt-118.pdf.",
    **STOP_AT_HANDOVER,
)
def receipt_missing(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if not part.receipt:
            continue
        if found_file(job, part.receipt) is None:
            fault = not_there(job, part.receipt)
        elif not part.receipt.startswith("documents/"):
            fault = said("which is not in documents/")
        else:
            continue
        yield Raised(
            "parts.receipt-missing",
            part.place.at("receipt"),
            said(
                "Part line {part} names receipt {receipt}, {fault}.", part=name(part), receipt=part.receipt, fault=fault
            ),
        )


@rule(
    "parts.photo-missing",
    asks="Does each photo that a part line names exist?",
    why="A named photo that is not there is a claim without its evidence.",
    fix="File the photo where parts.csv says, or write the path it really has, relative to the job folder or to the "
    "step's; several are separated by |.",
    **STOP_AT_HANDOVER,
)
def photo_missing(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        step = job.step(part.step) if part.step else None
        for photo in part.photos:
            if found_file(job, photo, step) is None:
                yield Raised(
                    "parts.photo-missing",
                    part.place.at("photos"),
                    said(
                        "Part line {part} names photo {photo}, {why}.",
                        part=name(part),
                        photo=photo,
                        why=not_there(job, photo),
                    ),
                )


def _shown_fitted(job: Job, part: Part) -> bool:
    """True if a photo after the work in the part's step shows its zone."""
    step = job.step(part.step) if part.step else None
    if step is None:
        return False
    shown = {zone_of(photo, step) for photo in job.photos_of(step) if photo.stage is Stage.AFTER}
    return bool(part.zone) and part.zone in shown


@rule(
    "parts.no-photo",
    asks="Is there a photo of each replaced part, fitted?",
    why="The photo shows that the part of the receipt is the part on the vehicle.",
    fix="Name a photo in the photos column of parts.csv, or file one in the after folder of its step, in a folder "
    "named by the part's zone.",
    **COMPLETE_BY_HANDOVER,
)
def no_photo(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        # Without a known step there is no folder to look in, which has a finding of its own.
        if not part.replaced or not part.lacks("photos") or job.step(part.step) is None:
            continue
        if not _shown_fitted(job, part):
            yield Raised(
                "parts.no-photo",
                part.place.at("photos"),
                said(
                    "Replaced part {part} names no photo, and no photo after the work in its step shows zone {zone}.",
                    part=name(part),
                    zone=part.zone or said("(none given)"),
                ),
            )


PARTS_EVIDENCE: tuple[Rule, ...] = (no_receipt, receipt_missing, photo_missing, no_photo)
