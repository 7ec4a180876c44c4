"""One photo's bytes to facts and renditions: opened once, decoded once, at a fraction of its size where JPEG allows.

Runs in a worker process only: it sets Pillow's own limits aside for those of `limits`.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from buildbook.photos import colour, exif, looks
from buildbook.photos.colour import Unshowable
from buildbook.photos.content import HEAD_BYTES, Format, format_of, refusal
from buildbook.photos.limits import EDGE_MIN, PIXELS_MAX, PIXELS_MAX_WHOLE, PRINT_EDGE, QUALITY, SMALL_EDGE
from buildbook.records.photo import PhotoFacts
from buildbook.records.said import figure, said

if TYPE_CHECKING:
    from PIL.Image import Image

# A scaled decode that lands on the size itself cost up to 0.26 dB against Lanczos; with a tenth to spare, 0.03.
_SPARE = 110
_PLUGINS = {Format.JPEG: ("JPEG", "MPO")}
NEEDS_HEIC = said("HEIC pictures need the extra heic: pip install 'buildbook[heic]'.")


@dataclass(frozen=True, slots=True)
class Decoded:
    """Facts, and the JPEG bytes of both renditions (empty if it cannot be shown).

    lasting: the outcome depends on the bytes alone, so it may be kept in a cache.
    """

    facts: PhotoFacts
    print_jpeg: bytes = b""
    small_jpeg: bytes = b""
    lasting: bool = True


def decode(data: bytes, *, cards: bool = False) -> Decoded:
    """Facts and renditions of a picture file's bytes. Bad bytes never raise: see `facts.problem`.

    cards: look for marker cards too.
    """
    found = format_of(data[:HEAD_BYTES])
    problem = refusal(found, empty=not data)
    if problem:
        return Decoded(PhotoFacts(format=str(found.value), problem=problem))
    if found is Format.HEIC and not _heif_opener():
        return Decoded(PhotoFacts(format=found.value, problem=NEEDS_HEIC), lasting=False)
    facts: dict[str, Any] = {"format": found.value}
    try:
        with warnings.catch_warnings(action="ignore"):  # remarks on odd pictures; what matters becomes a fact
            print_jpeg, small_jpeg = _decode(data, found, facts, cards)
    except Unshowable as reason:
        return Decoded(PhotoFacts(**facts, problem=reason.says))
    except MemoryError:
        return Decoded(PhotoFacts(**facts, problem=said("The picture needs too much memory to decode.")), lasting=False)
    except Exception as reason:  # decoders raise OSError, ValueError, TypeError, EOFError, SyntaxError, struct.error…
        return Decoded(PhotoFacts(**facts, problem=_in_words(reason, found)))
    return Decoded(PhotoFacts(**facts), print_jpeg, small_jpeg)


def _in_words(reason: Exception, found: Format) -> str:
    if isinstance(reason, EOFError) or "truncated" in str(reason).lower():
        return said("The {format} data is cut short; copy the file again from where it came.", format=found.value)
    return said("The {format} data is damaged; copy the file again from where it came.", format=found.value)


def _heif_opener() -> bool:
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        return False
    register_heif_opener(thumbnails=False)
    return True


def _decode(data: bytes, found: Format, facts: dict[str, Any], cards: bool) -> tuple[bytes, bytes]:
    """Print and small rendition. Fills `facts` on the way, so that what was learnt before a failure is kept."""
    from PIL import Image as images
    from PIL import UnidentifiedImageError

    images.MAX_IMAGE_PIXELS = None  # its warning comes too late, its error too early: `_hold_pixels` decides
    try:
        image: Image = images.open(io.BytesIO(data), formats=_PLUGINS.get(found, (found.value,)))
    except UnidentifiedImageError as reason:
        raise Unshowable(_in_words(reason, found)) from None
    with image:
        facts["format"] = image.format or found.value
        facts["width"], facts["height"] = image.size
        _hold_pixels(image, found)  # before anything else: to look for a PNG's EXIF, Pillow decodes it
        facts["orientation"] = image.info.get("original_orientation") or _orientation(image)
        # Pillow swaps a TIFF's size on opening, pillow-heif turns a HEIC's; both are settled after load.
        late = found in (Format.TIFF, Format.HEIC)
        facts["width"], facts["height"] = image.size if late else _turned_size(image.size, facts["orientation"])
        tags = exif.read_tags(image)
        taken = exif.capture(tags)
        facts.update({name: getattr(taken, name) for name in exif.Capture.__slots__})
        _hold_kind(image, found)
        icc = image.info.get("icc_profile") or exif.implied_profile(tags)
        size = fitted(image.size, PRINT_EDGE)
        if found is Format.JPEG:
            image.draft(None, (size[0] * _SPARE // 100, size[1] * _SPARE // 100))
        image.load()
        turn = _orientation(image)  # once more: what came out of load already turned says so
        if late:
            facts["width"], facts["height"] = _turned_size(image.size, turn)
            size = fitted(image.size, PRINT_EDGE)
        large = _turned(colour.to_srgb(shrink(colour.resizable(image), size), icc), turn)
    small = shrink(large, fitted(large.size, SMALL_EDGE))
    facts["dhash"] = looks.difference_hash(small)
    if cards:
        from buildbook.photos.codes import card_codes

        facts["cards"] = card_codes(large)
    facts["looks"] = looks.measure(small)
    return to_jpeg(large), to_jpeg(small)


def _hold_pixels(image: Image, found: Format) -> None:
    width, height = image.size
    most = PIXELS_MAX if found is Format.JPEG and not image.info.get("progressive") else PIXELS_MAX_WHOLE
    if width * height > most:
        says = said(
            "The picture has {n} million pixels; up to {most} million are shown.",
            n=figure(width * height / 1e6, ",.0f"), most=figure(most / 1e6, ",.0f"),
        )  # fmt: skip
        raise Unshowable(says)


def _hold_kind(image: Image, found: Format) -> None:
    width, height = image.size
    if min(width, height) < EDGE_MIN:
        raise Unshowable(
            said("The picture is {width} x {height} pixels, too small to show.", width=width, height=height)
        )
    # Further pictures in JPEG (MPO), TIFF and HEIC are other views or pages: the first is the photo.
    if found in (Format.PNG, Format.WEBP) and getattr(image, "n_frames", 1) > 1:
        raise Unshowable(said("The file is an animation; save the frame that matters as a picture."))


def _orientation(image: Image) -> int:
    """EXIF orientation 1 to 8; 1 where it is absent, damaged or out of range."""
    try:
        value = image.getexif().get(exif.ORIENTATION, 1)
    except Exception:  # OSError, SyntaxError, ValueError, struct.error among others
        return 1
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _turned_size(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    return (size[1], size[0]) if orientation >= 5 else size


def _turned(image: Image, orientation: int) -> Image:
    """The picture as it was seen (Exif 2.32, 4.6.4 A, Orientation)."""
    from PIL.Image import Transpose as T

    turns = {
        2: T.FLIP_LEFT_RIGHT,
        3: T.ROTATE_180,
        4: T.FLIP_TOP_BOTTOM,
        5: T.TRANSPOSE,
        6: T.ROTATE_270,
        7: T.TRANSVERSE,
        8: T.ROTATE_90,
    }
    return image.transpose(turns[orientation]) if orientation in turns else image


def fitted(size: tuple[int, int], edge: int) -> tuple[int, int]:
    """The size (pixels) with its long edge at `edge`, in proportion, never larger than it is."""
    scale = min(1.0, edge / max(size))
    return max(1, round(size[0] * scale)), max(1, round(size[1] * scale))


def shrink(image: Image, size: tuple[int, int]) -> Image:
    """The picture at `size` (pixels); to less than half its size by whole-number means, then Lanczos, else bicubic.

    After a scaled decode little is left to reduce: there bicubic costs a third less and 0.06 dB.
    """
    from PIL.Image import Resampling

    if image.size == size:
        return image
    if size[0] * 2 < image.width:
        return image.resize(size, Resampling.LANCZOS, reducing_gap=2.0)
    return image.resize(size, Resampling.BICUBIC)


def to_jpeg(image: Image) -> bytes:
    """JPEG bytes of an RGB picture with no metadata of any kind."""
    image.info = {}  # a comment would be carried over
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
