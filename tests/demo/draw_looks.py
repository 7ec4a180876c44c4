"""Materials: how paint, metal, rubber, glass, cloth and their decay look."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import fontpkg
import numpy as np
from draw3d import A, F, Material, Surface, arr, fbm, mix, noise, smooth, spots
from PIL import Image, ImageDraw, ImageFont

BLUE = (0.022, 0.075, 0.20)
RUST = (0.20, 0.075, 0.025)


def _flat(s: Surface, scale: float) -> tuple[A, A]:
    """Two coordinates that vary on every plane, for textures without uv."""
    x, y, z = s.p.T * scale
    return np.asarray(x + 0.6 * y, dtype=F), np.asarray(z + 0.8 * y - 0.3 * x, dtype=F)


def fresnel(s: Surface, f0: float = 0.045) -> A:
    return np.asarray((f0 + (1 - f0) * (1 - s.facing) ** 5)[:, None], dtype=F)


def gloss(s: Surface, base: object, shine: float = 1.0, rough: float = 0.0) -> A:
    """Lacquered surface."""
    f = fresnel(s) * shine
    return np.asarray(arr(base) * s.light() * (1 - f) + f * s.mirror(rough), dtype=F)


def chalky(s: Surface, base: object, how: float = 1.0) -> A:
    """Weathered paint: no reflection, greyed, blotchy."""
    blotch = fbm(*_flat(s, 5), 4, 21)
    tint = mix(base, arr(0.17, 0.23, 0.30), np.asarray((0.25 + 0.45 * blotch) * how, dtype=F))
    return np.asarray(tint * s.light() * 1.05 + 0.35 * fresnel(s) * s.mirror(0.6), dtype=F)


def plain(base: object, shine: float = 0.3, rough: float = 0.4) -> Material:
    return lambda s: gloss(s, base, shine, rough)


def chrome(s: Surface, dull: float = 0.0) -> A:
    lit = s.mirror(0.02 + 0.5 * dull)
    out = lit * arr(0.80, 0.82, 0.84) * (1 - 0.45 * dull) + 0.06 * s.light()
    if dull:
        pits = spots(*_flat(s, 150), 0.25, 77)
        out = mix(out, arr(RUST) * s.light(), np.asarray(pits * dull * 0.7, dtype=F))
    return np.asarray(out, dtype=F)


def steel(s: Surface, base: object = (0.55, 0.55, 0.56), rough: float = 0.25) -> A:
    return np.asarray(arr(base) * (s.mirror(rough) * 0.75 + 0.25 * s.light()), dtype=F)


def rusty(s: Surface, scale: float = 30, seed: int = 3) -> A:
    x, y = _flat(s, scale)
    a, b = fbm(x, y, 5, seed), fbm(x * 3, y * 3, 3, seed + 9)
    tint = mix(arr(0.10, 0.035, 0.018), arr(0.34, 0.135, 0.04), smooth(0.3, 0.7, a))
    tint = mix(tint, arr(0.05, 0.035, 0.03), smooth(0.55, 0.8, b))
    return np.asarray(tint * s.light() * (0.75 + 0.5 * b)[:, None], dtype=F)


def rubber(s: Surface, age: float = 0.0) -> A:
    base = 0.018 + 0.05 * age
    out = arr(base, base, base * 1.02) * s.light() * 1.6 + 0.5 * fresnel(s, 0.03) * s.mirror(0.7)
    return np.asarray(out, dtype=F)


def glass(s: Surface) -> A:
    inside = arr(0.012, 0.014, 0.016) + 0.02 * smooth(0.9, 1.2, s.p[:, 2])[:, None]
    return np.asarray(inside + fresnel(s, 0.07) * s.mirror(0.0), dtype=F)


def cloth(s: Surface, base: object, thread: float = 900.0) -> A:
    u, v = s.uv[:, 0] * thread, s.uv[:, 1] * thread
    weave = 0.82 + 0.18 * np.sin(u) * np.sin(v) + 0.12 * (noise(u / 2, v / 2, 4) - 0.5)
    return np.asarray(arr(base) * s.light() * weave[:, None], dtype=F)


def dirt(colour: A, s: Surface, amount: A) -> A:
    """Road dirt over a colour; amount 0..1 a pixel."""
    grain = fbm(*_flat(s, 14), 5, 55)
    mud = arr(0.20, 0.165, 0.12) * s.light() * (0.7 + 0.6 * grain)[:, None]
    return mix(colour, mud, np.asarray(np.clip(amount * (0.4 + 1.2 * grain), 0, 1), dtype=F))


@cache
def font(size: int, weight: int = 500) -> ImageFont.FreeTypeFont:
    """Noto Sans (OFL) from its package: Latin, Greek, Cyrillic."""
    path = Path(fontpkg.family("Noto Sans").files[0].path)
    for f in fontpkg.family("Noto Sans").files:
        if "Italic" not in f.path.name:
            path = f.path
    made = ImageFont.truetype(str(path), size)
    made.set_variation_by_axes([100, weight] if made.get_variation_axes()[0]["minimum"] < 100 else [weight, 100])
    return made


def lettering(text: str, size: tuple[int, int], weight: int = 600, fill: float = 0.72, spread: float = 0.0) -> A:
    """A mask 0..1 with text in the middle, as large as fits."""
    img = Image.new("L", size)
    draw = ImageDraw.Draw(img)
    points = int(size[1] * fill)
    while points > 8:
        f = font(points, weight)
        wide = sum(draw.textlength(c, font=f) + spread * points for c in text) - spread * points
        if wide <= size[0] * 0.92:
            break
        points -= max(1, points // 20)
    x = (size[0] - wide) / 2
    for c in text:
        draw.text((x, size[1] / 2), c, 255, font=f, anchor="lm")
        x += draw.textlength(c, font=f) + spread * points
    return np.asarray(img, dtype=F) / 255


def sample(image: A, u: A, v: A) -> A:
    """Bilinear look-up; u to the right and v upwards, both 0..1; black outside."""
    h, w = image.shape[:2]
    x, y = u * (w - 1), (1 - v) * (h - 1)
    ok = (x >= 0) & (y >= 0) & (x <= w - 1) & (y <= h - 1)
    x, y = np.clip(x, 0, w - 1.001), np.clip(y, 0, h - 1.001)
    i, j = x.astype(np.int64), y.astype(np.int64)
    fx, fy = (x - i), (y - j)
    if image.ndim == 3:
        fx, fy, ok = fx[:, None], fy[:, None], ok[:, None]
    i2, j2 = np.minimum(i + 1, w - 1), np.minimum(j + 1, h - 1)
    top = image[j, i] * (1 - fx) + image[j, i2] * fx
    low = image[j2, i] * (1 - fx) + image[j2, i2] * fx
    return np.asarray(np.where(ok, top * (1 - fy) + low * fy, 0), dtype=F)
