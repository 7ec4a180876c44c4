"""Whether one picture was cut from another. Pure functions of facts, over many pairs at once.

The gradients of a part are compared with those of windows of the whole (looks.CUTS). Each of the nearest windows is
then moved and sized until the part's details correlate with what it shows. Common practice, no source; the thresholds
are measured (docs/benchmarks.md).
"""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Hashable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from buildbook.photos.looks import CUT_BYTES, CUTS, GRID
from buildbook.photos.miniature import PLAIN, miniature

if TYPE_CHECKING:
    from buildbook.records.photo import Looks, PhotoFacts

CUT_WIDEST = 0.9
"""A wider part is as likely the next shot by hand, taken from a step nearer."""

CUT_REACH = 46
"""Bits of 152 by which a cut-out's gradients may differ from the nearest window looked at."""

CUT_DETAILS, CUT_WHOLE = 0.78, 0.93
"""Correlations, of details and of the whole, that a cut-out must reach with the place it was cut from."""

CUT_BETTER = 0.1
"""How much better a cut-out must correlate there than with the whole: shots from one tripod correlate as wholes."""

_NEAREST = 3  # windows of a whole that are tried
_POINTS = 16  # values across and down that are correlated
_STEPS = (0.04, 0.015)  # by which a window is moved and sized, shares of the whole's side
_BATCH = 256  # windows fitted at once: 40 MB

K = TypeVar("K", bound=Hashable)

Array = Any  # numpy.ndarray; the library is loaded when the first pair is compared: 0.1 s


def cut_from(part: PhotoFacts, whole: PhotoFacts) -> float | None:
    """The side (share of the whole's) of the window that `part` was cut from, or None if it was not.

    Finds cut-outs that keep the picture's shape, of a side of about 0.5 to 0.88.
    """
    return cuts([(part, whole)])[0]


def cuts(pairs: Sequence[tuple[PhotoFacts, PhotoFacts]]) -> list[float | None]:
    """`cut_from` of each (part, whole)."""
    found: list[float | None] = [None] * len(pairs)
    able = [(n, *looks) for n, pair in enumerate(pairs) if (looks := _comparable(*pair)) is not None]
    if not able:
        return found
    import numpy as np

    parts, of_part = _each_once([part.grey for _, part, _ in able])
    wholes, of_whole = _each_once([(whole.grey, whole.cuts) for _, _, whole in able])
    shown, ground = _miniatures(parts), _miniatures([grey for grey, _ in wholes])
    bits = np.frombuffer(b"".join(_window_bits(cuts) for _, cuts in wholes), np.uint8).reshape(-1, len(CUTS), CUT_BYTES)
    near = _nearest(_gradients(shown), bits, of_part, of_whole)
    open_pairs = np.flatnonzero(shown.std(axis=(1, 2))[of_part] >= PLAIN)
    for rank in range(_NEAREST):
        open_pairs = open_pairs[near[open_pairs, rank] >= 0]
        sides = np.concatenate([
            _fit(shown[of_part[some]], ground[of_whole[some]], np.array(CUTS, np.float32)[near[some, rank]])
            for some in np.split(open_pairs, range(_BATCH, len(open_pairs), _BATCH))
        ])  # fmt: skip
        for at, side in zip(open_pairs[sides > 0], sides[sides > 0], strict=True):
            found[able[at][0]] = float(side)
        open_pairs = open_pairs[sides == 0]
    return found


def _comparable(part: PhotoFacts, whole: PhotoFacts) -> tuple[Looks, Looks] | None:
    if part.looks is None or whole.looks is None:
        return None
    if abs(part.width * whole.height - part.height * whole.width) > 0.04 * whole.width * part.height:
        return None
    if not miniature(part.looks.grey) or not miniature(whole.looks.grey) or not _window_bits(whole.looks.cuts):
        return None
    return part.looks, whole.looks


def _each_once(keys: Sequence[K]) -> tuple[list[K], Array]:
    """(the different keys, for each of `keys` where it stands among them)."""
    import numpy as np

    places: dict[K, int] = {}
    where = [places.setdefault(key, len(places)) for key in keys]
    return list(places), np.array(where)


def _miniatures(greys: Sequence[str]) -> Array:
    """(n, GRID, GRID) cells."""
    import numpy as np

    return np.frombuffer(b"".join(map(miniature, greys)), np.uint8).reshape(-1, GRID, GRID)


def _gradients(cells: Array) -> Array:
    """(n, CUT_BYTES) bits of looks.gradients over 9 x 9 cells, each the mean of what lies under it."""
    import numpy as np

    edges = np.rint(np.arange(10) * GRID / 9).astype(int)
    sums = np.add.reduceat(np.add.reduceat(cells.astype(np.int32), edges[:-1], axis=1), edges[:-1], axis=2)
    sizes = np.diff(edges)
    means = np.rint(sums / np.outer(sizes, sizes)).reshape(len(cells), -1)
    return np.packbits(np.concatenate([means[:, :-1] < means[:, 1:], means[:, :-9] < means[:, 9:]], axis=1), axis=1)


@lru_cache(maxsize=8192)
def _window_bits(cuts: str) -> bytes:
    """The gradients of a whole's windows; b"" if there are none."""
    bits = b64decode(cuts)
    return bits if len(bits) == CUT_BYTES * len(CUTS) else b""


def _nearest(wanted: Array, windows: Array, of_part: Array, of_whole: Array) -> Array:
    """(pairs, _NEAREST) numbers of the windows nearest to each part, nearest first; -1 where none is within reach."""
    import numpy as np

    out = np.full((len(of_part), _NEAREST), -1)
    for at in range(0, len(of_part), 4 * _BATCH):
        some = slice(at, at + 4 * _BATCH)
        differ = wanted[of_part[some], None] ^ windows[of_whole[some]]
        distance = np.bitwise_count(differ).sum(axis=2, dtype=np.int32)
        order = np.argsort(distance, axis=1, kind="stable")[:, :_NEAREST]
        out[some] = np.where(np.take_along_axis(distance, order, axis=1) <= CUT_REACH, order, -1)
    return out


def _fit(cells: Array, ground: Array, start: Array) -> Array:
    """Move and size windows (n, 3) until the details of the parts correlate with what they show; their sides, 0 where
    they do not. cells, ground: (n, GRID, GRID) of the parts and of the wholes.
    """
    import numpy as np

    out = np.zeros(len(cells), np.float32)
    whole = np.tile(np.array([0, 0, 1], np.float32), (len(cells), 1, 1))
    values = _sampled(cells, whole)
    level = _level(values)
    left = np.flatnonzero(_correlation(level, _level(_sampled(ground, start[:, None])))[:, 0] >= CUT_WHOLE / 2)
    details = _details(values)
    windows, best = start, np.full(len(cells), -1.0, np.float32)
    for step in _STEPS:
        moves = np.stack(np.meshgrid(*[[-step, 0, step]] * 3, indexing="ij"), axis=-1).reshape(-1, 3).astype(np.float32)
        tried = windows[left, None] + moves
        tried[..., :2] = np.maximum(tried[..., :2], 0)
        fits = _correlation(details[left], _details(_sampled(ground[left], tried)))
        fits[tried[..., :2].max(axis=-1) + tried[..., 2] > 1.001] = -1
        pick = fits.argmax(axis=1)
        rows = np.arange(len(left))
        better = fits[rows, pick] > best[left]
        windows = windows.copy()
        windows[left] = np.where(better[:, None], tried[rows, pick], windows[left])
        best[left] = np.where(better, fits[rows, pick], best[left])
        left = left[best[left] >= CUT_DETAILS / 2]
    left = left[windows[left, 2] <= CUT_WIDEST]
    uncut = _correlation(details[left], _details(_sampled(ground[left], whole[left])))[:, 0]
    left = left[best[left] >= np.maximum(CUT_DETAILS, CUT_BETTER + uncut)]
    left = left[_correlation(level[left], _level(_sampled(ground[left], windows[left, None])))[:, 0] >= CUT_WHOLE]
    out[left] = windows[left, 2]
    return out


def _sampled(ground: Array, windows: Array) -> Array:
    """(n, k, _POINTS, _POINTS) values of windows (n, k, 3: left, top, side), between cells by their distance."""
    import numpy as np

    inner = (np.arange(_POINTS, dtype=np.float32) + 0.5) / _POINTS

    def weights(start: Array) -> Array:
        """(n, k, _POINTS, GRID): by how much each cell counts at each point."""
        wanted = np.maximum((start[..., None] + windows[..., 2:] * inner) * GRID - 0.5, 0)
        return np.maximum(1 - np.abs(wanted[..., None] - np.arange(GRID, dtype=np.float32)), 0)

    down, across = weights(windows[..., 1]), weights(windows[..., 0])
    return down @ ground[:, None].astype(np.float32) @ across.swapaxes(-1, -2)


def _level(values: Array) -> Array:
    return values - values.mean(axis=(-1, -2), keepdims=True)


def _details(values: Array) -> Array:
    """What is left of the inner points when the mean of their four neighbours is taken off."""
    around = values[..., :-2, 1:-1] + values[..., 2:, 1:-1] + values[..., 1:-1, :-2] + values[..., 1:-1, 2:]
    return values[..., 1:-1, 1:-1] - around / 4


def _correlation(one: Array, others: Array) -> Array:
    """(n, k) of (n, 1, p, p) and (n, k, p, p), of zero mean, nearly; 0 where either shows next to nothing."""
    import numpy as np

    products = (one * others).sum(axis=(-1, -2))
    squares, squares_other = (one * one).sum(axis=(-1, -2)), (others * others).sum(axis=(-1, -2))
    points = one.shape[-1] * one.shape[-2]
    plain = np.minimum(squares, squares_other) < points  # under one step of brightness: rounding
    return np.where(plain, 0, products / np.sqrt(np.where(plain, 1, squares * squares_other)))
