"""What is looked at as a picture: by content, and by what the name claims."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
from photo_files import OLD_NS, jpeg, put

from buildbook.photos import Library, content, reading
from buildbook.photos.content import Format, format_of, is_picture
from buildbook.photos.limits import BYTES_MAX


def box(brand: bytes, *more: bytes) -> bytes:
    return struct.pack(">I", 16 + 4 * len(more)) + b"ftyp" + brand + bytes(4) + b"".join(more) + bytes(40)


@pytest.mark.parametrize(
    ("head", "found"),
    [
        (b"\xff\xd8\xff\xe0", Format.JPEG),
        (b"\x89PNG\r\n\x1a\n", Format.PNG),
        (b"RIFF\0\0\0\0WEBPVP8 ", Format.WEBP),
        (b"RIFF\0\0\0\0AVI LIST", Format.OTHER),
        (b"II*\0", Format.TIFF),
        (b"MM\0*", Format.TIFF),
        (b"GIF89a", Format.GIF),
        (b"BM", Format.BMP),
        (b"8BPS", Format.PSD),
        (box(b"heic"), Format.HEIC),
        (box(b"mif1", b"heic"), Format.HEIC),
        (box(b"avif"), Format.AVIF),
        (box(b"mif1", b"avif"), Format.AVIF),
        (box(b"isom", b"mp42"), Format.OTHER),
        (box(b"qt  "), Format.OTHER),
        (b"%PDF-1.7", Format.OTHER),
        (b"", Format.OTHER),
    ],
)
def test_format_by_content(head: bytes, found: Format) -> None:
    assert format_of(head) is found


@pytest.mark.parametrize(
    ("path", "found", "picture"),
    [
        ("before/a.jpg", Format.OTHER, True),  # it claims to be one
        ("before/A.JPG", Format.OTHER, True),
        ("documents/a.pdf", Format.OTHER, False),
        ("documents/a.pdf", Format.JPEG, True),  # content decides
        ("before/raw.dng", Format.TIFF, False),
        ("before/raw.NEF", Format.TIFF, False),
        ("before/raw.dng", Format.JPEG, True),
        ("documents/scan.tif", Format.TIFF, True),
        ("notes.txt", Format.BMP, False),
        ("a.bmp", Format.BMP, True),
        ("clip.mp4", Format.OTHER, False),
        ("a.gif", Format.GIF, True),
        ("noname", Format.OTHER, False),
    ],
)
def test_is_it_to_be_shown(path: str, found: Format, picture: bool) -> None:
    assert is_picture(path, found) is picture


def test_a_folder_of_bad_pictures(tmp_path: Path) -> None:
    """Every one ends in a sentence, every file is hashed, and the good one among them is shown."""
    good = jpeg()
    files = {
        "empty.jpg": (b"", "The file is empty."),
        "letter.jpg": (b"Dear owner,\n" * 50, "The file is no picture by its content"),
        "cut.jpg": (good[: len(good) // 2], "The JPEG data is cut short"),
        "head only.jpg": (good[:20], "The JPEG data is"),
        "anim.gif": (b"GIF89a" + bytes(50), "GIF pictures are not shown"),
        "layers.psd": (b"8BPS" + bytes(50), "PSD pictures are not shown"),
        "video.jpg": (box(b"isom", b"mp42"), "The file is no picture by its content"),
        "noise.tif": (b"II*\0" + bytes(range(256)), "The TIFF data is"),
        "noise.png": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "The PNG data is"),
        "noise.webp": (b"RIFF\xff\0\0\0WEBP" + bytes(range(256)), "The WEBP data is"),
        "zeros.jpg": (bytes(100_000), "The file is no picture by its content"),
    }
    for name, (data, _) in files.items():
        put(tmp_path / "job", name, data)
    put(tmp_path / "job", "good.jpeg", good)
    found = Library(tmp_path / "cache").survey(tmp_path / "job", [*files, "good.jpeg"])
    for name, (data, says) in files.items():
        one = found[name]
        assert one.facts is not None
        assert one.facts.problem.startswith(says), name
        assert (one.unread, one.entry.size, len(one.entry.sha256)) == ("", len(data), 64)
    assert found["good.jpeg"].facts is not None
    assert found["good.jpeg"].facts.problem == ""
    # And all of it is remembered.
    assert all(s.trusted for s in Library(tmp_path / "cache").survey(tmp_path / "job", list(found)).values())


def test_a_picture_under_another_name_is_seen(tmp_path: Path) -> None:
    names = [put(tmp_path / "job", n, jpeg()) for n in ("scan.pdf", "photo")]
    for surveyed in Library(tmp_path / "cache").survey(tmp_path / "job", names).values():
        assert surveyed.facts is not None
        assert surveyed.facts.format == "JPEG"


def test_kept_but_not_shown(tmp_path: Path) -> None:
    files = {"a.dng": b"II*\0" + bytes(99), "a.mp4": box(b"isom"), "a.pdf": b"%PDF-1.7", "a.csv": b"BM;1\n"}
    names = [put(tmp_path / "job", n, data) for n, data in files.items()]
    found = Library(tmp_path / "cache").survey(tmp_path / "job", names)
    assert [s.facts for s in found.values()] == [None] * 4
    assert [s.entry.size for s in found.values()] == [len(d) for d in files.values()]


def test_a_file_beyond_the_limit_is_hashed_in_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "decode", lambda _: pytest.fail("read whole"))
    big = tmp_path / "job" / "a.jpg"
    put(tmp_path / "job", "a.jpg", jpeg())
    with big.open("r+b") as file:
        file.truncate(BYTES_MAX + 1)  # sparse: takes no room
    found = Library(tmp_path / "cache").survey(tmp_path / "job", ["a.jpg"])["a.jpg"]
    assert found.facts is not None
    assert found.facts.problem == "The file has 200 MiB; pictures of up to 200 MiB are shown."
    assert found.entry.size == BYTES_MAX + 1
    assert big.stat().st_mtime_ns > OLD_NS


def test_the_accepted_formats_are_said_as_they_are() -> None:
    assert {Format(f) for f in content.ACCEPTED} == {Format.JPEG, Format.PNG, Format.WEBP, Format.TIFF, Format.HEIC}
    assert content.ACCEPTED_TEXT == "JPEG, PNG, WebP, TIFF and HEIC"
