"""Parallel hairlines within a shape, for what was not measured: drawn as lines, so that every renderer can."""

from __future__ import annotations

import math
from itertools import pairwise

from buildbook.dossier.drawings.shapes import Point, Shape, bounds, rings


def hatch(shape: Shape, pitch: float = 5.5, degrees: float = 45.0) -> Shape:
    """One path of parallel lines, `pitch` points apart, cut to the shape's outline (even-odd)."""
    turn = math.radians(degrees)
    cos, sin = math.cos(turn), math.sin(turn)

    def turned(p: Point) -> Point:
        return p[0] * cos + p[1] * sin, p[1] * cos - p[0] * sin

    def back(x: float, y: float) -> Point:
        return round(x * cos - y * sin, 2), round(y * cos + x * sin, 2)

    polygons = [[turned(p) for p in polygon] for polygon in rings(shape, 8)]
    _, top, _, bottom = bounds(polygons)
    lines: list[tuple[str | float, ...]] = []
    # Multiples of the pitch from a fixed origin, so that lines of neighbouring shapes run on.
    row = math.ceil(top / pitch)
    while row * pitch < bottom:
        y = row * pitch + 1e-6
        cuts: list[float] = []
        for polygon in polygons:
            for (x0, y0), (x1, y1) in pairwise([*polygon, polygon[0]]):
                if (y0 <= y) != (y1 <= y):
                    cuts.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
        cuts.sort()
        for start, end in zip(cuts[::2], cuts[1::2], strict=False):
            if end - start > 0.8:
                lines += [("M", *back(start + 0.3, y)), ("L", *back(end - 0.3, y))]
        row += 1
    return tuple(lines)
