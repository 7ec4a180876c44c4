"""The form of the Talmere 1900 Tourer: where its skin lies, as functions of plan and height. Metres.

Two shells: the body up to the belt and the glasshouse above it. Each is a stack of rings |x/a|^p + |y/w|^q = 1
whose half length a, half width w and centre change with height, closed on top by the same ring drawn inward.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

A = NDArray[np.float64]
AXLES, WHEEL, ARCH, TRACK = (1.30, -1.26), 0.312, 0.352, 0.672
SILL, BELT, RAIL = 0.235, 0.905, 1.345
NOSE, TAIL = 2.09, -2.13


def smooth(low: float, high: float, v: A) -> A:
    t = np.clip((v - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t))


def ring(p: float, q: float, a: float, w: float, n: int) -> tuple[A, A]:
    """The unit ring (x/a, y/w), evenly spaced for a ring of that size, anticlockwise from the tail."""
    u = np.linspace(0, 1, 3000)
    side_x = np.cos(np.pi * u)  # 1 .. -1
    end_y = np.sin(np.pi * (u - 0.5))
    x = (1 - np.abs(end_y) ** q) ** (1 / p)
    # quarter by quarter: take the description that is well spaced
    k = int(np.argmin(np.abs(a * (1 - x[1500:]) - w * (1 - np.abs(end_y[1500:]))))) + 1500
    cut = end_y[k]
    front_y = end_y[(end_y >= -cut) & (end_y <= cut)]
    front_x = (1 - np.abs(front_y) ** q) ** (1 / p)
    limit = front_x[-1]
    left_x = side_x[np.abs(side_x) < limit]
    left_y = (1 - np.abs(left_x) ** p) ** (1 / q)
    xs = np.concatenate([front_x, left_x, -front_x[::-1], left_x[::-1]])
    ys = np.concatenate([front_y, left_y, front_y[::-1], -left_y[::-1]])
    d = np.concatenate([[0], np.cumsum(np.hypot(np.diff(xs, append=xs[0]) * a, np.diff(ys, append=ys[0]) * w))])
    at = np.linspace(0, d[-1], n, endpoint=False)
    return np.interp(at, d, np.append(xs, xs[0])), np.interp(at, d, np.append(ys, ys[0]))


# --- body, up to the belt
BODY_P, BODY_Q = 11.0, 5.5


def _curve(z: A, knots: list[tuple[float, float]]) -> A:
    """Through the knots (z, value), rounded."""
    from scipy.interpolate import PchipInterpolator

    zs, vs = zip(*knots, strict=True)
    return np.asarray(PchipInterpolator(zs, vs, extrapolate=True)(np.clip(z, zs[0], zs[-1])))


def body_front(z: A) -> A:
    return _curve(z, [(0.20, 1.93), (0.34, 2.03), (0.46, 2.07), (0.60, 2.095), (0.78, 2.105), (0.95, 2.08)])


def body_rear(z: A) -> A:
    return _curve(z, [(0.20, -2.00), (0.34, -2.09), (0.50, -2.135), (0.72, -2.13), (0.92, -2.095)])


def body_width(z: A, x: A | float = 0.0) -> A:
    w = _curve(z, [(0.20, 0.715), (0.30, 0.765), (0.45, 0.792), (0.62, 0.803), (0.745, 0.805), (0.80, 0.793), (0.95, 0.765)])
    w = w + 0.005 * np.exp(-(((z - 0.752) / 0.010) ** 2))  # the feature line from lamp to lamp
    for at in AXLES:  # wings stand out a little round the wheels
        far = np.hypot(np.asarray(x) - at, z - 0.33)
        w = w + 0.017 * smooth(0.50, 0.37, far) * smooth(0.20, 0.5, z + 0.1)
    return np.asarray(w)


def shoulder(x: A) -> A:
    """Height of the upper edge of the sides."""
    return np.asarray(BELT - 0.085 * smooth(0.55, 2.25, x) ** 1.15 - 0.012 * smooth(-1.6, -2.2, x))


def side_y(x: A, z: A) -> A:
    """Half width of the body at a point of its side view."""
    f, r = body_front(z), body_rear(z)
    u = np.clip(np.abs((x - (f + r) / 2) / ((f - r) / 2)), 0, 0.9999)
    return np.asarray(body_width(z, x) * (1 - u**BODY_P) ** (1 / BODY_Q))


def end_x(y: A, z: A, front: bool = True) -> A:
    """x of the body's nose or tail at a point of its end view."""
    f, r = body_front(z), body_rear(z)
    u = np.clip(np.abs(y / body_width(z, 2.0)), 0, 0.9999)
    half = (f - r) / 2 * (1 - u**BODY_Q) ** (1 / BODY_P)
    return np.asarray((f + r) / 2 + (half if front else -half))


def body(n: int = 1400, m: int = 150) -> A:
    """(rows, n, 3) points from the sill up, over the shoulder, to the middle line."""
    ux, uy = ring(BODY_P, BODY_Q, 2.11, 0.80, n)
    r = 0.042
    rows = []
    xs = -0.02 + 2.11 * ux
    top = shoulder(xs) - r
    for v in np.linspace(0, 1, m):
        z = SILL + (top - SILL) * v
        f, b = body_front(z), body_rear(z)
        x = (f + b) / 2 + (f - b) / 2 * ux
        rows.append(np.stack([x, body_width(z, x) * uy, z], -1))
    base = rows[-1]
    w = np.abs(base[:, 1]).max()
    half = (base[:, 0].max() - base[:, 0].min()) / 2
    mid = (base[:, 0].max() + base[:, 0].min()) / 2
    angles = np.linspace(0, np.pi / 2, 16)[1:]
    insets = [(r * (1 - np.cos(t)), r * np.sin(t)) for t in angles] + [(d, r) for d in np.linspace(r, w, 60)[1:]]
    for d, up in insets:
        x = mid + (base[:, 0] - mid) * (half - d) / half
        y = base[:, 1] * (w - d) / w
        t = np.clip((d - 0.01) / 0.62, 0, 1)
        crown = 0.052 * (1 - (1 - t) ** 2)
        raised = 0.009 * smooth(0.50, 0.44, np.abs(y)) * smooth(2.00, 1.9, x) if d > r else 0.0
        z = shoulder(x) - r + up + crown + raised
        rows.append(np.stack([x, y, z], -1))
    return np.stack(rows)


# --- glasshouse
HOUSE_P, HOUSE_Q = 16.0, 4.5


def house(z: A) -> tuple[A, A, A]:
    """Front, rear and half width of the glasshouse at a height."""
    t = (z - BELT) / (RAIL - BELT)
    front = 0.80 - 0.52 * t - 0.03 * t * t
    rear = -2.075 + 0.05 * t + 0.13 * t * t
    return front, rear, 0.738 - 0.095 * t - 0.035 * t * t


def house_y(x: A, z: A) -> A:
    f, r, w = house(z)
    u = np.clip(np.abs((x - (f + r) / 2) / ((f - r) / 2)), 0, 0.9999)
    return np.asarray(w * (1 - u**HOUSE_P) ** (1 / HOUSE_Q))


def house_x(y: A, z: A, front: bool = True) -> A:
    f, r, w = house(z)
    u = np.clip(np.abs(y / w), 0, 0.9999)
    half = (f - r) / 2 * (1 - u**HOUSE_Q) ** (1 / HOUSE_P)
    return np.asarray((f + r) / 2 + (half if front else -half))


def glasshouse(n: int = 1200, m: int = 70) -> A:
    ux, uy = ring(HOUSE_P, HOUSE_Q, 1.2, 0.68, n)
    rows = []
    for z in np.linspace(BELT - 0.05, RAIL, m):
        f, b, w = house(z)
        rows.append(np.stack([(f + b) / 2 + (f - b) / 2 * ux, w * uy, np.full(n, z)], -1))
    base = rows[-1]
    mid, half, w = (base[:, 0].max() + base[:, 0].min()) / 2, np.ptp(base[:, 0]) / 2, base[:, 1].max()
    r = 0.055
    angles = np.linspace(0, np.pi / 2, 20)[1:]
    for d, up in [(r * (1 - np.cos(t)) * 1.5, 0.75 * r * np.sin(t)) for t in angles] + [(d, 0.75 * r) for d in np.linspace(1.5 * r, w, 50)[1:]]:
        x = mid + (base[:, 0] - mid) * (half - d) / half
        t = np.clip(d / w, 0, 1)
        z = RAIL + up + 0.038 * (1 - (1 - t) ** 2) - 0.022 * smooth(-1.3, -2.0, x) - 0.012 * smooth(-0.2, 0.4, x)
        rows.append(np.stack([x, base[:, 1] * (w - d) / w, z], -1))
    return np.stack(rows)


def outline(points: list[tuple[float, float]], radius: float, step: float = 0.012) -> A:
    """A closed polygon with rounded corners, evenly spaced points."""
    p = np.asarray(points, dtype=float)
    out = []
    for a, b, c in zip(np.roll(p, 1, 0), p, np.roll(p, -1, 0), strict=True):
        u, v = (a - b) / np.linalg.norm(a - b), (c - b) / np.linalg.norm(c - b)
        back = min(radius / np.tan(np.arccos(np.clip(u @ v, -1, 1)) / 2), 0.45 * min(np.linalg.norm(a - b), np.linalg.norm(c - b)))
        s, e = b + u * back, b + v * back
        t = np.linspace(0, 1, 9)[:, None]
        out.append((1 - t) ** 2 * s + 2 * t * (1 - t) * b + t * t * e)
    q = np.concatenate(out)
    q = np.concatenate([q, q[:1]])
    d = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(q, axis=0), axis=1))])
    at = np.linspace(0, d[-1], max(12, int(d[-1] / step)), endpoint=False)
    return np.stack([np.interp(at, d, q[:, 0]), np.interp(at, d, q[:, 1])], 1)


# --- what is cut and drawn on it: side view (x, z), end views (y, z)
SIDE_WINDOWS = [
    outline([(0.615, 0.935), (-0.275, 0.935), (-0.275, 1.318), (0.165, 1.318)], 0.035),
    outline([(-0.345, 0.935), (-1.025, 0.935), (-1.025, 1.318), (-0.345, 1.318)], 0.035),
    outline([(-1.095, 0.935), (-1.885, 0.935), (-1.775, 1.312), (-1.095, 1.318)], 0.035),
]
WINDSCREEN = outline([(-0.665, 0.945), (0.665, 0.945), (0.545, 1.315), (-0.545, 1.315)], 0.06)
REAR_WINDOW = outline([(-0.625, 0.965), (0.625, 0.965), (0.535, 1.305), (-0.535, 1.305)], 0.06)
GRILLE = outline([(-0.715, 0.535), (0.715, 0.535), (0.715, 0.742), (-0.715, 0.742)], 0.085)
LAMP = (0.565, 0.640)  # y, z of the headlamps
SIDE_LINES = [
    [(0.70, 0.91), (0.70, 0.40), (0.69, 0.285)],
    [(-0.31, 0.92), (-0.31, 0.285)],
    [(-1.06, 0.92), (-1.06, 0.70)] + [(-1.26 + 0.435 * np.cos(a), 0.32 + 0.435 * np.sin(a)) for a in np.radians(np.linspace(60, 0, 20))] + [(-0.83, 0.285)],
    [(0.94, 0.285), (-0.89, 0.285)],
]
