"""Front and rear of a car, in the end's own coordinates: y from the centre line (left positive), d downwards."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.dossier.drawings.outline import Role
from buildbook.dossier.drawings.shapes import Shape, ring, rounded

Piece = tuple[str, Shape, Role]
FRONT_TOP = 800.0


@dataclass(frozen=True, slots=True)
class End:
    """Parts of one end and how far it reaches down."""

    parts: tuple[Piece, ...]
    depth: float


def _bar(y0: float, d0: float, y1: float, d1: float, r: float) -> Shape:
    return rounded((y0, d0, r), (y1, d0, r), (y1, d1, r), (y0, d1, r))


def front_parts() -> End:
    """Panel, grille, two round lamps, bumper."""
    top = FRONT_TOP

    def d(z: float) -> float:
        return top - z

    panel = rounded((-775, d(285), 40), (-800, d(560), 120), (-745, d(800), 130), (745, d(800), 130),
                    (800, d(560), 120), (775, d(285), 40))  # fmt: skip
    parts: list[Piece] = [("front-panel", panel, "paint")]
    parts.append(("grille", _bar(-430, d(705), 430, d(535), 46), "trim"))
    for n in range(1, 4):
        z = 535 + n * 42.5
        parts.append(("", (("M", -400, d(z)), ("L", 400, d(z))), "line"))
    for side, sign in (("left", 1), ("right", -1)):
        parts.append((f"lamp-front-{side}", ring(sign * 600, d(620), 112), "lamp"))
        parts.append(("", ring(sign * 600, d(620), 86), "line"))
    parts.append(("bumper-front", _bar(-815, d(478), 815, d(395), 40), "metal"))
    return End(tuple(parts), d(285))


def rear_parts(gate: bool, height: float, top: float) -> End:
    """Rear panel, lamps, bumper; with a tailgate and its window, or the boot lid's rear face."""
    if gate:
        top = height - 20

    def d(z: float) -> float:
        return top - z

    parts: list[Piece] = []
    if gate:
        shoulder = 900.0 if height < 1600 else 1010.0
        width = 575.0 if height < 1600 else 690.0
        body = rounded((-775, d(290), 40), (-805, d(shoulder - 120), 160), (-width - 30, d(top), 150),
                       (width + 30, d(top), 150), (805, d(shoulder - 120), 160), (775, d(290), 40))  # fmt: skip
        parts.append(("", body, "edge"))
        for side, sign in (("left", 1), ("right", -1)):
            post = rounded(
                (sign * 650, d(510), 10), (sign * 655, d(shoulder), 40), (sign * (width - 8), d(top - 40), 40),
                (sign * (width + 30), d(top - 25), 60), (sign * 800, d(shoulder - 110), 150), (sign * 784, d(510), 20),
            )  # fmt: skip
            parts.append((f"wing-rear-{side}", post, "paint"))
        lid = rounded((-640, d(510), 40), (-645, d(shoulder), 60), (-width + 20, d(top - 45), 90),
                      (width - 20, d(top - 45), 90), (645, d(shoulder), 60), (640, d(510), 40))  # fmt: skip
        parts.append(("tailgate", lid, "paint"))
        glass = rounded((-560, d(shoulder + 30), 60), (-width + 95, d(top - 125), 70), (width - 95, d(top - 125), 70),
                        (560, d(shoulder + 30), 60))  # fmt: skip
        parts.append(("rear-window", glass, "glass"))
        panel = rounded((-775, d(290), 40), (-786, d(500), 20), (786, d(500), 20), (775, d(290), 40))
        parts.append(("rear-panel", panel, "paint"))
        parts += [(f"lamp-rear-{s}", _bar(sign * 664, d(850), sign * 782, d(540), 16), "lamp") for s, sign in _SIDES]
        plate = _bar(-260, d(660), 260, d(560), 12)
    else:
        body = rounded((-775, d(290), 40), (-800, d(560), 120), (-730, d(top), 130), (730, d(top), 130),
                       (800, d(560), 120), (775, d(290), 40))  # fmt: skip
        parts.append(("rear-panel", body, "paint"))
        lid = rounded((-520, d(520), 40), (-560, d(top - 8), 50), (560, d(top - 8), 50), (520, d(520), 40))
        parts.append(("boot-lid", lid, "paint"))
        parts += [(f"lamp-rear-{s}", _bar(sign * 590, d(740), sign * 765, d(560), 24), "lamp") for s, sign in _SIDES]
        plate = _bar(-250, d(640), 250, d(540), 12)
    parts.append(("", plate, "line"))
    parts.append(("bumper-rear", _bar(-815, d(478), 815, d(395), 40), "metal"))
    return End(tuple(parts), d(285))


_SIDES = (("left", 1), ("right", -1))
