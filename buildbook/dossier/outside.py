"""Readings outside their limits: what was found so, what was left so, and the exceptions with who accepted them."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.dossier import view as at
from buildbook.dossier.evidence import named
from buildbook.dossier.grouping import (
    Group,
    Item,
    grouped,
    limits_of_group,
    ref_range,
    values_text,
    verdicts_text,
    what_text,
)
from buildbook.dossier.model import Block, Column, Paragraph, Run, Table, TableRow, Text, text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, given, lines, phrase, together
from buildbook.records.job import Reading
from buildbook.rules.understood import AS_FOUND, LEFT_BEHIND


def left_outside(items: Sequence[Item]) -> list[Item]:
    """Readings outside their limits that do not merely say how the vehicle was found."""
    return [item for item in items if item[2].outside and item[0].stage not in AS_FOUND]


def found_outside(items: Sequence[Item]) -> list[Item]:
    """Readings outside their limits at intake or before the work: what the work was for."""
    return [item for item in items if item[2].outside and item[0].stage in AS_FOUND]


def _columns(last: str) -> tuple[Column, ...]:
    return (
        Column(title=_("No."), width=1.5),
        Column(title=_("What was measured"), width=2.4),
        Column(title=_("Value"), width=2.1, align="right", nowrap=True),
        Column(title=_("Limits"), width=1.6),
        Column(title=_("Verdict"), width=1.6),
        Column(title=last, width=2.8),
    )


def outside_blocks(view: View, items: Sequence[Item]) -> list[Block]:
    left, found = left_outside(items), found_outside(items)
    blocks: list[Block] = []
    if left:
        rows = [_row(view, group, _accepted(group)) for group in grouped(left)]
        blocks.append(
            Table(columns=_columns(_("Accepted")), rows=tuple(rows), caption=_("Outside during or after the work"))
        )
    else:
        blocks.append(Paragraph(text=text(_("No reading taken during or after the work lies outside its limits."))))
    if found:
        rows = [_row(view, group, _since(view, group, items)) for group in grouped(found)]
        caption = _("Outside as the vehicle was found, and what was measured since")
        blocks.append(Table(columns=_columns(_("Since the work")), rows=tuple(rows), caption=caption))
    return blocks


def exception_blocks(view: View, items: Sequence[Item]) -> list[Block]:
    accepted = [item for item in items if item[0].exception]
    if not accepted:
        return [Paragraph(text=text(_("No exception is on record.")))]
    rows = [_row(view, Group((item,)), _reason(view, item[0])) for item in accepted]
    caption = _("Accepted exceptions: who, when and why")
    return [Table(columns=_columns(_("Why, accepted by whom and when")), rows=tuple(rows), caption=caption)]


def _row(view: View, group: Group, last: Text) -> TableRow:
    return TableRow(
        cells=(
            ref_range(group.refs),
            what_text(view, group),
            values_text(view, group),
            limits_of_group(view, group),
            verdicts_text(group),
            last,
        )
    )


def _accepted(group: Group) -> Text:
    n = sum(1 for r, _ref, _v in group.items if r.exception)
    if n == len(group.items):
        return (Run(_("accepted as an exception, see below"), "plain", at.EXCEPTIONS),)
    if n:
        return (Run(_("not all of them accepted, see below"), "bad", at.EXCEPTIONS),)
    return (Run(_("not accepted by anybody"), "bad"),)


def _since(view: View, group: Group, items: Sequence[Item]) -> Text:
    """What was measured in the same place after the work, with its verdict."""
    kind, zone = group.first.kind, group.first.zone
    later = [i for i in items if i[0].kind == kind and i[0].zone == zone and i[0].stage in LEFT_BEHIND]
    points = {r.point for r, _ref, _v in group.items}
    # The very same points where there are any; after new discs, say, others may have been taken.
    later = [i for i in later if i[0].point in points] or later
    if not later:
        return (Run(_("not measured again"), "quiet"),)
    parts: list[Text] = []
    for after in grouped(later):
        flat = together([text(run.text.replace("\n", comma())) for run in values_text(view, after)], "")
        parts.append(
            phrase(
                _("{refs}: {values}, {verdict}"), refs=ref_range(after.refs), values=flat, verdict=verdicts_text(after)
            )
        )
    return lines(*parts)


def _reason(view: View, reading: Reading) -> Text:
    approval = view.job.approvals_by_id.get(reading.approval)
    if approval is None:
        who = named(None, reading.approval) or (Run(_("no approval named"), "warn"),)
    else:
        by = phrase(_("by {who}"), who=given(approval.given_by))
        ref = named(view.evidence.approval(reading.approval), reading.approval)
        who = together([by, text(view.formats.day(approval.on)), ref])
    return lines(text(reading.exception), who)
