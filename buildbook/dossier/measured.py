"""Section 6: readings. How they are judged, each kind with its statistics and every value, what lies outside."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import named
from buildbook.dossier.figures import reading_figures
from buildbook.dossier.instruments import instruments, limits_of_job
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
    text,
)
from buildbook.dossier.readings import Verdict, kind_title
from buildbook.dossier.statistics import statistics
from buildbook.dossier.terms import term
from buildbook.dossier.verdicts import limits_text, value_text, verdict_text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, lines, not_recorded, phrase, plural, together
from buildbook.records.job import Reading
from buildbook.records.zones import zone_title

Item = tuple[Reading, Ref, Verdict]


def build(view: View) -> Section:
    items: list[Item] = [
        (r, ref, v) for (r, ref), v in zip(view.evidence.readings, view.verdicts, strict=True)
    ]
    blocks: list[Block] = []
    if not items:
        blocks.append(Paragraph(text=text(_("The record holds no reading."))))
    else:
        blocks.extend(_how(items))
    number = 0

    def heading(title: str, anchor: str) -> Heading:
        nonlocal number
        number += 1
        return Heading(level=2, number=f"6.{number}", text=title, anchor=anchor)

    for n, name in enumerate(kinds_in_order(view), 1):
        of_kind = [item for item in items if item[0].kind == name]
        blocks.append(heading(kind_title(view.kinds, name), f"sub-kind-{n}"))
        blocks.extend(_kind(view, name, of_kind))
    blocks.append(heading(_("Readings outside their limits"), at.OUTSIDE))
    blocks.extend(_outside(view, items))
    blocks.append(heading(_("Exceptions that were accepted"), at.EXCEPTIONS))
    blocks.extend(_exceptions(view, items))
    if view.job.instruments:
        blocks.append(heading(_("Instruments and their calibration"), "sub-instruments"))
        blocks.append(instruments(view))
    if view.job.limits:
        blocks.append(heading(_("Limits set for this job"), "sub-limits"))
        blocks.append(limits_of_job(view))
    return Section(anchor=at.READINGS, number="6", title=_("Readings"), blocks=tuple(blocks))


def kinds_in_order(view: View) -> list[str]:
    """The kinds with readings, in the order of the table of kinds; unknown ones behind, by name."""
    from buildbook.trade.kinds import KINDS

    used = {r.kind for r in view.job.readings}
    table = [k.name for k in KINDS if k.name in used]
    return [*table, *sorted(used - set(table))]


def _how(items: list[Item]) -> list[Block]:
    said = _(
        "Values stand as they were written, with their unit. A value on a limit is within it. Where an expanded "
        "uncertainty U is stated (k = 2), the limit is moved inwards by U and four words are used: pass, conditional "
        "pass, conditional fail, fail (ILAC-G8:09/2019, guard band w = U). Where none is stated the value alone is "
        "held against the limit: simple acceptance, uncertainty not considered."
    )
    uncounted = sum(1 for _r, _ref, v in items if not v.counts)
    blocks: list[Block] = [Paragraph(text=text(said), style="quiet")]
    if uncounted:
        one = _("{n} value was measured with an instrument not shown to be in calibration on that day: it is shown, "
                "and does not count as evidence for a pass.")  # fmt: skip
        many = _("{n} values were measured with an instrument not shown to be in calibration on that day: they are "
                 "shown, and do not count as evidence for a pass.")  # fmt: skip
        blocks.append(Paragraph(text=text(Run(plural(one, many, uncounted), "warn"))))
    return blocks


def _kind(view: View, name: str, items: list[Item]) -> list[Block]:
    blocks: list[Block] = []
    kind = view.kinds.get(name)
    if kind is not None:
        said = _("What the kind is judged by: {source}.").format(source=kind.source)
        if kind.caution:
            said += " " + _("Caution: {caution}").format(caution=kind.caution)
        blocks.append(Paragraph(text=text(said), style="quiet"))
    blocks.extend(reading_figures(view, name))
    summary = statistics(view, items)
    if summary is not None:
        blocks.append(summary)
    title = kind_title(view.kinds, name)
    ordered = sorted(items, key=lambda item: _zone_rank(view, item[0]))
    rows: list[TableRow] = []
    last: str | None = None
    for reading, ref, verdict in ordered:
        if reading.zone != last:
            last = reading.zone
            name_of_zone = zone_title(reading.zone) if reading.zone else _("Zone not recorded")
            rows.append(TableRow(cells=(text(name_of_zone),), group=True))
        rows.append(_row(view, reading, ref, verdict))
    caption = _("Every value: {kind}").format(kind=title)
    blocks.append(Table(columns=_COLUMNS, rows=tuple(rows), caption=caption, dense=True))
    return blocks


def _zone_rank(view: View, reading: Reading) -> int:
    order = list(dict.fromkeys(r.zone for r in view.job.readings))
    return order.index(reading.zone)


_COLUMNS = (
    Column(title=_("No."), width=0.9, nowrap=True),
    Column(title=_("Point, stage, step"), width=2.6),
    Column(title=_("Value"), width=1.7, align="right", nowrap=True),
    Column(title=_("Limits and source"), width=2.4),
    Column(title=_("Verdict"), width=2.0),
    Column(title=_("Instrument, by, on"), width=2.6),
)


def _row(view: View, reading: Reading, ref: Ref, verdict: Verdict) -> TableRow:
    where = together(
        [
            text(reading.point),
            text(term(reading.stage)) if reading.stage else not_recorded(),
            named(view.evidence.step(reading.step), reading.step),
        ],
        " · ",
    )
    own = (Run(_("written as {id}").format(id=reading.id), "quiet"),) if reading.id not in ("", ref.label) else ()
    source = (Run(verdict.limit_source, "quiet"),) if verdict.limit_source else ()
    if not source and (verdict.limit_min is not None or verdict.limit_max is not None):
        source = (Run(_("source of the limit not recorded"), "quiet"),)
    by = together(
        [
            named(view.evidence.instrument(reading.instrument), reading.instrument) or text(_("no instrument named")),
            view.person(reading.by) or not_recorded(),
            text(view.formats.when(reading.on)),
        ],
        " · ",
    )
    detail = (Run(reading.detail, "quiet"),) if reading.detail else ()
    exception = (Run(_("exception accepted, see below"), "warn", at.EXCEPTIONS),) if reading.exception else ()
    return TableRow(
        cells=(
            text(ref.label),
            lines(where, detail, own),
            given(value_text(view, reading)),
            lines(limits_text(view, verdict), source),
            lines(verdict_text(view, verdict), exception),
            by,
        ),
        anchor=ref.target,
    )


_SHORT = (
    Column(title=_("No."), width=0.9, nowrap=True),
    Column(title=_("What was measured"), width=2.6),
    Column(title=_("Value"), width=1.7, align="right", nowrap=True),
    Column(title=_("Limits"), width=1.8),
    Column(title=_("Verdict"), width=1.8),
    Column(title=_("Accepted"), width=3.2),
)


def _outside(view: View, items: list[Item]) -> list[Block]:
    found = [item for item in items if item[2].outside]
    if not found:
        return [Paragraph(text=text(_("No reading with limits lies outside them.")))]
    rows = []
    for reading, ref, verdict in found:
        accepted: Text = (Run(_("not accepted by anybody"), "bad"),)
        if reading.exception:
            accepted = (Run(_("accepted as an exception, see below"), "plain", at.EXCEPTIONS),)
        rows.append(_short_row(view, reading, ref, verdict, accepted))
    return [Table(columns=_SHORT, rows=tuple(rows), caption=_("Readings outside their limits"))]


def _exceptions(view: View, items: list[Item]) -> list[Block]:
    found = [item for item in items if item[0].exception]
    if not found:
        return [Paragraph(text=text(_("No exception is on record.")))]
    rows = []
    for reading, ref, verdict in found:
        approval = view.job.approvals_by_id.get(reading.approval)
        if approval is not None:
            who = together(
                [
                    phrase(_("by {who}"), who=given(approval.given_by)),
                    text(view.formats.day(approval.on)),
                    named(view.evidence.approval(reading.approval), reading.approval),
                ]
            )
        else:
            who = named(None, reading.approval) or (Run(_("no approval named"), "warn"),)
        rows.append(_short_row(view, reading, ref, verdict, lines(text(reading.exception), who)))
    return [Table(columns=_SHORT, rows=tuple(rows), caption=_("Accepted exceptions: who, when and why"))]


def _short_row(view: View, reading: Reading, ref: Ref, verdict: Verdict, accepted: Text) -> TableRow:
    where = together([view.zone(reading.zone), text(reading.point)], " · ")
    return TableRow(
        cells=(
            text(ref),
            lines(kind_title(view.kinds, reading.kind), where),
            given(value_text(view, reading)),
            limits_text(view, verdict),
            verdict_text(view, verdict),
            accepted,
        )
    )

