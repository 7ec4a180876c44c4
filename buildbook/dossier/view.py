"""What every section of the dossier works from: the record, its numbered evidence, and what follows from both."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from buildbook.dossier.evidence import Registry, anchor_id, build_registry, named
from buildbook.dossier.formats import Formats, short_hash
from buildbook.dossier.issue import IssueInfo
from buildbook.dossier.model import Picture, PicturePair, Ref, Run, Text, text
from buildbook.dossier.pairs import PhotoPair, pairs_of_job
from buildbook.dossier.readings import Verdict, kinds_of, verdicts
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.wording import _, not_recorded, semicolon, together
from buildbook.records.finding import Finding
from buildbook.records.job import Job, Step
from buildbook.records.photo import Photo
from buildbook.records.zones import ZONES
from buildbook.trade.kinds import Kind

# Anchors of the sections and of the parts of them that others lead to.
SUMMARY, IDENTITY, CONDITION, WORK = "section-summary", "section-identity", "section-condition", "section-work"
PARTS, READINGS, APPROVALS = "section-parts", "section-readings", "section-approvals"
LIMITS, AFTERCARE, INDEX, VERIFY = "section-limits", "section-aftercare", "section-index", "section-verify"
REPLACED, REFURBISHED, KEPT = "sub-replaced", "sub-refurbished", "sub-kept"
CHANGES = "section-changes"
EXCEPTIONS, OUTSIDE, OPEN_ITEMS, FINDINGS = "sub-exceptions", "sub-outside", "sub-open-items", "sub-findings"


@dataclass(frozen=True)
class View:
    """job, findings, issue: as handed in. The rest is derived once."""

    job: Job
    findings: tuple[Finding, ...]
    issue: IssueInfo
    evidence: Registry
    formats: Formats
    pairs: tuple[PhotoPair, ...]
    verdicts: tuple[Verdict, ...]  # one for each reading, in the record's order
    kinds: dict[str, Kind]
    zones: tuple[str, ...]  # zones that section 3 has a heading for, in its order
    photo_by_path: dict[str, tuple[Photo, Ref]]

    # people ---------------------------------------------------------------------------------------------------------
    def person(self, who: str) -> Text:
        """A person by name; initials nobody explained are printed as written, and said to be so."""
        found = self.job.people_by_id.get(who)
        if found and found.name:
            return text(found.name)
        return text(who, Run(_(" (not in the list of people)"), "quiet")) if who else ()

    def people(self, ids: Iterable[str]) -> Text:
        return together([self.person(who) for who in ids]) or not_recorded()

    # places ---------------------------------------------------------------------------------------------------------
    def zone(self, name: str) -> Text:
        """A zone's title, a link where section 3 has a heading for it; nothing for an empty name."""
        if not name:
            return ()
        if name in self.zones:
            return (Run(zone_title(name), "plain", zone_anchor(name)),)
        return text(zone_title(name))

    def zone_list(self, names: Iterable[str]) -> Text:
        # Titles hold commas ("Front wing, left"), so the list is parted by semicolons.
        return together([self.zone(n) for n in names], semicolon())

    def step(self, name: str) -> Text:
        """A step as a table names it: its number (a link) and title."""
        found = self.job.step(name)
        ref = self.evidence.step(name)
        if found is None or ref is None:
            return named(None, name)
        return text(ref, f" {found.title}" if found.title else "")

    # photos ---------------------------------------------------------------------------------------------------------
    def picture(self, photo: Photo, *, caption: bool = True, anchor: str = "") -> Picture:
        """A photo to place, with its number, where, when and what it shows."""
        _photo, ref = self.photo_by_path[photo.path]
        facts = photo.facts
        words = together(
            [
                text(zone_title(photo.zone)) if photo.zone else (),
                text(term(photo.stage)) if photo.stage else (),
                text(self.taken(photo)),
            ],
            " · ",
        )
        if photo.caption:
            words = together([text(photo.caption), words], " · ")
        return Picture(
            asset=photo.sha256,
            width=facts.width,
            height=facts.height,
            alt=self.alt(photo),
            caption=words if caption else (),
            anchor=anchor,
            label=ref.label,
        )

    def alt(self, photo: Photo) -> str:
        """What a photo shows, in words, for people who cannot see it."""
        if photo.caption:
            return photo.caption
        what = zone_title(photo.zone) if photo.zone else _("the vehicle")
        stage = term(photo.stage) if photo.stage else _("undated")
        return _("Photo of {zone}, {stage}").format(zone=what, stage=stage)

    def taken(self, photo: Photo) -> str:
        """When the camera says it was taken; "no time" where it does not say."""
        when = photo.facts.taken
        return self.formats.stamp(when) if isinstance(when, datetime) else _("no capture time")

    def pair(self, pair: PhotoPair) -> PicturePair:
        caption = text(pair.caption) if pair.caption else ()
        return PicturePair(before=self.picture(pair.before), after=self.picture(pair.after), caption=caption)

    def files(self, paths: Iterable[str]) -> tuple[Ref, ...]:
        """The refs of those files that are on record."""
        return tuple(ref for path in paths if (ref := self.evidence.file(path)) is not None)

    @property
    def short_seal(self) -> str:
        return short_hash(self.issue.seal)


def zone_anchor(name: str) -> str:
    return anchor_id("zone", name)


def build_view(job: Job, findings: Sequence[Finding], issue: IssueInfo) -> View:
    """Everything that is worked out once, before any section is written."""
    evidence = build_registry(job)
    pairs = pairs_of_job(job)
    touched = {o.zone for o in job.observations if o.zone} | {p.zone for p in pairs if p.zone}
    known = [z.name for z in ZONES if z.name in touched]
    unknown = sorted(touched - set(known))
    return View(
        job=job,
        findings=tuple(findings),
        issue=issue,
        evidence=evidence,
        formats=Formats(job.language, job.timezone),
        pairs=pairs,
        verdicts=verdicts(job),
        kinds=kinds_of(job),
        zones=(*known, *unknown),
        photo_by_path={p.path: (p, ref) for p, ref in evidence.photos},
    )


def step_of_photo(job: Job, photo: Photo) -> Step | None:
    return job.step(photo.step) if photo.step else None
