"""Close-ups of the running gear: underside, axle, brakes, fuel hoses."""

from __future__ import annotations

import math
from typing import Any

import base as b
import bench
import looks
import numpy as np
from nodes import Shader, plain


# --- underside
def floor_pan(before: bool) -> None:
    """Seen from below by somebody under the lift; z is up, the pan hangs at 0."""
    x, y = np.meshgrid(np.linspace(-1.3, 1.3, 330), np.linspace(-0.85, 0.85, 260), indexing="ij")
    z = 0.17 * np.exp(-((y / 0.145) ** 6))
    for at in (0.32, 0.45, 0.58):
        for s in (-1, 1):
            z = z + 0.013 * np.exp(-(((y - s * at) / 0.022) ** 4)) * (1 / (1 + np.exp(-(0.85 - np.abs(x + 0.1)) * 70)))
    z = z - 0.09 / (1 + np.exp(-(np.abs(y) - 0.72) * 130))
    coat = bench.worn("pan", (0.062, 0.074, 0.088), before, rust=0.34, dirt=0.80, oil=0.42, scale=7, rough=0.42, bumpy=0.0016)
    b.grid("pan", np.stack([x, y, z], -1), coat)
    frame = bench.worn("frame", (0.03, 0.03, 0.032), before, rust=0.42, dirt=0.75, oil=0.30, scale=9)
    for s in (-1, 1):
        b.box("rail", (2.6, 0.085, 0.07), (0, s * 0.66, -0.035), frame, 0.012)
    b.box("crossmember", (0.13, 1.3, 0.06), (0.62, 0, -0.05), frame, 0.014)
    pipe = bench.worn("pipe", (0.34, 0.33, 0.32), before, metal=1.0, rust=0.62, dirt=0.45, scale=14, rough=0.38)
    b.tube("exhaust", [(-1.3, 0.02, 0.045), (-0.4, 0.02, 0.045), (0.1, 0.0, 0.045), (0.5, -0.03, 0.02), (0.9, -0.03, 0.02), (1.3, -0.03, 0.03)], 0.026, pipe, sides=28)
    b.tube("silencer", [(-0.95, 0.02, 0.035), (-0.93, 0.02, 0.035), (-0.35, 0.02, 0.035), (-0.33, 0.02, 0.035)], 0.068, pipe, sides=36)
    line = bench.worn("line", (0.36, 0.38, 0.36), before, metal=1.0, rust=0.4, dirt=0.6, scale=30, rough=0.3)
    for k, yy in enumerate((0.225, 0.248)):
        b.tube("line", [(-1.3, yy, -0.012), (0.3, yy, -0.012), (0.48, yy + 0.02, -0.022), (0.55, yy + 0.03, -0.095), (0.72, yy + 0.03, -0.095), (0.8, yy, -0.02), (1.3, yy, -0.012)], 0.004 + 0.001 * k, line)
    hold = plain("clip", (0.02, 0.02, 0.02), 0.5) if not before else frame
    for xx in (-0.9, -0.45, 0.0):
        b.box("clip", (0.022, 0.05, 0.014), (xx, 0.236, -0.010), hold, 0.004)
    head = bench.worn("bolt", (0.42, 0.40, 0.34), before, metal=1.0, rust=0.7, dirt=0.6, scale=40)
    for s in (-1, 1):
        for dy in (0.26, 0.52):
            bench.bolt((0.62, s * dy, -0.081), (180, 0, 0), 0.017, head)
    b.tube("drain", [(-0.45, 0.5, 0.014), (-0.45, 0.5, 0.004)], 0.034, plain("plug", (0.015, 0.015, 0.015), 0.6) if not before else coat, sides=32)
    b.tube("drain", [(-0.30, -0.42, 0.004), (-0.30, -0.42, -0.004)], 0.034, plain("plug2", (0.015, 0.015, 0.015), 0.6) if not before else coat, sides=32)
    b.lamp((0.3, 0.9, -1.1), (0, 0, 0), (1.2, 0.25), 34, (1.0, 0.97, 0.92))
    b.lamp((-1.3, -0.8, -0.9), (0, 0, 0), (0.3, 1.0), 14, (0.85, 0.92, 1.0))


def axle(before: bool) -> None:
    steel = bench.worn("axle", (0.022, 0.022, 0.024), before, rust=0.46, dirt=0.62, oil=0.12, scale=8, rough=0.38)
    spring = bench.worn("spring", (0.035, 0.035, 0.037), before, rust=0.56, dirt=0.55, scale=10, rough=0.5)
    bright = bench.worn("nuts", (0.45, 0.43, 0.36), before, metal=1.0, rust=0.85, dirt=0.35, scale=30, rough=0.35)
    pan = bench.worn("pan", (0.062, 0.074, 0.088), before, rust=0.30, dirt=0.70, oil=0.2, scale=6, bumpy=0.0015)
    b.mesh_of("pan", [(-2, -2, 0.36), (2, -2, 0.36), (2, 2, 0.36), (-2, 2, 0.36)], [(0, 3, 2, 1)], pan, smooth=False)
    for yy in (-0.52, 0.62):
        b.box("rail", (3, 0.09, 0.12), (0, yy, 0.30), pan, 0.015)
    ax = [(-0.75, 0.036), (-0.24, 0.040), (-0.19, 0.052), (-0.15, 0.092), (-0.09, 0.124), (0.0, 0.135), (0.09, 0.124), (0.15, 0.092), (0.19, 0.052), (0.24, 0.040), (0.75, 0.036)]
    b.lathe("axle", ax, steel, 64)
    cover = b.lathe("cover", [(-0.06, 0.128), (-0.115, 0.125), (-0.125, 0.118), (-0.155, 0.088), (-0.165, 0.0)], steel, 64, "x")
    cover.location = (0.02, 0, 0)
    for k in range(10):
        a = 2 * math.pi * k / 10
        bench.bolt((-0.098, 0.118 * math.cos(a), 0.118 * math.sin(a)), (0, -90, 0), 0.012, bright)
    for yy in (0.50, -0.50):
        for k, half in enumerate((0.62, 0.50, 0.37, 0.25)):
            xs = np.linspace(-half, half, 40)
            z = -0.05 - 0.009 * k + 0.10 * xs**2
            leaf = np.stack([np.stack([xs, np.full(40, yy + d), z + e], 1) for d, e in ((-0.028, 0), (0.028, 0), (0.028, -0.0075), (-0.028, -0.0075))], 1)
            ob = b.grid("leaf", leaf, spring, close_v=True)
            b.sharpen(ob)
        b.box("plate", (0.13, 0.10, 0.012), (0, yy, -0.092), spring, 0.004)
        b.box("pad", (0.10, 0.075, 0.025), (0, yy, -0.036), steel, 0.005)
        for dx in (-0.045, 0.045):
            t = np.linspace(0, math.pi, 14)
            b.tube("u-bolt", [(dx, yy - 0.041, -0.125), *[(dx, yy - 0.041 * math.cos(a), 0.010 + 0.034 * math.sin(a)) for a in t], (dx, yy + 0.041, -0.125)], 0.0055, bright)
            for dy in (-0.041, 0.041):
                bench.bolt((dx, yy + dy, -0.098), (180, 0, 0), 0.017, bright)
        b.tube("damper", [(-0.07, yy - 0.06 * np.sign(yy), -0.09), (-0.16, yy - 0.10 * np.sign(yy), 0.10)], 0.018, spring, sides=24)
        b.tube("damper", [(-0.13, yy - 0.085 * np.sign(yy), 0.04), (-0.25, yy - 0.14 * np.sign(yy), 0.34)], 0.026, steel, sides=24)
        drum = b.lathe("drum", [(0, 0.03), (0.0, 0.115), (0.012, 0.128), (0.05, 0.130), (0.055, 0.10)], steel, 64)
        b.place(drum, (0, yy + 0.22 * np.sign(yy), 0), (0, 0, 0 if yy > 0 else 180))
    b.tube("line", [(-0.05, 0.03, 0.14), (-0.05, 0.18, 0.06), (-0.035, 0.3, 0.045), (-0.03, 0.44, 0.042)], 0.0035, bright)
    b.tube("pipe", [(-1.2, -0.20, 0.10), (-0.5, -0.21, 0.10), (-0.2, -0.22, 0.19), (0.3, -0.22, 0.19), (0.7, -0.2, 0.1)], 0.022, bench.worn("tail-pipe", (0.33, 0.32, 0.31), before, metal=1.0, rust=0.7, dirt=0.4, scale=14), sides=24)
    hall = plain("hall", (0.10, 0.105, 0.10), 0.8)
    b.mesh_of("wall", [(2.2, -4, -3), (2.2, 4, -3), (2.2, 4, 2), (2.2, -4, 2)], [(0, 1, 2, 3)], hall, smooth=False)
    b.mesh_of("wall", [(-4, -2.4, -3), (4, -2.4, -3), (4, -2.4, 2), (-4, -2.4, 2)], [(0, 1, 2, 3)], hall, smooth=False)
    b.lamp((-1.0, 0.9, -0.7), (0, 0.2, 0), (1.0, 0.25), 30, (1.0, 0.97, 0.92))
    b.lamp((0.9, -0.9, -0.8), (0, 0, 0), (0.3, 1.0), 15, (0.85, 0.92, 1.0))


# --- brakes
def disc_metal(before: bool) -> Any:
    """axis y, through the origin"""
    s = Shader("disc")
    x, _, z = s.split(s.where())
    r = s.math("SQRT", s.add(s.mul(x, x), s.mul(z, z)))
    rings = s.noise(1, 5, 0.7, vec=s.join(s.mul(r, 420.0), 0.0, 0.0))
    swept = s.mul(s.step(r, 0.0805, 0.0815), s.step(r, 0.1215, 0.1205))
    if not before:
        c = s.mix(rings, (0.50, 0.505, 0.51), (0.60, 0.605, 0.61))
        return s.done(s.principled(Base_Color=c, Metallic=1.0, Roughness=s.blend(swept, 0.36, s.blend(rings, 0.20, 0.30)), Normal=s.bump(rings, 0.00012, 0.6)))
    n = s.noise(28, 8, 0.66)
    rust = s.math("MAXIMUM", s.math("SUBTRACT", 1.0, swept), s.step(s.add(n, s.mul(s.add(rings, -0.5), 0.5)), 0.50, 0.60))
    c = s.mix(rust, s.mix(rings, (0.20, 0.185, 0.17), (0.40, 0.385, 0.37)), looks.rust_colour(s, 55))
    return s.done(s.principled(Base_Color=c, Metallic=s.blend(rust, 0.9, 0.0), Roughness=s.blend(rust, 0.42, 0.92), Normal=s.bump(s.add(s.mul(rings, s.mul(swept, 1.1)), s.mul(rust, s.mul(s.noise(170, 6, 0.7), 0.7))), 0.0022)))


def disc(before: bool) -> Any:
    thick = 0.0102 if before else 0.0127
    h = thick / 2
    lip = 0.0063
    prof = [(0.016, 0.0), (0.016, 0.066), (0.013, 0.070), (h - 0.004, 0.0715), (h, 0.075), (h, 0.0812), (h, 0.1213)]
    prof += [(lip, 0.1222), (lip, 0.1245), (lip - 0.001, 0.1255), (-lip + 0.001, 0.1255), (-lip, 0.1245), (-h, 0.121), (-h, 0.08)]
    parts = [b.lathe("disc", prof, disc_metal(before), 180)]
    hub = bench.worn("hub", (0.05, 0.05, 0.052), before, rust=0.7, dirt=0.4, scale=22, rough=0.4)
    parts.append(b.lathe("hub", [(0.016, 0.034), (0.032, 0.033), (0.034, 0.030), (0.036, 0.028), (0.036, 0.0)], hub, 64))
    for k in range(4):
        a = math.radians(45 + 90 * k)
        parts.append(b.lathe("hole", [(0.0163, 0.0), (0.0163, 0.0072)], plain("bolt-hole", (0.006, 0.005, 0.004), 0.9), 32))
        parts[-1].location = (0.054 * math.cos(a), 0, 0.054 * math.sin(a))
    a = math.radians(90)
    parts.append(b.lathe("locating", [(0.0163, 0.0065), (0.0175, 0.006), (0.0178, 0.0)], hub, 24))
    parts[-1].location = (0.048 * math.cos(a), 0, 0.048 * math.sin(a))
    return b.group(parts)


def caliper(before: bool) -> Any:
    """Straddles the disc's edge at +x; group at the disc's centre."""
    body = bench.worn("caliper", (0.50, 0.42, 0.21), before, metal=0.9, rust=0.66, dirt=0.55, oil=0.12, scale=22, rough=0.36)
    pad = bench.worn("lining", (0.045, 0.038, 0.032), before, rust=0.2, dirt=0.3, scale=60, rough=0.85, bumpy=0.001)
    back = bench.worn("backing", (0.025, 0.025, 0.027), before, rust=0.8, dirt=0.2, scale=40)
    boot = looks.rubber("boot", before)
    nut = bench.worn("caliper-bolt", (0.48, 0.46, 0.40), before, metal=1.0, rust=0.75, dirt=0.4, scale=50, rough=0.3)
    parts: list[Any] = []
    for sign in (-1, 1):
        parts.append(b.box("half", (0.066, 0.034, 0.118), (0.108, sign * 0.040, 0), body, 0.012))
        parts.append(b.box("rib", (0.050, 0.012, 0.030), (0.110, sign * 0.060, 0.036), body, 0.005))
        parts.append(b.box("rib", (0.050, 0.012, 0.030), (0.110, sign * 0.060, -0.036), body, 0.005))
        cyl = b.lathe("cylinder", [(0.0, 0.030), (0.024, 0.030), (0.028, 0.026), (0.029, 0.012), (0.032, 0.011), (0.032, 0.0)], body, 48)
        parts.append(b.place(cyl, (0.102, sign * 0.048, 0), (0, 0, 0 if sign > 0 else 180)))
        thick = 0.0035 if before else 0.0102
        parts.append(b.box("pad", (0.046, thick, 0.086), (0.097, sign * (0.0064 + thick / 2), 0), pad, 0.001))
        parts.append(b.box("backing", (0.050, 0.005, 0.094), (0.099, sign * (0.0089 + thick), 0), back, 0.001))
    for dz in (-0.046, 0.046):
        parts.append(b.box("bridge", (0.024, 0.052, 0.030), (0.139, 0, dz), body, 0.006))
        parts.append(bench.bolt((0.112, 0.0655, dz * 0.78), (-90, 0, 0), 0.016, nut))
        parts.append(b.tube("pin", [(0.128, -0.055, dz * 0.55), (0.128, 0.060, dz * 0.55)], 0.0035, nut))
    parts.append(b.box("spring", (0.0015, 0.05, 0.04), (0.133, 0, 0), nut, 0.0005))
    # dust cover round the piston: bellows, torn as found
    t = np.linspace(0, 2 * math.pi, 120, endpoint=False)
    for k, (rr, yy) in enumerate(((0.0265, 0.0205), (0.0235, 0.0225), (0.0255, 0.0185), (0.022, 0.017))):
        wave = 0.0030 * np.sin(t * 5 + k) * np.sin(t * 13) if before else 0 * t
        path = np.stack([0.102 + (rr + wave) * np.cos(t), np.full(120, yy) + wave, (rr + wave) * np.sin(t)], 1)
        keep = path[(np.abs(t - 1.2) > 0.35)] if before else path
        parts.append(b.tube("boot", keep, 0.0026, boot, closed=not before))
    parts.append(b.lathe("bleed", [(0.0, 0.0045), (0.012, 0.0045), (0.013, 0.003), (0.026, 0.003), (0.028, 0.0018), (0.028, 0)], nut, 6, "z"))
    parts[-1].location = (0.115, -0.045, 0.058)
    if not before:
        cap = b.lathe("bleed-cap", [(0.0, 0.0055), (0.014, 0.0055), (0.017, 0.003), (0.017, 0)], plain("cap", (0.012, 0.012, 0.012), 0.5), 24, "z")
        cap.location = (0.115, -0.045, 0.072)
        parts.append(cap)
    return b.group(parts)


def corner(before: bool, right: bool = False) -> None:
    """The front brake with the wheel off. The left one faces +y; the right one is built the same way and turned."""
    d, c = disc(before), caliper(before)
    d.rotation_euler[1] = math.radians(31 if right else 12)
    shield = bench.worn("shield", (0.018, 0.018, 0.019), before, rust=0.5, dirt=0.7, scale=9)
    sh = b.lathe("shield", [(-0.028, 0.05), (-0.030, 0.10), (-0.024, 0.128), (-0.018, 0.134)], shield, 96)
    c.rotation_euler[1] = math.radians(-14)
    hose_mat = looks.rubber("hose", before)
    steel = bench.worn("link", (0.03, 0.03, 0.032), before, rust=0.55, dirt=0.65, oil=0.15, scale=10)
    bright = bench.worn("union", (0.50, 0.46, 0.30), before, metal=1.0, rust=0.6, dirt=0.4, scale=50)
    more = [
        sh,
        b.tube("brake-hose", [(0.15, -0.055, 0.02), (0.185, -0.07, 0.06), (0.19, -0.10, 0.14), (0.13, -0.16, 0.20), (0.03, -0.22, 0.21)], 0.0062, hose_mat, sides=16),
        b.tube("union", [(0.135, -0.050, 0.012), (0.158, -0.058, 0.026)], 0.008, bright, sides=6),
        b.tube("strut", [(-0.01, -0.09, -0.05), (-0.02, -0.12, 0.35)], 0.030, steel, sides=28),
        b.tube("strut-top", [(-0.012, -0.105, 0.10), (-0.02, -0.13, 0.45)], 0.045, steel, sides=32),
        b.tube("arm", [(0.0, -0.06, -0.09), (-0.02, -0.25, -0.11), (-0.03, -0.5, -0.10)], 0.028, steel, sides=20),
        b.tube("rod", [(-0.11, -0.07, -0.03), (-0.13, -0.3, -0.04), (-0.13, -0.5, -0.04)], 0.010, steel, sides=16),
        b.box("knuckle", (0.09, 0.06, 0.16), (0, -0.07, -0.01), steel, 0.02),
    ]
    b.group([d, c, *more], (0, 0, 0), (0, 0, 180) if right else (0, 0, 0))
    arch = plain("arch", (0.02, 0.019, 0.018), 0.9, bumpy=(20, 0.006))
    sign = -1 if right else 1
    b.mesh_of("arch", [(-1, -sign * 0.45, -1), (1, -sign * 0.45, -1), (1, -sign * 0.45, 1), (-1, -sign * 0.45, 1)], [(0, 1, 2, 3)], arch, smooth=False)
    b.lamp((0.35, sign * 0.75, 0.55), (0, 0, 0), (0.5, 0.3), 7.5, (1.0, 0.97, 0.92))
    b.lamp((-0.7, sign * 0.55, -0.05), (0, 0, 0), (0.2, 0.6), 3.4, (0.85, 0.92, 1.0))
    b.lamp((0.1, sign * 0.3, 0.9), (0, 0, 0), (0.6, 0.25), 3.5)
    b.lamp((0.5, sign * 1.7, 0.5), (0, 0, 0), (1.3, 0.9), 20, (0.97, 0.98, 1.0))


def _pads(before: bool, at: tuple[float, float, float]) -> None:
    lining = bench.worn("lining", (0.05, 0.042, 0.036), before, rust=0.3, dirt=0.35, scale=50, rough=0.85, bumpy=0.001)
    back = bench.worn("backing", (0.022, 0.022, 0.024), before, rust=0.85, dirt=0.2, scale=35)
    thick = 0.0023 if before else 0.0102
    for k, turn in enumerate((14, -9)):
        parts = [b.box("plate", (0.096, 0.052, 0.005), (0, 0, 0.0025), back, 0.001), b.box("lining", (0.086, 0.047, thick), (0, 0, 0.005 + thick / 2), lining, 0.0012)]
        parts.append(b.box("groove", (0.002, 0.048, 0.0006), (0, 0, 0.005 + thick), plain("groove", (0.01, 0.01, 0.01), 0.9)))
        b.group(parts, (at[0] + 0.012 * k, at[1] - 0.068 * k, at[2]), (0, 0, turn))


def brakes_side_by_side() -> None:
    bench.table(0, "wood")
    for x, before in ((0.165, True), (-0.165, False)):
        d = disc(before)
        b.place(d, (x, 0.03, 0.008), (90, 0, 23 if before else -12))
        _pads(before, (x, -0.165, 0.0))
    bench.light(0.85)


# --- fuel
def braid(before: bool, turns: float = 60) -> Any:
    s = Shader("braid")
    u, v, _ = s.split(s.where("UV"))
    a = s.math("SINE", s.mul(s.add(s.mul(u, turns), s.mul(v, 12.0)), 2 * math.pi))
    c = s.math("SINE", s.mul(s.add(s.mul(u, turns), s.mul(v, -12.0)), 2 * math.pi))
    weave = s.math("MAXIMUM", a, c)
    dark, pale = ((0.035, 0.030, 0.026), (0.10, 0.088, 0.074)) if before else ((0.010, 0.010, 0.011), (0.045, 0.045, 0.047))
    col = s.mix(s.step(weave, 0.2, 0.9), dark, pale)
    rough: Any = 0.85
    h = weave
    if before:
        crack = s.mul(s.step(s.cells(24, "DISTANCE_TO_EDGE", vec=s.join(s.mul(u, 1.9), s.mul(v, 0.55), 0.3)), 0.05, 0.02), s.step(s.noise(20, 4), 0.36, 0.46))
        wet = s.step(s.noise(14, 5, 0.6), 0.52, 0.58)
        col = s.mix(crack, s.mix(s.mul(wet, 0.7), col, (0.020, 0.014, 0.008)), (0.34, 0.27, 0.17))
        rough = s.blend(wet, 0.9, 0.25)
        h = s.add(s.mul(weave, 0.35), s.mul(crack, -3.0))
    return s.done(s.principled(Base_Color=col, Roughness=rough, Normal=s.bump(h, 0.0009)))


def _smooth(points: list[tuple[float, float, float]], n: int = 70) -> np.ndarray:
    from scipy.interpolate import CubicSpline

    p = np.asarray(points)
    d = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))])
    return np.asarray(CubicSpline(d, p)(np.linspace(0, d[-1], n)))


def filter_(before: bool, at: tuple[float, float, float], turn: tuple[float, float, float]) -> None:
    s = Shader("filter")
    shell = s.principled(Base_Color=(0.30, 0.13, 0.03) if before else (0.75, 0.76, 0.74), Roughness=0.12, Coat_Weight=0.6, Alpha=0.55 if before else 0.40)
    case = s.done(shell)
    paper = plain("paper", (0.16, 0.065, 0.018) if before else (0.72, 0.62, 0.36), 0.9)
    end = bench.worn("filter-end", (0.62, 0.62, 0.60), before, rust=0.1, dirt=0.5, scale=30, rough=0.4)
    parts = [b.lathe("case", [(-0.030, 0.017), (-0.029, 0.0205), (0.029, 0.0205), (0.030, 0.017)], case, 48, "x"), b.lathe("paper", [(-0.024, 0.0), (-0.024, 0.014), (0.024, 0.014), (0.024, 0.0)], paper, 24, "x")]
    for sign in (-1, 1):
        cap = b.lathe("end", [(0.028, 0.0205), (0.036, 0.019), (0.040, 0.008), (0.044, 0.0042), (0.060, 0.0036), (0.0605, 0.004), (0.064, 0.0034), (0.064, 0)], end, 40, "x")
        parts.append(b.place(cap, (0, 0, 0), (0, 0, 0 if sign > 0 else 180)))
    b.group(parts, at, turn)


def fuel_hose(before: bool) -> None:
    alloy = bench.worn("pump", (0.42, 0.42, 0.41), before, metal=0.85, rust=0.05, dirt=0.62, oil=0.22, scale=16, rough=0.42)
    steel = bench.worn("zinc", (0.50, 0.46, 0.32), before, metal=1.0, rust=0.75, dirt=0.4, scale=45, rough=0.32)
    block = bench.worn("block", (0.020, 0.060, 0.050), before, rust=0.2, dirt=0.66, oil=0.3, scale=9, rough=0.4, bumpy=0.001)
    b.box("block", (1.4, 0.10, 0.9), (0, -0.115, 0), block, 0.01)
    b.box("flange", (0.13, 0.03, 0.10), (0, -0.055, -0.005), alloy, 0.012)
    body = b.lathe("body", [(-0.05, 0.030), (-0.02, 0.034), (-0.012, 0.046), (-0.004, 0.050), (0.004, 0.050), (0.012, 0.048), (0.030, 0.044), (0.044, 0.034), (0.052, 0.016), (0.053, 0)], alloy, 72, "z")
    body.location = (0, 0.01, 0.0)
    for k in range(6):
        a = math.radians(20 + 60 * k)
        bench.bolt((0.043 * math.cos(a), 0.01 + 0.043 * math.sin(a), 0.008), (0, 0, 0), 0.008, steel)
    for dx in (-0.05, 0.05):
        bench.bolt((dx, -0.040, -0.005), (-90, 0, 0), 0.013, steel)
    hose = braid(before)
    for sign, pts in ((-1, [(-0.055, 0.02, 0.028), (-0.085, 0.025, 0.032), (-0.13, 0.04, 0.02), (-0.18, 0.03, -0.05), (-0.24, 0.0, -0.10), (-0.40, -0.02, -0.12)]), (1, [(0.055, 0.02, 0.028), (0.085, 0.022, 0.03), (0.115, 0.022, 0.032)])):
        b.tube("port", [(sign * 0.035, 0.018, 0.026), (sign * 0.095, 0.025, 0.032)], 0.0045, steel, sides=20)
        b.tube("hose", _smooth(pts), 0.0072, hose, sides=28)
        bench.clip((sign * 0.074, 0.0225, 0.0305), (0, -4, 0), 0.0075, steel)
    filter_(before, (0.178, 0.022, 0.034), (0, -1, 0))
    b.tube("hose", _smooth([(0.225, 0.022, 0.036), (0.26, 0.022, 0.05), (0.29, 0.02, 0.10), (0.28, 0.01, 0.2), (0.27, 0, 0.3)]), 0.0072, hose, sides=28)
    for x in (0.112, 0.243):
        bench.clip((x, 0.0222, 0.034 if x < 0.2 else 0.041), (0, -2 if x < 0.2 else -18, 0), 0.0075, steel)
    if before:  # a drop under the weeping joint
        s = Shader("fuel")
        b.lathe("drop", [(-0.006, 0), (-0.005, 0.0025), (-0.002, 0.003), (0.004, 0.0010), (0.006, 0)], s.done(s.principled(Base_Color=(0.6, 0.35, 0.08), Roughness=0.05, Transmission_Weight=0.8)), 24, "z").location = (-0.10, 0.03, 0.012)
    bench.light(0.8, 0.8)


def hoses_side_by_side() -> None:
    bench.table(0, "wood")
    for x, before in ((0.115, True), (-0.115, False)):
        hose = braid(before, 46)
        zinc = bench.worn("zinc", (0.52, 0.50, 0.44), before, metal=1.0, rust=0.85, dirt=0.3, scale=50, rough=0.28)
        rng = np.random.default_rng(5 if before else 6)
        for k in range(4):
            y = 0.105 - 0.032 * k
            half = (0.085, 0.075, 0.088, 0.06)[k]
            bend = rng.uniform(-0.012, 0.012, 3)
            b.tube("hose", _smooth([(x - half, y + bend[0], 0.0075), (x - half / 3, y + bend[1], 0.0075), (x + half / 3, y + bend[2], 0.0075), (x + half, y, 0.0075)]), 0.0074, hose, sides=26)
            end = b.lathe("bore", [(0, 0), (0, 0.0036)], plain("bore", (0.005, 0.005, 0.005), 0.9), 24, "x")
            end.location = (x + half + 0.0003, y, 0.0075)
        for k in range(5):
            bench.clip((x - 0.062 + 0.031 * k, -0.048 + rng.uniform(-0.004, 0.004), 0.0085), (rng.uniform(120, 240), 0, rng.uniform(-60, 60)), 0.0085, zinc)
        filter_(before, (x, -0.105, 0.0208), (0, 0, 8 if before else -6))
    bench.light(0.8)
