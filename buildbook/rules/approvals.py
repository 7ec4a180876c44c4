"""Rules of approvals: what the client agreed to is on paper and is used."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.said import said
from buildbook.rules.evidence import found_file, not_there
from buildbook.rules.grades import NOTE, QUERY, QUERY_ONLY_AT_HANDOVER, STOP_AT_HANDOVER
from buildbook.rules.rule import Rule, rule


@rule(
    "approvals.unused",
    asks="Is each approval used by a step, a part line, an outcome or a reading?",
    why="An approval that nothing points at is either work forgotten or a pointer left out.",
    fix="Name the approval in the step, part line, outcome or reading it covers; if the work was declined or dropped, "
    "name it in the outcome of the observation or in the text of an [[open_items]] entry.",
    **QUERY_ONLY_AT_HANDOVER,
)
def unused(job: Job) -> Iterator[Raised]:
    used = {ref for step in job.steps for ref in step.approvals}
    used |= {part.approval for part in job.parts}
    used |= {ref for seen in job.observations for ref in seen.outcome_refs}
    used |= {reading.approval for reading in job.readings}
    # Work that was declined is often said as an open item, which has no column for the approval.
    told = " ".join(f"{item.what} {item.why} {item.advice}" for item in job.open_items)
    for approval in job.approvals:
        if approval.id and approval.id not in used and approval.id not in told:
            yield Raised(
                "approvals.unused", approval.place.at("id"),
                said(
                    "Approval {approval} ({what}) is named by no step, part line, outcome or reading.",
                    approval=approval.id, what=approval.what,
                ),
            )  # fmt: skip


@rule(
    "approvals.document-missing",
    asks="Does the document of each approval exist?",
    why="A named document that is not there is a claim without its evidence.",
    fix="Put the letter, message or signed form in documents/ and write its path in the document column.",
    **STOP_AT_HANDOVER,
)
def document_missing(job: Job) -> Iterator[Raised]:
    for approval in job.approvals:
        if approval.document and found_file(job, approval.document) is None:
            yield Raised(
                "approvals.document-missing", approval.place.at("document"),
                said(
                    "Approval {approval} names {document}, {why}.",
                    approval=approval.id, document=approval.document, why=not_there(job, approval.document),
                ),
            )  # fmt: skip


@rule(
    "approvals.no-document",
    asks="Has each approval a document behind it?",
    why="A spoken approval is remembered in two ways once there is a bill; the dossier says where there is no paper.",
    fix="File the client's message or letter in documents/; for a spoken approval, a note of the call that the client "
    "has confirmed.",
    **NOTE,
)
def no_document(job: Job) -> Iterator[Raised]:
    for approval in job.approvals:
        if approval.lacks("document"):
            yield Raised(
                "approvals.no-document", approval.place.at("document"),
                said("Approval {approval} ({what}) has no document.", approval=approval.id, what=approval.what),
            )  # fmt: skip


@rule(
    "approvals.no-means",
    asks="Does each approval say by which means it was given?",
    why="A letter, a message and a telephone call weigh differently.",
    fix="Write the means in approvals.csv: letter, message, telephone, in person.",
    **QUERY,
)
def no_means(job: Job) -> Iterator[Raised]:
    for approval in job.approvals:
        if approval.lacks("means"):
            yield Raised(
                "approvals.no-means", approval.place.at("means"),
                said("Approval {approval} does not say by which means it was given.", approval=approval.id),
            )  # fmt: skip


@rule(
    "approvals.no-giver",
    asks="Does each approval say who gave it?",
    why="Only the owner, or whom the owner named, can agree to work on the vehicle.",
    fix="Write the name in the given_by column of approvals.csv.",
    **QUERY,
)
def no_giver(job: Job) -> Iterator[Raised]:
    for approval in job.approvals:
        if approval.lacks("given_by"):
            yield Raised(
                "approvals.no-giver", approval.place.at("given_by"),
                said("Approval {approval} does not say who gave it.", approval=approval.id),
            )  # fmt: skip


APPROVALS: tuple[Rule, ...] = (unused, document_missing, no_document, no_means, no_giver)
