"""Rules of photos and their capture times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.said import day, said
from buildbook.records.words import Stage
from buildbook.rules.captured import UNKNOWN_CLOCK, Captured, absurd, camera_of, captured, due_span, outside
from buildbook.rules.grades import NOTE, QUERY, STOP_AT_HANDOVER
from buildbook.rules.moments import Span
from buildbook.rules.rule import Rule, rule

_EXIF = "EXIF DateTimeOriginal and OffsetTimeOriginal (CIPA DC-008, from memory); the comparison is common practice"


@rule(
    "photos.outside-step",
    asks="Was each photo taken within the dates of its step?",
    why="A photo of another day shows another state, or lies in the wrong folder.",
    fix="Move the photo to its step, correct the step's dates, or, if the camera's clock was wrong, describe the "
    "camera under [[cameras]] in job.toml.",
    source=_EXIF, **STOP_AT_HANDOVER,
)  # fmt: skip
def outside_step(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for photo in job.photos_of(step):
            when = captured(job, photo)
            if when is not None and outside(job, step, photo):
                says = _taken(when, step.id, due_span(job, step))
                yield Raised("photos.outside-step", Place(photo.path), says)


def _taken(when: Captured, step: str, ran: Span | None) -> str:
    """When a photo was taken, how far that can be trusted, and when its step ran."""
    taken = day(when.moment)
    if not when.slack:
        return said("Taken {taken}; step {step} ran {span}.", taken=taken, step=step, span=str(ran))
    if when.slack < UNKNOWN_CLOCK:
        return said(
            "Taken {taken}, give or take {n} min by its photos of a clock card; step {step} ran {span}.",
            taken=taken, n=-(-when.slack.seconds // 60), step=step, span=str(ran),
        )  # fmt: skip
    return said(
        "Taken {taken}, give or take {n} h as the camera's clock is not known; step {step} ran {span}.",
        taken=taken, n=-(-int(when.slack.total_seconds()) // 3600), step=step, span=str(ran),
    )  # fmt: skip


@rule(
    "photos.no-time",
    asks="Do the photos carry their capture time?",
    why="Without it only the folder says when a photo was taken.",
    fix="Put in the originals from the camera if they are still there, and set the camera's clock.",
    source=_EXIF, **NOTE,
)  # fmt: skip
def no_time(job: Job) -> Iterator[Raised]:
    by_step: dict[str, list[Photo]] = defaultdict(list)
    for photo in job.photos:
        facts = photo.facts
        if photo.step and photo.shown and facts.has_exif and facts.taken is None and not facts.taken_problem:
            by_step[photo.step].append(photo)
    for step, found in by_step.items():
        total = sum(p.step == step for p in job.photos)
        yield Raised(
            "photos.no-time", Place(found[0].path),
            said(
                "{n} of {total} photos of step {step} carry no capture time, this one first.",
                n=len(found), total=total, step=step,
            ),
            tuple(p.path for p in found[1:]),
        )  # fmt: skip


@rule(
    "photos.absurd-time",
    asks="Can each photo's capture time be true?",
    why="A time that cannot be shows a clock that was never set; it proves nothing and may mislead.",
    fix="If the clock was wrong, describe the camera under [[cameras]] in job.toml; the photo itself stays as it is.",
    source=_EXIF, **QUERY,
)  # fmt: skip
def absurd_time(job: Job) -> Iterator[Raised]:
    for photo in job.photos:
        if photo.shown and (says := absurd(job, photo)):
            yield Raised("photos.absurd-time", Place(photo.path), says)


@rule(
    "photos.camera-unused",
    asks="Does each camera described in job.toml stand behind a photo?",
    why="A clock error recorded for a camera that no photo names corrects nothing.",
    fix="Write model as the photos carry it; the index of photos in the dossier prints it. Keep one entry for each "
    "camera.",
    source="EXIF Model", **QUERY,
)  # fmt: skip
def camera_unused(job: Job) -> Iterator[Raised]:
    used = [camera_of(job, photo) for photo in job.photos]
    described: set[tuple[str, str]] = set()
    for camera in job.cameras:
        body = (camera.model.strip().casefold(), camera.serial.strip())
        if body in described:
            says = said('The camera "{model}" is described more than once; the first entry counts.', model=camera.model)
            yield Raised("photos.camera-unused", camera.place.at("model"), says)
        elif not any(camera is u for u in used):
            says = said('No photo names the camera "{model}".', model=camera.model)
            yield Raised("photos.camera-unused", camera.place.at("model"), says)
        described.add(body)


@rule(
    "photos.after-before-before",
    asks="Was each after photo taken later than the photos of the state before it?",
    why="In the wrong order the pair shows the work undone.",
    fix="Look at both; swap them if they lie in each other's folder, or mend the pair.",
    source=_EXIF, **STOP_AT_HANDOVER,
)  # fmt: skip
def after_before_before(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    for step in job.steps:
        timed = [(p, t) for p in job.photos_of(step) if (t := captured(job, p)) and not outside(job, step, p)]
        befores = [(p, t) for p, t in timed if p.stage is Stage.BEFORE]
        afters = [(p, t) for p, t in timed if p.stage is Stage.AFTER]
        for photo, when in afters:
            if befores and all(when.surely_before(t) for _, t in befores):
                told.add(photo.path)
                yield _wrong_order(photo, when, *befores[0])
        sound = [(p, t) for p, t in afters if p.path not in told]
        for photo, when in befores:
            if sound and all(t.surely_before(when) for _, t in sound):
                told.add(photo.path)
                yield _wrong_order(*sound[0], photo, when)
    yield from _pairs(job, told)


def _pairs(job: Job, told: set[str]) -> Iterator[Raised]:
    """Stated pairs, where neither photo has been named already."""
    stated = [(pair, f"steps/{step.id}/") for step in job.steps for pair in step.pairs]
    for pair, root in [*stated, *((pair, "") for pair in job.pairs)]:
        before, after = job.photos_by_path.get(root + pair.before), job.photos_by_path.get(root + pair.after)
        if before is None or after is None or {before.path, after.path} & told or swapped(before, after):
            continue
        if any((step := job.step(p.step)) is not None and outside(job, step, p) for p in (before, after)):
            continue
        was, then = captured(job, before), captured(job, after)
        if was and then and then.surely_before(was):
            yield _wrong_order(after, then, before, was)


def swapped(before: Photo, after: Photo) -> bool:
    """Whether a pair names, as before, a photo filed under after, and the other way round."""
    return before.stage is Stage.AFTER and after.stage is Stage.BEFORE and before.step == after.step


def _wrong_order(after: Photo, then: Captured, before: Photo, was: Captured) -> Raised:
    return Raised(
        "photos.after-before-before", Place(after.path),
        said(
            "Taken {taken}, before the photo of the state before it, {file}, {earlier}.",
            taken=day(then.moment), file=before.path, earlier=day(was.moment),
        ),
        (before.path,),
    )  # fmt: skip


PHOTOS_TIME: tuple[Rule, ...] = (
    outside_step, no_time, absurd_time, camera_unused, after_before_before,
)  # fmt: skip
