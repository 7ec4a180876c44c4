"""Labels of a plan: in the zone where they fit, else led out to rows above and below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildbook.dossier.drawing import Label, Path, circle, rect
from buildbook.dossier.drawings.outline import Part
from buildbook.dossier.drawings.palette import INK, WHITE, text_on
from buildbook.dossier.drawings.shapes import Point, Shape, area, centre, fit, rings
from buildbook.dossier.drawings.text import width
from buildbook.dossier.terms import zone_title
from buildbook.dossier.wording import comma, named_value

LED_ROW = 10.0  # height of a row of labels led out
LED_GAP = 5.0  # more between the plan and the first of them
_PITCH = 8.6  # between lines of a label


@dataclass(frozen=True, slots=True)
class Placed:
    """A part at its place on the drawing, in points."""

    part: Part
    shape: Shape


def labelled(
    shown: Sequence[Placed], fills: Mapping[str, str], labels: Mapping[str, Sequence[str]], wide: float, high: float
) -> tuple[list[Path | Label], int, int]:
    """Labels of zones, and how many rows of led-out ones stand above (y < 0) and below (y > high) the plan."""
    items: list[Path | Label] = []
    led: list[tuple[_Foot, Sequence[str]]] = []
    for zone, lines in labels.items():
        mine = [p for p in shown if p.part.zone == zone]
        if not mine or not lines:
            continue
        spot = _spot(mine, shown, lines)
        if spot is None:
            led.append((_foot(mine, shown, high), lines))
        else:
            (x, y), shape_lines = spot
            items.extend(_set(x, y, shape_lines, text_on(fills.get(zone, WHITE))))
    outside, above, below = _leaders(led, wide, high)
    return [*items, *outside], above, below


def size_of(one: Placed) -> float:
    """The area of a part's largest outline."""
    return max(area(r) for r in rings(one.shape))


def _spot(
    mine: Sequence[Placed], shown: Sequence[Placed], lines: Sequence[str]
) -> tuple[Point, Sequence[str]] | None:
    """Where the lines fit, largest outline first; two lines may also stand on one."""
    for one in sorted(mine, key=size_of, reverse=True):
        others = _above(one, shown)
        for block in _blocks(lines):
            across = max(width(line) for line in block) + 3.0
            found = fit(one.shape, across, _PITCH * len(block) - 0.6, others)
            if found:
                return found, block
    return None


@dataclass(frozen=True, slots=True)
class _Foot:
    """Where a leader starts: a place of a zone's largest outline, clear of what is drawn over it."""

    at: Point
    zone: str
    shape: Shape
    over: Sequence[Shape]


def _foot(mine: Sequence[Placed], shown: Sequence[Placed], high: float) -> _Foot:
    """The place nearest to the edge the label stands at."""
    one = max(mine, key=size_of)
    x, y = centre(one.shape)
    over = _above(one, shown)
    found = fit(one.shape, 2.0, 2.0, over, near=(x, high if y > high / 2 else 0.0))
    return _Foot(found or (x, y), one.part.zone, one.shape, over)


def _nearest(foot: _Foot, x: float, edge: float) -> Point:
    """The place nearest to the label, so that leaders of zones one within the other do not run along each other."""
    return fit(foot.shape, 2.0, 2.0, foot.over, near=(x, edge)) or foot.at


def _above(one: Placed, shown: Sequence[Placed]) -> list[Shape]:
    """What is drawn over a part later on."""
    return [p.shape for p in shown[list(shown).index(one) + 1 :] if p.part.view == one.part.view and p.part.zone]


def _blocks(lines: Sequence[str]) -> list[Sequence[str]]:
    return [lines] if len(lines) < 2 else [lines, [comma().join(lines)]]


def _set(x: float, y: float, lines: Sequence[str], colour: str) -> list[Label]:
    first = y - _PITCH * (len(lines) - 1) / 2 + 2.5
    return [
        Label(x=x, y=first + n * _PITCH, text=line, colour=colour, anchor="middle", bold=n == 0)
        for n, line in enumerate(lines)
    ]


def _leaders(
    led: Sequence[tuple[_Foot, Sequence[str]]], wide: float, high: float
) -> tuple[list[Path | Label], int, int]:
    """Labels led out above and below, in as many rows as they need, spread so that none stands on another."""
    lines: list[Path | Label] = []
    words: list[Path | Label] = []
    counts: list[int] = []
    for lower in (False, True):
        mine_all = (item for item in led if (item[0].at[1] > high / 2) == lower)
        found = sorted(mine_all, key=lambda item: (item[0].at, item[0].zone))
        texts = [named_value(zone_title(foot.zone), comma().join(said)) for foot, said in found]
        widths = [width(t) + 8.0 for t in texts]
        rows = min(len(found), 1)
        while any(sum(widths[row::rows]) > wide for row in range(rows)) and rows < len(found):
            rows += 1
        counts.append(rows)
        for row in range(rows):
            # Neighbours go to different rows, the first row being the one nearest to the plan.
            mine = list(range(row, len(found), rows))
            xs = _spread([found[n][0].at[0] for n in mine], [widths[n] for n in mine], wide)
            base = high + 8.0 + LED_GAP + row * LED_ROW if lower else -3.0 - LED_GAP - row * LED_ROW
            for n, at in zip(mine, xs, strict=True):
                x, y = _nearest(found[n][0], at, high if lower else 0.0)
                foot = base - 7.5 if lower else base + 2.5
                bend = y + (foot - y) * 0.55 if abs(at - x) < abs(foot - y) else y  # never flat along the labels
                lines.append(Path(commands=(("M", x, y), ("L", x, bend), ("L", at, foot)), stroke=INK, width=0.4))
                lines.append(circle(x, y, 1.1, fill=INK))
                half = widths[n] / 2 - 3.0
                words.append(rect(at - half, base - 6.4, 2 * half, 8.4, fill=WHITE))
                words.append(Label(x=at, y=base, text=texts[n], colour=INK, anchor="middle"))
    return [*lines, *words], counts[0], counts[1]


def _spread(wanted: Sequence[float], widths: Sequence[float], wide: float) -> list[float]:
    """Centres near the wanted ones, in order, none overlapping and all within the width if they fit at all."""
    placed: list[float] = []
    edge = 0.0
    for x, w in zip(wanted, widths, strict=True):
        at = max(x, edge + w / 2)
        placed.append(at)
        edge = at + w / 2
    limit = wide
    for n in range(len(placed) - 1, -1, -1):
        placed[n] = min(placed[n], limit - widths[n] / 2)
        limit = placed[n] - widths[n] / 2
    return placed
