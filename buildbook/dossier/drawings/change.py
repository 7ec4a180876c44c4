"""Before and after as dumbbells: an open ring before, a filled one after, each with its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from buildbook.dossier.drawing import Drawing, Label, Path, circle, line, rect
from buildbook.dossier.drawings.axis import Axis, axis_for
from buildbook.dossier.drawings.frame import FULL, axis_marks, columns_for, grid, named
from buildbook.dossier.drawings.markers import COLOURS, whisker
from buildbook.dossier.drawings.numbers import amount, fixed, pair
from buildbook.dossier.drawings.palette import ACCENT, HAIR, INK, MIST, QUIET, WHITE
from buildbook.dossier.drawings.text import width as text_width
from buildbook.dossier.drawings.text import wrapped
from buildbook.dossier.wording import _, comma, lowered, named_value, semicolon
from buildbook.trade.statistics import Summary

_ROW = 16.0
_HEAD = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """A zone before and after. change: after less before, `uncertainty` its U (k = 2); word: "" where not judged."""

    label: str
    before: Summary
    after: Summary
    change: Decimal
    uncertainty: Decimal | None = None
    word: str = ""
    link: str = ""


def before_after(
    rows: Sequence[ChangeRow], *, quantity: str, unit: str, limit: str = "", places: int = 1, width: float = FULL
) -> Drawing:
    """A dumbbell for each row; the change is printed with its uncertainty, the limit in the head of that column.

    Bars are U = 2 u of the mean. Raises ValueError for no rows.
    """
    if not rows:
        raise ValueError("a comparison needs a row")
    changes = [_signed(r, places) for r in rows]
    words = [_(r.word) for r in rows]
    head = _("change ({limit})").format(limit=limit) if limit else _("change")
    columns = columns_for([r.label for r in rows], [*changes, _("change")], words, width)
    ends = [
        float(s.mean + sign * 2 * (s.u_mean or 0)) for r in rows for s in (r.before, r.after) for sign in (-1, 1)
    ]
    axis = axis_for(ends, columns.plot_left, columns.plot_right - 26)
    bottom = _HEAD + _ROW * len(rows)
    items: list[Path | Label] = list(grid(axis, _HEAD, bottom))
    items += _key(columns.plot_left)
    items.append(Label(x=width, y=7.5, text=head, colour=QUIET, anchor="end"))
    for n, row in enumerate(rows):
        y = _HEAD + n * _ROW
        middle, base = y + _ROW / 2, y + _ROW / 2 + 2.5
        a, b = axis.at(float(row.before.mean)), axis.at(float(row.after.mean))
        items.append(line(axis.start, y + _ROW, axis.end, y + _ROW, stroke=HAIR, width=0.3))
        items += named(wrapped(row.label, columns.plot_left - 6), base)
        items.append(line(a, middle, b, middle, stroke=MIST, width=1.6))
        for summary, colour in ((row.before, QUIET), (row.after, ACCENT)):
            if summary.u_mean:
                u = 2 * summary.u_mean
                items += whisker(axis.at(float(summary.mean - u)), axis.at(float(summary.mean + u)), middle, colour)
        items.append(circle(a, middle, 2.8, fill=WHITE, stroke=QUIET, width=1.1))
        items.append(circle(b, middle, 2.8, fill=ACCENT, stroke=ACCENT, width=0.6))
        items += _ends(row, axis, base, places)
        colour = COLOURS.get(row.word, INK)
        if columns.value_right > columns.plot_right:
            items.append(Label(x=columns.value_right, y=base, text=changes[n], colour=INK, anchor="end"))
        if row.word:
            items.append(Label(x=columns.word_left, y=base, text=words[n], colour=colour, bold=True))
        if row.link:
            items.append(rect(0, y, width, _ROW, link=row.link, title=named_value(row.label, f"{changes[n]} {unit}")))
    items += axis_marks(axis, bottom, comma().join((quantity, unit)) if unit else quantity)
    return Drawing(width=width, height=bottom + 23.0, items=tuple(items), alt=_alt(rows, quantity, unit, places))


def _key(x: float) -> list[Path | Label]:
    before = _("before")
    second = x + max(44.0, 9 + text_width(before) + 9)
    return [
        circle(x + 3, 5, 2.8, fill=WHITE, stroke=QUIET, width=1.1), Label(x=x + 9, y=7.5, text=before, colour=QUIET),
        circle(second, 5, 2.8, fill=ACCENT), Label(x=second + 6, y=7.5, text=_("after"), colour=QUIET),
    ]  # fmt: skip


def _ends(row: ChangeRow, axis: Axis, base: float, places: int) -> list[Path | Label]:
    """The two means, outside the dumbbell on their own side."""
    at = axis.at
    a, b = at(float(row.before.mean)), at(float(row.after.mean))
    made: list[Path | Label] = []
    for summary, x, other, colour in ((row.before, a, b, QUIET), (row.after, b, a, INK)):
        reach = abs(at(float(summary.mean + 2 * (summary.u_mean or 0))) - x)
        gap = max(reach, 2.8) + 3.5
        left = x < other or (x == other and summary is row.before)
        spot, said = x - gap if left else x + gap, fixed(summary.mean, places)
        wide = text_width(said) + 2
        made.append(rect(spot - wide + 1 if left else spot - 1, base - 6.5, wide, 8, fill=WHITE))
        made.append(Label(x=spot, y=base, text=said, colour=colour, anchor="end" if left else "start"))
    return made


def _signed(row: ChangeRow, places: int) -> str:
    value, by = pair(row.change, row.uncertainty, places)
    sign = "+" if row.change > 0 else ""
    return f"{sign}{value} ± {by}" if by else f"{sign}{value}"


def _alt(rows: Sequence[ChangeRow], quantity: str, unit: str, places: int) -> str:
    each = _("{zone} from {before} to {after}")
    said = semicolon().join(
        each.format(
            zone=lowered(r.label), before=fixed(r.before.mean, places), after=amount(r.after.mean, None, unit, places)
        )
        for r in rows[:6]
    )
    if len(rows) > 6:
        more = _("{what} before and after: {changes}, and {n} more.")
        return more.format(what=quantity, changes=said, n=len(rows) - 6)
    return _("{what} before and after: {changes}.").format(what=quantity, changes=said)
