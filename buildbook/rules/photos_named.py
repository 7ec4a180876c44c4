"""Rules of photos that records name, and of the zones that folders and captions give them."""

from __future__ import annotations

from collections.abc import Iterator
from fnmatch import fnmatchcase
from pathlib import PurePosixPath

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Pair
from buildbook.records.place import Place
from buildbook.records.said import row, said
from buildbook.records.zones import zone
from buildbook.rules.evidence import not_there, zone_fault
from buildbook.rules.grades import QUERY, STOP_AT_HANDOVER
from buildbook.rules.photos_time import swapped
from buildbook.rules.rule import Rule, rule


def _stated(job: Job) -> Iterator[tuple[Pair, str]]:
    """Every stated pair with the folder its paths count from."""
    for step in job.steps:
        yield from ((pair, f"steps/{step.id}/") for pair in step.pairs)
    yield from ((pair, "") for pair in job.pairs)


@rule(
    "photos.pair-missing",
    asks="Do the pairs of photos name photos that are there?",
    why="A pair with one photo is no comparison.",
    fix="Correct the path in [[pairs]]; it counts from the step's folder in step.toml, from the job's in job.toml.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def pair_missing(job: Job) -> Iterator[Raised]:
    for pair, root in _stated(job):
        for side in ("before", "after"):
            name = getattr(pair, side)
            if side in pair.bad:
                continue
            if not name:
                yield Raised("photos.pair-missing", pair.place.at(side), _NOT_NAMED[side])
            elif root + name not in job.files_by_path:
                says = _named_as(side, name, not_there(job, name))
                yield Raised("photos.pair-missing", pair.place.at(side), says)
            elif root + name not in job.photos_by_path:
                says = _named_as(side, name, said("which is no photo"))
                yield Raised("photos.pair-missing", pair.place.at(side), says)


_NOT_NAMED = {"before": said("The pair names no photo before."), "after": said("The pair names no photo after.")}


def _named_as(side: str, name: str, fault: str) -> str:
    if side == "before":
        return said("The pair names {file} as before, {fault}.", file=name, fault=fault)
    return said("The pair names {file} as after, {fault}.", file=name, fault=fault)


@rule(
    "photos.pair-swapped",
    asks="Does each pair name the photo before as before and the photo after as after?",
    why="The dossier prints them side by side under these words.",
    fix="Swap before and after in [[pairs]], or move the two photos.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def pair_swapped(job: Job) -> Iterator[Raised]:
    for pair, root in _stated(job):
        before, after = job.photos_by_path.get(root + pair.before), job.photos_by_path.get(root + pair.after)
        if before and after and swapped(before, after):
            yield Raised(
                "photos.pair-swapped", pair.place.at("before"),
                said(
                    "The pair calls {before} the state before; it is filed under after, {after} under before.",
                    before=pair.before, after=pair.after,
                ),
                (before.path, after.path),
            )  # fmt: skip


@rule(
    "photos.caption-missing",
    asks="Does each caption belong to a photo?",
    why="A caption whose photo is gone or renamed is lost without a word.",
    fix="Correct file in [[captions]] of step.toml; it counts from the step's folder and may hold * and ?.",
    **QUERY,
)  # fmt: skip
def caption_missing(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        root = f"steps/{step.id}/"
        names = [p.path.removeprefix(root) for p in job.photos_of(step)]
        for caption in step.captions:
            if "file" not in caption.bad and not any(fnmatchcase(name, caption.file) for name in names):
                yield Raised(
                    "photos.caption-missing", caption.place.at("file"),
                    said('No photo of step {step} answers to "{file}".', step=step.id, file=caption.file),
                )  # fmt: skip


@rule(
    "photos.caption-zone-unknown",
    asks="Does each caption name a zone this vehicle has?",
    why="Photos are shown zone by zone; one with an unknown zone finds no place.",
    fix="Write a zone's name from the table of zones (docs/record.md).",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def caption_zone_unknown(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        for caption in step.captions:
            if caption.zone and (fault := zone_fault(job, caption.zone)):
                yield Raised(
                    "photos.caption-zone-unknown",
                    caption.place.at("zone"),
                    said("The caption names {fault}.", fault=fault),
                )


@rule(
    "photos.folder-zone-unknown",
    asks="Is each folder of photos within before, during or after named by a zone this vehicle has?",
    why="The folder's name gives its photos their zone.",
    fix="Rename the folder to a zone's name (docs/record.md), or move its photos one folder up.",
    **STOP_AT_HANDOVER,
)  # fmt: skip
def folder_zone_unknown(job: Job) -> Iterator[Raised]:
    told: set[str] = set()
    for photo in job.photos:
        parts = PurePosixPath(photo.path).parts  # steps / NNN-name / stage / zone / file
        folder = "/".join(parts[:4])
        if len(parts) < 5 or parts[0] != "steps" or folder in told:
            continue
        told.add(folder)
        # A name that is no zone at all is said when the folder is read.
        if zone(photo.zone) is not None and (fault := zone_fault(job, photo.zone)):
            yield Raised(
                "photos.folder-zone-unknown", Place(folder), said("The folder is named after {fault}.", fault=fault)
            )


@rule(
    "photos.zone-not-in-step",
    asks="Does each photo show a zone its step works on?",
    why="A photo of another part of the vehicle lies in the wrong step, or the step's list of zones is short.",
    fix="Move the photo, or add the zone to zones in step.toml.",
    **QUERY,
)  # fmt: skip
def zone_not_in_step(job: Job) -> Iterator[Raised]:
    for step in job.steps:
        if not step.zones or "whole" in step.zones or "zones" in step.bad:
            continue
        groups = {z.group for name in step.zones if (z := zone(name))}
        told: set[str] = set()
        for photo in job.photos_of(step):
            known = zone(photo.zone)
            if known is None or zone_fault(job, photo.zone) or photo.zone in {"whole", *step.zones, *told}:
                continue
            # A wheel photographed for its tyre, or a brake behind it, is the same corner of the car.
            if known.group in ("wheel", "tyre", "brake") and groups & {"wheel", "tyre", "brake"}:
                continue
            told.add(photo.zone)
            yield Raised(
                "photos.zone-not-in-step", Place(photo.path),
                said(
                    "The photo is of {zone}; step {step} works on {zones}.",
                    zone=photo.zone, step=step.id, zones=row(step.zones),
                ),
            )  # fmt: skip


PHOTOS_NAMED: tuple[Rule, ...] = (
    pair_missing, pair_swapped, caption_missing, caption_zone_unknown, folder_zone_unknown, zone_not_in_step,
)  # fmt: skip
