"""Rules of film thickness judged panel by panel: fresh paint against its nominal film, and what polishing left."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from decimal import Decimal

from buildbook.records.finding import Raised
from buildbook.records.job import Job, Reading
from buildbook.records.said import figure, give_or_take, said, word
from buildbook.records.words import Operation, ReadingStage
from buildbook.rules.grades import QUERY
from buildbook.rules.judged import all_judged, limit_for
from buildbook.rules.readings_odd import slips
from buildbook.rules.readings_paint import polished
from buildbook.rules.rule import Rule, rule
from buildbook.rules.settings import choice, number
from buildbook.rules.together import Outside, standing
from buildbook.trade.faults import TradeError
from buildbook.trade.film import ShareRule, accept_80_20, judge_remaining
from buildbook.trade.film_spots import AreaResult, judge_area
from buildbook.trade.statistics import summarise
from buildbook.trade.units import convert

Panel = list[tuple[Reading, Decimal]]

NOMINAL = "film_nominal"  # the limit's kind: min is the nominal film, max the greatest
_NO_MAXIMUM = Decimal("Infinity")


def _fresh(job: Job) -> dict[tuple[str, str], Panel]:
    """Film measured after a step that lays it on, in µm, by step and zone; slips of the pen are left out."""
    odd = set(slips(job))
    found: dict[tuple[str, str], Panel] = defaultdict(list)
    for position, (reading, what, _) in enumerate(all_judged(job)):
        step = job.step(reading.step) if reading.step else None
        if reading.kind != "film_thickness" or reading.stage is not ReadingStage.AFTER or what.si is None:
            continue
        if step is not None and step.operation is not Operation.POLISH and position not in odd:
            found[step.id, reading.zone].append((reading, what.si))
    return dict(found)


def _nominal(job: Job, zone: str) -> tuple[Decimal, Decimal | None] | None:
    """Nominal and greatest film in µm; None where the job states none that can be used."""
    limit = limit_for(job, NOMINAL, zone)
    if limit is None or limit.min is None or limit.min <= 0:
        return None
    try:
        most = None if limit.max is None else convert(limit.max, limit.unit, "µm")
        return convert(limit.min, limit.unit, "µm"), most
    except TradeError:
        return None


def _lowest(panel: Panel) -> Reading:
    return min(panel, key=lambda item: item[1])[0]


def _spots(panel: Panel, nominal: Decimal, most: Decimal | None) -> AreaResult:
    by_point: dict[str, list[Decimal]] = defaultdict(list)
    for reading, value in panel:
        by_point[reading.point].append(value)
    return judge_area(list(by_point.values()), nominal, _NO_MAXIMUM if most is None else most)


def _all(reasons: Iterable[str]) -> str:
    first, *more = map(word, reasons)
    for reason in more:
        first = said("{some} and {last}", some=first, last=reason)
    return first


def too_little(job: Job) -> Iterator[Outside]:
    """Panels that the chosen rule does not accept."""
    chosen = choice(job, "film_acceptance")
    for (_, zone), panel in _fresh(job).items():
        film = _nominal(job, zone)
        if film is None:
            continue
        nominal, most = film
        readings = tuple(reading for reading, _ in panel)
        try:
            if chosen == "spots":
                area = _spots(panel, nominal, most)
                reasons, mean, found = area.reasons, area.mean, None
            else:
                share = ShareRule.LENIENT if chosen == "lenient" else ShareRule.STRICT
                found = accept_80_20([v for _, v in panel], nominal, rule=share, maximum=most)
                reasons, mean = found.reasons, found.summary.mean
        except TradeError:
            continue
        if reasons:
            over = "above" in " ".join(reasons) and len(reasons) == 1
            place = (max(panel, key=lambda item: item[1])[0] if over else _lowest(panel)).place
            told = said(
                "{zone}: mean {mean} µm over {n} readings, nominal {nominal} µm; {reasons}",
                zone=zone, mean=figure(mean, ".1f"), n=len(panel), nominal=figure(nominal.normalize(), "f"),
                reasons=_all(reasons),
            )  # fmt: skip
            if found is None:
                says = said(
                    "{told} ({n} spots, by spots after SSPC-PA 2; a rule for steel structures, borrowed).",
                    told=told, n=len(area.spots),
                )  # fmt: skip
            else:
                says = said(
                    "{told} ({low} of {n} low, {rule}; a rule for steel structures, borrowed).",
                    told=told, low=found.low, n=len(panel), rule=word(share),
                )  # fmt: skip
            yield Outside("readings.film-acceptance", place.at("value"), says, readings)


@rule(
    "readings.film-acceptance",
    asks="Is fresh paint as thick as its nominal film, by the rule the job has chosen?",
    why="A film too thin protects less and leaves nothing to polish; one too thick may crack.",
    fix="Measure again at the lowest point; else lay on another coat, or state exception and approval on that reading. "
    "The rule is film_acceptance in [settings]: strict, lenient or spots.",
    source="80-20 after ISO 19840:2012 (PUB-C; its strict share MEM, the lenient one PUB-B) or spots after SSPC-PA 2 "
    "(PUB-A/B); a rule for steel structures, borrowed", **QUERY,
)  # fmt: skip
def film_acceptance(job: Job) -> Iterator[Raised]:
    yield from standing(job, too_little(job))


@rule(
    "readings.film-spots-few",
    asks="Where fresh paint is judged by spots, are there five spots of three readings each?",
    why="With fewer the rule gives no verdict.",
    fix="Measure five spots, each three times within 4 cm under one point name; or choose another rule in [settings].",
    source="SSPC-PA 2 (PUB-A/B)", **QUERY,
)  # fmt: skip
def film_spots_few(job: Job) -> Iterator[Raised]:
    if choice(job, "film_acceptance") != "spots":
        return
    for (_, zone), panel in _fresh(job).items():
        film = _nominal(job, zone)
        if film is None:
            continue
        try:
            area = _spots(panel, *film)
        except TradeError:
            continue
        if area.accepted is None:
            says = said(
                "{zone}: {spots} spots from {n} readings; no verdict.", zone=zone, spots=len(area.spots), n=len(panel)
            )
            yield Raised("readings.film-spots-few", panel[0][0].place.at("point"), says)


def too_thin_left(job: Job) -> Iterator[Outside]:
    """Panels polished down to less than the job's least film."""
    least = number(job, "film_remaining_um")
    for pair in polished(job):
        panel = [item for found in pair.after.values() for item in found]
        if not panel:
            continue
        left = summarise(value for _, value in panel)
        verdict = judge_remaining(left, least)
        if not verdict.within:
            doubt = figure(2 * left.u_mean, ".1f") if left.u_mean is not None else ""
            says = said(
                "{zone}: {left} µm left after polishing, mean of {n}; at least {least} µm: {verdict}.",
                zone=pair.zone, left=give_or_take(figure(left.mean, ".1f"), doubt), n=left.n,
                least=figure(least.normalize(), "f"), verdict=word(verdict.word),
            )  # fmt: skip
            members = tuple(reading for reading, _ in panel)
            yield Outside("readings.film-remaining", _lowest(panel).place.at("value"), says, members)


@rule(
    "readings.film-remaining",
    asks="Did polishing leave enough film on each panel?",
    why="The gauge sees all coats together; under a thin total the clear coat may be nearly gone.",
    fix="Check the readings. If they are right, say so under [[open_items]] and to the client, and advise against "
    "more polishing; or set film_remaining_um in [settings] to what is agreed for this car.",
    source="No standard; trade pages go no lower than 70 µm in total (PUB-C)", **QUERY,
)  # fmt: skip
def film_remaining(job: Job) -> Iterator[Raised]:
    yield from standing(job, too_thin_left(job))


READINGS_FILM: tuple[Rule, ...] = (film_acceptance, film_spots_few, film_remaining)
