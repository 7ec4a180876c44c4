"""Rules of part lines: what they are, where they went, and that somebody agreed to them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Part
from buildbook.records.said import day as on_day
from buildbook.records.said import row, said, word
from buildbook.records.words import Decision, Source
from buildbook.rules.evidence import agreed, approvals_of, zone_fault
from buildbook.rules.grades import COMPLETE_BY_HANDOVER, QUERY_LATER, STOP_AT_HANDOVER
from buildbook.rules.moments import day, step_span, zone_of
from buildbook.rules.rule import Rule, rule

# Made, found or left in the workshop: nobody prints a number on it.
_UNNUMBERED = frozenset({Source.WORKSHOP_MADE, Source.USED, Source.ORIGINAL})


def name(part: Part) -> str:
    """How a sentence names a part line: `P1 (Brake hose)`."""
    return f"{part.id} ({part.what})" if part.what else part.id


@rule(
    "parts.no-zone",
    asks="Does each replaced or refurbished part say where on the vehicle it is?",
    why="Two parts of one number on left and right are two parts; the register is read by place.",
    fix="Write the zone in parts.csv, from the table of zones.",
    **QUERY_LATER,
)
def no_zone(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if (part.replaced or part.refurbished) and part.lacks("zone"):
            yield Raised(
                "parts.no-zone", part.place.at("zone"), said("Part line {part} names no zone.", part=name(part))
            )


@rule(
    "parts.zone-unknown",
    asks="Is the zone of each part line one that this vehicle has?",
    why="An unknown zone has no place on the plan and hides whether the part is safety-critical.",
    fix="Write one of the zone names (docs/record.md) that the body of this vehicle has.",
    **STOP_AT_HANDOVER,
)
def zone_unknown(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.zone and (fault := zone_fault(job, part.zone)):
            yield Raised(
                "parts.zone-unknown",
                part.place.at("zone"),
                said("Part line {part} names {fault}.", part=name(part), fault=fault),
            )


@rule(
    "parts.no-step",
    asks="Does each replaced or refurbished part name the step in which that was done?",
    why="The step holds the people, the days and the photos that vouch for the part.",
    fix="Write the step's number or folder name in the step column of parts.csv.",
    **COMPLETE_BY_HANDOVER,
)
def no_step(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if (part.replaced or part.refurbished) and part.lacks("step"):
            if part.replaced:
                says = said("Part line {part} is replaced in no step.", part=name(part))
            else:
                says = said("Part line {part} is refurbished in no step.", part=name(part))
            yield Raised("parts.no-step", part.place.at("step"), says)


@rule(
    "parts.step-unknown",
    asks="Is the step that a part line names in the record?",
    why="A pointer to nothing proves nothing.",
    fix="Write the step's number or folder name as under steps/.",
    **STOP_AT_HANDOVER,
)
def step_unknown(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.step and job.step(part.step) is None:
            yield Raised(
                "parts.step-unknown",
                part.place.at("step"),
                said("Part line {part} names step {step}, which is not under steps/.", part=name(part), step=part.step),
            )


@rule(
    "parts.outside-step-zones",
    asks="Is each part in a zone that its step works on?",
    why="Otherwise part line and step speak of different places, and the cautions of the part's zone may be missing.",
    fix="Correct the part's zone or step, or add the zone to zones in step.toml.",
    **QUERY_LATER,
)
def outside_step_zones(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        step = job.step(part.step) if part.step else None
        if step is None or not part.zone or not step.zones or zone_fault(job, part.zone):
            continue
        if part.zone not in step.zones and "whole" not in step.zones:
            yield Raised(
                "parts.outside-step-zones",
                part.place.at("zone"),
                said(
                    "Part line {part} is in zone {zone}; step {step} works on {zones}.",
                    part=name(part),
                    zone=part.zone,
                    step=step.id,
                    zones=row(step.zones),
                ),
            )


@rule(
    "parts.no-part-number",
    asks="Has each bought part its part number?",
    why="Only the number lets a later owner find out what was fitted and buy it again.",
    fix='Copy the number from box or receipt, as text with its leading zeros; write "none marked" if there is none.',
    **COMPLETE_BY_HANDOVER,
)
def no_part_number(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.source not in _UNNUMBERED and part.lacks("part_number"):
            yield Raised(
                "parts.no-part-number",
                part.place.at("part_number"),
                said("Replaced part {part} has no part number.", part=name(part)),
            )


@rule(
    "parts.no-source",
    asks="Does each replaced part say what kind of part it is?",
    why="Genuine, reproduction and used are worth differently to a collector.",
    fix="Write source in parts.csv: genuine, new-old-stock, oem, pattern, reproduction, remanufactured, used or "
    "workshop-made.",
    source="Words of the trade, without a standard (PUB-C)",
    **COMPLETE_BY_HANDOVER,
)
def no_source(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.lacks("source"):
            yield Raised(
                "parts.no-source", part.place.at("source"), said("Replaced part {part} has no source.", part=name(part))
            )


@rule(
    "parts.not-stated-by",
    asks="Is it said who states what kind of part a replaced part is?",
    why="The words have no standard: they are somebody's statement, and the dossier prints whose.",
    fix="Write in the stated_by column who says so: initials of one of the people, the client or the supplier.",
    source="Words of the trade, without a standard (PUB-C); common practice",
    **QUERY_LATER,
)
def not_stated_by(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.source is not None and part.lacks("stated_by"):
            yield Raised(
                "parts.not-stated-by",
                part.place.at("stated_by"),
                said("Nobody is named who states that {part} is {source}.", part=name(part), source=word(part.source)),
            )


@rule(
    "parts.used-no-donor",
    asks="Does each used part say from which vehicle or whom it comes?",
    why="A used part carries its donor's history; the donor's identity is part of the record.",
    fix="Write donor or seller in the supplier column, with the donor's chassis number if known.",
    **QUERY_LATER,
)
def used_no_donor(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.source is Source.USED and part.lacks("supplier"):
            yield Raised(
                "parts.used-no-donor",
                part.place.at("supplier"),
                said("Used part {part} has no origin.", part=name(part)),
            )


@rule(
    "parts.old-part-unstated",
    asks="Is it said for each replaced part where the old one went?",
    why="An old part is a piece of the vehicle's history, and the owner's property.",
    fix="Write in the old_part column: handed to the client, kept with the vehicle, exchanged, or disposed of.",
    source="Part removal as an event of its own: CIDOC CRM E80 (PUB-B); common practice",
    **COMPLETE_BY_HANDOVER,
)
def old_part_unstated(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.lacks("old_part"):
            yield Raised(
                "parts.old-part-unstated",
                part.place.at("old_part"),
                said("It is not said where the old part of {part} went.", part=name(part)),
            )


@rule(
    "parts.kept-no-reason",
    asks="Does each part that was kept say why?",
    why="Keeping is a decision like replacing: because it is sound, original, or no longer to be had.",
    fix="Write the reason in the why column.",
    source="Preservation keeps the present condition: Charter of Turin, FIVA 2012 (PUB-B); common practice",
    **COMPLETE_BY_HANDOVER,
)
def kept_no_reason(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.kept and part.lacks("why"):
            yield Raised(
                "parts.kept-no-reason",
                part.place.at("why"),
                said("It is not said why {part} was kept.", part=name(part)),
            )


@rule(
    "parts.replaced-no-reason",
    asks="Does each replaced part say why it was replaced?",
    why="A collector asks of each original part that is gone why it could not stay.",
    fix="Write the reason in the why column: worn, cracked, missing, wrong for the year.",
    **QUERY_LATER,
)
def replaced_no_reason(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.lacks("why"):
            yield Raised(
                "parts.replaced-no-reason",
                part.place.at("why"),
                said("It is not said why {part} was replaced.", part=name(part)),
            )


@rule(
    "parts.no-approval",
    asks="Has each replaced part the client's approval, its own or that of its step?",
    why="An original part, once gone, does not come back; whether it goes is the client's decision.",
    fix="Write the approval's id in the approval column, or in approvals of the step; if there is none, ask for it.",
    **COMPLETE_BY_HANDOVER,
)
def no_approval(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        step = job.step(part.step) if part.step else None
        unreadable = "approval" in part.bad or (step is not None and "approvals" in step.bad)
        if part.replaced and not approvals_of(job, part) and not unreadable:
            yield Raised(
                "parts.no-approval",
                part.place.at("approval"),
                said("Nobody approved the replacement of {part}.", part=name(part)),
            )


@rule(
    "parts.approval-unknown",
    asks="Is the approval that a part line names in approvals.csv?",
    why="A pointer to nothing proves nothing.",
    fix="Correct the id in parts.csv, or add the approval to approvals.csv.",
    **STOP_AT_HANDOVER,
)
def approval_unknown(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.approval and part.approval not in job.approvals_by_id:
            yield Raised(
                "parts.approval-unknown",
                part.place.at("approval"),
                said(
                    "Part line {part} names approval {approval}, which is not in approvals.csv.",
                    part=name(part),
                    approval=part.approval,
                ),
            )


@rule(
    "parts.approval-declined",
    asks="Is each part line free of approvals that the client declined?",
    why="A part that the client refused must not be fitted, or not be charged.",
    fix="Correct the decision in approvals.csv or the approval in parts.csv, and settle it with the client.",
    **STOP_AT_HANDOVER,
)
def approval_declined(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        approval = job.approvals_by_id.get(part.approval)
        # A part may be kept just because the client declined its replacement.
        if approval is not None and approval.decision is Decision.DECLINED and not part.kept:
            yield Raised(
                "parts.approval-declined",
                part.place.at("approval"),
                said(
                    "Part line {part} rests on approval {approval} ({what}), which was declined.",
                    part=name(part),
                    approval=approval.id,
                    what=approval.what,
                ),
            )


@rule(
    "parts.approval-late",
    asks="Is the approval of each replaced part dated on or before the day it was fitted?",
    why="An approval given afterwards is not consent to the work.",
    fix="Correct the date of the approval or the day of fitting, or name the approval that came first.",
    **STOP_AT_HANDOVER,
)
def approval_late(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        approval = job.approvals_by_id.get(part.approval)
        if not part.replaced or approval is None or approval.on is None or part.fitted_on is None:
            continue
        if approval.decision is Decision.DECLINED or approval.on <= part.fitted_on or _step_is_late(job, part):
            continue
        yield Raised(
            "parts.approval-late",
            part.place.at("approval"),
            said(
                "Part {part} was fitted on {day}, before approval {approval} of {given}.",
                part=name(part),
                day=on_day(part.fitted_on),
                approval=approval.id,
                given=on_day(approval.on),
            ),
        )


def _step_is_late(job: Job, part: Part) -> bool:
    """True if the part's step rests on this approval too and started before it: that has a finding of its own."""
    step = job.step(part.step) if part.step else None
    if step is None or part.approval not in step.approvals or step.started is None or not step_span(job, step):
        return False
    given = [a.on for a in agreed(job, step.approvals) if a.on is not None]
    return bool(given) and day(step.started, zone_of(job)) < min(given)


@rule(
    "parts.no-quantity",
    asks="Does each replaced part say how many?",
    why="The count is part of the register, and line totals are computed from it.",
    fix="Write the number in the quantity column.",
    **QUERY_LATER,
)
def no_quantity(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.replaced and part.lacks("quantity"):
            yield Raised(
                "parts.no-quantity",
                part.place.at("quantity"),
                said("Replaced part {part} has no quantity.", part=name(part)),
            )


@rule(
    "parts.quantity-not-positive",
    asks="Is each quantity more than nothing?",
    why="A part line of none or of less than none is a slip; a part sent back has no line.",
    fix="Correct the quantity, or take the line out.",
    **STOP_AT_HANDOVER,
)
def quantity_not_positive(job: Job) -> Iterator[Raised]:
    for part in job.parts:
        if part.quantity is not None and part.quantity <= 0:
            yield Raised(
                "parts.quantity-not-positive",
                part.place.at("quantity"),
                said(
                    "Part line {part} has the quantity {quantity}; expected more than 0.",
                    part=name(part),
                    quantity=part.quantity,
                ),
            )


PARTS: tuple[Rule, ...] = (
    no_zone,
    zone_unknown,
    no_step,
    step_unknown,
    outside_step_zones,
    no_part_number,
    no_source,
    not_stated_by,
    used_no_donor,
    no_quantity,
    quantity_not_positive,
    old_part_unstated,
    kept_no_reason,
    replaced_no_reason,
    no_approval,
    approval_unknown,
    approval_declined,
    approval_late,
)
