"""Where vector figures join the dossier: the plan in section 3, a small plan with each step, charts in section 6."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from buildbook.dossier.drawing import Drawing
from buildbook.dossier.drawings.palette import GRADES
from buildbook.dossier.drawings.plan import FULL_WIDTH, lit_plan, plan, zones_drawn
from buildbook.dossier.measured_figures import kind_blocks
from buildbook.dossier.model import Block, Figure, text
from buildbook.dossier.terms import zone_title
from buildbook.dossier.view import View, zone_anchor
from buildbook.dossier.wording import _, semicolon, sentences
from buildbook.records.job import Observation, Step


def _graded(view: View) -> dict[str, list[Observation]]:
    """The observations with a grade on arrival, by zone."""
    graded: dict[str, list[Observation]] = {}
    for seen in view.job.observations:
        if seen.zone and seen.grade_in is not None and seen.grade_in.is_finite() and seen.grade_in >= 0:
            graded.setdefault(seen.zone, []).append(seen)
    return graded


def condition_plan(view: View, links: Mapping[str, str]) -> Drawing | None:
    """The plan with the worst grade of each zone on arrival and on leaving. links: where each zone leads."""
    body, graded = view.job.vehicle.body, _graded(view)
    if body is None:
        return None
    said = _("Plan of the vehicle, unfolded, with the worst grade of {n} zones on arrival and on leaving.")
    return plan(
        body,
        fills={zone: GRADES[int(_worst(found))] for zone, found in graded.items()},
        labels={zone: (_grades(found),) for zone, found in graded.items()},
        links=links,
        width=FULL_WIDTH,
        alt=said.format(n=len(graded)) if graded else "",
    )


def condition_figures(view: View) -> list[Figure]:
    """The plan of the condition; each zone leads to what was seen there. None where no zone has a grade."""
    body, graded = view.job.vehicle.body, _graded(view)
    drawing = condition_plan(view, {zone: zone_anchor(zone) for zone in view.zones}) if graded else None
    if body is None or drawing is None:
        return []
    said = _("Where something was seen: worst grade on arrival → on leaving, 0 none to 5 severe; darker is worse.")
    inside = [zone_title(zone) for zone in graded if zone not in zones_drawn(body)]
    if inside:
        said = sentences(said, _("Not on the plan: {zones}.").format(zones=semicolon().join(inside)))
    return [Figure(drawing=drawing, caption=text(said), anchor="plan-condition")]


def _worst(found: list[Observation]) -> Decimal:
    """The worst grade on arrival, kept within the scale whatever was written."""
    return min(max(o.grade_in for o in found if o.grade_in is not None), Decimal(5))


def _grades(found: list[Observation]) -> str:
    """`3 → 1`: the worst on arrival and on leaving; a dash where a grade on leaving lacks."""
    left = [o.grade_out for o in found]
    after = "–" if any(g is None for g in left) else str(max(g for g in left if g is not None))
    return f"{_worst(found)} → {after}"


def step_figures(view: View, step: Step) -> list[Figure]:
    """The small plan that shows where a step worked; none where it worked on nothing the plan shows."""
    body = view.job.vehicle.body
    drawing = lit_plan(body, frozenset(step.zones)) if body is not None else None
    return [] if drawing is None else [Figure(drawing=drawing, caption=())]


def reading_figures(view: View, kind: str) -> list[Block]:
    """What the readings of a kind show: sentences with their evidence, drawings, and tables made from them."""
    return kind_blocks(view, kind)
