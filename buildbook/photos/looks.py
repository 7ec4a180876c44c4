"""What a picture looks like, measured once from its small rendition: for likeness, and for hints about its quality.

All values are of brightness (luma of ITU-R BT.601, as Pillow's "L": 0 black to 255 white) of the turned picture.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from operator import lt
from typing import TYPE_CHECKING

from buildbook.records.photo import Looks

if TYPE_CHECKING:
    from PIL.Image import Image

GRID = 32
"""Rows and columns of the miniature that two pictures are compared by."""

CUTS: tuple[tuple[float, float, float], ...] = tuple(
    (x * (1 - side) / n, y * (1 - side) / n, side)
    for side, n in ((0.85, 2), (0.7, 4), (0.55, 6))
    for y in range(n + 1)
    for x in range(n + 1)
)
"""Windows of a picture (left, top, side, as shares of its width and height) that a cut-out is looked for in."""

CUT_BYTES = 19
_CELLS = 9
_SAMPLE = 96  # long edge (pixels) of the picture that windows are taken from
_TILES = 4
_DARK, _BURNT = 32, 250  # of 255
_AS_DIGITS = bytes.maketrans(b"\0\1", b"01")


def measure(small: Image) -> Looks:
    """Measure the small rendition of a picture."""
    from PIL.Image import Resampling, Transpose

    grey = small.convert("L")
    counts = grey.histogram()
    pixels = grey.width * grey.height
    return Looks(
        grey=b64encode(grey.resize((GRID, GRID), Resampling.BOX).tobytes()).decode("ascii"),
        cuts=b64encode(b"".join(_cut_hashes(grey))).decode("ascii"),
        mirrored=difference_hash(grey.transpose(Transpose.FLIP_LEFT_RIGHT)),
        quarter=difference_hash(grey.transpose(Transpose.ROTATE_270)),  # Pillow turns counter-clockwise
        half=difference_hash(grey.transpose(Transpose.ROTATE_180)),
        fine=_sharpest(grey),
        coarse=_sharpest(grey.reduce(4)) if min(grey.size) >= 4 * _TILES * 3 else 0.0,
        dark=round(sum(counts[:_DARK]) / pixels, 3),
        burnt=round(sum(counts[_BURNT:]) / pixels, 3),
    )


def difference_hash(image: Image) -> int:
    """64-bit difference hash: 8 rows of 8, a bit set where a cell is darker than its right neighbour."""
    from PIL.Image import Resampling

    cells = image.convert("L").resize((9, 8), Resampling.LANCZOS).tobytes()
    bits = 0
    for row in range(8):
        for column in range(8):
            bits = bits << 1 | (cells[row * 9 + column] < cells[row * 9 + column + 1])
    return bits


def _cut_hashes(grey: Image) -> Iterator[bytes]:
    from PIL.Image import Resampling

    scale = _SAMPLE / max(grey.size)
    width, height = max(_CELLS, round(grey.width * scale)), max(_CELLS, round(grey.height * scale))
    sample = grey.resize((width, height), Resampling.BOX)
    for left, top, side in CUTS:
        box = (left * width, top * height, (left + side) * width, (top + side) * height)
        yield gradients(sample.resize((_CELLS, _CELLS), Resampling.BOX, box=box).tobytes())


def gradients(cells: bytes) -> bytes:
    """CUT_BYTES of bits: which of 9 x 9 cells is darker than the next one, and than the one below it."""
    across, down = bytes(map(lt, cells, cells[1:])), bytes(map(lt, cells, cells[_CELLS:]))
    return int((across + down).translate(_AS_DIGITS), 2).to_bytes(CUT_BYTES)


def _sharpest(grey: Image) -> float:
    """Variance of the Laplacian in the sharpest of 4 x 4 tiles: a close-up may be sharp in one place only."""
    from PIL import ImageFilter

    second = grey.filter(ImageFilter.Kernel((3, 3), (0, 1, 0, 1, -4, 1, 0, 1, 0), scale=2, offset=128))
    width, height = grey.size
    best = 0.0
    for row in range(_TILES):
        for column in range(_TILES):
            # Pillow leaves the outermost pixels of a filtered picture as they were: they are kept out.
            box = (
                max(1, column * width // _TILES), max(1, row * height // _TILES),
                min(width - 1, (column + 1) * width // _TILES), min(height - 1, (row + 1) * height // _TILES),
            )  # fmt: skip
            if box[0] < box[2] and box[1] < box[3]:  # a picture one or two pixels high has no inside
                best = max(best, _variance(second.crop(box).histogram()))
    return round(4 * best, 1)  # the kernel was halved, so that it clips at 254 steps of brightness, not 127


def _variance(counts: list[int]) -> float:
    total = sum(counts)
    if not total:
        return 0.0
    mean = sum(value * n for value, n in enumerate(counts)) / total
    return sum(value * value * n for value, n in enumerate(counts)) / total - mean * mean
