"""EXIF as facts: what is written, what is absurd, what is garbage."""

from __future__ import annotations

import io
import random
import struct
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import piexif
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from buildbook.photos import exif, picture
from buildbook.photos.exif import Capture, Tags, capture
from buildbook.photos.picture import decode

T = piexif.ExifIFD


def shot(**ifds: Any) -> Capture:
    return capture(Tags(main=ifds.get("main", {}), exif=ifds.get("exif", {}), gps=ifds.get("gps", {})))


def at(written: object, **more: object) -> Capture:
    named = {"subsec": exif.SUBSEC_ORIGINAL, "offset": exif.OFFSET_ORIGINAL}
    return shot(exif={exif.DATE_ORIGINAL: written, **{named[k]: v for k, v in more.items()}})


def test_capture_time() -> None:
    found = at(b"2026:03:02 10:05:06")
    assert (found.taken, found.offset_known, found.taken_problem) == (datetime(2026, 3, 2, 10, 5, 6), False, "")


@pytest.mark.parametrize(
    ("subsec", "microsecond"),
    [(b"5", 500_000), (b"05", 50_000), (b"123456789", 123_456), (b"  ", 0), (b"x", 0), (7, 0)],
)
def test_sub_seconds_are_a_decimal_fraction(subsec: object, microsecond: int) -> None:
    found = at(b"2026:03:02 10:05:06", subsec=subsec)
    assert found.taken is not None
    assert found.taken.microsecond == microsecond


@pytest.mark.parametrize(
    ("offset", "minutes"),
    [
        (b"+02:00", 120),
        (b"-03:30", -210),
        (b"+00:00", 0),
        (b"+1400", 840),
        (b"+14:30", None),
        (b"Z", None),
        (b"   :  ", None),
        (b"+02:75", None),
    ],
)
def test_offset(offset: bytes, minutes: int | None) -> None:
    found = at(b"2026:03:02 10:05:06", offset=offset)
    assert found.taken is not None
    zone = None if minutes is None else timezone(timedelta(minutes=minutes))
    assert found.taken == datetime(2026, 3, 2, 10, 5, 6, tzinfo=zone)
    assert found.offset_known is (minutes is not None)


@pytest.mark.parametrize(("offset", "asked"), [(b"+99:00", True), (b"+14:30", True), (b"Z", False), (b"   :  ", False)])
def test_an_offset_no_zone_has_is_told(offset: bytes, asked: bool) -> None:
    found = at(b"2026:03:02 10:05:06", offset=offset)
    assert ("-12:00 to +14:00" in found.taken_problem) is asked


@pytest.mark.parametrize(
    "written", [b"0000:00:00 00:00:00", b"    :  :     :  :  ", b"", b"\0\0", "0000:00:00 00:00:00"]
)
def test_a_blank_date(written: object) -> None:
    assert (at(written).taken, at(written).taken_problem) == (None, "The EXIF date of capture is blank.")


@pytest.mark.parametrize(
    "written",
    [
        b"2026:13:02 10:05:06",
        b"2026:02:30 10:05:06",
        b"2026:03:02 25:05:06",
        b"yesterday",
        b"2026:03:02",
        b"\xff\xfe\xfd",
    ],
)
def test_an_absurd_date(written: bytes) -> None:
    found = at(written)
    assert found.taken is None
    assert found.taken_problem.startswith("The EXIF date of capture reads “")
    assert found.taken_problem.endswith("”, which is no date.")


def test_old_and_future_dates_are_read_as_they_are() -> None:
    assert at(b"1904:01:01 00:00:00").taken == datetime(1904, 1, 1)
    assert at(b"2099:01:01 00:00:00").taken == datetime(2099, 1, 1)


def test_no_date_is_no_problem_here() -> None:
    found = shot(main={exif.MAKE: b"Halden"})
    assert (found.taken, found.taken_problem, found.has_exif) == (None, "", True)
    assert capture(Tags()) == Capture()


@pytest.mark.parametrize(
    ("make", "model", "camera"),
    [
        (b"Halden\0", b" Tallis 3 ", "Halden Tallis 3"),
        (b"Halden", b"HALDEN Tallis", "HALDEN Tallis"),
        (b"", b"Tallis", "Tallis"),
        (b"Halden", None, "Halden"),
        (None, None, ""),
        (b"A\x07\nB", b"\xc3\xa9", "A B é"),
    ],
)
def test_camera(make: object, model: object, camera: str) -> None:
    assert shot(main={exif.MAKE: make, exif.MODEL: model, exif.SOFTWARE: b"x"}).camera == camera


def test_gps_time_and_place() -> None:
    place = {exif.GPS_LATITUDE: ((1, 1),) * 3, exif.GPS_LONGITUDE: ((1, 1),) * 3}
    found = shot(gps={**place, exif.GPS_DATE: b"2026:03:02", exif.GPS_TIME: ((9, 1), (5, 1), (650, 100))})
    assert found.has_gps
    assert found.gps_time == datetime(2026, 3, 2, 9, 5, 6, 500_000, tzinfo=UTC)
    by_pillow = shot(gps={exif.GPS_DATE: "2026:03:02", exif.GPS_TIME: (9.0, 5.0, 6.5)})
    assert by_pillow.gps_time == found.gps_time
    assert not by_pillow.has_gps


@pytest.mark.parametrize(
    "gps",
    [
        {exif.GPS_DATE: b"2026:03:02"},
        {exif.GPS_DATE: b"2026:03:02", exif.GPS_TIME: ((9, 0), (5, 1), (6, 1))},
        {exif.GPS_DATE: b"2026:03:02", exif.GPS_TIME: ((99, 1), (5, 1), (6, 1))},
        {exif.GPS_DATE: b"0000:00:00", exif.GPS_TIME: ((9, 1), (5, 1), (6, 1))},
        {exif.GPS_DATE: b"x", exif.GPS_TIME: 4},
    ],
)
def test_a_gps_time_that_is_none(gps: dict[int, Any]) -> None:
    assert shot(gps=gps).gps_time is None


def test_pillow_reads_what_piexif_cannot(monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.BytesIO()
    block = piexif.dump(
        {"0th": {piexif.ImageIFD.Make: b"Halden"}, "Exif": {T.DateTimeOriginal: b"2026:03:02 10:05:06"}}
    )
    Image.new("RGB", (32, 32)).save(out, "JPEG", exif=block)
    whole = decode(out.getvalue()).facts

    def fail(_: bytes) -> None:
        raise MemoryError

    monkeypatch.setattr(piexif, "load", fail)
    assert decode(out.getvalue()).facts == whole
    assert whole.taken == datetime(2026, 3, 2, 10, 5, 6)


@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_read_from_every_format(fmt: str) -> None:
    block = Image.Exif()
    block[exif.MAKE] = "Halden"
    block.get_ifd(exif.EXIF_IFD)[exif.DATE_ORIGINAL] = "2026:03:02 10:05:06"
    out = io.BytesIO()
    Image.new("RGB", (32, 32)).save(out, fmt, exif=block.tobytes())
    found = decode(out.getvalue()).facts
    assert (found.camera, found.taken, found.has_exif) == ("Halden", datetime(2026, 3, 2, 10, 5, 6), True)


@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_none_in_any_format(fmt: str) -> None:
    out = io.BytesIO()
    Image.new("RGB", (32, 32)).save(out, fmt)
    assert not decode(out.getvalue()).facts.has_exif


def with_block(block: bytes) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (32, 32)).save(out, "JPEG")
    data = out.getvalue()
    return data[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + data[2:]


def circular() -> bytes:
    """An Exif pointer that leads back to the first directory, and a next directory that is the same."""
    return b"Exif\0\0II*\0" + struct.pack("<IHHHIII", 8, 1, exif.EXIF_IFD, 4, 1, 8, 8)


@pytest.mark.parametrize(
    "block",
    [
        circular(),
        b"Exif\0\0",
        b"Exif\0\0MM\0*",
        b"Exif\0\0" + b"\xff" * 200,
        b"Exif\0\0II*\0" + struct.pack("<IHHHII", 8, 65535, 0x010F, 2, 0x7FFFFFFF, 8),
        b"Exif\0\0II*\0" + struct.pack("<IHHHIII", 8, 1, 0x0112, 5, 0xFFFFFFFF, 0, 0),
        b"Exif\0\0II*\0\xff\xff\xff\xff",
    ],
    ids=["circular", "empty", "header", "noise", "long text", "many rationals", "far"],
)
def test_garbage_shows_the_picture_all_the_same(block: bytes) -> None:
    found = decode(with_block(block)).facts
    assert found.problem == ""
    assert (found.width, found.height, found.taken) == (32, 32, None)


@pytest.mark.parametrize("count", [0xFFFFFFFF, 0x10000000, 4000])
def test_a_count_beyond_the_block_is_not_followed(count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """piexif would ask for the memory, and take it."""
    monkeypatch.setattr(piexif, "load", lambda _: pytest.fail("followed"))
    block = b"Exif\0\0II*\0" + struct.pack("<IHHHIII", 8, 1, exif.MAKE, 1, count, 26, 0) + bytes(40)
    assert decode(with_block(block)).facts.problem == ""


def test_a_pointer_to_an_implausible_directory_is_not_followed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(piexif, "load", lambda _: pytest.fail("followed"))
    inner = struct.pack("<HHHIII", 1, 0x9000, 7, 0xFFFFFFFF, 0, 0)
    block = b"Exif\0\0II*\0" + struct.pack("<IHHHIII", 8, 1, exif.EXIF_IFD, 4, 1, 26, 0) + inner
    assert decode(with_block(block)).facts.problem == ""


@given(st.binary(max_size=300))
def test_any_bytes_for_exif(noise: bytes) -> None:
    assert decode(with_block(b"Exif\0\0II*\0\x08\0\0\0" + noise)).facts.problem == ""


def test_damaged_bytes_never_raise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four hundred damaged files, always the same ones."""
    for limit in ("PIXELS_MAX", "PIXELS_MAX_WHOLE"):  # damaged sizes are within the real ones, and slow
        monkeypatch.setattr(picture, limit, 100_000)
    r = random.Random(11)
    block = piexif.dump({"0th": {piexif.ImageIFD.Make: b"Halden"}, "GPS": {7: ((9, 1), (5, 1), (6, 1))}})
    sources = []
    for fmt in ("JPEG", "PNG", "WEBP"):
        out = io.BytesIO()
        Image.linear_gradient("L").resize((40, 40)).convert("RGB").save(out, fmt, exif=block)
        sources.append(out.getvalue())
    broken = 0
    for _ in range(400):
        data = bytearray(r.choice(sources))
        for _ in range(r.randrange(1, 20)):
            data[r.randrange(12, len(data))] = r.randrange(256)
        found = decode(bytes(data)).facts
        broken += bool(found.problem)
        assert bool(found.problem) is (found.dhash is None)
    assert 40 < broken < 400
