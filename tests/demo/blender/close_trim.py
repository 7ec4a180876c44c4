"""Close-ups of trim: seals, seat, carpet, dashboard, dials, stamped numbers, bumper, tread."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path
from typing import Any

import base as b
import bench
import bpy
import car
import looks
import numpy as np
from close_chassis import _smooth
from form import smooth
from nodes import Shader, plain
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from wheel import wheel


def seal_rubber(before: bool) -> Any:
    s = Shader("seal")
    if not before:
        return s.done(s.principled(Base_Color=(0.011, 0.011, 0.012), Roughness=0.42, Normal=s.bump(s.noise(320, 3), 0.0002)))
    n = s.noise(30, 7, 0.62)
    u, v, _ = s.split(s.where("UV"))
    crack = s.mul(s.step(s.cells(30, "DISTANCE_TO_EDGE", vec=s.join(s.mul(u, 2.6), s.mul(v, 0.25), 0)), 0.035, 0.008), s.step(s.noise(14, 4), 0.40, 0.52))
    c = s.mix(s.step(n, 0.3, 0.7), (0.032, 0.030, 0.028), (0.125, 0.117, 0.105))
    c = s.mix(s.mul(s.step(s.noise(9, 6), 0.52, 0.7), 0.6), c, (0.20, 0.15, 0.10))
    return s.done(s.principled(Base_Color=s.mix(crack, c, (0.006, 0.006, 0.006)), Roughness=0.85, Normal=s.bump(s.add(s.mul(crack, -1.0), s.mul(n, 0.3)), 0.003)))


def door_seal(before: bool) -> None:
    """Lower front corner of a door opening, seen from outside; the flange carries the seal."""
    blue = bench.worn("sill", looks.BLUE if not before else (0.035, 0.085, 0.18), before, rust=0.22, dirt=0.42, scale=12, rough=0.35)
    turn = [(0.13 - 0.13 * math.cos(a), 0.13 - 0.13 * math.sin(a)) for a in np.radians(np.linspace(0, 90, 24))]
    path = [(0.0, 0.9), (0.0, 0.6), (0.0, 0.35), *turn, (0.35, 0.0), (0.6, 0.0), (0.9, 0.0)]
    px, pz = np.array(path).T
    px, pz = -px + 0.10, pz - 0.06
    d = np.concatenate([[0], np.cumsum(np.hypot(np.diff(px), np.diff(pz)))])
    k = np.linspace(0, d[-1], 240)
    x, z = np.interp(k, d, px), np.interp(k, d, pz)
    nx, nz = np.gradient(z), -np.gradient(x)
    length = np.hypot(nx, nz)
    nx, nz = -nx / length, -nz / length
    prof = [(0.30, 0.06), (0.12, 0.05), (0.075, 0.035), (0.062, 0.02), (0.055, 0.0), (0.030, -0.004), (0.018, 0.0), (0.0, 0.0), (-0.002, -0.01), (-0.004, -0.10)]
    rows = [np.stack([x + o * nx, np.full(240, y), z + o * nz], 1) for o, y in prof]
    b.grid("jamb", np.stack(rows), blue)
    rub = seal_rubber(before)
    rng = np.random.default_rng(3)
    if before:
        dent = np.interp(k, np.linspace(0, d[-1], 16), rng.uniform(-0.0035, 0.003, 16))
        lift = np.interp(k, np.linspace(0, d[-1], 22), rng.uniform(-0.003, 0.004, 22))
    else:
        dent = lift = np.zeros(240)
    bulb = np.stack([x + (0.004 + lift) * nx, 0.010 + dent, z + (0.004 + lift) * nz], 1)
    keep = slice(0, 240)
    parts = [keep] if not before else [slice(0, 118), slice(126, 240)]
    for part in parts:
        b.tube("bulb", bulb[part], 0.0088 if not before else 0.0078, rub, sides=24, flat=1.0 if not before else 0.78)
        lip = np.stack([x + 0.004 * nx, np.full(240, -0.002), z + 0.004 * nz], 1)
        b.tube("carrier", lip[part], 0.0050, rub, sides=16)
    if before:  # torn end curls out
        e = bulb[118]
        b.tube("shred", _smooth([tuple(e), (e[0] + 0.006, e[1] + 0.014, e[2] + 0.004), (e[0] + 0.003, e[1] + 0.024, e[2] + 0.014)], 12), 0.0045, rub, flat=0.5)
    carpet = looks.cloth("inner", (0.02, 0.02, 0.022), 500)
    b.mesh_of("inside", [(-0.9, -0.1, -0.7), (1, -0.1, -0.7), (1, -0.1, 1), (-0.9, -0.1, 1)], [(0, 1, 2, 3)], carpet, smooth=False)
    for q in ((0.060, 0.05), (-0.16, -0.092)):
        bench.bolt((q[0], -0.002 if q[1] > 0 else 0.0, q[1]), (-90, 0, 0), 0.007, plain("plug", (0.02, 0.02, 0.02), 0.5))
    bench.light(0.55, 0.9)
    b.lamp((-0.3, 0.9, 0.5), (0, 0, 0), (0.7, 0.5), 9)


def seals_side_by_side() -> None:
    bench.table(0, "wood")
    for x, before in ((0.20, True), (-0.20, False)):
        rub = seal_rubber(before)
        rng = np.random.default_rng(8)
        t = np.linspace(0, 2 * math.pi * 3.2, 260)
        r = 0.145 - 0.006 * t / 2 + (np.interp(t, np.linspace(0, 21, 30), rng.uniform(-0.006, 0.006, 30)) if before else 0.0)
        z = 0.009 + 0.0011 * t + (np.interp(t, np.linspace(0, 21, 24), rng.uniform(0, 0.004, 24)) if before else 0)
        path = np.stack([x + r * np.cos(t), r * np.sin(t), z], 1)
        b.tube("coil", path, 0.0085, rub, sides=20, flat=0.7 if before else 1.0)
        if not before:
            tag = b.box("label", (0.075, 0.045, 0.0006), (x + 0.02, 0.0, 0.004), plain("label", (0.62, 0.60, 0.53), 0.7), 0, (0, 0, 12))
            del tag
            b.text("words", "DOOR SEALS", 0.010, plain("ink", (0.02, 0.02, 0.03), 0.7), (x + 0.02, -0.008, 0.0045), (0, 0, 192), 0.0001)
            b.text("words", "OR-4-1900T", 0.010, plain("ink", (0.02, 0.02, 0.03), 0.7), (x + 0.022, 0.008, 0.0045), (0, 0, 192), 0.0001)
        else:
            for _ in range(14):
                a, q = rng.uniform(0, 6.28), rng.uniform(0.02, 0.2)
                b.box("crumb", rng.uniform(0.002, 0.008, 3), (x + q * math.cos(a), q * math.sin(a), 0.002), rub, 0, rng.uniform(0, 90, 3))
    bench.light(0.85, 1.1)


def seat_cloth(before: bool) -> Any:
    s = Shader("seat")
    x, y, _ = s.split(s.where())
    check = s.mul(s.add(s.math("SINE", s.mul(x, 900.0)), 1.0), s.add(s.math("SINE", s.mul(y, 900.0)), 1.0))
    fine = s.noise(900, 2)
    band = s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.mul(y, 1 / 0.0225)), -0.5)), 0.30, 0.34)
    c = s.mix(band, (0.060, 0.066, 0.075), (0.105, 0.112, 0.12))
    c = s.mix(s.mul(fine, 0.5), c, (0.17, 0.175, 0.18))
    r = s.add(s.math("SQRT", s.add(s.math("POWER", s.add(x, -0.04), 2.0), s.mul(s.math("POWER", s.add(y, 0.05), 2.0), 1.5))), s.mul(s.add(s.noise(13, 6, 0.6), -0.5), 0.09))
    blot, ring = s.step(r, 0.125, 0.105), s.mul(s.step(r, 0.098, 0.112), s.step(r, 0.132, 0.118))
    r2 = s.add(s.math("SQRT", s.add(s.math("POWER", s.add(x, 0.12), 2.0), s.math("POWER", s.add(y, -0.14), 2.0))), s.mul(s.add(s.noise(17, 6, 0.6), -0.5), 0.06))
    blot2 = s.step(r2, 0.062, 0.048)
    stain = s.add(s.mul(blot, 0.48), s.add(s.mul(ring, 0.42), s.mul(blot2, 0.38)))
    c = s.mix(s.mul(stain, 1.0 if before else 0.09), c, (0.085, 0.048, 0.020))
    if before:
        c = s.mix(s.mul(s.step(s.noise(6, 7, 0.65), 0.42, 0.7), 0.38), c, (0.16, 0.14, 0.115))
    return s.done(s.principled(Base_Color=c, Roughness=0.95, Sheen_Weight=0.25, Normal=s.bump(s.add(s.mul(check, 0.25), fine), 0.0012)))


def cushion(before: bool) -> None:
    x, y = np.meshgrid(np.linspace(-0.27, 0.27, 300), np.linspace(-0.27, 0.27, 360), indexing="ij")
    edge = (1 - (np.abs(x) / 0.27) ** 8) * (1 - (np.abs(y) / 0.27) ** 8)
    z = 0.085 * np.sqrt(np.clip(edge, 0, 1)) - 0.02 * np.exp(-((x / 0.16) ** 2 + (y / 0.17) ** 2))
    middle = smooth(0.205, 0.195, np.abs(y)) * smooth(0.215, 0.205, np.abs(x))
    pleat = np.abs(np.sin(np.pi * y / 0.075))
    z = z + middle * 0.012 * (pleat**0.45 - 0.6)
    for at in (0.20,):
        z = z - 0.010 * np.exp(-(((np.abs(y) - at) / 0.006) ** 2)) * (np.abs(x) < 0.25)
    if before:
        z = z + 0.003 * np.sin(23 * x + 3 * np.sin(14 * y)) * np.sin(19 * y)
    b.grid("cushion", np.stack([x, y, z], -1), seat_cloth(before))
    vinyl = bench.worn("vinyl", (0.018, 0.018, 0.019), before, rust=0, dirt=0.35, scale=14, rough=0.42, bumpy=0.0004)
    b.box("base", (0.535, 0.535, 0.16), (0, 0, -0.075), vinyl, 0.03)
    for s in (-1, 1):
        xs = np.linspace(-0.245, 0.245, 60)
        zz = np.interp(xs, x[:, 0], z[:, int(np.argmin(np.abs(y[0] - s * 0.20)))]) + 0.003
        b.tube("piping", np.stack([xs, np.full(60, s * 0.20), zz], 1), 0.0042, vinyl)
    if before:  # the seam, open over 60 mm, padding behind, thread ends
        sx = np.linspace(0.05, 0.11, 24)
        zz = np.interp(sx, x[:, 0], z[:, int(np.argmin(np.abs(y[0] - 0.075)))])
        w = 0.0055 * np.sin(np.linspace(0, math.pi, 24))
        b.grid("gape", np.stack([np.stack([sx, 0.075 + d * w, zz + 0.0022 + (0 if d else -0.0005)], 1) for d in (-1, 0, 1)]), plain("foam", (0.33, 0.24, 0.10), 0.95, bumpy=(500, 0.001)))
        for d in (-1, 1):
            b.tube("lip", np.stack([sx, 0.075 + d * w, zz + 0.003], 1), 0.0016, plain("hem", (0.03, 0.03, 0.034), 0.9))
        thread = plain("thread", (0.5, 0.48, 0.42), 0.8)
        for k in range(4):
            q = 0.06 + 0.013 * k
            b.tube("thread", _smooth([(q, 0.070, 0.079), (q + 0.004, 0.075, 0.086 + 0.002 * k), (q + 0.010, 0.081, 0.080)], 14), 0.0005, thread)
    bench.light(0.8, 1.1, warm=True)
    b.box("back", (0.16, 0.54, 0.7), (-0.36, 0, 0.27), seat_cloth(False) if not before else seat_cloth(True), 0.05, (0, -14, 0))
    b.box("floor", (3, 3, 0.02), (0, 0, -0.24), looks.cloth("carpet", (0.02, 0.02, 0.022), 400))


def footwell(before: bool) -> None:
    s = Shader("carpet")
    x, y, _ = s.split(s.where())
    pile = s.noise(420, 3, 0.7)
    c = s.mix(pile, (0.012, 0.013, 0.016), (0.055, 0.057, 0.062))
    r = s.add(s.math("SQRT", s.add(s.math("POWER", s.add(x, 0.04), 2.0), s.mul(s.math("POWER", s.add(y, -0.04), 2.0), 1.8))), s.mul(s.add(s.noise(8, 7, 0.62), -0.5), 0.22))
    stain = s.step(r, 0.22, 0.13)
    c = s.mix(s.mul(stain, 0.82 if before else 0.07), c, s.mix(s.noise(30, 6), (0.085, 0.034, 0.012), (0.17, 0.075, 0.028)))
    if before:
        c = s.mix(s.mul(s.step(s.noise(7, 7, 0.65), 0.42, 0.65), 0.55), c, (0.15, 0.13, 0.10))
        grit = s.step(s.noise(230, 2, 0.5), 0.66, 0.69)
        c = s.mix(grit, c, (0.30, 0.27, 0.22))
    carpet = s.done(s.principled(Base_Color=c, Roughness=1.0, Sheen_Weight=0.3, Normal=s.bump(pile, 0.004)))
    gx, gy = np.meshgrid(np.linspace(-0.5, 0.75, 140), np.linspace(-0.36, 0.36, 120), indexing="ij")
    z = 0.55 * smooth(0.18, 0.75, gx) ** 1.3 + 0.16 * smooth(-0.24, -0.33, gy) + (0.008 * np.sin(9 * gx + 4 * gy) if before else 0.0)
    b.grid("carpet", np.stack([gx, gy, z], -1), carpet)
    rub = bench.worn("pedal", (0.014, 0.014, 0.015), before, rust=0, dirt=0.5, scale=30, rough=0.5)
    arm = bench.worn("pedal-arm", (0.02, 0.02, 0.022), before, rust=0.45, dirt=0.3, scale=30, rough=0.4)
    for yy, w, h, xx in ((0.16, 0.055, 0.065, 0.30), (0.03, 0.065, 0.065, 0.30), (-0.13, 0.045, 0.15, 0.33)):
        b.tube("arm", [(xx + 0.02, yy, 0.20), (xx + 0.09, yy, 0.36), (xx + 0.12, yy, 0.6)], 0.009, arm)
        parts = [b.box("pad", (0.016, w, h), (0, 0, 0), rub, 0.006)]
        parts += [b.box("rib", (0.004, w * 0.8, 0.004), (-0.009, 0, q), rub, 0.001) for q in np.arange(-h / 2 + 0.012, h / 2 - 0.006, 0.011)]
        b.group(parts, (xx, yy, 0.19 if h < 0.1 else 0.17), (0, 32, 0))
    heel = bench.worn("heel-pad", (0.018, 0.018, 0.019), before, rust=0, dirt=0.6, scale=16, rough=0.5)
    b.box("heel", (0.24, 0.34, 0.006), (0.06, 0.02, 0.004), heel, 0.003)
    for q in np.arange(-0.045, 0.165, 0.018):
        b.box("ridge", (0.006, 0.30, 0.004), (q, 0.02, 0.008), heel, 0.0015)
    sill = bench.worn("sill", looks.BLUE, before, rust=0.1, dirt=0.45, scale=12, rough=0.35)
    b.box("sill", (1.4, 0.10, 0.20), (0.1, 0.41, 0.03), sill, 0.02)
    b.tube("sill-seal", [(-0.6, 0.368, 0.135), (0.8, 0.368, 0.135)], 0.008, looks.rubber("s", before))
    b.box("tread-plate", (0.9, 0.055, 0.003), (0.1, 0.418, 0.132), looks.chrome("plate", before), 0.001)
    b.box("bulk", (0.02, 1, 0.9), (0.78, 0, 0.5), plain("bulk", (0.012, 0.012, 0.012), 0.9))
    bench.light(0.75, 1.0)
    b.lamp((-0.5, 1.0, 0.9), (0, 0, 0), (0.7, 0.5), 10, (1, 0.97, 0.92))


def dash_top(before: bool) -> None:
    s = Shader("pad")
    x, y, _ = s.split(s.where())
    grain = s.cells(260, "SMOOTH_F1")
    c: Any = (0.016, 0.016, 0.017)
    rough: Any = 0.42
    wig = s.mul(s.add(s.noise(60, 4, 0.6), -0.5), 0.012)
    along = s.add(x, 0.04)
    width = s.mul(s.math("MAXIMUM", s.math("SUBTRACT", 1.0, s.math("ABSOLUTE", s.mul(along, 1 / 0.021))), 0.0), 0.0022)
    gap = s.math("ABSOLUTE", s.add(s.add(s.add(y, 0.20), wig), s.mul(x, 0.5)))
    crack = s.mul(s.math("LESS_THAN", gap, width), 1.0)
    near = s.step(gap, 0.006, 0.001)
    if before:
        dust = s.mul(s.step(s.noise(6, 8, 0.66), 0.28, 0.72), 0.62)
        c = s.mix(dust, (0.030, 0.028, 0.026), (0.20, 0.18, 0.15))
        c = s.mix(crack, c, (0.33, 0.20, 0.05))
        rough = 0.8
        h = s.add(s.mul(grain, 0.3), s.mul(crack, -2.0))
    else:
        c = s.mix(s.mul(crack, 0.35), c, (0.035, 0.034, 0.033))
        rough = s.blend(s.mul(crack, near), 0.42, 0.30)
        h = s.mul(grain, s.blend(crack, 0.3, 0.05))
    pad = s.done(s.principled(Base_Color=c, Roughness=rough, Normal=s.bump(h, 0.0012)))
    gx, gy = np.meshgrid(np.linspace(-0.22, 0.3, 200), np.linspace(-0.75, 0.75, 300), indexing="ij")
    z = 0.012 * np.exp(-((gx - 0.05) / 0.2) ** 2) - 0.10 * smooth(-0.15, -0.22, gx)
    hood = smooth(0.02, 0.06, gy) * smooth(0.50, 0.44, gy) * smooth(0.12, 0.0, gx)
    b.grid("pad", np.stack([gx, gy, z + 0.045 * hood], -1), pad)
    vent, slot = plain("vent", (0.02, 0.02, 0.021), 0.4), plain("slot", (0.002, 0.002, 0.002), 0.9)
    for yy in (-0.42, -0.02, 0.30):
        b.box("vent", (0.035, 0.30, 0.006), (0.20, yy, 0.008), vent, 0.003)
        for k in range(9):
            b.box("slot", (0.022, 0.022, 0.004), (0.20, yy - 0.128 + 0.032 * k, 0.0102), slot, 0.001)
    pane = np.stack([np.stack([np.full(40, 0.31 - 0.55 * t), np.linspace(-0.8, 0.8, 40), np.full(40, -0.01 + 0.55 * t)], 1) for t in (0, 1)])
    b.grid("screen", pane, looks.glass("screen", before)).visible_shadow = False
    bonnet = looks.paint("bonnet", before, None, inside=False)
    b.box("bonnet", (1.5, 1.4, 0.02), (1.15, 0, -0.04), bonnet, 0.01)
    b.box("wall", (0.05, 8, 2.2), (4.5, 0, 0.9), plain("wall", (0.45, 0.45, 0.43), 0.8))
    b.box("wall", (0.04, 8, 1.1), (4.45, 0, -0.1), plain("low", (0.10, 0.17, 0.165), 0.7))
    b.box("ground", (12, 12, 0.02), (3, 0, -0.7), plain("ground", (0.2, 0.2, 0.19), 0.6))
    bench.light(0.7, 1.2)
    b.lamp((2.6, 0, 1.8), (0.5, 0, 0), (0.6, 2.4), 60, (0.95, 0.98, 1.0))


def _picture(name: str, image: Image.Image) -> str:
    path = Path(bpy.app.tempdir or tempfile.gettempdir()) / f"{name}.png"
    image.save(path)
    return str(path)


def stamped(number: str, bulkhead: bool) -> None:
    """Figures struck one by one into sheet or casting."""
    im = Image.new("L", (1600, 400), 0)
    rng = np.random.default_rng(len(number))
    font = ImageFont.load_default(150)
    step = 1360 / len(number)
    for k, ch in enumerate(number):
        tile = Image.new("L", (200, 260), 0)
        ImageDraw.Draw(tile).text((100, 130), ch, 255, font, anchor="mm", stroke_width=3)
        tile = tile.rotate(rng.uniform(-3.5, 3.5), Image.Resampling.BICUBIC)
        x, y = int(120 + step * (k + 0.5) - 100), int(70 + rng.uniform(-9, 9))
        im.paste(255, (x, y), tile)
    soft = im.filter(ImageFilter.GaussianBlur(4))
    path = _picture("stamp-" + number, soft)
    s = Shader("struck")
    x, y, z = s.split(s.where())
    wide = 0.115 if bulkhead else 0.095
    uv = s.join(s.add(s.mul(x, 1 / wide), 0.5), s.add(s.mul(z, 4 / wide), 0.5))
    mark = s.mul(s.image(path, uv, "CLIP").outputs[0], 1.0)
    if bulkhead:
        n = s.noise(60, 7, 0.65)
        c = s.mix(s.step(s.noise(14, 6), 0.40, 0.7), (0.022, 0.062, 0.15), (0.05, 0.095, 0.17))
        c = s.mix(s.mul(s.step(n, 0.5, 0.75), 0.5), c, (0.14, 0.12, 0.095))
        c = s.mix(s.mul(s.step(mark, 0.15, 0.7), 0.72), c, (0.045, 0.030, 0.020))
        out = s.principled(Base_Color=c, Roughness=0.42, Coat_Weight=0.3, Coat_Roughness=0.2, Normal=s.bump(s.add(s.mul(mark, -2.4), s.mul(s.noise(90, 4), 0.12)), 0.0011))
    else:
        cast = s.noise(170, 5, 0.6)
        c = s.mix(s.step(s.noise(18, 7, 0.65), 0.35, 0.7), (0.020, 0.058, 0.05), (0.06, 0.055, 0.045))
        c = s.mix(s.mul(s.step(s.noise(30, 6), 0.52, 0.7), 0.8), c, looks.rust_colour(s, 60))
        flat = s.mul(s.step(s.math("ABSOLUTE", x), 0.056, 0.054), s.step(s.math("ABSOLUTE", z), 0.0145, 0.013))
        c = s.mix(flat, c, s.mix(s.noise(50, 6), (0.30, 0.29, 0.27), (0.16, 0.13, 0.10)))
        c = s.mix(s.mul(s.step(mark, 0.15, 0.7), 0.8), c, (0.022, 0.016, 0.012))
        out = s.principled(Base_Color=c, Roughness=0.55, Metallic=s.mul(flat, 0.6), Normal=s.bump(s.add(s.mul(mark, -2.4), s.add(s.mul(flat, 1.0), s.mul(cast, s.blend(flat, 0.9, 0.08)))), 0.0012))
    metal = s.done(out)
    h = 0.4
    b.mesh_of("sheet", [(-h, 0, -h), (h, 0, -h), (h, 0, h), (-h, 0, h)], [(0, 1, 2, 3)], metal, smooth=False)
    zinc = bench.worn("zinc", (0.5, 0.46, 0.32), True, metal=1.0, rust=0.4, dirt=0.4, scale=50, rough=0.35)
    if bulkhead:
        b.tube("seam", [(-0.4, -0.004, -0.034), (0.4, -0.004, -0.034)], 0.006, metal, sides=14)
        b.tube("harness", _smooth([(-0.4, -0.012, 0.05), (-0.1, -0.014, 0.043), (0.08, -0.013, 0.046), (0.4, -0.012, 0.06)]), 0.008, plain("loom", (0.014, 0.014, 0.014), 0.6, bumpy=(300, 0.0008)), sides=16)
        for x0 in (-0.085, 0.09):
            bench.bolt((x0, -0.001, 0.022), (90, 0, 0), 0.009, zinc)
    else:
        b.tube("rib", [(-0.4, -0.006, 0.042), (0.4, -0.006, 0.042)], 0.012, metal, sides=16)
        for x0 in (-0.082, 0.085):
            bench.bolt((x0, -0.002, -0.040), (90, 0, 0), 0.014, zinc)
        b.tube("pipe", _smooth([(-0.4, -0.03, -0.075), (0.0, -0.03, -0.060), (0.4, -0.03, -0.082)]), 0.005, zinc)
    bpy.context.scene.world.node_tree.nodes["Background"].inputs[1].default_value = 0.25
    b.lamp((-0.35, -0.16, 0.30), (0, 0, 0), (0.12, 0.12), 1.5, (1, 0.97, 0.92))
    b.lamp((0.3, -0.6, 0.1), (0, 0, 0), (0.5, 0.5), 2.6, (0.9, 0.95, 1))


def dial(reading: str, before: bool) -> None:
    """Speedometer with its drum counter; it faces -y."""
    R = 0.052
    face = plain("dial", (0.010, 0.010, 0.011), 0.6)
    white = plain("marks", (0.72, 0.71, 0.66), 0.6)
    b.lathe("face", [(0.0, 0.0), (0.0, R)], face, 96)
    chrome = looks.chrome("bezel", before)
    b.lathe("bezel", [(0.002, R - 0.001), (-0.006, R), (-0.011, R + 0.003), (-0.012, R + 0.006), (-0.009, R + 0.009), (0.0, R + 0.009)], chrome, 120)
    for v in range(0, 181, 5):
        a = math.radians(222 - 264 * v / 180)
        big = v % 20 == 0
        t = b.box("tick", (0.0016 if big else 0.0008, 0.0004, 0.0055 if big else 0.003), ((R - 0.0055) * math.cos(a), -0.0004, (R - 0.0055) * math.sin(a)), white, 0, (0, 90 - math.degrees(a), 0))
        del t
        if big:
            b.text("speed", str(v), 0.0080, white, ((R - 0.0145) * math.cos(a), -0.0004, (R - 0.0145) * math.sin(a)), (90, 0, 0), 0.0001)
    b.text("unit", "km/h", 0.0060, white, (0, -0.0004, 0.0135), (90, 0, 0), 0.0001)
    b.text("marque", "TALMERE", 0.0038, white, (0, -0.0004, 0.0205), (90, 0, 0), 0.0001, spacing=1.3)
    w, h = 0.0062, 0.0094
    b.box("window", (5 * w + 0.003, 0.001, h + 0.003), (0, 0.0003, -0.0185), plain("frame", (0.003, 0.003, 0.003), 0.5))
    rng = np.random.default_rng(int(reading))
    for k, ch in enumerate(reading):
        x = (k - 2) * w
        lastd = k == 4
        drum = b.lathe("drum", [(-w / 2 + 0.0003, 0.0070), (w / 2 - 0.0003, 0.0070)], plain("drum", (0.55, 0.54, 0.50) if lastd else (0.012, 0.012, 0.012), 0.5), 64, "x")
        drum.location = (x, 0.0058, -0.0185)
        b.text("figure", ch, 0.0088, plain("figure", (0.03, 0.03, 0.03) if lastd else (0.75, 0.74, 0.70), 0.5), (x, -0.00135, -0.0185 + rng.uniform(-0.0002, 0.0002)), (90, 0, 0), 0.0001)
    b.box("mask", (5 * w + 0.010, 0.0012, 0.0035), (0, -0.0013, -0.0185 + h / 2 + 0.0017), face, 0.0004)
    b.box("mask", (5 * w + 0.010, 0.0012, 0.0035), (0, -0.0013, -0.0185 - h / 2 - 0.0017), face, 0.0004)
    a = math.radians(222)
    b.tube("needle", [(-0.008 * math.cos(a), -0.004, -0.008 * math.sin(a)), (0.039 * math.cos(a), -0.003, 0.039 * math.sin(a))], 0.0010, plain("needle", (0.6, 0.05, 0.02), 0.4))
    b.lathe("boss", [(-0.0065, 0.0), (-0.006, 0.0045), (-0.002, 0.0055), (0.0, 0.0055)], plain("boss", (0.02, 0.02, 0.02), 0.3), 48)
    s = Shader("cover")
    f = s.node("Fresnel", {"IOR": 1.45}).outputs[0]
    out = s.over(f, s.node("BsdfTransparent", {"Color": (0.97, 0.97, 0.97, 1)}).outputs[0], s.node("BsdfGlossy", {"Roughness": 0.12 if before else 0.02}).outputs[0])
    if before:
        out = s.over(s.mul(s.step(s.noise(60, 7, 0.68), 0.42, 0.85), 0.16), out, s.node("BsdfDiffuse", {"Color": (0.4, 0.37, 0.32, 1)}).outputs[0])
    cover = b.lathe("cover", [(-0.0105, 0.0), (-0.009, R * 0.7), (-0.0075, R)], s.done(out), 64)
    cover.visible_shadow = False
    pad = bench.worn("panel", (0.016, 0.016, 0.017), before, rust=0, dirt=0.4, scale=30, rough=0.5, bumpy=0.0003)
    b.mesh_of("panel", [(-0.4, 0.001, -0.3), (0.4, 0.001, -0.3), (0.4, 0.001, 0.3), (-0.4, 0.001, 0.3)], [(0, 1, 2, 3)], pad, smooth=False)
    for x in (-0.125, 0.125):
        for r, m in ((0.040, face), (0.046, chrome)):
            ob = b.lathe("small", [(0.0, 0.0), (-0.001, r)] if m is face else [(-0.002, 0.041), (-0.008, 0.044), (-0.008, 0.048), (0, 0.049)], m, 72)
            ob.location = (x, 0, 0.004)
        for k in range(9):
            a = math.radians(205 - 230 * k / 8)
            b.box("tick", (0.001, 0.0004, 0.004), (x + 0.032 * math.cos(a), -0.0022, 0.004 + 0.032 * math.sin(a)), white, 0, (0, 90 - math.degrees(a), 0))
        b.tube("needle", [(x, -0.003, 0.004), (x - 0.024, -0.003, -0.010)], 0.0009, plain("needle2", (0.7, 0.7, 0.66), 0.4))
    bpy.context.scene.world.node_tree.nodes["Background"].inputs[1].default_value = 0.25
    b.lamp((-0.3, -0.35, 0.42), (0, 0, 0), (0.25, 0.2), 2.6, (1, 0.97, 0.92))
    b.lamp((0.5, -0.4, 0.0), (0, 0, 0), (0.3, 0.3), 1.3, (0.9, 0.95, 1))


def bumper_off() -> None:
    bench.table(0, "felt")
    m = {"chrome": looks.chrome("chrome", True), "rubber": looks.rubber("rubber", True)}
    have = set(bpy.data.objects)
    car.bumpers(car.State(True), m)
    new = [o for o in bpy.data.objects if o not in have]
    front = [o for o in new if o.location.x > 0 or (o.type == "MESH" and len(o.data.vertices) and o.data.vertices[0].co.x > 0)]
    for o in new:
        if o not in front:
            bpy.data.objects.remove(o)
    b.group(front, (-2.10, 0, -0.36), (0, 0, 0))
    old = bench.worn("old-bolt", (0.4, 0.38, 0.34), True, metal=1.0, rust=0.85, dirt=0.2, scale=50)
    new_ = bench.worn("new-bolt", (0.55, 0.53, 0.46), False, metal=1.0, rough=0.25, scale=50)
    paper = plain("paper", (0.62, 0.60, 0.54), 0.8)
    ink = plain("ink", (0.02, 0.02, 0.05), 0.8)
    b.box("sheet", (0.21, 0.44, 0.0006), (0.34, 0.02, 0.0008), paper, 0, (0, 0, 4))
    b.text("old", "OLD", 0.026, ink, (0.26, 0.135, 0.0015), (0, 0, 94), 0.0001)
    b.text("new", "NEW", 0.026, ink, (0.26, -0.095, 0.0015), (0, 0, 94), 0.0001)
    rng = np.random.default_rng(2)
    for k in range(4):
        for y, mat, cut in ((0.12, old, k < 2), (-0.11, new_, False)):
            bench.screw((0.31 + 0.028 * k, y + rng.uniform(-0.008, 0.008), 0.0085), (rng.uniform(0, 60), 0, 90 + rng.uniform(-12, 12)), 0.013, 0.016 if cut else 0.038, mat)
    for k in range(5):
        for y, mat in ((0.20, old), (-0.175, new_)):
            b.tube("clip", _smooth([(0.31 + 0.022 * k, y - 0.016, 0.004), (0.314 + 0.022 * k, y, 0.014), (0.31 + 0.022 * k, y + 0.016, 0.004)], 14), 0.003, mat, flat=0.3)
    bench.light(1.0, 1.6)


def tread(before: bool) -> None:
    w = wheel(before, cap=not before)
    b.place(w, (0, 0, 0.312), (0, 33, 24))
    bench.table(0, "concrete", 4)
    bench.backdrop(-1.6)
    bench.light(0.8, 1.4)
    b.lamp((0.9, 0.1, 0.9), (0.2, 0, 0.35), (0.4, 0.4), 8)
