"""The measures a car is drawn from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from buildbook.dossier.drawings.shapes import Curve, Point, Shape, rounded

Corner = tuple[float, float, float] | Point


@dataclass(frozen=True, kw_only=True)
class Car:
    """Measures in mm: x from the nose, z from the ground, y from the centre line.

    shoulder: (x, z) of the crown of the wings and the foot of the windows. doors: x of the shut lines at the shoulder.
    house: outline of cabin and roof; windows, pillar, quarter: corners (x, z, rounding). deck: x where bonnet ends, the
    windscreen ends, the roof ends, the rear window ends.
    """

    length: float
    height: float
    front_axle: float
    rear_axle: float
    shoulder: tuple[Point, ...]
    doors: tuple[float, ...]
    house: tuple[Corner, ...]
    windows: tuple[tuple[str, tuple[Corner, ...]], ...]
    pillar: tuple[Corner, ...]
    quarter: tuple[Corner, ...] = ()
    deck: tuple[float, float, float, float]
    half_width: float = 815.0
    roof_zone: str = "roof"
    gate: bool = False  # a tailgate instead of a boot lid
    panel_top: float | None = None  # van: the rear side panel goes up to this z
    plan_edge: tuple[Point, ...] = field(default=())
    rear_top: float = 850.0

    @property
    def four_doors(self) -> bool:
        return len(self.doors) == 3

    # -- from measures to the side's own coordinates: x, and v downwards from the roof ---------------------------------
    def down(self, z: float) -> float:
        return self.height - z

    def line(self, points: Sequence[Point]) -> Curve:
        return Curve(*((x, self.down(z)) for x, z in points))

    def post(self, *points: Point) -> Curve:
        """A line that runs down; points are (z, x)."""
        return Curve(*((self.down(z), x) for z, x in points), upright=True)

    def corners(self, corners: Sequence[Corner]) -> Shape:
        return rounded(*((c[0], self.down(c[1]), *c[2:]) for c in corners))
