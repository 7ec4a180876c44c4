"""Rules of people and hazards: who did it, who checked it, and what to mind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.records.cautions import CAUTIONS_OF_GROUP
from buildbook.records.finding import Raised
from buildbook.records.job import Job, Step
from buildbook.records.said import said, word
from buildbook.records.words import MaterialKind, Operation
from buildbook.rules.evidence import due, listed
from buildbook.rules.grades import COMPLETE_BY_HANDOVER, NOTE, QUERY, STOP_AT_HANDOVER
from buildbook.rules.rule import Rule, rule

_CRITICAL = "Common practice, no source; the maker's manual and the law of the place go first"
_PAINTING = frozenset({Operation.PRIME, Operation.PAINT})
# Groups of zones whose work a second person checks, as sentences name them.
_GROUPS = {
    "brake": said("brake"), "steering": said("steering"), "suspension": said("suspension"), "fuel": said("fuel"),
    "restraint": said("restraint"), "lifting": said("lifting"), "wheel": said("wheel"),
}  # fmt: skip
_TWO_PACK = frozenset({MaterialKind.PRIMER, MaterialKind.PAINT, MaterialKind.CLEAR_COAT})


@rule(
    "people.unknown",
    asks="Is everyone who did, checked or measured something in job.toml?",
    why="Initials that nobody can resolve name nobody.",
    fix="Add a [[people]] entry with id and name to job.toml, or correct the initials.",
    **STOP_AT_HANDOVER,
)
def unknown(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for field, ids in (("done_by", step.done_by), ("checked_by", step.checked_by)):
            for person in ids:
                if person not in job.people_by_id:
                    yield Raised(
                        "people.unknown",
                        step.place.at(field),
                        said(
                            'Step {step} names "{person}" in {field}, who is not among the people of job.toml.',
                            step=step.id,
                            person=person,
                            field=field,
                        ),
                    )
    for reading in job.readings:
        if reading.by and reading.by not in job.people_by_id:
            yield Raised(
                "people.unknown",
                reading.place.at("by"),
                said(
                    'Reading {reading} was taken by "{person}", who is not among the people of job.toml.',
                    reading=reading.id or reading.kind,
                    person=reading.by,
                ),
            )


@rule(
    "people.statement-unknown",
    asks="Is whoever states or approves something known: one of the people, the client, the workshop, the supplier?",
    why="A statement is worth what the one who makes it is worth.",
    fix="Write the initials or the name as in job.toml, or the supplier's name as in that line; add the person as a "
    "[[people]] entry with the role, e.g. acts for the client.",
    **QUERY,
)
def statement_unknown(job: Job) -> Iterator[Raised]:
    known = {n.casefold() for p in job.people for n in (p.id, p.name)}
    known |= {job.client.name.casefold(), job.workshop.name.casefold(), "client", "owner", "workshop"}
    for approval in job.approvals:
        if approval.given_by and approval.given_by.casefold() not in known:
            yield Raised(
                "people.statement-unknown",
                approval.place.at("given_by"),
                said(
                    'Approval {approval} was given by "{person}", who is neither the client nor among the people of '
                    "job.toml.",
                    approval=approval.id,
                    person=approval.given_by,
                ),
            )
    for part in job.parts:
        if part.stated_by and part.stated_by.casefold() not in known | {part.supplier.casefold(), "supplier"}:
            yield Raised(
                "people.statement-unknown",
                part.place.at("stated_by"),
                said(
                    'The source of part {part} is stated by "{person}", who is neither the client, the supplier nor '
                    "among the people of job.toml.",
                    part=part.id,
                    person=part.stated_by,
                ),
            )


@rule(
    "people.no-doer",
    asks="Does each step say who did it?",
    why="Work without a name behind it is a claim without evidence.",
    fix='Write done_by = ["..."] in step.toml, with the initials of job.toml.',
    **COMPLETE_BY_HANDOVER,
)
def no_doer(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if due(job, step) and step.lacks("done_by"):
            yield Raised(
                "people.no-doer", step.place.at("done_by"), said("Step {step} does not say who did it.", step=step.id)
            )


def _in_words(groups: Iterable[str]) -> str:
    return listed(_GROUPS[group] for group in sorted(groups))


def _critical(job: Job) -> Iterator[tuple[Step, str]]:
    """Safety-critical steps with their groups in words."""
    for step in job.steps:
        if step.critical_groups:
            yield step, _in_words(step.critical_groups)


@rule(
    "people.critical-unchecked",
    asks="Was each safety-critical step checked by somebody?",
    why="Brakes, steering, suspension, fuel, restraints, wheels and lifting points: a mistake there hurts people.",
    fix='Have a second person check the work, and write checked_by = ["..."] in step.toml.',
    source=_CRITICAL,
    **COMPLETE_BY_HANDOVER,
)
def critical_unchecked(job: Job) -> Iterator[Raised]:
    for step, groups in _critical(job):
        if due(job, step) and step.lacks("checked_by"):
            yield Raised(
                "people.critical-unchecked",
                step.place.at("checked_by"),
                said("Step {step} is safety-critical ({groups}) and nobody checked it.", step=step.id, groups=groups),
            )


@rule(
    "people.critical-self-checked",
    asks="Was safety-critical work checked by a second person, not only by those who did it?",
    why="Nobody sees their own mistake.",
    fix="Have the work checked by somebody who did not do it, and write who in checked_by.",
    source=_CRITICAL,
    **COMPLETE_BY_HANDOVER,
)
def critical_self_checked(job: Job) -> Iterator[Raised]:
    for step, groups in _critical(job):
        if step.checked_by and step.done_by and set(step.checked_by) <= set(step.done_by):
            yield Raised(
                "people.critical-self-checked",
                step.place.at("checked_by"),
                said(
                    "Step {step} is safety-critical ({groups}): done by {done_by}, checked by {checked_by}; expected a "
                    "second person.",
                    step=step.id,
                    groups=groups,
                    done_by=listed(step.done_by),
                    checked_by=listed(step.checked_by),
                ),
            )


@rule(
    "people.critical-no-caution",
    asks="Does each safety-critical step name the cautions of what it works on?",
    why="Whoever reads the record and does the same work again is warned in the same place.",
    fix='Write cautions = ["..."] in step.toml, one for each group: '
    + "; ".join(f"{group}: {listed(sorted(names))}" for group, names in CAUTIONS_OF_GROUP.items())
    + ".",
    source=_CRITICAL,
    **STOP_AT_HANDOVER,
)
def critical_no_caution(job: Job) -> Iterator[Raised]:
    for step, _ in _critical(job):
        open_groups = [g for g in sorted(step.critical_groups) if not CAUTIONS_OF_GROUP[g] & set(step.cautions)]
        if open_groups and "cautions" not in step.bad:
            wanted = listed(sorted(n for g in open_groups for n in CAUTIONS_OF_GROUP[g]))
            yield Raised(
                "people.critical-no-caution",
                step.place.at("cautions"),
                said(
                    "Step {step} works on {groups} without its caution: got {cautions}, expected {wanted}.",
                    step=step.id,
                    groups=_in_words(open_groups),
                    cautions=listed(step.cautions) if step.cautions else said("none"),
                    wanted=wanted,
                ),
            )


@rule(
    "people.painting-no-caution",
    asks="Does a step that sprays primer, paint or clear coat name the caution of two-pack paint or of solvents?",
    why="Isocyanates in hardeners make people ill for life; solvents burn.",
    fix='Write cautions = ["isocyanates"] in step.toml where a hardener is used, else ["solvents"].',
    source="HSE pages on spraying two-pack paint (PUB-A); that it is named in the step is common practice",
    **QUERY,
)
def painting_no_caution(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if (
            step.operation not in _PAINTING
            or "cautions" in step.bad
            or {"isocyanates", "solvents"} & set(step.cautions)
        ):
            continue
        used = [m for m in job.materials if m.kind in _TWO_PACK and any(job.step(ref) is step for ref in m.steps)]
        says = said(
            "Step {step} ({operation}) names neither isocyanates nor solvents among its cautions.",
            step=step.id, operation=word(step.operation),
        )  # fmt: skip
        if used:
            says = said(
                "Step {step} ({operation} with {materials}) names neither isocyanates nor solvents among its cautions.",
                step=step.id, operation=word(step.operation), materials=listed(m.name or m.id for m in used),
            )  # fmt: skip
        yield Raised(
            "people.painting-no-caution",
            step.place.at("cautions"),
            says,
        )


@rule(
    "people.checker-unqualified",
    asks="Has at least one of those who checked a safety-critical step a qualification on record?",
    why="A reader cannot ask the checker; the record says why the check counts.",
    fix="Write qualification in that person's [[people]] entry of job.toml.",
    source=_CRITICAL,
    **NOTE,
)
def checker_unqualified(job: Job) -> Iterator[Raised]:
    for step, groups in _critical(job):
        checkers = [job.people_by_id[i] for i in step.checked_by if i in job.people_by_id]
        if checkers and all(person.lacks("qualification") for person in checkers):
            yield Raised(
                "people.checker-unqualified",
                checkers[0].place.at("qualification"),
                said(
                    "{people} checked step {step} ({groups}); no qualification is on record.",
                    people=listed(p.name or p.id for p in checkers),
                    step=step.id,
                    groups=groups,
                ),
            )


PEOPLE: tuple[Rule, ...] = (
    unknown,
    statement_unknown,
    no_doer,
    critical_unchecked,
    critical_self_checked,
    critical_no_caution,
    painting_no_caution,
    checker_unqualified,
)
