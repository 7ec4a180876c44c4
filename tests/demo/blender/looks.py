"""Materials of the car: paint as faded as found and as corrected, chrome, glass, rubber, rust."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import masks
from nodes import Shader, plain

BLUE = (0.009, 0.036, 0.130)
FADED = (0.075, 0.135, 0.235)
CHALK = (0.20, 0.26, 0.33)
RUST, RUST_DARK, RUST_LIGHT = (0.19, 0.062, 0.018), (0.055, 0.020, 0.009), (0.33, 0.12, 0.035)
DUST = (0.26, 0.235, 0.20)
SWIRL = (0.20, 0.70)  # x, z on the left front door: where the inspection lamp shows
PRIMER = (0.33, 0.345, 0.35)


def rust_colour(s: Shader, scale: float = 30) -> Any:
    n = s.noise(scale, 8, 0.7)
    return s.mix(s.step(n, 0.3, 0.5), RUST_DARK, s.mix(s.step(n, 0.5, 0.72), RUST, RUST_LIGHT))


def paint(name: str, before: bool, folder: Path | None = None, house: bool = False, bonnet: str = "", wing_new: bool = False, inside: bool = True, open_: bool = True) -> Any:
    """Body colour. folder: of the pictures from masks.py; None: a plain panel. bonnet: '', 'primer', 'masked'. open_: with holes."""
    s = Shader(name)
    p = s.where()
    x, y, z = s.split(p)
    geo = s.node("NewGeometry")
    nx, ny, nz = s.split(geo.outputs["Normal"])
    hole: Any = 0.0
    line: Any = 0.0
    height: Any = 1.0
    wear: Any = 0.0
    if folder is not None:
        views = {
            "side": (s.join(s.mul(s.add(x, 2.3), 1 / masks.WIDE), s.mul(z, 1 / masks.HIGH)), s.step(s.math("ABSOLUTE", ny), 0.48, 0.52)),
            "front": (s.join(s.mul(s.add(y, 0.9), 1 / masks.ACROSS), s.mul(z, 1 / masks.HIGH)), s.step(nx, 0.23 if house else 0.38, 0.25 if house else 0.42)),
            "rear": (s.join(s.mul(s.add(y, 0.9), 1 / masks.ACROSS), s.mul(z, 1 / masks.HIGH)), s.step(nx, -0.38, -0.42)),
        }
        if not house:
            gate = s.mul(s.step(nz, 0.70, 0.74), s.step(z, 0.80, 0.805))
            views["top"] = (s.join(s.mul(s.add(x, 2.3), 1 / masks.WIDE), s.mul(s.add(y, 0.9), 1 / masks.ACROSS)), gate)
        for view, (uv, gate) in views.items():
            r, g, b = s.split(s.image(str(folder / f"{view}.png"), uv).outputs[0])
            hole = s.math("MAXIMUM", hole, s.mul(r, gate)) if open_ else hole
            line = s.math("MAXIMUM", line, s.mul(g, gate))
            height = s.math("MINIMUM", height, s.blend(gate, 1.0, b))
            if view != "top":
                wear = s.math("MAXIMUM", wear, s.mul(s.image(str(folder / f"{view}-wear.png"), uv).outputs[0], gate))
    hole = s.step(hole, 0.45, 0.55) if open_ else hole
    up = s.step(nz, 0.2, 0.95)
    new: Any = 0.0
    on_bonnet = s.mul(s.mul(s.step(x, 0.858, 0.862), s.step(s.math("ABSOLUTE", y), 0.612, 0.608)), s.step(nz, 0.55, 0.6))
    if wing_new:
        new = s.math("MAXIMUM", on_bonnet, s.mul(s.step(x, 0.70, 0.702), s.step(y, 0.45, 0.46)))
    if before:
        blotch = s.noise(2.6, 6, 0.6)
        fine = s.noise(45, 5, 0.7)
        fade = s.math("MULTIPLY", s.blend(up, s.step(blotch, 0.30, 0.75), s.step(blotch, 0.15, 0.55)), s.blend(up, 0.55, 1.0))
        colour = s.mix(fade, (0.030, 0.085, 0.20), FADED)
        colour = s.mix(s.mul(up, s.mul(s.step(s.noise(5, 7, 0.65), 0.48, 0.7), 0.75)), colour, CHALK)
        colour = s.mix(s.mul(s.step(fine, 0.55, 0.8), 0.25), colour, CHALK)
        dirt = s.mul(s.step(z, 0.50, 0.22), s.step(s.noise(7, 6, 0.6), 0.25, 0.6))
        dust = s.mul(s.blend(up, 0.10, 0.42), s.step(s.noise(3.2, 7, 0.62), 0.3, 0.8))
        colour = s.mix(dust, colour, DUST)
        streak = s.step(s.noise(1, 5, 0.6, vec=s.join(s.mul(x, 26), s.mul(y, 26), s.mul(z, 1.6))), 0.52, 0.72)
        colour = s.mix(s.mul(s.mul(streak, 0.28), s.blend(up, 1.0, 0.0)), colour, DUST)
        colour = s.mix(s.mul(dirt, 0.75), colour, (0.12, 0.095, 0.07))
        wear = s.mul(s.math("MINIMUM", s.mul(wear, 1.9), 0.62), s.mul(s.step(x, 0.70, 0.701), s.step(y, 0.3, 0.31)))  # the left front wing only
        edge = s.step(s.add(wear, s.mul(s.add(s.noise(28, 7, 0.65), -0.5), 1.5)), 0.52, 0.58)
        halo = s.step(s.add(wear, s.mul(s.add(s.noise(28, 7, 0.65), -0.5), 1.5)), 0.40, 0.56)
        colour = s.mix(s.mul(halo, 0.8), colour, (0.20, 0.13, 0.085))
        colour = s.mix(edge, colour, rust_colour(s))
        chip = s.mul(s.mul(s.step(s.cells(26), 0.20, 0.17), s.step(s.noise(9, 3), 0.50, 0.6)), s.mul(on_bonnet, s.step(s.add(x, s.mul(s.noise(3), 0.5)), 1.75, 2.1)))
        colour = s.mix(chip, colour, s.mix(s.step(s.noise(60, 3), 0.5, 0.55), (0.42, 0.43, 0.42), RUST))
        if folder is not None and not house:
            at = s.join(s.add(s.mul(s.add(x, -SWIRL[0]), 1 / 0.8), 0.5), s.add(s.mul(s.add(z, -SWIRL[1]), 1 / 0.8), 0.5))
            swirl = s.mul(s.image(str(folder / "swirl.png"), at, "CLIP").outputs[0], s.step(ny, 0.5, 0.6))
            colour = s.mix(s.mul(swirl, 0.85), colour, (0.62, 0.66, 0.70))
        rough = s.blend(edge, s.blend(fade, 0.32, 0.55), 0.9)
        coat = s.mul(s.blend(edge, 0.30, 0.0), s.blend(up, 1.0, 0.45))
        coat_rough: Any = s.blend(up, 0.16, 0.38)
        bumpy = s.bump(s.add(s.mul(edge, s.noise(90, 6, 0.7)), s.mul(chip, -0.6)), 0.0016)
    else:
        colour, rough, coat, coat_rough = BLUE, 0.4, 1.0, 0.025
        bumpy = s.bump(s.noise(22, 2, 0.5), 0.0006, 0.05)
    if bonnet:
        flat = s.noise(4, 4)
        guide = s.mul(s.step(s.noise(300, 2), 0.52, 0.6), s.step(s.add(y, s.mul(s.noise(3, 4), 0.5)), 0.22, 0.30))
        grey = s.mix(s.mul(guide, 0.75), s.mix(flat, (0.30, 0.315, 0.32), (0.36, 0.37, 0.37)), (0.02, 0.02, 0.022))
        colour, rough = s.mix(on_bonnet, colour, grey), s.blend(on_bonnet, rough, 0.62)
        coat = s.blend(on_bonnet, coat, 0.0)
        if bonnet == "masked":
            grey = s.mix(s.noise(5, 5), (0.30, 0.312, 0.318), (0.335, 0.345, 0.35))
            sheets, crease = wrapping(s)
            colour = s.mix(on_bonnet, sheets, grey)
            frame = s.math("SUBTRACT", s.mul(s.mul(s.step(x, 0.828, 0.83), s.step(s.math("ABSOLUTE", y), 0.644, 0.642)), s.step(nz, 0.5, 0.55)), on_bonnet)
            colour = s.mix(s.math("MAXIMUM", frame, 0.0), colour, (0.55, 0.42, 0.10))
            rough, coat = s.blend(on_bonnet, 0.8, 0.5), 0.0
            bumpy = s.bump(s.mul(s.math("SUBTRACT", 1.0, on_bonnet), crease), 0.03)
    elif before and wing_new:
        colour, rough, coat, coat_rough = s.mix(new, colour, BLUE), s.blend(new, rough, 0.4), s.blend(new, coat, 1.0), s.blend(new, coat_rough, 0.02)
    colour = s.mix(line, colour, (0.004, 0.004, 0.005))
    normal = s.bump(height, 0.004, 0.9, bumpy)
    coat = s.mul(coat, s.math("SUBTRACT", 1.0, line))
    skin = s.principled(Base_Color=colour, Roughness=s.blend(line, rough, 0.9), Coat_Weight=coat, Coat_Roughness=coat_rough, Normal=normal, Coat_Normal=normal, Specular_IOR_Level=0.35)
    if inside:
        lining = s.principled(Base_Color=(0.035, 0.034, 0.033), Roughness=0.8)
        skin = s.over(geo.outputs["Backfacing"], skin, lining)
    if folder is not None and open_:
        skin = s.over(hole, skin, s.node("BsdfTransparent").outputs[0])
    return s.done(skin)


def wrapping(s: Shader) -> tuple[Any, Any]:
    """Colour and creases of masking paper laid in sheets half a metre wide, their joints under tape."""
    x, _, z = s.split(s.where())
    way = s.add(s.add(x, s.mul(z, 0.22)), s.mul(s.noise(1.6, 3), 0.06))
    off = s.math("ABSOLUTE", s.add(s.math("FRACT", s.add(s.mul(way, 1 / 0.52), 20.0)), -0.5))
    seam = s.mul(s.step(s.math("ABSOLUTE", s.add(s.split(s.where())[1], 0.17)), 0.017, 0.014), s.step(x, 1.88, 1.90))
    tape = s.math("MAXIMUM", s.mul(s.step(off, 0.028, 0.024), s.step(x, 1.86, 1.84)), seam)
    tone = s.mix(s.noise(9, 7, 0.62), (0.27, 0.185, 0.095), (0.39, 0.285, 0.155))
    colour = s.mix(tape, tone, (0.56, 0.44, 0.13))
    folds = s.math("ABSOLUTE", s.add(s.noise(3.4, 5, 0.62, warp=1.4), -0.5))
    return colour, s.add(s.add(s.mul(folds, -2.4), s.noise(9, 7, 0.7, warp=1.2)), s.mul(tape, 0.10))


def chrome(name: str, before: bool) -> Any:
    s = Shader(name)
    if not before:
        return s.done(s.principled(Base_Color=(0.80, 0.81, 0.83), Metallic=1.0, Roughness=s.blend(s.noise(6, 5), 0.03, 0.09)))
    pit = s.mul(s.step(s.noise(160, 3, 0.6), 0.56, 0.64), s.step(s.noise(7, 5), 0.42, 0.62))
    colour = s.mix(s.step(s.noise(12, 6), 0.3, 0.8), (0.58, 0.58, 0.58), (0.40, 0.385, 0.36))
    return s.done(s.principled(Base_Color=s.mix(pit, colour, RUST), Metallic=s.blend(pit, 1.0, 0.0), Roughness=s.blend(pit, s.blend(s.noise(9, 6), 0.16, 0.42), 0.9), Normal=s.bump(pit, 0.0004)))


def glass(name: str, before: bool, tint: tuple[float, float, float] = (0.80, 0.86, 0.83)) -> Any:
    s = Shader(name)
    f = s.node("Fresnel", {"IOR": 1.5}).outputs[0]
    clear = s.node("BsdfTransparent", {"Color": tint}).outputs[0]
    shine = s.node("BsdfGlossy", {"Roughness": 0.10 if before else 0.01, "Color": (1, 1, 1)}).outputs[0]
    out = s.over(s.math("MINIMUM", s.mul(f, 1.3), 1.0), clear, shine)
    if before:
        veil = s.mul(s.step(s.noise(5, 7, 0.65), 0.3, 0.85), 0.34)
        out = s.over(veil, out, s.node("BsdfDiffuse", {"Color": DUST}).outputs[0])
    return s.done(out)


def rubber(name: str, before: bool) -> Any:
    s = Shader(name)
    n = s.noise(30, 7, 0.6)
    colour = s.mix(s.step(n, 0.3, 0.7), (0.035, 0.034, 0.033), (0.11, 0.105, 0.098)) if before else (0.013, 0.013, 0.014)
    return s.done(s.principled(Base_Color=colour, Roughness=0.75 if before else 0.45, Normal=s.bump(s.noise(250, 3), 0.0003)))


def steel_paint(name: str, before: bool) -> Any:
    """Silver of the wheels."""
    s = Shader(name)
    if not before:
        return s.done(s.principled(Base_Color=(0.52, 0.53, 0.54), Metallic=0.75, Roughness=0.36, Coat_Weight=0.5, Coat_Roughness=0.08))
    n = s.noise(14, 8, 0.68)
    spot = s.step(s.add(n, s.mul(s.noise(120, 4), 0.22)), 0.66, 0.72)
    dirty = s.step(s.noise(9, 6, 0.6), 0.25, 0.75)
    colour = s.mix(dirty, (0.33, 0.325, 0.31), (0.17, 0.15, 0.125))
    return s.done(s.principled(Base_Color=s.mix(spot, colour, rust_colour(s, 60)), Metallic=s.blend(spot, 0.35, 0.0), Roughness=0.68, Normal=s.bump(s.mul(spot, s.noise(200, 4)), 0.001)))


def lens(name: str, colour: tuple[float, float, float], before: bool) -> Any:
    """Ribbed coloured lamp glass."""
    s = Shader(name)
    _, _, z = s.split(s.where())
    ribs = s.math("SINE", s.mul(z, 700.0))
    return s.done(s.principled(Base_Color=colour, Roughness=0.35 if before else 0.06, Coat_Weight=0.3 if before else 1.0, Coat_Roughness=0.3 if before else 0.02, Specular_IOR_Level=0.6, Subsurface_Weight=0.0, Normal=s.bump(ribs, 0.0012)))


def cloth(name: str, colour: tuple[float, float, float], weave: float = 900) -> Any:
    s = Shader(name)
    return s.done(s.principled(Base_Color=s.mix(s.noise(weave, 2), [c * 0.7 for c in colour], [c * 1.2 for c in colour]), Roughness=0.9, Sheen_Weight=0.3, Normal=s.bump(s.noise(weave, 2), 0.001)))


def blacks() -> dict[str, Any]:
    return {"dark": plain("dark", (0.012, 0.012, 0.013), 0.8), "vinyl": plain("vinyl", (0.018, 0.018, 0.019), 0.5, bumpy=(300, 0.0004)), "under": plain("under", (0.02, 0.019, 0.018), 0.85, bumpy=(40, 0.004))}
