"""The film thickness map: a plan coloured by the mean of each zone, with a scale shared by the maps of one job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from buildbook.dossier.drawing import Drawing, Label, Path, rect
from buildbook.dossier.drawings.axis import nice_step
from buildbook.dossier.drawings.frame import beside
from buildbook.dossier.drawings.hatch import hatch
from buildbook.dossier.drawings.numbers import in_locale
from buildbook.dossier.drawings.palette import HAIR, INK, MOST_CLASSES, QUIET, WHITE, scale
from buildbook.dossier.drawings.plan import FULL_WIDTH, plan, zones_drawn
from buildbook.dossier.drawings.text import width as text_width
from buildbook.dossier.terms import zone_title
from buildbook.dossier.wording import _, comma, lowered, sentences
from buildbook.records.words import Body
from buildbook.records.zones import zones_of
from buildbook.trade.statistics import Summary, median

_LEGEND = 30.0  # height of the legend
_BAR = 30.0  # width of one class in it


@dataclass(frozen=True, slots=True)
class Classes:
    """Classes of film thickness: `edges` in µm rising, colours between them; the last may be open upwards."""

    edges: tuple[Decimal, ...]
    open_top: bool
    colours: tuple[str, ...]

    def colour(self, value: Decimal) -> str:
        """The class a value lies in; a value on an edge belongs to the class above it."""
        above = sum(value >= edge for edge in self.edges[1:])
        return self.colours[min(above, len(self.colours) - 1)]


def classes_for(values: Iterable[Decimal]) -> Classes:
    """Even classes of a round width for these thicknesses, at most eight.

    Panels far above the rest (over 1.3 times the median) share one open class, so that they do not flatten the
    differences between the others.
    """
    found = sorted(values)
    if not found:
        raise ValueError("no thickness to make classes for")
    reach = min(found[-1], median(found) * Decimal("1.3"))
    low = found[0]
    step = Decimal(str(nice_step(float(max(reach - low, Decimal(5))) / (MOST_CLASSES - 2))))
    first = (low // step) * step
    edges = [first, first + step]
    while edges[-1] <= reach and len(edges) < MOST_CLASSES:
        edges.append(edges[-1] + step)
    open_top = found[-1] >= edges[-1]
    count = len(edges) - 1 + open_top
    return Classes(tuple(edges), open_top, scale(max(count, 2))[:count])


def film_map(
    body: Body,
    values: Mapping[str, Summary],
    *,
    classes: Classes | None = None,
    links: Mapping[str, str] | None = None,
    left_out: frozenset[str] = frozenset(),
    title: str = "",
    legend: bool = True,
    width: float = FULL_WIDTH,
) -> Drawing:
    """Mean film thickness in µm and the number of readings, zone by zone; painted panels without values are hatched.

    classes: share one scale between maps that are compared. left_out: zones measured only by readings that do not
    count as evidence; they are hatched like those not measured. title: printed beside the legend.
    legend: False where a map beside it shows it; the title then stands above.
    """
    drawn = zones_drawn(body)
    shown = {zone: summary for zone, summary in values.items() if zone in drawn}
    chosen = classes or classes_for(s.mean for s in values.values())
    panels = frozenset(z.name for z in zones_of(body) if z.group == "panel") & drawn
    chart = plan(
        body,
        fills={zone: chosen.colour(s.mean) for zone, s in shown.items()},
        labels={zone: (f"{s.mean:.0f}", f"n {s.n}") for zone, s in shown.items()},
        hatched=panels - shown.keys(),
        links=links,
        quiet=True,
        width=width,
    )
    elsewhere = sorted(values.keys() - shown.keys())
    alt = _alt(shown, elsewhere, title, left_out)
    if not legend:
        head = Drawing(width=width, height=10, items=(Label(x=0, y=8, text=title, colour=INK, bold=True),), alt="")
        return replace(beside([head, chart], across=1, width=width, gap=0), alt=alt)
    items = [*chart.items, *_legend(chosen, chart.height + 4, title)]
    return Drawing(width=width, height=chart.height + _LEGEND, items=tuple(items), alt=alt)


def _legend(classes: Classes, top: float, title: str) -> list[Path | Label]:
    items: list[Path | Label] = []
    count = len(classes.colours)
    label = _("Film thickness, mean, µm")
    x = text_width(label) + 12.0
    items.append(Label(x=0, y=top + 7.5, text=label, colour=INK))
    for n, colour in enumerate(classes.colours):
        items.append(rect(x + n * _BAR, top, _BAR, 10, fill=colour, stroke=QUIET, width=0.4))
    for n, edge in enumerate(classes.edges):
        number = in_locale(f"{edge.normalize():f}")
        items.append(Label(x=x + n * _BAR, y=top + 18.5, text=number, colour=INK, anchor="middle"))
    if classes.open_top:
        items.append(Label(x=x + count * _BAR, y=top + 18.5, text=_("and more"), colour=INK, anchor="middle"))
    x += count * _BAR + 34.0
    box = rect(x, top, 16, 10, fill=WHITE, stroke=QUIET, width=0.4)
    items += [box, Path(commands=hatch(box.commands, 3.0), stroke=HAIR, width=0.4)]
    items.append(Label(x=x + 20, y=top + 7.5, text=_("not measured"), colour=INK))
    if title:
        items.append(Label(x=0, y=top + 18.5, text=title, colour=INK, bold=True))
    return items


def _alt(shown: Mapping[str, Summary], elsewhere: list[str], title: str, left_out: frozenset[str]) -> str:
    if not shown:
        if title:
            said = _("Plan of the vehicle, {when}: no film thickness measured on a zone it shows.")
            return said.format(when=title)
        return _("Plan of the vehicle: no film thickness measured on a zone it shows.")
    thin = min(shown.items(), key=lambda item: item[1].mean)
    thick = max(shown.items(), key=lambda item: item[1].mean)
    said = _("Film thickness on a plan of the vehicle: {n} zones, mean from {low} µm ({thin}) to {high} µm ({thick}).")
    if title:
        said = _(
            "Film thickness on a plan of the vehicle, {when}: {n} zones, mean from {low} µm ({thin}) to "
            "{high} µm ({thick})."
        )
    said = said.format(
        when=title, n=len(shown), low=f"{thin[1].mean:.0f}", thin=lowered(zone_title(thin[0])),
        high=f"{thick[1].mean:.0f}", thick=lowered(zone_title(thick[0])),
    )  # fmt: skip
    if elsewhere:
        said = sentences(said, _("Not on the plan: {zones}.").format(zones=_names(elsewhere)))
    if left_out:
        said = sentences(said, _("Left out, not evidence: {zones}.").format(zones=_names(sorted(left_out))))
    return said


def _names(zones: Iterable[str]) -> str:
    return comma().join(lowered(zone_title(z)) for z in zones)
