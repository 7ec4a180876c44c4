"""Rules of photos: that there are some, that they can be printed, and where they are filed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from buildbook.records.finding import Grade, Raised
from buildbook.records.job import Job, Step
from buildbook.records.photo import Photo
from buildbook.records.place import Place
from buildbook.records.said import said, some_of, tallied
from buildbook.records.words import Stage
from buildbook.rules.grades import (
    COMPLETE_BY_HANDOVER,
    NOTE,
    QUERY,
    STOP_AT_HANDOVER,
    Grades,
)
from buildbook.rules.moments import LOOKING_OR_TESTING
from buildbook.rules.photos_cards import PHOTOS_CARDS
from buildbook.rules.photos_likeness import PHOTOS_LIKENESS
from buildbook.rules.photos_named import PHOTOS_NAMED
from buildbook.rules.photos_quality import PHOTOS_QUALITY
from buildbook.rules.photos_time import PHOTOS_TIME
from buildbook.rules.rule import Rule, rule

# Long edge in pixels below which a print 85 mm wide falls under 300 dots per inch: 85 / 25.4 x 300 = 1004.
PRINT_EDGE = 1000
NOTE_FILE = "ABOUT.txt"  # the one-line note that a new job folder is given
_NAMES = {
    "JPEG": (".jpg", ".jpeg", ".jpe", ".jfif"), "MPO": (".jpg", ".jpeg", ".mpo"), "PNG": (".png",),
    "TIFF": (".tif", ".tiff"), "WEBP": (".webp",), "HEIF": (".heic", ".heif", ".hif"),
    "HEIC": (".heic", ".heif", ".hif"), "AVIF": (".avif",), "GIF": (".gif",), "BMP": (".bmp", ".dib"),
}  # fmt: skip
_INBOX: Grades = {"intake": Grade.NOTE, "progress": Grade.QUERY, "handover": Grade.STOP}


def _stage(job: Job, step: Step, stage: Stage) -> list[Photo]:
    return [p for p in job.photos_of(step) if p.stage is stage]


def _explained(step: Step, field: str) -> bool:
    return bool(getattr(step, field)) or field in step.bad


@rule(
    "photos.step-without-photos",
    asks="Is there at least one photo of each step?",
    why="A step without a picture rests on words alone.",
    fix="Put photos into the step's before, during and after folders, or say in step.toml why there are none "
    '(no_before = "...", no_after = "...").',
    **COMPLETE_BY_HANDOVER,
)  # fmt: skip
def step_without_photos(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        before, after = _explained(step, "no_before"), _explained(step, "no_after")
        enough = (before or after) if step.operation in LOOKING_OR_TESTING else (before and after)
        if step.started and not job.photos_of(step) and not enough:
            yield Raised(
                "photos.step-without-photos", step.place, said("Step {step} has no photo at all.", step=step.id)
            )


@rule(
    "photos.none-before",
    asks="Does each step of work have a photo of the state before it?",
    why="Without the state before, the state after proves nothing; it cannot be taken later.",
    fix="Put the photo into the step's before folder, or say in step.toml why there is none: no_before = \"...\".",
    **COMPLETE_BY_HANDOVER,
)  # fmt: skip
def none_before(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.operation in LOOKING_OR_TESTING or not step.started or not job.photos_of(step):
            continue
        if not _stage(job, step, Stage.BEFORE) and not _explained(step, "no_before"):
            yield Raised(
                "photos.none-before", step.place, said("Step {step} has no photo of the state before.", step=step.id)
            )


@rule(
    "photos.none-after",
    asks="Does each finished step of work have a photo of its result?",
    why="The dossier shows what the work changed; without it there is only a claim.",
    fix="Put the photo into the step's after folder, or say in step.toml why there is none: no_after = \"...\".",
    **COMPLETE_BY_HANDOVER,
)  # fmt: skip
def none_after(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if step.operation in LOOKING_OR_TESTING or not step.finished or not job.photos_of(step):
            continue
        if not _stage(job, step, Stage.AFTER) and not _explained(step, "no_after"):
            yield Raised("photos.none-after", step.place, said("Step {step} has no photo of its result.", step=step.id))


@rule(
    "photos.unreadable",
    asks="Can each picture be opened?",
    why="A damaged file looks like evidence in a list and shows nothing.",
    fix="Save it as what the finding asks for; if it is damaged, copy it again from the camera under the same name; if "
    "it is lost, take the file away and say so.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def unreadable(job: Job) -> Iterator[Raised]:
    for photo in job.photos:
        if not photo.shown:
            yield Raised(
                "photos.unreadable",
                Place(photo.path),
                said("The picture cannot be shown: {problem}", problem=photo.facts.problem),
            )


@rule(
    "photos.too-small",
    asks="Is each photo big enough to print?",
    why="Below about 1,000 pixels a print of 85 mm shows dots instead of detail, and it is never blown up.",
    fix="Put in the original from the camera; messengers and previews make small copies.",
    source="300 dots per inch at 85 mm is 1,004 pixels, by arithmetic; the 300 is common practice, no source",
    **QUERY,
)  # fmt: skip
def too_small(job: Job) -> Iterator[Raised]:
    for photo in job.photos:
        edge = max(photo.facts.width, photo.facts.height)
        if photo.shown and edge < PRINT_EDGE:
            yield Raised(
                "photos.too-small", Place(photo.path),
                said(
                    "{width} x {height} pixels; the long edge should have at least {edge}.",
                    width=photo.facts.width, height=photo.facts.height, edge=PRINT_EDGE,
                ),
            )  # fmt: skip


@rule(
    "photos.wrong-format-name",
    asks="Does each photo's name end as its content asks?",
    why="A picture named for another format will not open in some programs, today or in twenty years.",
    fix="Rename the file to the ending of its real format. The content needs no change.",
    **QUERY,
)  # fmt: skip
def wrong_format_name(job: Job) -> Iterator[Raised]:
    for photo in job.photos:
        endings = _NAMES.get(photo.facts.format.upper())
        ending = PurePosixPath(photo.path).suffix.lower()
        if photo.shown and endings and ending not in endings:
            says = said(
                "The content is {format}, the name ends in {ending}; expected {expected}.",
                format=photo.facts.format, ending=ending, expected=endings[0],
            )  # fmt: skip
            if not ending:
                says = said(
                    "The content is {format}, the name ends in nothing; expected {expected}.",
                    format=photo.facts.format, expected=endings[0],
                )  # fmt: skip
            yield Raised("photos.wrong-format-name", Place(photo.path), says)


@rule(
    "photos.inbox-not-empty",
    asks="Is every photo filed?",
    why="A photo left in the inbox belongs to no step and proves nothing.",
    fix="Move each photo into the before, during or after folder of its step, or out of the job folder.",
    **_INBOX,
)  # fmt: skip
def inbox_not_empty(job: Job) -> Iterator[Raised]:
    left = [f.path for f in job.inbox if PurePosixPath(f.path).name != NOTE_FILE]
    if left:
        names = some_of([PurePosixPath(path).name for path in left])
        says = tallied(
            "1 file waits in the inbox: {names}.", "{n} files wait in the inbox: {names}.", len(left), names=names
        )
        yield Raised("photos.inbox-not-empty", Place("inbox"), says)


@rule(
    "photos.has-location",
    asks="Do the photos carry the place where they were taken?",
    why="The dossier leaves it out, but the originals keep it: who gets the archive learns where the vehicle stands.",
    fix="Nothing, if client and workshop agree; else switch off location in the camera for the next job.",
    **NOTE,
)  # fmt: skip
def has_location(job: Job) -> Iterator[Raised]:
    found = [p.path for p in job.photos if p.facts.has_gps]
    if found:
        says = tallied("1 photo carries its place of capture.", "{n} photos carry their place of capture.", len(found))
        yield Raised("photos.has-location", Place(found[0]), says, tuple(found[1:]))


PHOTOS: tuple[Rule, ...] = (
    step_without_photos, none_before, none_after, unreadable, too_small, wrong_format_name, inbox_not_empty,
    has_location, *PHOTOS_LIKENESS, *PHOTOS_QUALITY, *PHOTOS_TIME, *PHOTOS_CARDS, *PHOTOS_NAMED,
)  # fmt: skip
