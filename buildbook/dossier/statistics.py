"""The statistics of one kind of reading for each zone and stage: n, least, mean, greatest, s, and u of the mean."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier.formats import NBSP
from buildbook.dossier.model import Column, Ref, Run, Table, TableRow, text
from buildbook.dossier.readings import Verdict, kind_title
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.verdicts import limits_text, round_to
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, not_recorded
from buildbook.records.job import Reading
from buildbook.records.words import ReadingStage
from buildbook.trade.statistics import summarise

_Key = tuple[str, ReadingStage | None, str, str]


def statistics(view: View, items: Sequence[tuple[Reading, Ref, Verdict]]) -> Table | None:
    """A row for each zone, stage, step and unit with two values or more; None where there is no such row.

    Readings that do not count (instrument out of calibration) stay out of the statistics.
    """
    groups: dict[_Key, list[tuple[Reading, Verdict]]] = {}
    for reading, _ref, verdict in items:
        if reading.value is not None and reading.value.is_finite() and verdict.counts:
            key = (reading.zone, reading.stage, reading.step, reading.unit)
            groups.setdefault(key, []).append((reading, verdict))
    rows = [
        _row(view, key, group)
        for key, group in groups.items()
        if len(group) > 1
    ]
    if not rows:
        return None
    kind = kind_title(view.kinds, items[0][0].kind)
    columns = (
        Column(title=_("Zone"), width=2.4),
        Column(title=_("Stage, step"), width=2.2),
        Column(title=_("n"), width=0.6, align="right", nowrap=True),
        Column(title=_("Least"), width=1.3, align="right", nowrap=True),
        Column(title=_("Mean"), width=1.3, align="right", nowrap=True),
        Column(title=_("Greatest"), width=1.3, align="right", nowrap=True),
        Column(title=_("s"), width=1.0, align="right", nowrap=True),
        Column(title=_("u"), width=1.0, align="right", nowrap=True),
        Column(title=_("Limits"), width=2.0),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Statistics: {kind}").format(kind=kind), dense=True)


def _places(values: Sequence[Decimal]) -> int:
    exponents = [v.as_tuple().exponent for v in values]
    return max(0, *(-e for e in exponents if isinstance(e, int)))


def _row(view: View, key: _Key, group: Sequence[tuple[Reading, Verdict]]) -> TableRow:
    zone, stage, step, unit = key
    values = [r.value for r, _v in group if r.value is not None]
    found = summarise(values)
    places, number = _places(values), view.formats.number
    tail = f"{NBSP}{unit}" if unit else ""
    ref = view.evidence.step(step)
    where = text(term(stage) if stage else _("not recorded"), " · " if ref else "", ref or "")
    limits = {(v.limit_min, v.limit_max, v.limit_unit) for _r, v in group}
    return TableRow(
        cells=(
            text(zone_title(zone)) if zone else not_recorded(),
            where,
            text(str(found.n)),
            text(number(found.minimum) + tail),
            text(number(round_to(found.mean, places + 1)) + tail),
            text(number(found.maximum) + tail),
            text(number(round_to(found.s, places + 1)) + tail) if found.s is not None else text("–"),
            text(number(round_to(found.u_mean, places + 1)) + tail) if found.u_mean is not None else text("–"),
            limits_text(view, group[0][1]) if len(limits) == 1 else (Run(_("differ by point"), "quiet"),),
        )
    )
