"""Section 4: the work. A time line, who worked, then every step in its order; the materials close it."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import links, named, named_files
from buildbook.dossier.model import (
    Block,
    Column,
    Figure,
    Heading,
    Paragraph,
    Section,
    Table,
    TableRow,
    text,
)
from buildbook.dossier.terms import term
from buildbook.dossier.timeline import build_timeline
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, lines, not_recorded, phrase, together
from buildbook.dossier.work_step import build_step
from buildbook.records.cautions import DEFERENCE


def build(view: View) -> Section:
    blocks: list[Block] = []
    drawing = build_timeline(view)
    if drawing is not None:
        caption = phrase(
            _("The job in time: bars are steps, diamonds are approvals. Source: dates in the record of each step.")
        )
        blocks.append(Figure(drawing=drawing, caption=caption, anchor="sub-timeline"))
    if not view.job.steps:
        blocks.append(Paragraph(text=text(_("The record holds no step of work."))))
    number = 1
    if view.job.people:
        blocks.extend(_people(view, f"4.{number}"))
        number += 1
    if any(step.cautions for step in view.job.steps):
        said = _(
            "Cautions stand where the work called for them; each names its source. {deference} They tell what usually "
            "has to be minded and do not say how the work was supervised."
        ).format(deference=_(DEFERENCE))
        blocks.append(Paragraph(text=text(said), style="quiet"))
    for n, (step, ref) in enumerate(view.evidence.steps, number):
        blocks.extend(build_step(view, step, ref, f"4.{n}"))
    if view.job.materials:
        blocks.extend(_materials(view, f"4.{number + len(view.job.steps)}"))
    return Section(anchor=at.WORK, number="4", title=_("The work, step by step"), blocks=tuple(blocks))


def _people(view: View, number: str) -> list[Block]:
    rows = []
    for person, ref in view.evidence.people:
        done = [r for s, r in view.evidence.steps if person.id and person.id in s.done_by]
        checked = [r for s, r in view.evidence.steps if person.id and person.id in s.checked_by]
        rows.append(
            TableRow(
                cells=(
                    given(person.name or person.id),
                    given(person.role),
                    given(person.qualification),
                    links(done) or text("–"),
                    links(checked) or text("–"),
                ),
                anchor=ref.target,
            )
        )
    columns = (
        Column(title=_("Name"), width=2),
        Column(title=_("Role"), width=1.6),
        Column(title=_("Qualification, as stated"), width=2),
        Column(title=_("Did"), width=2),
        Column(title=_("Checked"), width=1.6),
    )
    return [
        Heading(level=2, number=number, text=_("Who worked on it"), anchor="sub-people"),
        Table(columns=columns, rows=tuple(rows), caption=_("People and their steps")),
    ]


def _materials(view: View, number: str) -> list[Block]:
    rows = []
    for material, ref in view.evidence.materials:
        sheet = named_files(view.evidence, [material.data_sheet])
        rows.append(
            TableRow(
                cells=(
                    text(ref.label),
                    lines(given(material.name), together([text(material.maker), text(term(material.kind))], " · ")),
                    given(material.batch),
                    text(view.formats.day(material.expires)) if material.expires else not_recorded(),
                    together([named(view.evidence.step(s), s) for s in material.steps]) or not_recorded(),
                    sheet or not_recorded(),
                ),
                anchor=ref.target,
            )
        )
    columns = (
        Column(title=_("No."), width=0.8, nowrap=True),
        Column(title=_("Material, maker, kind"), width=3.2),
        Column(title=_("Batch"), width=1.6),
        Column(title=_("Expires"), width=1.6),
        Column(title=_("Used in"), width=1.4),
        Column(title=_("Data sheet"), width=1.2),
    )
    return [
        Heading(level=2, number=number, text=_("Materials and batches"), anchor="sub-materials"),
        Table(columns=columns, rows=tuple(rows), caption=_("Materials used")),
    ]
