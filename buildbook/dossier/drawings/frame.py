"""What charts share: widths, columns of a row, the axis below and its hairlines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from buildbook.dossier.drawing import Drawing, Label, Path, line
from buildbook.dossier.drawings.axis import Axis
from buildbook.dossier.drawings.palette import HAIR, INK, QUIET
from buildbook.dossier.drawings.shapes import Shape
from buildbook.dossier.drawings.text import width as text_width
from buildbook.dossier.wording import sentences

FULL = 487.0  # points; the width of the type area
HALF = 238.0
ROW = 13.0
TALL = 19.5  # a row whose name takes two lines
PITCH = 8.2  # between the two
_LEAST_PLOT = 96.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the parts of a row stand: label from 0, plot, value (right aligned at its x), word.

    Where there is no room for values, `value_right` is `plot_right`: they are left out.
    """

    plot_left: float
    plot_right: float
    value_right: float
    word_left: float


def columns_for(labels: Sequence[str], values: Sequence[str], words: Sequence[str], wide: float) -> Columns:
    """Columns that leave the plot as much as labels, values and words allow; on a narrow drawing values give way."""
    label = min(max((text_width(t) for t in labels), default=0.0) + 10, wide * 0.42)
    word = max((text_width(t) for t in words), default=0.0) + 6 if any(words) else 0.0
    value = max((text_width(t) for t in values), default=0.0) + 10
    if wide - label - word - value < _LEAST_PLOT:
        label, value = min(label, max(wide * 0.3, wide - word - _LEAST_PLOT - 6)), 0.0
    right = wide - word - value - 6
    return Columns(label, right, wide - word - 4 if value else right, wide - word + 2)


def named(lines: Sequence[str], base: float) -> list[Label]:
    """The name of a row at its left, its lines about where the base line of a single one is."""
    first = base - PITCH * (len(lines) - 1) / 2
    return [Label(x=0, y=first + n * PITCH, text=line, colour=INK) for n, line in enumerate(lines)]


def grid(axis: Axis, top: float, bottom: float) -> list[Path | Label]:
    """Hairlines at the ticks of a level axis."""
    return [line(axis.at(t), top, axis.at(t), bottom, stroke=HAIR, width=0.3) for t in axis.ticks]


def axis_marks(axis: Axis, y: float, title: str) -> list[Path | Label]:
    """A level axis at y: line, ticks, their values, and quantity with unit at its right end."""
    items: list[Path | Label] = [line(axis.start, y, axis.end, y, stroke=QUIET, width=0.5)]
    for tick in axis.ticks:
        items.append(line(axis.at(tick), y, axis.at(tick), y + 2.5, stroke=QUIET, width=0.5))
        said = axis.label(tick)
        at = max(axis.at(tick), text_width(said) / 2)  # not off the sheet where an axis starts at its edge
        items.append(Label(x=at, y=y + 10.5, text=said, colour=QUIET, anchor="middle"))
    items.append(Label(x=axis.end, y=y + 20.0, text=title, colour=QUIET, anchor="end"))
    return items


def beside(drawings: Sequence[Drawing], *, across: int = 2, width: float = FULL, gap: float = 11.0) -> Drawing:
    """Drawings side by side in rows on one sheet, each at its own size; the alternative texts follow each other."""
    items: list[Path | Label] = []
    top = 0.0
    column = (width + gap) / across
    for first in range(0, len(drawings), across):
        row = drawings[first : first + across]
        for n, drawing in enumerate(row):
            dx, dy = n * column, top
            items.extend(shifted(drawing.items, dx, dy))
        top += max(d.height for d in row) + gap
    return Drawing(width=width, height=top - gap, items=tuple(items), alt=sentences(*(d.alt for d in drawings)))


def shifted(items: Iterable[Path | Label], dx: float, dy: float) -> tuple[Path | Label, ...]:
    """The same items moved."""
    return tuple(
        replace(item, x=item.x + dx, y=item.y + dy)
        if isinstance(item, Label)
        else replace(item, commands=_shifted(item.commands, dx, dy))
        for item in items
    )


def _shifted(commands: Shape, dx: float, dy: float) -> Shape:
    return tuple(
        (name, *(float(v) + (dx if n % 2 == 0 else dy) for n, v in enumerate(numbers))) for name, *numbers in commands
    )
