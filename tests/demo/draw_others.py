"""The two smaller jobs' vehicles as meshes: a motorcycle of the 1970s and a delivery van of the 1960s."""

from __future__ import annotations

import numpy as np
from draw3d import (
    A,
    F,
    Material,
    Mesh,
    Room,
    Surface,
    arr,
    fbm,
    grid,
    lathe,
    material,
    mix,
    rounded,
    sheet,
    smooth,
    tube,
    turn,
)
from draw_cabin import odometer, stamped
from draw_camera import Shot
from draw_car import headlamp, plate
from draw_looks import chrome, dirt, gloss, plain, rubber, rusty, steel
from draw_parts import Scene, bench, brake, caliper, card, clip, disc, fuel_hose, hoses_old_and_new, low_room, pad

RED = (0.26, 0.018, 0.014)
FRONT, REAR, HUB = 0.70, -0.66, 0.31
__all__ = ["brake", "caliper", "clip", "disc", "fuel_hose", "hoses_old_and_new", "odometer", "pad", "stamped"]


def _bright(old: bool, dull: float = 0.6) -> Material:
    return (lambda s: chrome(s, dull)) if old else chrome


def _wheel(x: float, old: bool, drum: bool) -> list[Mesh]:
    stand = turn("x", -90)
    tyre = [(0.245, 0.030), (0.27, 0.046), (0.30, 0.040), (0.315, 0.018), (0.317, 0.0), (0.315, -0.018), (0.30, -0.040), (0.27, -0.046), (0.245, -0.030)]
    made = [lathe(tyre, lambda s: rubber(s, 0.8 if old else 0.0), 160, 5), lathe([(0.238, 0.032), (0.246, 0.028), (0.238, 0.0), (0.246, -0.028), (0.238, -0.032)], _bright(old), 160, 4)]
    hub = [(0, 0.06), (0.03, 0.06), (0.035, 0.05), (0.085 if drum else 0.05, 0.045), (0.085 if drum else 0.05, -0.045), (0.03, -0.06), (0, -0.06)]
    made.append(lathe(hub, lambda s: steel(s, (0.45, 0.45, 0.44), 0.4 if old else 0.2), 96))
    spoke = _bright(old, 0.9)
    for k in range(36):
        a = k * np.pi / 18
        lean = a + (0.30 if k % 2 else -0.30)
        side = 0.04 if k % 4 < 2 else -0.04
        made.append(tube([(0.07 * np.cos(lean), 0.07 * np.sin(lean), side), (0.238 * np.cos(a), 0.238 * np.sin(a), 0)], 0.0017, spoke, 8))
    if not drum:
        made += [m.moved(by=(0, 0, 0.062)) for m in disc(old)]
    return [m.moved(stand, (x, 0, HUB)) for m in made]


def motorcycle(old: bool) -> list[Mesh]:
    """The whole machine, front towards +x."""
    bright, black = _bright(old), plain((0.014, 0.014, 0.015), 1.0, 0.15)
    alloy = material(lambda s: dirt(steel(s, (0.50, 0.50, 0.49), 0.35 if old else 0.16), s, np.full(len(s.p), 0.45 if old else 0.0, dtype=F)))
    tank = material(lambda s: gloss(s, RED, 0.7 if old else 1.2, 0.3 if old else 0.0))
    made = _wheel(FRONT, old, False) + _wheel(REAR, old, True)
    made += [tube([(0.30, 0, 0.86), (0.20, 0, 0.72), (0.12, 0, 0.36), (-0.02, 0, 0.24)], 0.018, black), tube([(0.32, 0, 0.80), (-0.2, 0, 0.74), (-0.55, 0, 0.66)], 0.018, black)]
    for y in (0.075, -0.075):
        made += [tube([(-0.02, y, 0.24), (-0.25, y, 0.26), (-0.30, y, 0.5), (-0.33, y, 0.70)], 0.014, black), tube([(-0.28, y, 0.34), (REAR, y * 1.3, HUB)], 0.016, black)]
        made += [tube([(FRONT, y * 1.15, HUB), (0.555, y * 1.15, 0.58)], 0.022, alloy), tube([(0.57, y * 1.15, 0.55), (0.42, y * 1.15, 0.92)], 0.0165, bright)]
        made += [tube([(-0.40, y * 1.5, 0.68), (-0.60, y * 1.5, 0.36)], 0.022, bright), tube([(0.40, y, 0.92), (0.36, y * 2.5, 0.98), (0.24, y * 5, 1.0)], 0.011, bright)]
        made.append(tube([(0.30, y * 4.1, 1.0), (0.18, y * 5.6, 1.0)], 0.016, lambda s: rubber(s, 0.2)))
        made += [tube([(0.14, y * 1.3, 0.45), (0.20, y * 1.6, 0.30), (-0.05, y * 1.9, 0.24), (-0.4, y * 1.9, 0.27)], 0.019, bright), tube([(-0.38, y * 1.9, 0.27), (-0.86, y * 1.9, 0.34)], [0.03, 0.04, 0.034], bright)]
        made.append(lathe([(0, 0.012), (0.045, 0.010), (0.05, 0)], bright, 64).moved(turn("y", 90), (0.27, y * 4.6, 1.10)))
        made.append(tube([(0.24, y * 4.4, 1.0), (0.27, y * 4.6, 1.10)], 0.004, bright))
    made += [rounded((0.16, 0.11, 0.09), 0.04, alloy).moved(by=(-0.06, 0, 0.34)), rounded((0.07, 0.075, 0.10), 0.02, alloy).moved(turn("y", 12), (0.08, 0, 0.50))]
    made += [rounded((0.085, 0.09, 0.004), 0.003, alloy).moved(turn("y", 12), (0.08 + 0.005 * k, 0, 0.42 + 0.022 * k)) for k in range(8)]
    made += [lathe([(0, 0.02), (0.05, 0.016), (0.07, 0.0)], alloy, 64).moved(turn("x", -90), (-0.04, 0.11, 0.34)), rounded((0.27, 0.125, 0.10), 0.095, tank).moved(turn("y", 5), (0.06, 0, 0.80))]
    made.append(lathe([(0, 0.02), (0.03, 0.018), (0.033, 0)], bright, 48).moved(by=(0.12, 0, 0.89)))
    made.append(rounded((0.30, 0.125, 0.05), 0.048, lambda s: rubber(s, 0.25 if old else 0.05)).moved(turn("y", 2), (-0.44, 0, 0.775)))
    made += [rounded((0.10, 0.015, 0.09), 0.014, tank).moved(by=(-0.30, y, 0.56)) for y in (0.105, -0.105)]
    for x, low, high in ((FRONT, 0.5, 2.0), (REAR, 0.35, 2.3)):
        path = np.linspace(low, high, 12)
        arc = np.array([[[x + 0.345 * np.cos(a), y, HUB + 0.345 * np.sin(a) - 14 * y * y * 0.6] for y in np.linspace(-0.06, 0.06, 9)] for a in path])
        made.append(grid(arc.astype(F), bright))
    made += [m.moved(turn("y", 90), (0.56, 0, 0.86)) for m in headlamp(old, 0.085)] + [rounded((0.07, 0.08, 0.08), 0.075, black).moved(by=(0.50, 0, 0.86))]
    made.append(rounded((0.02, 0.05, 0.035), 0.015, plain((0.3, 0.008, 0.008), 1, 0.05)).moved(by=(-1.0, 0, 0.62)))
    chain: Material = (lambda s: rusty(s, 60, 4)) if old else (lambda s: steel(s, (0.45, 0.43, 0.38), 0.2))
    made += [tube([(-0.16, 0.10, 0.36 + dz), (REAR, 0.10, HUB + dz * 1.6)], 0.008, chain) for dz in (0.04, -0.05 if not old else -0.065)]
    made.append(lathe([(0.05, 0), (0.088, 0), (0.092, -0.006)], chain, 96).moved(turn("x", -90), (REAR, 0.10, HUB)))
    made.append(tube([(-0.05, 0.10, 0.20), (-0.12, 0.20, 0.02)], 0.009, black))
    return made


def _bike_room() -> Room:
    def shadow(x: A, y: A) -> A:
        return np.asarray(0.75 * smooth(0.28, 0.02, np.abs(y)) * smooth(1.05, 0.8, np.abs(x)), dtype=F)

    return Room(low=(-5, -4, 0), high=(5, 4, 3.2), shadow=shadow, seed=12)


def whole_motorcycle(side: str, old: bool) -> Scene:
    sign = 1 if side == "left" else -1
    return Scene(Shot((0.5, 2.9 * sign, 1.15), (0.0, 0, 0.52), 46, exposure=1.35), motorcycle(old), _bike_room())


def fork(old: bool) -> Scene:
    """The fork leg and its seal."""
    tube_look: Material = (lambda s: mix(chrome(s, 0.5), arr(0.05, 0.035, 0.012) * s.light() + 0.2 * s.mirror(0.2), smooth(0.62, 0.55, s.p[:, 2]) * 0.75)) if old else chrome
    slider = material(lambda s: dirt(steel(s, (0.48, 0.48, 0.47), 0.4 if old else 0.16), s, np.full(len(s.p), 0.7 if old else 0.0, dtype=F)))
    made = _wheel(0.0, old, False)
    made = [m.moved(by=(0, 0, 0)) for m in made]
    for y in (0.105, -0.105):
        made += [tube([(0.03, y, 0.24), (-0.06, y, 0.52)], 0.026, slider, 64), tube([(-0.05, y, 0.49), (-0.16, y, 0.86)], 0.0185, tube_look, 64)]
        made.append(tube([(-0.0585, y, 0.515), (-0.066, y, 0.54)], 0.0285, lambda s: rubber(s, 1.0 if old else 0.0), 64))
        if old:
            made.append(tube([(-0.052, y + 0.018, 0.52), (-0.03, y + 0.026, 0.45), (-0.01, y + 0.028, 0.38)], [0.004, 0.006, 0.003], lambda s: gloss(s, (0.05, 0.025, 0.006), 1.4), 16))
    made += [m.moved(turn("x", -90), (0.0, 0.062, HUB)) for m in caliper(old)]
    made.append(rounded((0.03, 0.15, 0.02), 0.014, plain((0.014, 0.014, 0.015), 1, 0.15)).moved(turn("y", -17), (-0.155, 0, 0.84)))
    return Scene(Shot((0.42, 0.72, 0.72), (-0.04, 0.03, 0.50), 38, exposure=1.4), made, _bike_room())


def chain(old: bool) -> Scene:
    """Chain and rear sprocket."""
    look: Material = (lambda s: dirt(rusty(s, 80, 4), s, np.full(len(s.p), 0.25, dtype=F))) if old else (lambda s: steel(s, (0.52, 0.47, 0.34), 0.18))
    teeth, r = 44, 0.105
    made: list[Mesh] = []
    ring = []
    for k in range(teeth * 4 + 1):
        ring.append(r + (0.005 if k % 4 in (0, 3) else -0.002 if not old else -0.003))
    angles = np.linspace(0, 2 * np.pi, teeth * 4 + 1)
    p = np.stack([np.outer([0.04, 0.062, 0.064, 1, 1], np.cos(angles)), np.outer([0.04, 0.062, 0.064, 1, 1], np.sin(angles)), np.zeros((5, len(angles)))], -1)
    p[3, :, 0], p[3, :, 1] = np.array(ring) * np.cos(angles), np.array(ring) * np.sin(angles)
    p[4] = p[3]
    p[4, :, 2] = -0.006
    made.append(grid(p.astype(F), look))
    sag = 0.012 if not old else 0.034
    path = [(r * np.cos(a), r * np.sin(a)) for a in np.linspace(-np.pi / 2, np.pi / 2, 24)]
    path = [(-0.5 + 0.5 * t, -r - sag * np.sin(t * np.pi)) for t in np.linspace(0, 1, 36, endpoint=False)] + path + [(-0.5 * t, r - 0.2 * sag * np.sin(t * np.pi)) for t in np.linspace(0, 1, 36)]
    pts = np.array(path)
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(pts, axis=0).T))])
    at = np.arange(0, along[-1], 0.0127)
    xs, ys = np.interp(at, along, pts[:, 0]), np.interp(at, along, pts[:, 1])
    for k in range(len(at) - 1):
        mid, ang = ((xs[k] + xs[k + 1]) / 2, (ys[k] + ys[k + 1]) / 2), np.degrees(np.arctan2(ys[k + 1] - ys[k], xs[k + 1] - xs[k]))
        wide = 0.0055 if k % 2 else 0.0035
        made += [rounded((0.0098, 0.0052, 0.0008), 0.0007, look, 5).moved(turn("z", ang), (*mid, z * wide - 0.003)) for z in (1, -1)]
        made.append(lathe([(0, 0.007), (0.0026, 0.0068), (0.003, -0.007)], look, 16, 1).moved(by=(xs[k], ys[k], -0.003)))
    made = [m.moved(turn("x", 90) @ turn("z", 0), (0, 0, 0.0)) for m in made]
    made += [tube([(0, -0.02, 0), (0, 0.08, 0)], 0.055, lambda s: steel(s, (0.45, 0.45, 0.44), 0.4 if old else 0.2)), tube([(-0.5, 0.06, 0.03), (0.02, 0.05, 0.0)], 0.022, plain((0.014, 0.014, 0.015), 1, 0.15))]
    made += [tube([(0, -0.045, 0), (0, -0.02, 0)], 0.014, (lambda s: rusty(s, 60)) if old else chrome, 6)]
    made.append(sheet((3, 2), lambda s: dirt(gloss(s, (0.10, 0.11, 0.12), 0.3, 0.5), s, np.full(len(s.p), 0.6 if old else 0.05, dtype=F))).moved(turn("x", 90), (0, 0.4, 0)))
    return Scene(Shot((-0.06, -0.52, 0.10), (-0.10, 0, -0.01), 42, exposure=1.5), made, low_room(bright=1.2))


def chains_old_and_new() -> Scene:
    made = [bench()]
    for x, old in ((-0.15, True), (0.15, False)):
        look: Material = (lambda s: rusty(s, 80, 4)) if old else (lambda s: steel(s, (0.52, 0.47, 0.34), 0.18))
        for k, t in enumerate(np.linspace(0.3, 11.5, 90)):
            rr = 0.035 + 0.0058 * t
            a = np.degrees(t) + 90
            made.append(rounded((0.0098, 0.0052, 0.004 if k % 2 else 0.0028), 0.0025, look, 5).moved(turn("z", a), (x + rr * np.cos(t), 0.05 + rr * np.sin(t), 0.006)))
        made.append(lathe([(0.02, 0.006), (0.05, 0.006), (0.054, 0.003), (0.02, 0.0)], look, 40 if old else 44, 2).moved(by=(x, -0.11, 0.001)))
    made += [card("OLD", (-0.15, -0.19)), card("NEW", (0.15, -0.19))]
    return Scene(Shot((0, -0.45, 0.48), (0, -0.03, 0), 45, exposure=1.25), made, low_room())


GREEN, CREAM = (0.035, 0.12, 0.085), (0.62, 0.58, 0.46)
VAN_AXLES = (1.25, -1.10)


def _van_skin(s: Surface, old: bool) -> A:
    x, y, z = s.p.T
    n = s.n
    low = smooth(1.13, 1.12, z - 0.16 * smooth(1.2, 2.1, x) * (z < 1.4))
    base = mix(arr(CREAM), arr(GREEN), low)
    colour = gloss(s, base, 0.6 if old else 1.1, 0.35 if old else 0.0)
    if old:
        colour = dirt(colour, s, np.asarray(0.5 * smooth(0.9, 0.3, z), dtype=F))
        colour = mix(colour, rusty(s, 10, 3), np.asarray(smooth(0.42, 0.32, z) * smooth(0.45, 0.6, fbm(x * 5, z * 9, 4, 3)), dtype=F))
    side, face = np.abs(n[:, 1]) > 0.6, np.abs(n[:, 0]) > 0.55
    door = np.minimum(1.62 - 0.25 * (z - 1.2) - x, x - 0.62)
    pane = np.where(side, np.minimum(np.minimum(z - 1.22, 1.72 - z), door - 0.05), -1)
    front = np.minimum(np.minimum(z - 1.22, 1.74 - z), np.minimum(np.abs(y) - 0.02, 0.72 - np.abs(y)))
    rear = np.minimum(np.minimum(z - 1.30, 1.66 - z), np.minimum(np.abs(y) - 0.08, 0.60 - np.abs(y)))
    pane = np.where(face & (x > 0), front, np.where(face & (x < 0), rear, pane))
    colour = mix(colour, arr(0.012, 0.012, 0.012), smooth(-0.022, -0.016, pane))
    glass_ = arr(0.02, 0.022, 0.024) + (0.07 + 0.9 * (1 - s.facing) ** 5)[:, None] * s.mirror(0.0)
    colour = mix(colour, np.asarray(glass_, dtype=F), smooth(-0.002, 0.002, pane))
    seam = np.where(side & (z > 0.42) & (z < 1.85), np.maximum(smooth(0.006, 0.003, np.abs(x - 0.62)), smooth(0.006, 0.003, np.abs(x - 1.62 + 0.25 * (z - 1.2)))), 0)
    seam = np.where(face & (x < 0) & (z > 0.45), smooth(0.006, 0.003, np.abs(y)), seam)
    strip = smooth(0.02, 0.015, np.abs(z - 1.125 - 0.16 * smooth(1.2, 2.1, x) * (z < 1.4))) * (side | face)
    colour = mix(colour, chrome(s, 0.5 if old else 0.0), np.asarray(strip * (pane < -0.02), dtype=F))
    return mix(colour, arr(0.005, 0.005, 0.005), np.asarray(seam, dtype=F))


def van(old: bool) -> list[Mesh]:
    """The whole van, front towards +x."""
    s, t = np.meshgrid(np.linspace(-np.pi / 2, np.pi / 2, 260), np.linspace(0, 2 * np.pi, 221), indexing="ij")

    def power(a: A, e: float) -> A:
        return np.asarray(np.sign(a) * np.abs(a) ** e, dtype=F)

    e = 2 / 11
    c = np.abs(np.cos(s)) ** e
    z = 1.12 + 0.84 * (0.5 + 0.5 * c) * power(np.sin(t), 2 / 7)
    x = 2.1 * power(np.sin(s), e) - 0.22 * smooth(1.15, 1.95, z) * (np.sin(s) > 0)
    y = 0.88 * c * power(np.cos(t), 2 / 7) * (1 - 0.07 * smooth(1.0, 1.95, z))

    def arches(p: A) -> np.ndarray:
        hole = np.zeros(len(p), dtype=bool)
        for at in VAN_AXLES:
            hole |= ((p[:, 0] - at) ** 2 + (p[:, 2] - 0.36) ** 2 < 0.40**2) & (np.abs(p[:, 1]) > 0.55)
        return hole

    bright = _bright(old)
    black = plain((0.012, 0.012, 0.013))
    made = [grid(np.stack([x, y, z], -1).astype(F), lambda q: _van_skin(q, old), skip=arches), rounded((2.0, 0.7, 0.3), 0.1, black).moved(by=(0, 0, 0.62))]
    tyre = [(0.19, 0.03), (0.22, 0.07), (0.29, 0.078), (0.335, 0.06), (0.345, 0.0), (0.345, -0.1)]
    for ax in VAN_AXLES:
        for side, sign in ((-90, 1), (90, -1)):
            set_ = [
                lathe(tyre, lambda q: rubber(q, 0.8 if old else 0.0), 144, 5),
                lathe([(0.10, 0.012), (0.16, 0.005), (0.19, 0.035)], lambda q: gloss(q, CREAM, 0.5 if old else 1.0, 0.3 if old else 0.05), 120, 5),
                lathe([(0, 0.06), (0.06, 0.052), (0.105, 0.02), (0.11, 0.005)], bright, 96, 5),
            ]
            made += [m.moved(turn("x", side), (ax, sign * 0.80, 0.345)) for m in set_]
    for y_ in (0.60, -0.60):
        made += [m.moved(turn("y", 90), (2.085, y_, 0.92)) for m in headlamp(old, 0.105)]
        made.append(rounded((0.02, 0.05, 0.05), 0.02, plain((0.5, 0.14, 0.01), 1, 0.05)).moved(by=(2.09, y_, 0.72)))
        made.append(rounded((0.02, 0.045, 0.09), 0.02, plain((0.3, 0.008, 0.008), 1, 0.05)).moved(by=(-2.085, y_ * 1.2, 0.85)))
        made += [rounded((0.02, 0.07, 0.10), 0.018, bright).moved(by=(1.55, y_ / 0.60 * 1.02, 1.42)), tube([(1.6, y_ / 0.6 * 0.86, 1.25), (1.55, y_ / 0.6 * 1.0, 1.35)], 0.008, bright)]
    for bx in (2.15, -2.15):
        made.append(rounded((0.045, 0.84, 0.06), 0.04, bright).moved(by=(bx, 0, 0.47)))
    made += [plate("4V-1187", (0.32, 0.16), old).moved(by=(2.205, 0, 0.50)), plate("4V-1187", (0.32, 0.16), old).moved(turn("z", 180), (-2.115, 0, 0.72))]
    made += [rounded((0.012, 0.26, 0.006), 0.005, bright).moved(by=(2.10, 0, 0.80 + 0.045 * k)) for k in range(4)]
    return made


def whole_van(view: str, old: bool) -> Scene:
    def shadow(x: A, y: A) -> A:
        return np.asarray(0.85 * smooth(2.35, 1.8, np.abs(x)) * smooth(1.15, 0.65, np.abs(y)), dtype=F)

    eye = {"front-left": (5.6, 4.0, 1.7), "rear-right": (-5.4, -4.1, 1.75)}[view]
    return Scene(Shot(eye, (0, 0, 0.95), 43, exposure=1.2), van(old), Room(shadow=shadow, seed=23, high=(7.5, 5.5, 4.2)))


def drum_brake(old: bool) -> Scene:
    """A rear drum brake, drum off: shoes, wheel cylinder, springs."""
    back: Material = (lambda s: dirt(rusty(s, 20, 5), s, np.full(len(s.p), 0.4, dtype=F))) if old else plain((0.02, 0.02, 0.022), 0.9, 0.2)
    iron: Material = (lambda s: rusty(s, 40, 9)) if old else (lambda s: gloss(s, (0.11, 0.12, 0.13), 0.9, 0.2))
    lining = material(lambda s: arr(0.14, 0.12, 0.095) * s.light() * (0.5 if old else 1.0) * (0.7 + 0.6 * fbm(s.p[:, 0] * 200, s.p[:, 1] * 200, 3, 3))[:, None])
    spring: Material = (lambda s: rusty(s, 90, 2)) if old else (lambda s: gloss(s, (0.05, 0.16, 0.30), 1.0))
    made = [lathe([(0.03, 0.0), (0.145, 0.0), (0.15, 0.006), (0.155, 0.02)], back, 144)]
    for sign in (1, -1):
        a = np.linspace(0.35, np.pi - 0.35, 40) - np.pi / 2
        for r0, r1, h0, h1, look in ((0.118, 0.124, 0.012, 0.055, iron), (0.124, 0.124 + (0.0035 if old else 0.008), 0.012, 0.055, lining), (0.085, 0.118, 0.030, 0.034, iron)):
            ring = [[(sign * r * np.cos(q), r * np.sin(q), h) for q in a] for r, h in ((r0, h0), (r0, h1), (r1, h1), (r1, h0))]
            made.append(grid(np.array(ring, dtype=F), look))
    made += [rounded((0.030, 0.016, 0.016), 0.012, (lambda s: dirt(rusty(s, 50, 3), s, np.full(len(s.p), 0.3, dtype=F))) if old else (lambda s: steel(s, (0.5, 0.48, 0.42), 0.25))).moved(by=(0, 0.108, 0.03))]
    made += [tube([(sx * 0.030, 0.108, 0.03), (sx * 0.045, 0.106, 0.03)], 0.011, lambda s: rubber(s, 1.0 if old else 0.0)) for sx in (1, -1)]
    for y in (0.075, -0.095):
        coil = [(-0.085 + 0.17 * t, y + 0.006 * np.sin(t * 90), 0.045 + 0.006 * np.cos(t * 90)) for t in np.linspace(0, 1, 150)]
        made.append(tube(coil, 0.0016, spring, 10, 2))
    made += [lathe([(0, 0.06), (0.04, 0.055), (0.045, 0.0)], iron, 64), rounded((0.012, 0.012, 0.02), 0.006, iron).moved(by=(0, -0.125, 0.03))]
    if old:
        made.append(tube([(0.0, 0.094, 0.03), (0.012, 0.04, 0.006), (0.03, -0.05, 0.004), (0.05, -0.12, 0.012)], [0.004, 0.009, 0.012, 0.006], lambda s: gloss(s, (0.03, 0.018, 0.006), 1.5), 16))
    stand = turn("x", 90)
    made = [m.moved(stand) for m in made]
    made.append(sheet((2, 1.4), lambda s: dirt(plain((0.04, 0.04, 0.042))(s), s, np.full(len(s.p), 0.7 if old else 0.1, dtype=F))).moved(turn("x", 90), (0, 0.12, 0)))
    return Scene(Shot((0.07, -0.58, 0.12), (0, 0, 0), 42, exposure=1.6), made, low_room(bright=1.25))
