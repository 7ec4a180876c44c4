"""Courses: thickness round a disc, and a temperature over time with the dwell shaded."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier.drawing import Drawing, Label, Path, circle, line, rect
from buildbook.dossier.drawings.axis import Axis, axis_for
from buildbook.dossier.drawings.frame import FULL, HALF
from buildbook.dossier.drawings.numbers import plain
from buildbook.dossier.drawings.palette import ACCENT, BARRED, HAIR, INK, QUIET, WHITE
from buildbook.dossier.drawings.text import width as text_width
from buildbook.dossier.wording import _

DWELL = "#f1e6cc"


def profile(
    points: Sequence[tuple[str, Decimal, Decimal | None]], *, title: str, unit: str, minimum: Decimal | None = None,
    span: Decimal | None = None, width: float = HALF, height: float = 104.0,
) -> Drawing:  # fmt: skip
    """A value at each marked point round a part: (point, value, expanded uncertainty).

    span: what the vertical axis covers, so that several profiles can be compared; the minimum is drawn where it lies
    in it and otherwise said. Raises ValueError for no points.
    """
    if not points:
        raise ValueError("a profile needs a point")
    values = [value for _label, value, _u in points]
    low, high = min(values), max(values)
    middle = (low + high) / 2
    room = max(span or Decimal(0), (high - low) * Decimal("1.3")) / 2 or abs(middle) / 100 or Decimal(1)
    left, bottom = 40.0, height - 24.0
    axis = axis_for([float(middle - room), float(middle + room)], bottom, 22.0, pixels_a_tick=22.0)
    step = (width - left - 10) / len(points)
    xs = [left + step * (n + 0.5) for n in range(len(points))]
    items: list[Path | Label] = _upright(axis, left, width - 4)
    items.append(Label(x=0, y=8, text=title, colour=INK, bold=True))
    items.append(Label(x=width, y=8, text=unit, colour=QUIET, anchor="end"))
    items += _minimum(minimum, axis, left, width - 4)
    ys = [axis.at(float(v)) for v in values]
    joined = tuple(("L" if n else "M", x, y) for n, (x, y) in enumerate(zip(xs, ys, strict=True)))
    items.append(Path(commands=joined, stroke=ACCENT, width=0.9))
    thinnest = values.index(low)
    for n, (label, value, u) in enumerate(points):
        x, y = xs[n], axis.at(float(value))
        if u:
            top, foot = axis.at(float(value + u)), axis.at(float(value - u))
            items.append(line(x, top, x, foot, stroke=ACCENT, width=0.7))
        items.append(circle(x, y, 2.4, fill=ACCENT if n == thinnest else WHITE, stroke=ACCENT, width=0.9))
        items.append(Label(x=x, y=bottom + 10, text=label, colour=QUIET, anchor="middle"))
    if high != low:
        y = ys[thinnest] + 10.5 if ys[thinnest] + 11 < bottom else ys[thinnest] - 5
        items.append(Label(x=xs[thinnest], y=y, text=plain(low), colour=INK, anchor="middle", bold=True))
    items.append(Label(x=width, y=bottom + 20, text=_("point"), colour=QUIET, anchor="end"))
    said = _("{title}: {low} to {high} {unit} at {n} points.")
    if minimum is not None:
        said = _("{title}: {low} to {high} {unit} at {n} points, minimum {minimum} {unit}.")
    said = said.format(
        title=title, low=plain(low), high=plain(high), unit=unit, n=len(points),
        minimum="" if minimum is None else plain(minimum),
    )  # fmt: skip
    return Drawing(width=width, height=height, items=tuple(items), alt=said)


def _upright(axis: Axis, left: float, right: float) -> list[Path | Label]:
    items: list[Path | Label] = []
    for tick in axis.ticks:
        y = axis.at(tick)
        items.append(line(left, y, right, y, stroke=HAIR, width=0.3))
        items.append(Label(x=left - 4, y=y + 2.5, text=axis.label(tick), colour=QUIET, anchor="end"))
    return items


def _minimum(minimum: Decimal | None, axis: Axis, left: float, right: float) -> list[Path | Label]:
    if minimum is None:
        return []
    value, least = float(minimum), plain(minimum)
    said = _("minimum {least}").format(least=least)
    if axis.low < value < axis.high:
        y = axis.at(value)
        foot = rect(left, y, right - left, axis.start - y, fill=BARRED)
        return [foot, line(left, y, right, y, stroke=INK, width=0.9), Label(x=left + 3, y=y - 2.5, text=said)]
    above = value >= axis.high
    items: list[Path | Label] = []
    if above:
        items.append(rect(left, axis.end, right - left, axis.start - axis.end, fill=BARRED))
    where = _("all below the minimum {least}") if above else _("minimum {least} lies below")
    where = where.format(least=least)
    items.append(Label(x=left + 3, y=axis.end - 3 if above else axis.start - 3, text=where, colour=INK))
    return items


def log_curve(
    log: Sequence[tuple[float, Decimal]], *, title: str, start: str, threshold: Decimal | None = None,
    spans: Sequence[tuple[float, float]] = (), dwell: str = "", unit: str = "°C", width: float = FULL,
    height: float = 132.0,
) -> Drawing:  # fmt: skip
    """A temperature over minutes: (minute, value) in order. start: the clock time of minute 0.

    threshold and spans (minutes from, to): where the temperature counts; dwell: the words printed there. Each value
    holds until the next, as the dwell is reckoned. Raises ValueError for fewer than two values.
    """
    if len(log) < 2:
        raise ValueError("a course needs two values")
    left, top, bottom = 34.0, 20.0, height - 25.0
    temperatures = [float(v) for _m, v in log] + ([float(threshold)] if threshold is not None else [])
    up = axis_for(temperatures, bottom, top, pixels_a_tick=24.0)
    across = _minutes(log[0][0], log[-1][0], left, width - 8)
    items: list[Path | Label] = []
    for a, b in spans:
        items.append(rect(across.at(a), top, across.at(b) - across.at(a), bottom - top, fill=DWELL))
    items += _upright(up, left, width - 8)
    for tick in across.ticks:
        x = across.at(tick)
        items.append(line(x, bottom, x, bottom + 2.5, stroke=QUIET, width=0.5))
        items.append(Label(x=x, y=bottom + 10.5, text=across.label(tick), colour=QUIET, anchor="middle"))
    items.append(line(left, bottom, width - 8, bottom, stroke=QUIET, width=0.5))
    if threshold is not None:
        y = up.at(float(threshold))
        items.append(line(left, y, width - 8, y, stroke=INK, width=0.9))
        words = f"{plain(threshold)} {unit}"
        items.append(Label(x=left + 3, y=y - 2.5, text=words, colour=INK))
    if spans and dwell:
        a, b = spans[0][0], spans[-1][1]
        x = (across.at(a) + across.at(b)) / 2
        half = text_width(dwell) / 2
        x = min(max(x, left + half), width - 8 - half)
        items.append(Label(x=x, y=bottom - 6, text=dwell, anchor="middle", bold=True))
    joined: list[tuple[str | float, ...]] = []
    for n, (minute, value) in enumerate(log):
        x, y = across.at(minute), up.at(float(value))
        if n:
            joined.append(("L", x, up.at(float(log[n - 1][1]))))
        joined.append(("L" if n else "M", x, y))
    items.append(Path(commands=tuple(joined), stroke=ACCENT, width=1.1))
    items += [circle(across.at(m), up.at(float(v)), 1.7, fill=ACCENT) for m, v in log]
    items.append(Label(x=0, y=8, text=title, colour=INK, bold=True))
    items.append(Label(x=left - 4, y=top - 3.5 if top - 3.5 > 12 else 16.5, text=unit, colour=QUIET, anchor="end"))
    since = _("minutes from {start}").format(start=start)
    items.append(Label(x=width, y=bottom + 20.5, text=since, colour=QUIET, anchor="end"))
    values = [v for _m, v in log]
    said = _("{title}: from {first} to at most {most} {unit} over {minutes} minutes.")
    if dwell:
        said = _("{title}: from {first} to at most {most} {unit} over {minutes} minutes; {dwell}.")
    said = said.format(
        title=title, first=plain(values[0]), most=plain(max(values)), unit=unit, dwell=dwell,
        minutes=f"{log[-1][0] - log[0][0]:.0f}",
    )  # fmt: skip
    return Drawing(width=width, height=height, items=tuple(items), alt=said)


def _minutes(first: float, last: float, start: float, end: float) -> Axis:
    """A time axis with ticks of 1, 2, 5, 10, 15, 30, 60 minutes and so on."""
    wanted = (last - first) / max(2.0, (end - start) / 46)
    steps = (1, 2, 5, 10, 15, 30, 60, 120, 240, 360, 720, 1440)
    step = float(next((s for s in steps if s >= wanted), 1440 * max(1, round(wanted / 1440))))
    return Axis(first, last, step, start, end)
