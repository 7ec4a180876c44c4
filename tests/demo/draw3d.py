"""A small picture maker for the invented jobs: meshes, a depth buffer, a workshop to stand in and to be reflected.

Lengths in metres, x forward, y left, z up. Colours are linear RGB 0..1. Everything is a function of its seed.
Needs numpy and Pillow only; speed comes from working on whole arrays.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import numpy.typing as npt

A = npt.NDArray[np.float32]
F = np.float32


def arr(*values: object) -> A:
    return np.array(values[0] if len(values) == 1 else values, dtype=F)


def unit(v: A) -> A:
    return np.asarray(v / np.maximum(np.linalg.norm(v, axis=-1, keepdims=True), 1e-9), dtype=F)


def smooth(low: float, high: float, x: A) -> A:
    """0 below low, 1 above high, smooth between (low may exceed high)."""
    t = np.clip((x - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t), dtype=F)


def mix(a: object, b: object, t: A) -> A:
    """a where t is 0, b where it is 1; colours, or rows of colours, and one t a row."""
    t = np.asarray(t, dtype=F)[:, None]
    return np.asarray(arr(a) * (1 - t) + arr(b) * t, dtype=F)


@cache
def _lattice(seed: int) -> A:
    return np.random.default_rng(seed + 1000).random(65536, dtype=F)


def noise(x: A, y: A, seed: int = 0) -> A:
    """Value noise 0..1 on a unit lattice."""
    table = _lattice(seed)
    x, y = np.asarray(x, dtype=F), np.asarray(y, dtype=F)
    fx, fy = np.floor(x), np.floor(y)
    xf, yf = x - fx, y - fy
    xi, yi = fx.astype(np.int32) & 255, fy.astype(np.int32) & 255
    u, v = xf * xf * (3 - 2 * xf), yf * yf * (3 - 2 * yf)

    def at(i: npt.NDArray[np.int32], j: npt.NDArray[np.int32]) -> A:
        return table.take(((i & 255) << 8) | (j & 255))

    top = at(xi, yi) * (1 - u) + at(xi + 1, yi) * u
    low = at(xi, yi + 1) * (1 - u) + at(xi + 1, yi + 1) * u
    return np.asarray(top * (1 - v) + low * v, dtype=F)


def fbm(x: A, y: A, octaves: int = 4, seed: int = 0) -> A:
    total, size, weight = np.zeros_like(x, dtype=F), 1.0, 0.5
    for k in range(octaves):
        total = total + weight * noise(x * size, y * size, seed + k)
        size, weight = size * 2.03, weight / 2
    return np.asarray(total / (1 - 0.5**octaves), dtype=F)


def spots(x: A, y: A, share: float, seed: int = 0, low: float = 0.15, high: float = 0.45) -> A:
    """Round spots, one at most in each lattice cell: 1 in the middle, 0 outside."""
    xi, yi = np.floor(x), np.floor(y)
    pick = noise(xi, yi, seed)
    cx = 0.3 + 0.4 * noise(xi, yi, seed + 1)
    cy = 0.3 + 0.4 * noise(xi, yi, seed + 2)
    r = low + (high - low) * noise(xi, yi, seed + 3)
    d = np.hypot(x - xi - cx, y - yi - cy) / r
    return np.asarray(np.where(pick < share, smooth(1.0, 0.75, d), 0), dtype=F)


@dataclass
class Surface:
    """What a material gets to work with, one row a pixel: place, normal (towards us), view, uv."""

    p: A
    n: A
    v: A
    uv: A
    room: Room

    @property
    def facing(self) -> A:
        return np.asarray(np.clip((self.n * self.v).sum(-1), 0, 1), dtype=F)

    def mirror(self, rough: float = 0.0) -> A:
        """What the surface reflects."""
        r = 2 * (self.n * self.v).sum(-1, keepdims=True) * self.n - self.v
        return self.room.look(self.p, np.asarray(r, dtype=F), rough)

    def light(self) -> A:
        """Diffuse light falling on it."""
        up = 0.5 + 0.5 * self.n[:, 2]
        key = np.clip((self.n * unit(self.room.key)).sum(-1), 0, 1)
        low = smooth(-0.05, 0.5, self.p[:, 2] - self.room.floor) * 0.45 + 0.55
        return np.asarray((0.18 + 0.42 * up + 0.6 * key) * low, dtype=F)[:, None]

    def bump(self, height: Callable[[A, A], A], strength: float, step: float = 1e-3) -> None:
        """Tilt the normals as a relief of uv would."""
        u, v = self.uv[:, 0], self.uv[:, 1]
        h = height(u, v)
        du, dv = (height(u + step, v) - h) / step, (height(u, v + step) - h) / step
        side = np.where(np.abs(self.n[:, 2:3]) > 0.9, arr(1, 0, 0), arr(0, 0, 1))
        t1 = unit(np.cross(side, self.n))
        t2 = np.cross(self.n, t1)
        self.n = unit(self.n - strength * (du[:, None] * t1 + dv[:, None] * t2))


Material = Callable[[Surface], A]


def material(look: Material) -> Material:
    """The same function, named for what it is."""
    return look


@dataclass
class Room:
    """The workshop: walls, strip lights, a gate with daylight; seen behind and seen in every shiny thing."""

    low: tuple[float, float, float] = (-7.5, -5.5, 0.0)
    high: tuple[float, float, float] = (7.5, 5.5, 3.6)
    key: A = field(default_factory=lambda: arr(0.35, 0.5, 0.8))
    floor: float = 0.0
    strips: tuple[float, ...] = (-3.6, -1.2, 1.2, 3.6)
    bright: float = 1.0
    shadow: Callable[[A, A], A] | None = None
    seed: int = 5

    def look(self, p: A, d: A, rough: float = 0.0) -> A:
        """The light that comes from direction d at place p."""
        low, high = arr(self.low), arr(self.high)
        d = np.where(np.abs(d) < 1e-5, F(1e-5), d)
        t = np.where(d > 0, (high - p) / d, (low - p) / d)
        t = np.maximum(t, 1e-3)
        axis = np.argmin(t, axis=-1)
        hit = p + d * np.take_along_axis(t, axis[:, None], -1)
        x, y, z = hit[:, 0], hit[:, 1], hit[:, 2]
        up, down = (axis == 2) & (d[:, 2] > 0), (axis == 2) & (d[:, 2] <= 0)
        out = self._wall(x, y, z, axis, rough)
        soft = 0.04 + 1.6 * rough
        strip = np.zeros_like(x)
        for at in self.strips:
            strip = np.maximum(strip, smooth(0.16 + soft, 0.16 - 0.02, np.abs(y - at)))
        strip = strip * smooth(2.6 + soft, 2.6 - 0.04, np.abs(np.abs(x) - 3.4))
        beams = 0.9 + 0.1 * smooth(0.1, 0.06, np.abs((x % 1.5) - 0.75))
        ceiling = arr(0.30, 0.31, 0.32) * beams[:, None] + strip[:, None] * arr(4.2, 4.3, 4.4) / (1 + 2.2 * rough)
        out = np.where(up[:, None], ceiling, out)
        ground = self.ground(x, y) if not rough else np.full((len(x), 3), 0.2, dtype=F)
        out = np.where(down[:, None], ground, out)
        return np.asarray(out * self.bright, dtype=F)

    def _wall(self, x: A, y: A, z: A, axis: npt.NDArray[np.int64], rough: float) -> A:
        along = np.where(axis == 0, y, x)
        edge = 0.02 + 0.4 * rough
        wall = mix(arr(0.20, 0.27, 0.29), arr(0.62, 0.62, 0.58), smooth(1.15 - edge, 1.15 + edge, z))
        wall = wall * (0.93 + 0.07 * fbm(along * 2, z * 2, 3, self.seed))[:, None]
        gate = smooth(2.1 + edge, 2.1 - edge, np.abs(y + 0.5)) * smooth(2.9 + edge, 2.9 - edge, z) * (axis == 0) * (x > 0)
        panes = 0.8 + 0.2 * smooth(0.03, 0.05, np.abs((z % 0.58) - 0.29)) * smooth(0.03, 0.05, np.abs((y % 0.7) - 0.35))
        wall = mix(wall, arr(1.5, 1.6, 1.7) * panes[:, None], gate.astype(F))
        if rough < 0.2:  # shelves with boxes along the sides
            rack = (axis == 1) & (z < 2.2) & (np.abs(x + 1.0) < 4.6)
            cell = np.floor(x / 0.62)
            level = np.floor(z / 0.55)
            tall = 0.15 + 0.28 * noise(cell, level, 31)
            box = (z % 0.55 < tall) & (np.abs(x / 0.62 - cell - 0.5) < 0.42)
            grey = 0.12 + 0.3 * noise(cell, level, 41)[:, None]
            tint = grey * (0.85 + 0.3 * np.stack([noise(cell, level, k) for k in (42, 43, 44)], -1)) * arr(1.05, 0.95, 0.8)
            shelf = np.where((z % 0.55 > 0.51)[:, None], arr(0.32, 0.33, 0.34), arr(0.06, 0.07, 0.08))
            wall = np.where(rack[:, None], np.where(box[:, None], tint * 0.8, shelf), wall)
        return wall

    def ground(self, x: A, y: A) -> A:
        """The concrete floor with joints, stains and whatever shadow falls on it."""
        tone = 0.22 + 0.10 * (fbm(x * 1.3, y * 1.3, 5, self.seed) - 0.5) + 0.06 * (noise(x * 60, y * 60, 3) - 0.5)
        joint = np.minimum(np.abs((x + 0.9) % 3.0 - 1.5), np.abs((y + 0.4) % 3.0 - 1.5))
        tone = tone * (0.72 + 0.28 * smooth(0.008, 0.02, joint))
        colour = tone[:, None] * arr(1.0, 0.99, 0.95)
        line = smooth(0.05, 0.04, np.abs(np.abs(y) - 1.75)) * smooth(3.3, 3.2, np.abs(x))
        colour = mix(colour, arr(0.55, 0.42, 0.08), line * 0.7)
        if self.shadow is not None:
            colour = colour * (1 - self.shadow(x, y))[:, None]
        return colour


@dataclass
class Mesh:
    """Triangles with a material. skip: drops parts of it by place (holes)."""

    v: A
    n: A
    uv: A
    t: npt.NDArray[np.int64]
    material: Material
    skip: Callable[[A], npt.NDArray[np.bool_]] | None = None

    def moved(self, matrix: A | None = None, by: Sequence[float] = (0, 0, 0)) -> Mesh:
        m = np.eye(3, dtype=F) if matrix is None else matrix
        n = self.n @ np.linalg.inv(m).astype(F)
        return Mesh(np.asarray(self.v @ m.T + arr(list(by)), dtype=F), unit(n), self.uv, self.t, self.material, self.skip)


def turn(axis: str, degrees: float) -> A:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return arr({"x": [[1, 0, 0], [0, c, -s], [0, s, c]], "y": [[c, 0, s], [0, 1, 0], [-s, 0, c]], "z": [[c, -s, 0], [s, c, 0], [0, 0, 1]]}[axis])


def grid(p: A, material: Material, uv: A | None = None, **more: object) -> Mesh:
    """A mesh from a (rows, columns, 3) net of points."""
    rows, cols = p.shape[:2]
    du, dv = np.gradient(p, axis=0), np.gradient(p, axis=1)
    n = np.cross(du, dv)
    flat = np.linalg.norm(n, axis=-1) < 1e-12
    if flat.any():
        n = np.where(flat[..., None], p - p.reshape(-1, 3).mean(0), n)
    i = np.arange(rows * cols).reshape(rows, cols)
    a, b, c, d = i[:-1, :-1].ravel(), i[1:, :-1].ravel(), i[1:, 1:].ravel(), i[:-1, 1:].ravel()
    if uv is None:
        u, v = np.meshgrid(np.linspace(0, 1, rows), np.linspace(0, 1, cols), indexing="ij")
        uv = np.stack([u, v], -1)
    t = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
    return Mesh(p.reshape(-1, 3).astype(F), unit(n.reshape(-1, 3)), uv.reshape(-1, 2).astype(F), t, material, **more)  # type: ignore[arg-type]


def sheet(size: tuple[float, float], material: Material, cells: int = 2, lift: Callable[[A, A], A] | None = None) -> Mesh:
    """A rectangle in the xy plane, middle at the origin, uv in metres from the middle; lift gives z."""
    x, y = np.meshgrid(np.linspace(-size[0] / 2, size[0] / 2, cells), np.linspace(-size[1] / 2, size[1] / 2, cells), indexing="ij")
    z = lift(x.astype(F), y.astype(F)) if lift else np.zeros_like(x)
    return grid(np.stack([x, y, z], -1).astype(F), material, np.stack([x, y], -1))


def lathe(profile: Sequence[tuple[float, float]], material: Material, parts: int = 96, fine: int = 4) -> Mesh:
    """Turned about z: profile of (radius, z); uv = (turns 0..1, length along the profile in metres)."""
    pts = np.array(profile, dtype=F)
    s = np.linspace(0, len(pts) - 1, (len(pts) - 1) * fine + 1)
    r, h = np.interp(s, np.arange(len(pts)), pts[:, 0]), np.interp(s, np.arange(len(pts)), pts[:, 1])
    length = np.concatenate([[0], np.cumsum(np.hypot(np.diff(r), np.diff(h)))])
    a = np.linspace(0, 2 * math.pi, parts + 1)
    p = np.stack([r[:, None] * np.cos(a), r[:, None] * np.sin(a), np.repeat(h[:, None], len(a), 1)], -1)
    uv = np.stack(np.broadcast_arrays((a / 2 / math.pi)[None, :], length[:, None]), -1)
    made = grid(p.astype(F), material, uv)
    # flat shading across the profile's corners: normals from the profile itself
    dr, dh = np.gradient(r), np.gradient(h)
    n = np.stack([dh[:, None] * np.cos(a), dh[:, None] * np.sin(a), np.repeat(-dr[:, None], len(a), 1)], -1)
    made.n = unit(n.reshape(-1, 3).astype(F))
    return made


def rounded(half: Sequence[float], radius: float, material: Material, cells: int = 9) -> Mesh:
    """A box with rounded edges; uv in metres on each face."""
    h = arr(list(half))
    radius = min(radius, float(h.min()) * 0.999)
    s = np.concatenate([np.linspace(-1, -0.8, cells // 2), np.linspace(-0.6, 0.6, 3), np.linspace(0.8, 1, cells // 2)])
    meshes = []
    for axis in range(3):
        for sign in (-1, 1):
            b, c = [k for k in range(3) if k != axis]
            hb, hc = float(h[b]), float(h[c])
            ub = np.sign(s) * (np.where(np.abs(s) >= 0.8, (hb - radius) + radius * np.tan((np.abs(s) - 0.8) / 0.2 * math.pi / 4), np.abs(s) / 0.8 * (hb - radius)))
            uc = np.sign(s) * (np.where(np.abs(s) >= 0.8, (hc - radius) + radius * np.tan((np.abs(s) - 0.8) / 0.2 * math.pi / 4), np.abs(s) / 0.8 * (hc - radius)))
            gb, gc = np.meshgrid(ub, uc, indexing="ij")
            p = np.zeros((*gb.shape, 3), dtype=F)
            p[..., axis], p[..., b], p[..., c] = sign * h[axis], gb, gc
            core = np.clip(p, -(h - radius), h - radius)
            n = unit(p - core)
            made = grid(np.asarray(core + radius * n, dtype=F), material, np.stack([gb, gc], -1).astype(F))
            made.n = n.reshape(-1, 3)
            meshes.append(made)
    return join(meshes)


def tube(path: Sequence[Sequence[float]], radius: float | Sequence[float], material: Material, parts: int = 24, fine: int = 12) -> Mesh:
    """A round bar or hose along a smooth path; uv = (round it, metres along it)."""
    pts = np.array(path, dtype=float)
    if len(pts) > 2:
        ext = np.vstack([2 * pts[0] - pts[1], pts, 2 * pts[-1] - pts[-2]])
        out = []
        for k in range(1, len(ext) - 2):
            for t in np.linspace(0, 1, fine, endpoint=False):
                p0, p1, p2, p3 = ext[k - 1 : k + 3]
                out.append(0.5 * (2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2 + (3 * p1 - p0 - 3 * p2 + p3) * t**3))
        line = np.array([*out, pts[-1]])
    else:
        line = np.linspace(pts[0], pts[1], 8)
    d = unit(np.gradient(line, axis=0).astype(F))
    ref = arr(0, 0, 1) if abs(float(d[0, 2])) < 0.9 else arr(1, 0, 0)
    a1 = unit(np.cross(d, np.broadcast_to(ref, d.shape)).astype(F))
    a2 = np.cross(d, a1)
    a = np.linspace(0, 2 * math.pi, parts + 1)
    r = np.full(len(line), radius) if isinstance(radius, int | float) else np.interp(np.linspace(0, 1, len(line)), np.linspace(0, 1, len(radius)), radius)
    n = a1[:, None] * np.cos(a)[None, :, None] + a2[:, None] * np.sin(a)[None, :, None]
    p = line[:, None] + n * r[:, None, None]
    length = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    uv = np.stack(np.broadcast_arrays((a / 2 / math.pi)[None, :], length[:, None]), -1)
    made = grid(p.astype(F), material, uv.astype(F))
    made.n = unit(n.reshape(-1, 3).astype(F))
    return made


def join(meshes: Sequence[Mesh]) -> Mesh:
    """Meshes of one material as one."""
    base, ts = 0, []
    for m in meshes:
        ts.append(m.t + base)
        base += len(m.v)
    cat = [np.concatenate([getattr(m, k) for m in meshes]) for k in ("v", "n", "uv")]
    return Mesh(cat[0], cat[1], cat[2], np.concatenate(ts), meshes[0].material, meshes[0].skip)
