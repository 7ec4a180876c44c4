"""Close-ups of paint, numbers, gauges, seals and the interior."""

from __future__ import annotations

import numpy as np
from draw3d import A, F, Material, Mesh, Surface, arr, fbm, lathe, mix, noise, rounded, sheet, smooth, spots, tube, turn
from draw_camera import Shot
from draw_car import VIEWS, Look, car, car_room
from draw_looks import (
    BLUE,
    chalky,
    chrome,
    dirt,
    font,
    gloss,
    lettering,
    plain,
    rusty,
    sample,
    steel,
)
from draw_parts import Scene, low_room
from PIL import Image, ImageDraw, ImageFilter


def whole(view: str, look: Look) -> Scene:
    """One of the eight views."""
    wide = 53 if view in ("left", "right") else 29 if view in ("front", "rear") else 41
    return Scene(Shot(VIEWS[view], (0, 0, 0.62), wide, exposure=1.2), car(look), car_room())


def on_car(look: Look, eye: tuple[float, float, float], at: tuple[float, float, float], wide: float, bright: float = 1.2) -> Scene:
    """A closer look at the car."""
    return Scene(Shot(eye, at, wide, exposure=bright), car(look), car_room())


def _crown(x: A, y: A) -> A:
    return np.asarray(-0.10 * x**2 - 0.06 * y**2, dtype=F)


def panel(look: Material, extra: list[Mesh] | None = None, eye: tuple[float, float, float] = (0.0, -0.78, 0.42), wide: float = 46, bright: float = 1.25) -> Scene:
    """A gently crowned panel under the strip lights."""
    made = [sheet((2.2, 1.7), look, 60, _crown), *(extra or [])]
    return Scene(Shot(eye, (0, -0.02, 0), wide, exposure=bright), made, low_room())


def chips(old: bool) -> Scene:
    def look(s: Surface) -> A:
        x, y = s.p[:, 0], s.p[:, 1]
        seam = smooth(0.006, 0.004, np.abs(x - 0.52 - 0.05 * y))
        if not old:
            return mix(gloss(s, BLUE, 1.25), arr(0.004, 0.004, 0.005), seam)
        out = chalky(s, BLUE, 1.1)
        wx, wy = x + 0.012 * (fbm(x * 60, y * 60, 3, 2) - 0.5), y + 0.012 * (fbm(x * 60, y * 60, 3, 4) - 0.5)
        for scale, share, seed in ((16, 0.30, 5), (36, 0.35, 7)):
            out = mix(out, arr(0.38, 0.36, 0.32) * s.light(), spots(wx * scale, wy * scale, share, seed, 0.07, 0.20))
            out = mix(out, rusty(s, 60), spots(wx * scale, wy * scale, share, seed, 0.035, 0.14))
        run = smooth(0.55, 0.7, fbm(x * 9, y * 3, 4, 3)) * 0.25
        return mix(mix(out, arr(0.3, 0.33, 0.36) * s.light(), run), arr(0.004, 0.004, 0.005), seam)

    return panel(look)


def oxidation(old: bool) -> Scene:
    def look(s: Surface) -> A:
        x, y = s.p[:, 0], s.p[:, 1]
        gutter = smooth(0.006, 0.003, np.abs(np.abs(x) - 0.62))
        if old:
            out = chalky(s, arr(BLUE) * 1.3, 1.6)
            wipe = smooth(0.05, 0.035, np.abs(y + 0.08 + 0.12 * x)) * smooth(0.34, 0.28, np.abs(x))
            out = mix(out, gloss(s, BLUE, 0.8, 0.15), np.asarray(wipe * 0.8, dtype=F))
        else:
            out = gloss(s, BLUE, 1.25)
            out = mix(out, chalky(s, BLUE, 1.0), np.asarray(0.35 * smooth(0.54, 0.61, np.abs(x)), dtype=F))
        return mix(out, chrome(s, 0.3 if old else 0.0), gutter)

    return panel(look, eye=(0.05, -0.85, 0.36))


def swirls(old: bool) -> Scene:
    """A lamp held to the door: scratches ring its reflection."""

    def look(s: Surface) -> A:
        x, y = s.p[:, 0] - 0.04, s.p[:, 1] + 0.02
        r, a = np.hypot(x, y * 1.15), np.arctan2(y, x)
        core = np.exp(-((r / 0.035) ** 2)) * 7 + np.exp(-((r / 0.012) ** 2)) * 12
        base = gloss(s, arr(BLUE) * (1.15 if old else 0.9), 0.45, 0.25 if old else 0.02)
        if old:
            ring = np.zeros_like(r)
            for k in range(4):
                bend = r * 140 + 6 * fbm(a * 1.5 + 3 * k, r * 3, 2, 50 + k)
                arc = smooth(0.80, 0.93, noise(bend * 2.4, a * (3 + k) + 9 * noise(np.floor(bend * 2.4), 0 * r, 3), 60 + k))
                ring = np.maximum(ring, arc * (0.6 + 0.4 * noise(a * 9, r * 30, 2)))
            glow = ring * (1.5 * np.exp(-r / 0.11) + 0.10) + 0.35 * np.exp(-r / 0.09)
            base = base + glow[:, None] * arr(0.9, 0.95, 1.0)
        else:
            base = base + (0.10 * np.exp(-r / 0.05))[:, None]
        return np.asarray(base + core[:, None] * arr(1.0, 0.98, 0.9), dtype=F)

    return Scene(Shot((0, -0.12, 0.66), (0, 0, 0), 52, exposure=1.1), [sheet((2, 1.6), look, 40)], low_room(bright=0.55))


def reflection(old: bool) -> Scene:
    """The tailgate tilted to show the strip lights."""

    def look(s: Surface) -> A:
        s.bump(lambda u, v: np.asarray(0.0006 * fbm(u * 70, v * 70, 2, 8), dtype=F), 0.5 if old else 0.02)
        x, y = s.p[:, 0], s.p[:, 1]
        out = gloss(s, arr(BLUE) * (1.4 if old else 0.9), 0.9 if old else 1.4, 0.42 if old else 0.0)
        handle = smooth(0.004, 0.002, np.maximum(np.abs(x) - 0.13, np.abs(y + 0.20) - 0.014))
        return mix(out, chrome(s, 0.4 if old else 0), handle)

    return panel(look, eye=(0.0, -0.95, 0.30), wide=40, bright=1.15)


def gauge(value: str, old: bool) -> Scene:
    """A film thickness gauge on a panel."""
    shown = Image.new("RGB", (500, 300), (168, 182, 158))
    draw = ImageDraw.Draw(shown)
    draw.text((250, 135), value, (22, 28, 24), font=font(170, 600), anchor="mm")
    draw.text((470, 265), "µm  Fe", (22, 28, 24), font=font(46, 500), anchor="rm")
    draw.text((30, 265), "PTG-1", (40, 48, 42), font=font(40, 400), anchor="lm")
    lcd = (np.asarray(shown, dtype=F) / 255) ** 2.2

    def display(s: Surface) -> A:
        return np.asarray(sample(lcd, s.uv[:, 0] / 0.052 + 0.5, s.uv[:, 1] / 0.031 + 0.5) * 0.95 + 0.04 * s.mirror(0.1), dtype=F)

    def body(s: Surface) -> A:
        return mix(plain((0.025, 0.026, 0.028), 0.5, 0.4)(s), plain((0.62, 0.30, 0.02), 0.6, 0.3)(s), smooth(0.027, 0.029, np.abs(s.p[:, 0])))

    parts = [rounded((0.034, 0.062, 0.013), 0.010, body).moved(by=(0, 0, 0))]
    parts.append(rounded((0.030, 0.019, 0.003), 0.002, plain((0.01, 0.01, 0.01))).moved(by=(0, 0.030, 0.0125)))
    parts.append(sheet((0.052, 0.031), display).moved(by=(0, 0.030, 0.0158)))
    for k, tone in enumerate(((0.3, 0.02, 0.02), (0.05, 0.05, 0.055), (0.05, 0.05, 0.055))):
        parts.append(lathe([(0, 0.003), (0.006, 0.002), (0.007, 0)], plain(tone, 0.6), 40).moved(by=(-0.018 + 0.018 * k, -0.022, 0.013)))
    lean = turn("x", 26)
    parts = [m.moved(lean, (0, 0.02, 0.062)) for m in parts]
    parts.append(lathe([(0.0, 0.052), (0.011, 0.05), (0.011, 0.012), (0.007, 0.0), (0, 0)], lambda s: steel(s, (0.5, 0.5, 0.5), 0.15), 48).moved(by=(0, -0.035, -0.002)))
    grips: Material = plain((0.04, 0.07, 0.13), 0.3, 0.5)
    parts += [tube([(0.11, 0.02 + k * 0.022 - 0.03, 0.02 + 0.012 * k), (0.055, 0.02 + k * 0.022 - 0.03, 0.045 + 0.012 * k), (0.030, 0.02 + k * 0.022 - 0.03, 0.060 + 0.011 * k)], 0.011, grips) for k in range(3)]
    parts.append(rounded((0.05, 0.045, 0.03), 0.028, grips).moved(by=(0.15, 0.0, 0.012)))

    def look(s: Surface) -> A:
        x, y = s.p[:, 0], s.p[:, 1]
        out = chalky(s, BLUE, 1.0) * 0.8 + gloss(s, BLUE, 0.6, 0.4) * 0.2 if old else gloss(s, BLUE, 1.2)
        cross = np.minimum(np.abs(x - 0.09), np.abs(y + 0.10))
        mark = smooth(0.0016, 0.001, cross) * (np.hypot(x - 0.09, y + 0.10) < 0.012)
        mark = np.maximum(mark, smooth(0.0016, 0.001, np.minimum(np.abs(x + 0.12), np.abs(y + 0.10))) * (np.hypot(x + 0.12, y + 0.10) < 0.012))
        near = smooth(0.10, 0.02, np.hypot((x - 0.03) * 0.7, y - 0.01))
        return mix(np.asarray(out * (1 - 0.55 * near)[:, None], dtype=F), arr(0.8, 0.8, 0.75), np.asarray(mark, dtype=F))

    made = [sheet((2.2, 1.7), look, 60, _crown), *parts]
    return Scene(Shot((-0.03, -0.30, 0.30), (0.012, 0.008, 0.04), 40, exposure=1.25), made, low_room())


def beading() -> Scene:
    def dome(u: A, v: A, scale: float, share: float, seed: int) -> A:
        x, y = u * scale, v * scale
        xi, yi = np.floor(x), np.floor(y)
        r = 0.16 + 0.26 * noise(xi, yi, seed + 3)
        d = np.hypot(x - xi - 0.3 - 0.4 * noise(xi, yi, seed + 1), y - yi - 0.3 - 0.4 * noise(xi, yi, seed + 2)) / r
        return np.asarray(np.where((noise(xi, yi, seed) < share) & (d < 1), np.sqrt(np.clip(1 - d * d, 0, 1)) * r / scale, 0), dtype=F)

    def height(u: A, v: A) -> A:
        return np.maximum.reduce([dome(u, v, 34, 0.75, 11), dome(u + 3, v + 5, 70, 0.6, 21), dome(u + 9, v, 150, 0.4, 31)])

    def look(s: Surface) -> A:
        flat = gloss(s, BLUE, 1.25)
        h = height(s.uv[:, 0], s.uv[:, 1])
        s.bump(height, 1.1, 2e-4)
        drop = arr(BLUE) * s.light() * 0.8 + (0.06 + 0.9 * (1 - s.facing) ** 3)[:, None] * s.mirror(0.0) + 0.02
        spark = smooth(0.93, 0.985, (s.n * arr(0.3, -0.35, 0.88)).sum(-1) / 0.995)
        drop = drop + (spark * 1.2)[:, None]
        return mix(flat, drop, smooth(0.0, 0.0006, h))

    return panel(look, eye=(0.0, -0.46, 0.26), wide=44, bright=1.15)


def wiping() -> Scene:
    """A cloth levels the coating on the roof."""

    def look(s: Surface) -> A:
        x, y = s.p[:, 0], s.p[:, 1]
        out = gloss(s, BLUE, 1.25)
        wet = smooth(0.0, 0.05, x + 0.10 + 0.04 * np.sin(y * 30)) * smooth(0.62, 0.5, x) * smooth(0.42, 0.33, np.abs(y))
        band = 0.5 + 0.5 * np.cos(fbm(x * 4, y * 9, 3, 3)[:, None] * 26 + arr(0.0, 2.1, 4.2))
        film = arr(0.05, 0.09, 0.16) * s.light() + 0.10 * band * s.mirror(0.3) + 0.05 * s.mirror(0.5)
        return mix(out, film, np.asarray(wet * 0.8, dtype=F))

    def folds(x: A, y: A) -> A:
        r = np.hypot(x / 0.17, y / 0.13)
        pile = smooth(1.0, 0.3, r) * (0.022 + 0.022 * fbm(x * 14 + 3, y * 11, 3, 5)) + 0.004
        return np.asarray(pile, dtype=F)

    def towel(s: Surface) -> A:
        loop = 0.8 + 0.4 * noise(s.uv[:, 0] * 900, s.uv[:, 1] * 900, 6)
        hem = smooth(0.118, 0.124, np.maximum(np.abs(s.uv[:, 0]) - 0.04, np.abs(s.uv[:, 1]) + 0.0))
        return np.asarray(mix(arr(0.52, 0.36, 0.05), arr(0.30, 0.18, 0.02), np.asarray(hem, dtype=F)) * s.light() * loop[:, None], dtype=F)

    glove: Material = plain((0.03, 0.05, 0.10), 0.5, 0.3)
    hand = [rounded((0.05, 0.042, 0.022), 0.020, glove).moved(turn("z", -20), (-0.03, -0.02, 0.062))]
    for k, (x, y) in enumerate(((0.03, 0.035), (0.045, 0.012), (0.045, -0.012), (0.032, -0.036))):
        hand.append(tube([(-0.02 + x, -0.02 + y, 0.066), (0.02 + x, -0.03 + y, 0.058), (0.055 + x, -0.04 + y * 1.2, 0.036)], 0.0105 - 0.0006 * abs(k - 1), glove))
    hand.append(tube([(-0.06, -0.03, 0.062), (-0.22, -0.14, 0.11), (-0.5, -0.40, 0.24)], [0.03, 0.036, 0.045], plain((0.10, 0.11, 0.12), 0.1, 0.6)))
    cloth_mesh = sheet((0.34, 0.25), towel, 80, folds)
    return panel(look, [cloth_mesh.moved(turn("z", -25), (-0.01, -0.02, 0.0)), *hand], eye=(0.22, -0.72, 0.46), wide=42)


def badge(old: bool) -> Scene:
    size = (0.20, 0.075)
    raw = Image.fromarray((lettering("1900", (1200, 450), 800, 0.95, 0.03) * 255).astype(np.uint8))
    shape, soft = np.asarray(raw, dtype=F) / 255, np.asarray(raw.filter(ImageFilter.GaussianBlur(9)), dtype=F) / 255

    def look(s: Surface) -> A:
        x, y = s.uv[:, 0], s.uv[:, 1]
        tip = 0.10 * np.maximum(x - 0.02, 0) if old else 0 * x
        u, v = x / size[0] + 0.5, (y - tip * 0.6) / size[1] + 0.5
        ink = sample(shape, u, v)
        fall = sample(soft, u - 0.012 - tip * 0.5, v + 0.05 + tip * 3)
        out = (chalky(s, BLUE, 0.8) * 0.6 + gloss(s, BLUE, 0.8, 0.3) * 0.4) if old else gloss(s, BLUE, 1.2)
        if old:
            ghost = smooth(0.2, 0.6, sample(soft, x / size[0] * 0.97 + 0.5, y / size[1] * 0.93 + 0.5)) * (1 - ink)
            out = dirt(out, s, np.asarray(0.35 + 0.7 * ghost, dtype=F))
        out = np.asarray(out * (1 - 0.75 * fall)[:, None], dtype=F)
        s.bump(lambda a, b: np.asarray(0.010 * sample(soft, a / size[0] + 0.5, (b - (0.10 * np.maximum(a - 0.02, 0) if old else 0) * 0.6) / size[1] + 0.5), dtype=F), 0.8, 3e-4)
        return mix(out, chrome(s, 0.75 if old else 0.0), np.asarray(ink, dtype=F))

    return Scene(Shot((0.03, -0.16, 0.21), (0, 0, 0), 52, exposure=1.25), [sheet((0.9, 0.7), look, 30)], low_room())
