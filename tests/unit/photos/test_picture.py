"""Decoding: formats, orientation, colour, quality, and every refusal in words."""

from __future__ import annotations

import io
import random
import struct
import zlib
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageCms, ImageDraw, ImageOps, ImageStat, features

from buildbook.photos import looks, picture
from buildbook.photos.limits import PIXELS_MAX_WHOLE
from buildbook.photos.picture import decode
from buildbook.photos.profiles import adobe_rgb, matrix_profile

SIZE = (96, 64)


@pytest.fixture(autouse=True)
def _pillow_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    """decode sets Pillow's pixel limit aside in its worker; here the process goes on."""
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", Image.MAX_IMAGE_PIXELS)


def scene(size: tuple[int, int] = SIZE) -> Image.Image:
    """A smooth picture without symmetry."""
    grey = Image.linear_gradient("L").resize(size)
    return Image.merge(
        "RGB",
        (grey, grey.transpose(Image.Transpose.FLIP_LEFT_RIGHT).rotate(90, fillcolor=40), grey.point(lambda v: 255 - v)),
    )


def saved(image: Image.Image, fmt: str, **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, fmt, **options)
    return out.getvalue()


def rendition(data: bytes) -> Image.Image:
    made = decode(data)
    assert made.facts.problem == ""
    image = Image.open(io.BytesIO(made.print_jpeg))
    image.load()
    return image


def worst(a: Image.Image, b: Image.Image) -> float:
    """Largest difference of any channel's mean or pixel, 0 to 255, leaving JPEG's ringing at single pixels out."""
    assert a.size == b.size
    return max(ImageStat.Stat(ImageChops.difference(a, b)).mean)


def exif_of(orientation: int) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    return exif.tobytes()


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_orientation_is_applied_once(fmt: str, orientation: int) -> None:
    """Against Pillow's ImageOps.exif_transpose."""
    data = saved(scene(), fmt, exif=exif_of(orientation))
    with Image.open(io.BytesIO(data)) as image:
        expected = ImageOps.exif_transpose(image).convert("RGB")
    made = decode(data)
    assert made.facts.orientation == orientation
    assert (made.facts.width, made.facts.height) == expected.size
    assert worst(rendition(data), expected) < 4


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_orientation_of_heic_is_applied_once(orientation: int) -> None:
    """A decoder that turns HEIC pictures itself must not have them turned twice."""
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    data = saved(scene((128, 64)), "HEIF", exif=exif_of(orientation), quality=100)
    with Image.open(io.BytesIO(data)) as image:
        expected = ImageOps.exif_transpose(image).convert("RGB")
    made = decode(data)
    assert (made.facts.format, made.facts.width, made.facts.height) == ("HEIF", *expected.size)
    assert made.facts.orientation == orientation
    assert worst(rendition(data), expected) < 4


def test_heic_without_its_reader_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "pillow_heif", None)
    made = decode(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(64))
    assert made.facts.problem == picture.NEEDS_HEIC
    assert not made.lasting


def test_an_out_of_range_orientation_means_none() -> None:
    assert decode(saved(scene(), "JPEG", exif=exif_of(9))).facts.orientation == 1


# Colour ------------------------------------------------------------------------------------------------------------


def flat(mode: str, colour: Any) -> Image.Image:
    return Image.new(mode, (64, 64), colour)


def middle(image: Image.Image) -> tuple[int, ...]:
    found = image.getpixel((32, 32))
    assert isinstance(found, tuple)
    return found


def srgb_encoded(linear: float) -> float:
    """IEC 61966-2-1:1999, 5.2."""
    linear = min(1.0, max(0.0, linear))
    return 255 * (12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055)


def by_matrix(rows: tuple[tuple[float, float, float], ...], linear: list[float]) -> list[float]:
    return [srgb_encoded(sum(m * v for m, v in zip(row, linear, strict=True))) for row in rows]


# XYZ (D65) to linear sRGB: IEC 61966-2-1:1999, 5.2 (values as amended in 2003).
FROM_XYZ = ((3.2406255, -1.5372080, -0.4986286), (-0.9689307, 1.8757561, 0.0415175), (0.0557101, -0.2040211, 1.0569959))
# Adobe RGB (1998) Color Image Encoding, version 2005-05, 4.3.5.3: linear to XYZ (D65).
ADOBE = ((0.57667, 0.18556, 0.18823), (0.29734, 0.62736, 0.07529), (0.02703, 0.07069, 0.99134))
# Display P3: primaries of SMPTE EG 432-1 with D65; matrix as derived from them by the formula of SMPTE RP 177.
P3 = ((0.48657, 0.26567, 0.19822), (0.22897, 0.69174, 0.07929), (0.0, 0.04511, 1.04394))


def product(a: Any, b: Any) -> tuple[tuple[float, float, float], ...]:
    return tuple(tuple(sum(a[i][k] * b[k][j] for k in range(3)) for j in range(3)) for i in range(3))  # type: ignore[misc]


@pytest.mark.parametrize("colour", [(200, 100, 50), (90, 140, 90), (30, 60, 120), (128, 128, 128)])
def test_adobe_rgb_becomes_srgb(colour: tuple[int, int, int]) -> None:
    expected = by_matrix(product(FROM_XYZ, ADOBE), [(v / 255) ** 2.19921875 for v in colour])
    got = middle(rendition(saved(flat("RGB", colour), "PNG", icc_profile=adobe_rgb())))
    assert got == pytest.approx(expected, abs=3)
    if len(set(colour)) > 1:
        assert middle(rendition(saved(flat("RGB", colour), "PNG"))) != pytest.approx(expected, abs=3)


@pytest.mark.parametrize("colour", [(200, 100, 50), (90, 140, 90), (30, 60, 120), (128, 128, 128)])
def test_display_p3_becomes_srgb(colour: tuple[int, int, int]) -> None:
    def linear(v: float) -> float:
        return v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4

    curve = [round(65535 * linear(n / 1023)) for n in range(1024)]
    # The same primaries, adapted to D50 (Bradford), as in the profiles that carry this space.
    profile = matrix_profile(
        "P3", (0.51512, 0.24120, -0.00105), (0.29198, 0.69225, 0.04189), (0.15710, 0.06657, 0.78407), curve
    )
    expected = by_matrix(product(FROM_XYZ, P3), [linear(v / 255) for v in colour])
    got = middle(rendition(saved(flat("RGB", colour), "JPEG", quality=100, icc_profile=profile)))
    assert got == pytest.approx(expected, abs=3)


def test_adobe_rgb_named_in_exif_only() -> None:
    """DCF option file, CIPA DC-009: InteroperabilityIndex "R03" and no profile."""
    import piexif

    exif = piexif.dump({"Interop": {piexif.InteropIFD.InteroperabilityIndex: b"R03"}, "Exif": {0xA001: 65535}})
    colour = (90, 140, 90)
    expected = by_matrix(product(FROM_XYZ, ADOBE), [(v / 255) ** 2.19921875 for v in colour])
    assert middle(rendition(saved(flat("RGB", colour), "JPEG", quality=100, exif=exif))) == pytest.approx(
        expected, abs=4
    )


def test_an_srgb_profile_changes_nothing() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    with_profile = decode(saved(scene(), "PNG", icc_profile=profile))
    assert with_profile.print_jpeg == decode(saved(scene(), "PNG")).print_jpeg


@pytest.mark.parametrize("level", [40, 128, 200])
def test_a_profile_is_what_it_does_and_not_what_it_is_called(level: int) -> None:
    """One named for sRGB whose values are linear light: IEC 61966-2-1's primaries adapted to D50, exponent 1."""
    primaries = ((0.43607, 0.22249, 0.01392), (0.38515, 0.71687, 0.09708), (0.14307, 0.06061, 0.71410))
    profile = matrix_profile("sRGB-linear", *primaries, (256,))
    got = middle(rendition(saved(flat("RGB", (level, level, level)), "PNG", icc_profile=profile)))
    assert got == pytest.approx([srgb_encoded(level / 255)] * 3, abs=3)


@pytest.mark.parametrize("size", [(4000, 16), (16, 4000), (20000, 60)])
def test_a_strip_is_shown_as_what_it_is(size: tuple[int, int]) -> None:
    found = decode(saved(Image.new("RGB", size, (90, 120, 30)), "JPEG")).facts
    assert (found.problem, found.width, found.height) == ("", *size)


@pytest.mark.parametrize("profile", [b"", b"no profile", adobe_rgb()[:200], adobe_rgb()[:-40]])
def test_a_damaged_profile_is_as_good_as_none(profile: bytes) -> None:
    image = rendition(saved(flat("RGB", (10, 200, 30)), "PNG", icc_profile=profile))
    assert image.size == (64, 64)


def test_a_profile_of_another_space_is_left_alone() -> None:
    """An RGB profile on a CMYK picture."""
    image = rendition(saved(flat("CMYK", (0, 0, 0, 0)), "JPEG", icc_profile=adobe_rgb()))
    assert min(middle(image)) > 250


@pytest.mark.parametrize(
    ("ink", "seen"), [((0, 0, 0, 0), (255, 255, 255)), ((0, 255, 255, 0), (255, 0, 0)), ((0, 0, 0, 255), (0, 0, 0))]
)
@pytest.mark.parametrize("fmt", ["JPEG", "TIFF"])
def test_cmyk(fmt: str, ink: tuple[int, ...], seen: tuple[int, ...]) -> None:
    assert middle(rendition(saved(flat("CMYK", ink), fmt))) == pytest.approx(seen, abs=4)


@pytest.mark.parametrize(
    ("image", "seen"),
    [
        (flat("RGBA", (0, 0, 200, 0)), (255, 255, 255)),
        (flat("RGBA", (0, 0, 0, 128)), (127, 127, 127)),
        (flat("LA", (0, 128)), (127, 127, 127)),
        (flat("L", 77), (77, 77, 77)),
        (flat("1", 1), (255, 255, 255)),
        (flat("I;16", 0x4D00), (77, 77, 77)),
        (flat("P", 0), (0, 0, 0)),
        (flat("RGB", (10, 90, 200)), (10, 90, 200)),
    ],
    ids=lambda v: v.mode if isinstance(v, Image.Image) else "",
)
def test_modes_end_as_rgb_on_white(image: Image.Image, seen: tuple[int, ...]) -> None:
    made = rendition(saved(image, "PNG"))
    assert made.mode == "RGB"
    assert middle(made) == pytest.approx(seen, abs=3)


@pytest.mark.parametrize("image", [flat("P", 0), flat("RGB", (5, 5, 5)), flat("L", 5)], ids=lambda i: i.mode)
def test_a_transparent_colour_is_white(image: Image.Image) -> None:
    key: Any = {"P": 0, "RGB": (5, 5, 5), "L": 5}[image.mode]
    assert min(middle(rendition(saved(image, "PNG", transparency=key)))) > 250


def test_sixteen_bit_colour_tiff() -> None:
    """Baseline TIFF 6.0 by hand: 16 bits a sample, three samples."""
    strip = struct.pack("<3H", 0xFF00, 0x8000, 0x1000) * 32 * 32
    tags = [
        (256, 3, 1, 32),
        (257, 3, 1, 32),
        (258, 3, 3, 0),
        (259, 3, 1, 1),
        (262, 3, 1, 2),
        (273, 4, 1, 0),
        (277, 3, 1, 3),
        (278, 3, 1, 32),
        (279, 4, 1, len(strip)),
    ]
    after = 8 + 2 + 12 * len(tags) + 4
    places = {258: after, 273: after + 6}
    ifd = struct.pack("<H", len(tags)) + b"".join(
        struct.pack("<HHI", t, k, n)
        + (struct.pack("<I", places.get(t, v)) if k == 4 or n > 1 else struct.pack("<HH", v, 0))
        for t, k, n, v in tags
    )
    data = b"II*\0" + struct.pack("<I", 8) + ifd + bytes(4) + struct.pack("<3H", 16, 16, 16) + strip
    assert rendition(data).getpixel((16, 16)) == pytest.approx((255, 128, 16), abs=3)


# Quality -----------------------------------------------------------------------------------------------------------


def detailed(width: int, height: int) -> Image.Image:
    """A detailed picture: tones, edges, lettering, grain. Always the same."""
    r = random.Random(7)
    image = Image.merge(
        "RGB",
        [
            Image.frombytes("L", (24, 18), r.randbytes(24 * 18)).resize((width, height), Image.Resampling.BICUBIC)
            for _ in "rgb"
        ],
    )
    draw = ImageDraw.Draw(image)
    for _ in range(160):
        x, y, s = r.randrange(width), r.randrange(height), r.randrange(10, 400)
        ink = (r.randrange(256), r.randrange(256), r.randrange(256))
        (draw.ellipse, draw.rectangle)[r.randrange(2)]((x, y, x + s, y + s // 2), outline=ink, width=r.randrange(2, 12))
        draw.line((x, y, x + 2 * s, y + s), fill=ink, width=r.randrange(1, 14))
        draw.text((y, x), f"No. {r.randrange(10**7)}", fill=ink, font_size=r.randrange(24, 120))
    grain = Image.frombytes("L", (width, height), r.randbytes(width * height))
    return Image.blend(image, Image.merge("RGB", [grain] * 3), 0.06)


def psnr(a: Image.Image, b: Image.Image) -> float:
    """Peak signal-to-noise ratio (dB) over all channels."""
    from math import log10

    squares = ImageStat.Stat(ImageChops.difference(a, b)).sum2
    return 10 * log10(255**2 * 3 * a.width * a.height / sum(squares))


@pytest.mark.parametrize("size", [(4000, 3000), (3264, 2448), (2400, 1800)])
def test_the_scaled_decode_costs_no_quality(size: tuple[int, int]) -> None:
    """Within 0.2 dB of a full decode and Lanczos, both as JPEG, against that reduction itself."""
    data = saved(detailed(*size), "JPEG", quality=92)
    with Image.open(io.BytesIO(data)) as full:
        ideal = full.resize((1600, 1200), Image.Resampling.LANCZOS)
    best = Image.open(io.BytesIO(saved(ideal, "JPEG", quality=85)))
    assert psnr(rendition(data), ideal) > psnr(best, ideal) - 0.2


def test_a_large_jpeg_is_not_decoded_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = []
    real = picture.shrink
    monkeypatch.setattr(picture, "shrink", lambda image, size: seen.append(image.size) or real(image, size))
    decode(saved(flat("RGB", "teal").resize((8000, 6000)), "JPEG"))
    assert seen[0] == (2000, 1500)


def test_the_difference_hash_is_of_the_turned_picture() -> None:
    upright = decode(saved(scene(), "PNG")).facts.dhash
    lying = scene().transpose(Image.Transpose.ROTATE_90)  # what a camera held upright stores, with orientation 6
    assert decode(saved(lying, "PNG", exif=exif_of(6))).facts.dhash == upright
    assert decode(saved(lying, "PNG")).facts.dhash != upright


def test_the_difference_hash_by_hand() -> None:
    """Rising to the right: all bits set; falling: none. 64 bits."""
    rising = Image.linear_gradient("L").rotate(90).convert("RGB")
    hashes = {
        looks.difference_hash(rising),
        looks.difference_hash(rising.transpose(Image.Transpose.FLIP_LEFT_RIGHT)),
    }
    assert hashes == {0, 2**64 - 1}


# Refusals ----------------------------------------------------------------------------------------------------------


def png(width: int, height: int, data: bytes) -> bytes:
    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def test_a_bomb_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("PIL.PngImagePlugin.PngImageFile.load", lambda _: pytest.fail("decoded"))
    made = decode(png(50_000, 50_000, zlib.compress(bytes(10**6))))
    assert (
        made.facts.problem
        == f"The picture has 2,500 million pixels; up to {PIXELS_MAX_WHOLE // 10**6} million are shown."
    )
    assert (made.facts.width, made.facts.height) == (50_000, 50_000)


def test_animations_are_refused() -> None:
    frames = [flat("RGB", "red"), flat("RGB", "blue")]
    for fmt in ("PNG", "WEBP"):
        data = saved(frames[0], fmt, save_all=True, append_images=frames[1:])
        assert decode(data).facts.problem == "The file is an animation; save the frame that matters as a picture."


def test_a_two_picture_jpeg_shows_the_first() -> None:
    data = saved(flat("RGB", "red"), "MPO", save_all=True, append_images=[flat("RGB", "blue")])
    made = decode(data)
    assert made.facts.format == "MPO"
    assert middle(rendition(data)) == pytest.approx((255, 0, 0), abs=3)


@pytest.mark.parametrize("fmt", ["GIF", "BMP", "JPEG2000", "AVIF"])
def test_other_formats_are_named(fmt: str) -> None:
    if fmt == "AVIF" and not features.check("avif"):
        pytest.skip("this Pillow writes no AVIF")
    made = decode(saved(flat("RGB", "red"), fmt))
    assert made.facts.problem == f"{fmt} pictures are not shown; save it as one of JPEG, PNG, WebP, TIFF and HEIC."
    assert made.facts.format == fmt


@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP", "TIFF"])
@pytest.mark.parametrize("share", [0.02, 0.3, 0.6, 0.9])
def test_cut_short(fmt: str, share: float) -> None:
    r = random.Random(3)
    data = saved(Image.frombytes("RGB", (200, 200), r.randbytes(120_000)), fmt)
    made = decode(data[: int(len(data) * share)])
    assert made.facts.problem in {
        f"The {fmt} data is {what}; copy the file again from where it came." for what in ("cut short", "damaged")
    }
    assert made.print_jpeg == b""
    assert made.lasting


def test_empty_and_no_picture() -> None:
    assert decode(b"").facts.problem == "The file is empty."
    assert (
        decode(b"Dear owner,").facts.problem
        == "The file is no picture by its content; JPEG, PNG, WebP, TIFF and HEIC pictures are shown."
    )


def test_too_small_to_show() -> None:
    assert (
        decode(saved(Image.new("RGB", (300, 2)), "PNG")).facts.problem
        == "The picture is 300 x 2 pixels, too small to show."
    )


def test_floating_point_is_refused() -> None:
    made = decode(saved(flat("F", 0.5), "TIFF"))
    assert made.facts.problem == "The picture holds floating-point values; save it with 8 or 16 bits a channel."


def test_out_of_memory_is_a_problem_that_does_not_last(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(picture, "shrink", full)
    made = decode(saved(scene(), "PNG"))
    assert made.facts.problem == "The picture needs too much memory to decode."
    assert not made.lasting


@pytest.mark.parametrize(
    "error", [OSError("x"), ValueError("x"), TypeError("x"), EOFError(), SyntaxError("x"), struct.error("x")]
)
def test_whatever_a_decoder_raises_is_a_problem(error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", fail)
    assert "copy the file again" in decode(saved(scene(), "JPEG")).facts.problem


def test_a_tiff_whose_directories_run_in_a_circle() -> None:
    data = bytearray(saved(scene(), "TIFF"))
    start = struct.unpack_from("<I", data, 4)[0]
    (count,) = struct.unpack_from("<H", data, start)
    struct.pack_into("<I", data, start + 2 + 12 * count, start)  # the next directory is this one
    made = decode(bytes(data))
    assert made.facts.problem == ""
    assert (made.facts.width, made.facts.height) == SIZE
