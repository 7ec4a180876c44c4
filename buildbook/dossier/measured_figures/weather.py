"""Climate while painting and the course of a cure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise

from buildbook.dossier.drawings.climate import ClimateRow, climate_strip
from buildbook.dossier.drawings.courses import log_curve
from buildbook.dossier.drawings.numbers import plain, with_unit
from buildbook.dossier.drawings.sentences import cure_sentence, dew_sentence, the
from buildbook.dossier.measured_figures.common import Entry, by, claim, entries, figure, place
from buildbook.dossier.measured_figures.general import general_blocks, notes
from buildbook.dossier.model import Block
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma
from buildbook.records.job import Cure, Step
from buildbook.rules.moments import earliest, zone_of
from buildbook.rules.settings import number
from buildbook.rules.understood import in_si
from buildbook.trade.climate import LEAST_MARGIN, DewPointCheck, check_dew_point
from buildbook.trade.curing import check_cure
from buildbook.trade.faults import TradeError
from buildbook.trade.units import convert

_NEAR = timedelta(hours=1)  # readings of one moment lie within an hour


def surface_blocks(view: View, kind: str) -> list[Block]:
    """The surface against the dew point at each moment with air temperature and humidity beside it."""
    items = entries(view, kind)
    air, humidity = entries(view, "air_temperature"), entries(view, "relative_humidity")
    rows: list[ClimateRow] = []
    claims: list[Block] = []
    used: list[Entry] = []
    for e in items:
        near = _near(e, air), _near(e, humidity)
        if e.what.si is None or not e.counts or near[0] is None or near[1] is None:
            continue
        found = _dew(e, near[0], near[1])
        if found is None:
            continue
        moment = _moment(view, e)
        claims.append(claim(dew_sentence(moment, e.what.si, found, LEAST_MARGIN), [e, near[0], near[1]]))
        rows.append(
            ClimateRow(
                label=moment, surface=e.what.si, dew_point=found.dew_point, margin=found.margin, least=LEAST_MARGIN,
                word=str(found.decision.word), uncertainty=in_si(e.reading, e.what), link=e.ref.target,
            )
        )
        used.append(e)
    if not rows:
        return general_blocks(view, kind)
    said = _("Surface temperature while painting, with U where stated, against the dew point and 3 °C above it "
             "(ISO 8502-4). Dew point by the Magnus formula, constants of WMO-No. 8.")  # fmt: skip
    return [*claims, *notes(view, items), figure(climate_strip(rows), said, used)]


def _moment(view: View, e: Entry) -> str:
    on = e.reading.on
    when = f"{view.formats.local(on):%H:%M}" if isinstance(on, datetime) else ""
    # The year stands in the table.
    day = view.formats.day_of_year(on.date() if isinstance(on, datetime) else on) if on is not None else ""
    moment = comma().join(p for p in (day, when) if p)
    return " · ".join(p for p in (moment, e.reading.point or place(e.reading.zone)) if p)


def _near(e: Entry, others: Sequence[Entry]) -> Entry | None:
    """The reading of the same step nearest in time, within an hour, that counts."""
    best: tuple[timedelta, Entry] | None = None
    for other in others:
        one, two = e.reading.on, other.reading.on
        same = other.reading.step == e.reading.step and other.counts and other.what.si is not None
        if not same or not isinstance(one, datetime) or not isinstance(two, datetime):
            continue
        try:
            apart = abs(one - two)
        except TypeError:  # one with a time zone, the other without
            continue
        if apart <= _NEAR and (best is None or apart < best[0]):
            best = apart, other
    return best[1] if best else None


def _dew(surface: Entry, air: Entry, humidity: Entry) -> DewPointCheck | None:
    if surface.what.si is None or air.what.si is None or humidity.what.si is None:
        return None
    try:
        return check_dew_point(surface.what.si, air.what.si, humidity.what.si)
    except TradeError:
        return None


# -- curing ------------------------------------------------------------------------------------------------------------


def metal_blocks(view: View, kind: str) -> list[Block]:
    """The metal's temperature over time for each panel, with the dwell the schedule asks for where there is one."""
    items = entries(view, kind)
    timed = [e for e in items if isinstance(e.reading.on, datetime) and e.what.si is not None and e.counts]
    blocks: list[Block] = []
    places = by(timed, lambda e: (e.reading.step, e.reading.zone, e.reading.point))
    for (step_name, zone, point), group in places.items():
        log = sorted(_log(view, group))
        if len(log) < 2 or len({t for t, _v in log}) != len(log):
            continue
        step = view.job.step(step_name) if step_name else None
        blocks.extend(_course(view, step, zone, point, log, group))
    return [*blocks, *notes(view, items)] or general_blocks(view, kind)


def _log(view: View, group: Sequence[Entry]) -> list[tuple[datetime, Decimal]]:
    return [
        (earliest(e.reading.on, zone_of(view.job)), e.what.si)
        for e in group
        if isinstance(e.reading.on, datetime) and e.what.si is not None
    ]


def _course(
    view: View, step: Step | None, zone: str, point: str, log: list[tuple[datetime, Decimal]], group: Sequence[Entry]
) -> list[Block]:
    start = log[0][0]
    cure = step.cure if step else None
    threshold = _threshold(cure)
    blocks: list[Block] = []
    spans: list[tuple[float, float]] = []
    words = ""
    if threshold is not None:
        gap = number(view.job, "cure_log_gap_minutes")
        spans = dwell_spans([(_minutes(start, t), v) for t, v in log], threshold, float(gap))
        at = with_unit(plain(threshold), "°C")
        words = _("{minutes} min at or above {at}").format(minutes=f"{sum(b - a for a, b in spans):.0f}", at=at)
        blocks += _held(zone, cure, threshold, log, words, gap, group)
    else:
        top = max(v for _t, v in log)
        said = _("Metal of {zone}: up to {top}; the step names no temperature and time to hold, so nothing is judged.")
        blocks.append(claim(said.format(zone=the(zone), top=with_unit(plain(top), "°C")), group))
    drawing = log_curve(
        [(_minutes(start, t), v) for t, v in log], title=comma().join(p for p in (place(zone), point) if p),
        start=view.formats.when(start), threshold=threshold, spans=spans, dwell=words,
    )  # fmt: skip
    said = _("Temperature of the metal while curing. Each value holds until the next, as the time is reckoned.")
    return [*blocks, figure(drawing, said, group)]


def _minutes(start: datetime, then: datetime) -> float:
    return (then - start).total_seconds() / 60


def _threshold(cure: Cure | None) -> Decimal | None:
    if cure is None or cure.metal_temperature_min is None:
        return None
    try:
        return convert(cure.metal_temperature_min, cure.unit or "°C", "°C")
    except TradeError:
        return None


def _held(
    zone: str, cure: Cure | None, threshold: Decimal, log: Sequence[tuple[datetime, Decimal]], words: str,
    gap: Decimal, group: Sequence[Entry],
) -> list[Block]:  # fmt: skip
    """The verdict where the schedule names minutes too, else the time alone."""
    if cure is not None and cure.minutes is not None:
        try:
            found = check_cure(
                log, threshold, timedelta(minutes=float(cure.minutes)), measured="metal", unbroken=cure.unbroken,
                longest_gap=timedelta(minutes=float(gap)),
            )  # fmt: skip
        except TradeError:
            return []
        source = _(" Schedule: {source}.").format(source=cure.source) if cure.source else ""
        return [claim(cure_sentence(zone, found, threshold) + source, group)]
    said = _("Metal of {zone}: {words}; no time asked for on record.").format(zone=the(zone), words=words)
    return [claim(said, group)]


def dwell_spans(
    log: Sequence[tuple[float, Decimal]], threshold: Decimal, gap: float | None = None
) -> list[tuple[float, float]]:
    """Stretches (minutes from, to) at or above the threshold, each value holding until the next, as `dwell` counts.

    gap: where readings lie further apart than these minutes, the time between counts for nothing.
    """
    spans: list[tuple[float, float]] = []
    for (start, value), (end, _after) in pairwise(log):
        if value < threshold or (gap is not None and end - start > gap):
            continue
        if spans and spans[-1][1] == start:
            spans[-1] = (spans[-1][0], end)
        else:
            spans.append((start, end))
    return spans
