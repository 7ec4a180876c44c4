"""The first page: the car as it left, what it is, whose dossier this is."""

from __future__ import annotations

from buildbook.dossier import editions
from buildbook.dossier.model import Cover
from buildbook.dossier.terms import term
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma
from buildbook.editions.table import Edition
from buildbook.records.job import Job
from buildbook.records.photo import Photo
from buildbook.records.words import Stage

_VIEWS = ("front-left", "front-right")


def cover_photo(job: Job) -> Photo | None:
    """A photo of the whole car as it left, three-quarter view from the front if there is one; else any `after`."""
    order = {step.id: n for n, step in enumerate(job.steps)}
    after = [p for p in job.photos if p.stage is Stage.AFTER and p.shown]

    def rank(photo: Photo) -> tuple[bool, int, int, str]:
        stem = photo.path.rsplit("/", 1)[-1].rsplit(".", 1)[0].casefold()
        view = _VIEWS.index(stem) if stem in _VIEWS else len(_VIEWS)
        whole = photo.zone == "whole"
        # Among whole views the last step shows the car as it left; without one, the first photo is as good as any.
        return not whole, -order.get(photo.step, 0) if whole else 0, view if whole else 0, photo.path

    return min(after, key=rank, default=None)


def vehicle_name(job: Job) -> str:
    """Marque and model, or what the job is called, or that neither is recorded."""
    return " ".join(p for p in (job.vehicle.marque, job.vehicle.model) if p) or job.title or _("Vehicle not recorded")


def build_cover(view: View) -> Cover:
    job, formats = view.job, view.formats
    vehicle, issue = job.vehicle, view.issue
    subtitle = comma().join(
        part
        for part in (
            _("built {year}").format(year=vehicle.built) if vehicle.built else "",
            term(vehicle.body) if vehicle.body else "",
            vehicle.colour,
        )
        if part
    )
    number = _("draft, no issue number") if issue.draft else str(issue.number)
    if issue.edition is not Edition.OWNER:
        number = _("{issue}, {edition}").format(issue=number, edition=editions.name(issue.edition))
    photo = cover_photo(job)
    silent = _("not recorded")
    return Cover(
        vehicle=vehicle_name(job),
        subtitle=subtitle[:1].upper() + subtitle[1:],
        facts=(
            (_("Chassis number"), vehicle.chassis_number or silent),
            (_("Engine number"), vehicle.engine_number or silent),
            (_("Registration"), vehicle.registration or silent),
            (_("In the workshop"), formats.span(job.received, job.handover)),
            (_("Job"), job.number or silent),
            (_("Issue"), number),
            (_("Issued on"), formats.day(issue.issued_on)),
            (_("Seal"), view.short_seal or _("none")),
        ),
        workshop=job.workshop.name or _("Workshop not recorded"),
        workshop_address=job.workshop.address,
        picture=view.picture(photo) if photo else None,
        statement=statement(view),
    )


def statement(view: View) -> str:
    """One honest sentence: what this document is."""
    if view.issue.draft:
        return _(
            "A draft of the workshop's own record of this vehicle: incomplete by definition, and not an issued dossier."
        )
    return _(
        "The workshop's own record of this vehicle as it came in, of the work done and of the vehicle as it left: "
        "each statement names its evidence or says that it has none, and the seal shows whether the files have "
        "changed since the date of issue."
    )
