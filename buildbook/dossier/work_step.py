"""One step of the work: who, when, on what; what was done; cautions, materials, photos and readings."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import capped, links, named
from buildbook.dossier.figures import step_figures
from buildbook.dossier.grouping import (
    grouped,
    items_of,
    limits_of_group,
    ref_range,
    values_text,
    verdicts_text,
    what_text,
)
from buildbook.dossier.marks import in_words
from buildbook.dossier.model import (
    Block,
    CautionBox,
    Claim,
    Column,
    Heading,
    KeyValues,
    Paragraph,
    PictureGrid,
    Ref,
    Run,
    Table,
    TableRow,
    Text,
    Together,
    text,
)
from buildbook.dossier.pairs import pairs_of_step
from buildbook.dossier.paragraphs import paragraphs
from buildbook.dossier.schedules import schedule_blocks
from buildbook.dossier.terms import term
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, beside, comma, not_recorded, phrase, plural, semicolon, together
from buildbook.records.cautions import caution
from buildbook.records.job import Material, Step
from buildbook.records.photo import Photo
from buildbook.records.words import Operation, Stage
from buildbook.rules.understood import LEFT_BEHIND

PLACED = 12  # photos of a step placed here at most; every photo stands in the index


def build_step(view: View, step: Step, ref: Ref, number: str) -> list[Block]:
    heading = Heading(
        level=2,
        number=number,
        text=step.title or step.id,
        anchor=ref.target,
        eyebrow=" · ".join(p for p in (ref.label, _kind(step), view.formats.span(step.started, step.finished)) if p),
    )
    blocks: list[Block] = [Together(blocks=(heading, _facts(view, step), *step_figures(view, step)))]
    blocks.extend(_cautions(step))
    blocks.extend(paragraphs(step.work_done))
    if step.outcome.strip():
        blocks.append(_outcome(view, step))
    if not step.work_done.strip() and not step.outcome.strip():
        blocks.append(Paragraph(text=text(Run(_("What was done is not recorded."), "warn"))))
    blocks.extend(_related(view, step))
    blocks.extend(schedule_blocks(view, step))
    blocks.extend(_photos(view, step))
    blocks.extend(_readings(view, step))
    return blocks


def _kind(step: Step) -> str:
    return term(step.operation) if step.operation else ""


def _facts(view: View, step: Step) -> KeyValues:
    approvals = together([named(view.evidence.approval(a), a) for a in step.approvals])
    started, finished = view.formats.when(step.started), view.formats.when(step.finished)
    rows: list[tuple[str, Text]] = [
        (_("Zones"), view.zone_list(step.zones) or not_recorded()),
        (_("Done by"), view.people(step.done_by)),
        (_("Checked by"), view.people(step.checked_by)),
        (_("Approved by"), approvals or not_recorded()),
        (_("Started"), text(started) if step.started else not_recorded()),
        (_("Finished"), text(finished) if step.finished else not_recorded()),
    ]
    return KeyValues(rows=tuple(rows))


def _cautions(step: Step) -> list[Block]:
    boxes: list[Block] = []
    for name in step.cautions:
        known = caution(name)
        if known:
            boxes.append(CautionBox(title=_(known.title), text=_(known.text), source=in_words(_(known.source))))
        else:
            boxes.append(
                CautionBox(
                    title=name,
                    text=_("Named by the workshop; the table of cautions has no text for it."),
                    source=_("stated by the workshop"),
                )
            )
    return boxes


def _outcome(view: View, step: Step) -> Claim:
    """What the step left behind, as a claim: its evidence are its `after` photos and the readings taken then.

    A step that only looks (intake, inspection) leaves nothing behind: what it saw is its evidence.
    """
    looks_only = step.operation in (Operation.INTAKE, Operation.INSPECT)
    photos = [
        view.photo_by_path[p.path][1] for p in view.job.photos_of(step) if looks_only or p.stage is Stage.AFTER
    ]
    readings = [
        ref
        for r, ref, v in items_of(view)
        if v.counts and (looks_only or r.stage in LEFT_BEHIND) and r.step and view.job.step(r.step) is step
    ]
    people = together([view.person(who) for who in step.done_by])
    return Claim(
        text=(Run(_("Outcome: "), "strong"), *text(step.outcome)),
        evidence=(*capped(photos, at.INDEX, 5), *capped(readings, at.READINGS, 5)),
        stated_by="".join(run.text for run in people),
    )


def _related(view: View, step: Step) -> list[Block]:
    """Links from the step to what it used, fitted and settled."""

    def of_step(name: str) -> bool:
        found = view.job.step(name)
        return found is not None and found.id == step.id

    parts = [(p, ref) for p, ref in view.evidence.parts if p.step and of_step(p.step)]
    materials = [(m, ref) for m, ref in view.evidence.materials if any(of_step(s) for s in m.steps)]
    settled = [ref for o, ref in view.evidence.observations if any(of_step(r) for r in o.outcome_refs)]
    rows: list[tuple[str, Text]] = []
    if settled:
        rows.append((_("Observations settled"), links(settled)))
    if parts:
        rows.append((_("Part lines"), together([text(ref, f" {p.what}") for p, ref in parts], semicolon())))
    if materials:
        rows.append((_("Materials"), together([_material(view, m, ref) for m, ref in materials], semicolon())))
    return [KeyValues(rows=tuple(rows), columns=1)] if rows else []


def _material(view: View, material: Material, ref: Ref) -> Text:
    batch = _("batch {batch}").format(batch=material.batch) if material.batch else _("batch not recorded")
    expires = _("expires {day}").format(day=view.formats.day(material.expires)) if material.expires else ""
    return text(ref, " ", comma().join(p for p in (material.name, batch, expires) if p))


def _photos(view: View, step: Step) -> list[Block]:
    """Pairs first, before next to after, then the others in path order; what does not fit is in the index."""
    blocks: list[Block] = []
    for stage, why in ((_("before"), step.no_before), (_("after"), step.no_after)):
        if why:
            said = phrase(_("No photo {stage} the work: {why}"), stage=stage, why=why)
            blocks.append(Paragraph(text=said, style="quiet"))
    shown = [p for p in view.job.photos_of(step) if p.shown]
    pairs = pairs_of_step(view.job, step)
    paired: dict[str, Photo] = {}
    for pair in pairs:
        paired |= {p.path: p for p in (pair.before, pair.after)}
    ordered = list(paired.values())
    across = 4 if pairs else 3  # four keep before and after next to each other
    # What the work looked like tells more than a lone before or after, so `during` comes next.
    rest = sorted((p for p in shown if p.path not in paired), key=lambda p: (p.stage is not Stage.DURING, p.path))
    ordered.extend(rest)
    placed = ordered[:PLACED]
    if placed:
        blocks.append(PictureGrid(pictures=tuple(view.picture(p) for p in placed), across=across))
    captions = [p.caption for p in pairs if p.caption]
    if captions:
        said = phrase(_("Pairs: {captions}"), captions=semicolon().join(captions))
        blocks.append(Paragraph(text=said, style="quiet"))
    if len(ordered) > PLACED:
        count = plural(
            "{n} more photo of this step is in the index:",
            "{n} more photos of this step are in the index:",
            len(ordered) - PLACED,
        )
        refs = [view.photo_by_path[p.path][1] for p in ordered[PLACED:]]
        shown_refs = refs if len(refs) <= 8 else [refs[0], refs[-1]]
        between = comma() if len(refs) <= 8 else " … "
        told = beside(count, together([text(r) for r in shown_refs], between))
        blocks.append(Paragraph(text=told, style="quiet"))
    if not shown:
        words = text(_("There is no photo of this step on file."))
        blocks.append(Paragraph(text=words, style="quiet"))
    return blocks


def _columns() -> tuple[Column, ...]:
    return (
        Column(title=_("No."), width=1.7),
        Column(title=_("What was measured"), width=3),
        Column(title=_("Value"), width=2.2, align="right"),
        Column(title=_("Limits"), width=1.9),
        Column(title=_("Verdict"), width=2.2),
    )


def _readings(view: View, step: Step) -> list[Block]:
    """The readings of the step, several of one kind in one row; every single one stands in section 6."""

    def of_step(name: str) -> bool:
        found = view.job.step(name) if name else None
        return found is not None and found.id == step.id

    groups = grouped(item for item in items_of(view) if of_step(item[0].step))
    rows = [
        TableRow(
            cells=(
                ref_range(group.refs),
                what_text(view, group),
                values_text(view, group),
                limits_of_group(view, group),
                verdicts_text(group),
            )
        )
        for group in groups
    ]
    if not rows:
        return []
    caption = _("Readings of step {title}").format(title=step.title or step.id)
    return [Table(columns=_columns(), rows=tuple(rows), caption=caption, dense=True)]
