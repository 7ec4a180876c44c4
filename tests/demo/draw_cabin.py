"""Close-ups of numbers, instruments, seals and the interior."""

from __future__ import annotations

import numpy as np
from draw3d import (
    A,
    F,
    Material,
    Mesh,
    Surface,
    arr,
    fbm,
    grid,
    lathe,
    material,
    mix,
    noise,
    rounded,
    sheet,
    smooth,
    spots,
    tube,
    turn,
)
from draw_camera import Shot
from draw_looks import BLUE, chrome, cloth, dirt, font, glass, gloss, lettering, plain, rubber, rusty, sample, steel
from draw_parts import Scene, bench, card, low_room
from PIL import Image, ImageDraw, ImageFilter


def stamped(text: str, kind: str) -> Scene:
    """A number stamped into metal. kind: "bulkhead" (painted, with the maker's plate), "bare", "block" (cast iron)."""
    size = (0.24, 0.036)
    raw = Image.fromarray((lettering(text, (1440, 216), 500, 0.80, 0.07) * 255).astype(np.uint8))
    dots = np.asarray(raw.filter(ImageFilter.GaussianBlur(4)), dtype=F) / 255

    def depth(u: A, v: A) -> A:
        wobble = 0.0004 * np.sin(np.floor(u / size[0] * len(text)) * 7.3)
        return np.asarray(-0.0022 * sample(dots, u / size[0] + 0.5, (v + wobble) / size[1] + 0.5), dtype=F)

    def look(s: Surface) -> A:
        x, y = s.uv[:, 0], s.uv[:, 1]
        ink = sample(dots, x / size[0] + 0.5, y / size[1] + 0.5)
        if kind == "block":
            pad = smooth(0.004, 0.0, np.maximum(np.abs(x) - 0.145, np.abs(y) - 0.034))
            s.bump(lambda u, v: np.asarray(depth(u, v) + 0.0016 * fbm(u * 260, v * 260, 3, 4) * smooth(0.0, 0.004, np.maximum(np.abs(u) - 0.145, np.abs(v) - 0.034)), dtype=F), 1.0, 3e-4)
            cast = dirt(gloss(s, (0.10, 0.13, 0.11), 0.4, 0.5), s, np.full(len(x), 0.3, dtype=F))
            mill = steel(s, (0.50, 0.49, 0.47), 0.3) * (0.86 + 0.14 * noise(x * 30, y * 2600, 3))[:, None]
            mill = mix(mill, rusty(s, 60, 3), np.asarray(0.35 * smooth(0.5, 0.7, fbm(x * 30, y * 30, 4, 2)), dtype=F))
            out = mix(cast, mill, pad)
        else:
            s.bump(depth, 1.0, 3e-4)
            out = dirt(gloss(s, BLUE if kind == "bulkhead" else (0.018, 0.018, 0.019), 0.8, 0.25), s, np.asarray(0.25 + 0 * x, dtype=F))
        return np.asarray(out * (1 - 0.75 * ink)[:, None], dtype=F)

    made = [sheet((0.9, 0.7), look, 30)]
    if kind == "bulkhead":
        made += _maker_plate(text)
    elif kind == "block":
        pipe = material(lambda s: rusty(s, 40, 4))
        made += [lathe([(0, 0.014), (0.012, 0.014), (0.014, 0.004), (0.02, 0.003), (0.02, 0)], pipe, 6, 2).moved(by=(x, 0.07, 0)) for x in (-0.12, 0.12)]
        made.append(tube([(-0.4, -0.10, 0.03), (-0.1, -0.085, 0.03), (0.15, -0.10, 0.03), (0.4, -0.08, 0.05)], 0.012, lambda s: rubber(s, 0.3)))
    return Scene(Shot((0.03, -0.22, 0.25), (0.0, 0.012 if kind == "bulkhead" else 0, 0), 52, exposure=1.3), made, low_room())


def _maker_plate(text: str) -> list[Mesh]:
    img = Image.new("L", (1100, 560), 0)
    d = ImageDraw.Draw(img)
    d.rounded_rectangle((14, 14, 1086, 546), 30, outline=255, width=8)
    d.text((550, 95), "TALMERE MOTOR WORKS", 255, font=font(74, 650), anchor="mm")
    for k, (label, value) in enumerate((("Type", "1900 Tourer"), ("Chassis no.", text), ("Built", "1972"))):
        y = 215 + 115 * k
        d.text((60, y), label, 255, font=font(54, 450), anchor="lm")
        d.rectangle((400, y - 45, 1040, y + 45), outline=255, width=4)
        d.text((720, y), value, 255, font=font(60, 600), anchor="mm")
    mask = np.asarray(img, dtype=F) / 255

    def look(s: Surface) -> A:
        ink = sample(mask, s.uv[:, 0] / 0.165 + 0.5, s.uv[:, 1] / 0.084 + 0.5)
        metal = steel(s, (0.55, 0.54, 0.50), 0.25) * (0.8 + 0.3 * fbm(s.uv[:, 0] * 60, s.uv[:, 1] * 60, 3, 3))[:, None]
        return mix(np.asarray(plain((0.012, 0.012, 0.013), 0.5)(s), dtype=F), metal, np.asarray(np.maximum(ink, 0), dtype=F))

    made = [rounded((0.086, 0.045, 0.001), 0.0009, look).moved(by=(0, 0.085, 0.001))]
    made += [lathe([(0, 0.004), (0.003, 0.003), (0.0045, 0)], lambda s: steel(s), 32).moved(by=(x, 0.085 + y, 0.0015)) for x in (-0.079, 0.079) for y in (-0.038, 0.038)]
    return made


def odometer(digits: str, unit: str = "km/h", maker: str = "") -> Scene:
    """The speedometer with its counter."""
    img = Image.new("RGB", (1200, 1200), (14, 14, 15))
    d = ImageDraw.Draw(img)
    for k in range(0, 181, 5):
        a = np.radians(225 - k * 1.5)
        long = 70 if k % 20 == 0 else 36
        p, q = 520, 520 - long
        d.line([(600 + p * np.cos(a), 600 - p * np.sin(a)), (600 + q * np.cos(a), 600 - q * np.sin(a))], (232, 228, 208), 9 if k % 20 == 0 else 4)
        if k % 20 == 0:
            d.text((600 + 385 * np.cos(a), 600 - 385 * np.sin(a)), str(k), (232, 228, 208), font=font(72, 500), anchor="mm")
    d.text((600, 790), unit, (232, 228, 208), font=font(56, 400), anchor="mm")
    d.text((600, 905), maker, (190, 188, 176), font=font(46, 500), anchor="mm")
    wide = 76
    left = 600 - wide * len(digits) / 2
    d.rounded_rectangle((left - 14, 340, left + wide * len(digits) + 14, 485), 14, fill=(2, 2, 2), outline=(120, 118, 108), width=4)
    for k, c in enumerate(digits):
        x = left + wide * k
        for row in range(130):
            tone = int(34 * np.cos((row - 65) / 65 * 1.25))
            d.line([(x + 4, 348 + row), (x + wide - 4, 348 + row)], (tone, tone, tone + 1))
        d.text((x + wide / 2, 413), c, (240, 238, 226), font=font(98, 560), anchor="mm")
    a = np.radians(225)
    d.line([(600 - 60 * np.cos(a), 600 + 60 * np.sin(a)), (600 + 440 * np.cos(a), 600 - 440 * np.sin(a))], (215, 70, 20), 12)
    d.ellipse((555, 555, 645, 645), fill=(40, 40, 42))
    face = (np.asarray(img, dtype=F) / 255) ** 2.2

    def dial(s: Surface) -> A:
        return np.asarray(sample(face, s.p[:, 0] / 0.104 + 0.5, s.p[:, 1] / 0.104 + 0.5) * 0.9 + 0.035 * s.mirror(0.0), dtype=F)

    def vinyl(s: Surface) -> A:
        s.bump(lambda u, v: np.asarray(0.0005 * fbm(u * 700, v * 700, 2, 3), dtype=F), 1.0, 4e-4)
        return plain((0.016, 0.016, 0.017), 0.7, 0.4)(s)

    made = [sheet((0.7, 0.6), vinyl, 20).moved(by=(0, 0, -0.004)), lathe([(0, 0), (0.0505, 0)], dial, 96, 4)]
    made.append(lathe([(0.0495, 0.0), (0.051, 0.008), (0.055, 0.010), (0.058, 0.006), (0.059, -0.004)], chrome, 128, 6))
    made += [m.moved(by=(0.135, 0.005, 0)) for m in (lathe([(0, 0), (0.036, 0)], plain((0.012, 0.012, 0.013), 0.6), 64), lathe([(0.035, 0.0), (0.037, 0.007), (0.041, 0.007), (0.043, -0.004)], chrome, 96, 6))]
    made.append(tube([(0.135, 0.005, 0.002), (0.115, 0.028, 0.002)], 0.0012, plain((0.6, 0.12, 0.02))))
    made.append(tube([(-0.16 + 0.0, -0.11, 0.05), (0.0, -0.072, 0.055), (0.16, -0.11, 0.05)], 0.011, plain((0.01, 0.01, 0.011), 1.0, 0.1)))
    return Scene(Shot((0.015, -0.05, 0.20), (0.012, -0.004, 0), 46, exposure=1.3), made, low_room())


def seal(old: bool) -> Scene:
    """The corner of a door opening with its seal."""
    tone: Material = (lambda s: dirt(gloss(s, BLUE, 0.6, 0.25), s, np.full(len(s.p), 0.45, dtype=F))) if old else (lambda s: gloss(s, BLUE, 1.1))

    def skin(s: Surface) -> A:
        if not old:
            return np.asarray(rubber(s, 0.0) * 1.1, dtype=F)
        crack = smooth(0.04, 0.0, np.abs(fbm(s.uv[:, 0] * 6, s.uv[:, 1] * 70, 4, 3) - 0.5)) * smooth(0.4, 0.55, fbm(s.uv[:, 0] * 3, s.uv[:, 1] * 12, 2, 7))
        return mix(rubber(s, 1.4), arr(0.004, 0.004, 0.004), np.asarray(crack, dtype=F))

    made = [rounded((0.06, 0.6, 0.05), 0.02, tone).moved(by=(-0.30, 0.1, 0.02)), rounded((0.5, 0.07, 0.05), 0.02, tone).moved(by=(0.1, -0.22, 0.02))]
    made.append(sheet((2, 1.6), lambda s: cloth(s, (0.035, 0.035, 0.037), 1500), 30).moved(by=(0.3, 0.2, -0.06)))
    r, flat = 0.017, 0.7 if old else 1.0
    if old:
        paths = [[(-0.232, 0.6, 0.05), (-0.232, 0.1, 0.05), (-0.230, -0.02, 0.05), (-0.225, -0.07, 0.055)], [(-0.19, -0.115, 0.075), (-0.165, -0.135, 0.052), (0.0, -0.142, 0.05), (0.6, -0.142, 0.05)]]
    else:
        paths = [[(-0.232, 0.6, 0.05), (-0.232, 0.1, 0.05), (-0.231, -0.04, 0.05), (-0.222, -0.10, 0.05), (-0.19, -0.132, 0.05), (-0.13, -0.141, 0.05), (0.0, -0.142, 0.05), (0.6, -0.142, 0.05)]]
    stretch = arr([[1, 0, 0], [0, 1, 0], [0, 0, flat]])
    made += [tube(p, r, skin, 40, 30).moved(stretch, (0, 0, 0.05 * (1 - flat))) for p in paths]
    lip = [[(x + 0.014, y + 0.012, z - 0.012) for x, y, z in p] for p in paths]
    made += [tube(p, 0.007, skin, 20, 30) for p in lip]
    bright: Material = (lambda s: chrome(s, 0.6)) if old else chrome
    made.append(rounded((0.35, 0.012, 0.004), 0.003, bright).moved(by=(0.15, -0.245, 0.072)))
    if old:
        made += [rounded((0.006, 0.004, 0.003), 0.0028, lambda s: rubber(s, 1.0)).moved(turn("z", 40 * k), (-0.15 + 0.03 * k, -0.19 + 0.01 * (k % 2), 0.073)) for k in range(5)]
    return Scene(Shot((0.02, -0.55, 0.50), (-0.10, -0.04, 0.03), 44, exposure=1.45), made, low_room())


def seals_old_and_new() -> Scene:
    made = [bench()]
    for x, old in ((-0.07, True), (0.07, False)):

        def skin(s: Surface, old: bool = old) -> A:
            if not old:
                return np.asarray(rubber(s, 0.0), dtype=F)
            crack = smooth(0.05, 0.0, np.abs(fbm(s.uv[:, 0] * 6, s.uv[:, 1] * 90, 4, 3) - 0.5))
            return mix(rubber(s, 1.4), arr(0.004, 0.004, 0.004), np.asarray(crack, dtype=F))

        squash = arr([[1, 0, 0], [0, 1, 0], [0, 0, 0.5 if old else 1.0]])
        wall = 0.0165
        section = [
            tube([(0, -0.09, 0.020), (0, 0.25, 0.020)], wall, skin, 64),
            lathe([(0.0115, 0), (wall, 0)], skin, 64).moved(turn("x", 90), (0, -0.09, 0.020)),
            lathe([(0.0, 0), (0.0116, 0)], plain((0.003, 0.003, 0.003), 0), 64).moved(turn("x", 90), (0, -0.0895, 0.020)),
            rounded((0.024, 0.17, 0.003), 0.002, skin).moved(by=(0.012, 0.08, 0.003)),
        ]
        made += [m.moved(squash, (x, 0, 0)) for m in section]
    made += [card("OLD  6.2 mm", (-0.07, -0.14), (0.1, 0.032)), card("NEW  11.8 mm", (0.07, -0.14), (0.1, 0.032))]
    return Scene(Shot((0, -0.40, 0.24), (0, -0.03, 0.01), 46, exposure=1.35), made, low_room())


def cushion(old: bool) -> Scene:
    """The driver's seat cushion, cloth with piping."""

    def lift(x: A, y: A) -> A:
        pleat = 0.010 * np.abs(np.sin((x + 0.03) / 0.075 * np.pi)) ** 0.6 * smooth(0.235, 0.21, np.abs(x))
        edge = smooth(0.30, 0.20, np.abs(x)) * smooth(0.30, 0.19, np.abs(y))
        return np.asarray(0.11 * edge + pleat * edge, dtype=F)

    def look(s: Surface) -> A:
        x, y = s.uv[:, 0], s.uv[:, 1]
        check = np.where((np.floor(x / 0.012) + np.floor(y / 0.012)) % 2 == 0, 1.0, 0.82)[:, None]
        middle = smooth(0.23, 0.226, np.abs(x))
        base = mix(arr(0.075, 0.055, 0.040), arr(0.36, 0.255, 0.15) * check, middle)
        out = cloth(s, base, 2400)
        out = out * (0.72 + 0.28 * smooth(0.002, 0.009, np.abs((x + 0.03) % 0.075 - 0.0)))[:, None]
        blot = smooth(0.20, 0.10, np.hypot(x + 0.03, (y + 0.02) * 1.2) + 0.12 * (fbm(x * 12, y * 12, 4, 3) - 0.5))
        rim_ = np.exp(-(((blot - 0.35) / 0.22) ** 2)) * (blot > 0.01)
        amount = (0.75 * blot + 0.35 * rim_) if old else 0.10 * blot
        out = mix(out, arr(0.085, 0.045, 0.018) * s.light(), np.asarray(np.clip(amount, 0, 1), dtype=F))
        if old:
            out = dirt(out, s, np.asarray(0.22 + 0 * x, dtype=F))
            gap = smooth(0.011, 0.007, np.abs(x - 0.195 - 0.004 * np.sin(y * 90))) * smooth(0.055, 0.045, np.abs(y + 0.05))
            foam = smooth(0.005, 0.002, np.abs(x - 0.195)) * smooth(0.050, 0.040, np.abs(y + 0.05))
            out = mix(mix(out, arr(0.005, 0.004, 0.004), np.asarray(gap, dtype=F)), arr(0.55, 0.42, 0.16), np.asarray(foam * 0.8, dtype=F))
        else:
            stitch = smooth(0.0016, 0.001, np.abs(x - 0.195)) * ((y / 0.006) % 1 < 0.6) * (np.abs(y + 0.05) < 0.06)
            out = mix(out, arr(0.55, 0.42, 0.27) * s.light(), np.asarray(stitch, dtype=F))
        return out

    made = [sheet((0.62, 0.62), look, 160, lift)]
    made.append(tube([(x, y, 0.075) for x, y in ((-0.25, -0.25), (0.25, -0.25))], 0.006, plain((0.03, 0.022, 0.016), 0.3)))
    made.append(sheet((2, 2), lambda s: cloth(s, (0.04, 0.042, 0.045), 1600), 30).moved(by=(0, 0, -0.02)))
    made.append(rounded((0.26, 0.07, 0.35), 0.06, lambda s: cloth(s, (0.30, 0.215, 0.13), 2400) * (0.7 + 0.3 * smooth(0.002, 0.01, np.abs((s.p[:, 0] + 0.03) % 0.075)))[:, None]).moved(turn("x", -14), (0, 0.36, 0.38)))
    return Scene(Shot((0.12, -0.62, 0.62), (0.0, 0.02, 0.10), 44, exposure=1.45), made, low_room())


def footwell(old: bool) -> Scene:
    """The driver's footwell from the door."""

    def carpet(s: Surface) -> A:
        u, v = s.uv[:, 0], s.uv[:, 1]
        pile = 0.6 + 0.8 * noise(u * 420, v * 420, 5) * (0.7 + 0.6 * noise(u * 90, v * 90, 6))
        out = np.asarray(arr(0.055, 0.068, 0.095) * s.light() * pile[:, None] * 1.5, dtype=F)
        if old:
            stain = smooth(0.26, 0.12, np.hypot(u + 0.05, v + 0.05) + 0.2 * (fbm(u * 8, v * 8, 4, 3) - 0.5))
            out = mix(out, arr(0.17, 0.075, 0.025) * s.light() * pile[:, None], np.asarray(stain * 0.9, dtype=F))
            out = dirt(out, s, np.asarray(0.3 + 0 * u, dtype=F))
            grit = spots(u * 90, v * 90, 0.16, 3, 0.1, 0.35)
            out = mix(out, arr(0.36, 0.32, 0.26) * s.light(), np.asarray(grit, dtype=F))
        else:
            stain = smooth(0.24, 0.12, np.hypot(u + 0.05, v + 0.05))
            out = mix(out, arr(0.10, 0.075, 0.06) * s.light() * pile[:, None], np.asarray(stain * 0.22, dtype=F))
        return out

    pedal: Material = (lambda s: dirt(rubber(s, 1.0), s, np.full(len(s.p), 0.6, dtype=F))) if old else (lambda s: rubber(s, 0.1))
    arm: Material = (lambda s: rusty(s, 40)) if old else plain((0.02, 0.02, 0.02), 0.7, 0.2)
    made = [sheet((1.3, 0.9), carpet, 40), sheet((1.3, 0.7), carpet, 40).moved(turn("x", 62), (0, 0.60, 0.30))]
    for x, w in ((-0.20, 0.035), (-0.04, 0.035), (0.14, 0.024)):
        tall = 0.035 if x < 0.1 else 0.085
        made.append(rounded((w, tall, 0.008), 0.006, pedal).moved(turn("x", 48), (x, 0.30, 0.17)))
        made += [rounded((w * 0.85, 0.003, 0.003), 0.002, pedal).moved(turn("x", 48), (x, 0.30 + k * 0.011, 0.176 + k * 0.012)) for k in (-2, -1, 0, 1, 2)]
        made.append(tube([(x, 0.315, 0.17), (x, 0.42, 0.33), (x, 0.46, 0.60)], 0.009, arm))
    made.append(rounded((0.05, 0.8, 0.06), 0.03, lambda s: gloss(s, BLUE, 0.7 if old else 1.1, 0.2 if old else 0)).moved(by=(-0.62, 0.1, 0.03)))
    made.append(sheet((1.6, 1.2), plain((0.012, 0.012, 0.012), 0.2)).moved(turn("x", 90), (0, 0.78, 0.9)))
    return Scene(Shot((-0.22, -0.50, 0.78), (-0.02, 0.14, 0.06), 52, exposure=1.6), made, low_room())


def dash(old: bool) -> Scene:
    """The dashboard top under the windscreen."""

    def bend(x: A, y: A) -> A:
        return np.asarray(-0.5 * np.maximum(-y - 0.05, 0) ** 1.6 * 1.6 - 0.04 * x**2, dtype=F)

    def look(s: Surface) -> A:
        x, y = s.uv[:, 0], s.uv[:, 1]
        s.bump(lambda u, v: np.asarray(0.0012 * fbm(u * 260, v * 260, 3, 3), dtype=F), 0.10, 6e-4)
        out = plain((0.022, 0.022, 0.024), 0.5, 1.0)(s)
        away = 0.012 * np.sin(x * 60) + 0.006 * np.sin(x * 170 + 1)
        line = np.abs(y - 0.02 - away)
        inside = smooth(0.13, 0.12, np.abs(x - 0.05))
        if old:
            out = dirt(out, s, np.asarray(0.30 + 0.25 * smooth(0.0, 0.2, y), dtype=F))
            wide = 0.0075 * smooth(0.13, 0.03, np.abs(x - 0.05)) + 0.0006
            out = mix(out, arr(0.34, 0.31, 0.26), np.asarray(smooth(wide + 0.006, wide + 0.003, line) * inside, dtype=F))
            return mix(out, arr(0.012, 0.009, 0.005), np.asarray(smooth(wide, wide * 0.5, line) * inside, dtype=F))
        return mix(out, arr(0.045, 0.044, 0.044) * s.light(), np.asarray(0.7 * smooth(0.0035, 0.002, line) * inside, dtype=F))

    made = [sheet((1.5, 0.62), look, 120, bend)]
    made.append(grid(np.stack(np.broadcast_arrays(np.linspace(-0.9, 0.9, 12)[:, None], (0.30 + np.linspace(0, 0.5, 8) * 0.0)[None, :], np.linspace(-0.02, 0.7, 8)[None, :]), -1).astype(F), lambda s: glass(s) * 0.5 + arr(0.45, 0.5, 0.55) * (0.5 + 0.5 * smooth(0.0, 0.5, s.p[:, 2]))[:, None]))
    for x in (-0.42, 0.42):
        made += [rounded((0.11, 0.012, 0.004), 0.003, plain((0.01, 0.01, 0.01), 0.6)).moved(by=(x, 0.19 + 0.014 * k, 0.002)) for k in range(3)]
    made.append(tube([(-0.75, -0.24, -0.05), (0.75, -0.24, -0.05)], 0.012, (lambda s: chrome(s, 0.5)) if old else chrome))
    return Scene(Shot((0.10, -0.50, 0.36), (0.04, 0.0, 0.0), 46, exposure=1.6), made, low_room(bright=1.15))


