"""What the close-ups of parts share: light, ground, and surfaces that are dirty before and clean after."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import base as b
import bpy
import looks
import numpy as np
from nodes import Shader, plain


def light(power: float = 1.0, size: float = 1.0, warm: bool = False) -> None:
    """A soft box above, a weaker one from the side, a dim surrounding."""
    bpy.context.scene.world.node_tree.nodes["Background"].inputs[1].default_value = 0.28 * power
    tint = (1.0, 0.94, 0.86) if warm else (1.0, 0.98, 0.95)
    b.lamp((0.35 * size, 0.5 * size, 1.3 * size), (0, 0, 0), (0.9 * size, 0.5 * size), 26 * power * size**2, tint)
    b.lamp((-1.2 * size, -0.5 * size, 0.7 * size), (0, 0, 0), (0.4 * size, 0.8 * size), 9 * power * size**2, (0.85, 0.92, 1.0))


def table(z: float = 0.0, kind: str = "wood", size: float = 3.0) -> None:
    s = Shader("table")
    if kind == "wood":
        x, y, _ = s.split(s.where())
        grain = s.noise(1, 6, 0.6, vec=s.join(s.mul(x, 3.0), s.mul(y, 45.0), 0.0), warp=0.4)
        c = s.mix(grain, (0.20, 0.125, 0.07), (0.33, 0.225, 0.135))
        c = s.mix(s.mul(s.step(s.noise(5, 6, 0.65), 0.5, 0.7), 0.65), c, (0.055, 0.045, 0.038))
        board = s.step(s.math("ABSOLUTE", s.add(s.math("FRACT", s.mul(s.add(y, 50.07), 5.0)), -0.5)), 0.488, 0.494)
        c = s.mix(board, c, (0.015, 0.012, 0.01))
        mat = s.done(s.principled(Base_Color=c, Roughness=s.blend(grain, 0.45, 0.65), Normal=s.bump(s.add(grain, s.mul(board, -3)), 0.0012)))
    elif kind == "felt":
        mat = s.done(s.principled(Base_Color=s.mix(s.noise(300, 3), (0.055, 0.058, 0.06), (0.10, 0.105, 0.11)), Roughness=0.95, Sheen_Weight=0.4, Normal=s.bump(s.noise(260, 4), 0.003)))
    else:
        fine = s.noise(9, 8, 0.65)
        c = s.mix(s.noise(1.5, 6), (0.17, 0.168, 0.16), (0.26, 0.257, 0.248))
        mat = s.done(s.principled(Base_Color=s.mix(s.mul(s.step(s.noise(2.2, 6, 0.65), 0.5, 0.7), 0.5), c, (0.08, 0.076, 0.07)), Roughness=0.5, Normal=s.bump(fine, 0.002)))
    h = size
    b.mesh_of("table", [(-h, -h, z), (h, -h, z), (h, h, z), (-h, h, z)], [(0, 1, 2, 3)], mat, smooth=False)


def backdrop(y: float = -2.0, colour: Sequence[float] = (0.10, 0.17, 0.165), up: bool = True) -> None:
    m = plain("backdrop", colour, 0.7, bumpy=(8, 0.01))
    b.mesh_of("backdrop", [(-6, y, -2), (6, y, -2), (6, y, 4), (-6, y, 4)], [(0, 1, 2, 3)], m, smooth=False)


def worn(name: str, clean: Sequence[float], before: bool, metal: float = 0.0, rough: float = 0.45, rust: float = 0.5, dirt: float = 0.6, oil: float = 0.0, scale: float = 10.0, bumpy: float = 0.0) -> Any:
    """A surface clean, or with shares of rust, dirt and oil (0..1). bumpy: depth of the coat's own texture in metres."""
    s = Shader(name)
    texture = s.noise(scale * 9, 4, 0.6)
    if not before:
        tone = s.mix(s.noise(scale * 0.6, 4), [c * 0.85 for c in clean], clean)
        return s.done(s.principled(Base_Color=tone, Metallic=metal, Roughness=rough, Coat_Weight=0.25 if metal < 0.5 else 0.0, Coat_Roughness=0.15, Normal=s.bump(texture, bumpy or 0.0003)))
    n1, n2, n3 = s.noise(scale, 9, 0.66), s.noise(scale * 0.6, 8, 0.62, vec=s.scaled(1.0, move=(3, 1, 7))), s.noise(scale * 0.4, 7, 0.6, vec=s.scaled(1.0, move=(9, 4, 2)), warp=0.5)
    r = s.step(n1, 0.68 - 0.36 * rust, 0.76 - 0.36 * rust) if rust else 0.0
    d = s.step(n2, 0.62 - 0.42 * dirt, 0.80 - 0.36 * dirt) if dirt else 0.0
    o = s.step(n3, 0.66 - 0.36 * oil, 0.72 - 0.34 * oil) if oil else 0.0
    c = s.mix(r, [k * 0.75 for k in clean], looks.rust_colour(s, scale * 4))
    c = s.mix(d, c, s.mix(s.noise(scale * 5, 6), (0.052, 0.042, 0.032), (0.15, 0.122, 0.092)))
    c = s.mix(s.mul(o, 0.85), c, (0.010, 0.0085, 0.007))
    h = s.add(s.add(s.mul(r, s.mul(s.noise(scale * 16, 6, 0.7), 0.5)), s.mul(d, s.noise(scale * 6, 7, 0.65))), s.mul(texture, 0.2))
    rough_now = s.blend(o, s.blend(d, s.blend(r, rough, 0.88), 0.95), 0.22)
    m = s.mul(s.math("SUBTRACT", 1.0, s.math("MAXIMUM", s.math("MAXIMUM", r, d), o)), metal)
    return s.done(s.principled(Base_Color=c, Metallic=m, Roughness=rough_now, Normal=s.bump(h, 0.0045 * 10 / scale)))


def bolt(at: Sequence[float], turn: Sequence[float], size: float, material: Any) -> Any:
    """Hexagon head and washer on +z; size across flats in metres."""
    r = size / math.sqrt(3)
    head = b.lathe("head", [(size * 0.12, 0), (size * 0.12, r), (size * 0.62, r), (size * 0.68, r * 0.86), (size * 0.68, 0)], material, 6, "z")
    washer = b.lathe("washer", [(0, size * 0.95), (size * 0.12, size * 0.95), (size * 0.12, 0)], material, 32, "z")
    return b.group([head, washer], at, turn)


def screw(at: Sequence[float], turn: Sequence[float], size: float, length: float, material: Any) -> Any:
    """A loose bolt lying on its side, its thread along +x."""
    t = np.linspace(0, 1, int(length / 0.0004))
    rr = size * 0.30 * (1 - 0.10 * (np.arange(len(t)) % 3 == 0))
    prof = [(0.0, size * 0.3)] + [(x * length, r) for x, r in zip(t, rr, strict=True)] + [(length, 0)]
    shank = b.lathe("shank", prof, material, 20, "x")
    head = b.lathe("head", [(0, 0), (0, size / math.sqrt(3)), (-size * 0.6, size / math.sqrt(3)), (-size * 0.66, size * 0.5), (-size * 0.66, 0)], material, 6, "x")
    return b.group([shank, head], at, turn)


def clip(at: Sequence[float], turn: Sequence[float], radius: float, material: Any) -> Any:
    """A band clip about the x axis, with its screw."""
    ring = b.lathe("band", [(-0.0045, radius), (-0.0045, radius + 0.0012), (0.0045, radius + 0.0012), (0.0045, radius)], material, 48, "x")
    lug = b.box("lug", (0.009, 0.010, 0.012), (0, 0, radius + 0.006), material, 0.001)
    pin = b.lathe("pin", [(-0.010, 0), (-0.010, 0.0035), (-0.006, 0.0035), (-0.006, 0.0022), (0.010, 0.0022), (0.010, 0)], material, 16)
    pin.location = (0, 0, radius + 0.007)
    return b.group([ring, lug, pin], at, turn)


def helper_group(obs: Sequence[Any], at: Sequence[float] = (0, 0, 0), turn: Sequence[float] = (0, 0, 0)) -> Any:
    return b.group(obs, at, turn)
