"""Paint film: the maps on the plan, what polishing took off, what stands out, and acceptance of new paint."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from buildbook.dossier.drawing import Drawing
from buildbook.dossier.drawings.change import ChangeRow, before_after
from buildbook.dossier.drawings.film_map import Classes, classes_for, film_map
from buildbook.dossier.drawings.frame import HALF, beside
from buildbook.dossier.drawings.numbers import amount, fixed, plain, with_unit
from buildbook.dossier.drawings.sentences import (
    acceptance_sentence,
    limit_words,
    listed,
    remaining_sentence,
    removal_sentence,
    signs_sentence,
    spots_sentence,
    the,
)
from buildbook.dossier.grouping import ref_range
from buildbook.dossier.measured_figures.common import Entry, by, claim, entries, figure, place, refs, summary
from buildbook.dossier.measured_figures.general import notes, strip_blocks
from buildbook.dossier.model import Block, Column, Run, Table, TableRow, text
from buildbook.dossier.verdicts import TONES
from buildbook.dossier.view import View
from buildbook.dossier.wording import _
from buildbook.records.words import Body, Operation, ReadingStage
from buildbook.records.zones import zone
from buildbook.rules.judged import limit_for
from buildbook.rules.readings_paint import Polished, polished, removal_limit
from buildbook.rules.settings import choice, film_settings, number
from buildbook.trade.decision import Decision
from buildbook.trade.faults import TradeError
from buildbook.trade.film import (
    PointRemoval,
    ShareRule,
    accept_80_20,
    judge_remaining,
    judge_removal,
    removal_at_points,
    signs_of_repair,
    too_thin,
)
from buildbook.trade.film_spots import judge_area
from buildbook.trade.statistics import Summary
from buildbook.trade.units import convert

KIND = "film_thickness"
_FIRST_WIDTH = 440.0  # so that the map on arrival and the later ones share a page
PAINTED = "film-paint"
NOMINAL = "film_nominal"  # the job's limit that states the nominal film of fresh paint


def film_blocks(view: View) -> list[Block]:
    """Everything the film readings show, in the order of the work."""
    items = entries(view, KIND)
    return [
        *notes(view, items),
        *_arrival(view, items),
        *_maps(view, items),
        *_new_paint(view, items),
        *_polishing(view, items),
    ]


def _counted(items: Sequence[Entry]) -> list[Entry]:
    return [e for e in items if e.counts and e.what.si is not None]


# -- maps --------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Moment:
    """The film at one moment of the job: what the map is called, and the readings it shows."""

    title: str
    anchor: str
    items: tuple[Entry, ...]

    def by_zone(self) -> dict[str, list[Entry]]:
        return by(_counted(self.items), lambda e: e.reading.zone)

    def summaries(self) -> dict[str, Summary]:
        return {name: summary(found) for name, found in self.by_zone().items()}

    def left_out(self) -> frozenset[str]:
        return frozenset(e.reading.zone for e in self.items if not e.counts) - self.by_zone().keys()


def moments(view: View, items: Sequence[Entry]) -> list[Moment]:
    """At intake, after paint, after polishing, on leaving; those with readings."""

    def work(item: Entry) -> Operation | None:
        step = view.job.step(item.reading.step) if item.reading.step else None
        return step.operation if step else None

    def after(operation: Operation) -> list[Entry]:
        return [e for e in items if e.reading.stage is ReadingStage.AFTER and work(e) is operation]

    found = [
        Moment(_("on arrival"), "film-arrival", tuple(e for e in items if e.reading.stage is ReadingStage.INTAKE)),
        Moment(_("after paint"), PAINTED, tuple(after(Operation.PAINT))),
        Moment(_("after polishing"), "film-polish", tuple(after(Operation.POLISH))),
        Moment(_("on leaving"), "film-leaving", tuple(e for e in items if e.reading.stage is ReadingStage.HANDOVER)),
    ]
    return [m for m in found if m.items]


def _maps(view: View, items: Sequence[Entry]) -> list[Block]:
    body = view.job.vehicle.body
    found = moments(view, items)
    means = [s.mean for m in found for s in m.summaries().values()]
    if body is None or not means:
        return []
    classes = classes_for(means)
    blocks: list[Block] = []
    first, later = found[0], found[1:]
    drawing = _map(body, first, classes, _FIRST_WIDTH)
    said = _("Film thickness {when}: mean of each panel in µm, and the number of readings n.")
    blocks.append(figure(drawing, said.format(when=first.title), first.items, first.anchor))
    if later:
        # Panels not worked on were not measured again: smaller maps, on the same scale, say so at a glance.
        maps = [_map(body, moment, classes, HALF, legend=False) for moment in later]
        said = _("Film thickness {when}, on the scale of the map above; hatched: not measured at that time.")
        said = said.format(when=listed([m.title for m in later]))
        items = [e for m in later for e in m.items]
        blocks.append(figure(beside(maps) if len(maps) > 1 else maps[0], said, items, "film-later"))
    return blocks


def _map(body: Body, moment: Moment, classes: Classes, width: float, *, legend: bool = True) -> Drawing:
    links = {name: group[0].ref.target for name, group in moment.by_zone().items()}
    return film_map(
        body, moment.summaries(), classes=classes, links=links, left_out=moment.left_out(), title=moment.title,
        legend=legend, width=width,
    )  # fmt: skip


# -- arrival -----------------------------------------------------------------------------------------------------------


def _panels(items: Sequence[Entry]) -> dict[str, list[Entry]]:
    """Painted panels alone: a sill under stone-guard paint or a wheel says nothing about the car's median."""
    found = by(_counted(items), lambda e: e.reading.zone)
    return {name: group for name, group in found.items() if (z := zone(name)) is not None and z.group == "panel"}


def _values(panels: Mapping[str, Sequence[Entry]]) -> dict[str, list[Decimal]]:
    return {name: summary_values(group) for name, group in panels.items()}


def _arrival(view: View, items: Sequence[Entry]) -> list[Block]:
    """The range over the car, and panels that stand out against its own median."""
    panels = _panels([e for e in items if e.reading.stage is ReadingStage.INTAKE])
    if not panels:
        return []
    means = {name: summary(group) for name, group in panels.items()}
    thin, thick = min(means, key=lambda n: means[n].mean), max(means, key=lambda n: means[n].mean)
    everything = [e for group in panels.values() for e in group]
    said = _("On arrival the film was measured on {n} panels: mean {low} on {thin} to {high} on {thick}.").format(
        n=len(panels), low=with_unit(fixed(means[thin].mean, 0), "µm"), thin=the(thin),
        high=with_unit(fixed(means[thick].mean, 0), "µm"), thick=the(thick),
    )  # fmt: skip
    blocks: list[Block] = [claim(said, everything)]
    settings = film_settings(view.job)
    for panel in signs_of_repair(_values(panels), settings):
        if panel.above > 0 or panel.signs == ("spread",):
            blocks.append(claim(signs_sentence(panel), panels[panel.panel]))
    for name, lowest in too_thin(_values(panels), settings):
        least = with_unit(plain(lowest), "µm")
        note = _("{zone}: {least} at its thinnest, below the {limit} this record treats as thin already.").format(
            zone=_upper(the(name)), least=least, limit=with_unit(plain(settings.thin_below), "µm")
        )
        blocks.append(claim(note, panels[name]))
    return blocks


def _upper(said: str) -> str:
    return said[:1].upper() + said[1:]


# -- new paint ---------------------------------------------------------------------------------------------------------


def _new_paint(view: View, items: Sequence[Entry]) -> list[Block]:
    """Acceptance after ISO 19840 where the job sets a nominal thickness; and the strip of what has limits."""
    painted = [m for m in moments(view, items) if m.anchor == PAINTED]
    blocks: list[Block] = []
    for moment in painted:
        for name, group in moment.by_zone().items():
            said = _accepted(view, name, group)
            if said:
                blocks.append(claim(said, group))
    judged = [e for e in items if e.judged.judged]
    if judged:
        blocks.extend(_limits(view, judged))
    return blocks


def _accepted(view: View, name: str, group: Sequence[Entry]) -> str:
    """New paint of one panel by the rule the job has chosen; "" where no nominal film is stated."""
    limit = limit_for(view.job, NOMINAL, name)
    if limit is None or limit.min is None or limit.min <= 0:
        return ""
    rule = choice(view.job, "film_acceptance")
    try:
        nominal = convert(limit.min, limit.unit, "µm")
        most = None if limit.max is None else convert(limit.max, limit.unit, "µm")
        if rule == "spots":
            spots = by(group, lambda e: e.reading.point)
            values = [[e.what.si for e in found if e.what.si is not None] for found in spots.values()]
            area = judge_area(values, nominal, Decimal("Infinity") if most is None else most)
            return spots_sentence(name, area, nominal)
        share = ShareRule.LENIENT if rule == "lenient" else ShareRule.STRICT
        found = accept_80_20(summary_values(group), nominal, rule=share, maximum=most)
    except TradeError:
        return ""
    return acceptance_sentence(name, found, nominal)


def summary_values(group: Sequence[Entry]) -> list[Decimal]:
    """The values in µm."""
    return [e.what.si for e in group if e.what.si is not None]


def _limits(view: View, judged: Sequence[Entry]) -> list[Block]:
    words = by(judged, lambda e: (e.reading.zone, e.stage))
    blocks: list[Block] = []
    for (name, stage), group in words.items():
        worst = sorted({e.word for e in group})
        low, high = group[0].low, group[0].high
        unit = group[0].what.unit.symbol if group[0].what.unit else ""
        span = limit_words(low, high, unit)
        said = _("Film on {zone}, {stage}: {n} readings against {span}: {words}.").format(
            zone=the(name), stage=stage, n=len(group), span=span, words=listed([_(word) for word in worst])
        )
        blocks.append(claim(said, group))
    return [*blocks, *strip_blocks(view, KIND, only_judged=True)]


# -- polishing ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Work:
    """One panel polished: what was taken off at which points, and the verdict where there is a limit."""

    zone: str
    found: PointRemoval
    decision: Decision | None
    limit: str
    items: tuple[Entry, ...]


def _polishing(view: View, items: Sequence[Entry]) -> list[Block]:
    works = [w for pair in polished(view.job) if (w := _work(view, pair, items)) is not None]
    if not works:
        return []
    blocks: list[Block] = []
    for work in works:
        removal, points = work.found.removal, len(work.found.points)
        blocks.append(claim(removal_sentence(work.zone, removal, work.decision, points), work.items))
        decision = judge_remaining(removal.after, number(view.job, "film_remaining_um"))
        after = [e for e in work.items if e.reading.stage is ReadingStage.AFTER]
        blocks.append(claim(remaining_sentence(work.zone, removal.after, decision), after))
    everything = [e for w in works for e in w.items]
    limits = {w.limit for w in works}
    shared = limits.pop() if len(limits) == 1 else ""
    chart = before_after([_change(w) for w in works], quantity=_("Film thickness"), unit="µm", limit=shared)
    caption = _("Film before and after polishing at the same marked points; bars are U = 2 u of the mean.")
    blocks.append(figure(chart, caption, everything, "film-removed"))
    blocks.append(_table(works))
    return blocks


def _work(view: View, pair: Polished, items: Sequence[Entry]) -> _Work | None:
    """The removal from readings that count; None where no point was measured both times by such readings."""
    entry = {id(e.reading): e for e in items if e.counts}

    def counted(points: Mapping[str, list[tuple[object, Decimal]]]) -> dict[str, list[tuple[object, Decimal]]]:
        found = {p: [(r, v) for r, v in values if id(r) in entry] for p, values in points.items()}
        return {p: values for p, values in found.items() if values}

    sound = replace(pair, before=counted(pair.before), after=counted(pair.after))  # type: ignore[arg-type]
    stated = [e.judged.uncertainty for e in entry.values() if e.judged.uncertainty is not None]
    try:
        found = removal_at_points(
            sound.means(sound.before), sound.means(sound.after), u_gauge=max(stated) / 2 if stated else None
        )
    except TradeError:
        return None
    used = [entry[id(r)] for side in (sound.before, sound.after) for p in found.points for r, _v in side[p]]
    limit = removal_limit(view.job, pair.zone)
    decision = judge_removal(found.removal, limit[0]) if limit else None
    said = _("at most {limit} taken off").format(limit=plain(limit[0])) if limit else ""
    return _Work(pair.zone, found, decision, said, tuple(used))


def _change(work: _Work) -> ChangeRow:
    r = work.found.removal
    return ChangeRow(
        label=place(work.zone), before=r.before, after=r.after, change=-r.removed, uncertainty=r.expanded,
        word=str(work.decision.word) if work.decision else "", link=work.items[0].ref.target,
    )  # fmt: skip


def _table(works: Sequence[_Work]) -> Table:
    columns = (
        Column(title=_("Panel"), width=2.2),
        Column(title=_("Points"), width=0.8, align="right", nowrap=True),
        Column(title=_("Before"), width=1.3, align="right", nowrap=True),
        Column(title=_("After"), width=1.3, align="right", nowrap=True),
        Column(title=_("Taken off"), width=1.6, align="right", nowrap=True),
        Column(title=_("u"), width=0.9, align="right", nowrap=True),
        Column(title=_("Limit"), width=1.3, align="right", nowrap=True),
        Column(title=_("Verdict"), width=1.5),
        Column(title=_("Readings"), width=1.8),
    )
    rows = tuple(TableRow(cells=_cells(w)) for w in works)
    return Table(columns=columns, rows=rows, caption=_("Film taken off by polishing, at the same points"), dense=True)


def _cells(work: _Work) -> tuple[tuple[Run, ...], ...]:
    r, none = work.found.removal, (Run(_("none"), "quiet"),)
    limit = work.decision.upper if work.decision else None
    word = str(work.decision.word) if work.decision else ""
    return (
        text(place(work.zone)),
        text(str(len(work.found.points))),
        text(with_unit(fixed(r.before.mean, 1), "µm")),
        text(with_unit(fixed(r.after.mean, 1), "µm")),
        text(amount(r.removed, r.expanded, "µm", 1)),
        text(with_unit(fixed(r.u, 2), "µm")) if r.u is not None else text("–"),
        text(with_unit(plain(limit), "µm")) if limit is not None else none,
        (Run(_(word), TONES.get(word, "plain")),) if word else (Run(_("not judged"), "quiet"),),
        ref_range(refs(work.items)),
    )
