"""Marker cards to print: which cards a job needs, and what stands on each, as a neutral model."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from buildbook.dossier.language import speaking
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.wording import _
from buildbook.errors import InputUnreadable, WrongUsage
from buildbook.records.card import Card, code_of
from buildbook.records.job import Job, Step
from buildbook.records.words import Operation, Stage
from buildbook.rules.moments import zone_of

STAGES = tuple(Stage)
_STAGES_OF = {Operation.INTAKE: (Stage.BEFORE,), Operation.HANDOVER: (Stage.AFTER,)}


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFace:
    """One card. code: text of its QR code. stage: as printed; place: from 0, which of the three stages it is."""

    code: str
    job: str
    number: str
    title: str
    stage: str
    place: int
    zone: str
    foot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSet:
    """All cards of one print. printed: when, in the job's time zone."""

    title: str
    workshop: str
    language: str
    paper: str
    printed: datetime
    faces: tuple[CardFace, ...]


def card_set(
    job: Job, printed: datetime, *, steps: Sequence[str] = (), stages: Sequence[Stage] = (), zones: bool = False
) -> CardSet:
    """The cards of a job. printed: an instant. steps: only these (folder names or numbers); stages: only these.

    A card names the zone if its step has just one; zones: a further card for each zone of the others.
    Raises WrongUsage for a step that is not there or shares its number, InputUnreadable without a job number.
    """
    with speaking(job.language) as voice:
        return _card_set(job, printed, steps, stages, zones, voice.tag)


def _card_set(
    job: Job, printed: datetime, steps: Sequence[str], stages: Sequence[Stage], zones: bool, language: str
) -> CardSet:
    if not job.number.strip():
        raise InputUnreadable("The job has no number, so no card could name it.", "Write job.number in job.toml.")
    printed = printed.astimezone(zone_of(job))
    wanted = [_named(job, name) for name in steps] if steps else list(job.steps)
    count = Counter(step.number for step in job.steps if step.number is not None)
    faces: list[CardFace] = []
    for step in wanted:
        if step.number is None or count[step.number] > 1:
            raise WrongUsage(
                f"The step {step.id} has no number of its own, so no card could name it.",
                "Name its folder number-name, e.g. 040-front-brakes, with a number that no other step has.",
            )
        for stage in _STAGES_OF.get(step.operation, STAGES) if step.operation and not stages else stages or STAGES:
            faces += [_face(job, step, stage, zone, printed) for zone in _zones(step, zones)]
    if not faces:
        raise InputUnreadable("The job has no step yet, so there is no card to print.", "Make its folders in steps/.")
    return CardSet(
        title=_("Marker cards {job}").format(job=job.number),
        workshop=job.workshop.name,
        language=language,
        paper=job.paper,
        printed=printed,
        faces=tuple(faces),
    )


def _named(job: Job, name: str) -> Step:
    step = job.step(name)
    if step is None:
        known = ", ".join(s.id for s in job.steps) or "none"
        raise WrongUsage(f"There is no step {name!r}.", f"Steps of this job: {known}.")
    return step


def _zones(step: Step, each: bool) -> tuple[str, ...]:
    if len(step.zones) == 1:
        return step.zones
    return ("", *step.zones) if each else ("",)


def _face(job: Job, step: Step, stage: Stage, zone: str, printed: datetime) -> CardFace:
    card = Card(job=job.number, step=step.number, stage=stage, zone=zone, made=printed)
    return CardFace(
        code=code_of(card),
        job=job.number,
        number=f"{step.number:03d}",
        title=step.title or step.id,
        stage=term(stage),
        place=STAGES.index(stage),
        zone=zone_title(zone) if zone else "",
        foot=_("Printed {when}").format(when=f"{printed:%Y-%m-%d %H:%M}"),
    )
