"""Paths of drawings: smooth curves that can be cut, rounded corners, tubes, transforms, where a label fits inside.

A `Shape` is a tuple of path commands as in `drawing.Path`: ("M", x, y), ("L", x, y), ("C", x1, y1, x2, y2, x, y),
("Z",).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

Point = tuple[float, float]
Command = tuple[str | float, ...]
Shape = tuple[Command, ...]
Box = tuple[float, float, float, float]  # left, top, right, bottom


class Curve:
    """A smooth line through points with rising first coordinate: cubic Hermite, slopes after Catmull and Rom.

    Any stretch of it is again exact Bezier pieces, so neighbouring panels share one edge. upright: the points are
    given as (y, x), for lines that run down the page.
    """

    def __init__(self, *points: Point, upright: bool = False) -> None:
        self.knots = sorted(points)
        self.upright = upright
        self._slopes = [self._slope(n) for n in range(len(self.knots))]

    def _slope(self, n: int) -> float:
        low, high = max(n - 1, 0), min(n + 1, len(self.knots) - 1)
        (t0, v0), (t1, v1) = self.knots[low], self.knots[high]
        return (v1 - v0) / (t1 - t0)

    def at(self, t: float) -> float:
        """The other coordinate at `t`; straight on beyond the ends."""
        return self._state(t)[0]

    def _state(self, t: float) -> tuple[float, float]:
        if t <= self.knots[0][0]:
            return self.knots[0][1] + (t - self.knots[0][0]) * self._slopes[0], self._slopes[0]
        if t >= self.knots[-1][0]:
            return self.knots[-1][1] + (t - self.knots[-1][0]) * self._slopes[-1], self._slopes[-1]
        n = next(i for i in range(len(self.knots) - 1) if t <= self.knots[i + 1][0])
        (t0, v0), (t1, v1) = self.knots[n], self.knots[n + 1]
        m0, m1, h = self._slopes[n], self._slopes[n + 1], t1 - t0
        s = (t - t0) / h
        value = (
            (2 * s**3 - 3 * s**2 + 1) * v0 + (s**3 - 2 * s**2 + s) * h * m0
            + (3 * s**2 - 2 * s**3) * v1 + (s**3 - s**2) * h * m1
        )  # fmt: skip
        slope = (6 * s**2 - 6 * s) * (v0 - v1) / h + (3 * s**2 - 4 * s + 1) * m0 + (3 * s**2 - 2 * s) * m1
        return value, slope

    def _place(self, t: float, value: float) -> Point:
        return (value, t) if self.upright else (t, value)

    def start(self, t: float) -> Point:
        return self._place(t, self.at(t))

    def between(self, start: float, end: float) -> Shape:
        """The stretch from `start` to `end` (either way round) as pieces that follow its first point."""
        low, high = sorted((start, end))
        stops = [low, *(t for t, _ in self.knots if low < t < high), high]
        if start > end:
            stops.reverse()
        made: list[Command] = []
        for one, two in pairwise(stops):
            (v0, m0), (v1, m1), h = self._state(one), self._state(two), (two - one) / 3
            first, second = self._place(one + h, v0 + h * m0), self._place(two - h, v1 - h * m1)
            made.append(("C", *first, *second, *self._place(two, v1)))
        return tuple(made)


def arc(cx: float, cy: float, r: float, start: float, end: float) -> Shape:
    """A circular arc from angle `start` to `end` (degrees, y downwards) as pieces that follow its first point."""
    count = max(1, math.ceil(abs(end - start) / 90))
    step = math.radians(end - start) / count
    k = 4 / 3 * math.tan(step / 4)
    made: list[Command] = []
    for n in range(count):
        a, b = math.radians(start) + n * step, math.radians(start) + (n + 1) * step
        x0, y0, x1, y1 = math.cos(a), math.sin(a), math.cos(b), math.sin(b)
        points = (x0 - k * y0, y0 + k * x0, x1 + k * y1, y1 - k * x1, x1, y1)
        made.append(("C", *(cx + r * p if i % 2 == 0 else cy + r * p for i, p in enumerate(points))))
    return tuple(made)


def ring(cx: float, cy: float, r: float) -> Shape:
    """A whole circle."""
    return (("M", cx + r, cy), *arc(cx, cy, r, 0, 360), ("Z",))


def closed(start: Point, *pieces: Shape | Point) -> Shape:
    """A closed path from a start through pieces (shapes without their first point) and points (straight lines)."""
    made: list[Command] = [("M", *start)]
    for piece in pieces:
        if len(piece) == 2 and isinstance(piece[0], float | int):
            made.append(("L", *piece))
        else:
            made.extend(piece)
    return (*made, ("Z",))


def rounded(*corners: tuple[float, float, float] | Point, close: bool = True) -> Shape:
    """A polygon with rounded corners: each corner is x, y and how far before and after it the rounding reaches."""
    points = [(c[0], c[1]) for c in corners]
    reach = [c[2] if len(c) == 3 else 0.0 for c in corners]
    count = len(points)
    made: list[Command] = []
    for n, corner in enumerate(points):
        if not close and n in (0, count - 1):
            made.append(("L" if made else "M", *corner))
            continue
        before, after = points[n - 1], points[(n + 1) % count]
        start, end = _toward(corner, before, reach[n]), _toward(corner, after, reach[n])
        made.append(("L" if made else "M", *start))
        if reach[n]:
            k = 0.5523
            made.append(("C", *_mix(start, corner, k), *_mix(end, corner, k), *end))
    return (*made, ("Z",)) if close else tuple(made)


def _toward(point: Point, other: Point, far: float) -> Point:
    distance = math.dist(point, other)
    return _mix(point, other, min(far / distance, 0.5) if distance else 0.0)


def _mix(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def tube(points: Sequence[Point], width: float) -> Shape:
    """A closed band of even width along a line of points, its bends mitred."""
    left: list[Point] = []
    right: list[Point] = []
    for n, (x, y) in enumerate(points):
        normals = []
        for a, b in ((n - 1, n), (n, n + 1)):
            if a >= 0 and b < len(points):
                (x0, y0), (x1, y1) = points[a], points[b]
                length = math.dist(points[a], points[b])
                normals.append((-(y1 - y0) / length, (x1 - x0) / length))
        nx, ny = sum(p[0] for p in normals) / len(normals), sum(p[1] for p in normals) / len(normals)
        size = nx * nx + ny * ny
        nx, ny = nx / size * width / 2, ny / size * width / 2
        left.append((x + nx, y + ny))
        right.append((x - nx, y - ny))
    outline = [*left, *reversed(right)]
    return (("M", *outline[0]), *(("L", *p) for p in outline[1:]), ("Z",))


def moved(shape: Shape, change: Callable[[float, float], Point]) -> Shape:
    """Every point of a shape through `change`."""
    made: list[Command] = []
    for name, *numbers in shape:
        values = [float(v) for v in numbers]
        placed = [c for x, y in zip(values[::2], values[1::2], strict=True) for c in change(x, y)]
        made.append((name, *(round(c, 3) for c in placed)))
    return tuple(made)


def rings(shape: Shape, steps: int = 10) -> list[list[Point]]:
    """The shape's outlines as polygons; each curve in `steps` straight pieces."""
    found: list[list[Point]] = []
    here: Point = (0.0, 0.0)
    for name, *numbers in shape:
        v = [float(n) for n in numbers]
        if name == "M":
            here = (v[0], v[1])
            found.append([here])
        elif name == "L":
            here = (v[0], v[1])
            found[-1].append(here)
        elif name == "C":
            for n in range(1, steps + 1):
                t = n / steps
                a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
                found[-1].append(
                    (a * here[0] + b * v[0] + c * v[2] + d * v[4], a * here[1] + b * v[1] + c * v[3] + d * v[5])
                )
            here = (v[4], v[5])
    return found


def bounds(polygons: Iterable[Sequence[Point]]) -> Box:
    points = [p for polygon in polygons for p in polygon]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def area(polygon: Sequence[Point]) -> float:
    """Unsigned area (shoelace)."""
    total = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise([*polygon, polygon[0]]))
    return abs(total) / 2


def inside(point: Point, polygons: Iterable[Sequence[Point]]) -> bool:
    """Whether a point lies within the outlines, by the non-zero winding rule of PDF's fill operator."""
    x, y = point
    winding = 0
    for polygon in polygons:
        for (x0, y0), (x1, y1) in pairwise([*polygon, polygon[0]]):
            if (y0 <= y) != (y1 <= y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
                winding += 1 if y1 > y0 else -1
    return winding != 0


def _free(box: Box, polygons: list[list[Point]], others: list[list[Point]]) -> bool:
    left, top, right, bottom = box
    for i in range(7):
        for j in range(5):
            point = (left + (right - left) * i / 6, top + (bottom - top) * j / 4)
            if not inside(point, polygons) or (others and inside(point, others)):
                return False
    return True


def fit(
    shape: Shape, width: float, height: float, others: Sequence[Shape] = (), *, near: Point | None = None
) -> Point | None:
    """The centre of a box of that size lying within the shape and clear of `others`, nearest to the middle (or to
    `near`); None where there is no room."""
    return _fit(shape, width, height, tuple(others), near)


@lru_cache(maxsize=512)  # the same plan is drawn for several steps and editions
def _fit(shape: Shape, width: float, height: float, others: tuple[Shape, ...], near: Point | None) -> Point | None:
    polygons = rings(shape)
    left, top, right, bottom = bounds(polygons)
    if right - left < width or bottom - top < height:
        return None
    covered = [p for other in others for p in rings(other, 6)]
    dots = [d for polygon in covered for d in _along(polygon)]
    mx, my = near or centre(shape)
    across, down = left + width / 2, top + height / 2
    room = (right - left - width, bottom - top - height)
    spots = [(across + room[0] * i / 24, down + room[1] * j / 16) for i in range(25) for j in range(17)]
    spots += [(mx, my), *((mx, down + room[1] * j / 16) for j in range(17))]
    for x, y in sorted(spots, key=lambda p: (round(math.dist(p, (mx, my)), 2), p)):
        box = (x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        if not any(box[0] < dx < box[2] and box[1] < dy < box[3] for dx, dy in dots) and _free(box, polygons, covered):
            return x, y
    return None


def _along(polygon: Sequence[Point], step: float = 2.5) -> list[Point]:
    """Points along an outline, close enough that no box for text slips between them."""
    made: list[Point] = []
    for one, two in pairwise([*polygon, polygon[0]]):
        count = max(1, math.ceil(math.dist(one, two) / step))
        made += [_mix(one, two, n / count) for n in range(count)]
    return made


def centre(shape: Shape) -> Point:
    """The centroid of the shape's largest outline."""
    polygon = max(rings(shape), key=area)
    total = sx = sy = 0.0
    for (x0, y0), (x1, y1) in pairwise([*polygon, polygon[0]]):
        cross = x0 * y1 - x1 * y0
        total, sx, sy = total + cross, sx + (x0 + x1) * cross, sy + (y0 + y1) * cross
    if not total:
        return polygon[0]
    return sx / (3 * total), sy / (3 * total)
