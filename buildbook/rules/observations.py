"""Rules of observations: what was seen on the vehicle is photographed, graded, and ends in an outcome."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Observation
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.records.words import Operation, Outcome, Stage
from buildbook.rules.evidence import found_file, not_there, own, zone_fault, zone_of
from buildbook.rules.grades import (
    COMPLETE_BY_HANDOVER,
    ONLY_AT_HANDOVER,
    QUERY,
    QUERY_LATER,
    QUERY_ONLY_AT_HANDOVER,
    STOP_AT_HANDOVER,
)
from buildbook.rules.rule import Rule, rule

_GRADES = "Grades 0 to 5 after the form of ISO 4628-1 (MEM)"


def _name(observation: Observation) -> str:
    return own(observation.id, observation.what)


@rule(
    "observation.none",
    asks="Is the condition of the vehicle on arrival written down?",
    why="Without it nobody can show what was there before and what the work changed.",
    fix="Walk round the vehicle and write one row in condition.csv for each defect or mark; for a sound vehicle a "
    'single row with zone "whole" and grade 0.',
    source="A condition check on entry is among the procedures of Spectrum 5 (PUB-A, list of procedures); common "
    "practice",
    **STOP_AT_HANDOVER,
)
def none(job: Job) -> Iterator[Raised]:
    if not job.observations and "observations" not in job.bad:
        yield Raised("observation.none", Place("condition.csv"), said("No observation of the vehicle is recorded."))


@rule(
    "observation.zone-unknown",
    asks="Is the zone of each observation one that this vehicle has?",
    why="The condition is printed zone by zone; an unknown zone has no place on the plan.",
    fix="Write one of the zone names (docs/record.md) that the body of this vehicle has.",
    **STOP_AT_HANDOVER,
)
def zone_unknown(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.zone and (fault := zone_fault(job, seen.zone)):
            yield Raised(
                "observation.zone-unknown", seen.place.at("zone"),
                said("Observation {observation} names {fault}.", observation=_name(seen), fault=fault),
            )  # fmt: skip


@rule(
    "observation.no-grade",
    asks="Is each observation graded on arrival?",
    why="Only a grade in and a grade out show whether the work made it better.",
    fix="Write grade_in in condition.csv: 0 none, 1 very slight, 2 slight, 3 moderate, 4 considerable, 5 severe.",
    source=_GRADES,
    **QUERY,
)
def no_grade(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.lacks("grade_in"):
            yield Raised(
                "observation.no-grade", seen.place.at("grade_in"),
                said("Observation {observation} has no grade on arrival.", observation=_name(seen)),
            )  # fmt: skip


@rule(
    "observation.no-photo",
    asks="Is there a photo of each observation as it was found?",
    why="The photo of the state before is what the photo of the state after is compared with.",
    fix="Name a photo in the photos column of condition.csv, or file one in the before folder of a step, in a folder "
    "named by the zone.",
    source="Guidance on appraisal of collectors' cars (PUB-C): dated photos of each angle; common practice",
    **QUERY,
)
def no_photo(job: Job) -> Iterator[Raised]:
    shown = set()
    for photo in job.photos:
        step = job.step(photo.step) if photo.step else None
        at_intake = step is not None and step.operation is Operation.INTAKE
        if photo.stage is Stage.BEFORE or at_intake:
            shown.add(zone_of(photo, step))
    for seen in job.observations:
        if seen.lacks("photos") and seen.zone not in shown:
            yield Raised(
                "observation.no-photo", seen.place.at("photos"),
                said(
                    'Observation {observation} names no photo, and no photo before the work shows zone "{zone}".',
                    observation=_name(seen), zone=seen.zone,
                ),
            )  # fmt: skip


@rule(
    "observation.photo-missing",
    asks="Does each photo that an observation names exist?",
    why="A named photo that is not there is a claim without its evidence.",
    fix="File the photo where condition.csv says, or write the path it really has, relative to the job folder; several "
    "are separated by |.",
    **STOP_AT_HANDOVER,
)
def photo_missing(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        for name in seen.photos:
            if found_file(job, name) is None:
                yield Raised(
                    "observation.photo-missing", seen.place.at("photos"),
                    said(
                        "Observation {observation} names photo {photo}, {why}.",
                        observation=_name(seen), photo=name, why=not_there(job, name),
                    ),
                )  # fmt: skip


@rule(
    "observation.no-outcome",
    asks="Does each observation end in an outcome?",
    why="What was seen on arrival was either corrected or accepted as it is; a third thing would be forgotten.",
    fix='Write outcome in condition.csv: "corrected" with the step or part line in outcome_refs, or "accepted" with '
    "the approval.",
    **ONLY_AT_HANDOVER,
)
def no_outcome(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.lacks("outcome"):
            yield Raised(
                "observation.no-outcome", seen.place.at("outcome"),
                said("Observation {observation} ({what}) has no outcome.", observation=_name(seen), what=seen.what),
            )  # fmt: skip


@rule(
    "observation.unknown-outcome-ref",
    asks="Is each step, part line or approval that an outcome names in the record?",
    why="An outcome points at its evidence; a pointer to nothing proves nothing.",
    fix="Write in outcome_refs a step (its number or folder name), a part line's id or an approval's id; several are "
    "separated by |.",
    **STOP_AT_HANDOVER,
)
def unknown_outcome_ref(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        for ref in seen.outcome_refs:
            if job.step(ref) is None and ref not in job.parts_by_id and ref not in job.approvals_by_id:
                yield Raised(
                    "observation.unknown-outcome-ref", seen.place.at("outcome_refs"),
                    said(
                        "Observation {observation} names {ref}, which is no step, part line or approval.",
                        observation=_name(seen), ref=ref,
                    ),
                )  # fmt: skip


@rule(
    "observation.corrected-by-nothing",
    asks="Does each corrected observation name the step or part line that corrected it?",
    why='"Corrected" is a claim; the step or the part is its evidence.',
    fix="Write the step or part line in outcome_refs of that row of condition.csv.",
    **COMPLETE_BY_HANDOVER,
)
def corrected_by_nothing(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.outcome is not Outcome.CORRECTED or "outcome_refs" in seen.bad or _points_nowhere(job, seen):
            continue
        if not any(job.step(ref) or ref in job.parts_by_id for ref in seen.outcome_refs):
            yield Raised(
                "observation.corrected-by-nothing", seen.place.at("outcome_refs"),
                said(
                    "Observation {observation} is corrected, but names no step and no part line.",
                    observation=_name(seen),
                ),
            )  # fmt: skip


@rule(
    "observation.accepted-without-approval",
    asks="Does each observation that was left as it is name the client's approval?",
    why="Leaving a defect is the client's decision, not the workshop's.",
    fix="Write the approval's id in outcome_refs of that row; if there is none yet, ask the client and add the answer "
    "to approvals.csv.",
    **COMPLETE_BY_HANDOVER,
)
def accepted_without_approval(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.outcome is not Outcome.ACCEPTED or "outcome_refs" in seen.bad or _points_nowhere(job, seen):
            continue
        if not any(ref in job.approvals_by_id for ref in seen.outcome_refs):
            yield Raised(
                "observation.accepted-without-approval", seen.place.at("outcome_refs"),
                said("Observation {observation} is accepted as it is, but names no approval.", observation=_name(seen)),
            )  # fmt: skip


def _points_nowhere(job: Job, seen: Observation) -> bool:
    """True if a named outcome is unknown: that has a finding of its own."""
    return any(
        job.step(ref) is None and ref not in job.parts_by_id and ref not in job.approvals_by_id
        for ref in seen.outcome_refs
    )


@rule(
    "observation.no-grade-out",
    asks="Is each observation graded again on leaving?",
    why="Only a grade in and a grade out show whether the work made it better.",
    fix="Look at the vehicle once more and write grade_out in condition.csv, 0 to 5.",
    source=_GRADES,
    **QUERY_ONLY_AT_HANDOVER,
)
def no_grade_out(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.grade_in is not None and seen.lacks("grade_out"):
            yield Raised(
                "observation.no-grade-out", seen.place.at("grade_out"),
                said(
                    "Observation {observation} came in with grade {arrival} and has no grade on leaving.",
                    observation=_name(seen), arrival=seen.grade_in,
                ),
            )  # fmt: skip


@rule(
    "observation.grade-worse",
    asks="Is each observation on leaving no worse than on arrival?",
    why="The vehicle should not leave in a worse state; if it does, it is said and explained.",
    fix="Correct the grades, or explain in the note of that row and in an [[open_items]] entry of job.toml.",
    source=_GRADES,
    **QUERY_LATER,
)
def grade_worse(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.grade_in is not None and seen.grade_out is not None and seen.grade_out > seen.grade_in:
            yield Raised(
                "observation.grade-worse", seen.place.at("grade_out"),
                said(
                    "Observation {observation} came in with grade {arrival} and leaves with {leaving}.",
                    observation=_name(seen), arrival=seen.grade_in, leaving=seen.grade_out,
                ),
            )  # fmt: skip


@rule(
    "observation.not-better",
    asks="Has each corrected observation a better grade on leaving?",
    why="A defect that was corrected and is as bad as before was not corrected.",
    fix='Correct grade_out, or write outcome "accepted" with the approval.',
    source=_GRADES,
    **QUERY_LATER,
)
def not_better(job: Job) -> Iterator[Raised]:
    for seen in job.observations:
        if seen.outcome is Outcome.CORRECTED and seen.grade_in and seen.grade_out == seen.grade_in:
            yield Raised(
                "observation.not-better", seen.place.at("grade_out"),
                said(
                    "Observation {observation} is corrected, but its grade is {leaving} as on arrival.",
                    observation=_name(seen), leaving=seen.grade_out,
                ),
            )  # fmt: skip


OBSERVATIONS: tuple[Rule, ...] = (
    none,
    zone_unknown,
    no_grade,
    no_photo,
    photo_missing,
    no_outcome,
    unknown_outcome_ref,
    corrected_by_nothing,
    accepted_without_approval,
    no_grade_out,
    grade_worse,
    not_better,
)
