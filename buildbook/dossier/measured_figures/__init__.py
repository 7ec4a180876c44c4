"""Figures of the readings: what each kind shows, in sentences with their evidence, then in a drawing, then in a table.

`kind_blocks` is asked by section 6 for each kind, above the tables of that kind; `reading_figures` gives all of them.
"""

from __future__ import annotations

from collections.abc import Callable

from buildbook.dossier.measured_figures import film, general, paint, running, weather
from buildbook.dossier.model import Block
from buildbook.dossier.view import View
from buildbook.trade.kinds import KINDS

Maker = Callable[[View, str], list[Block]]

MAKERS: dict[str, Maker] = {
    "film_thickness": lambda view, _kind: film.film_blocks(view),
    "gloss_20": paint.gloss_blocks,
    "gloss_60": paint.gloss_blocks,
    "gloss_85": paint.gloss_blocks,
    "colour_lab": paint.colour_blocks,
    "surface_temperature": weather.surface_blocks,
    "metal_temperature": weather.metal_blocks,
    "disc_thickness": running.disc_blocks,
    "disc_runout": running.runout_blocks,
    "brake_fluid_boiling_point": running.fluid_blocks,
    "tyre_tread": running.tread_blocks,
    "tyre_date_code": running.date_code_blocks,
    "tightening_torque": running.torque_blocks,
    "battery_voltage": running.battery_blocks,
    "compression": running.compression_blocks,
    "odometer": running.odometer_blocks,
}


def kind_blocks(view: View, kind: str) -> list[Block]:
    """What the readings of one kind show; nothing for an unknown kind."""
    known = view.kinds.get(kind)
    if known is None:
        return []
    if kind in MAKERS:
        return MAKERS[kind](view, kind)
    if known.value_form == "grade":
        return general.grade_blocks(view, kind)
    return general.general_blocks(view, kind) if known.value_form == "number" else []


def reading_figures(view: View) -> tuple[Block, ...]:
    """The blocks of every kind the job has readings of, in the order of the table of kinds, own kinds last."""
    used = {r.kind for r in view.job.readings}
    order = [k.name for k in KINDS if k.name in used]
    order += sorted(used - set(order))
    return tuple(block for kind in order for block in kind_blocks(view, kind))
