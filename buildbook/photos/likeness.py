"""Whether two pictures are one: saved again, mirrored, or one cut from the other. Pure functions of facts.

Candidates come from 64-bit difference hashes, found without comparing each pair: hashes within `reach` bits agree
wholly in at least one of `reach + 1` bands (the pigeonhole principle), so only those that share a band are compared.
A candidate counts once the miniatures agree too: bursts and tripod shots of one scene agree in their hashes. Common
practice, no source; the thresholds are measured (docs/benchmarks.md).
"""

from __future__ import annotations

from base64 import b64decode
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise, product
from operator import mul

from buildbook.photos.looks import CUT_BYTES, CUTS, GRID, gradients
from buildbook.records.photo import PhotoFacts

REACH = 7
"""Bits of 64 by which the difference hash of a picture may change when it is saved again, smaller or brighter."""

RESIDUE = 1.6
"""Root mean square (steps of brightness) by which miniatures of one picture may differ, gain and offset set aside."""

WORST = 12.0
"""The most by which any one cell may differ then: a repaired chip changes a few cells only."""

MIRROR_RESIDUE, MIRROR_WORST = 4.0, 30.0
"""The same for a picture and its mirror image, whose cells are sampled from the other side: sharp edges (a rim's holes)
come out differently. Left and right views of one car from the same place leave 15 and more (demo job)."""

PLAIN = 2.0
"""A picture whose miniature varies by less (standard deviation) shows too little to be told from another."""

CUT_WIDEST = 0.9
"""A wider part is as likely the next shot by hand, taken from a step nearer."""

_BLACK, _WHITE = 6, 244  # cells beyond may hold clipped pixels

CUT_REACH = 46
"""Bits of 152 by which a cut-out's gradients may differ from the nearest window looked at."""

CUT_DETAILS, CUT_WHOLE = 0.78, 0.93
"""Correlations, of details and of the whole, that a cut-out must reach with the place it was cut from."""

CUT_BETTER = 0.1
"""How much better a cut-out must correlate there than with the whole: shots from one tripod correlate as wholes."""


def near(hashes: Sequence[int], others: Sequence[int] | None = None, reach: int = REACH) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of 64-bit hashes at most `reach` bits apart: i < j within `hashes`, or i of them and j of others.

    Each pair once, in no order.
    """
    width = -(-64 // (reach + 1))
    mask = (1 << width) - 1
    second = hashes if others is None else others
    for shift in range(0, 64, width):
        bands: defaultdict[int, list[int]] = defaultdict(list)
        for j, value in enumerate(second):
            bands[value >> shift & mask].append(j)
        earlier = (1 << shift) - 1
        for one, two in _sharing(hashes, bands, shift, mask, alone=others is None):
            differ = hashes[one] ^ second[two]
            # Told already in the first band that both share.
            if differ.bit_count() <= reach and not _shares(differ & earlier, shift, width, mask):
                yield one, two


def _sharing(
    hashes: Sequence[int], bands: dict[int, list[int]], shift: int, mask: int, *, alone: bool
) -> Iterator[tuple[int, int]]:
    if alone:
        for members in bands.values():
            yield from combinations(members, 2)
        return
    for i, value in enumerate(hashes):
        yield from ((i, j) for j in bands.get(value >> shift & mask, ()))


def _shares(differ: int, shift: int, width: int, mask: int) -> bool:
    return any(not differ >> lower & mask for lower in range(0, shift, width))


@lru_cache(maxsize=8192)
def miniature(grey: str) -> bytes:
    """The GRID x GRID cells of a miniature; b"" if there is none."""
    cells = b64decode(grey)
    return cells if len(cells) == GRID * GRID else b""


def flipped(cells: bytes) -> bytes:
    """A miniature seen in a mirror."""
    return b"".join(cells[at : at + GRID][::-1] for at in range(0, GRID * GRID, GRID))


def same_picture(one: bytes, other: bytes, most: float = RESIDUE, worst: float = WORST) -> bool:
    """Whether two miniatures are of one picture, allowing for brightness and contrast changed as a whole."""
    if not one or not other:
        return False
    if one == other:
        return _deviation(one) >= PLAIN
    # One cell in 17 first: most candidates that are not the same differ everywhere.
    if _residue(one[::17], other[::17], 4 * most, 3 * worst) is None:
        return False
    if min(_deviation(one), _deviation(other)) < PLAIN:
        return False
    return _residue(one, other, most, worst) is not None


def _residue(one: bytes, other: bytes, most: float, worst: float) -> float | None:
    """Root mean square left of one when the other, gain and offset fitted, is taken off; None if too much."""
    # What is white or black in one of them says nothing of the other: brightening clips.
    both = [(a, b) for a, b in zip(one, other, strict=True) if _BLACK < a < _WHITE and _BLACK < b < _WHITE]
    if 2 * len(both) < len(one):
        return None
    mine, theirs = zip(*both, strict=True)
    mean, mean_other = sum(mine) / len(both), sum(theirs) / len(both)
    square = sum(map(mul, mine, theirs)) / len(both) - mean * mean_other
    square_other = sum(map(mul, theirs, theirs)) / len(both) - mean_other * mean_other
    gain = square / square_other if square_other > 0 else 0.0
    if not 0.6 < gain < 1.7:
        return None
    offset = mean - gain * mean_other
    residues = [a - gain * b - offset for a, b in both]
    left = float((sum(map(mul, residues, residues)) / len(both)) ** 0.5)
    return left if left <= most and max(residues) <= worst and min(residues) >= -worst else None


@lru_cache(maxsize=8192)
def _deviation(cells: bytes) -> float:
    mean = sum(cells) / len(cells)
    return float((sum(c * c for c in cells) / len(cells) - mean * mean) ** 0.5)


def alike(one: PhotoFacts, other: PhotoFacts) -> bool:
    """Whether two photos are one picture, perhaps saved again or made smaller."""
    if one.dhash is None or other.dhash is None or one.looks is None or other.looks is None:
        return False
    if (one.dhash ^ other.dhash).bit_count() > REACH:
        return False
    return same_picture(miniature(one.looks.grey), miniature(other.looks.grey))


def mirror_images(one: PhotoFacts, other: PhotoFacts) -> bool:
    """Whether one photo is the other seen in a mirror. A picture that is its own mirror image tells nothing."""
    if one.dhash is None or other.dhash is None or one.looks is None or other.looks is None:
        return False
    if (one.dhash ^ other.looks.mirrored).bit_count() > REACH:
        return False
    cells, opposite = miniature(one.looks.grey), miniature(other.looks.grey)
    mirrored = same_picture(cells, flipped(opposite), MIRROR_RESIDUE, MIRROR_WORST)
    return mirrored and not same_picture(cells, opposite, MIRROR_RESIDUE, MIRROR_WORST)


def cut_from(part: PhotoFacts, whole: PhotoFacts) -> float | None:
    """The side (share of the whole's) of the window that `part` was cut from, or None if it was not.

    Finds cut-outs that keep the picture's shape, of a side of about 0.5 to 0.88.
    """
    if part.looks is None or whole.looks is None or not _same_shape(part, whole):
        return None
    cells, ground = miniature(part.looks.grey), miniature(whole.looks.grey)
    if not cells or not ground or _deviation(cells) < PLAIN:
        return None
    wanted, windows = _own_gradients(part.looks.grey), _windows(whole.looks.cuts)
    best = sorted((distance, n) for n, w in enumerate(windows) if (distance := (wanted ^ w).bit_count()) <= CUT_REACH)
    sides = (_fit(cells, ground, *CUTS[n]) for _, n in best[:3])
    return next((side for side in sides if side is not None), None)


def _same_shape(part: PhotoFacts, whole: PhotoFacts) -> bool:
    return abs(part.width * whole.height - part.height * whole.width) <= 0.04 * whole.width * part.height


@lru_cache(maxsize=8192)
def _own_gradients(grey: str) -> int:
    """A miniature's gradients over 9 x 9 cells, each the mean of what lies under it."""
    cells = miniature(grey)
    edges = [round(n * GRID / 9) for n in range(10)]
    out = bytearray()
    for top, bottom in pairwise(edges):
        for left, right in pairwise(edges):
            total = sum(sum(cells[GRID * y + left : GRID * y + right]) for y in range(top, bottom))
            out.append(round(total / ((bottom - top) * (right - left))))
    return int.from_bytes(gradients(bytes(out)))


@lru_cache(maxsize=2048)
def _windows(cuts: str) -> tuple[int, ...]:
    raw = b64decode(cuts)
    if len(raw) != CUT_BYTES * len(CUTS):
        return ()
    return tuple(int.from_bytes(raw[at : at + CUT_BYTES]) for at in range(0, len(raw), CUT_BYTES))


_POINTS = 16


def _fit(cells: bytes, ground: bytes, left: float, top: float, side: float) -> float | None:
    """Move and size the window until the part's details correlate with what it shows; its side, or None."""
    values = _sampled(cells, 0.0, 0.0, 1.0)
    details, level = _details(values), _level(values)
    if _correlation(level, _level(_sampled(ground, left, top, side))) < CUT_WHOLE / 2:
        return None
    best = (-1.0, left, top, side)
    for step in (0.04, 0.015):
        _, x, y, width = best
        for dx, dy, wider in product((-step, 0.0, step), repeat=3):
            at = (max(0.0, x + dx), max(0.0, y + dy), width + wider)
            if max(at[:2]) + at[2] <= 1.001:
                best = max(best, (_correlation(details, _details(_sampled(ground, *at))), *at))
        if best[0] < CUT_DETAILS / 2:
            return None
    if best[3] > CUT_WIDEST:
        return None
    if best[0] < max(CUT_DETAILS, CUT_BETTER + _correlation(details, _details(_sampled(ground, 0.0, 0.0, 1.0)))):
        return None
    whole = _correlation(level, _level(_sampled(ground, *best[1:])))
    return best[3] if whole >= CUT_WHOLE else None


def _sampled(ground: bytes, left: float, top: float, side: float) -> list[float]:
    """_POINTS x _POINTS values of a window, between cells by their distance."""

    def places(start: float) -> list[tuple[int, float]]:
        wanted = ((start + side * (n + 0.5) / _POINTS) * GRID - 0.5 for n in range(_POINTS))
        return [(min(int(w), GRID - 2), w - min(int(w), GRID - 2)) for w in (max(0.0, w) for w in wanted)]

    across = places(left)
    out = []
    for y, v in places(top):
        upper, lower = ground[y * GRID : y * GRID + GRID], ground[y * GRID + GRID : y * GRID + 2 * GRID]
        row = [a + (b - a) * v for a, b in zip(upper, lower, strict=True)]
        out += [row[x] + (row[x + 1] - row[x]) * u for x, u in across]
    return out


def _level(values: list[float]) -> list[float]:
    mean = sum(values) / len(values)
    return [v - mean for v in values]


def _details(values: list[float]) -> list[float]:
    """What is left of the inner cells when the mean of their four neighbours is taken off."""
    n = _POINTS
    return [
        values[at] - (values[at - 1] + values[at + 1] + values[at - n] + values[at + n]) / 4
        for at in (n * y + x for y in range(1, n - 1) for x in range(1, n - 1))
    ]


def _correlation(one: list[float], other: list[float]) -> float:
    """Of two lists of zero mean, nearly; 0.0 where either shows next to nothing."""
    squares, squares_other = sum(map(mul, one, one)), sum(map(mul, other, other))
    if min(squares, squares_other) < len(one):  # under one step of brightness: rounding
        return 0.0
    return float(sum(map(mul, one, other)) / (squares * squares_other) ** 0.5)
