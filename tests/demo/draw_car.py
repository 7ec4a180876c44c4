"""The Talmere 1900 Tourer of the demo job as meshes: before (faded, chipped, dusty) and after."""

from __future__ import annotations

from dataclasses import dataclass

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
    smooth,
    spots,
    tube,
    turn,
)
from draw_looks import BLUE, chalky, chrome, dirt, glass, gloss, lettering, plain, rubber, rusty, sample, steel

LONG, WIDE, AXLES, WHEEL = 2.16, 0.80, (1.30, -1.28), 0.31


@dataclass(frozen=True)
class Look:
    """State of the car. tone: paint colour. bonnet: "", "primer" or "masked" while it is being painted."""

    before: bool
    plate: str = "QX-417-T"
    tone: tuple[float, float, float] = BLUE
    bonnet: str = ""
    grime: float = 0.0
    bumper: bool = True


def _top(x: A) -> A:
    return np.asarray(0.93 - 0.10 * smooth(0.7, 2.2, x) - 0.01 * smooth(-1.5, -2.2, x), dtype=F)


def _power(a: A, e: float) -> A:
    return np.asarray(np.sign(a) * np.abs(a) ** e, dtype=F)


def _lower(look: Look) -> Mesh:
    s, t = np.meshgrid(np.linspace(-np.pi / 2, np.pi / 2, 300), np.linspace(0, 2 * np.pi, 181), indexing="ij")
    e = 2 / 13
    x = LONG * _power(np.sin(s), e)
    c = np.abs(np.cos(s)) ** e
    top = _top(x.astype(F))
    z0 = (top + 0.25) / 2
    z = z0 + (top - 0.25) / 2 * (0.35 + 0.65 * c) * _power(np.sin(t), 2 / 4.6)
    y = WIDE * c * _power(np.cos(t), 2 / 4.6) * (1 - 0.30 * (z - 0.60) ** 2)
    return grid(np.stack([x, y, z], -1).astype(F), lambda s: _paintwork(s, look), skip=_arches)


def _arches(p: A) -> np.ndarray:
    hole = np.zeros(len(p), dtype=bool)
    for at in AXLES:
        hole |= ((p[:, 0] - at) ** 2 + (p[:, 2] - 0.32) ** 2 < 0.362**2) & (np.abs(p[:, 1]) > 0.5)
    return hole


def _line(d: A, half: float = 0.0035) -> A:
    return smooth(half + 0.0025, half, np.abs(d))


def _seams(p: A, n: A) -> A:
    x, y, z = p.T
    side, top, tail = np.abs(n[:, 1]) > 0.6, n[:, 2] > 0.6, n[:, 0] < -0.6
    door = np.maximum.reduce([_line(x - at) * smooth(0.355, 0.365, z) for at in (0.62, -0.31, -1.02)])
    sill = _line(z - 0.36) * (x < 0.62) * (x > -1.02)
    out = np.where(side & (np.abs(x) < 1.6), np.maximum(door, sill), 0)
    bonnet = np.maximum(_line(np.abs(y) - 0.62) * (x > 0.84), _line(x - 0.86) * (np.abs(y) < 0.62))
    out = np.where(top, np.maximum(out, bonnet), out)
    gate = np.maximum(_line(np.abs(y) - 0.60) * (z > 0.46), _line(z - 0.46) * (np.abs(y) < 0.60))
    return np.asarray(np.where(tail, gate, out), dtype=F)


def _paintwork(s: Surface, look: Look) -> A:
    p, n = s.p, s.n.copy()
    x, y, z = p.T
    top = n[:, 2] > 0.55
    bonnet = top & (x > 0.86) & (np.abs(y) < 0.62)
    wing = (x > 0.62) & (y > 0) & ~bonnet & (n[:, 0] < 0.8)
    base = arr(look.tone)
    if look.before:
        worn = np.asarray(np.where(top, 1.0, 0.5), dtype=F)[:, None]
        colour = chalky(s, base) * worn + gloss(s, base, 0.6, 0.25) * (1 - worn)
        at = smooth(1.0, 1.9, x)
        chips = spots(x * 26, y * 26, 0.45, 5, 0.08, 0.3) * bonnet * at
        colour = mix(colour, arr(0.42, 0.40, 0.36) * s.light(), np.asarray(chips, dtype=F))
        rust = spots(x * 26, y * 26, 0.45, 5, 0.03, 0.15) * bonnet * at
        arch = np.hypot(x - AXLES[0], z - 0.32)
        edge = smooth(0.44, 0.37, arch + 0.05 * (fbm(x * 22, z * 22, 4, 8) - 0.5)) * wing * smooth(0.40, 0.5, fbm(x * 9, z * 9, 3, 8))
        colour = mix(colour, rusty(s), np.asarray(np.maximum(rust, edge), dtype=F))
        colour = dirt(colour, s, np.asarray(0.5 * smooth(0.62, 0.26, z) + 0.12 * top, dtype=F))
    else:
        colour = gloss(s, base, 1.15)
    if look.bonnet:
        colour = _in_work(s, colour, bonnet | wing, look.bonnet)
    strip = smooth(0.017, 0.013, np.abs(z - 0.575)) * (np.abs(n[:, 1]) > 0.7) * (np.abs(x) < 2.0)
    trim = chrome(s, 0.5) if look.before else chrome(s)
    colour = mix(colour, trim, np.asarray(strip, dtype=F))
    colour = mix(colour, plain((0.015, 0.015, 0.016))(s), smooth(0.325, 0.315, z))
    return mix(colour, arr(0.004, 0.004, 0.005), _seams(p, n))


def _in_work(s: Surface, colour: A, part: np.ndarray, how: str) -> A:
    x, y, z = s.p.T
    grey = arr(0.30, 0.31, 0.31) * s.light() * (0.92 + 0.16 * fbm(x * 6, y * 6, 4, 3))[:, None]
    guide = smooth(0.42, 0.62, fbm(x * 5, y * 5, 3, 17)) * smooth(0.25, -0.3, y) * (0.7 + 0.3 * fbm(x * 90, y * 90, 2, 6))
    if how == "primer":
        return np.where(part[:, None], mix(grey, arr(0.05, 0.05, 0.05) * s.light(), np.asarray(guide, dtype=F)), colour)
    fold = fbm(x * 7 + z * 5, y * 7 + z * 6, 4, 12)
    paper = arr(0.52, 0.40, 0.24) * s.light() * (0.75 + 0.5 * fold)[:, None]
    return np.where(part[:, None], grey, paper)


def _cabin(look: Look) -> Mesh:
    q = np.concatenate([np.linspace(0, 1, 60), 1 + np.linspace(0.02, 1, 14), 2 + np.linspace(0.03, 1, 40)])
    a = np.concatenate([np.linspace(0, 2 * np.pi, 321)])
    v = np.where(q <= 1, q * 0.9, np.where(q <= 2, 0.9 + 0.1 * np.sin((q - 1) * np.pi / 2), 1.0))
    inset = np.where(q <= 1, 0, np.where(q <= 2, 0.055 * (1 - np.cos((q - 1) * np.pi / 2)), 0.055))
    shrink = np.where(q > 2, 3 - q, 1.0)
    front, rear, side = 0.84 - 0.46 * v, -2.08 + 0.20 * v, 0.745 - 0.10 * v
    mid, half = (front + rear) / 2, (front - rear) / 2 - inset
    e = 2 / 9.0
    x = mid[:, None] + half[:, None] * shrink[:, None] * _power(np.cos(a), e)
    y = (side - inset)[:, None] * shrink[:, None] * _power(np.sin(a), e)
    crown = np.where(q > 2, 0.035 * (1 - shrink**2), 0)
    z = np.repeat((0.885 + 0.505 * v + crown)[:, None], len(a), 1)
    return grid(np.stack([x, y, z], -1).astype(F), lambda s: _cabin_look(s, look))


def _pane(s: Surface) -> tuple[A, A]:
    """How far inside a window (m, negative outside), and the same with its frame."""
    x, y, z = s.p.T
    v = (z - 0.885) / 0.505
    front, rear, wide = 0.84 - 0.46 * v, -2.08 + 0.20 * v, 0.745 - 0.10 * v
    tall = np.minimum(z - 0.965, 1.325 - z)
    side = np.maximum.reduce([
        np.minimum(front - 0.12 - x, x + 0.27), np.minimum(-0.345 - x, x + 1.0), np.minimum(-1.085 - x, x - rear - 0.14),
    ])  # fmt: skip
    ends = wide - 0.075 - np.abs(y)
    inside = np.where(np.abs(s.n[:, 1]) > 0.62, np.minimum(side, tall), np.where(np.abs(s.n[:, 0]) > 0.3, np.minimum(ends, tall), -1))
    inside = np.where(s.n[:, 2] > 0.75, -1, inside)
    return np.asarray(inside, dtype=F), np.asarray(tall, dtype=F)


def _cabin_look(s: Surface, look: Look) -> A:
    x, y, _z = s.p.T
    top = s.n[:, 2] > 0.6
    if look.before:
        colour = np.where(top[:, None], chalky(s, look.tone, 1.2), chalky(s, look.tone, 0.5) * 0.5 + gloss(s, look.tone, 0.6, 0.2) * 0.5)
        pane = dirt(glass(s), s, np.full(len(x), 0.16, dtype=F))
        trim = chrome(s, 0.6)
    else:
        colour, pane, trim = gloss(s, look.tone, 1.15), glass(s), chrome(s)
    inside, _ = _pane(s)
    colour = mix(colour, trim, smooth(-0.017, -0.014, inside))
    colour = mix(colour, arr(0.01, 0.01, 0.01), smooth(-0.005, -0.003, inside))
    colour = mix(colour, pane, smooth(0.004, 0.006, inside))
    if look.bonnet == "masked":
        paper = arr(0.52, 0.40, 0.24) * s.light() * (0.75 + 0.5 * fbm(x * 7, y * 7, 4, 12))[:, None]
        return np.asarray(paper, dtype=F)
    return colour


def wheel(before: bool, parts: int = 144) -> list[Mesh]:
    """A wheel about z, outer side up; radius 0.31 m."""

    def tyre(s: Surface) -> A:
        out = rubber(s, 1.0 if before else 0.0)
        return dirt(out, s, np.full(len(out), 0.25, dtype=F)) if before else out

    def rim(s: Surface) -> A:
        a, r = s.uv[:, 0] * 12, s.uv[:, 1] + 0.06
        hole = smooth(0.017, 0.015, np.hypot((a % 1 - 0.5) * 0.062, (r - 0.128) * 0.9))
        colour = gloss(s, (0.42, 0.43, 0.44), 0.9, 0.12)
        if before:
            dull = gloss(s, (0.20, 0.195, 0.18), 0.2, 0.6)
            colour = mix(dull, rusty(s, 22), smooth(0.46, 0.60, fbm(s.uv[:, 0] * 26, r * 40, 4, 3)) * smooth(0.06, 0.16, r))
        return mix(colour, arr(0.006, 0.006, 0.006), np.asarray(hole, dtype=F))

    ring: Material = (lambda s: chrome(s, 0.9)) if before else chrome
    return [
        lathe([(0.188, 0.030), (0.205, 0.052), (0.25, 0.062), (0.288, 0.055), (0.305, 0.036), (0.31, 0.01), (0.31, -0.09), (0.29, -0.11)], tyre, parts, 6),
        lathe([(0.060, 0.004), (0.090, 0.012), (0.150, 0.000), (0.168, -0.012)], rim, parts, 6),
        lathe([(0.163, -0.012), (0.172, 0.026), (0.186, 0.040), (0.193, 0.030)], ring, parts, 6),
        lathe([(0.0, 0.046), (0.035, 0.043), (0.058, 0.026), (0.064, 0.004)], ring, parts, 6),
    ]  # fmt: skip


def plate(text: str, size: tuple[float, float] = (0.50, 0.11), old: bool = False) -> Mesh:
    """A number plate in the yz plane, facing +x."""
    mask = lettering(text, (1000, 220), 700, 0.86, 0.03)

    def face(s: Surface) -> A:
        u, v = s.uv[:, 0] / size[0] + 0.5, s.uv[:, 1] / size[1] + 0.5
        border = np.minimum(np.minimum(u, 1 - u) * size[0], np.minimum(v, 1 - v) * size[1])
        ground = arr(0.60, 0.60, 0.57) if not old else arr(0.40, 0.38, 0.33)
        colour = mix(ground * s.light() + 0.03 * s.mirror(0.3), arr(0.01, 0.01, 0.012), np.asarray(sample(mask, u, v), dtype=F))
        return mix(colour, arr(0.01, 0.01, 0.012), smooth(0.007, 0.005, border) * smooth(0.002, 0.003, border))

    y, z = np.meshgrid(np.linspace(-size[0] / 2, size[0] / 2, 2), np.linspace(-size[1] / 2, size[1] / 2, 2), indexing="ij")
    return grid(np.stack([np.zeros_like(y), y, z], -1).astype(F), face, np.stack([y, z], -1))


def headlamp(before: bool, radius: float = 0.088) -> list[Mesh]:
    """A round headlamp about z, looking up."""

    def lens(s: Surface) -> A:
        r = np.hypot(s.p[:, 0], 0) * 0 + s.uv[:, 1] / radius
        flute = 0.5 + 0.5 * np.sin(s.uv[:, 0] * 0 + s.p[:, 1] * 420)
        silver = s.mirror(0.12) * 0.75 * (0.65 + 0.35 * flute)[:, None] + 0.18
        clear = silver * arr(0.86, 0.90, 0.95) * (0.55 + 0.45 * smooth(0.1, 0.75, r))[:, None] + fresnel_like(s)
        if before:
            haze = arr(0.33, 0.31, 0.24) * s.light() * (0.8 + 0.4 * fbm(s.p[:, 1] * 60, s.p[:, 2] * 60, 4, 5))[:, None]
            return np.asarray(clear * 0.22 + haze * 0.9, dtype=F)
        return np.asarray(clear, dtype=F)

    ring: Material = (lambda s: chrome(s, 0.7)) if before else chrome
    k = radius / 0.088
    return [
        lathe([(0, 0.024 * k), (0.04 * k, 0.020 * k), (0.07 * k, 0.010 * k), (0.080 * k, 0.002 * k)], lens, 96, 6),
        lathe([(0.078 * k, 0.0), (0.085 * k, 0.016 * k), (0.097 * k, 0.006 * k), (0.10 * k, -0.03 * k)], ring, 96, 6),
    ]


def fresnel_like(s: Surface) -> A:
    return np.asarray((0.05 + 0.6 * (1 - s.facing) ** 4)[:, None] * s.mirror(0.0), dtype=F)


def car(look: Look) -> list[Mesh]:
    """The whole car, wheels on z = 0."""
    bright: Material = (lambda s: chrome(s, 0.55)) if look.before else chrome
    black = plain((0.012, 0.012, 0.013))
    red, amber = plain((0.30, 0.008, 0.008), 1.0, 0.05), plain((0.55, 0.16, 0.01), 1.0, 0.05)
    tilt = material(lambda d: turn("y", d))
    made = [_lower(look), _cabin(look), rounded((2.0, 0.66, 0.2), 0.1, black).moved(by=(0, 0, 0.50))]
    for x in AXLES:
        for side, sign in ((-90, 1), (90, -1)):
            made += [m.moved(turn("x", side), (x, sign * 0.735, WHEEL)) for m in wheel(look.before)]
    masked = look.bonnet == "masked"
    if not masked:
        made.append(rounded((0.02, 0.49, 0.082), 0.02, black).moved(by=(2.145, 0, 0.665)))
        made += [rounded((0.012, 0.485, 0.0045), 0.004, bright).moved(by=(2.172, 0, 0.60 + 0.026 * k)) for k in range(6)]
        made += [rounded((0.016, 0.013, 0.088), 0.01, bright).moved(by=(2.172, y, 0.665)) for y in (-0.5, 0, 0.5)]
        for y in (0.61, -0.61):
            made += [m.moved(tilt(90), (2.165, y, 0.665)) for m in headlamp(look.before)]
            made.append(rounded((0.02, 0.075, 0.024), 0.01, amber).moved(by=(2.155, y, 0.53)))
    if look.bumper and not masked:
        for x in (2.20, -2.19):
            made.append(rounded((0.045, 0.755, 0.052), 0.04, bright).moved(by=(x, 0, 0.43)))
            made += [rounded((0.16, 0.03, 0.050), 0.028, bright).moved(by=(x * 0.952, y, 0.43)) for y in (0.775, -0.775)]
            made += [rounded((0.03, 0.028, 0.085), 0.024, bright).moved(by=(x * 1.012, y, 0.43)) for y in (0.36, -0.36)]
        made.append(plate(look.plate, old=look.before).moved(by=(2.249, 0, 0.43)))
    made.append(plate(look.plate, old=look.before).moved(turn("z", 180), (-2.178, 0, 0.60)))
    for y in (0.665, -0.665):
        made.append(rounded((0.02, 0.052, 0.085), 0.015, red).moved(by=(-2.135, y, 0.70)))
        made.append(rounded((0.02, 0.052, 0.034), 0.012, amber).moved(by=(-2.13, y, 0.83)))
        sign = 1 if y > 0 else -1
        for x in (-0.20, -0.90):
            made.append(rounded((0.065, 0.014, 0.012), 0.01, bright).moved(by=(x, sign * 0.795, 0.80)))
        made.append(rounded((0.028, 0.055, 0.04), 0.02, bright).moved(by=(0.60, sign * 0.84, 0.985)))
        made.append(tube([(0.62, sign * 0.76, 0.93), (0.60, sign * 0.82, 0.96)], 0.008, bright))
        rail = [(-1.75, 0.50, 1.40), (-1.70, 0.50, 1.47), (-0.8, 0.50, 1.475), (0.05, 0.50, 1.46), (0.10, 0.50, 1.40)]
        made.append(tube([(x, sign * y2, z) for x, y2, z in rail], 0.011, bright))
        made.append(tube([(0.86, sign * 0.30 + 0.1, 0.925), (0.70, sign * 0.30 - 0.12, 1.03)], 0.005, black))
    made.append(rounded((0.012, 0.12, 0.012), 0.008, bright).moved(by=(-2.16, 0, 0.74)))
    made.append(tube([(-1.6, -0.45, 0.24), (-2.2, -0.45, 0.22)], 0.024, lambda s: steel(s, (0.3, 0.28, 0.26))))
    return made


def car_shadow(x: A, y: A) -> A:
    """Soft shadow under the car."""
    near = 0.85 * smooth(2.30, 1.75, np.abs(x)) * smooth(1.0, 0.55, np.abs(y))
    for at in AXLES:
        d = np.hypot((x - at) / 0.34, (np.abs(y) - 0.70) / 0.24)
        near = np.maximum(near, 0.92 * smooth(1.0, 0.25, d))
    return np.asarray(near, dtype=F)


def car_room(seed: int = 5, bright: float = 1.0) -> Room:
    return Room(shadow=car_shadow, seed=seed, bright=bright)


VIEWS = {  # where the camera stands
    "front": (7.0, 0.25, 1.35), "front-left": (5.2, 4.0, 1.65), "left": (0.0, 5.4, 1.25), "rear-left": (-5.2, 4.0, 1.65),
    "rear": (-7.0, -0.25, 1.40), "rear-right": (-5.2, -4.0, 1.65), "right": (0.0, -5.4, 1.25), "front-right": (5.2, -4.0, 1.65),
}  # fmt: skip
