"""Section 6: readings. How they are judged, each kind with its statistics and every value, what lies outside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from buildbook.dossier import view as at
from buildbook.dossier.evidence import named
from buildbook.dossier.figures import reading_figures
from buildbook.dossier.formats import as_day
from buildbook.dossier.grouping import Item, items_of, stage_text
from buildbook.dossier.instruments import instruments, limits_of_job, settings_of_job
from buildbook.dossier.marks import in_words
from buildbook.dossier.model import Block, Column, Heading, Paragraph, Run, Section, Table, TableRow, Text, text
from buildbook.dossier.outside import exception_blocks, outside_blocks
from buildbook.dossier.readings import Verdict, kind_title
from buildbook.dossier.statistics import statistics
from buildbook.dossier.verdicts import limits_text, value_text, verdict_text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, lines, not_recorded, phrase, plural, sentences, together
from buildbook.trade.kinds import KINDS, UNSOURCED, Kind


def build(view: View) -> Section:
    items = items_of(view)
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

    blocks.append(heading(_("Readings outside their limits"), at.OUTSIDE))
    blocks.extend(outside_blocks(view, items))
    blocks.append(heading(_("Exceptions that were accepted"), at.EXCEPTIONS))
    blocks.extend(exception_blocks(view, items))
    for n, name in enumerate(kinds_in_order(view), 1):
        of_kind = [item for item in items if item[0].kind == name]
        blocks.append(heading(kind_title(view.kinds, name), f"sub-kind-{n}"))
        blocks.extend(_kind(view, name, of_kind))
    if view.job.instruments:
        blocks.append(heading(_("Instruments and their calibration"), "sub-instruments"))
        blocks.append(instruments(view))
    if view.job.limits:
        blocks.append(heading(_("Limits set for this job"), "sub-limits"))
        blocks.append(limits_of_job(view))
    if view.job.settings:
        blocks.append(heading(_("Settings of this job"), "sub-settings"))
        blocks.append(settings_of_job(view))
    return Section(anchor=at.READINGS, number="6", title=_("Readings"), blocks=tuple(blocks))


def kinds_in_order(view: View) -> list[str]:
    """The kinds with readings, in the order of the table of kinds; the job's own and unknown ones behind, by name."""
    used = {r.kind for r in view.job.readings}
    table = [k.name for k in KINDS if k.name in used]
    return [*table, *sorted(used - set(table))]


def _how(items: Sequence[Item]) -> list[Block]:
    said = _(
        "Values stand as they were written, with their unit. A value on a limit is within it. Where an expanded "
        "uncertainty U is stated (k = 2), the limit is moved inwards by U and four words are used: pass, conditional "
        "pass, conditional fail, fail (ILAC-G8:09/2019, guard band w = U). Where none is stated the value alone is "
        "held against the limit: simple acceptance, uncertainty not considered."
    )
    blocks: list[Block] = [Paragraph(text=text(said), style="quiet")]
    uncounted = sum(1 for _r, _ref, v in items if not v.counts)
    if uncounted:
        said = plural(
            "{n} value is shown and does not count as evidence for a pass; the reason stands beside it.",
            "{n} values are shown and do not count as evidence for a pass; the reason stands beside each.",
            uncounted,
        )
        blocks.append(Paragraph(text=text(Run(said, "warn"))))
    return blocks


def _columns() -> tuple[Column, ...]:
    return (
        Column(title=_("No."), width=0.9, nowrap=True),
        Column(title=_("Point"), width=2.6),
        Column(title=_("Value"), width=2.0, align="right", nowrap=True),
        Column(title=_("Detail"), width=2.6),
        Column(title=_("Verdict"), width=2.8),
    )


def _kind(view: View, name: str, items: Sequence[Item]) -> list[Block]:
    blocks: list[Block] = []
    kind = view.kinds.get(name)
    if kind is not None:
        said = _("What the kind is judged by: {source}.").format(source=in_words(_of_table(kind, kind.source)))
        if kind.caution:
            said = sentences(said, _("Caution: {caution}").format(caution=in_words(_of_table(kind, kind.caution))))
        blocks.append(Paragraph(text=text(said), style="quiet"))
    blocks.extend(reading_figures(view, name))
    summary = statistics(view, items)
    if summary is not None:
        blocks.append(summary)
    rows: list[TableRow] = []
    for series in series_of(view, items):
        rows.append(TableRow(cells=(_series(view, series),), group=True))
        rows.extend(_row(view, item, series) for item in series)
    caption = _("Every value: {kind}").format(kind=kind_title(view.kinds, name))
    blocks.append(Table(columns=_columns(), rows=tuple(rows), caption=caption, dense=True))
    return blocks


def _of_table(kind: Kind, said: str) -> str:
    """What the table of kinds says, looked up; a kind of the job's own speaks for itself."""
    return _(said) if kind in KINDS or said == UNSOURCED else said


def series_of(view: View, items: Sequence[Item]) -> list[list[Item]]:
    """Values that share all but point and value: zone, stage, step, instrument, person, day and limits.

    Zones in the order of their first reading; within a zone series in the order of theirs.
    """
    found: dict[tuple[object, ...], list[Item]] = {}
    for item in items:
        r, _ref, v = item
        key = (
            r.zone, r.stage, r.step, r.instrument, r.by, as_day(r.on, view.formats),
            v.limit_min, v.limit_max, v.limit_unit, v.limit_source, "" if v.judged else v.rule,
        )  # fmt: skip
        found.setdefault(key, []).append(item)
    zones = list(dict.fromkeys(r.zone for r, _ref, _v in items))
    return sorted(found.values(), key=lambda series: zones.index(series[0][0].zone))


def _series(view: View, series: Sequence[Item]) -> Text:
    """What the values of a series share, in one or two lines."""
    reading, _ref, verdict = series[0]
    where = together(
        [
            view.zone(reading.zone) or text(_("zone not recorded")),
            stage_text(reading.stage) or not_recorded(),
            named(view.evidence.step(reading.step), reading.step),
        ],
        " · ",
    )
    quietly = together(
        [
            named(view.evidence.instrument(reading.instrument), reading.instrument) or text(_("no instrument named")),
            view.person(reading.by) or text(_("by whom not recorded")),
            text(view.formats.day(as_day(reading.on, view.formats)) if reading.on else _("date not recorded")),
            _held_against(view, verdict),
        ],
        " · ",
    )
    return (*where, *(Run(run.text, "quiet", run.target) for run in (Run("\n"), *quietly)))


def _held_against(view: View, verdict: Verdict) -> Text:
    if verdict.limit_min is None and verdict.limit_max is None:
        return text(_("not judged: {why}").format(why=verdict.rule))
    source = verdict.limit_source or _("source not recorded")
    limits = phrase(_("limits {limits} ({source})"), limits=limits_text(view, verdict), source=source)
    if verdict.judged:
        return limits
    return together([limits, text(_("not judged: {why}").format(why=verdict.rule))])


def _row(view: View, item: Item, series: Sequence[Item]) -> TableRow:
    reading, ref, verdict = item
    clock = f"{view.formats.local(reading.on):%H:%M}" if isinstance(reading.on, datetime) else ""
    point = together([text(reading.point), text(clock)], " · ") or text("–")
    own = (Run(_("written as {id}").format(id=reading.id), "quiet"),) if reading.id not in ("", ref.label) else ()
    exception = (Run(_("accepted exception"), "warn", at.EXCEPTIONS),) if reading.exception else ()
    return TableRow(
        cells=(
            text(ref.label),
            point,
            given(value_text(view, reading)),
            together([text(reading.detail), own], " · "),
            lines(verdict_text(view, verdict), exception),
        ),
        anchor=ref.target,
    )
