"""The dossier from a job: each section from its own module, then the links that need to see all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildbook.dossier import (
    aftercare,
    approvals,
    changed,
    condition,
    cover,
    identity,
    index,
    limits,
    measured,
    parts,
    reach,
    summary,
    verify_how,
    work,
)
from buildbook.dossier import view as at
from buildbook.dossier.blocks import flat, pictures_of, placed_assets, with_pictures
from buildbook.dossier.issue import IssueInfo, as_sealed
from buildbook.dossier.language import speaking
from buildbook.dossier.model import Dossier, Picture, PictureGrid, Section
from buildbook.dossier.view import View, build_view
from buildbook.dossier.wording import _
from buildbook.records.finding import Finding
from buildbook.records.job import Job

SECTIONS = (
    summary.build, identity.build, condition.build, work.build, parts.build, measured.build,
    approvals.build, limits.build, aftercare.build, index.build, verify_how.build,
)  # fmt: skip


def build_dossier(job: Job, findings: Sequence[Finding], issue: IssueInfo) -> Dossier:
    """The neutral dossier of a job: a pure function of its arguments.

    findings: as the check gave them, in its order. A draft lists them first among its open items.
    """
    with speaking(job.language) as voice:
        return _build(as_sealed(job, issue), findings, issue, voice.tag)


def _build(job: Job, findings: Sequence[Finding], issue: IssueInfo, language: str) -> Dossier:
    view = build_view(job, findings, issue)
    first, *others = [build(view) for build in SECTIONS]
    sections = anchor_photos(view, [first, *changed.build(view), *others])
    front = cover.build_cover(view)
    number = _("draft") if issue.draft else _("issue {n}").format(n=issue.number)
    return Dossier(
        title=_("Dossier of {vehicle}").format(vehicle=front.vehicle),
        job_number=job.number,
        issue=0 if issue.draft else issue.number,
        issued_on=issue.issued_on,
        draft=issue.draft,
        seal=issue.seal,
        previous_seal=issue.previous_seal,
        language=language,
        paper=job.paper if job.paper in ("A4", "Letter") else "A4",
        author=front.workshop,
        subject=_("Job {job}, {issue}: condition, work, parts, readings and evidence").format(
            job=job.number or _("without number"), issue=number
        ),
        cover=front,
        sections=tuple(sections),
        assets=placed_assets(front.picture, sections),
        photos=reach.photos(view),
        places=reach.places(view),
        plan=reach.plan_of_places(view),
    )


def anchor_photos(view: View, sections: Sequence[Section]) -> list[Section]:
    """Gives each photo its anchor once, where it is seen best: its first placement in sections 2 to 4, else anywhere.

    The summary's pair is a repetition and the contact sheet is small; both serve only where there is nothing better.
    """
    places: dict[str, tuple[int, int, int]] = {}
    for s, section in enumerate(sections):
        small = {id(p) for b in flat(section.blocks) if isinstance(b, PictureGrid) and b.small for p in b.pictures}
        n = 0
        for block in flat(section.blocks):
            for picture in pictures_of(block):
                rank = 2 if section.anchor == at.SUMMARY else 1 if id(picture) in small else 0
                places[picture.label] = min(places.get(picture.label, (9, 0, 0)), (rank, s, n))
                n += 1
    targets = {ref.label: ref.target for _p, ref in view.evidence.photos}
    made: list[Section] = []
    for s, section in enumerate(sections):
        n = -1

        def anchored(picture: Picture, _small: bool, s: int = s) -> Picture:
            nonlocal n
            n += 1
            here = places[picture.label][1:] == (s, n)
            return replace(picture, anchor=targets[picture.label]) if here else picture

        made.append(replace(section, blocks=tuple(with_pictures(b, anchored) for b in section.blocks)))
    return made
