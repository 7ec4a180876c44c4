"""Close-ups of mechanical parts: brakes, hoses, lamps, wheels, tyres, underside."""

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
    lathe,
    material,
    mix,
    noise,
    rounded,
    sheet,
    smooth,
    tube,
    turn,
)
from draw_camera import Shot
from draw_car import headlamp, wheel
from draw_looks import BLUE, chrome, dirt, gloss, lettering, plain, rubber, rusty, sample, steel


@dataclass
class Scene:
    """What is to be photographed."""

    shot: Shot
    meshes: list[Mesh]
    room: Room


def low_room(seed: int = 5, bright: float = 1.0) -> Room:
    """The workshop seen from a bench: its floor lies 0.9 m below z = 0."""
    return Room(low=(-7.5, -5.5, -0.9), high=(7.5, 5.5, 2.7), floor=-0.9, seed=seed, bright=bright)


def wood(s: Surface) -> A:
    x, y = s.p[:, 0], s.p[:, 1]
    ring = fbm(x * 3, y * 45, 4, 2) + 0.25 * noise(x * 30, y * 400, 3)
    colour = mix(arr(0.20, 0.115, 0.055), arr(0.36, 0.23, 0.12), smooth(0.35, 0.85, ring))
    colour = colour * (0.55 + 0.45 * smooth(0.0015, 0.003, np.abs((y + 0.07) % 0.18 - 0.09)))[:, None]
    return np.asarray(colour * s.light() * shade_under(s)[:, None], dtype=F)


def shade_under(s: Surface) -> A:
    return np.asarray(0.86 + 0.14 * fbm(s.p[:, 0] * 2, s.p[:, 1] * 2, 2, 9), dtype=F)


def bench(size: float = 2.4) -> Mesh:
    return sheet((size, size), wood, 41)


def soft_shadow(at: tuple[float, float], radius: float, dark: float = 0.6) -> Mesh:
    """A dark disc just above the bench that fades outwards would need alpha: a ring of dark wood does."""

    def look(s: Surface) -> A:
        d = np.hypot(s.p[:, 0] - at[0], s.p[:, 1] - at[1]) / radius
        return np.asarray(wood(s) * (1 - dark * smooth(1.0, 0.72, d))[:, None], dtype=F)

    return lathe([(0, 0.0004), (radius, 0.0004)], look, 96, 8).moved(by=(*at, 0))


def card(text: str, at: tuple[float, float], size: tuple[float, float] = (0.12, 0.045)) -> Mesh:
    """A paper label lying on the bench."""
    mask = lettering(text, (600, 225), 600, 0.62)

    def look(s: Surface) -> A:
        ink = sample(mask, s.uv[:, 0] / size[0] + 0.5, s.uv[:, 1] / size[1] + 0.5)
        return mix(arr(0.72, 0.70, 0.62) * s.light(), arr(0.02, 0.02, 0.06), np.asarray(ink, dtype=F))

    return sheet(size, look).moved(by=(*at, 0.002))


def disc_look(old: bool, seed: int = 3) -> Material:
    """A brake disc about z; uv[1] is the way along its profile."""

    def look(s: Surface) -> A:
        a = s.uv[:, 0]
        r = np.hypot(s.p[:, 0], s.p[:, 1]) if seed < 0 else s.uv[:, 1]
        if old:
            groove = noise(r * 900, a * 2, 6)
            swept = (s.uv[:, 1] > 0.085) & (s.uv[:, 1] < 0.145)
            worn = steel(s, (0.34, 0.30, 0.27), 0.45) * (0.55 + 0.6 * groove)[:, None]
            film = smooth(0.38, 0.62, fbm(a * 24, r * 40, 4, seed))
            return np.where(swept[:, None], mix(worn, rusty(s, 50, seed), film * 0.9), rusty(s, 36, seed))
        hatch = 0.88 + 0.12 * noise(a * 900 + r * 1500, a * 900 - r * 1500, 4)
        spoke = 0.75 + 0.45 * np.abs(np.cos(a * 2 * np.pi * 2 + 0.6)) ** 6
        return np.asarray(steel(s, (0.60, 0.60, 0.61), 0.16) * (hatch * spoke)[:, None], dtype=F)

    return look


def disc(old: bool, seed: int = 3) -> list[Mesh]:
    profile = [(0.034, 0.046), (0.070, 0.046), (0.076, 0.040), (0.078, 0.0), (0.084, 0.0), (0.128, 0.0), (0.129, -0.006), (0.128, -0.0127), (0.08, -0.0127)]
    return [lathe(profile, disc_look(old, seed), 160, 8)]


def pad(old: bool) -> list[Mesh]:
    lining = 0.0012 if old else 0.0055

    def friction(s: Surface) -> A:
        grain = fbm(s.p[:, 0] * 220, s.p[:, 1] * 220, 3, 4)
        tint = mix(arr(0.05, 0.045, 0.04), arr(0.16, 0.14, 0.12), grain)
        return np.asarray(tint * s.light() * (0.6 if old else 1.0), dtype=F)

    plate: Material = (lambda s: rusty(s, 60, 8)) if old else plain((0.10, 0.03, 0.02), 0.5, 0.3)
    return [
        rounded((0.044, 0.029, 0.0025), 0.002, plate).moved(by=(0, 0, 0.0025)),
        rounded((0.036, 0.025, lining), 0.001, friction).moved(by=(0, 0, 0.005 + lining)),
        rounded((0.010, 0.005, 0.0025), 0.002, plate).moved(by=(0, 0.031, 0.0025)),
    ]


def caliper(old: bool, dx: float = 0.0) -> list[Mesh]:
    """A fixed caliper astride the disc's edge at x = 0.125, disc face at z = 0 upwards."""

    def cast(s: Surface) -> A:
        if old:
            return dirt(rusty(s, 45, 12), s, np.full(len(s.p), 0.35, dtype=F))
        grain = 0.9 + 0.2 * fbm(s.p[:, 0] * 300, s.p[:, 1] * 300 + s.p[:, 2] * 200, 2, 3)
        return np.asarray(gloss(s, (0.42, 0.36, 0.20), 0.9, 0.25) * grain[:, None], dtype=F)

    bolt: Material = (lambda s: rusty(s, 80, 2)) if old else (lambda s: steel(s, (0.62, 0.60, 0.52), 0.15))
    boot = material(lambda s: rubber(s, 1.0 if old else 0.0))
    made = [
        rounded((0.034, 0.062, 0.024), 0.012, cast).moved(by=(0.118 + dx, 0, 0.034)),
        rounded((0.034, 0.062, 0.020), 0.012, cast).moved(by=(0.118 + dx, 0, -0.038)),
        rounded((0.013, 0.056, 0.055), 0.008, cast).moved(by=(0.146 + dx, 0, -0.002)),
        lathe([(0.0, 0.012), (0.020, 0.012), (0.024, 0.006), (0.025, -0.004)], cast, 64).moved(by=(0.112 + dx, 0.0, 0.058)),
    ]
    for y in (0.046, -0.046):
        made.append(lathe([(0.0, 0.010), (0.008, 0.010), (0.0085, 0.0)], bolt, 6, 2).moved(by=(0.126 + dx, y, 0.058)))
    made.append(lathe([(0.0045, 0.028), (0.0045, 0.016), (0.007, 0.014), (0.007, 0.0)], bolt, 24, 3).moved(turn("x", -60), (0.10 + dx, 0.06, 0.05)))
    for y in (0.028, -0.028):  # edges of the pads
        made.append(rounded((0.030, 0.024, 0.0024), 0.001, (lambda s: rusty(s, 70, 6)) if old else plain((0.10, 0.03, 0.02))).moved(by=(0.100 + dx, 0, 0.006 * (1 if y > 0 else -1) + 0.004)))
    if old:  # dust cover torn off its groove
        made.append(tube([(0.088, 0.022, 0.012), (0.078, 0.012, 0.016), (0.073, -0.006, 0.022), (0.084, -0.02, 0.012)], 0.004, boot))
    else:
        made.append(lathe([(0.018, 0.0), (0.023, 0.002), (0.020, 0.004), (0.024, 0.006), (0.020, 0.008)], boot, 48).moved(turn("x", 0), (0.096, 0.0, 0.004)))
    return made


def _hub(old: bool) -> list[Mesh]:
    nut: Material = (lambda s: rusty(s, 90, 5)) if old else (lambda s: steel(s, (0.5, 0.5, 0.48), 0.2))
    made = [lathe([(0, 0.075), (0.022, 0.074), (0.027, 0.066), (0.028, 0.044)], nut, 64)]
    for k in range(4):
        a = np.pi / 4 + k * np.pi / 2
        made.append(lathe([(0, 0.048), (0.0075, 0.048), (0.0076, 0.0455)], plain((0.008, 0.008, 0.008)), 24).moved(by=(0.052 * np.cos(a), 0.052 * np.sin(a), 0)))
    return made


def brake(old: bool, right: bool = False, close: bool = False) -> Scene:
    """A front brake in the wheel arch, wheel off. The disc stands upright, outer side towards +y."""
    stand = turn("x", -90)
    flip = turn("z", 180) if right else np.eye(3, dtype=F)
    made = [m.moved(stand @ turn("z", 150 if not right else 30)) for m in [*disc(old, 13 if right else 3), *caliper(old), *_hub(old)]]
    back = material(lambda s: dirt(plain((0.03, 0.03, 0.03))(s), s, np.full(len(s.p), 0.9 if old else 0.1, dtype=F)))
    strut: Material = (lambda s: rusty(s, 20, 7)) if old else plain((0.02, 0.02, 0.022), 0.8, 0.2)
    made.append(sheet((1.6, 1.2), back).moved(turn("x", 90), (0, -0.26, 0.1)))
    made.append(tube([(0.02, -0.10, 0.0), (0.03, -0.13, 0.42)], 0.028, strut))
    made.append(tube([(-0.5, -0.12, -0.09), (0.0, -0.06, -0.06)], 0.018, strut))
    spring = [(0.03 + 0.062 * np.cos(t), -0.13 + 0.062 * np.sin(t), 0.17 + t * 0.0078) for t in np.linspace(0, 32, 90)]
    made.append(tube(spring, 0.0065, strut, 12, 3))
    hose: Material = (lambda s: rubber(s, 1.3)) if old else (lambda s: rubber(s, 0.0))
    made.append(tube([(-0.135, 0.045, -0.035), (-0.19, 0.07, 0.05), (-0.25, -0.02, 0.14), (-0.32, -0.2, 0.22)], 0.0065, hose))
    made = [m.moved(flip) if right else m for m in made]
    sign = -1 if right else 1
    if close:
        return Scene(Shot((-0.26, 0.33, 0.06), (-0.105, 0.02, -0.05), 34, exposure=1.35), made, low_room(bright=1.2))
    return Scene(Shot((-0.20 * sign, 0.62 * sign, 0.16), (-0.01 * sign, 0, 0.02), 34, exposure=1.3), made, low_room(bright=1.2))


def brakes_old_and_new() -> Scene:
    made = [bench(), soft_shadow((-0.165, 0.06), 0.155), soft_shadow((0.165, 0.06), 0.155)]
    made += [m.moved(by=(-0.165, 0.06, 0.013)) for m in disc(True)] + [m.moved(by=(0.165, 0.06, 0.013)) for m in disc(False)]
    for x, old in ((-0.23, True), (-0.12, True), (0.12, False), (0.23, False)):
        made += [m.moved(turn("z", 8 if old else -4), (x, -0.15, 0)) for m in pad(old)]
    made += [card("OLD 10.18 mm", (-0.17, -0.235), (0.16, 0.045)), card("NEW 12.70 mm", (0.17, -0.235), (0.16, 0.045))]
    return Scene(Shot((0.0, -0.58, 0.62), (0, -0.025, 0), 45, exposure=1.25), made, low_room())


def hose_look(old: bool) -> Material:
    def look(s: Surface) -> A:
        u, v = s.uv[:, 0], s.uv[:, 1]
        if old:
            crack = smooth(0.50, 0.46, np.abs(noise(u * 5, v * 260, 2) - 0.5) * 4 + 0.3)
            crack = crack * smooth(0.35, 0.55, fbm(u * 3, v * 30, 3, 4))
            base = arr(0.075, 0.07, 0.062) * s.light() * (0.8 + 0.5 * fbm(u * 8, v * 90, 3, 7))[:, None] * 1.5
            braid = arr(0.42, 0.34, 0.22) * s.light()
            out = mix(base, arr(0.006, 0.006, 0.006), np.asarray(crack, dtype=F))
            return mix(out, braid, np.asarray(crack * smooth(0.7, 0.8, noise(u * 9, v * 300, 9)), dtype=F))
        a, b = (u * 22 + v * 420) % 2, (u * 22 - v * 420) % 2
        weave = 0.55 + 0.45 * np.where((np.floor(u * 22 + v * 420) + np.floor(u * 22 - v * 420)) % 2 == 0, np.sin(a / 2 * np.pi), np.sin(b / 2 * np.pi))
        fleck = smooth(0.8, 0.85, noise(np.floor(u * 11 + v * 210), np.floor(u * 11 - v * 210), 5))
        tint = mix(arr(0.05, 0.052, 0.055), arr(0.30, 0.06, 0.04), fleck)
        return np.asarray(tint * s.light() * weave[:, None] * 1.7, dtype=F)

    return look


def clip(old: bool, at: tuple[float, float, float], d: Mesh | None = None, radius: float = 0.0095) -> list[Mesh]:
    band: Material = (lambda s: rusty(s, 120, 4)) if old else (lambda s: chrome(s))
    screw = rounded((0.004, 0.006, 0.004), 0.001, band).moved(by=(0, 0, radius + 0.003))
    ring = lathe([(radius, -0.0045), (radius + 0.0012, -0.0045), (radius + 0.0012, 0.0045), (radius, 0.0045)], band, 64, 3).moved(turn("y", 90))
    return [m.moved(by=at) for m in (ring, screw)]


def fuel_hose(old: bool) -> Scene:
    """The hose at the pump: pump to the right, pipe to the left."""
    metal: Material = (lambda s: dirt(steel(s, (0.4, 0.38, 0.34), 0.5), s, np.full(len(s.p), 0.6, dtype=F))) if old else (lambda s: steel(s, (0.58, 0.58, 0.57), 0.22))
    body: Material = (lambda s: dirt(gloss(s, (0.16, 0.16, 0.15), 0.4, 0.4), s, np.full(len(s.p), 0.5, dtype=F))) if old else (lambda s: gloss(s, (0.34, 0.34, 0.33), 0.8, 0.25))
    block = material(lambda s: dirt(gloss(s, BLUE, 0.4, 0.3), s, np.full(len(s.p), 0.85 if old else 0.08, dtype=F)))
    path = [(-0.16, 0, 0.02), (-0.10, 0, 0.022), (-0.03, 0.0, 0.045), (0.03, 0, 0.06), (0.075, 0, 0.06)]
    made = [sheet((1.2, 0.9), block).moved(turn("x", 90), (0, 0.09, 0.05)), tube(path, 0.0085, hose_look(old), 48, 24)]
    made += [tube([(-0.5, 0, 0.02), (-0.13, 0, 0.02)], 0.004, metal), tube([(0.06, 0, 0.06), (0.12, 0, 0.06)], 0.005, metal)]
    made += [*clip(old, (-0.135, 0, 0.0205)), *clip(old, (0.062, 0, 0.0602))]
    pump = [(0, 0.042), (0.03, 0.040), (0.045, 0.03), (0.046, 0.012), (0.055, 0.010), (0.055, -0.004), (0.045, -0.006), (0.04, -0.05), (0, -0.05)]
    made += [m.moved(by=(0.165, 0.02, 0.06)) for m in (lathe(pump, body, 96),)]
    for k in range(6):
        a = k * np.pi / 3 + 0.2
        made.append(lathe([(0, 0.006), (0.0038, 0.006), (0.004, 0.0)], metal, 24, 2).moved(by=(0.165 + 0.049 * np.cos(a), 0.02 + 0.049 * np.sin(a), 0.07)))
    if old:
        made += [rounded((0.0028, 0.0028, 0.004), 0.0026, lambda s: gloss(s, (0.20, 0.11, 0.02), 1.4)).moved(by=(x, -0.004, z)) for x, z in ((0.03, 0.047), (0.012, 0.039), (0.045, 0.048))]
    else:
        cup = [(0.004, -0.03), (0.016, -0.026), (0.017, 0.026), (0.004, 0.03)]
        made.append(lathe(cup, lambda s: gloss(s, (0.5, 0.46, 0.34), 1.3), 64).moved(turn("y", 90), (-0.22, 0, 0.02)))
    return Scene(Shot((-0.03, -0.36, 0.17), (0.0, 0.0, 0.045), 44, exposure=1.3), made, low_room(bright=1.15))


def hoses_old_and_new() -> Scene:
    made = [bench()]
    for x, old in ((-0.15, True), (0.15, False)):
        coil = [(x + 0.085 * np.cos(t) * (1 + 0.02 * np.sin(t * 3)), 0.05 + 0.07 * np.sin(t), 0.009 + 0.0028 * t) for t in np.linspace(0.4, 11, 40)]
        made.append(tube(coil, 0.008, hose_look(old), 32, 4))
        made += [m.moved(turn("z", 30 * k), (x - 0.06 + 0.045 * k, -0.085, 0.011)) for k in range(4) for m in clip(old, (0, 0, 0))]
        cup = [(0.0, -0.05), (0.004, -0.05), (0.005, -0.03), (0.019, -0.026), (0.020, 0.026), (0.005, 0.03), (0.004, 0.05), (0, 0.05)]
        tone = (0.20, 0.10, 0.03) if old else (0.58, 0.53, 0.40)
        made.append(lathe(cup, lambda s, c=tone: gloss(s, c, 0.9, 0.1), 64).moved(turn("y", 90), (x, -0.135, 0.020)))
    made += [card("OLD", (-0.15, -0.19)), card("NEW", (0.15, -0.19))]
    return Scene(Shot((0, -0.45, 0.48), (0, -0.03, 0), 45, exposure=1.25), made, low_room())


def lamp(old: bool, right: bool = False) -> Scene:
    """A headlamp in the front panel, from the front."""
    tone: Material = (lambda s: dirt(gloss(s, arr(BLUE) * 1.3, 0.5, 0.3), s, np.full(len(s.p), 0.15, dtype=F))) if old else (lambda s: gloss(s, BLUE, 1.2))
    sign = -1 if right else 1
    made = [rounded((0.10, 0.50, 0.17), 0.06, tone).moved(by=(-0.10, 0.28 * sign, 0.0))]
    made += [m.moved(turn("y", 90), (0.01, 0, 0.0)) for m in headlamp(old, 0.10)]
    bright: Material = (lambda s: chrome(s, 0.55)) if old else chrome
    made.append(rounded((0.03, 0.3, 0.10), 0.02, plain((0.01, 0.01, 0.011))).moved(by=(-0.01, -0.46 * sign, 0)))
    made += [rounded((0.012, 0.3, 0.0055), 0.005, bright).moved(by=(0.02, -0.46 * sign, -0.075 + 0.03 * k)) for k in range(6)]
    made.append(rounded((0.02, 0.08, 0.024), 0.01, plain((0.55, 0.16, 0.01), 1, 0.05)).moved(by=(0.0, 0.0, -0.145)))
    made.append(rounded((0.05, 0.8, 0.05), 0.04, bright).moved(by=(0.03, -0.1 * sign, -0.26)))
    return Scene(Shot((0.72, 0.22 * sign, 0.10), (0.0, -0.02 * sign, -0.02), 44, exposure=1.25), made, low_room(bright=1.15))


def rim(old: bool, rear: bool = False) -> Scene:
    """A wheel on the car, from outside."""
    stand = turn("x", -90)
    body: Material = (lambda s: dirt(gloss(s, arr(BLUE) * 1.4, 0.4, 0.4), s, smooth(0.9, 0.1, s.p[:, 2]) * 0.4)) if old else (lambda s: gloss(s, BLUE, 1.1))
    arch = material(lambda p: (p[:, 0] ** 2 + (p[:, 2] - 0.34) ** 2 < 0.37**2))
    side = sheet((3.0, 1.2), body, 60)
    side.skip = arch
    made = [m.moved(stand @ turn("z", 17 if rear else 0), (0, -0.06, 0.31)) for m in wheel(old, 200)]
    wall = side.moved(turn("x", 90), (0, -0.005, 0.85))
    wall.skip = arch
    made += [wall, sheet((2.0, 0.9), plain((0.010, 0.010, 0.010), 0)).moved(turn("x", 90), (0, -0.3, 0.62))]
    made.append(tube([(0.372 * np.cos(t), 0.0, 0.34 + 0.372 * np.sin(t)) for t in np.linspace(-0.3, np.pi + 0.3, 40)], 0.008, body))
    room = Room(seed=9, shadow=lambda x, y: np.asarray(0.8 * smooth(0.35, -0.05, y) * smooth(2.2, 1.6, np.abs(x)), dtype=F))
    x = 0.42 if rear else -0.38
    return Scene(Shot((x, 1.35, 0.58), (0.0, 0, 0.34), 42, exposure=1.25), made, room)


def tread(old: bool) -> Scene:
    """The running surface of a tyre and its shoulder with the date code."""
    code = lettering("2209" if old else "0426", (600, 200), 700, 0.8, 0.06)

    def look(s: Surface) -> A:
        u, v = s.uv[:, 0] * 2 * np.pi * 0.31, s.uv[:, 1]
        worn = 0.45 if old else 1.0
        zig = np.abs(((v - 0.105) / 0.032 + 0.5 + 0.13 * np.abs((u / 0.035) % 1 - 0.5) * 4) % 1 - 0.5)
        groove = smooth(0.12, 0.07, zig) * (v > 0.06) * (v < 0.235)
        sipe = smooth(0.05, 0.03, np.abs((u / 0.022 + np.floor(v / 0.032) * 0.37) % 1 - 0.5)) * smooth(0.25, 0.35, zig) * (v > 0.065) * (v < 0.23) * worn
        out = rubber(s, 0.45 if old else 0.0)
        out = mix(out, arr(0.004, 0.004, 0.004), np.asarray(groove * (0.55 if old else 1.0), dtype=F))
        out = mix(out, arr(0.004, 0.004, 0.004), np.asarray(sipe * 0.9, dtype=F))
        at = (0.470 - s.uv[:, 0]) / 0.050 + 0.5
        mark = sample(code, at, (v - 0.008) / 0.028)
        edge = mark - sample(code, at + 0.02, (v - 0.0092) / 0.028)
        out = np.asarray(out * (1 + 1.6 * mark[:, None]) + 0.16 * np.clip(edge, 0, 1)[:, None], dtype=F)
        if old:
            crack = smooth(0.035, 0.0, np.abs(fbm(s.uv[:, 0] * 60, v * 90, 4, 3) - 0.5)) * smooth(0.075, 0.02, v)
            out = mix(out, arr(0.003, 0.003, 0.003), np.asarray(crack, dtype=F))
            out = dirt(out, s, np.full(len(v), 0.18, dtype=F) + groove * 0.4)
        return np.asarray(out, dtype=F)

    profile = [(0.238, 0.085), (0.262, 0.092), (0.288, 0.084), (0.303, 0.064), (0.309, 0.03), (0.311, 0.0), (0.309, -0.03), (0.303, -0.064), (0.288, -0.084), (0.25, -0.092)]
    made = [bench(4.0).moved(by=(0, 0, -0.30)), lathe(profile, look, 400, 10).moved(turn("z", -100) @ np.eye(3, dtype=F)).moved(turn("x", 90))]
    return Scene(Shot((0.28, -0.50, 0.42), (0.05, -0.03, 0.225), 36, exposure=1.7), made, low_room(bright=1.3))


def torque() -> Scene:
    """Wheel bolts being tightened."""
    stand = turn("x", -90)
    made = [m.moved(stand, (0, 0, 0.31)) for m in wheel(False, 200)[:3]]
    bolt = material(lambda s: steel(s, (0.62, 0.61, 0.56), 0.15))
    hub = lathe([(0, 0.012), (0.028, 0.012), (0.030, 0.002), (0.064, 0.002)], lambda s: gloss(s, (0.40, 0.41, 0.42), 0.9, 0.15), 96)
    made.append(hub.moved(stand, (0, 0, 0.31)))
    for k in range(4):
        a = np.pi / 4 + k * np.pi / 2
        x, z = 0.046 * np.cos(a), 0.31 + 0.046 * np.sin(a)
        made.append(lathe([(0, 0.024), (0.0095, 0.024), (0.0098, 0.012), (0.0135, 0.008), (0.0135, 0.002)], bolt, 6, 2).moved(stand, (x, 0, z)))
    x, z = 0.046 * np.cos(np.pi / 4), 0.31 + 0.046 * np.sin(np.pi / 4)
    made.append(lathe([(0.013, 0.012), (0.015, 0.014), (0.015, 0.05), (0.0, 0.052)], lambda s: chrome(s, 0.1), 48).moved(stand, (x, 0, z)))
    made.append(lathe([(0.017, 0.045), (0.022, 0.05), (0.022, 0.072), (0.0, 0.075)], lambda s: chrome(s, 0.1), 64).moved(stand, (x, 0, z)))
    ex, ez = x + 0.40, z + 0.16

    def along(t: float) -> tuple[float, float, float]:
        return (x + (ex - x) * t, 0.061, z + (ez - z) * t)

    scale = lettering("60  70  80  90  100 N·m", (900, 90), 600, 0.8)

    def shaft(s: Surface) -> A:
        ink = sample(scale, 1 - (s.uv[:, 1] - 0.02) / 0.13, (s.uv[:, 0] * 4) % 1) * (s.uv[:, 1] < 0.16)
        return mix(steel(s, (0.66, 0.67, 0.68), 0.1), arr(0.01, 0.01, 0.01), np.asarray(ink, dtype=F))

    def grip(s: Surface) -> A:
        knurl = 0.7 + 0.3 * np.sin(s.uv[:, 1] * 1500) * np.sin(s.uv[:, 0] * 120)
        return np.asarray(plain((0.30, 0.02, 0.015), 0.6, 0.3)(s) * knurl[:, None], dtype=F)

    made += [tube([along(0.05), along(0.72)], 0.0125, shaft, 48), tube([along(0.70), along(1.0)], 0.017, grip, 48), tube([along(0.99), along(1.03)], 0.014, lambda s: steel(s))]
    skin = material(lambda s: plain((0.03, 0.05, 0.09), 0.3, 0.5)(s))
    for k, t in enumerate((0.80, 0.845, 0.89, 0.935)):
        c = along(t)
        ring = [(c[0] + 0.4 * 0.0, 0.061 + 0.027 * np.cos(q), c[2] + 0.027 * np.sin(q)) for q in np.linspace(-2.2, 2.0, 12)]
        made.append(tube(ring, 0.0105 - 0.0006 * k, skin, 20, 4))
    made.append(rounded((0.055, 0.030, 0.035), 0.028, skin).moved(turn("y", -22), (ex - 0.055, 0.035, ez - 0.045)))
    made.append(tube([(ex - 0.05, 0.02, ez - 0.05), (ex + 0.12, 0.10, ez - 0.22), (ex + 0.25, 0.3, ez - 0.45)], [0.035, 0.045, 0.055], plain((0.05, 0.055, 0.06), 0.1, 0.5)))
    made.append(sheet((3, 1.6), lambda s: gloss(s, BLUE, 1.0)).moved(turn("x", 90), (0, -0.16, 1.45)))
    room = Room(seed=9)
    return Scene(Shot((0.16, 0.86, 0.52), (0.14, 0, 0.36), 40, exposure=1.25), made, room)


def floor_pan(old: bool) -> Scene:
    """Under the front floor, car on the lift (drawn face up)."""

    def lift(x: A, y: A) -> A:
        rib = 0.012 * smooth(0.03, 0.018, np.abs((y + 0.15) % 0.3 - 0.15)) * smooth(0.62, 0.56, np.abs(x))
        return np.asarray(rib, dtype=F)

    chalk = lettering("47", (300, 220), 400, 0.8)

    def look(s: Surface) -> A:
        x, y = s.p[:, 0], s.p[:, 1]
        s.bump(lambda u, v: np.asarray(0.004 * fbm(u * 90, v * 90, 3, 6), dtype=F), 1.0)
        coat = gloss(s, (0.055, 0.058, 0.06), 0.7, 0.35)
        edge = gloss(s, BLUE, 0.9, 0.1)
        out = mix(coat, edge, smooth(0.60, 0.66, np.abs(x) + 0.05 * fbm(x * 6, y * 6, 3, 3)))
        if old:
            out = dirt(out, s, np.asarray(0.95 + 0 * x, dtype=F))
            oil = smooth(0.45, 0.62, fbm(x * 3, y * 3 + 4, 4, 31))
            out = mix(out, arr(0.015, 0.012, 0.009) * s.light() + 0.5 * s.mirror(0.4) * 0.08, np.asarray(oil * 0.85, dtype=F))
            return out
        ink = sample(chalk, (x - 0.16) / 0.2 + 0.5, (y - 0.0) / 0.15 + 0.5) * smooth(0.3, 0.6, noise(x * 500, y * 500, 4))
        return mix(out, arr(0.75, 0.75, 0.72) * s.light(), np.asarray(ink * 0.8, dtype=F))

    pipe: Material = (lambda s: dirt(rusty(s, 40, 5), s, np.full(len(s.p), 0.5, dtype=F))) if old else (lambda s: steel(s, (0.50, 0.42, 0.26), 0.2))
    tail: Material = (lambda s: rusty(s, 18, 6)) if old else (lambda s: steel(s, (0.42, 0.42, 0.42), 0.3))
    made = [sheet((1.5, 1.2), look, 240, lift)]
    made += [tube([(-0.75, y, 0.022), (-0.2, y, 0.022), (0.1, y + 0.03, 0.022), (0.75, y + 0.03, 0.022)], 0.0055, pipe) for y in (-0.20, -0.225)]
    made.append(tube([(-0.75, 0.26, 0.06), (0.1, 0.25, 0.06), (0.75, 0.30, 0.06)], 0.028, tail))
    made += [lathe([(0, 0.014), (0.012, 0.014), (0.013, 0.006), (0.02, 0.004), (0.02, 0)], pipe, 6, 2).moved(by=(x, y, 0.0)) for x, y in ((-0.45, -0.4), (0.4, -0.41), (-0.5, 0.42), (0.45, 0.44))]
    return Scene(Shot((0.05, -0.95, 0.72), (0.0, 0.0, 0.0), 50, exposure=1.25), made, low_room(bright=1.1))


def axle(old: bool) -> Scene:
    """Rear axle, springs and bracket, from behind and below (drawn upright)."""
    fresh = plain((0.018, 0.018, 0.02), 1.0, 0.12)
    base: Material = (lambda s: dirt(plain((0.03, 0.03, 0.032), 0.4, 0.5)(s), s, np.full(len(s.p), 0.85, dtype=F))) if old else fresh
    spring: Material = (lambda s: dirt(rusty(s, 16, 6), s, np.full(len(s.p), 0.15, dtype=F))) if old else fresh
    bolt: Material = (lambda s: rusty(s, 60, 2)) if old else (lambda s: steel(s, (0.60, 0.56, 0.40), 0.2))
    shock: Material = (lambda s: dirt(gloss(s, (0.1, 0.1, 0.1), 0.4, 0.4), s, np.full(len(s.p), 0.7, dtype=F))) if old else (lambda s: gloss(s, (0.22, 0.03, 0.02), 1.0, 0.1))
    under = material(lambda s: dirt(gloss(s, (0.06, 0.062, 0.065) if old else (0.11, 0.15, 0.20), 0.5, 0.4), s, np.full(len(s.p), 0.85 if old else 0.05, dtype=F)))
    made = [sheet((3, 2), under).moved(turn("x", 90), (0, 0.5, 0.2)), tube([(-0.9, 0, 0), (0.9, 0, 0)], 0.04, base, 48)]
    nose = [(0, 0.13), (0.06, 0.125), (0.10, 0.095), (0.115, 0.05), (0.13, 0.045), (0.13, 0.02), (0.11, 0.01), (0.09, -0.06), (0.0, -0.08)]
    made.append(lathe(nose, base, 96).moved(turn("x", 90), (-0.18, 0, 0)))
    for k in range(10):
        a = k * np.pi / 5
        made.append(lathe([(0, 0.012), (0.008, 0.012), (0.009, 0.0)], bolt, 6, 2).moved(turn("x", 90), (-0.18 + 0.121 * np.cos(a), -0.044, 0.121 * np.sin(a))))
    for k in range(4):
        made.append(rounded((0.03, 0.55 - 0.09 * k, 0.0042), 0.003, spring).moved(by=(0.38, 0, -0.055 - 0.0095 * k)))
    made.append(rounded((0.052, 0.06, 0.007), 0.004, spring).moved(by=(0.38, 0, -0.10)))
    for y in (-0.045, 0.045):
        made.append(tube([(0.335, y, -0.12), (0.335, y, 0.03), (0.36, y, 0.052), (0.40, y, 0.052), (0.425, y, 0.03), (0.425, y, -0.12)], 0.007, bolt, 20, 6))
        made += [lathe([(0, 0.0), (0.012, 0.0), (0.0125, 0.012)], bolt, 6, 2).moved(by=(x, y, -0.122)) for x in (0.335, 0.425)]
    made += [tube([(0.5, -0.06, -0.08), (0.47, 0.1, 0.14)], 0.026, shock, 40), tube([(0.47, 0.1, 0.14), (0.45, 0.25, 0.36)], 0.033, shock, 40)]
    made.append(tube([(-0.9, -0.05, -0.02), (-0.2, -0.04, 0.055), (0.5, -0.05, 0.03)], 0.004, bolt))
    return Scene(Shot((0.30, -0.95, -0.16), (0.12, 0, 0.0), 48, exposure=1.5), made, low_room(bright=1.2))


def bumper_off() -> Scene:
    """The front bumper on the bench with its bolts and clips."""
    made = [bench(4), rounded((0.76, 0.045, 0.055), 0.042, lambda s: chrome(s, 0.12)).moved(by=(0, 0.12, 0.06))]
    for x in (-0.36, 0.36):
        made.append(rounded((0.028, 0.035, 0.085), 0.024, lambda s: chrome(s, 0.1)).moved(by=(x, 0.085, 0.08)))
    for x in (-0.765, 0.765):
        made.append(rounded((0.03, 0.14, 0.052), 0.028, lambda s: chrome(s, 0.12)).moved(by=(x, 0.24, 0.06)))
    made.append(sheet((0.62, 0.2), lambda s: plain((0.05, 0.16, 0.06), 0.0)(s) * (0.85 + 0.3 * noise(s.p[:, 0] * 700, s.p[:, 1] * 700, 3))[:, None]).moved(by=(0, -0.12, 0.001)))
    for k in range(5):
        made.append(tube([(-0.25 + 0.05 * k, -0.16, 0.006), (-0.25 + 0.05 * k + 0.008, -0.10, 0.006)], 0.0045, lambda s: rusty(s, 90, 4)))
        made.append(lathe([(0, 0.01), (0.009, 0.01), (0.0095, 0)], lambda s: rusty(s, 90, 4), 6, 2).moved(by=(-0.25 + 0.05 * k, -0.165, 0.001)))
        made.append(tube([(0.06 + 0.05 * k, -0.16, 0.006), (0.06 + 0.05 * k - 0.006, -0.10, 0.006)], 0.0045, lambda s: steel(s, (0.6, 0.58, 0.45), 0.15)))
        made.append(lathe([(0, 0.01), (0.009, 0.01), (0.0095, 0)], lambda s: steel(s, (0.6, 0.58, 0.45), 0.15), 6, 2).moved(by=(0.06 + 0.05 * k, -0.165, 0.001)))
    made += [card("OLD", (-0.15, -0.05), (0.1, 0.035)), card("NEW", (0.15, -0.05), (0.1, 0.035))]
    return Scene(Shot((0.12, -0.85, 0.62), (0.0, 0.05, 0.02), 52, exposure=1.2), made, low_room())


