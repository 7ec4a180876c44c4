"""Any kind of reading: rows against their limits, and what they show in a sentence or two."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from buildbook.dossier.drawings.frame import FULL
from buildbook.dossier.drawings.markers import NOT_EVIDENCE, NOT_JUDGED, WORDS
from buildbook.dossier.drawings.numbers import plain, with_unit
from buildbook.dossier.drawings.sentences import listed, the, worst_sentence
from buildbook.dossier.drawings.strips import StripRow, limits_strip
from buildbook.dossier.measured_figures.common import Entry, by, claim, deciding, entries, figure, place
from buildbook.dossier.model import Block, Claim
from buildbook.dossier.readings import kind_title
from buildbook.dossier.view import View
from buildbook.dossier.wording import N_, _, bracketed, comma, lowered, named_value, plural, sentences
from buildbook.records.words import Decision
from buildbook.trade.statistics import summarise

_MOST_ROWS = 34  # on one drawing; more are drawn on a second


def strip_blocks(
    view: View, kind: str, *, title: str = "", only_judged: bool = False, each: bool = False
) -> list[Block]:
    """One strip for each unit the readings are written in; none for kinds that are not numbers.

    each: a row for every reading with its time, for what is watched over hours rather than measured place by place.
    """
    blocks: list[Block] = []
    name = title or kind_title(view.kinds, kind)
    items = [e for e in _numbers(entries(view, kind)) if e.judged.judged or not only_judged]
    for unit, group in by(items, lambda e: e.what.unit.symbol if e.what.unit else "").items():
        rows = [(_moment_row(view, e), [e]) for e in group] if each else rows_of(group)
        for first in range(0, len(rows), _MOST_ROWS):
            part = rows[first : first + _MOST_ROWS]
            drawing = limits_strip([row for row, _e in part], quantity=name, unit=unit, width=FULL)
            shown = [e for _row, found in part for e in found]
            said = _("{what} by place and stage.").format(what=name)
            if any(row.points for row, _e in part):
                more = _("A row of several readings shows the one that decides; small ticks are the others.")
                said = sentences(said, more)
            blocks.append(figure(drawing, said, shown))
    return blocks


def _numbers(items: Sequence[Entry]) -> list[Entry]:
    return [e for e in items if e.value is not None]


def rows_of(items: Sequence[Entry]) -> list[tuple[StripRow, list[Entry]]]:
    """A row for each place and stage (and set of limits), zone by zone in the order of their first reading."""
    zones = list(dict.fromkeys(e.reading.zone for e in items))
    found = by(items, lambda e: (e.reading.zone, e.order, e.reading.step, e.low, e.high, e.counts))
    ordered = sorted(found.items(), key=lambda pair: (zones.index(pair[0][0]), pair[0][1]))
    return [(_row(group), group) for _key, group in ordered]


def _row(group: Sequence[Entry]) -> StripRow:
    chosen, count = deciding(group), len(group)
    first = chosen.reading
    values = [e.value for e in group if e.value is not None]
    parts = [place(first.zone), chosen.stage]
    value, places = values[0] if count == 1 else chosen.value or values[0], None
    uncertainty = chosen.judged.uncertainty
    if count == 1 and first.point:
        parts.append(_point(first.point))
    elif count > 1 and chosen.judged.decision is None:
        found = summarise(values)
        value, uncertainty = found.mean, None
        places = max(-int(v.as_tuple().exponent) for v in values) + 1 if all(v.is_finite() for v in values) else 1
        parts.append(_("mean of {n}").format(n=count))
    elif count > 1:
        parts.append(_point(first.point) if first.point else _("of {n}").format(n=count))
    return StripRow(
        label=" · ".join(parts), value=value, uncertainty=uncertainty, lower=chosen.low, upper=chosen.high,
        word=chosen.word, points=tuple(v for v in values if v != value), link=chosen.ref.target,
        places=None if places is None else max(0, places),
    )  # fmt: skip


def _point(name: str) -> str:
    return _("point {n}").format(n=name) if name.isdigit() else name


def _moment_row(view: View, item: Entry) -> StripRow:
    first = item.reading
    when = view.formats.stamp(first.on) if isinstance(first.on, datetime) else view.formats.when(first.on)
    return StripRow(
        label=" · ".join(p for p in (when, place(first.zone), first.point) if p), value=item.value or Decimal(0),
        uncertainty=item.judged.uncertainty, lower=item.low, upper=item.high, word=item.word, link=item.ref.target,
    )  # fmt: skip


def claims_of(view: View, kind: str, *, title: str = "") -> list[Claim]:
    """How many readings stand where, as found and as left, and the one nearest to its limit as left."""
    items = _numbers(entries(view, kind))
    name = title or kind_title(view.kinds, kind)
    made: list[Claim] = []
    for state, group in by(items, _state).items():
        said = _(state)
        if len(group) == 1:
            made.append(claim(_one(comma().join((name, group[0].when)), group[0]), group))
        else:
            told = _("{name}, {state}: {counts}.").format(name=name, state=said, counts=_counted(group))
            made.append(claim(told, group))
    left = [e for e in items if e.judged.judged and e.counts and _state(e) == _LEFT]
    if len(left) > 1:
        worst = deciding(left)
        lower = lowered(name)
        made.append(claim(_one(_("Nearest to its limit: {name}").format(name=lower), worst), [worst]))
    return made


_FOUND, _DURING, _LEFT = N_("as found"), N_("during the work"), N_("after the work")


def _state(item: Entry) -> str:
    stage = item.reading.stage
    if stage in ("after", "handover"):
        return _LEFT
    return _DURING if stage == "during" else _FOUND


def _counted(items: Sequence[Entry]) -> str:
    """`12 readings, 1.6 to 4.4 mm: 11 pass, 1 fail`; limits differ by place, so values are given as a span."""
    words = Counter(e.word for e in items)
    found = [f"{words[w]} {_(w)}" for w in WORDS if words[w]]
    values = [e.value for e in items if e.value is not None]
    unit = items[0].what.unit.symbol if items[0].what.unit else ""
    same = len({e.what.unit for e in items}) == 1
    count = plural("{n} reading", "{n} readings", len(items))
    if same:
        low, high = min(values), max(values)
        span = plain(low) if low == high else _("{low} to {high}").format(low=plain(low), high=plain(high))
        count = bracketed(count, with_unit(span, unit))
    if set(words) == {NOT_JUDGED}:
        return comma().join((count, _("no limit on record")))
    return named_value(count, comma().join(found))


def _one(what: str, item: Entry) -> str:
    """One reading with its value, limit and word."""
    where = _place(item.reading.zone, item.reading.point)
    unit = item.what.unit.symbol if item.what.unit else ""
    return worst_sentence(
        what, where, item.value if item.value is not None else Decimal(0), item.judged.uncertainty, unit, item.word,
        item.low, item.high, 1,
    )  # fmt: skip


def _place(zone: str, point: str) -> str:
    return comma().join(p for p in (the(zone), point) if p)


def not_evidence_claims(items: Sequence[Entry]) -> list[Claim]:
    """Which readings are shown and do not count, and why."""
    out = [e for e in items if not e.counts]
    if not out:
        return []
    instruments = listed(sorted({e.reading.instrument or _("no instrument named") for e in out}))
    said = _("{n} of these readings ({instruments}) are marked “{word}” and left out of every verdict.").format(
        n=len(out), word=_(NOT_EVIDENCE), instruments=instruments
    )
    return [claim(said, out)]


# Watched over time rather than measured place by place.
_WATCHED = frozenset({"air_temperature", "relative_humidity", "surface_temperature", "ozone", "carbon_dioxide"})


def exception_claims(view: View, items: Sequence[Entry]) -> list[Claim]:
    """Values accepted outside their limits: who accepted them, when and why. One sentence for one place and reason."""
    made: list[Claim] = []
    excused = [e for e in items if e.reading.exception]
    for (zone, point, why, name), group in by(
        excused, lambda e: (e.reading.zone, e.reading.point, e.reading.exception, e.reading.approval)
    ).items():
        approval = view.job.approvals_by_id.get(name)
        ref = view.evidence.approval(name) if name else None
        if approval is None or approval.decision is not Decision.APPROVED:
            who = _("no approval of it is on record")
        else:
            by_whom = _("by {who}").format(who=approval.given_by) if approval.given_by else _("by whom not recorded")
            who = _("accepted {by} on {day}").format(by=by_whom, day=view.formats.day(approval.on))
        where = _place(zone, point)
        said = _("Exception, {where}: {why} ({who}).").format(where=where, why=why.rstrip(". "), who=who)
        made.append(claim(said, group))
        if ref is not None:
            made[-1] = replace(made[-1], evidence=(*made[-1].evidence, ref))
    return made


def notes(view: View, items: Sequence[Entry]) -> list[Claim]:
    """What must be said besides the values: accepted exceptions, and readings that are no evidence."""
    return [*exception_claims(view, items), *not_evidence_claims(items)]


def general_blocks(view: View, kind: str) -> list[Block]:
    """Sentences, then the strip."""
    strips = strip_blocks(view, kind, each=kind in _WATCHED)
    return [*claims_of(view, kind), *notes(view, entries(view, kind)), *strips]


def grade_blocks(view: View, kind: str) -> list[Block]:
    """Grades of a scale in a sentence for each place: before the work and after it."""
    blocks: list[Block] = []
    name = kind_title(view.kinds, kind)
    for (zone, point), group in by(entries(view, kind), lambda e: (e.reading.zone, e.reading.point)).items():
        steps = [f"{e.reading.value_text} {e.when}" for e in sorted(group, key=lambda e: e.order)]
        where = _place(zone, point)
        said = _("{name}, {where}: {grades}.").format(name=name, where=where, grades=listed(steps))
        blocks.append(claim(said, group))
    return blocks
