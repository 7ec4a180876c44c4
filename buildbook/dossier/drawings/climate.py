"""The surface against the dew point while painting: one row a moment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from buildbook.dossier.drawing import Drawing, Label, Path, line, rect
from buildbook.dossier.drawings.axis import axis_for
from buildbook.dossier.drawings.frame import FULL, ROW, axis_marks, columns_for, grid
from buildbook.dossier.drawings.markers import COLOURS, marker, whisker
from buildbook.dossier.drawings.numbers import fixed, plain
from buildbook.dossier.drawings.palette import BARRED, HAIR, INK, QUIET
from buildbook.dossier.drawings.text import cut
from buildbook.dossier.wording import _

_HEAD = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ClimateRow:
    """One moment: temperatures in °C; margin: surface less dew point; least: what it must be at least."""

    label: str
    surface: Decimal
    dew_point: Decimal
    margin: Decimal
    least: Decimal
    word: str
    uncertainty: Decimal | None = None
    link: str = ""


def climate_strip(rows: Sequence[ClimateRow], *, width: float = FULL) -> Drawing:
    """Surface temperature with its uncertainty, dew point, and the least the surface must have."""
    if not rows:
        raise ValueError("a climate strip needs a row")
    values = [_("{margin} above").format(margin=fixed(r.margin, 1)) for r in rows]
    columns = columns_for([r.label for r in rows], values, [_(r.word) for r in rows], width)
    ends = [float(v) for r in rows for v in (r.dew_point, r.dew_point + r.least, r.surface + (r.uncertainty or 0))]
    axis = axis_for(ends, columns.plot_left, columns.plot_right)
    bottom = _HEAD + ROW * len(rows)
    items: list[Path | Label] = []
    for n, row in enumerate(rows):
        y = _HEAD + n * ROW
        at = axis.at(float(row.dew_point + row.least))
        items.append(rect(axis.start, y, at - axis.start, ROW, fill=BARRED))
    items += grid(axis, _HEAD, bottom)
    for n, row in enumerate(rows):
        y = _HEAD + n * ROW
        middle, base = y + ROW / 2, y + ROW / 2 + 2.5
        items.append(line(axis.start, y + ROW, axis.end, y + ROW, stroke=HAIR, width=0.3))
        items.append(Label(x=0, y=base, text=cut(row.label, columns.plot_left - 6), colour=INK))
        dew, least = axis.at(float(row.dew_point)), axis.at(float(row.dew_point + row.least))
        items.append(line(dew, y + 2.5, dew, y + ROW - 2.5, stroke=QUIET, width=1.4))
        items.append(line(least, y, least, y + ROW, stroke=INK, width=0.9))
        x = axis.at(float(row.surface))
        if row.uncertainty:
            ends_at = (axis.at(float(row.surface - row.uncertainty)), axis.at(float(row.surface + row.uncertainty)))
            items += whisker(*ends_at, middle, COLOURS.get(row.word, INK))
        items += marker(row.word, x, middle)
        if columns.value_right > columns.plot_right:
            items.append(Label(x=columns.value_right, y=base, text=values[n], colour=INK, anchor="end"))
        items.append(Label(x=columns.word_left, y=base, text=_(row.word), colour=COLOURS.get(row.word, INK), bold=True))
        if row.link:
            said = _("{moment}: surface {surface} °C, {word}").format(
                moment=row.label, surface=plain(row.surface), word=_(row.word)
            )
            items.append(rect(0, y, width, ROW, link=row.link, title=said))
    first = rows[0]
    heads = (
        (float(first.dew_point), _("dew point"), "end", -2.0),
        (float(first.dew_point + first.least), _("dew point + {least}").format(least=plain(first.least)), "start", 2.0),
        (float(first.surface), _("surface"), "middle", 0.0),
    )
    for value, said, anchor, shift in heads:
        x = axis.at(value) + shift
        items.append(Label(x=x, y=7.5, text=said, colour=QUIET, anchor=anchor))  # type: ignore[arg-type]
    items += axis_marks(axis, bottom, _("Temperature, °C"))
    least_row = min(rows, key=lambda r: r.margin)
    alt = _(
        "Surface temperature against the dew point at {n} moments: least margin {margin} °C ({moment}); "
        "at least {least} °C asked for."
    ).format(
        n=len(rows), margin=fixed(least_row.margin, 1), moment=least_row.label, least=plain(first.least)
    )
    return Drawing(width=width, height=bottom + 23.0, items=tuple(items), alt=alt)
