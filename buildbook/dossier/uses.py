"""Which records cite which file: the way back from a photo or document to what it is evidence for."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.dossier import view as at
from buildbook.dossier.model import Ref
from buildbook.dossier.view import View
from buildbook.dossier.wording import _

Uses = dict[str, list[Ref]]


def uses_of_files(view: View) -> Uses:
    """For each cited path the refs of the records that cite it, in the order of the sections."""
    job, evidence = view.job, view.evidence
    found: Uses = {}

    def cite(ref: Ref, paths: Iterable[str]) -> None:
        for path in paths:
            if path and ref not in found.setdefault(path, []):
                found[path].append(ref)

    car, meter = job.vehicle, job.odometer
    cite(Ref(_("identity"), "sub-numbers"), (car.chassis_number_photo, car.engine_number_photo))
    cite(Ref(_("odometer"), "sub-odometer"), (meter.photo_in, meter.photo_out))
    cite(Ref(_("history"), "sub-history"), (h.document for h in job.history))
    for seen, ref in evidence.observations:
        cite(ref, seen.photos)
    for part, ref in evidence.parts:
        cite(ref, (part.receipt, *part.photos))
    if job.receipts:
        cite(Ref(_("receipts"), "sub-receipts"), (r.document for r in job.receipts))
    for material, ref in evidence.materials:
        cite(ref, (material.data_sheet,))
    for instrument, ref in evidence.instruments:
        cite(ref, (instrument.certificate,))
    for approval, ref in evidence.approvals:
        cite(ref, (approval.document,))
    cite(
        Ref(_("pairs"), at.CONDITION),
        (p.path for pair in view.pairs if pair.stated for p in (pair.before, pair.after)),
    )
    return found


def cited_by(view: View, uses: Uses, path: str, step: str = "") -> list[Ref]:
    """All that cite a file, the step whose folder it lies in first."""
    refs = list(uses.get(path, ()))
    own = view.evidence.step(step) if step else None
    if own is not None and own not in refs:
        refs.insert(0, own)
    return refs
