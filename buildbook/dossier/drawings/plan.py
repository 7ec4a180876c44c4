"""The plan of a vehicle: seen from above and unfolded, each zone a shape of its own that can be filled and linked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from buildbook.dossier.drawing import Drawing, Label, Path
from buildbook.dossier.drawings.bodies import outline
from buildbook.dossier.drawings.frame import shifted
from buildbook.dossier.drawings.hatch import hatch
from buildbook.dossier.drawings.outline import Outline, Role
from buildbook.dossier.drawings.palette import FAINT, HAIR, INK, LIT, MIST, QUIET, WHITE
from buildbook.dossier.drawings.plan_labels import LED_GAP, LED_ROW, Placed, labelled, size_of
from buildbook.dossier.drawings.shapes import Point, moved
from buildbook.dossier.terms import zone_title
from buildbook.dossier.wording import _, comma, lowered
from buildbook.records.words import Body

FULL_WIDTH = 480.0
SMALL_WIDTH = 110.0
_MARGIN = 13.0  # above and below the plan

_TINTS: dict[Role, str] = {
    "paint": WHITE, "glass": "#e4eaed", "lamp": "#f3efe2", "trim": "#dfe2e5", "rubber": "#b9bfc4", "metal": FAINT,
    "hidden": WHITE, "line": WHITE, "edge": WHITE,
}  # fmt: skip


# Under a map only what carries a value may have a tone.
_BACKGROUND: dict[Role, str] = dict.fromkeys(_TINTS, WHITE) | {"rubber": "#f4f5f6"}


def zones_drawn(body: Body, *, hidden: bool = False) -> frozenset[str]:
    """Zones that the plan has a shape for. hidden: also those it only shows where a step worked."""
    return frozenset(p.zone for p in outline(body).parts if p.zone and (hidden or p.role != "hidden"))


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
    placed = _placed(body, width)
    shown = [p for p in placed if p.part.role != "hidden"]
    items: list[Path | Label] = []
    fine = 1.0 if large else 0.6
    tints = _BACKGROUND if quiet else _TINTS
    for one in shown:
        items.extend(_draw(one, fills, lit, links, hatched, tints, fine))
    within = [p for p in placed if p.part.role == "hidden" and p.part.zone in lit]
    items.extend(_hidden(one, links) for one in sorted(within, key=size_of, reverse=True))
    height, above, below = (bottom - top) * scale, 1.0, 1.0
    if large:
        if width > 300:  # on a smaller one the names of the views would stand on its lines
            items.extend(_captions(whole, scale))
        words, rows_above, rows_below = labelled(shown, fills, labels, width, height)
        items.extend(words)
        above, below = (_MARGIN + LED_ROW * rows + (LED_GAP if rows else 0.0) for rows in (rows_above, rows_below))
    said = alt or _alt(body, labels, lit)
    return Drawing(width=width, height=height + above + below, items=shifted(items, 0.0, above), alt=said)


@lru_cache(maxsize=16)
def _placed(body: Body, width: float) -> tuple[Placed, ...]:
    """The parts of a plan `width` points wide: the same for each step of a job. A small one has no fine lines."""
    whole = outline(body)
    left, top, right, _ = whole.box
    scale = width / (right - left)

    def place(x: float, y: float) -> Point:
        return (x - left) * scale, (y - top) * scale

    return tuple(Placed(p, moved(p.shape, place)) for p in whole.parts if width > 2 * SMALL_WIDTH or p.role != "line")


def lit_plan(body: Body, lit: frozenset[str], *, links: Mapping[str, str] | None = None) -> Drawing | None:
    """A small plan that shows where a step worked; None where the plan shows none of the zones."""
    if not lit & zones_drawn(body, hidden=True):
        return None
    return plan(body, lit=lit, links=links, width=SMALL_WIDTH)


def _alt(body: Body, labels: Mapping[str, Sequence[str]], lit: frozenset[str]) -> str:
    if lit:
        names = comma().join(lowered(zone_title(z)) for z in sorted(lit & zones_drawn(body, hidden=True)))
        return _("Plan of the vehicle, unfolded; marked: {names}.").format(names=names)
    if labels:
        return _("Plan of the vehicle, unfolded, with values in {n} zones.").format(n=len(labels))
    return _("Plan of the vehicle, unfolded: both sides, front and rear, seen from above.")


def _draw(
    one: Placed, fills: Mapping[str, str], lit: frozenset[str], links: Mapping[str, str], hatched: frozenset[str],
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


def _hidden(one: Placed, links: Mapping[str, str]) -> Path:
    zone = one.part.zone
    return Path(
        commands=one.shape, fill=None if zone == "seals" else LIT, stroke=INK, width=0.5,
        dash=() if zone == "seals" else (1.6, 1.2), link=links.get(zone, ""), title=zone_title(zone),
    )  # fmt: skip


def _captions(whole: Outline, scale: float) -> list[Label]:
    left, top, right, _bottom = whole.box
    made = []
    for x, y, words in whole.captions:
        px, py = (x - left) * scale, (y - top) * scale
        anchor = "start" if px < 20 else "end" if px > (right - left) * scale - 20 else "middle"
        made.append(Label(x=px, y=py - 4.0 if y == top else py, text=_(words), colour=QUIET, anchor=anchor))  # type: ignore[arg-type]
    return made
