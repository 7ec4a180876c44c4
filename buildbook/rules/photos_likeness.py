"""Rules of likeness: one picture that stands for two moments, saved again, mirrored, turned, cut or of another job."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from itertools import product
from pathlib import PurePosixPath
from typing import Final

from buildbook.photos import likeness
from buildbook.photos.cutouts import cut_from, cuts
from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.photo import Photo, PhotoFacts
from buildbook.records.place import Place
from buildbook.records.said import figure, said, some_of
from buildbook.records.words import Stage
from buildbook.rules.evidence import listed
from buildbook.rules.grades import QUERY, STOP_AT_HANDOVER
from buildbook.rules.rule import Rule, rule

_SOURCE: Final = (
    "64-bit difference hashes, then 32 x 32 miniatures compared cell by cell; the thresholds are common practice, no "
    "source, measured in docs/benchmarks.md"
)

_Among = Callable[[Sequence[PhotoFacts], Sequence[PhotoFacts] | None], Iterator[tuple[int, int]]]
_MOST_NAMED = 3
_LONG_AGO: Final = datetime(1970, 1, 1)


def _befores_and_afters(job: Job) -> Iterator[tuple[Photo, Photo]]:
    """Each photo before with each photo after of its step, then the pairs that job.toml states across steps."""
    staged: defaultdict[tuple[str, Stage | None], list[Photo]] = defaultdict(list)
    for photo in job.photos:
        staged[photo.step, photo.stage].append(photo)
    for step in job.steps:
        yield from product(staged[step.id, Stage.BEFORE], staged[step.id, Stage.AFTER])
    for pair in job.pairs:
        before, after = job.photos_by_path.get(pair.before), job.photos_by_path.get(pair.after)
        if before is not None and after is not None and before.step != after.step:
            yield before, after


def _alike(one: Photo, other: Photo) -> bool:
    return likeness.alike([(one.facts, other.facts)])[0]


def _other_times(one: Photo, other: Photo) -> bool:
    """Whether both files say when they were taken, and not at the same moment."""
    taken, other_taken = one.facts.taken, other.facts.taken
    if taken is None or other_taken is None:
        return False
    return taken.replace(tzinfo=None) != other_taken.replace(tzinfo=None)


@rule(
    "photos.before-is-after",
    asks="Are the photos before and after a step different pictures?",
    why="One picture for both states shows that nothing is known about one of them.",
    fix="Put the right photo into the before or after folder and take the copy away.",
    source=_SOURCE, **STOP_AT_HANDOVER,
)  # fmt: skip
def before_is_after(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    for before, after in _befores_and_afters(job):
        if after.path in told:
            continue
        if before.sha256 == after.sha256:
            says = _same_file(before, after)
        elif _alike(before, after) and not _other_times(before, after):
            says = _same_picture(before, after)
        else:
            continue
        told.add(after.path)
        yield Raised("photos.before-is-after", Place(after.path), says, (before.path,))


def _same_file(before: Photo, after: Photo) -> str:
    if before.step == after.step:
        return said(
            "The picture after step {step} is the same file as the one before it, {file}.",
            step=after.step, file=before.path,
        )  # fmt: skip
    return said("The picture after is the same file as {file}.", file=before.path)


def _same_picture(before: Photo, after: Photo) -> str:
    if before.step == after.step:
        return said(
            "The picture after step {step} shows the same picture, saved again, as the one before it, {file}.",
            step=after.step, file=before.path,
        )  # fmt: skip
    return said("The picture after shows the same picture, saved again, as {file}.", file=before.path)


@rule(
    "photos.duplicate",
    asks="Is each photo filed once?",
    why="The same picture in two places stands for two moments and is counted twice.",
    fix="Keep it where it belongs and take the copy away; a table can name it by its path.",
    **QUERY,
)  # fmt: skip
def duplicate(job: Job) -> Iterator[Raised]:
    by_content: defaultdict[str, list[Photo]] = defaultdict(list)
    for photo in job.photos:
        by_content[photo.sha256].append(photo)
    for found in by_content.values():
        befores = {p.step for p in found if p.step and p.stage is Stage.BEFORE}
        if len(found) > 1 and not any(p.stage is Stage.AFTER and p.step in befores for p in found):
            first, *rest = found
            places = listed([p.path for p in rest])
            says = said("The same picture is filed again as {places}.", places=places)
            yield Raised("photos.duplicate", Place(first.path), says, tuple(p.path for p in rest))


@rule(
    "photos.same-shot",
    asks="Are the photos before and after a step different shots?",
    why="Two files of one shot show one moment, whatever their names and times say.",
    fix="Look at both. Put the right photo into the before or after folder.",
    source=_SOURCE, **QUERY,
)  # fmt: skip
def same_shot(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    for before, after in _befores_and_afters(job):
        if after.path in told or before.sha256 == after.sha256:
            continue
        if _alike(before, after):
            if not _other_times(before, after):
                continue
            says = said(
                "Shows the same picture as {file}, though the files give different capture times.", file=before.path
            )
        elif _same_moment(before, after) and cut_from(after.facts, before.facts) is None:
            says = said("Taken at the same moment by the same camera as {file}, the photo before.", file=before.path)
        else:
            continue
        told.add(after.path)
        yield Raised("photos.same-shot", Place(after.path), says, (before.path,))


def _same_moment(one: Photo, other: Photo) -> bool:
    facts, others = one.facts, other.facts
    return facts.taken is not None and facts.taken == others.taken and facts.camera == others.camera


@rule(
    "photos.cropped",
    asks="Is each photo after a shot of its own, not cut out of one before?",
    why="A cut-out shows the state before as if it were the state after.",
    fix="Put in the photo of the result; keep the whole picture, not the cut-out, as the one before.",
    source=_SOURCE, **QUERY,
)  # fmt: skip
def cropped(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    pairs = [(b, a) for b, a in _befores_and_afters(job) if b.zone == a.zone or not b.zone or not a.zone]
    sides = cuts([(after.facts, before.facts) for before, after in pairs])
    for (before, after), side in zip(pairs, sides, strict=True):
        if side is not None and after.path not in told:
            told.add(after.path)
            yield Raised(
                "photos.cropped", Place(after.path),
                said(
                    "Looks cut out of {file}, the photo before: about {share}% of its width.",
                    file=before.path, share=figure(side * 100, ".0f"),
                ),
                (before.path,),
            )  # fmt: skip


@rule(
    "photos.saved-again",
    asks="Does each photo stand for one step only?",
    why="A picture saved again under another step has another file, but shows the same moment twice.",
    fix="Look at them. Keep the original where it belongs and take the copy away.",
    source=_SOURCE, **QUERY,
)  # fmt: skip
def saved_again(job: Job) -> Iterator[Raised]:
    for found in _one_picture(p for p in job.photos if p.step):
        copy, *others = sorted(found, key=_originality)
        kept = [p for p in others if _far_apart(p, copy)]
        if kept:
            paths = [p.path for p in kept]
            places = listed(paths) if len(paths) <= _MOST_NAMED else some_of(paths, _MOST_NAMED)
            says = said("Shows the same picture as {places}.", places=places)
            yield Raised("photos.saved-again", Place(copy.path), says, tuple(p.path for p in kept))


def _originality(photo: Photo) -> tuple[bool, int, float, bytes]:
    """Copies first: without a capture time, the smaller, the later taken; among equals the later path."""
    taken = photo.facts.taken
    later = -(taken.replace(tzinfo=None) - _LONG_AGO).total_seconds() if taken else 0.0
    return taken is not None, photo.facts.width * photo.facts.height, later, bytes(255 - b for b in photo.path.encode())


def _far_apart(one: Photo, other: Photo) -> bool:
    """Whether likeness of two photos wants saying here: bursts are usual, and other rules speak of some pairs."""
    if one.sha256 == other.sha256:
        return False
    if one.step == other.step and {one.stage, other.stage} == {Stage.BEFORE, Stage.AFTER}:
        return False
    if one.step != other.step:
        return True
    return PurePosixPath(one.path).parent != PurePosixPath(other.path).parent and not _other_times(one, other)


def _by_looks(photos: Iterable[Photo]) -> list[list[Photo]]:
    """Photos that measure alike in all respects, together: one of a lot speaks for it. Unmeasured ones are left out."""
    lots: defaultdict[tuple[int, str, bool], list[Photo]] = defaultdict(list)
    for photo in photos:
        facts = photo.facts
        if facts.dhash is not None and facts.looks is not None:
            lots[facts.dhash, facts.looks.grey, facts.width >= facts.height].append(photo)
    return list(lots.values())


def _one_picture(photos: Iterable[Photo]) -> Iterator[list[Photo]]:
    """Groups of photos that show one picture."""
    groups = _by_looks(photos)
    heads = [group[0].facts for group in groups]
    above = list(range(len(groups)))

    def top(n: int) -> int:
        while above[n] != n:
            n = above[n]
        return n

    for i, j in likeness.alike_among(heads):
        above[max(top(i), top(j))] = min(top(i), top(j))
    joined: defaultdict[int, list[Photo]] = defaultdict(list)
    telling = likeness.alike([(head, head) for head in heads])
    for n, group in enumerate(groups):
        if len(group) > 1 and not telling[n]:  # too plain to tell
            continue
        joined[top(n)] += group
    yield from (found for found in joined.values() if len(found) > 1)


def _copies(job: Job, among: _Among) -> Iterator[tuple[Photo, Photo]]:
    """Each photo of a step that is another one changed in a way, with that other, the more original of the two."""
    lots = _by_looks(p for p in job.photos if p.step)
    first = [max(lot, key=_originality) for lot in lots]
    told: set[str] = set()
    for i, j in among([lot[0].facts for lot in lots], None):
        for lot, original in ((lots[i], first[j]), (lots[j], first[i])):
            for copy in lot:
                if copy.path not in told and _originality(copy) < _originality(original):
                    told.add(copy.path)
                    yield copy, original


@rule(
    "photos.mirrored",
    asks="Is no photo the mirror image of another?",
    why="A mirrored picture passes the left side off as the right one.",
    fix="Look at both. Keep the one that shows lettering the right way round.",
    source=_SOURCE, **QUERY,
)  # fmt: skip
def mirrored(job: Job) -> Iterator[Raised]:
    for copy, original in _copies(job, likeness.mirrored_among):
        says = said("Looks like {file} seen in a mirror.", file=original.path)
        yield Raised("photos.mirrored", Place(copy.path), says, (original.path,))


@rule(
    "photos.turned",
    asks="Is no photo another one that was turned?",
    why="A copy that lost how the camera was held looks like another picture, and shows the same moment twice.",
    fix="Look at both. Keep the original where it belongs and take the turned copy away.",
    source=_SOURCE, **QUERY,
)  # fmt: skip
def turned(job: Job) -> Iterator[Raised]:
    for copy, original in _copies(job, likeness.turned_among):
        says = said("Looks like {file}, turned by a quarter or by half.", file=original.path)
        yield Raised("photos.turned", Place(copy.path), says, (original.path,))


@rule(
    "photos.of-another-job",
    asks="Is no photo one of another job?",
    why="A photo of another vehicle, or of this one on another visit, is no evidence of this work.",
    fix="Take it out, or, if it shows an earlier visit, keep it under documents and say so.",
    source=_SOURCE + "; asked when `check` is given --against-job", **QUERY,
)  # fmt: skip
def of_another_job(job: Job) -> Iterator[Raised]:
    own = [p for p in job.photos if p.step]
    for other in job.elsewhere:
        by_content = {p.sha256: p for p in other.photos}
        told: set[str] = set()
        for photo in own:
            if photo.sha256 in by_content:
                told.add(photo.path)
                theirs = by_content[photo.sha256].path
                says = said("The same file lies in job {job}: {file}.", job=other.name, file=theirs)
                yield Raised("photos.of-another-job", Place(photo.path), says)
        lots, others = _by_looks(p for p in own if p.path not in told), _by_looks(other.photos)
        mine, elsewhere = [lot[0].facts for lot in lots], [lot[0].facts for lot in others]
        for among, tell in (
            (likeness.alike_among, _shows_same),
            (likeness.mirrored_among, _shows_mirrored),
            (likeness.turned_among, _shows_turned),
        ):
            for i, j in among(mine, elsewhere):
                for photo in lots[i]:
                    if photo.path not in told:
                        told.add(photo.path)
                        yield Raised("photos.of-another-job", Place(photo.path), tell(other.name, others[j][0].path))


def _shows_same(job: str, file: str) -> str:
    return said("Shows the same picture as job {job}: {file}.", job=job, file=file)


def _shows_mirrored(job: str, file: str) -> str:
    return said("Shows the mirror image of job {job}: {file}.", job=job, file=file)


def _shows_turned(job: str, file: str) -> str:
    return said("Shows a picture of job {job}, turned: {file}.", job=job, file=file)


PHOTOS_LIKENESS: Final[tuple[Rule, ...]] = (
    before_is_after, duplicate, same_shot, cropped, saved_again, mirrored, turned, of_another_job,
)  # fmt: skip
