"""Brakes, tyres, fasteners, electrics, engine: the general strip, and the sentences that belong to each kind."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier.drawing import Drawing
from buildbook.dossier.drawings.courses import profile
from buildbook.dossier.drawings.frame import HALF, beside
from buildbook.dossier.drawings.numbers import amount, plain, with_unit
from buildbook.dossier.drawings.sentences import (
    age_sentence,
    compression_sentence,
    disc_sentence,
    judged,
    limit_words,
    sides_sentence,
)
from buildbook.dossier.drawings.strips import StripRow, limits_strip
from buildbook.dossier.due import due_list
from buildbook.dossier.marks import in_words
from buildbook.dossier.measured_figures.common import Entry, by, claim, entries, figure, place
from buildbook.dossier.measured_figures.general import claims_of, notes, strip_blocks
from buildbook.dossier.model import Block, Claim, Paragraph, text
from buildbook.dossier.readings import source_words
from buildbook.dossier.trade_words import trade_word
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, semicolon
from buildbook.rules.judged import limit_for
from buildbook.rules.settings import choice, number
from buildbook.trade.brakes import RUNOUT_ADVICE, fluid_grade, judge_disc, side_difference, thickness_variation
from buildbook.trade.decision import judge
from buildbook.trade.electrical import charge
from buildbook.trade.engine import compare_cylinders
from buildbook.trade.faults import TradeError
from buildbook.trade.statistics import summarise
from buildbook.trade.tyres import ADVISED_AT_MOST, DEFER, age_on, age_word, parse_date_code
from buildbook.trade.units import convert


def _unit(items: Sequence[Entry]) -> str | None:
    """The unit all entries are written in; None where they differ."""
    found = {e.what.unit.symbol for e in items if e.what.unit is not None}
    return found.pop() if len(found) == 1 else None


def _numbers(items: Sequence[Entry]) -> list[Decimal]:
    return [e.value for e in items if e.value is not None]


# -- brakes ------------------------------------------------------------------------------------------------------------


def disc_blocks(view: View, kind: str) -> list[Block]:
    """Each disc round its points, the thinnest against the minimum, and the thickness variation."""
    items = entries(view, kind)
    unit = _unit(items)
    if unit is None or not _numbers(items):
        return [*claims_of(view, kind), *notes(view, items), *strip_blocks(view, kind)]
    known = [e for e in items if e.value is not None]
    groups = by(known, lambda e: (e.reading.zone, e.order, e.reading.step, e.counts))
    ordered = sorted(groups.items(), key=lambda pair: (pair[0][1], _first(items, pair[0][0])))
    claims: list[Block] = []
    rows: list[StripRow] = []
    for _key, group in ordered:
        values, first = _numbers(group), group[0]
        if first.counts:
            minimum = first.low
            decision = judge_disc(values, minimum, expanded_uncertainty=first.judged.uncertainty) if minimum else None
            variation = _variation(values)
            claims.append(
                claim(
                    disc_sentence(first.reading.zone, first.when, summarise(values), decision, variation, unit), group
                )
            )
            if variation is not None:
                rows.append(_variation_row(view, group, variation, unit))
    blocks: list[Block] = [*claims, *_sides(view, ordered, unit), *notes(view, items)]
    span = max((max(v) - min(v) for _k, g in ordered if (v := _numbers(g))), default=Decimal(0)) * Decimal("1.3")
    profiles = [_profile(group, unit, span) for _key, group in ordered if len(group) > 1]
    if profiles:
        drawing = beside(profiles) if len(profiles) > 1 else profiles[0]
        said = _("Thickness round each disc; the filled point is the thinnest. All scales span the same range.")
        blocks.append(figure(drawing, said, items))
    if rows:
        drawing = limits_strip(rows, quantity=_("Thickness variation, greatest less least"), unit=unit)
        blocks.append(figure(drawing, _("Thickness variation of each disc."), items))
    return blocks


def _first(items: Sequence[Entry], name: str) -> int:
    return next(n for n, e in enumerate(items) if e.reading.zone == name)


def _variation(values: Sequence[Decimal]) -> Decimal | None:
    try:
        return thickness_variation(values)
    except TradeError:
        return None


def _variation_row(view: View, group: Sequence[Entry], variation: Decimal, unit: str) -> StripRow:
    first = group[0]
    limit = limit_for(view.job, "disc_thickness_variation", first.reading.zone)
    top: Decimal | None = None
    if limit is not None and limit.max is not None:
        try:
            top = convert(limit.max, limit.unit, unit)
        except TradeError:
            top = None
    word = str(judge(variation, upper=top).word) if top is not None else "not judged"
    return StripRow(
        label=f"{place(first.reading.zone)} · {first.stage}", value=variation, upper=top, word=word,
        link=first.ref.target,
    )  # fmt: skip


def _profile(group: Sequence[Entry], unit: str, span: Decimal) -> Drawing:
    first = group[0]
    points = [
        (e.reading.point or str(n), e.value, e.judged.uncertainty)
        for n, e in enumerate(group, 1)
        if e.value is not None
    ]
    told = (place(first.reading.zone), first.stage, "" if first.counts else _("not evidence"))
    title = comma().join(p for p in told if p)
    return profile(points, title=title, unit=unit, minimum=first.low, span=span, width=HALF)


def _sides(
    view: View, ordered: Sequence[tuple[tuple[str, int, str, bool], list[Entry]]], unit: str
) -> list[Claim]:
    """Left and right of one axle, by their lowest readings."""
    made: list[Claim] = []
    limit = convert(number(view.job, "disc_sides_mm"), "mm", unit)
    counted = {(name, order, step): group for (name, order, step, counts), group in ordered if counts}
    for (name, order, step), group in counted.items():
        if not name.endswith("-left"):
            continue
        other = counted.get((name.removesuffix("-left") + "-right", order, step))
        if other:
            axle = _("Front discs") if "front" in name else _("Rear discs")
            found = side_difference(_numbers(group), _numbers(other), limit)
            made.append(claim(sides_sentence(comma().join((axle, group[0].when)), found, unit), [*group, *other]))
    return made


def runout_blocks(view: View, kind: str) -> list[Block]:
    """The general form; where one fails, what makers advise before a disc is rejected."""
    items = entries(view, kind)
    blocks: list[Block] = [*claims_of(view, kind), *notes(view, items)]
    failed = [e for e in items if e.judged.outside and e.counts]
    if failed:
        blocks.append(Paragraph(text=text(trade_word(RUNOUT_ADVICE)), style="quiet"))
    return [*blocks, *strip_blocks(view, kind)]


def fluid_blocks(view: View, kind: str) -> list[Block]:
    """Each reading against the wet boiling point of its grade."""
    items = entries(view, kind)
    claims: list[Claim] = []
    for e in items:
        if e.value is None or not e.counts:
            continue
        try:
            grade = fluid_grade(e.reading.detail)
        except TradeError:
            continue
        said = _("Brake fluid, {when}: boils at {value}; wet boiling point of {grade} at least {wet}: {word}.")
        if e.low is not None and e.what.unit is not None and e.what.unit.symbol == "°C" and e.low != grade.wet:
            said = _(
                "Brake fluid, {when}: boils at {value}; wet boiling point of {grade} at least {wet}, "
                "limit here {limit}: {word}."
            )
        said = said.format(
            when=e.when, value=_shown(e), grade=grade.name, wet=with_unit(plain(grade.wet), "°C"),
            limit=limit_words(e.low, e.high, "°C"), word=trade_word(e.word),
        )  # fmt: skip
        claims.append(claim(said, [e]))
    return [*(claims or claims_of(view, kind)), *notes(view, items), *strip_blocks(view, kind)]


def _shown(e: Entry) -> str:
    return amount(e.value or Decimal(0), e.judged.uncertainty, e.what.unit.symbol if e.what.unit else "")


# -- tyres, fasteners --------------------------------------------------------------------------------------------------


def tread_blocks(view: View, kind: str) -> list[Block]:
    """The lowest reading of each tyre decides; the law of the place defers."""
    items = entries(view, kind)
    blocks: list[Block] = [*claims_of(view, kind, title=_("Tread depth"))]
    sources = sorted({source_words(e.judged.source) for e in items if e.judged.source})
    if sources:
        said = _("Limit from {source}. {defer}").format(source=semicolon().join(sources), defer=trade_word(DEFER))
        blocks.append(claim(said, [e for e in items if e.judged.judged]))
    return [*blocks, *notes(view, items), *strip_blocks(view, kind, title=_("Tread depth"))]


def date_code_blocks(view: View, kind: str) -> list[Block]:
    """Age by date code as a range, one sentence for the tyres that share a code and a stage."""
    day = view.job.handover or view.job.as_of
    blocks: list[Block] = []
    for (written, _order), group in by(entries(view, kind), lambda e: (e.reading.value_text, e.order)).items():
        try:
            code = parse_date_code(written, oldest_year=1971)
            age = age_on(code, day)
        except TradeError:
            continue
        zones = [e.reading.zone for e in group]
        said = age_sentence(zones, code, age, view.formats.day(day), age_word(age), ADVISED_AT_MOST)
        blocks.append(claim(_("As read {when}: ").format(when=group[0].when) + said[:1].lower() + said[1:], group))
    return blocks


def torque_blocks(view: View, kind: str) -> list[Block]:
    """Torques against the maker's figure, and the check that a wheel fitting opens."""
    items = entries(view, kind)
    blocks: list[Block] = [*claims_of(view, kind), *notes(view, items)]
    for due in due_list(view.job):
        if due.kind == "wheel-nuts" and due.at is not None:
            wheels = [e for e in items if e.reading.zone.startswith(("wheel", "tyre"))]
            said = _("Wheel nuts and bolts are to be checked again at {at}, overdue at {late} ({source}).").format(
                at=view.formats.amount(due.at, view.job.odometer.unit),
                late=view.formats.amount(due.overdue_at or due.at, view.job.odometer.unit),
                source=in_words(_(due.source)),
            )  # fmt: skip
            blocks.append(claim(said, wheels or items))
    return [*blocks, *strip_blocks(view, kind)]


# -- electrics, engine -------------------------------------------------------------------------------------------------


def battery_blocks(view: View, kind: str) -> list[Block]:
    """Voltage at rest, with the usual word for its charge."""
    items = entries(view, kind)
    claims: list[Claim] = []
    for e in items:
        volts, nominal = e.what.si, int(choice(view.job, "system_voltage"))
        if volts is None or not e.counts:
            continue
        said = _("Battery at rest, {when}: {value}; {word} for lead-acid of {nominal} V (common practice); {tail}")
        tail = judged(e.word, e.low, e.high, e.what.unit.symbol if e.what.unit else "")
        word = trade_word(charge(volts, nominal))
        claims.append(claim(said.format(when=e.when, value=_shown(e), word=word, nominal=nominal, tail=tail), [e]))
    return [*claims, *notes(view, items), *strip_blocks(view, kind)]


def compression_blocks(view: View, kind: str) -> list[Block]:
    """Spread between cylinders for each stage."""
    items = entries(view, kind)
    claims: list[Claim] = []
    for (_name, _order, counts), group in by(items, lambda e: (e.reading.zone, e.order, e.counts)).items():
        unit = _unit(group)
        pressures = {e.reading.point or e.ref.label: e.value for e in group if e.value is not None}
        if unit is None or len(pressures) != len(group) or not counts:
            continue
        try:
            spread = number(view.job, "compression_spread_percent")
            found = compare_cylinders(pressures, minimum=group[0].low, spread_limit=spread)
        except TradeError:
            continue
        claims.append(claim(compression_sentence(group[0].when, found, unit), group))
    return [*(claims or claims_of(view, kind)), *notes(view, items), *strip_blocks(view, kind)]


def odometer_blocks(view: View, kind: str) -> list[Block]:
    """How far the car went while it was here, from the readings themselves."""
    items = [e for e in entries(view, kind) if e.value is not None]
    unit = _unit(items)
    if len(items) < 2 or unit is None:
        return []
    first, last = min(items, key=lambda e: e.order), max(items, key=lambda e: e.order)
    if first.value is None or last.value is None or last.value < first.value:
        return []
    driven = view.formats.amount(last.value - first.value, unit)
    said = _("Odometer {first} at intake, {last} at handover: {driven} driven here.").format(
        first=view.formats.amount(first.value, unit), last=view.formats.amount(last.value, unit), driven=driven
    )
    return [claim(said, [first, last])]
