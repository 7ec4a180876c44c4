"""Small multiples against limits: a row for each reading or zone, with limit, guard band, uncertainty and verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from buildbook.dossier.drawing import Drawing, Label, Path, line, rect
from buildbook.dossier.drawings.axis import Axis, axis_for
from buildbook.dossier.drawings.frame import FULL, ROW, TALL, Columns, axis_marks, columns_for, grid, named
from buildbook.dossier.drawings.markers import COLOURS, NOT_JUDGED, marker, whisker
from buildbook.dossier.drawings.numbers import amount, plain
from buildbook.dossier.drawings.palette import BARRED, GUARD, HAIR, INK, MIST, WHITE
from buildbook.dossier.drawings.text import width as text_width
from buildbook.dossier.drawings.text import wrapped
from buildbook.dossier.wording import _, comma, named_value

HEAD = 10.5  # above each group of rows that share their limits: where the limits are written


@dataclass(frozen=True, slots=True, kw_only=True)
class StripRow:
    """One row. value: what was judged; points: other readings it stands for, drawn as small ticks.

    uncertainty: expanded (k = 2). word: one of markers.WORDS. places: decimals to print, as written where None.
    """

    label: str
    value: Decimal
    uncertainty: Decimal | None = None
    lower: Decimal | None = None
    upper: Decimal | None = None
    word: str = NOT_JUDGED
    points: tuple[Decimal, ...] = ()
    places: int | None = None
    link: str = ""


def limits_strip(
    rows: Sequence[StripRow], *, quantity: str, unit: str, width: float = FULL, alt: str = ""
) -> Drawing:
    """A row for each reading or zone against its limits, all in one unit. Raises ValueError for no rows."""
    if not rows:
        raise ValueError("a strip needs a row")
    columns = columns_for([r.label for r in rows], [_value(r) for r in rows], [_(r.word) for r in rows], width)
    axis = axis_for(_extent(rows), columns.plot_left, columns.plot_right)
    names = [wrapped(r.label, columns.plot_left - 6) for r in rows]
    high = ROW if all(len(n) == 1 for n in names) else TALL
    items: list[Path | Label] = []
    y = 0.0
    for limits, group in groupby(zip(rows, names, strict=True), key=lambda r: (r[0].lower, r[0].upper)):
        found = list(group)
        if limits != (None, None) or y:
            items += _limit_words(limits, axis, y)
            y += HEAD
        items += _band(limits, axis, y, high * len(found))
        for row, name in found:
            items += _row(row, name, columns, axis, y, width, high)
            y += high
    back = grid(axis, HEAD if rows[0].lower is not None or rows[0].upper is not None else 0.0, y)
    items = [*back, *items, *axis_marks(axis, y, comma().join((quantity, unit)) if unit else quantity)]
    return Drawing(width=width, height=y + 23.0, items=tuple(items), alt=alt or _alt(rows, quantity, unit))


def _extent(rows: Sequence[StripRow]) -> list[float]:
    found: list[float] = []
    for r in rows:
        u = r.uncertainty or Decimal(0)
        found += [float(v) for v in (r.value - u, r.value + u, r.lower, r.upper, *r.points) if v is not None]
    return found


def _limit_words(limits: tuple[Decimal | None, Decimal | None], axis: Axis, y: float) -> list[Path | Label]:
    low, high = limits
    base = y + HEAD - 3.0
    found: list[tuple[float, str]] = []
    if low is not None:
        found.append((axis.at(float(low)), _("at least {low}").format(low=plain(low))))
    if high is not None:
        found.append((axis.at(float(high)), _("at most {high}").format(high=plain(high))))
    if len(found) == 2 and found[1][0] - found[0][0] < (text_width(found[0][1]) + text_width(found[1][1])) / 2 + 6:
        words = ""
        if low is not None and high is not None:
            words = _("{low} to {high}").format(low=plain(low), high=plain(high))
        found = [((found[0][0] + found[1][0]) / 2, words)]
    items: list[Path | Label] = []
    for x, said in found:
        half = text_width(said) / 2
        at = min(max(x, axis.start + half), axis.end - half)
        items.append(rect(at - half - 1, y + 0.5, 2 * half + 2, HEAD - 2.2, fill=WHITE))  # clear of the hairlines
        items.append(Label(x=at, y=base, text=said, colour=INK, anchor="middle"))
    return items


def _band(
    limits: tuple[Decimal | None, Decimal | None], axis: Axis, y: float, high: float
) -> list[Path | Label]:
    """What lies beyond the limits, tinted, and the limits as lines."""
    items: list[Path | Label] = []
    low, top = limits
    if low is not None:
        x = axis.at(float(low))
        if x > axis.start:
            items.append(rect(axis.start, y, x - axis.start, high, fill=BARRED))
        items.append(line(x, y - 1.5, x, y + high, stroke=INK, width=0.9))
    if top is not None:
        x = axis.at(float(top))
        if x < axis.end:
            items.append(rect(x, y, axis.end - x, high, fill=BARRED))
        items.append(line(x, y - 1.5, x, y + high, stroke=INK, width=0.9))
    return items


def _row(
    row: StripRow, name: Sequence[str], columns: Columns, axis: Axis, y: float, wide: float, high: float
) -> list[Path | Label]:
    middle, base = y + high / 2, y + high / 2 + 2.5
    colour = COLOURS.get(row.word, INK)
    items: list[Path | Label] = []
    if row.uncertainty:
        for limit, inward in ((row.lower, 1), (row.upper, -1)):
            if limit is not None:
                x0, x1 = sorted((axis.at(float(limit)), axis.at(float(limit + inward * row.uncertainty))))
                x0, x1 = max(x0, axis.start), min(x1, axis.end)
                items.append(rect(x0, y + 0.75, x1 - x0, high - 1.5, fill=GUARD))
                at = axis.at(float(limit))
                items.append(line(at, y, at, y + high, stroke=INK, width=0.9))
    items.append(line(axis.start, y + high, axis.end, y + high, stroke=HAIR, width=0.3))
    items += named(name, base)
    for point in row.points:
        x = axis.at(float(point))
        items.append(line(x, middle - 3.2, x, middle + 3.2, stroke=MIST, width=0.6))
    if row.uncertainty:
        items += whisker(
            axis.at(float(row.value - row.uncertainty)), axis.at(float(row.value + row.uncertainty)), middle, colour
        )
    items += marker(row.word, axis.at(float(row.value)), middle)
    said = _value(row)
    if columns.value_right > columns.plot_right:
        items.append(Label(x=columns.value_right, y=base, text=said, colour=INK, anchor="end"))
    items.append(Label(x=columns.word_left, y=base, text=_(row.word), colour=colour, bold=row.word != NOT_JUDGED))
    if row.link:
        told = named_value(row.label, comma().join((said, _(row.word))))
        items.append(rect(0, y, wide, high, link=row.link, title=told))
    return items


def _value(row: StripRow) -> str:
    return amount(row.value, row.uncertainty, "", row.places)


def _alt(rows: Sequence[StripRow], quantity: str, unit: str) -> str:
    low, high = min(rows, key=lambda r: r.value), max(rows, key=lambda r: r.value)
    low_said, high_said = (amount(r.value, None, "", r.places) for r in (low, high))
    tail = f" {unit}" if unit else ""
    if len(rows) == 1:
        return _("{what}: {place}, {value}, {word}.").format(
            what=quantity, place=rows[0].label, value=low_said + tail, word=_(rows[0].word)
        )
    count = {word: sum(r.word == word for r in rows) for word in dict.fromkeys(r.word for r in rows)}
    words = comma().join(f"{n} {_(word)}" for word, n in count.items())
    return _("{what} in {n} rows from {low} to {high}: {counts}.").format(
        what=quantity, n=len(rows), low=low_said, high=high_said + tail, counts=words
    )
