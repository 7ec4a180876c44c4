"""The Talmere 1900 Tourer put together."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import base as b
import bpy
import form
import looks
import masks
import numpy as np
from nodes import Shader, plain
from wheel import wheel


@dataclass(frozen=True)
class State:
    """before: as found. bonnet: '', 'primer', 'masked' (while it is painted)."""

    before: bool
    bonnet: str = ""
    cap: bool = True
    bumper: bool = True


def mask_folder() -> Path:
    folder = Path(bpy.app.tempdir or tempfile.gettempdir()) / "car-masks"
    if not (folder / "swirl.png").exists():
        masks.write(folder)
    return folder


def on_side(points: Any, house: bool, out: float, left: bool) -> np.ndarray:
    p = np.asarray(points)
    y = (form.house_y if house else form.side_y)(p[:, 0], p[:, 1]) + out
    return np.stack([p[:, 0], y if left else -y, p[:, 1]], 1)


def on_end(points: Any, house: bool, out: float, front: bool) -> np.ndarray:
    p = np.asarray(points)
    x = (form.house_x if house else form.end_x)(p[:, 0], p[:, 1], front)
    return np.stack([x + (out if front else -out), p[:, 0], p[:, 1]], 1)


def shells(st: State) -> None:
    folder = mask_folder()
    body = b.grid("body", form.body().transpose(1, 0, 2), None, close_u=True)
    house = b.grid("house", form.glasshouse().transpose(1, 0, 2), None, close_u=True)
    for ob, is_house in ((body, False), (house, True)):
        for open_ in (False, True):
            ob.data.materials.append(looks.paint(ob.name, st.before, folder, is_house, st.bonnet, wing_new=not st.before, open_=open_))
        open_up(ob, folder, is_house)
    if st.bonnet == "masked":  # glass and nose under paper
        sheet = form.glasshouse()[2:69:3].copy()
        sheet[..., 1] *= 1.02
        sheet[..., 0] = (sheet[..., 0] + 0.6) * 1.012 - 0.6
        b.grid("sheet", sheet.transpose(1, 0, 2), paper(), close_u=True)
        y, z = np.meshgrid(np.linspace(-0.74, 0.74, 60), np.linspace(0.36, 0.765, 30), indexing="ij")
        x = form.end_x(y, z) + 0.10 * (1 - ((z - 0.56) / 0.21) ** 2) + 0.01
        b.grid("sheet", np.stack([x, y, z], -1), paper())
    panes = form.glasshouse()[:70:3].copy()
    panes[..., 1] *= 0.988
    panes[..., 0] = (panes[..., 0] + 0.6) * 0.996 - 0.6
    b.grid("panes", panes.transpose(1, 0, 2), looks.glass("glass", st.before), close_u=True).visible_shadow = False


def paper() -> Any:
    s = Shader("paper")
    colour, crease = looks.wrapping(s)
    return s.done(s.principled(Base_Color=colour, Roughness=0.8, Normal=s.bump(crease, 0.03)))


def open_up(ob: Any, folder: Path, house: bool) -> None:
    """Take out the faces that lie wholly in a hole; only those on an edge get the material that can be seen through."""
    import bmesh
    from PIL import Image, ImageFilter

    n = len(ob.data.vertices)
    p, nor = np.empty(n * 3), np.empty(n * 3)
    ob.data.vertices.foreach_get("co", p)
    ob.data.vertex_normals.foreach_get("vector", nor)
    (x, y, z), (nx, ny, nz) = p.reshape(-1, 3).T, nor.reshape(-1, 3).T
    gates = {"side": (np.abs(ny) > 0.5, (x + 2.3) * masks.K, z * masks.K), "front": (nx > (0.24 if house else 0.40), (y + 0.9) * masks.K, z * masks.K), "rear": (nx < -0.4, (y + 0.9) * masks.K, z * masks.K)}
    if not house:
        gates["top"] = ((nz > 0.72) & (z > 0.80), (x + 2.3) * masks.K, (y + 0.9) * masks.K)
    sure, maybe = np.zeros(n, dtype=bool), np.zeros(n, dtype=bool)
    for view, (gate, u, v) in gates.items():
        hole = Image.open(folder / f"{view}.png").split()[0]
        tight, wide = (np.array(hole.filter(f)) for f in (ImageFilter.MinFilter(5), ImageFilter.MaxFilter(15)))
        i, j = np.clip(hole.height - v.astype(int), 0, hole.height - 1), np.clip(u.astype(int), 0, hole.width - 1)
        sure |= gate & (tight[i, j] > 250)
        maybe |= wide[i, j] > 5
    bm = bmesh.new()
    bm.from_mesh(ob.data)
    bm.verts.ensure_lookup_table()
    gone = []
    for f in bm.faces:
        k = [q.index for q in f.verts]
        if sure[k].all():
            gone.append(f)
        elif maybe[k].any():
            f.material_index = 1
    bmesh.ops.delete(bm, geom=gone, context="FACES")
    bm.to_mesh(ob.data)
    bm.free()


def trim(st: State, m: dict[str, Any]) -> None:
    for left in (True, False):
        for w in form.SIDE_WINDOWS:
            b.tube("seal", on_side(w, True, -0.002, left), 0.011, m["rubber"], closed=True, sides=8)
            b.tube("bright", on_side(w, True, 0.006, left), 0.0055, m["chrome"], closed=True, sides=8)
        xs = np.linspace(0.90, -0.86, 80)
        b.tube("moulding", on_side(np.stack([xs, np.full(80, 0.60)], 1), False, 0.004, left), 0.011, m["chrome"], flat=0.5, sides=12)
        for lo, hi in ((2.0, 1.69), (-1.66, -2.03)):
            xs = np.linspace(lo, hi, 30)
            b.tube("moulding", on_side(np.stack([xs, np.full(30, 0.60)], 1), False, 0.004, left), 0.011, m["chrome"], flat=0.5, sides=12)
        for x in form.AXLES:
            t = np.radians(np.linspace(-8, 188, 70))
            arc = np.stack([x + form.ARCH * np.cos(t), 0.315 + form.ARCH * np.sin(t)], 1)
            b.tube("lip", on_side(arc, False, -0.004, left), 0.009, m["lip"], sides=10)
        y = 1 if left else -1
        for x in (-0.19, -0.93):
            base_y = float(form.side_y(np.array(x), np.array(0.815)))
            b.box("handle", (0.135, 0.016, 0.020), (x, y * (base_y + 0.028), 0.815), m["chrome"], 0.007)
            for dx in (-0.052, 0.052):
                b.box("foot", (0.022, 0.034, 0.018), (x + dx, y * (base_y + 0.012), 0.815), m["chrome"], 0.005)
        # mirror
        my = float(form.side_y(np.array(0.50), np.array(0.88)))
        b.tube("stalk", [(0.50, y * (my - 0.02), 0.90), (0.49, y * (my + 0.03), 0.94), (0.48, y * (my + 0.07), 0.985)], 0.007, m["chrome"])
        head = b.lathe("mirror", [(0.028, 0.0), (0.026, 0.02), (0.015, 0.042), (0, 0.052), (-0.008, 0.054), (-0.010, 0.050), (-0.006, 0.0)], m["chrome"], 40, "x")
        b.place(head, (0.485, y * (my + 0.085), 1.005), (0, 0, y * 8), (1, 1.25, 0.9))
        # gutter
        n = form.glasshouse(600, 3)[2]
    b.tube("gutter", n * np.array([1.0, 1.008, 1.0]) + np.array([0, 0, 0.004]), 0.0085, m["chrome"], closed=True, sides=8)
    belt = form.glasshouse(600, 70)[6]
    b.tube("belt", belt + np.array([0, 0, 0.004]), 0.0095, m["chrome"], closed=True, sides=8)
    for w, front in ((form.WINDSCREEN, True), (form.REAR_WINDOW, False)):
        b.tube("seal", on_end(w, True, -0.004, front), 0.015, m["rubber"], closed=True, sides=8)
        b.tube("bright", on_end(w, True, 0.006, front), 0.006, m["chrome"], closed=True, sides=8)
    for y in (-0.42, 0.10):  # wipers rest on the screen
        foot = np.array([0.84, y, 0.945])
        tip = on_end([(y + 0.30, 0.985)], True, 0.012, True)[0]
        b.tube("arm", [foot, (foot + tip) / 2 + (0.02, 0, 0.015), tip], 0.005, m["steel"])
        blade = on_end([(y + 0.10 + 0.38 * t, 0.962 + 0.05 * t) for t in np.linspace(0, 1, 12)], True, 0.008, True)
        b.tube("blade", blade, 0.006, m["rubber"])


def _bar(front: bool, z: float, out: float, n: int = 120) -> np.ndarray:
    """A path round the nose or tail, parallel to the skin."""
    y = np.concatenate([np.linspace(-1, 1, n) * 0.72])
    x = form.end_x(y, np.full(n, z), front)
    mid = np.stack([x + (out if front else -out), y * 1.0, np.full(n, z)], 1)
    reach = 0.36
    s = np.linspace(0, 1, 16)[1:]
    ends = []
    for sign in (-1, 1):
        x0 = mid[0 if sign < 0 else -1]
        xx = x0[0] + (-1 if front else 1) * reach * s
        yy = sign * (0.835 - (0.835 - abs(x0[1])) * (1 - s) ** 3)
        ends.append(np.stack([xx, yy, np.full(len(s), z)], 1))
    return np.concatenate([ends[0][::-1], mid, ends[1]])


def _round(path: np.ndarray, times: int = 10) -> np.ndarray:
    p = path.copy()
    for _ in range(times):
        p[1:-1] = 0.25 * p[:-2] + 0.5 * p[1:-1] + 0.25 * p[2:]
    return p


def bumpers(st: State, m: dict[str, Any]) -> None:
    for front in (True, False):
        if front and not st.bumper:
            continue
        path = _round(_bar(front, 0.425, 0.055), 14)
        b.tube("bumper", path, 0.060, m["chrome"], flat=0.38, sides=24)
        b.tube("bumper-strip", path + np.array([0.024 if front else -0.024, 0, 0]), 0.012, m["rubber"], flat=0.6, sides=10)
        for y in (-0.33, 0.33):
            x = float(form.end_x(np.array(y), np.array(0.425), front)) + (0.085 if front else -0.085)
            b.box("overrider", (0.055, 0.042, 0.175), (x, y, 0.425), m["chrome"], 0.018)


def nose(st: State, m: dict[str, Any]) -> None:
    back = on_end([(y, 0.64) for y in np.linspace(-0.76, 0.76, 40)], False, -0.085, True)
    wall = np.stack([back + np.array((0, 0, h)) for h in (-0.13, 0.13)], 0)
    b.grid("recess", wall, m["dark"])
    b.tube("surround", on_end(form.GRILLE, False, 0.003, True), 0.011, m["chrome"], closed=True, sides=10)
    edge = on_end(form.GRILLE, False, 0.0, True)
    b.grid("throat", np.stack([edge, edge - (0.085, 0, 0)], 0), m["dark"], close_v=True)
    for y in np.arange(-0.432, 0.433, 0.018):
        x = float(form.end_x(np.array(y), np.array(0.64), True)) - 0.030
        b.box("bar", (0.022, 0.0045, 0.192), (x, y, 0.6385), m["bars"], 0.0018, segments=2)
    for z in (0.600, 0.677):
        p = on_end([(y, z) for y in np.linspace(-0.44, 0.44, 40)], False, -0.016, True)
        b.tube("rail", p, 0.005, m["chrome"], flat=0.8)
    for sign in (-1, 1):
        y, z = sign * form.LAMP[0], form.LAMP[1]
        x = float(form.end_x(np.array(abs(y) - 0.03), np.array(z), True)) - 0.022
        headlamp(x, y, z, st.before, m)
        pod = [on_end([(sign * q, zz) for q in np.linspace(0.450, 0.735, 24)], False, -0.045, True) for zz in (0.535, 0.742)]
        b.grid("pod", np.stack(pod), m["pod"])
        p = [(x - 0.03, sign * (0.455 + d), z2) for d, z2 in ((0.0, 0.545), (0.0, 0.733))]
        b.tube("divider", p, 0.007, m["chrome"])
        px = float(form.end_x(np.array(abs(y)), np.array(0.515), True))
        b.box("indicator", (0.03, 0.15, 0.036), (px - 0.004, y - sign * 0.01, 0.506), looks.lens("amber", (0.75, 0.22, 0.01), st.before), 0.008, (0, 0, -sign * 9))
    x = float(form.end_x(np.array(0.0), np.array(0.64), True))
    b.lathe("emblem", [(0.012, 0), (0.012, 0.026), (0.008, 0.034), (-0.006, 0.036)], m["chrome"], 48, "x").location = (x - 0.01, 0, 0.6385)
    b.lathe("enamel", [(0.0135, 0), (0.0132, 0.022)], plain("enamel", (0.35, 0.02, 0.02), 0.2, coat=1), 48, "x").location = (x - 0.01, 0, 0.6385)
    b.text("initial", "T", 0.034, m["chrome"], (x + 0.005, 0, 0.6385), (90, 0, 90), 0.0015)
    xb = float(form.end_x(np.array(0.0), np.array(0.80), True)) - 0.018
    b.text("marque", "TALMERE", 0.036, m["chrome"], (xb + 0.004, 0, 0.772), (80, 0, 90), 0.002, 0.0008, spacing=1.7)


def headlamp(x: float, y: float, z: float, before: bool, m: dict[str, Any]) -> None:
    """Ring, reflector and fluted glass, facing forward."""
    R = 0.087
    parts = [
        b.lathe("bezel", [(-0.03, R + 0.012), (0.012, R + 0.011), (0.021, R + 0.004), (0.018, R - 0.004), (0.0, R - 0.006)], m["chrome"], 72, "x"),
        b.lathe("bowl", [(0.0, R - 0.002), (-0.030, R * 0.80), (-0.055, R * 0.5), (-0.068, 0.014), (-0.068, 0.0)], m["silver"], 72, "x"),
        b.lathe("bulb", [(-0.068, 0.012), (-0.04, 0.012), (-0.032, 0.007), (-0.026, 0.0)], plain("bulb", (0.9, 0.9, 0.9), 0.1), 24, "x"),
        b.lathe("lamp-glass", [(0.008, R - 0.003), (0.017, R * 0.86), (0.026, R * 0.5), (0.029, 0.0)], lamp_glass(before), 72, "x"),
    ]
    b.group(parts, (x, y, z))


def lamp_glass(before: bool) -> Any:
    """Flutes as the maker's moulding; haze as found."""
    s = Shader("lamp-glass")
    _, y, z = s.split(s.where())
    flutes = s.math("ABSOLUTE", s.math("SINE", s.mul(y, 260.0)))
    bands = s.step(s.math("ABSOLUTE", s.add(z, 0.012)), 0.026, 0.029)
    h = s.mul(flutes, s.blend(bands, 1.0, 0.35))
    n = s.bump(h, 0.004, 0.8)
    f = s.node("Fresnel", {"IOR": 1.5, "Normal": n}).outputs[0]
    deep = s.node("BsdfRefraction", {"IOR": 1.10, "Roughness": 0.25 if before else 0.02, "Normal": n, "Color": (0.93, 0.95, 0.94)}).outputs[0]
    out = s.over(f, deep, s.node("BsdfGlossy", {"Roughness": 0.22 if before else 0.015, "Normal": n, "Color": (1, 1, 1)}).outputs[0])
    if before:
        n1 = s.noise(18, 8, 0.62)
        veil = s.blend(s.step(n1, 0.25, 0.75), 0.42, 0.80)
        speck = s.step(s.noise(240, 4, 0.7), 0.60, 0.68)
        milk = s.mix(s.step(s.noise(11, 6), 0.35, 0.7), (0.50, 0.47, 0.38), (0.36, 0.31, 0.21))
        out = s.over(s.math("MAXIMUM", veil, s.mul(speck, 0.8)), out, s.node("BsdfDiffuse", {"Color": milk, "Normal": n}).outputs[0])
    else:
        out = s.over(0.04, out, s.node("BsdfDiffuse", {"Color": (0.8, 0.82, 0.8), "Normal": n}).outputs[0])
    return s.done(out)


def plate(at: tuple[float, float, float], turn: tuple[float, float, float], font: str | None) -> None:
    white = plain("plate", (0.62, 0.61, 0.56), 0.35, coat=0.3)
    ink = plain("plate-ink", (0.01, 0.01, 0.012), 0.4)
    parts = [b.box("plate", (0.44, 0.006, 0.115), (0, 0, 0), white, 0.0025), b.text("number", "QX-417-T", 0.088, ink, (0, -0.0035, 0.0), (90, 0, 0), 0.0008, font=font, spacing=1.06)]
    for dx in (-0.185, 0.185):
        screw = b.lathe("screw", [(-0.0065, 0), (-0.006, 0.005), (-0.003, 0.006)], plain("screw", (0.5, 0.5, 0.5), 0.3, 1.0), 16)
        screw.location = (dx, 0, 0.04)
        parts.append(screw)
    b.group(parts, at, turn)


def tail(st: State, m: dict[str, Any], font: str | None) -> None:
    for sign in (-1, 1):
        for z, h, colour in ((0.83, 0.07, (0.55, 0.17, 0.008)), (0.715, 0.15, (0.34, 0.006, 0.008)), (0.61, 0.05, (0.55, 0.53, 0.50))):
            x = float(form.end_x(np.array(0.69), np.array(z), False))
            b.box("tail-lamp", (0.05, 0.074, h), (x + 0.004, sign * 0.690, z), looks.lens("tail" + str(z), colour, st.before), 0.012, (0, 0, sign * 14))
    x = float(form.end_x(np.array(0.0), np.array(0.60), False))
    plate((x - 0.010, 0, 0.605), (0, 0, -90), font)
    b.box("number-lamp", (0.05, 0.20, 0.030), (x - 0.022, 0, 0.69), m["chrome"], 0.010)
    b.box("grip", (0.03, 0.13, 0.028), (x - 0.012, 0, 0.775), m["chrome"], 0.009)
    lift = 4.0 if st.before else 0.0  # as found one corner stands off
    b.text("badge", "1900", 0.052, m["chrome"], (x - 0.006 - 0.0015 * lift, -0.44, 0.80), (90, -lift, -90 - lift), 0.003, 0.001, spacing=1.25)
    b.text("script", "Talmere", 0.062, m["chrome"], (x - 0.006, 0.43, 0.80), (90, 0, -90), 0.003, 0.001, font=font)
    b.tube("exhaust", [(-1.7, 0.42, 0.24), (-2.0, 0.42, 0.235), (-2.17, 0.42, 0.225)], 0.020, m["steel"])


def inside(m: dict[str, Any], cloth: Any) -> None:
    b.box("floor", (3.5, 1.10, 0.02), (-0.1, 0, 0.262), m["under"])
    b.box("floor-sides", (1.75, 1.44, 0.02), (0.02, 0, 0.264), m["under"])
    b.box("engine-bay", (1.0, 0.86, 0.42), (1.36, 0, 0.47), m["dark"])
    b.box("boot", (1.05, 1.30, 0.04), (-1.50, 0, 0.66), m["vinyl"])
    b.box("boot-sill", (0.02, 1.1, 0.40), (-1.9, 0, 0.48), m["dark"])
    b.box("scuttle", (0.10, 1.34, 0.62), (0.83, 0, 0.55), m["dark"])
    b.box("dash", (0.34, 1.32, 0.20), (0.62, 0, 0.835), m["vinyl"], 0.05)
    b.box("binnacle", (0.18, 0.40, 0.08), (0.50, 0.36, 0.925), m["vinyl"], 0.03)
    for y in (0.36, -0.36):
        b.box("cushion", (0.50, 0.50, 0.16), (-0.02, y, 0.50), cloth, 0.06, (0, -8, 0))
        b.box("back", (0.13, 0.50, 0.56), (-0.30, y, 0.80), cloth, 0.055, (0, -14, 0))
    b.box("bench", (0.50, 1.26, 0.17), (-0.80, 0, 0.50), cloth, 0.06, (0, -6, 0))
    b.box("bench-back", (0.13, 1.26, 0.50), (-1.06, 0, 0.76), cloth, 0.055, (0, -14, 0))
    t = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    rim = [b.tube("rim", np.stack([0 * t, 0.195 * np.cos(t), 0.195 * np.sin(t)], 1), 0.011, m["vinyl"], closed=True)]
    rim += [b.tube("spoke", [(0, 0, 0), (0.01, 0.1 * c, 0.1 * s), (0, 0.19 * c, 0.19 * s)], 0.008, m["chrome"]) for c, s in ((1, 0), (-1, 0), (0, -1))]
    rim += [b.lathe("hub", [(-0.03, 0), (-0.028, 0.04), (0, 0.045)], m["vinyl"], 24, "x")]
    b.group(rim, (0.30, 0.36, 0.90), (0, -25, 0))


def car(st: State, font: str | None) -> None:
    bl = looks.blacks()
    m = {
        **bl, "chrome": looks.chrome("chrome", st.before), "rubber": looks.rubber("rubber", st.before), "steel": plain("steel", (0.3, 0.3, 0.3), 0.45, 1.0),
        "bars": plain("bars", (0.55, 0.56, 0.58), 0.28 if not st.before else 0.5, 1.0), "silver": plain("silver", (0.85, 0.86, 0.87), 0.10, 1.0),
        "pod": plain("pod", (0.30, 0.305, 0.31), 0.4, 0.6), "lip": looks.paint("lip", st.before, None, inside=False),
    }  # fmt: skip
    shells(st)
    trim(st, m)
    bumpers(st, m)
    nose(st, m)
    x = float(form.end_x(np.array(0.0), np.array(0.425), True))
    if st.bumper:
        plate((x + 0.098, 0, 0.425), (0, 0, 90), font)
    tail(st, m, font)
    inside(m, looks.cloth("seats", (0.06, 0.055, 0.05)))
    for ax in form.AXLES:
        for sign in (-1, 1):
            t = np.radians(np.linspace(4, 176, 50))[:, None]
            arch = [np.stack([ax + 0.366 * np.cos(t), 0 * t + sign * yy, 0.315 + 0.366 * np.sin(t)], -1)[:, 0] for yy in (0.775, 0.36)]
            b.grid("liner", np.stack(arch), m["dark"])
            b.box("liner-end", (0.76, 0.02, 0.5), (ax, sign * 0.36, 0.5), m["dark"])
            w = wheel(st.before, st.cap)
            b.place(w, (ax, sign * form.TRACK, form.WHEEL), (0, 37 * ax + 11 * sign, 0 if sign > 0 else 180))
