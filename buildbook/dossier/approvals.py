"""Section 7: what the client agreed to, when and how, and what it was used for."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import links, named_files
from buildbook.dossier.model import Block, Column, Paragraph, Run, Section, Table, TableRow, Text, text
from buildbook.dossier.terms import term
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, not_recorded, together
from buildbook.records.job import Approval
from buildbook.records.words import Decision


def build(view: View) -> Section:
    blocks: list[Block] = []
    if view.job.approvals:
        blocks.append(_table(view))
    else:
        blocks.append(Paragraph(text=text(_("The record holds no approval by the client."))))
    return Section(anchor=at.APPROVALS, number="7", title=_("Approvals"), blocks=tuple(blocks))


def _table(view: View) -> Table:
    columns = (
        Column(title=_("No."), width=0.9, nowrap=True),
        Column(title=_("Date"), nowrap=True, width=1.6),
        Column(title=_("What"), width=4),
        Column(title=_("Decision"), width=1.3),
        Column(title=_("Given by, by which means"), width=2),
        Column(title=_("Document"), width=1.2),
        Column(title=_("Used for"), width=1.8),
    )
    rows = []
    for approval, ref in view.evidence.approvals:
        means = together([given(approval.given_by), text(approval.means)])
        rows.append(
            TableRow(
                cells=(
                    text(ref.label),
                    text(view.formats.day(approval.on)) if approval.on else not_recorded(),
                    given(approval.what),
                    _decision(approval),
                    means,
                    named_files(view.evidence, [approval.document]) or not_recorded(),
                    _used(view, approval),
                ),
                anchor=ref.target,
            )
        )
    return Table(columns=columns, rows=tuple(rows), caption=_("Approvals by the client"))


def _decision(approval: Approval) -> Text:
    if approval.decision is None:
        return not_recorded()
    return (Run(term(approval.decision), "good" if approval.decision is Decision.APPROVED else "warn"),)


def _used(view: View, approval: Approval) -> Text:
    """Links back to every record that names this approval."""
    if not approval.id:
        return text(_("nothing"))
    steps = [r for s, r in view.evidence.steps if approval.id in s.approvals]
    parts = [r for p, r in view.evidence.parts if p.approval == approval.id]
    seen = [r for o, r in view.evidence.observations if approval.id in o.outcome_refs]
    readings = [r for m, r in view.evidence.readings if m.approval == approval.id]
    return links([*steps, *parts, *seen, *readings]) or (Run(_("nothing on record"), "quiet"),)
