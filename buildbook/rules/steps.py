"""Rules of steps: each belongs to something agreed, and says where, what and with which result."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Step
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.records.words import Decision, Outcome
from buildbook.rules.evidence import agreed, approvals_of, due, parts_of, zone_fault
from buildbook.rules.grades import (
    COMPLETE_BY_HANDOVER,
    ONLY_AT_HANDOVER,
    QUERY,
    QUERY_LATER,
    STOP_AT_HANDOVER,
)
from buildbook.rules.moments import LOOKING_OR_TESTING
from buildbook.rules.rule import Rule, rule


def _works(step: Step) -> bool:
    """True if the step changes something: looking, testing and handing over need no agreement of their own."""
    return step.operation not in LOOKING_OR_TESTING


@rule(
    "steps.none",
    asks="Does the record hold at least one step?",
    why="A dossier without a step proves no work.",
    fix="Make a folder steps/010-name with a step.toml for each piece of work.",
    **ONLY_AT_HANDOVER,
)
def none(job: Job) -> Iterator[Raised]:
    if not job.steps and "steps" not in job.bad:
        yield Raised("steps.none", Place("steps"), said("The record holds no step."))


@rule(
    "steps.no-zone",
    asks="Does each step say which zones it works on?",
    why="Without a zone the work has no place on the vehicle, and nobody can see that it is safety-critical.",
    fix='Write zones = ["..."] in step.toml, from the table of zones; "whole" if it is the whole vehicle.',
    **STOP_AT_HANDOVER,
)
def no_zone(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.lacks("zones"):
            yield Raised("steps.no-zone", step.place.at("zones"), said("Step {step} names no zone.", step=step.id))


@rule(
    "steps.zone-unknown",
    asks="Are the zones of each step zones that this vehicle has?",
    why="An unknown zone has no place on the plan and hides whether the work is safety-critical.",
    fix="Write zone names from docs/record.md that the body of this vehicle has.",
    **STOP_AT_HANDOVER,
)
def zone_unknown(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for name in step.zones:
            if fault := zone_fault(job, name):
                yield Raised(
                    "steps.zone-unknown",
                    step.place.at("zones"),
                    said("Step {step} names {fault}.", step=step.id, fault=fault),
                )


@rule(
    "steps.no-operation",
    asks="Does each step say what kind of work it is?",
    why="The operation decides what is asked of the step: looking needs no agreement, painting needs its cautions.",
    fix="Write operation in step.toml, e.g. clean, repair, replace, paint, adjust, test (docs/record.md lists all).",
    **QUERY,
)
def no_operation(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.lacks("operation"):
            yield Raised(
                "steps.no-operation", step.place.at("operation"), said("Step {step} names no operation.", step=step.id)
            )


@rule(
    "steps.approval-unknown",
    asks="Is each approval that a step names in approvals.csv?",
    why="A pointer to nothing proves nothing.",
    fix="Correct the id in step.toml, or add the approval to approvals.csv.",
    **STOP_AT_HANDOVER,
)
def approval_unknown(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for name in step.approvals:
            if name not in job.approvals_by_id:
                yield Raised(
                    "steps.approval-unknown",
                    step.place.at("approvals"),
                    said(
                        "Step {step} names approval {approval}, which is not in approvals.csv.",
                        step=step.id,
                        approval=name,
                    ),
                )


@rule(
    "steps.approval-declined",
    asks="Is each step free of approvals that the client declined?",
    why="Work that the client refused must not be done, or not be charged.",
    fix="Correct the decision in approvals.csv, or take the approval out of the step and settle it with the client.",
    **STOP_AT_HANDOVER,
)
def approval_declined(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for name in step.approvals:
            approval = job.approvals_by_id.get(name)
            if approval is not None and approval.decision is Decision.DECLINED:
                yield Raised(
                    "steps.approval-declined",
                    step.place.at("approvals"),
                    said(
                        "Step {step} rests on approval {approval} ({what}), which was declined.",
                        step=step.id,
                        approval=name,
                        what=approval.what,
                    ),
                )


def _corrects(job: Job, step: Step) -> bool:
    """True if an observation names the step, or a part line of it, as what corrected it."""
    part_ids = {part.id for part in parts_of(job, step)}
    return any(
        job.step(ref) is step or ref in part_ids
        for seen in job.observations
        if seen.outcome is not Outcome.ACCEPTED
        for ref in seen.outcome_refs
    )


def _tied(job: Job, step: Step) -> bool:
    return bool(step.approvals) or "approvals" in step.bad or bool(parts_of(job, step)) or _corrects(job, step)


@rule(
    "steps.not-agreed",
    asks="Does each working step belong to something: an approval, an observation it corrects, or a part line?",
    why="Work that belongs to nothing cannot be explained to the owner, and looks like work nobody asked for.",
    fix='Write approvals = ["..."] in step.toml, name the step in outcome_refs of the observation it corrects, or in '
    "the step column of its part lines.",
    **COMPLETE_BY_HANDOVER,
)
def not_agreed(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if _works(step) and not _tied(job, step):
            yield Raised(
                "steps.not-agreed",
                step.place.at("approvals"),
                said(
                    "Step {step} ({title}) belongs to no approval, observation or part line.",
                    step=step.id,
                    title=step.title,
                ),
            )


@rule(
    "steps.unapproved-work",
    asks="Did the client approve each working step, in the step itself or in one of its part lines?",
    why="Work that nobody approved is done at the workshop's own risk; the client must at least hear of it.",
    fix='Ask the client, add the answer to approvals.csv and name it in step.toml as approvals = ["..."].',
    **COMPLETE_BY_HANDOVER,
)
def unapproved_work(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if not _works(step) or step.approvals or "approvals" in step.bad or not _tied(job, step):
            continue
        lines = parts_of(job, step)
        # A replaced part without approval, or with one that is unknown or declined, has a finding of its own.
        if any(part.replaced or part.approval for part in lines):
            continue
        if not any(agreed(job, approvals_of(job, part)) for part in lines):
            yield Raised(
                "steps.unapproved-work",
                step.place.at("approvals"),
                said("Nobody approved step {step} ({title}).", step=step.id, title=step.title),
            )


@rule(
    "steps.no-work-text",
    asks="Does each step say what was done?",
    why="Photos show that something changed; only words say how.",
    fix="Write work_done in step.toml: two or three sentences, with method and materials.",
    **COMPLETE_BY_HANDOVER,
)
def no_work_text(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if due(job, step) and step.lacks("work_done"):
            yield Raised(
                "steps.no-work-text",
                step.place.at("work_done"),
                said("Step {step} does not say what was done.", step=step.id),
            )


@rule(
    "steps.no-outcome",
    asks="Does each step say how it ended?",
    why="Whether the work reached its aim is what the owner wants to know.",
    fix="Write outcome in step.toml: the result, and what was measured or tested.",
    **QUERY_LATER,
)
def no_outcome(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if due(job, step) and step.lacks("outcome"):
            yield Raised(
                "steps.no-outcome",
                step.place.at("outcome"),
                said("Step {step} does not say how it ended.", step=step.id),
            )


@rule(
    "steps.open-item-zone",
    asks="Is the zone of each open item one that this vehicle has?",
    why="An open item is looked up by its place on the vehicle.",
    fix="Write a zone name from docs/record.md in that [[open_items]] entry, or leave the zone out.",
    **QUERY,
)
def open_item_zone(job: Job) -> Iterator[Raised]:
    for item in job.open_items:
        if item.zone and (fault := zone_fault(job, item.zone)):
            yield Raised(
                "steps.open-item-zone",
                item.place.at("zone"),
                said('Open item "{what}" names {fault}.', what=item.what, fault=fault),
            )


STEPS: tuple[Rule, ...] = (
    none,
    no_zone,
    zone_unknown,
    no_operation,
    approval_unknown,
    approval_declined,
    not_agreed,
    unapproved_work,
    no_work_text,
    no_outcome,
    open_item_zone,
)
