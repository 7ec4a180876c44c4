"""The parts a plan is made of: one outline each, in millimetres of an imagined car, unfolded on one sheet.

Sheet: x runs from the nose (0) to the tail, y downwards. The top view lies on y = 0; the left side is folded out below
it, the right side above it, front and rear at the ends. The proportions are ours, of no real car.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from buildbook.dossier.drawings.shapes import Shape

# paint: a painted panel; glass, lamp, trim, rubber, metal: other materials; hidden: only drawn where a step worked;
# line: a hairline without a zone; edge: the heavier outline of the body.
Role = Literal["paint", "glass", "lamp", "trim", "rubber", "metal", "hidden", "line", "edge"]


@dataclass(frozen=True, slots=True)
class Part:
    """An outline with the zone it stands for ("" for lines). view: which face of the unfolded body it lies on."""

    zone: str
    shape: Shape
    role: Role
    view: str


@dataclass(frozen=True, slots=True)
class Outline:
    """A whole body unfolded: its parts in drawing order, and the sheet's size in mm (left, top, right, bottom)."""

    parts: tuple[Part, ...]
    box: tuple[float, float, float, float]
    captions: tuple[tuple[float, float, str], ...]  # x, y and the words that name a view
