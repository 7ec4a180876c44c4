"""Section 3: the condition the vehicle came in with and left with, zone by zone."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import links, named, named_files
from buildbook.dossier.figures import condition_figures
from buildbook.dossier.grouping import ref_range
from buildbook.dossier.model import (
    Block,
    Column,
    Heading,
    Paragraph,
    Ref,
    Run,
    Section,
    Table,
    TableRow,
    Text,
    Together,
    text,
)
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.view import View, zone_anchor
from buildbook.dossier.wording import _, given, lines, phrase, together
from buildbook.records.job import Observation


def build(view: View) -> Section:
    blocks: list[Block] = [
        Paragraph(
            text=text(
                _(
                    "Grades run from 0 (none) to 5 (severe), after the form of ISO 4628-1. They are the judgement of "
                    "the person who looked. Left and right are as seen from the driver's seat."
                )
            ),
            style="quiet",
        ),
        *condition_figures(view),
    ]
    for n, zone in enumerate(view.zones, 1):
        blocks.extend(_zone(view, zone, f"3.{n}"))
    unplaced = [(o, ref) for o, ref in view.evidence.observations if not o.zone]
    pairs = [view.pair(p) for p in view.pairs if not p.zone]
    if unplaced or pairs:
        number = f"3.{len(view.zones) + 1}"
        blocks.append(Heading(level=2, number=number, text=_("Zone not recorded"), anchor="sub-no-zone"))
        if unplaced:
            blocks.append(_table(view, unplaced, _("Observations without a zone")))
        blocks.extend(pairs)
    if not view.zones and not unplaced and not pairs:
        blocks.append(Paragraph(text=text(_("The record holds no observation and no pair of photos."))))
    return Section(anchor=at.CONDITION, number="3", title=_("Condition in and out"), blocks=tuple(blocks))


def _zone(view: View, zone: str, number: str) -> list[Block]:
    seen = [(o, ref) for o, ref in view.evidence.observations if o.zone == zone]
    blocks: list[Block] = []
    opening: list[Block] = [Heading(level=2, number=number, text=zone_title(zone), anchor=zone_anchor(zone))]
    if seen:
        opening.append(_table(view, seen, _("Observations: {zone}").format(zone=zone_title(zone))))
    elsewhere = _elsewhere(view, zone)
    if elsewhere:
        opening.append(Paragraph(text=elsewhere, style="quiet"))
    pairs = [view.pair(p) for p in view.pairs if p.zone == zone]
    if pairs and not seen:
        opening.append(pairs.pop(0))
    blocks.append(Together(blocks=tuple(opening)))
    blocks.extend(pairs)
    return blocks


def _elsewhere(view: View, zone: str) -> Text:
    """Where else in the dossier this zone is worked on: steps, part lines, readings."""
    steps = [ref for s, ref in view.evidence.steps if zone in s.zones]
    parts = [ref for p, ref in view.evidence.parts if p.zone == zone]
    readings = [ref for r, ref in view.evidence.readings if r.zone == zone]
    said = [
        phrase(_("Work: {refs}"), refs=links(steps)) if steps else (),
        phrase(_("Parts: {refs}"), refs=links(parts)) if parts else (),
        phrase(_("Readings: {refs}"), refs=ref_range(readings, 6)) if readings else (),
    ]
    return together(said, "  ·  ")


def _columns() -> tuple[Column, ...]:
    return (
        Column(title=_("No."), width=0.9, nowrap=True),
        Column(title=_("Observed at intake"), width=4.2),
        Column(title=_("Grade in → out"), width=1.5, align="centre", nowrap=True),
        Column(title=_("Outcome"), width=2.6),
        Column(title=_("Photos"), width=1.6),
    )


def _table(view: View, seen: list[tuple[Observation, Ref]], caption: str) -> Table:
    return Table(columns=_columns(), rows=tuple(_row(view, o, ref) for o, ref in seen), caption=caption)


def _row(view: View, seen: Observation, ref: Ref) -> TableRow:
    def grade(value: object) -> str:
        return "–" if value is None else str(value)

    refs = together([named(view.evidence.any(r), r) for r in seen.outcome_refs])
    outcome = text(term(seen.outcome)) if seen.outcome else (Run(_("no outcome recorded"), "warn"),)
    return TableRow(
        cells=(
            text(ref.label),
            lines(given(seen.what), (Run(seen.note, "quiet"),) if seen.note else ()),
            text(f"{grade(seen.grade_in)} → {grade(seen.grade_out)}"),
            lines(outcome, refs),
            named_files(view.evidence, seen.photos) or text(_("none")),
        ),
        anchor=ref.target,
    )
