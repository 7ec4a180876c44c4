"""A car seen from above: the deck about y = 0, left (+y) below."""

from __future__ import annotations

from buildbook.dossier.drawings.car_measures import Car
from buildbook.dossier.drawings.car_within import within
from buildbook.dossier.drawings.outline import Part, Role
from buildbook.dossier.drawings.shapes import Curve, Point, Shape, closed, moved, rounded


def top_parts(car: Car) -> list[Part]:
    """The top view about y = 0, left (+y) below."""
    half = car.half_width
    end = car.length
    edge = Curve(*(car.plan_edge or _plan_edge(end, half)))
    x0, x1 = edge.knots[0][0], edge.knots[-1][0]
    bonnet_end, screen_end, roof_end, glass_end = car.deck
    parts: list[Part] = []

    def add(zone: str, shape: Shape, role: Role) -> None:
        parts.append(Part(zone, shape, role, "top"))

    def both(zone: str, shape: Shape, role: Role) -> None:
        add(zone.format(side="left"), shape, role)
        add(zone.format(side="right"), moved(shape, lambda x, y: (x, -y)), role)

    body = _mirrored(edge, x0, x1, 24, -24)
    add("bumper-front", _bumper(x0 + 6, -1, half - 20), "metal")
    add("bumper-rear", _bumper(x1 - 6, 1, half - 20), "metal")
    add("", body, "edge")
    hood = Curve((150, half - 215), (bonnet_end * 0.55, half - 172), (bonnet_end, half - 128))
    foot = Curve((bonnet_end + 40, half - 84), ((bonnet_end + glass_end) / 2, half - 74), (glass_end, half - 92))
    rail = Curve((screen_end, half - 258), ((screen_end + roof_end) / 2, half - 240), (roof_end, half - 262))
    add("bonnet", _deck(hood, 150, bonnet_end, -36, -70), "paint")
    both("wing-front-{side}", _between(hood, edge, 110, min(car.doors[0], bonnet_end + 40), 10), "paint")
    add("windscreen", _trapezium(bonnet_end + 62, half - 150, screen_end - 8, half - 282, -74, -34), "glass")
    both("pillar-{side}", _band((bonnet_end + 66, half - 138), (screen_end + 2, half - 272), 42), "paint")
    stops = [*car.doors]
    names = ["door-front-{side}", "door-rear-{side}"][: len(stops) - 1]
    for n, name in enumerate(names):
        both(name, _between(foot, edge, stops[n], stops[n + 1], 0), "paint")
    both("wing-rear-{side}", _between(_quarter(car, foot), edge, stops[-1], end - 70, 0), "paint")
    last_glass = roof_end if not car.gate else roof_end - 20
    split = stops[1]
    both("glass-front-{side}", _side_glass(rail, foot, screen_end, split - 20, bonnet_end + 190), "glass")
    if car.panel_top is None:
        both("glass-rear-{side}", _side_glass(rail, foot, split + 20, last_glass, split + 20), "glass")
    add(car.roof_zone, _deck(rail, screen_end + 12, roof_end, -36, 24), "paint" if car.roof_zone == "roof" else "trim")
    if car.gate:
        add("tailgate", _trapezium(roof_end + 14, half - 282, end - 92, half - 190, 24, 20), "paint")
        if car.panel_top is None:
            add("rear-window", _trapezium(roof_end + 52, half - 330, end - 158, half - 276, 22, 22), "glass")
    else:
        add("rear-window", _trapezium(roof_end + 14, half - 300, glass_end, half - 196, 24, 34), "glass")
        add("boot-lid", _trapezium(glass_end + 40, half - 170, end - 80, half - 236, 30, 22), "paint")
    parts += [Part(zone, shape, "hidden", "top") for zone, shape in within(car)]
    return parts


def _plan_edge(end: float, half: float) -> tuple[Point, ...]:
    return (
        (72, half - 205), (150, half - 100), (420, half - 38), (900, half - 8), (1500, half), (2600, half),
        (end - 900, half - 12), (end - 400, half - 55), (end - 130, half - 128), (end - 66, half - 215),
    )  # fmt: skip


def _mirrored(edge: Curve, x0: float, x1: float, back: float, front: float) -> Shape:
    """A closed outline symmetrical about y = 0; ends bulge by `front` and `back`."""
    right = moved((("M", *edge.start(x0)), *edge.between(x0, x1)), lambda x, y: (x, -y))
    y0, y1 = edge.at(x0), edge.at(x1)
    return (
        *right,
        ("C", x1 + back * 1.33, -y1 * 0.5, x1 + back * 1.33, y1 * 0.5, x1, y1),
        *edge.between(x1, x0),
        ("C", x0 + front * 1.33, y0 * 0.5, x0 + front * 1.33, -y0 * 0.5, x0, -y0),
        ("Z",),
    )


def _deck(edge: Curve, x0: float, x1: float, front: float, back: float) -> Shape:
    return _mirrored(edge, x0, x1, back, front)


def _trapezium(x0: float, y0: float, x1: float, y1: float, front: float, back: float) -> Shape:
    """A symmetrical panel between two cross lines with bowed ends and softened corners."""
    return (
        ("M", x0 + 14, -y0),
        ("L", x1 - 14, -y1),
        ("C", x1, -y1, x1 + 2, -y1 + 6, x1 + 4, -y1 + 16),
        ("C", x1 + back * 1.33, -y1 * 0.5, x1 + back * 1.33, y1 * 0.5, x1 + 4, y1 - 16),
        ("C", x1 + 2, y1 - 6, x1, y1, x1 - 14, y1),
        ("L", x0 + 14, y0),
        ("C", x0, y0, x0 - 2, y0 - 6, x0 - 4 if front < 0 else x0 + 4, y0 - 16),
        ("C", x0 + front * 1.33, y0 * 0.5, x0 + front * 1.33, -y0 * 0.5, x0 - 4 if front < 0 else x0 + 4, -y0 + 16),
        ("C", x0 - 2, -y0 + 6, x0, -y0, x0 + 14, -y0),
        ("Z",),
    )


def _between(inner: Curve, outer: Curve, x0: float, x1: float, gap: float) -> Shape:
    shifted = Curve(*((t, v + gap) for t, v in inner.knots))
    return closed(
        shifted.start(x0), shifted.between(x0, x1), outer.start(x1), outer.between(x1, x0)
    )


def _quarter(car: Car, foot: Curve) -> Curve:
    """Inner edge of the rear wing seen from above: along the windows, then along the boot or tailgate."""
    half, end = car.half_width, car.length
    a = car.doors[-1]
    last = half - (184 if car.gate else 228)
    return Curve((a, foot.at(a)), ((a + end) / 2, half - (105 if car.gate else 140)), (end - 70, last))


def _side_glass(rail: Curve, foot: Curve, x0: float, x1: float, foot_x0: float) -> Shape:
    inner = Curve(*((t, v + 12) for t, v in rail.knots))
    outer = Curve(*((t, v - 14) for t, v in foot.knots))
    return closed(inner.start(x0), inner.between(x0, x1), outer.start(x1), outer.between(x1, foot_x0))


def _band(one: Point, two: Point, width: float) -> Shape:
    (x0, y0), (x1, y1) = one, two
    return closed((x0, y0), (x1, y1), (x1 + 16, y1 + width * 0.72), (x0 + 30, y0 + width))


def _bumper(x: float, out: float, half: float) -> Shape:
    """A bumper bar seen from above, round the body's end; `out`: -1 before the nose, 1 behind the tail."""
    thick = 58 * out
    return rounded(
        (x - thick, -half, 10), (x + 0.5 * thick, -half, 40), (x + 1.05 * thick, -half * 0.5, 200),
        (x + 1.05 * thick, half * 0.5, 200), (x + 0.5 * thick, half, 40), (x - thick, half, 10),
    )  # fmt: skip
