"""The camera of the picture maker: from meshes in a room to a picture with tone, grain and corner fall-off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from draw3d import A, F, Mesh, Room, Surface, arr, unit
from PIL import Image, ImageFilter


@dataclass
class Shot:
    """A camera: where it stands, what it looks at, how wide (degrees across)."""

    eye: Sequence[float]
    at: Sequence[float]
    wide: float = 40.0
    size: tuple[int, int] = (1600, 1200)
    over: float = 1.5
    exposure: float = 1.0
    warm: float = 0.0

    def frame(self) -> tuple[A, A, A, A, float]:
        eye = arr(list(self.eye))
        forward = unit(arr(list(self.at)) - eye)
        right = unit(np.cross(forward, arr(0, 0, 1) if abs(float(forward[2])) < 0.995 else arr(0, 1, 0)).astype(F))
        up = np.cross(right, forward)
        return eye, right, up.astype(F), forward, self.size[0] * self.over / 2 / math.tan(math.radians(self.wide / 2))


def _raster(shot: Shot, meshes: Sequence[Mesh]) -> tuple[npt.NDArray[np.int64], A, A, A]:
    """Which triangle is seen at each pixel (-1 none), with its barycentric weights and depth."""
    eye, right, up, forward, f = shot.frame()
    w, h = int(shot.size[0] * shot.over), int(shot.size[1] * shot.over)
    depth = np.full(w * h, np.inf, dtype=F)
    seen = np.full(w * h, -1, dtype=np.int64)
    bary = np.zeros((w * h, 2), dtype=F)
    base = 0
    for mesh in meshes:
        q = mesh.v - eye
        z = q @ forward
        zs = np.maximum(z, 1e-4)
        sx, sy = w / 2 + f * (q @ right) / zs, h / 2 - f * (q @ up) / zs
        t = mesh.t
        tx, ty, tz = sx[t], sy[t], z[t]
        x0, y0 = np.floor(tx.min(1)), np.floor(ty.min(1))
        x1, y1 = np.ceil(tx.max(1)), np.ceil(ty.max(1))
        ok = (tz.min(1) > 0.01) & (x1 >= 0) & (y1 >= 0) & (x0 < w) & (y0 < h)
        x0, y0, x1, y1 = np.maximum(x0, 0), np.maximum(y0, 0), np.minimum(x1, w - 1), np.minimum(y1, h - 1)
        extent = np.maximum(x1 - x0, y1 - y0) + 1
        bound = 4
        while ok.any():
            chosen = np.nonzero(ok & (extent <= bound))[0]
            ok[chosen] = False
            each = max(1, 3_000_000 // (bound * bound))
            for k in range(0, len(chosen), each):
                _fill(chosen[k : k + each], bound, x0, y0, tx, ty, tz, w, h, depth, seen, bary, base, mesh)
            bound *= 2
        base += len(t)
    return seen, bary, depth, arr(f)


def _fill(pick, bound, x0, y0, tx, ty, tz, w, h, depth, seen, bary, base, mesh) -> None:  # type: ignore[no-untyped-def]
    oy, ox = np.divmod(np.arange(bound * bound), bound)
    px, py = x0[pick, None] + ox, y0[pick, None] + oy
    ax, ay, bx, by, cx, cy = (a[pick, k, None] for k in range(3) for a in (tx, ty))
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    area = np.where(np.abs(area) < 1e-9, 1e-9, area)
    sx, sy = px + 0.5, py + 0.5
    b1 = ((sx - ax) * (cy - ay) - (sy - ay) * (cx - ax)) / area
    b2 = ((bx - ax) * (sy - ay) - (by - ay) * (sx - ax)) / area
    b0 = 1 - b1 - b2
    inside = (b0 >= -1e-5) & (b1 >= -1e-5) & (b2 >= -1e-5) & (px < w) & (py < h)
    rows, cols = np.nonzero(inside)
    if not len(rows):
        return
    which = pick[rows]
    wts = np.stack([b0[rows, cols], b1[rows, cols], b2[rows, cols]], -1) / tz[which]
    inv = wts.sum(-1)
    wts = wts / inv[:, None]
    z = 1 / inv
    at = (py[rows, cols] * w + px[rows, cols]).astype(np.int64)
    keep = z < depth[at]
    if mesh.skip is not None and keep.any():
        place = (mesh.v[mesh.t[which]] * wts[..., None]).sum(1)
        keep &= ~mesh.skip(place)
    which, wts, z, at = which[keep], wts[keep], z[keep], at[keep]
    order = np.argsort(-z, kind="stable")
    at = at[order]
    depth[at], seen[at], bary[at] = z[order], which[order] + base, wts[order, :2]


def _box(a: A, r: int) -> A:
    for axis in (0, 1):
        pad = [(r + 1, r) if k == axis else (0, 0) for k in (0, 1)]
        c = np.cumsum(np.pad(a, pad, mode="edge"), axis=axis, dtype=np.float64)
        n = a.shape[axis]
        a = ((np.take(c, range(2 * r + 1, 2 * r + 1 + n), axis) - np.take(c, range(n), axis)) / (2 * r + 1)).astype(F)
    return a


def render(shot: Shot, meshes: Sequence[Mesh], room: Room, seed: int = 1) -> Image.Image:
    """The finished picture."""
    eye, right, up, forward, f = shot.frame()
    w, h = int(shot.size[0] * shot.over), int(shot.size[1] * shot.over)
    seen, bary, depth, _ = _raster(shot, meshes)
    out = np.zeros((w * h, 3), dtype=F)
    yy, xx = np.divmod(np.arange(w * h), w)
    back = np.nonzero(seen < 0)[0]
    for k in range(0, len(back), 1_000_000):
        at = back[k : k + 1_000_000]
        d = unit(((xx[at, None] + 0.5 - w / 2) * right - (yy[at, None] + 0.5 - h / 2) * up + f * forward).astype(F))
        out[at] = room.look(np.broadcast_to(eye, d.shape), d)
    base = 0
    for mesh in meshes:
        mine = np.nonzero((seen >= base) & (seen < base + len(mesh.t)))[0]
        for k in range(0, len(mine), 700_000):
            at = mine[k : k + 700_000]
            t = mesh.t[seen[at] - base]
            b = np.concatenate([bary[at], 1 - bary[at].sum(-1, keepdims=True)], -1)[..., None]
            p, n, uv = ((a[t] * b).sum(1) for a in (mesh.v, mesh.n, mesh.uv))
            v, n = unit(eye - p), unit(n)
            n = np.where((n * v).sum(-1, keepdims=True) < 0, -n, n)
            out[at] = mesh.material(Surface(p, n, v, uv, room))
        base += len(mesh.t)
    image = out.reshape(h, w, 3)
    far = np.where(np.isinf(depth), F(60.0), depth).reshape(h, w)
    shade = np.ones_like(far)
    for r in (round(6 * shot.over), round(20 * shot.over)):  # darker where something near stands in front
        near = _box(np.minimum(far, 30), r)
        shade *= 1 - 0.35 * np.clip((far - near) / (0.06 * far) - 0.05, 0, 1) * (seen.reshape(h, w) >= 0)
    return finish(image * shade[..., None], shot, seed)


def finish(image: A, shot: Shot, seed: int) -> Image.Image:
    """Tone, corner fall-off, grain: what makes it a photograph."""
    x = np.clip(image * shot.exposure * 0.92, 0, None)
    x = x * (2.51 * x + 0.03) / (x * (2.43 * x + 0.59) + 0.14)
    x = np.clip(x, 0, 1) ** (1 / 2.2)
    img = Image.fromarray((x * 255 + 0.5).astype(np.uint8)).resize(shot.size, Image.Resampling.LANCZOS)
    img = Image.blend(img, img.filter(ImageFilter.GaussianBlur(shot.size[0] / 130)), 0.10)  # a little flare
    a = np.asarray(img, dtype=F)
    h, w = a.shape[:2]
    yy, xx = np.mgrid[0:h, 0:w]
    fall = 1 - 0.22 * (((xx - w / 2) / (w / 2)) ** 2 + ((yy - h / 2) / (h / 2)) ** 2) ** 1.3 / 2
    rng = np.random.default_rng(seed)
    grain = rng.normal(0, 1.6, (h, w, 1)) + rng.normal(0, 0.7, (h, w, 3))
    a = a * fall[..., None] * arr(1 + shot.warm, 1, 1 - shot.warm) + grain
    return Image.fromarray(np.clip(a, 0, 255).astype(np.uint8))
