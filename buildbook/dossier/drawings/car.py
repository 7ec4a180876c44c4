"""A car unfolded from its measures: side, top, front and rear, each zone its own outline."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildbook.dossier.drawings.car_ends import front_parts, rear_parts
from buildbook.dossier.drawings.car_measures import Car
from buildbook.dossier.drawings.car_top import top_parts
from buildbook.dossier.drawings.outline import Outline, Part, Role
from buildbook.dossier.drawings.shapes import Curve, Point, Shape, arc, closed, moved, ring, rounded
from buildbook.marking import N_

GAP = 70.0  # between the views
ARCH, SILL_TOP, SILL_FOOT = 345.0, 330.0, 235.0
TYRE, WHEEL, HUB = 305.0, 205.0, 92.0

def unfold(car: Car) -> Outline:
    """Every part of the car on one sheet."""
    half = car.half_width
    side = side_parts(car)
    parts = top_parts(car)

    def left(x: float, v: float) -> Point:
        return x, half + GAP + v

    def right(x: float, v: float) -> Point:
        return x, -(half + GAP + v)

    for name, place in (("left", left), ("right", right)):
        for zone, shape, role in side:
            parts.append(Part(zone.format(side=name), moved(shape, place), role, name))
    front = front_parts()
    rear = rear_parts(car.gate, car.height, car.rear_top)
    nose, tail = 40.0, car.length
    parts += [Part(z, moved(s, lambda y, d: (nose - GAP - d, y)), r, N_("front")) for z, s, r in front.parts]
    parts += [Part(z, moved(s, lambda y, d: (tail + GAP + d, y)), r, N_("rear")) for z, s, r in rear.parts]
    reach = half + GAP + car.height
    box = (nose - GAP - front.depth, -reach, tail + GAP + rear.depth, reach)
    captions = (
        (box[0] + 6, -half - 110, N_("front")),
        (box[2] - 6, -half - 110, N_("rear")),
        (car.length + 240, -half - GAP - car.height * 0.6, N_("right side")),
        (car.length + 240, half + GAP + car.height * 0.6, N_("left side")),
    )
    return Outline(tuple(parts), box, captions)


Piece = tuple[str, Shape, Role]


def side_parts(car: Car) -> list[Piece]:
    """The left side, front to the left: zones with `{side}` where the name ends in it."""
    v, axles = car.down, (car.front_axle, car.rear_axle)
    hub = v(310)
    shoulder = car.line(car.shoulder)
    nose = car.post((270, 168), (330, 118), (450, 90), (600, 80), (car.shoulder[0][1], car.shoulder[0][0]))
    end = car.length
    tail_z = car.shoulder[-1][1]
    tail = car.post((300, end - 150), (360, end - 92), (480, end - 62), (650, end - 52), (tail_z, car.shoulder[-1][0]))
    s1, last = car.doors[0], car.doors[-1]
    shuts = [_shut(car, shoulder, x, s1 == x) for x in car.doors]

    fa, ra = axles
    wing_back, wing_angle = _on_arch(car, fa, SILL_TOP, False)
    foot_front = v(270)
    _, front_angle = _on_arch(car, fa, 270, True)
    front_wing = closed(
        nose.start(foot_front), nose.between(foot_front, v(car.shoulder[0][1])),
        shoulder.between(car.shoulder[0][0], s1), shuts[0].between(shoulder.at(s1), v(SILL_TOP)),
        wing_back, arc(fa, hub, ARCH, wing_angle, front_angle),
    )  # fmt: skip
    pieces: list[Piece] = [(car.roof_zone, car.corners(car.house), "paint" if car.roof_zone == "roof" else "trim")]
    if car.quarter:
        pieces.append(("wing-rear-{side}", car.corners(car.quarter), "paint"))
    pieces.append(("wing-front-{side}", front_wing, "paint"))
    for n, name in enumerate(("door-front-{side}", "door-rear-{side}")[: len(car.doors) - 1]):
        pieces.append((name, _door(car, shoulder, shuts[n], shuts[n + 1], car.doors[n : n + 2]), "paint"))
    pieces.append(("wing-rear-{side}", _rear_wing(car, shoulder, shuts[-1], tail, last), "paint"))
    rear_front, rear_angle = _on_arch(car, ra, SILL_TOP, True)
    (_, low_rear), (low_front, low_angle) = _on_arch(car, ra, SILL_FOOT, True), _on_arch(car, fa, SILL_FOOT, False)
    sill = closed(
        wing_back, rear_front, arc(ra, hub, ARCH, rear_angle, low_rear), low_front,
        arc(fa, hub, ARCH, low_angle, wing_angle),
    )  # fmt: skip
    pieces.append(("sill-{side}", sill, "paint"))
    pieces += [(name, car.corners(c), "glass") for name, c in car.windows]
    pieces.append(("pillar-{side}", car.corners(car.pillar), "paint"))
    strip = [(nose.at(v(702)) + 70, 702), (fa, 706), (s1, 708), (last, 706), (end - 110, 702)]
    upper = car.line(strip)
    lower = car.line([(x, z - 20) for x, z in strip])
    a, b = strip[0][0], strip[-1][0]
    pieces.append(
        ("brightwork", closed(upper.start(a), upper.between(a, b), lower.start(b), lower.between(b, a)), "metal")
    )
    pieces += _trim(car, shoulder, shuts)
    for axle, place in zip(axles, ("front", N_("rear")), strict=True):
        pieces.append((f"tyre-{place}-{{side}}", ring(axle, hub, TYRE), "rubber"))
        pieces.append((f"wheel-{place}-{{side}}", ring(axle, hub, WHEEL), "metal"))
        pieces.append((f"brake-{place}-{{side}}", ring(axle, hub, HUB), "metal"))
        pieces.append(("", ring(axle, hub, WHEEL - 26), "line"))
    return pieces


def _on_arch(car: Car, axle: float, z: float, front: bool) -> tuple[Point, float]:
    """Where a wheel arch is at height z, before or behind the axle: the point and its angle in degrees."""
    lift = math.degrees(math.asin((z - 310) / ARCH))
    angle = 180 + lift if front else 360 - lift
    turn = math.radians(angle)
    return (axle + ARCH * math.cos(turn), car.down(310) + ARCH * math.sin(turn)), angle


def _shut(car: Car, shoulder: Curve, x: float, first: bool) -> Curve:
    """A door's shut line, from its foot to the shoulder (or up to the gutter of a van)."""
    v = car.down
    top = shoulder.at(x)
    if car.four_doors and x == car.doors[-1]:
        meet_x, meet_v = _arch_point(car)
        return Curve((top, x), ((top + meet_v) / 2, x - 22), (meet_v, meet_x), upright=True)
    lean = 26 if first else 8
    return Curve((top, x), ((top + v(SILL_TOP)) / 2, x + lean), (v(SILL_TOP), x + lean / 2), upright=True)


_MEET = 216.0  # degrees on the rear arch where the rear door ends


def _arch_point(car: Car) -> Point:
    turn = math.radians(_MEET)
    return car.rear_axle + ARCH * math.cos(turn), car.down(310) + ARCH * math.sin(turn)


def _door(car: Car, shoulder: Curve, one: Curve, two: Curve, at: Sequence[float]) -> Shape:
    foot, (x0, x1) = car.down(SILL_TOP), at
    start = one.start(foot)
    up = one.between(foot, shoulder.at(x0))
    over = shoulder.between(x0, x1)
    if car.four_doors and x1 == car.doors[-1]:
        _, angle = _on_arch(car, car.rear_axle, SILL_TOP, True)
        edge = arc(car.rear_axle, car.down(310), ARCH, _MEET, angle)
        return closed(start, up, over, two.between(shoulder.at(x1), _arch_point(car)[1]), edge)
    return closed(start, up, over, two.between(shoulder.at(x1), foot))


def _rear_wing(car: Car, shoulder: Curve, shut: Curve, tail: Curve, x: float) -> Shape:
    v, hub = car.down, car.down(310)
    end_x, end_z = car.shoulder[-1]
    valance = v(300)
    arch_end, arch_angle = _on_arch(car, car.rear_axle, 300, False)
    back: list[Shape | Point] = [tail.between(v(end_z), valance), arch_end]
    if car.four_doors:
        back.append(arc(car.rear_axle, hub, ARCH, arch_angle, _MEET))
        back.append(shut.between(_arch_point(car)[1], shoulder.at(x)))
    else:
        _, angle = _on_arch(car, car.rear_axle, SILL_TOP, True)
        back.append(arc(car.rear_axle, hub, ARCH, arch_angle, angle))
        back.append(shut.start(v(SILL_TOP)))
        back.append(shut.between(v(SILL_TOP), shoulder.at(x)))
    if car.panel_top is not None:
        gutter = v(car.panel_top)
        return closed((x, shoulder.at(x)), (x, gutter), (end_x - 60, gutter), (end_x, v(end_z)), *back)
    return closed((x, shoulder.at(x)), shoulder.between(x, end_x), *back)


def _trim(car: Car, shoulder: Curve, shuts: Sequence[Curve]) -> list[Piece]:
    """Bumpers, rear lamp, mirror, handles."""
    v = car.down

    def bar(x0: float, z0: float, x1: float, z1: float, r: float) -> Shape:
        return rounded((x0, v(z1), r), (x1, v(z1), r), (x1, v(z0), r), (x0, v(z0), r))

    found: list[Piece] = [
        ("bumper-front", bar(40, 395, 330, 478, 34), "metal"),
        ("bumper-rear", bar(car.length - 350, 395, car.length - 15, 478, 34), "metal"),
        ("lamp-rear-{side}", bar(car.length - 135, 590, car.length - 56, 780, 14), "lamp"),
    ]
    x = car.doors[0] + 190
    top = shoulder.at(x)
    found.append(("mirror-{side}", rounded((x - 62, top - 98, 30), (x + 62, top - 98, 30), (x + 52, top - 18, 24),
                                           (x - 40, top - 18, 24)), "trim"))  # fmt: skip
    for at in car.doors[1:]:
        handle = shoulder.at(at) + 66
        found.append(("", rounded((at - 190, handle, 9), (at - 70, handle, 9), (at - 70, handle + 20, 9),
                                  (at - 190, handle + 20, 9)), "line"))  # fmt: skip
    seals = _seals(car)
    return found + [("seals", shape, "hidden") for shape in seals]


def _seals(car: Car) -> list[Shape]:
    """Lines of the window frames: shown where a step worked on the seals."""
    return [car.corners(corners) for _name, corners in car.windows]
