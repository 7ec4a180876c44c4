"""What several rules look up: files a cell names, zones a vehicle has, approvals behind a piece of work."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from buildbook.records.job import Approval, Job, Part, Step
from buildbook.records.photo import Photo
from buildbook.records.said import either, row, said
from buildbook.records.words import Decision
from buildbook.records.zones import near_names, zone


def due(job: Job, step: Step) -> bool:
    """True once a step's record should be complete: it is finished, or the vehicle has been handed over."""
    return step.finished is not None or (job.handover is not None and job.handover <= job.as_of)


def listed(names: Iterable[str]) -> str:
    """Names as a person lists them: `a, b and c`."""
    *rest, last = names
    return said("{some} and {last}", some=row(rest), last=last) if rest else last


def found_file(job: Job, name: str, step: Step | None = None) -> str | None:
    """The path of the file a cell names, relative to the job folder or to its step's folder; None if not there."""
    if name in job.files_by_path:
        return name
    if step is not None and (inside := f"steps/{step.id}/{name}") in job.files_by_path:
        return inside
    return None


def not_there(job: Job, name: str) -> str:
    """The end of a sentence about a named file that is not in the record, with the nearest names."""
    paths = list(job.files_by_path)
    by_name = {path.rsplit("/", 1)[-1]: path for path in paths}
    near = [by_name[n] for n in get_close_matches(name.rsplit("/", 1)[-1], list(by_name), n=1, cutoff=0.75)]
    if near:
        return said("which is not in the folder (nearest: {near})", near=near[0])
    return said("which is not in the folder")


def zone_fault(job: Job, name: str) -> str:
    """Why this vehicle has no zone of that name, as the end of a sentence; "" if it has."""
    known = zone(name)
    if known is None:
        near = near_names(name, 2)
        if near:
            return said(
                'zone "{zone}", which is not in the table of zones (did you mean {near}?)', zone=name, near=either(near)
            )
        return said('zone "{zone}", which is not in the table of zones', zone=name)
    body = job.vehicle.body
    if body is not None and body not in known.bodies:
        return said('zone "{zone}", which a vehicle of body "{body}" does not have', zone=name, body=body)
    return ""


def zone_of(photo: Photo, step: Step | None) -> str:
    """The zone a photo shows: its own, or that of a step which works on one zone only."""
    if photo.zone or step is None or len(step.zones) != 1:
        return photo.zone
    return step.zones[0]


def agreed(job: Job, ids: Iterable[str]) -> tuple[Approval, ...]:
    """The approvals of these ids in which the client said yes; unknown ids have their own finding."""
    known = (job.approvals_by_id.get(i) for i in ids)
    return tuple(a for a in known if a is not None and a.decision is not Decision.DECLINED)


def approvals_of(job: Job, part: Part) -> tuple[str, ...]:
    """The approvals a part line rests on: the one it names, else those of its step."""
    if part.approval or "approval" in part.bad:
        return (part.approval,) if part.approval else ()
    step = job.step(part.step) if part.step else None
    return step.approvals if step else ()


def parts_of(job: Job, step: Step) -> tuple[Part, ...]:
    """The part lines that name this step."""
    return tuple(p for p in job.parts if p.step and job.step(p.step) is step)


def own(record_id: str, fallback: str) -> str:
    """How a sentence names a record: its id, or what it is where it has none."""
    return record_id or fallback
