"""Before and after of the same view: which photos belong side by side.

A pair is stated (in a step or in job.toml) or follows from the folder: the same zone folder and the same file stem
in `before` and in `after`. Nothing else is guessed. A stem a camera counted up by itself (IMG_0012) says nothing
about the view, so it pairs only within one step, where somebody named both alike on purpose; photos outside a
zone folder pair only within their step for the same reason.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from buildbook.records.job import Job, Step
from buildbook.records.photo import Photo
from buildbook.records.words import Stage

_COUNTER = re.compile(r"[a-z]{0,5}[ _-]?\d[\d _-]*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PhotoPair:
    """Two photos of one view. zone: where, "" if unknown. stated: a person named the two."""

    before: Photo
    after: Photo
    caption: str = ""
    stated: bool = False

    @property
    def zone(self) -> str:
        return self.before.zone or self.after.zone


def view_of(photo: Photo) -> tuple[str, str]:
    """The view by folder: (zone folder or "", file stem), case ignored."""
    parts = PurePosixPath(photo.path).parts
    folder = parts[3] if len(parts) > 4 else ""  # steps / NNN-name / stage / zone / file
    return folder.casefold(), PurePosixPath(photo.path).stem.casefold()


def counted_up(stem: str) -> bool:
    """True for a file stem that looks like a camera's own counting: a few letters and digits."""
    return _COUNTER.fullmatch(stem) is not None


def pairs_of_step(job: Job, step: Step) -> tuple[PhotoPair, ...]:
    """The pairs within one step: stated ones first, then those of the same view, in path order."""
    stated = _stated(job, step)
    used = {p.path for pair in stated for p in (pair.before, pair.after)}
    found = list(stated)
    own = [p for p in _in_order(job.photos_of(step)) if p.shown and p.path not in used]
    for _view, (befores, afters) in _by_view(own).items():
        if befores and afters:
            found.append(PhotoPair(befores[0], afters[-1]))
    return tuple(found)


def pairs_of_job(job: Job) -> tuple[PhotoPair, ...]:
    """The pairs of the whole job: stated ones first, then for each view its first before and its last after."""
    found = [
        pair
        for p in job.pairs
        if (pair := _pair(job.photos_by_path.get(p.before), job.photos_by_path.get(p.after), p.caption))
    ]
    for step in job.steps:
        found.extend(_stated(job, step))
    used = {p.path for pair in found for p in (pair.before, pair.after)}
    across: list[Photo] = []
    for step in job.steps:
        within = [p for p in _in_order(job.photos_of(step)) if p.shown and p.path not in used]
        lone = [p for p in within if not view_of(p)[0] or counted_up(view_of(p)[1])]
        for _view, (befores, afters) in _by_view(lone).items():
            if befores and afters:
                found.append(PhotoPair(befores[0], afters[-1]))
        across.extend(p for p in within if p not in lone)
    for _view, (befores, afters) in _by_view(across).items():
        # An after that lies in an earlier step than the before shows another state of affairs.
        if befores and afters and _rank(job, afters[-1]) >= _rank(job, befores[0]):
            found.append(PhotoPair(befores[0], afters[-1]))
    return tuple(_once(found))


def _stated(job: Job, step: Step) -> list[PhotoPair]:
    root = f"steps/{step.id}/"
    return [
        pair
        for p in step.pairs
        if (pair := _pair(job.photos_by_path.get(root + p.before), job.photos_by_path.get(root + p.after), p.caption))
    ]


def _pair(before: Photo | None, after: Photo | None, caption: str) -> PhotoPair | None:
    if before is None or after is None or not before.shown or not after.shown:
        return None
    return PhotoPair(before, after, caption, stated=True)


def _by_view(photos: Iterable[Photo]) -> dict[tuple[str, str], tuple[list[Photo], list[Photo]]]:
    views: dict[tuple[str, str], tuple[list[Photo], list[Photo]]] = {}
    for photo in photos:
        befores, afters = views.setdefault(view_of(photo), ([], []))
        if photo.stage is Stage.BEFORE:
            befores.append(photo)
        elif photo.stage is Stage.AFTER:
            afters.append(photo)
    return views


def _in_order(photos: Iterable[Photo]) -> list[Photo]:
    return sorted(photos, key=lambda p: p.path.encode("utf-8", "surrogatepass"))


def _rank(job: Job, photo: Photo) -> int:
    return next((n for n, step in enumerate(job.steps) if step.id == photo.step), -1)


def _once(pairs: list[PhotoPair]) -> list[PhotoPair]:
    seen: set[tuple[str, str]] = set()
    kept = []
    for pair in pairs:
        key = (pair.before.path, pair.after.path)
        if key not in seen:
            seen.add(key)
            kept.append(pair)
    return kept
