"""The evidence ordered for leafing through: every photo with what it proves, every place with all that speaks of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from buildbook.dossier.drawing import Drawing
from buildbook.dossier.evidence import anchor_id
from buildbook.dossier.figures import condition_plan
from buildbook.dossier.grouping import grouped, items_of, ref_range, stage_text, values_text, verdicts_text
from buildbook.dossier.model import PhotoEntry, PlaceEntry, PlaceItem, Ref, Run, Text, text
from buildbook.dossier.readings import kind_title
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.uses import cited_by, uses_of_files
from buildbook.dossier.view import View, zone_anchor
from buildbook.dossier.wording import _, comma, given, phrase, together
from buildbook.records.job import Observation, Step
from buildbook.records.zones import ZONES

_T = TypeVar("_T")


def place_anchor(zone: str) -> str:
    return anchor_id("place", zone)


def photos(view: View) -> tuple[PhotoEntry, ...]:
    """Every photo that can be shown, in the order of its number."""
    uses = uses_of_files(view)
    return tuple(
        PhotoEntry(
            label=ref.label,
            target=ref.target,
            asset=photo.sha256,
            width=photo.facts.width,
            height=photo.facts.height,
            alt=view.alt(photo),
            path=photo.path,
            caption=photo.caption,
            zone=zone_title(photo.zone) if photo.zone else "",
            stage=term(photo.stage) if photo.stage else "",
            taken=view.taken(photo) if photo.facts.taken is not None else "",
            camera=photo.facts.camera,
            used=tuple(cited_by(view, uses, photo.path, photo.step)),
        )
        for photo, ref in view.evidence.photos
        if photo.shown
    )


def places(view: View) -> tuple[PlaceEntry, ...]:
    """Every zone that any record speaks of, in the order of the table of zones; unknown ones behind, by name."""
    return tuple(_Places(view).entry(zone) for zone in zones_spoken_of(view))


def plan_of_places(view: View) -> Drawing | None:
    """The plan of the vehicle, each place on it a link; none for a body that has no plan, or a job without places."""
    links = {zone: place_anchor(zone) for zone in zones_spoken_of(view)}
    return condition_plan(view, links) if links else None


def zones_spoken_of(view: View) -> list[str]:
    job = view.job
    named = {zone for step in job.steps for zone in step.zones}
    for records in (job.observations, job.parts, job.readings, job.photos):
        named |= {record.zone for record in records}
    named.discard("")
    known = [zone.name for zone in ZONES if zone.name in named]
    return [*known, *sorted(named - set(known))]


class _Places:
    """The records of each zone, gathered in one pass."""

    def __init__(self, view: View) -> None:
        self.view = view
        evidence = view.evidence
        self.seen = _by_zone((o.zone, (o, r)) for o, r in evidence.observations)
        self.parts = _by_zone((p.zone, (p, r)) for p, r in evidence.parts)
        self.readings = _by_zone((item[0].zone, item) for item in items_of(view))
        self.steps = _by_zone((zone, (s, r)) for s, r in evidence.steps for zone in dict.fromkeys(s.zones))
        self.photos = _by_zone((p.zone, r) for p, r in evidence.photos if p.shown)
        self.shown = {r for p, r in evidence.photos if p.shown}

    def entry(self, zone: str) -> PlaceEntry:
        view = self.view
        return PlaceEntry(
            anchor=place_anchor(zone),
            title=zone_title(zone),
            heading=zone_anchor(zone) if zone in view.zones else "",
            observations=tuple(PlaceItem(ref=text(r), says=self._seen(o)) for o, r in self.seen.get(zone, ())),
            steps=tuple(
                PlaceItem(ref=text(r), says=self._step(s))
                for s, r in self.steps.get(zone, ())
            ),
            parts=tuple(
                PlaceItem(ref=text(r), says=together([given(p.what), text(term(p.action)) if p.action else ()], " · "))
                for p, r in self.parts.get(zone, ())
            ),
            readings=tuple(self._readings(zone)),
            photos=self._photos(zone),
        )

    def _step(self, step: Step) -> Text:
        when = (Run(self.view.formats.span(step.started, step.finished), "quiet"),)
        return together([text(step.title), when], " · ")

    def _seen(self, seen: Observation) -> Text:
        grades = _("{grade_in} → {grade_out}").format(
            grade_in="–" if seen.grade_in is None else seen.grade_in,
            grade_out="–" if seen.grade_out is None else seen.grade_out,
        )
        grade = phrase(_("grade {grades}"), grades=grades)
        outcome = text(term(seen.outcome)) if seen.outcome else (Run(_("no outcome recorded"), "warn"),)
        return together([given(seen.what), grade, outcome], " · ")

    def _readings(self, zone: str) -> Iterable[PlaceItem]:
        view = self.view
        for group in grouped(self.readings.get(zone, ())):
            reading = group.first
            what = together([text(kind_title(view.kinds, reading.kind)), stage_text(reading.stage)], " · ")
            values = together([text(*_one_line(values_text(view, group))), verdicts_text(group)], " · ")
            yield PlaceItem(ref=ref_range(group.refs), says=phrase(_("{name}: {value}"), name=what, value=values))

    def _photos(self, zone: str) -> tuple[Ref, ...]:
        """Photos taken of the place, and those its observations and part lines cite."""
        cited = [path for o, _r in self.seen.get(zone, ()) for path in o.photos]
        cited += [path for p, _r in self.parts.get(zone, ()) for path in p.photos]
        refs = [*self.photos.get(zone, ()), *(ref for ref in self.view.files(cited) if ref in self.shown)]
        return tuple(dict.fromkeys(refs))


def _one_line(said: Text) -> Text:
    """Lines set one under the other in a table, in one line."""
    return tuple(Run(comma() if run.text == "\n" else run.text, run.tone, run.target) for run in said)


def _by_zone(pairs: Iterable[tuple[str, _T]]) -> dict[str, list[_T]]:
    made: dict[str, list[_T]] = {}
    for zone, record in pairs:
        if zone:
            made.setdefault(zone, []).append(record)
    return made
