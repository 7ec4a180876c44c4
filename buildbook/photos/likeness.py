"""Whether two pictures are one, saved again, mirrored or turned. Pure functions of facts.

Candidates come from 64-bit difference hashes, all pairs of which are compared. A candidate counts once the miniatures
agree too: bursts and tripod shots of one scene agree in their hashes. Common practice, no source; the thresholds are
measured (docs/benchmarks.md).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import compress, islice
from typing import Any

from buildbook.photos.miniature import PLAIN, flipped, miniature, quarter_turned, upside_down
from buildbook.records.photo import Looks, PhotoFacts

REACH = 7
"""Bits of 64 by which the difference hash of a picture may change when it is saved again, smaller or brighter."""

RESIDUE = 1.6
"""Root mean square (steps of brightness) by which miniatures of one picture may differ, gain and offset set aside."""

WORST = 12.0
"""The most by which any one cell may differ then: a repaired chip changes a few cells only."""

MIRROR_RESIDUE, MIRROR_WORST = 4.0, 30.0
"""The same for a picture and its mirror image, whose cells are sampled from the other side: sharp edges (a rim's holes)
come out differently. Left and right views of one car from the same place leave 15 and more (demo job)."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A way to look at a picture: the difference hash and the miniature of it seen so."""

    hash: Callable[[Looks], int]
    cells: Callable[[bytes], bytes]


_MIRROR = _Way(lambda looks: looks.mirrored, flipped)
_QUARTER = _Way(lambda looks: looks.quarter, quarter_turned)
_HALF = _Way(lambda looks: looks.half, upside_down)

_ROWS = 256  # hashes compared with all others, miniatures with each other, at once
_PAIRS = 8 * _ROWS
_BLACK, _WHITE = 6, 244  # cells beyond may hold clipped pixels


def near(hashes: Sequence[int], others: Sequence[int] | None = None, reach: int = REACH) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of 64-bit hashes at most `reach` bits apart, in order: i < j within `hashes`, or i of them, j of
    others.
    """
    second = hashes if others is None else others
    if not hashes or not second:
        return
    import numpy as np  # 0.1 s: loaded when there are pictures to compare

    one, two = np.array(hashes, np.uint64), np.array(second, np.uint64)
    for at in range(0, len(one), _ROWS):
        start = at if others is None else 0
        close = np.bitwise_count(one[at : at + _ROWS, None] ^ two[None, start:]) <= reach
        if others is None:
            close = np.triu(close, 1)
        rows, columns = np.nonzero(close)
        yield from zip((rows + at).tolist(), (columns + start).tolist(), strict=True)


def same_pictures(pairs: Sequence[tuple[bytes, bytes]], most: float = RESIDUE, worst: float = WORST) -> list[bool]:
    """Whether the two miniatures of each pair are of one picture, allowing for brightness and contrast changed as a
    whole. Gain and offset are fitted; what is left may be `most` as root mean square, `worst` in any cell.
    """
    import numpy as np

    found = [False] * len(pairs)
    able = [n for n, (one, other) in enumerate(pairs) if one and other]
    for at in range(0, len(able), _ROWS):
        some = able[at : at + _ROWS]
        one, other = (
            np.frombuffer(b"".join(pairs[n][side] for n in some), np.uint8).reshape(len(some), -1) for side in (0, 1)
        )
        telling = np.flatnonzero(np.minimum(one.std(axis=1), other.std(axis=1)) >= PLAIN)
        # One cell in 17 first: most candidates that are not the same differ everywhere.
        for every, more, far in ((17, 4 * most, 3 * worst), (1, most, worst)):
            telling = telling[_agree(one[telling, ::every], other[telling, ::every], more, far)]
        for n in telling:
            found[some[n]] = True
    return found


def _agree(one: Any, other: Any, most: float, worst: float) -> Any:
    """(n,) whether rows (n, cells) agree but for gain and offset."""
    import numpy as np

    # What is white or black in one of them says nothing of the other: brightening clips.
    both = (one > _BLACK) & (one < _WHITE) & (other > _BLACK) & (other < _WHITE)
    cells = both.sum(axis=1)
    count = np.maximum(cells, 1)
    mine, theirs = np.where(both, one, 0).astype(np.float64), np.where(both, other, 0).astype(np.float64)
    mean, mean_other = mine.sum(axis=1) / count, theirs.sum(axis=1) / count
    square = (mine * theirs).sum(axis=1) / count - mean * mean_other
    square_other = (theirs * theirs).sum(axis=1) / count - mean_other * mean_other
    gain = np.where(square_other > 0, square / np.where(square_other > 0, square_other, 1), 0)
    residues = np.where(both, mine - gain[:, None] * theirs - (mean - gain * mean_other)[:, None], 0)
    left = np.sqrt((residues * residues).sum(axis=1) / count)
    fits = (gain > 0.6) & (gain < 1.7) & (left <= most) & (np.abs(residues).max(axis=1, initial=0) <= worst)
    return fits & (2 * cells >= one.shape[1])


def alike(pairs: Sequence[tuple[PhotoFacts, PhotoFacts]]) -> list[bool]:
    """Whether the two photos of each pair are one picture, perhaps saved again or made smaller."""
    found = [False] * len(pairs)
    close = [n for n, (one, other) in enumerate(pairs) if _close(one, other.dhash)]
    if not close:
        return found
    for n, same in zip(close, same_pictures([_miniatures(*pairs[n]) for n in close]), strict=True):
        found[n] = same
    return found


def _seen(way: _Way, pairs: Sequence[tuple[PhotoFacts, PhotoFacts]]) -> list[bool]:
    """Whether the first of each pair is the second seen in that way; one that looks the same as it is tells nothing."""
    found = [False] * len(pairs)
    close = [n for n, (one, other) in enumerate(pairs) if _close(one, way.hash(other.looks) if other.looks else None)]
    if not close:
        return found
    straight = [_miniatures(*pairs[n]) for n in close]
    changed = [(one, way.cells(other)) for one, other in straight]
    so, same = (same_pictures(seen, MIRROR_RESIDUE, MIRROR_WORST) for seen in (changed, straight))
    for n, is_so, is_same in zip(close, so, same, strict=True):
        found[n] = is_so and not is_same
    return found


def alike_among(photos: Sequence[PhotoFacts], others: Sequence[PhotoFacts] | None = None) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) that are one picture, in order: i < j within `photos`, or i of them, j of others."""
    second = photos if others is None else others
    pairs = near(_hashes(photos), None if others is None else _hashes(others))
    while some := list(islice(pairs, _PAIRS)):
        yield from compress(some, alike([(photos[i], second[j]) for i, j in some]))


def mirrored_among(
    photos: Sequence[PhotoFacts], others: Sequence[PhotoFacts] | None = None
) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of which one is the other seen in a mirror, as alike_among."""
    yield from _found(_MIRROR, photos, photos if others is None else others, within=others is None)


def turned_among(photos: Sequence[PhotoFacts], others: Sequence[PhotoFacts] | None = None) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of which one is the other turned by a quarter or by half, as alike_among: a copy that lost the tag
    which says how the camera was held.
    """
    second = photos if others is None else others
    pairs = list(_found(_HALF, photos, second, within=others is None))
    # Turned by a quarter a picture that lies stands.
    for mine, theirs in ((_lying, _standing), (_standing, _lying)):
        one, two = [i for i, f in enumerate(photos) if mine(f)], [j for j, f in enumerate(second) if theirs(f)]
        lot, lot_two = [photos[i] for i in one], [second[j] for j in two]
        pairs += [(one[i], two[j]) for i, j in _found(_QUARTER, lot, lot_two)]
        pairs += [(one[i], two[j]) for j, i in _found(_QUARTER, lot_two, lot)]
    yield from sorted({(min(i, j), max(i, j)) for i, j in pairs} if others is None else set(pairs))


def _found(
    way: _Way, photos: Sequence[PhotoFacts], others: Sequence[PhotoFacts], *, within: bool = False
) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of which the first is the other seen in a way; within: of one list, i < j."""
    pairs = _near(way, photos, others, within=within)
    while some := list(islice(pairs, _PAIRS)):
        yield from compress(some, _seen(way, [(photos[i], others[j]) for i, j in some]))


def _near(
    way: _Way, photos: Sequence[PhotoFacts], others: Sequence[PhotoFacts], *, within: bool = False
) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) whose hashes are near if the other photo is seen in a way; within: of one list, i < j."""
    found = near(_hashes(photos), [way.hash(facts.looks) if facts.looks else 0 for facts in others])
    return ((i, j) for i, j in found if i < j or not within)


def _lying(facts: PhotoFacts) -> bool:
    return facts.width >= facts.height


def _standing(facts: PhotoFacts) -> bool:
    return facts.height >= facts.width


def _hashes(photos: Sequence[PhotoFacts]) -> list[int]:
    return [facts.dhash or 0 for facts in photos]


def _close(one: PhotoFacts, wanted: int | None) -> bool:
    return one.dhash is not None and wanted is not None and (one.dhash ^ wanted).bit_count() <= REACH


def _miniatures(one: PhotoFacts, other: PhotoFacts) -> tuple[bytes, bytes]:
    greys = (one.looks.grey if one.looks else "", other.looks.grey if other.looks else "")
    return miniature(greys[0]), miniature(greys[1])
