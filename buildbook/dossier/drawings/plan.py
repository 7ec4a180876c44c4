"""The plan of a vehicle: seen from above and unfolded, each zone a shape of its own that can be filled and linked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildbook.dossier.drawing import Drawing, Label, Path, circle
from buildbook.dossier.drawings.bodies import outline
from buildbook.dossier.drawings.hatch import hatch
from buildbook.dossier.drawings.outline import Outline, Part, Role
from buildbook.dossier.drawings.palette import FAINT, HAIR, INK, LIT, MIST, PAPER, QUIET, WHITE, text_on
from buildbook.dossier.drawings.shapes import Point, Shape, area, centre, fit, moved, rings
from buildbook.dossier.drawings.text import LEAST, width
from buildbook.records.words import Body
from buildbook.records.zones import zone_title

FULL_WIDTH = 480.0
SMALL_WIDTH = 110.0
_PITCH = 8.6  # between lines of a label
_MARGIN = 13.0  # above and below the plan, for names of views and for labels led out

_TINTS: dict[Role, str] = {
    "paint": WHITE, "glass": "#e4eaed", "lamp": "#f3efe2", "trim": "#dfe2e5", "rubber": "#b9bfc4", "metal": FAINT,
    "hidden": WHITE, "line": WHITE, "edge": WHITE,
}  # fmt: skip


# Under a map only what carries a value may have a tone.
_BACKGROUND: dict[Role, str] = dict.fromkeys(_TINTS, WHITE) | {"rubber": "#f4f5f6"}


def zones_drawn(body: Body, *, hidden: bool = False) -> frozenset[str]:
    """Zones that the plan has a shape for. hidden: also those it only shows where a step worked."""
    return frozenset(p.zone for p in outline(body).parts if p.zone and (hidden or p.role != "hidden"))


@dataclass(frozen=True, slots=True)
class _Placed:
    """A part at its place on the drawing, in points."""

    part: Part
    shape: Shape


def plan(
    body: Body,
    *,
    fills: Mapping[str, str] | None = None,
    labels: Mapping[str, Sequence[str]] | None = None,
    lit: frozenset[str] = frozenset(),
    links: Mapping[str, str] | None = None,
    hatched: frozenset[str] = frozenset(),
    quiet: bool = False,
    width: float = FULL_WIDTH,
    alt: str = "",
) -> Drawing:
    """The plan of a body, `width` points wide.

    fills: colour by zone; labels: lines printed in the zone, or led out of it where they do not fit; lit: zones a
    step worked on; links: anchor by zone; hatched: zones to mark as not measured;
    quiet: glass, lamps and wheels without tints, so that only fills have a tone. Zones the body does not have, or
    that the plan does not show, are passed over.
    """
    fills, labels, links = fills or {}, labels or {}, links or {}
    whole = outline(body)
    left, top, right, bottom = whole.box
    scale = width / (right - left)
    large = width > 2 * SMALL_WIDTH
    margin = _margins(labels) if large else 1.0

    def place(x: float, y: float) -> Point:
        return (x - left) * scale, (y - top) * scale + margin

    placed = [_Placed(p, moved(p.shape, place)) for p in whole.parts if large or p.role != "line"]
    shown = [p for p in placed if p.part.role != "hidden"]
    items: list[Path | Label] = []
    fine = 1.0 if large else 0.6
    tints = _BACKGROUND if quiet else _TINTS
    for one in shown:
        items.extend(_draw(one, fills, lit, links, hatched, tints, fine))
    within = [p for p in placed if p.part.role == "hidden" and p.part.zone in lit]
    items.extend(_hidden(one, links) for one in sorted(within, key=_size, reverse=True))
    height = (bottom - top) * scale + 2 * margin
    if large:
        items.extend(_captions(whole, scale, margin, height))
        items.extend(_labels(shown, fills, labels, width, height))
    said = alt or _alt(body, labels, lit)
    return Drawing(width=width, height=height, items=tuple(items), alt=said)


def lit_plan(body: Body, lit: frozenset[str], *, links: Mapping[str, str] | None = None) -> Drawing | None:
    """A small plan that shows where a step worked; None where the plan shows none of the zones."""
    if not lit & zones_drawn(body, hidden=True):
        return None
    return plan(body, lit=lit, links=links, width=SMALL_WIDTH)


def _alt(body: Body, labels: Mapping[str, Sequence[str]], lit: frozenset[str]) -> str:
    if lit:
        names = ", ".join(zone_title(z).lower() for z in sorted(lit & zones_drawn(body, hidden=True)))
        return f"Plan of the vehicle, unfolded; marked: {names}."
    if labels:
        return f"Plan of the vehicle, unfolded, with values in {len(labels)} zones."
    return "Plan of the vehicle, unfolded: both sides, front and rear, seen from above."


def _draw(
    one: _Placed, fills: Mapping[str, str], lit: frozenset[str], links: Mapping[str, str], hatched: frozenset[str],
    tints: Mapping[Role, str], fine: float,
) -> list[Path]:  # fmt: skip
    part, zone = one.part, one.part.zone
    if part.role == "line":
        return [Path(commands=one.shape, stroke=HAIR, width=0.35)]
    if part.role == "edge":
        return [Path(commands=one.shape, fill=WHITE, stroke=QUIET, width=0.7 * fine)]
    fill = fills.get(zone) or (LIT if zone in lit else tints[part.role])
    weight = 0.7 if part.role == "paint" else 0.5
    stroke = INK if zone in lit else QUIET if part.role == "paint" or tints is _TINTS else MIST
    made = [
        Path(
            commands=one.shape, fill=fill, stroke=stroke, width=weight * fine, link=links.get(zone, ""),
            title=zone_title(zone),
        )
    ]  # fmt: skip
    if zone in hatched and zone not in fills:
        lines = hatch(one.shape)
        if lines:
            made.append(Path(commands=lines, stroke=HAIR, width=0.4))
    return made


def _hidden(one: _Placed, links: Mapping[str, str]) -> Path:
    zone = one.part.zone
    return Path(
        commands=one.shape, fill=None if zone == "seals" else LIT, stroke=INK, width=0.5,
        dash=() if zone == "seals" else (1.6, 1.2), link=links.get(zone, ""), title=zone_title(zone),
    )  # fmt: skip


def _captions(whole: Outline, scale: float, margin: float, height: float) -> list[Label]:
    left, top, right, _ = whole.box
    made = []
    for x, y, words in whole.captions:
        px, py = (x - left) * scale, (y - top) * scale + margin
        anchor = "start" if px < 20 else "end" if px > (right - left) * scale - 20 else "middle"
        if y == top:
            py = margin - 4.0
        made.append(Label(x=px, y=py, text=words, colour=QUIET, anchor=anchor))  # type: ignore[arg-type]
    return made


# -- labels ------------------------------------------------------------------------------------------------------------


def _margins(labels: Mapping[str, Sequence[str]]) -> float:
    most = max((len(lines) for lines in labels.values()), default=0)
    return _MARGIN + (_PITCH if most else 0.0)


def _labels(
    shown: Sequence[_Placed], fills: Mapping[str, str], labels: Mapping[str, Sequence[str]], wide: float, high: float
) -> list[Path | Label]:
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
    return items + _leaders(led, wide, high)


def _size(one: _Placed) -> float:
    return max(area(r) for r in rings(one.shape))


def _spot(
    mine: Sequence[_Placed], shown: Sequence[_Placed], lines: Sequence[str]
) -> tuple[Point, Sequence[str]] | None:
    """Where the lines fit, largest outline first; two lines may also stand on one."""
    for one in sorted(mine, key=_size, reverse=True):
        others = _above(one, shown)
        for block in _blocks(lines):
            across = max(width(line) for line in block) + 3.0
            found = fit(one.shape, across, _PITCH * len(block) - 0.6, others)
            if found:
                return found, block
    return None


_Foot = tuple[Point, str]


def _foot(mine: Sequence[_Placed], shown: Sequence[_Placed], high: float) -> _Foot:
    """Where a leader starts: a free place of the zone's largest outline, nearest to the edge the label stands at."""
    one = max(mine, key=_size)
    x, y = centre(one.shape)
    found = fit(one.shape, 2.0, 2.0, _above(one, shown), near=(x, high if y > high / 2 else 0.0))
    return found or (x, y), one.part.zone


def _above(one: _Placed, shown: Sequence[_Placed]) -> list[Shape]:
    """What is drawn over a part later on."""
    return [p.shape for p in shown[list(shown).index(one) + 1 :] if p.part.view == one.part.view and p.part.zone]


def _blocks(lines: Sequence[str]) -> list[Sequence[str]]:
    return [lines] if len(lines) < 2 else [lines, [", ".join(lines)]]


def _set(x: float, y: float, lines: Sequence[str], colour: str) -> list[Label]:
    first = y - _PITCH * (len(lines) - 1) / 2 + 2.5
    return [
        Label(x=x, y=first + n * _PITCH, text=line, colour=colour, anchor="middle", bold=n == 0)
        for n, line in enumerate(lines)
    ]


def _leaders(led: Sequence[tuple[_Foot, Sequence[str]]], wide: float, high: float) -> list[Path | Label]:
    """Labels led out to the edge above or below, spread so that none stands on another."""
    items: list[Path | Label] = []
    for lower in (False, True):
        row = sorted(item for item in led if (item[0][0][1] > high / 2) == lower)
        texts = [f"{zone_title(zone)}: {', '.join(lines)}" for (_p, zone), lines in row]
        xs = _spread([p[0] for (p, _zone), _lines in row], [width(t) + 8.0 for t in texts], wide)
        for (((x, y), _zone), _lines), at, said in zip(row, xs, texts, strict=True):
            foot, base = (high - 9.5, high - 1.8) if lower else (9.0, 6.6)
            bend = y + (foot - y) * 0.55
            items.append(Path(commands=(("M", x, y), ("L", x, bend), ("L", at, foot)), stroke=INK, width=0.4))
            items.append(circle(x, y, 1.1, fill=INK))
            items.append(Label(x=at, y=base, text=said, colour=INK, anchor="middle"))
    return items


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


__all__ = ["FULL_WIDTH", "LEAST", "PAPER", "SMALL_WIDTH", "lit_plan", "plan", "zones_drawn"]
