"""Hints about the quality and the origin of photos: blurred, too dark, burnt out, not from a camera, edited."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.photo import Looks, Photo
from buildbook.records.place import Place
from buildbook.records.said import day, figure, said, sentences
from buildbook.rules.evidence import listed
from buildbook.rules.grades import QUERY
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import number

# A blurred picture keeps its coarse edges and loses the fine ones. Where even the coarse ones are faint, it may be
# sharp and show a plain panel: nothing is said. Common practice, no source; measured in docs/benchmarks.md.
FINE_OF_COARSE, ROUNDING = 0.06, 1.5  # whole steps of brightness leave a little fine variance in any picture
COARSE_AT_LEAST = 40.0
WRITTEN_LATER = timedelta(minutes=1)  # by then a camera has written its file
_EXIF: Final = (
    "EXIF DateTime, DateTimeOriginal and Software (CIPA DC-008, from memory); the comparison is common practice"
)


def _looked_at(job: Job) -> Iterator[tuple[Photo, Looks]]:
    """Photos of steps. Scanned papers among the documents are as light and as plain as paper is."""
    yield from ((p, p.facts.looks) for p in job.photos if p.step and p.shown and p.facts.looks is not None)


def _like_a_screenshot(photo: Photo) -> bool:
    """Its white ground is no fault of the light; that it is none of a camera's is asked about."""
    return not photo.facts.has_exif and photo.facts.format in ("PNG", "WEBP")


@rule(
    "photos.blurred",
    asks="Is each photo sharp somewhere?",
    why="What cannot be made out proves nothing, and cannot be taken again once the state has changed.",
    fix="Take it again while the state is still there; if it is not, say so in a caption.",
    source="Variance of the Laplacian of the sharpest of 16 tiles, at 400 pixels (setting photo_blur_below), against "
    "that at 100 pixels; common practice, no source",
    **QUERY,
)  # fmt: skip
def blurred(job: Job) -> Iterator[Raised]:
    least = float(number(job, "photo_blur_below"))
    for photo, looks in _looked_at(job):
        if looks.coarse >= COARSE_AT_LEAST and looks.fine < min(least, FINE_OF_COARSE * looks.coarse + ROUNDING):
            yield Raised(
                "photos.blurred", Place(photo.path),
                said(
                    "It looks blurred: sharpness {sharpness}, asked for from {least}.",
                    sharpness=figure(looks.fine, ".0f"), least=figure(least, ".0f"),
                ),
            )  # fmt: skip


@rule(
    "photos.too-dark",
    asks="Is each photo light enough to make something out?",
    why="In print, dark pictures get darker still.",
    fix="Take it again with more light while the state is still there.",
    source="Share of pixels that are all but black (setting photo_dark_share); common practice, no source",
    **QUERY,
)  # fmt: skip
def too_dark(job: Job) -> Iterator[Raised]:
    most = float(number(job, "photo_dark_share"))
    for photo, looks in _looked_at(job):
        if looks.dark > most:
            says = said("{share}% of the picture is all but black.", share=figure(looks.dark * 100, ".0f"))
            yield Raised("photos.too-dark", Place(photo.path), says)


@rule(
    "photos.burnt-out",
    asks="Does no photo lose most of its picture in white?",
    why="Where the sensor was blinded there is no detail, and none can be brought back.",
    fix="Take it again without the lamp or the sky in front while the state is still there.",
    source="Share of pixels that are all but white (setting photo_burnt_share); common practice, no source",
    **QUERY,
)  # fmt: skip
def burnt_out(job: Job) -> Iterator[Raised]:
    most = float(number(job, "photo_burnt_share"))
    for photo, looks in _looked_at(job):
        if looks.burnt > most and not _like_a_screenshot(photo):
            says = said("{share}% of the picture is all but white.", share=figure(looks.burnt * 100, ".0f"))
            yield Raised("photos.burnt-out", Place(photo.path), says)


@rule(
    "photos.no-camera-data",
    asks="Did each photo come from the camera as it was taken?",
    why="Screenshots, exports and messengers' copies are small, and tell neither camera nor time.",
    fix="Put in the original from the camera under the same name.",
    source="No EXIF (CIPA DC-008, from memory) in a photo; common practice, no source",
    **QUERY,
)  # fmt: skip
def no_camera_data(job: Job) -> Iterator[Raised]:
    by_step: defaultdict[str, list[Photo]] = defaultdict(list)
    for photo in job.photos:
        if photo.step and photo.shown and not photo.facts.has_exif:
            by_step[photo.step].append(photo)
    for found in by_step.values():
        first, *rest = found
        if _like_a_screenshot(first):
            says: str = said("It carries no data of a camera, as a screenshot or an export would.")
        else:
            says = said("It carries no data of a camera, as a messenger's copy or an export would.")
        if len(rest) > 3:
            says = sentences(says, said("So with {n} more of this step.", n=len(rest)))
        elif rest:
            says = sentences(says, said("So with {files}.", files=listed([p.path.rsplit("/", 1)[-1] for p in rest])))
        yield Raised("photos.no-camera-data", Place(first.path), says, tuple(p.path for p in rest))


@rule(
    "photos.edited",
    asks="Is each photo as the camera wrote it?",
    why="An edited picture may show what was not there; the original settles it.",
    fix="Put in the original from the camera. If only light or framing was changed, say so in its caption.",
    source=_EXIF, **QUERY,
)  # fmt: skip
def edited(job: Job) -> Iterator[Raised]:
    odd = _odd_software(job)
    for photo in job.photos:
        facts = photo.facts
        if not photo.step or not photo.shown:
            continue
        if facts.taken and facts.changed and facts.changed - facts.taken.replace(tzinfo=None) > WRITTEN_LATER:
            says = said(
                "The file says it was taken {taken} and written again {changed}.",
                taken=day(facts.taken), changed=day(facts.changed),
            )  # fmt: skip
        elif photo.path in odd:
            by = facts.software or said("no named software")
            says = said("Written by {software}, unlike this camera's photos before and after it.", software=by)
        else:
            continue
        yield Raised("photos.edited", Place(photo.path), says)


_FEW = 4  # one odd photo to at least so many usual ones


def _odd_software(job: Job) -> set[str]:
    """Photos whose Software differs from that of the same camera's earlier and later photos.

    A camera that is brought up to date changes the name once and never back.
    """
    by_camera: defaultdict[str, list[Photo]] = defaultdict(list)
    for photo in job.photos:
        if photo.step and photo.facts.camera and photo.facts.taken:
            by_camera[photo.facts.camera].append(photo)
    odd: set[str] = set()
    for found in by_camera.values():
        by_software: defaultdict[str, list[str]] = defaultdict(list)
        for photo in found:
            by_software[photo.facts.software].append(photo.path)
        usual = max(by_software, key=lambda name: len(by_software[name]))
        times = {p.path: p.facts.taken.replace(tzinfo=None) for p in found if p.facts.taken}
        first, last = min(times[p] for p in by_software[usual]), max(times[p] for p in by_software[usual])
        for name, paths in by_software.items():
            if name != usual and _FEW * len(paths) <= len(by_software[usual]):
                odd.update(path for path in paths if first < times[path] < last)
    return odd


PHOTOS_QUALITY: Final[tuple[Rule, ...]] = (blurred, too_dark, burnt_out, no_camera_data, edited)
