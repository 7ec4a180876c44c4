"""The workshop hall in which the car is photographed."""

from __future__ import annotations

import base as b
import numpy as np
from nodes import Shader, plain


def concrete(sealed: bool) -> object:
    """sealed: dark and smooth, so that it mirrors; else bare."""
    s = Shader("concrete")
    big, fine = s.noise(0.9, 6, 0.6), s.noise(14, 8, 0.65)
    stain = s.step(s.noise(0.7, 5, 0.62, warp=0.6), 0.55, 0.72)
    dark = 0.42 if sealed else 1.0
    c = s.mix(big, [dark * v for v in (0.16, 0.158, 0.15)], [dark * v for v in (0.25, 0.247, 0.238)])
    c = s.mix(s.mul(fine, 0.5), c, [dark * v for v in (0.11, 0.108, 0.102)])
    c = s.mix(s.mul(stain, 0.25 if sealed else 0.45), c, [dark * v for v in (0.07, 0.066, 0.06)])
    rough = (0.24, 0.31) if sealed else (0.30, 0.55)
    x, y, _ = s.split(s.where())
    joint = s.math("MAXIMUM", s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.mul(s.add(x, 100.6), 1 / 3.2)), -0.5)), 0.4982, 0.4995), s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.mul(s.add(y, 101.0), 1 / 3.2)), -0.5)), 0.4982, 0.4995))
    c = s.mix(joint, c, (0.03, 0.03, 0.028))
    return s.done(s.principled(Base_Color=c, Roughness=s.blend(s.step(s.noise(1.8, 6, 0.6), 0.3, 0.7), *rough), Specular_IOR_Level=0.2 if sealed else 0.4, Normal=s.bump(s.add(fine, s.mul(joint, -3)), 0.0008 if sealed else 0.002)))


def wall_paint() -> object:
    s = Shader("wall")
    _, _, z = s.split(s.where())
    n = s.noise(1.3, 6, 0.6)
    top = s.mix(n, (0.56, 0.555, 0.53), (0.66, 0.655, 0.63))
    low = s.mix(n, (0.085, 0.15, 0.15), (0.12, 0.19, 0.185))
    c = s.mix(s.step(z, 1.349, 1.351), low, top)
    c = s.mix(s.step(s.math("ABSOLUTE", s.add(z, -1.35)), 0.02, 0.018), c, (0.03, 0.035, 0.035))
    course = s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.mul(z, 5.0)), -0.5)), 0.46, 0.485)
    return s.done(s.principled(Base_Color=c, Roughness=0.6, Normal=s.bump(s.add(s.noise(30, 5), s.mul(course, -0.8)), 0.004)))


def cabinet(at: tuple[float, float, float], turn: float, colour: tuple[float, float, float]) -> None:
    shell, face = plain("cabinet", [c * 0.5 for c in colour], 0.4), plain("drawer", colour, 0.32, coat=0.3)
    grip = plain("grip", (0.6, 0.6, 0.6), 0.3, 1.0)
    parts = [b.box("case", (0.92, 0.48, 0.92), (0, 0, 0.56), shell, 0.01), b.box("top", (0.96, 0.52, 0.03), (0, 0, 1.035), plain("mat", (0.02, 0.02, 0.02), 0.6), 0.006)]
    z = 0.14
    for h in (0.20, 0.16, 0.12, 0.12, 0.10, 0.10):
        parts.append(b.box("drawer", (0.86, 0.02, h - 0.012), (0, -0.245, z + h / 2), face, 0.004))
        parts.append(b.box("handle", (0.74, 0.018, 0.014), (0, -0.262, z + h - 0.025), grip, 0.005))
        z += h
    for dx in (-0.38, 0.38):
        parts.append(b.lathe("castor", [(-0.02, 0.05), (0.02, 0.05)], plain("castor", (0.02, 0.02, 0.02), 0.5), 24))
        parts[-1].location = (dx, 0, 0.05)
    b.group(parts, at, (0, 0, turn))


def shelf(at: tuple[float, float, float], turn: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    steel = plain("rack", (0.10, 0.11, 0.12), 0.5, 0.6)
    tones = [plain(f"tin{seed}{i}", c, 0.5) for i, c in enumerate([(0.11, 0.05, 0.04), (0.22, 0.20, 0.17), (0.06, 0.085, 0.11), (0.25, 0.19, 0.12), (0.07, 0.085, 0.07), (0.28, 0.27, 0.25), (0.20, 0.15, 0.10)])]
    parts = [b.box("post", (0.05, 0.05, 2.1), (dx, dy, 1.05), steel) for dx in (-1.0, 1.0) for dy in (-0.2, 0.2)]
    for z in (0.25, 0.8, 1.35, 1.9):
        parts.append(b.box("board", (2.0, 0.46, 0.03), (0, 0, z), plain("board", (0.22, 0.16, 0.10), 0.6)))
        x = -0.92
        while x < 0.85:
            w, h = rng.uniform(0.10, 0.34), rng.uniform(0.12, 0.38)
            parts.append(b.box("thing", (w, rng.uniform(0.2, 0.36), h), (x + w / 2, rng.uniform(-0.04, 0.04), z + 0.016 + h / 2), tones[rng.integers(7)], 0.006, (0, 0, rng.uniform(-6, 6))))
            x += w + rng.uniform(0.02, 0.16)
    b.group(parts, at, (0, 0, turn))


def lift(x: float, y: float) -> None:
    """Two posts with their arms down."""
    post = plain("post", (0.42, 0.27, 0.03), 0.38, coat=0.3)
    dark = plain("post-dark", (0.03, 0.03, 0.032), 0.5)
    for sign in (-1, 1):
        b.box("lift-post", (0.30, 0.26, 3.3), (x, y + sign * 1.55, 1.65), post, 0.02)
        b.box("lift-slot", (0.12, 0.02, 3.1), (x, y + sign * 1.415, 1.6), dark)
        b.box("carriage", (0.34, 0.16, 0.7), (x, y + sign * 1.40, 0.5), dark, 0.015)
        b.box("foot", (0.62, 0.42, 0.03), (x, y + sign * 1.55, 0.015), dark)
        for dx in (-1, 1):
            b.box("arm", (0.95, 0.10, 0.10), (x + dx * 0.45, y + sign * 1.15, 0.12), post, 0.01, (0, 0, -dx * sign * 24))
    b.box("bridge", (0.30, 3.4, 0.16), (x, y, 3.34), post, 0.02)


def gate(at: tuple[float, float, float], turn: float) -> None:
    panel, frame = plain("gate", (0.30, 0.31, 0.30), 0.45), plain("gate-frame", (0.05, 0.055, 0.06), 0.5)
    s = Shader("pane")
    light = s.done(s.node("Emission", {"Color": (0.80, 0.90, 1.0, 1), "Strength": 2.2}).outputs[0])
    light.cycles.emission_sampling = "NONE"
    parts = [b.box("frame", (4.2, 0.1, 3.5), (0, 0.03, 1.75), frame)]
    for i in range(6):
        parts.append(b.box("panel", (3.9, 0.08, 0.53), (0, -0.02, 0.30 + i * 0.56), panel, 0.015))
    for k in range(4):
        parts.append(b.box("pane", (0.78, 0.02, 0.33), (-1.42 + k * 0.945, -0.065, 0.30 + 3 * 0.56), light, 0.02))
    b.group(parts, at, (0, 0, turn))


def window(at: tuple[float, float, float], turn: float, wide: float = 3.4, high: float = 1.35) -> None:
    """A steel-framed window of the old hall, daylight behind; what the paint mirrors."""
    s = Shader("sky")
    _, _, z = s.split(s.where("Generated"))
    light = s.done(s.node("Emission", {"Color": s.mix(z, (0.62, 0.74, 0.86), (0.86, 0.93, 1.0)), "Strength": 1.9}).outputs[0])
    light.cycles.emission_sampling = "NONE"
    steel = plain("casement", (0.045, 0.05, 0.052), 0.5)
    parts = [b.box("sky", (wide, 0.01, high), (0, 0.0, 0), light)]
    for k in range(6):
        parts.append(b.box("mullion", (0.035, 0.05, high), (-wide / 2 + k * wide / 5, -0.02, 0), steel))
    for k in range(4):
        parts.append(b.box("transom", (wide + 0.035, 0.05, 0.035), (0, -0.02, -high / 2 + k * high / 3), steel))
    parts.append(b.box("ledge", (wide + 0.2, 0.16, 0.05), (0, -0.06, -high / 2 - 0.04), plain("ledge", (0.25, 0.25, 0.24), 0.7)))
    b.group(parts, at, (0, 0, turn))


WINDOWS = (
    *(((x, 6.98, 2.95), 0.0) for x in (-5.9, -2.0, 1.9)),
    *(((x, -6.98, 2.95), 180.0) for x in (-5.2, -1.3, 2.6, 6.2)),
    *(((-8.18, y, 2.95), 90.0) for y in (-3.6, 0.0, 3.6)),
    *(((8.18, y, 2.95), -90.0) for y in (3.0, -5.0)),
)


def hall(daylight: bool = False) -> None:
    """16 x 15 m, 4.4 m high, strip lights along the car; daylight: windows all round and a sealed floor, for the whole car."""
    b.mesh_of("floor", [(-9, -8, 0), (9, -8, 0), (9, 8, 0), (-9, 8, 0)], [(0, 1, 2, 3)], concrete(daylight), smooth=False)
    w = wall_paint()
    c = [(-8.2, -7), (8.2, -7), (8.2, 7), (-8.2, 7)]
    for (x0, y0), (x1, y1) in zip(c, c[1:] + c[:1], strict=True):
        b.mesh_of("wall", [(x0, y0, 0), (x1, y1, 0), (x1, y1, 4.4), (x0, y0, 4.4)], [(0, 3, 2, 1)], w, smooth=False)
    b.mesh_of("ceiling", [(-9, -8, 4.4), (9, -8, 4.4), (9, 8, 4.4), (-9, 8, 4.4)], [(0, 3, 2, 1)], plain("ceiling", (0.30, 0.30, 0.30), 0.9), smooth=False)
    yellow = Shader("line")
    wear = yellow.step(yellow.noise(11, 7, 0.7), 0.36, 0.46)
    line = yellow.done(yellow.over(wear, yellow.node("BsdfTransparent").outputs[0], yellow.principled(Base_Color=(0.50, 0.33, 0.03), Roughness=0.5)))
    for y in (-1.95, 1.95):
        b.mesh_of("bay", [(-3.2, y - 0.05, 0.002), (3.2, y - 0.05, 0.002), (3.2, y + 0.05, 0.002), (-3.2, y + 0.05, 0.002)], [(0, 1, 2, 3)], line, smooth=False)
    cabinet((-4.6, 6.55, 0), 0, (0.30, 0.025, 0.02))
    cabinet((3.2, -6.55, 0), 180, (0.02, 0.09, 0.20))
    cabinet((7.75, 3.6, 0), -90, (0.30, 0.025, 0.02))
    shelf((0.6, 6.65, 0), 0, 1)
    shelf((-2.0, 6.65, 0), 0, 2)
    shelf((-7.8, -3.3, 0), 90, 3)
    shelf((-7.8, 3.2, 0), 90, 5)
    shelf((-2.6, -6.65, 0), 180, 4)
    shelf((0.0, -6.65, 0), 180, 6)
    lift(-5.6, 4.1)
    lift(5.4, -4.6)
    gate((7.0 + 1.12, -1.0, 0), -90)
    gate((4.6, 6.93, 0), 0)
    if daylight:
        for at, turn in WINDOWS:
            window(at, turn)
    s = Shader("strip")
    glow = s.done(s.node("Emission", {"Color": (1.0, 0.97, 0.92, 1), "Strength": 9.0}).outputs[0])
    glow.cycles.emission_sampling = "NONE"
    for y in (-3.3, 3.3):
        for x in (-3.4, 0.0, 3.4):
            b.box("tube", (2.9, 0.16, 0.05), (x, y, 3.9), glow)
    b.lamp((0, 0, 4.25), (0, 0, 0), (6.5, 1.6), 420, (1.0, 0.97, 0.93), seen=False)
    b.lamp((0, 4.8, 3.6), (0, 0, 0.6), (7.5, 0.9), 260, (0.93, 0.96, 1.0))
    b.lamp((0, -4.8, 3.6), (0, 0, 0.6), (7.5, 0.9), 260, (1.0, 0.95, 0.9))
    b.lamp((6.3, 0, 3.3), (1.5, 0, 0.6), (0.9, 6.0), 170, (0.95, 0.98, 1.0))
    b.lamp((-6.3, 0, 3.3), (-1.5, 0, 0.6), (0.9, 6.0), 170, (1.0, 0.97, 0.93))
