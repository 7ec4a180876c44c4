"""Wheel 4.5J x 14 with its tyre 165 R 14; the outside faces +y."""

from __future__ import annotations

import math
from typing import Any

import base as b
import looks
import numpy as np
from nodes import Shader, plain

R_RIM, R_TYRE, HALF = 0.1778, 0.312, 0.0835


def tyre_rubber(before: bool) -> Any:
    """Side-wall ribs and letters are modelled; tread and cracks are shaded."""
    s = Shader("tyre")
    x, y, z = s.split(s.where())
    r = s.math("SQRT", s.add(s.mul(x, x), s.mul(z, z)))
    around = s.mul(s.math("ARCTAN2", z, x), 1 / (2 * math.pi))
    zig = s.math("PINGPONG", s.add(s.mul(around, 64), 0.0), 0.5)
    groove: Any = 0.0
    for at in (-0.043, -0.015, 0.015, 0.043):
        d = s.math("ABSOLUTE", s.add(s.add(y, -at), s.mul(s.add(zig, -0.25), 0.012)))
        groove = s.math("MAXIMUM", groove, s.step(d, 0.0045, 0.0030))
    sipe = s.mul(s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.add(s.mul(around, 128), s.mul(y, 14))), -0.5)), 0.10, 0.05), s.step(s.math("ABSOLUTE", y), 0.010, 0.022))
    tread = s.step(r, R_TYRE - 0.012, R_TYRE - 0.010)
    pattern = s.mul(tread, s.math("MAXIMUM", groove, sipe))
    n = s.noise(40, 6, 0.6)
    if before:
        crack = s.mul(s.step(s.cells(95, "DISTANCE_TO_EDGE", vec=s.join(s.mul(around, 14), s.mul(r, 5), s.mul(y, 5))), 0.045, 0.01), s.step(s.noise(12, 4), 0.42, 0.55))
        crack = s.mul(crack, s.math("SUBTRACT", 1.0, tread))
        colour = s.mix(s.step(n, 0.3, 0.75), (0.050, 0.047, 0.043), (0.12, 0.108, 0.092))
        colour = s.mix(s.mul(crack, 0.9), colour, (0.008, 0.008, 0.008))
        rough, depth = 0.85, 0.003
        height = s.add(s.mul(pattern, -1.0), s.mul(crack, -0.5))
    else:
        colour = s.mix(n, (0.012, 0.012, 0.012), (0.020, 0.020, 0.021))
        rough, depth, height = 0.52, 0.008, s.mul(pattern, -1.0)
    colour = s.mix(s.mul(pattern, 0.55 if before else 0.8), colour, (0.012, 0.011, 0.010) if not before else (0.045, 0.038, 0.03))
    return s.done(s.principled(Base_Color=colour, Roughness=rough, Normal=s.bump(height, depth)))


def tyre(before: bool) -> Any:
    t = HALF
    side = [(0.064, R_RIM - 0.004), (0.072, R_RIM + 0.006), (0.078, R_RIM + 0.020), (0.0835, 0.230), (t, 0.252), (0.0815, 0.268), (0.0795, 0.272), (0.0805, 0.275), (0.0755, 0.288), (0.0685, 0.299), (0.061, 0.3055), (0.045, 0.3095), (0.02, 0.3115), (0.0, 0.312)]
    profile = side + [(-a, r) for a, r in side[-2::-1]]
    from scipy.interpolate import PchipInterpolator

    k = np.arange(len(profile))
    kk = np.linspace(0, len(profile) - 1, 130)
    pr = np.stack([PchipInterpolator(k, [p[i] for p in profile])(kk) for i in (0, 1)], 1)
    ob = b.lathe("tyre", pr.tolist(), tyre_rubber(before), 160)
    return ob


def _letters(words: str, radius: float, size: float, centre: float, material: Any, spread: float) -> list[Any]:
    """Raised lettering round the side wall."""
    out = []
    for i, ch in enumerate(words):
        if ch == " ":
            continue
        a = math.radians(centre) + (i - (len(words) - 1) / 2) * spread
        t = b.text("letter", ch, size, material, (radius * math.cos(a), HALF - 0.0005, radius * math.sin(a)), (90, 0, 0), 0.0008)
        t.rotation_mode = "XYZ"
        from mathutils import Euler, Matrix

        t.rotation_euler = (Matrix.Rotation(-(a - math.pi / 2), 4, "Y") @ Matrix.Rotation(math.pi, 4, "Z") @ Euler((math.pi / 2, 0, 0)).to_matrix().to_4x4()).to_euler()
        out.append(t)
    return out


def disc_with_holes(before: bool, holes: int = 12) -> Any:
    """The wheel's dished centre; ventilation holes are cut by the shader, edges dark."""
    s = Shader("centre")
    x, _, z = s.split(s.where())
    r = s.math("SQRT", s.add(s.mul(x, x), s.mul(z, z)))
    a = s.mul(s.math("ARCTAN2", z, x), holes / (2 * math.pi))
    cell = s.add(s.math("FRACT", s.add(a, 10.0)), -0.5)
    dx = s.mul(s.mul(cell, 2 * math.pi / holes), r)
    d = s.math("SQRT", s.add(s.mul(s.mul(dx, dx), 1.0), s.mul(s.mul(s.add(r, -0.124), s.add(r, -0.124)), 1.7)))
    hole = s.step(d, 0.0165, 0.0160)
    lip = s.mul(s.step(d, 0.0225, 0.0165), 1.0)
    n = s.noise(14, 8, 0.68)
    if before:
        spot = s.step(s.add(s.add(n, s.mul(s.noise(120, 4), 0.22)), s.mul(lip, 0.10)), 0.66, 0.72)
        colour = s.mix(s.step(s.noise(9, 6, 0.6), 0.25, 0.75), (0.33, 0.325, 0.31), (0.16, 0.14, 0.118))
        colour = s.mix(spot, colour, looks.rust_colour(s, 60))
        skin = s.principled(Base_Color=colour, Metallic=s.blend(spot, 0.35, 0.0), Roughness=0.66, Normal=s.bump(s.add(lip, s.mul(spot, s.noise(200, 4))), 0.002))
    else:
        skin = s.principled(Base_Color=(0.50, 0.51, 0.52), Metallic=0.75, Roughness=0.36, Coat_Weight=0.5, Coat_Roughness=0.08, Normal=s.bump(lip, 0.003))
    return s.done(s.over(hole, skin, s.node("BsdfTransparent").outputs[0]))


def wheel(before: bool, cap: bool = True, letters: bool = True) -> Any:
    silver = looks.steel_paint("silver-rim", before)
    chrome = looks.chrome("cap-chrome", before)
    rub = plain("letters", (0.06, 0.056, 0.05) if before else (0.018, 0.018, 0.019), 0.8 if before else 0.5)
    parts = [tyre(before)]
    w = 0.060
    rim = [(-w - 0.004, R_RIM + 0.002), (-w, R_RIM + 0.008), (-w + 0.006, R_RIM - 0.002), (-w + 0.02, 0.168), (-0.02, 0.150), (0.02, 0.150), (w - 0.02, 0.166), (w - 0.006, R_RIM - 0.004), (w, R_RIM + 0.006), (w + 0.007, R_RIM + 0.008), (w + 0.010, R_RIM + 0.004)]
    parts.append(b.lathe("rim", rim, silver, 120))
    centre = [(0.018, 0.1515), (0.026, 0.146), (0.040, 0.136), (0.044, 0.124), (0.040, 0.110), (0.030, 0.098), (0.028, 0.080), (0.028, 0.036), (0.040, 0.032), (0.048, 0.028), (0.050, 0.0)]
    fine = np.array(centre)
    k = np.linspace(0, len(fine) - 1, 90)
    pr = np.stack([np.interp(k, np.arange(len(fine)), fine[:, i]) for i in (0, 1)], 1)
    for _ in range(3):
        pr[1:-1] = (pr[:-2] + 2 * pr[1:-1] + pr[2:]) / 4
    parts.append(b.lathe("centre", pr.tolist(), disc_with_holes(before), 160))
    parts.append(b.lathe("behind", [(-0.03, 0.15), (-0.035, 0.0)], plain("behind", (0.012, 0.011, 0.010), 0.9), 48))
    ring = [(w - 0.012, 0.158), (w - 0.002, 0.163), (w + 0.008, 0.171), (w + 0.0125, R_RIM + 0.002), (w + 0.010, R_RIM + 0.011), (w + 0.003, R_RIM + 0.012)]
    parts.append(b.lathe("trim-ring", ring, chrome, 160))
    if cap:
        shape = [(0.030, 0.090), (0.040, 0.088), (0.052, 0.080), (0.060, 0.064), (0.063, 0.050), (0.0615, 0.046), (0.0655, 0.042), (0.070, 0.022), (0.0715, 0.0)]
        kk = np.linspace(0, len(shape) - 1, 50)
        parts.append(b.lathe("cap", np.stack([np.interp(kk, np.arange(len(shape)), np.array(shape)[:, i]) for i in (0, 1)], 1).tolist(), chrome, 96))
        enamel = plain("cap-t", (0.012, 0.045, 0.15) if not before else (0.06, 0.09, 0.14), 0.3, coat=0.6)
        t = b.text("cap-letter", "T", 0.036, enamel, (0, 0.0725, 0), (90, 0, 180), 0.0006)
        parts.append(t)
    else:
        bolt = looks.chrome("bolt", before) if before else plain("bolt", (0.42, 0.40, 0.34), 0.28, 1.0)
        for i in range(4):
            a = math.radians(45 + 90 * i)
            head = b.lathe("bolt", [(0.026, 0.0125), (0.030, 0.0125), (0.031, 0.0095), (0.047, 0.0095), (0.049, 0.008), (0.0495, 0.0)], bolt, 6)
            head.location = (0.054 * math.cos(a), 0, 0.054 * math.sin(a))
            parts.append(head)
        parts.append(b.lathe("grease-cap", [(0.028, 0.030), (0.052, 0.028), (0.058, 0.022), (0.060, 0.0)], plain("grease-cap", (0.35, 0.33, 0.30), 0.4, 1.0), 48))
    if letters:
        parts += _letters("165 R 14 84S", 0.246, 0.022, 90, rub, math.radians(5.2))
        parts += _letters("TOURING", 0.246, 0.022, 270, rub, math.radians(5.6))
    if not before:  # a balance weight clipped over the rim's edge
        a = np.radians(np.linspace(92, 108, 14))
        parts.append(b.tube("weight", np.stack([(R_RIM + 0.008) * np.cos(a), 0 * a + w + 0.013, (R_RIM + 0.008) * np.sin(a)], 1), 0.0055, plain("lead", (0.20, 0.20, 0.205), 0.55, 0.6), sides=12, flat=1.4))
    valve = b.tube("valve", [(0.158 * math.cos(1.2), 0.045, 0.158 * math.sin(1.2)), (0.152 * math.cos(1.2), 0.075, 0.152 * math.sin(1.2))], 0.0045, looks.rubber("valve", before))
    parts.append(valve)
    return b.group(parts)
