"""A motorcycle in two side elevations, left and right."""

from __future__ import annotations

import math

from buildbook.dossier.drawings.outline import Outline, Part, Role
from buildbook.dossier.drawings.shapes import Point, Shape, arc, moved, ring, rounded, tube
from buildbook.marking import N_

_HEIGHT, _LENGTH, _BETWEEN = 1170.0, 2080.0, 240.0
_FRONT, _REAR, _HUB, _TYRE, _RIM = 350.0, 1720.0, 322.0, 322.0, 240.0

_CYLINDER = ((770.0, 640.0, 50.0), (1000.0, 700.0, 40.0), (1080.0, 640.0, 40.0), (1080.0, 470.0, 30.0),
             (820.0, 440.0, 30.0))  # fmt: skip

Piece = tuple[str, Shape, Role]


def motorcycle() -> Outline:
    """Left elevation (front to the left) and right elevation (front to the right)."""
    parts: list[Part] = []
    for zone, shape, role in _side():
        for side in ("left", "right"):
            if zone.startswith(("side-cover", "mirror")) and not zone.endswith(side):
                continue

            def place(x: float, v: float, side: str = side) -> Point:
                return (x, v) if side == "left" else (2 * _LENGTH + _BETWEEN - x, v)

            parts.append(Part(zone, moved(shape, place), role, side))
    middle = _LENGTH + _BETWEEN / 2
    apart = (_BETWEEN + _LENGTH) / 2
    captions = ((middle - apart, 0.0, N_("left side")), (middle + apart, 0.0, N_("right side")))
    return Outline(tuple(parts), (-40, 0, 2 * _LENGTH + _BETWEEN + 40, _HEIGHT), captions)


def _v(z: float) -> float:
    return _HEIGHT - z


def _corners(*corners: tuple[float, float, float]) -> Shape:
    return rounded(*((x, _v(z), r) for x, z, r in corners))


def _line(width: float, *points: Point) -> Shape:
    return tube([(x, _v(z)) for x, z in points], width)


def _guard(x: float, r: float, start: float, end: float, thick: float) -> Shape:
    """A mudguard: a band round a wheel."""
    hub = _v(_HUB)
    outer, inner = arc(x, hub, r + thick, start, end), arc(x, hub, r, end, start)
    first = outer_point(x, hub, r + thick, start)
    return (("M", *first), *outer, ("L", *outer_point(x, hub, r, end)), *inner, ("Z",))


def outer_point(x: float, y: float, r: float, degrees: float) -> Point:
    """A point of a circle."""
    turn = math.radians(degrees)
    return x + r * math.cos(turn), y + r * math.sin(turn)


def _side() -> list[Piece]:
    hub = _v(_HUB)
    pieces: list[Piece] = []
    for place, x in (("front", _FRONT), ("rear", _REAR)):
        pieces += [
            (f"tyre-{place}", ring(x, hub, _TYRE), "rubber"),
            (f"wheel-{place}", ring(x, hub, _RIM), "metal"),
            ("", ring(x, hub, _RIM - 22), "line"),
            (f"brake-{place}", ring(x, hub, 108), "metal"),
            ("", ring(x, hub, 34), "line"),
        ]
    pieces += [
        ("exhaust", _line(62, (760, 560), (690, 300), (800, 235), (1240, 215)), "metal"),
        ("exhaust", _corners((1220, 270, 30), (1990, 330, 40), (2000, 245, 40), (1220, 185, 30)), "metal"),
        ("frame", _line(34, (600, 900), (780, 420), (860, 235), (1220, 235), (1290, 470), (1320, 780)), "paint"),
        ("frame", _line(34, (620, 940), (900, 830), (1320, 770), (1760, 800)), "paint"),
        ("swinging-arm", _line(44, (1225, 350), (_REAR, _HUB)), "paint"),
        ("swinging-arm", _line(58, (1530, 780), (_REAR - 25, _HUB + 40)), "metal"),
        ("chain", _line(18, (1100, 385), (_REAR, _HUB + 62)), "metal"),
        ("chain", _line(18, (1100, 275), (_REAR, _HUB - 62)), "metal"),
        ("engine", _corners(*_CYLINDER), "metal"),
        ("gearbox", _corners((800, 450, 50), (1180, 470, 80), (1220, 290, 90), (1000, 240, 60), (790, 260, 70)),
         "metal"),
        ("", ring(930, _v(345), 84), "line"),
    ]  # fmt: skip
    for z in (520, 555, 590, 625, 660):
        pieces.append(("", (("M", 800, _v(z)), ("L", 1066, _v(z + 8))), "line"))
    pieces += [
        ("side-cover-left", _corners((1110, 735, 50), (1350, 740, 70), (1330, 520, 90), (1150, 500, 60)), "paint"),
        ("side-cover-right", _corners((1110, 735, 50), (1350, 740, 70), (1330, 520, 90), (1150, 500, 60)), "paint"),
        ("battery", _corners((1165, 650, 14), (1290, 650, 14), (1290, 540, 14), (1165, 540, 14)), "hidden"),
        ("mudguard-front", _guard(_FRONT, 338, 198, 318, 46), "paint"),
        ("mudguard-rear", _guard(_REAR, 346, 206, 356, 52), "paint"),
        ("fork", _line(66, (578, 905), (452, 560)), "metal"),
        ("fork", _line(46, (452, 560), (_FRONT, _HUB)), "metal"),
        ("tank", _corners((640, 950, 110), (760, 1040, 160), (1010, 1010, 160), (1190, 850, 60), (1130, 785, 60),
                          (700, 795, 110)), "paint"),
        ("seat", _corners((1130, 880, 60), (1290, 865, 120), (1640, 935, 120), (1815, 925, 60), (1800, 830, 60),
                          (1180, 800, 40)), "trim"),
        ("headlamp", _corners((505, 985, 50), (600, 985, 40), (630, 900, 60), (600, 815, 40), (505, 815, 50),
                              (478, 900, 60)), "lamp"),
        ("instruments", _corners((565, 1075, 30), (655, 1050, 30), (640, 985, 20), (555, 1005, 20)), "trim"),
        ("steering", _line(26, (620, 985), (640, 1070), (790, 1085)), "metal"),
        ("tail-lamp", _corners((1985, 690, 20), (2078, 668, 28), (2072, 590, 28), (1996, 606, 16)), "lamp"),
        ("mirror-left", _corners((690, 1165, 40), (800, 1160, 40), (790, 1095, 40), (700, 1100, 40)), "trim"),
        ("mirror-right", _corners((690, 1165, 40), (800, 1160, 40), (790, 1095, 40), (700, 1100, 40)), "trim"),
        ("brake-hydraulics", _line(14, (700, 1080), (590, 860), (400, 400)), "hidden"),
        ("fuel-system", _line(20, (1000, 780), (1010, 690), (1090, 610)), "hidden"),
        ("wiring", _line(16, (590, 930), (900, 850), (1340, 790), (1960, 720)), "hidden"),
        ("cooling", _corners(*_CYLINDER), "hidden"),
        ("brightwork", _line(14, (700, 870), (1090, 872)), "metal"),
    ]  # fmt: skip
    return pieces
