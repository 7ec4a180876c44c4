"""Close-ups taken on the car: paint, lamps, wheels, badge, gauge, coating."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import base as b
import car
import form
import looks
import numpy as np
import room
from nodes import Shader, plain

if TYPE_CHECKING:
    from frames import Scene


def skin_z(x: Any, y: Any, roof: bool = False) -> Any:
    """Height of bonnet or roof."""
    from scipy.interpolate import LinearNDInterpolator

    p = (form.glasshouse(400) if roof else form.body(500))[70 if roof else 150 :].reshape(-1, 3)
    if not roof:
        p = p[p[:, 0] > 0.6]
    return LinearNDInterpolator(p[:, :2], p[:, 2])(x, y)


def lying(x: float, y: float, turn: float, roof: bool = False) -> tuple[float, float, float]:
    """The angles (degrees) of a thing that lies on bonnet or roof at (x, y) and is turned about the upright."""
    from mathutils import Matrix, Vector

    d = 0.02
    along, across = (float(skin_z(x + a, y + c, roof) - skin_z(x - a, y - c, roof)) / (2 * d) for a, c in ((d, 0.0), (0.0, d)))
    tilt = Vector((0, 0, 1)).rotation_difference(Vector((-along, -across, 1))).to_matrix()
    e = (tilt @ Matrix.Rotation(math.radians(turn), 3, "Z")).to_euler()
    return math.degrees(e.x), math.degrees(e.y), math.degrees(e.z)


def gauge(reading: str, at: tuple[float, float, float], turn: tuple[float, float, float]) -> None:
    """The film thickness gauge PTG-1; its display lies on +z, its foot on the panel."""
    shell, dark = plain("gauge", (0.035, 0.036, 0.038), 0.45, bumpy=(900, 0.0002)), plain("gauge-face", (0.012, 0.012, 0.013), 0.3)
    band = plain("gauge-band", (0.42, 0.20, 0.02), 0.45)
    lcd, ink = plain("lcd", (0.36, 0.40, 0.33), 0.25, coat=0.6), plain("lcd-ink", (0.012, 0.014, 0.012), 0.5)
    grey = plain("gauge-words", (0.6, 0.6, 0.58), 0.5)
    parts = [b.box("shell", (0.064, 0.118, 0.026), (0, 0, 0.022), shell, 0.008), b.box("band", (0.066, 0.010, 0.0275), (0, 0.036 - 0.075, 0.022), band, 0.006), b.box("face", (0.056, 0.060, 0.002), (0, 0.020, 0.0352), dark, 0.001)]
    parts += [b.box("lcd", (0.046, 0.030, 0.0012), (0, 0.026, 0.0362), lcd, 0.0005), b.text("value", reading, 0.0165, ink, (-0.0035, 0.027, 0.0370), (0, 0, 0), 0.0001), b.text("unit", "µm", 0.0065, ink, (0.0175, 0.0155, 0.0370), (0, 0, 0), 0.0001), b.text("kind", "Fe", 0.0055, ink, (-0.018, 0.0155, 0.0370), (0, 0, 0), 0.0001), b.text("name", "PTG-1", 0.0068, grey, (0, 0.0035, 0.0364), (0, 0, 0), 0.0001)]
    for x, m in ((-0.014, shell), (0.014, band)):
        key = b.lathe("key", [(0.0, 0.0062), (0.0016, 0.0060), (0.0020, 0.005), (0.0020, 0.0)], m, 32, "z")
        key.location = (x, -0.022, 0.0350)
        parts.append(key)
    foot = b.lathe("foot", [(0.0, 0.011), (0.012, 0.012), (0.02, 0.012)], plain("steel", (0.5, 0.5, 0.5), 0.25, 1.0), 40, "z")
    foot.location = (0, 0.030, 0.0)
    parts.append(foot)
    b.group(parts, at, turn)


def _state(before: bool, **more: Any) -> None:
    car.car(car.State(before, **more), None)
    room.hall()
    c = np.array((looks.SWIRL[0], float(form.side_y(np.array(looks.SWIRL[0]), np.array(looks.SWIRL[1]))), looks.SWIRL[1]))
    eye = np.array(ON_CAR["swirls"][1][0])
    way = (eye - c) * (-1, 1, -1)
    s = Shader("inspection")
    glow = s.done(s.node("Emission", {"Color": (1, 0.98, 0.95, 1), "Strength": 40.0}).outputs[0])
    glow.cycles.emission_sampling = "NONE"
    spot = b.lathe("inspection-lamp", [(0, 0), (0, 0.035)], glow, 40)
    b.place(spot, tuple(c + 0.9 * way), (0, 0, 0))
    spot.visible_camera = False


def _wipe() -> None:
    _state(False)
    z = float(skin_z(-0.55, 0.12, True))
    cloth = Shader("microfibre")
    n = cloth.noise(700, 3)
    m = cloth.done(cloth.principled(Base_Color=cloth.mix(n, (0.46, 0.20, 0.004), (0.60, 0.29, 0.010)), Roughness=1.0, Sheen_Weight=0.12, Normal=cloth.bump(cloth.add(n, cloth.noise(160, 3)), 0.004)))
    x, y = np.meshgrid(np.linspace(-0.17, 0.17, 220), np.linspace(-0.14, 0.14, 190), indexing="ij")
    u, v = x / 0.17, y / 0.14
    mound = np.exp(-(((u + 0.1) / 0.62) ** 2 + ((v - 0.05) / 0.6) ** 2))
    ridge = sum(h * np.abs(np.sin(f * (x * math.cos(w) + y * math.sin(w)) + o + 3.0 * u * v)) ** p for h, f, w, o, p in ((0.034, 31, 0.5, 0.4, 1.5), (0.026, 43, -0.7, 1.9, 1.3), (0.010, 85, 1.4, 0.2, 1.0)))
    height = 0.006 + mound * (0.016 + ridge) + 0.004 * np.abs(np.sin(31 * x + 12 * y))
    inwards = 1 - 0.34 * mound  # a gathered cloth covers less than a flat one
    shape = np.stack([inwards * x + 0.016 * np.sin(19 * y + 0.6), inwards * y + 0.014 * np.sin(23 * x), height], -1)
    ob = b.grid("cloth", shape, m)
    thick = ob.modifiers.new("thick", "SOLIDIFY")
    thick.thickness, thick.offset = 0.005, 1.0
    b.place(ob, (-0.55, 0.12, z - 0.003), lying(-0.55, 0.12, 24, True))
    bottle = b.lathe("bottle", [(0, 0), (0, 0.021), (0.062, 0.021), (0.070, 0.012), (0.076, 0.0105), (0.078, 0.0105), (0.079, 0.0125), (0.096, 0.0122), (0.097, 0)], plain("bottle", (0.015, 0.016, 0.018), 0.2, coat=1), 48, "z")
    bottle.location = (-0.30, 0.36, float(skin_z(-0.30, 0.36, True)))
    lab = b.lathe("label", [(0.014, 0.0213), (0.055, 0.0213)], plain("label", (0.55, 0.56, 0.55), 0.5), 48, "z")
    lab.location = bottle.location
    b.box("applicator", (0.085, 0.045, 0.026), (-0.36, -0.06, float(skin_z(-0.36, -0.06, True)) + 0.012), plain("pad", (0.02, 0.022, 0.025), 0.95, bumpy=(500, 0.001)), 0.006, (0, 0, -35))
    sh = Shader("film")  # the coating before it is levelled
    film = sh.mul(sh.step(sh.noise(14, 5, 0.6, vec=sh.scaled((1.0, 6.0, 1.0)), warp=0.4), 0.42, 0.7), 0.30)
    fx, fy = np.meshgrid(np.linspace(-0.52, 0.05, 60), np.linspace(-0.25, 0.22, 40), indexing="ij")
    fz = skin_z(fx.ravel(), fy.ravel(), True).reshape(fx.shape) + 0.0008
    gloss = sh.node("BsdfGlossy", {"Roughness": 0.35, "Color": (0.75, 0.72, 0.85, 1)}).outputs[0]
    b.grid("film", np.stack([fx, fy, fz], -1), sh.done(sh.over(film, sh.node("BsdfTransparent").outputs[0], gloss)))


def _beads() -> None:
    _state(False)
    rng = np.random.default_rng(4)
    cx, cy, reach = 1.60, 0.08, 0.40
    spots: list[tuple[float, float, float]] = []
    tried = 0
    while len(spots) < 1300 and tried < 40000:
        tried += 1
        r = min(0.0105, 0.0018 + abs(rng.normal(0, 0.0034)))
        x, y = cx + rng.uniform(-reach, reach), cy + rng.uniform(-0.30, 0.30)
        if all((x - a) ** 2 + (y - c) ** 2 > (r + q) ** 2 * 1.1 for a, c, q in spots):
            spots.append((x, y, r))
    xs, ys, rs = np.array(spots).T
    zs = skin_z(xs, ys)
    t, k = np.linspace(0, 2 * math.pi, 18, endpoint=False), np.linspace(0, math.pi / 2, 7)
    pts, faces = [], []
    for x, y, z, r in zip(xs, ys, zs, rs, strict=True):
        base = len(pts)
        for a in k:
            for w in t:
                pts.append((x + r * math.cos(a) ** 0.8 * math.cos(w), y + r * math.cos(a) ** 0.8 * math.sin(w), z - 0.0002 + 0.78 * r * math.sin(a)))
        for i in range(6):
            for j in range(18):
                faces.append((base + i * 18 + j, base + i * 18 + (j + 1) % 18, base + (i + 1) * 18 + (j + 1) % 18, base + (i + 1) * 18 + j))
    s = Shader("water")
    f = s.node("Fresnel", {"IOR": 1.33}).outputs[0]
    water = s.over(s.math("MINIMUM", s.add(s.mul(f, 1.2), 0.02), 1.0), s.node("BsdfRefraction", {"IOR": 1.33, "Roughness": 0.0, "Color": (1, 1, 1, 1)}).outputs[0], s.node("BsdfGlossy", {"Roughness": 0.0, "Color": (1, 1, 1, 1)}).outputs[0])
    b.mesh_of("beads", pts, faces, s.done(water)).visible_shadow = False


def _torque() -> None:
    _state(False, cap=False)
    y0 = form.TRACK + 0.050
    a = math.radians(45 + 37 * 1.30 + 11)
    hub = np.array((1.30, y0, form.WHEEL))
    # the wheel is turned about y; take the bolt that ends up nearest the upper rear
    angles = [math.radians(45 + 90 * k) - math.radians(37 * 1.30 + 11) for k in range(4)]
    a = max(angles, key=lambda q: math.sin(q) - 0.4 * math.cos(q))
    bolt = hub + 0.054 * np.array((math.cos(a), 0, math.sin(a)))
    chrome, dark = plain("wrench", (0.62, 0.62, 0.62), 0.22, 1.0), plain("grip", (0.018, 0.018, 0.019), 0.6, bumpy=(700, 0.0006))
    out = 0.045  # a short extension keeps the bar clear of the wing
    red = plain("scale", (0.45, 0.30, 0.03), 0.4)
    parts = [
        b.lathe("socket", [(-0.012, 0.0), (-0.012, 0.0128), (0.0, 0.0135), (0.028, 0.0135), (0.034, 0.0110), (0.040, 0.0110)], chrome, 48),
        b.lathe("extension", [(0.038, 0.0078), (0.040 + out, 0.0078)], chrome, 32),
        b.lathe("head", [(0.036 + out, 0.0), (0.036 + out, 0.020), (0.040 + out, 0.022), (0.062 + out, 0.022), (0.066 + out, 0.019), (0.066 + out, 0.0)], chrome, 56),
    ]
    bar = [(0.0, 0.010), (0.016, 0.0105), (0.055, 0.0085), (0.20, 0.0085), (0.205, 0.0125), (0.30, 0.0125), (0.302, 0.0135), (0.306, 0.0135), (0.308, 0.0155), (0.315, 0.016), (0.43, 0.016), (0.437, 0.013), (0.438, 0.0)]
    tube = b.lathe("bar", bar, chrome, 48, "x")
    tube.location = (0, 0.051 + out, 0)
    parts.append(tube)
    grip = b.lathe("hand", [(0.316, 0.0164), (0.320, 0.0172), (0.428, 0.0172), (0.432, 0.0164)], dark, 48, "x")
    grip.location = (0, 0.051 + out, 0)
    parts.append(grip)
    win = b.box("window", (0.066, 0.003, 0.014), (0.252, 0.0625 + out, 0), red, 0.001)
    parts.append(win)
    ink = plain("ink", (0.01, 0.01, 0.01), 0.5)
    parts.append(b.text("value", "90 N·m", 0.0098, ink, (0.252, 0.0645 + out, 0), (-90, 0, 0), 0.0001))
    parts.append(b.text("name", "TQ-1", 0.0085, ink, (0.13, 0.0596 + out, 0), (-90, 0, 0), 0.0001))
    b.group(parts, tuple(bolt), (0, 186, 0))


ON_CAR: dict[str, tuple[str, tuple[Any, ...]]] = {
    "lens-left": ("090-headlamps/{}/lamp-front-left/lens", ((2.78, 0.92, 0.83), (2.06, 0.575, 0.635), 72, 5.6)),
    "lens-right": ("090-headlamps/{}/lamp-front-right/lens", ((2.86, -0.74, 0.71), (2.06, -0.570, 0.64), 72, 5.6)),
    "chips": ("060-paint-bonnet-wing/{}/bonnet/chips", ((2.72, 0.62, 1.42), (1.86, 0.08, 0.86), 48, 5.6)),
    "edge": ("060-paint-bonnet-wing/{}/wing-front-left/edge", ((2.15, 1.85, 0.92), (1.33, 0.80, 0.585), 50, 5.6)),
    "rim-left": ("110-wheels-tyres/{}/wheel-front-left/rim", ((1.72, 1.62, 0.50), (1.385, 0.73, 0.365), 74, 8.0)),
    "rim-rear": ("110-wheels-tyres/{}/wheel-rear-right/rim", ((-0.86, -1.62, 0.47), (-1.170, -0.73, 0.370), 74, 8.0)),
    "swirls": ("070-paint-correction/{}/door-front-left/swirls", ((-0.02, 1.75, 0.98), (0.20, 0.80, 0.70), 50, 5.6)),
    "oxidation": ("070-paint-correction/{}/roof/oxidation", ((-2.55, 1.30, 2.02), (-0.75, 0.05, 1.42), 42, 8.0)),
    "reflection": ("070-paint-correction/{}/tailgate/reflection", ((-3.20, 0.95, 1.02), (-2.12, 0.16, 0.76), 44, 5.6)),
    "badge": ("020-dismantle-trim/{}/brightwork/badge", ((-2.55, -0.52, 0.88), (-2.14, -0.43, 0.80), 58, 5.6)),
}


def scenes() -> list[Scene]:
    from frames import Scene

    out = []
    for before in (True, False):
        s = "before" if before else "after"
        out.append(Scene(f"car-{s}", lambda before=before: _state(before), [(p.format(s), v) for p, v in ON_CAR.values()], 5))

    def bonnet_gauge() -> None:
        _state(True)
        gauge("102.8", (1.45, 0.02, float(skin_z(1.45, 0.02))), lying(1.45, 0.02, 118))

    def door_gauge() -> None:
        _state(False)
        x, z = 0.05, 0.745
        gauge("121.9", (x, float(form.side_y(np.array(x), np.array(z))), z - 0.03), (90, -7, 180))

    d = "060-paint-bonnet-wing/during/bonnet"
    out += [
        Scene("gauge-bonnet", bonnet_gauge, [("010-intake/before/bonnet/gauge", ((1.74, 0.34, 1.20), (1.44, 0.01, 0.912), 60, 5.6))], 5, upright=True),
        Scene("primer", lambda: _state(True, bonnet="primer"), [(f"{d}/primer", ((3.45, 1.75, 1.85), (1.42, 0.12, 0.76), 40, 5.6))], 5),
        Scene("masked", lambda: _state(True, bonnet="masked", bumper=False), [(f"{d}/masked", ((3.75, 1.95, 1.90), (1.30, 0.10, 0.74), 38, 5.6))], 5),
        Scene("gauge-door", door_gauge, [("070-paint-correction/during/door-front-left/gauge", ((-0.08, 1.32, 0.86), (0.05, 0.80, 0.715), 66, 4.0))], 5),
        Scene("wipe", _wipe, [("080-ceramic-coating/during/roof/wipe", ((-0.98, 0.98, 1.84), (-0.45, 0.11, 1.435), 55, 5.6))], 5),
        Scene("beading", _beads, [("080-ceramic-coating/after/bonnet/beading", ((2.13, 0.40, 1.075), (1.63, 0.06, 0.885), 62, 8.0))], 8),
        Scene("torque", _torque, [("110-wheels-tyres/during/wheel-front-left/torque", ((1.62, 1.86, 0.74), (1.16, 0.74, 0.345), 62, 5.6))], 5),
    ]
    return out
