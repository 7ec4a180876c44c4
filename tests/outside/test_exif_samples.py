"""EXIF and orientation of public sample pictures, against what their own packages' tests state.

Sources, licences and statements: data/pictures/NOTICE.txt. PUB-B: published with the reference libraries.
"""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat

from buildbook.photos import Library
from buildbook.photos.picture import Decoded, decode

PICTURES = Path(__file__).parent / "data" / "pictures"


def read(name: str) -> Decoded:
    return decode((PICTURES / name).read_bytes())


def shown(made: Decoded) -> Image.Image:
    assert made.facts.problem == ""
    image = Image.open(io.BytesIO(made.print_jpeg))
    image.load()
    return image


def difference(a: Image.Image, b: Image.Image) -> float:
    """Sum of the channels' mean differences, as assert_image_similar in Pillow's tests counts."""
    assert a.size == b.size
    return sum(ImageStat.Stat(ImageChops.difference(a, b)).mean)


def test_tags_as_stated_by_piexif() -> None:
    """piexif 1.1.3, tests/s_test.py: ZEROTH_IFD, EXIF_IFD, GPS_IFD."""
    facts = read("tags.jpg").facts
    assert facts.camera == "Make XXX-XXX"
    assert facts.software == "PIL"
    assert facts.taken == datetime(2099, 9, 29, 10, 10, 10)
    assert not facts.offset_known
    assert facts.taken_problem == ""
    assert facts.gps_time is None  # GPSDateStamp "1999:99:99 99:99:99"
    assert not facts.has_gps  # a latitude and no longitude
    assert facts.has_exif
    assert (facts.width, facts.height) == (8, 8)


def test_no_exif_as_stated_by_piexif() -> None:
    """piexif 1.1.3, tests/s_test.py: test_no_exif_load."""
    facts = read("noexif.jpg").facts
    assert not facts.has_exif
    assert (facts.taken, facts.camera, facts.problem) == (None, "", "")


@pytest.mark.parametrize("orientation", range(2, 9))
@pytest.mark.parametrize("ext", ["jpg", "webp"])
def test_orientation_as_stated_by_pillow(ext: str, orientation: int) -> None:
    """Pillow, Tests/test_imageops.py, test_exif_transpose: like the upright picture within 17 (here through JPEG: 20)."""
    made = read(f"hopper_orientation_{orientation}.{ext}")
    upright = read(f"hopper.{ext}")
    assert made.facts.orientation == orientation
    assert difference(shown(made), shown(upright)) < 20
    with Image.open(PICTURES / f"hopper_orientation_{orientation}.{ext}") as stored:
        assert difference(stored.convert("RGB"), shown(upright)) > 60  # so the check can fail
    assert made.facts.dhash is not None
    assert upright.facts.dhash is not None
    assert (made.facts.dhash ^ upright.facts.dhash).bit_count() <= 2


@pytest.mark.parametrize("orientation", range(2, 9))
def test_orientation_of_fax_tiff_as_stated_by_pillow(orientation: int) -> None:
    """Pillow, Tests/test_file_libtiff.py, test_orientation: like the first within 0.7 (here through JPEG: 2)."""
    made, upright = read(f"g4_orientation_{orientation}.tif"), read("g4_orientation_1.tif")
    assert made.facts.orientation == orientation
    assert (made.facts.width, made.facts.height) == (upright.facts.width, upright.facts.height)
    assert difference(shown(made), shown(upright)) < 3 * 2


def test_orientation_of_a_sideways_rectangle() -> None:
    """Pillow, Tests/test_imageops.py, test_exif_transpose_in_place: stored 2 x 1, orientation 8, seen 1 x 2."""
    facts = read("orientation_rectangle.jpg").facts
    assert (facts.orientation, facts.width, facts.height) == (8, 1, 2)


def test_orientation_from_xmp_alone() -> None:
    """Pillow, Tests/test_imageops.py, test_exif_transpose: orientation 3 from XMP."""
    facts = read("xmp_tags_orientation_exiftool.png").facts
    assert facts.orientation == 3
    assert not facts.has_exif


def test_a_truncated_jpeg_as_stated_by_pillow() -> None:
    """Pillow, Tests/test_file_jpeg.py, test_truncated_jpeg_throws_oserror."""
    assert read("truncated_jpeg.jpg").facts.problem.startswith("The JPEG data is cut short")


def test_heic_shows_the_same_person() -> None:
    """The same portrait in HEIC, by another encoder."""
    pytest.importorskip("pillow_heif")
    made = read("hopper.heic")
    assert made.facts.format == "HEIF"
    assert difference(shown(made), shown(read("hopper.jpg"))) < 17


def test_the_samples_through_the_whole_survey(tmp_path: Path) -> None:
    """Each sample once through worker and cache gives the facts it gives here."""
    names = sorted(p.name for p in PICTURES.iterdir() if p.suffix in (".jpg", ".png", ".webp", ".tif"))
    assert len(names) > 25
    found = Library(tmp_path).survey(PICTURES, names)
    assert {n: s.facts for n, s in found.items()} == {n: read(n).facts for n in names}
