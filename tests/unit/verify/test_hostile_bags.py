"""A bag from a stranger: nothing is written, followed, fetched or held whole; what is odd is named."""

import hashlib
import io
import os
import stat
import struct
import zipfile

import pytest

from buildbook.archive.form import BAGIT_TEXT, digest_list, tag_lists
from buildbook.verify import holder as holders
from buildbook.verify import limits, report_text, verify_path
from buildbook.verify.holder import ZipHolder, outside

PAYLOAD = {"data/a.txt": b"one", "data/b/c.jpg": b"two"}


def bag_files(payload=PAYLOAD, **more):
    digests = {path: hashlib.sha256(data).hexdigest() for path, data in payload.items()}
    long = {path: hashlib.sha512(data).hexdigest() for path, data in payload.items()}
    tags = {
        "bagit.txt": BAGIT_TEXT, "manifest-sha256.txt": digest_list(digests), "manifest-sha512.txt": digest_list(long),
    }  # fmt: skip
    tags |= {name.replace("__", "."): data for name, data in more.items()}
    return {**payload, **tags, **tag_lists(tags)}


def zipped(path, files, base="bag/", compression=zipfile.ZIP_STORED):
    with zipfile.ZipFile(path, "w", compression) as made:
        for name, data in files.items():
            made.writestr(name if isinstance(name, zipfile.ZipInfo) else base + name, data)
    return path


def laid(folder, files):
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder


def failed(report):
    assert not report.ok
    return "\n".join(d for s in report.steps if s.ok is False for d in (s.says, *s.details))


def test_a_plain_bag_is_valid_in_both_forms_and_is_said_to_hold_no_dossier(tmp_path):
    for place in (laid(tmp_path / "bag", bag_files()), zipped(tmp_path / "bag.zip", bag_files())):
        report = verify_path(place)
        assert report.ok, report_text(report)
        assert report.steps[-1].name == "The dossier in it"
        assert report.steps[-1].ok is None


@pytest.mark.parametrize(
    "name",
    ["../evil", "/etc/evil", "bag/../../evil", "bag\\..\\evil", "C:/evil", "bag/x\0y", "~/evil", "beside", "bag//data/x"],
)
def test_zip_slip_is_named_and_nothing_is_written(tmp_path, name):
    place = tmp_path / "in" / "bag.zip"
    place.parent.mkdir()
    with zipfile.ZipFile(place, "w") as made:
        for path, data in bag_files().items():
            made.writestr("bag/" + path, data)
        made.writestr("evil-name-0", b"x")
    # The writing library cleans names, so the bytes are put in by hand, at the same length.
    raw = name.encode().ljust(11, b"_")[:11] if len(name) <= 11 else None
    if raw is None:
        with zipfile.ZipFile(place, "w") as made:
            for path, data in bag_files().items():
                made.writestr("bag/" + path, data)
            made.writestr("e" * len(name), b"x")
        place.write_bytes(place.read_bytes().replace(b"e" * len(name), name.encode()))
    else:
        place.write_bytes(place.read_bytes().replace(b"evil-name-0", raw))
    before = sorted(p for p in tmp_path.rglob("*"))
    assert "unreadable: " in failed(verify_path(place))
    assert sorted(p for p in tmp_path.rglob("*")) == before


def test_a_link_in_a_zip_is_no_file(tmp_path):
    link = zipfile.ZipInfo("bag/data/link")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    assert "a link or a device" in failed(verify_path(zipped(tmp_path / "x.zip", {**bag_files(), link: b"/etc/passwd"})))


def test_links_and_pipes_in_a_folder_are_named_and_not_opened(tmp_path):
    bag = laid(tmp_path / "bag", bag_files())
    (bag / "data" / "a.txt").unlink()
    (bag / "data" / "a.txt").symlink_to("/etc/hostname")
    (bag / "data" / "folder").symlink_to(tmp_path)
    os.mkfifo(bag / "data" / "pipe")
    says = failed(verify_path(bag))
    for name in ("a.txt", "folder", "pipe"):
        assert f"'data/{name}' (a link or a device, not a file)" in says


def test_a_second_file_of_the_same_name_is_named(tmp_path):
    with pytest.warns(UserWarning, match="Duplicate"):
        place = zipped(tmp_path / "x.zip", {**bag_files(), zipfile.ZipInfo("bag/data/a.txt"): b"another"})
    assert "a second file of that name" in failed(verify_path(place))


def test_a_bomb_is_not_opened(tmp_path):
    place = zipped(
        tmp_path / "x.zip", bag_files({"data/zeros": bytes(200 << 20)}), compression=zipfile.ZIP_DEFLATED
    )
    assert place.stat().st_size < 1 << 20
    assert "more than 100 times its own" in failed(verify_path(place))


def test_overlapping_files_are_named(tmp_path):
    """Many names for the same bytes: the table of contents points more than once at one header."""
    place = zipped(tmp_path / "x.zip", bag_files())
    data = bytearray(place.read_bytes())
    first, second = b"bag/data/a.txt", b"bag/data/b/c.jpg"
    central = data.rindex(second) - 46
    data[central + 42 : central + 46] = struct.pack("<I", data.index(first) - 30)
    place.write_bytes(bytes(data))
    assert "overlaps another file" in failed(verify_path(place))


def test_a_size_that_is_not_true_is_found(tmp_path):
    place = zipped(tmp_path / "x.zip", bag_files({"data/a.txt": b"one" * 1000}), compression=zipfile.ZIP_DEFLATED)
    data = bytearray(place.read_bytes())
    central = data.rindex(b"bag/data/a.txt") - 46
    data[central + 24 : central + 28] = struct.pack("<I", 10)
    place.write_bytes(bytes(data))
    assert "'data/a.txt'" in failed(verify_path(place))


def test_an_encrypted_or_strangely_packed_file_is_named(tmp_path):
    place = zipped(tmp_path / "x.zip", bag_files(), compression=zipfile.ZIP_LZMA)
    assert "compressed by method 14" in failed(verify_path(place))
    place = zipped(tmp_path / "y.zip", bag_files())
    data = bytearray(place.read_bytes())
    data[data.rindex(b"bag/data/a.txt") - 46 + 8] |= 1
    place.write_bytes(bytes(data))
    assert "it is encrypted" in failed(verify_path(place))


def test_too_many_files_are_refused_before_any_is_read(tmp_path, monkeypatch):
    monkeypatch.setattr(limits, "MOST_FILES", 5)
    assert "names 7 files, and 5 is as much" in failed(verify_path(zipped(tmp_path / "x.zip", bag_files())))
    assert "no more are read" in failed(verify_path(laid(tmp_path / "bag", bag_files())))


def test_a_list_that_is_too_large_is_not_read(tmp_path, monkeypatch):
    monkeypatch.setattr(limits, "MOST_LIST_BYTES", 100)
    assert "100 is as much as is read" in failed(verify_path(laid(tmp_path / "bag", bag_files())))


def test_two_folders_in_a_zip_are_one_too_many(tmp_path):
    place = zipped(tmp_path / "x.zip", {**{"bag/" + n: d for n, d in bag_files().items()}, "other/x": b""}, base="")
    assert "one folder and no more, and holds 2" in failed(verify_path(place))


@pytest.mark.parametrize("data", [b"", b"PK", b"PK\x05\x06" + bytes(18), b"PK\x03\x04" + bytes(100), b"x" * 5000])
def test_what_is_no_zip_says_so(tmp_path, data):
    (tmp_path / "x.zip").write_bytes(data)
    assert failed(verify_path(tmp_path / "x.zip"))


def test_any_cut_or_garbled_zip_is_answered_without_a_traceback(tmp_path):
    data = zipped(tmp_path / "x.zip", bag_files()).read_bytes()
    for at in range(0, len(data), 7):
        (tmp_path / "cut.zip").write_bytes(data[:at])
        assert not verify_path(tmp_path / "cut.zip").ok
        garbled = bytearray(data)
        garbled[at : at + 3] = b"\xff\xff\xff"
        (tmp_path / "garbled.zip").write_bytes(bytes(garbled))
        verify_path(tmp_path / "garbled.zip")


def test_fetch_is_reported_and_never_done(tmp_path, monkeypatch):
    import socket

    def refuse(*_args, **_more):
        raise AssertionError("the network was used")

    monkeypatch.setattr(socket, "socket", refuse)
    files = bag_files(fetch__txt=b"https://example.org/a.txt 3 data/a.txt\n")
    del files["data/a.txt"]
    says = failed(verify_path(laid(tmp_path / "bag", files)))
    assert "missing: 'data/a.txt'" in says
    assert "which is not done here" in says
    slip = bag_files(fetch__txt=b"https://example.org/a - data/../../evil\n")
    assert "outside the payload" in failed(verify_path(laid(tmp_path / "slip", slip)))


@pytest.mark.parametrize("line", ["../../etc/passwd", "/etc/passwd", "~/x", "C:\\x", "data/../../x", "data/%0D/../../../x"])
def test_a_list_that_names_a_path_outside_is_refused(tmp_path, line):
    files = bag_files()
    files["manifest-sha256.txt"] += f"{'a' * 64}  {line}\n".encode()
    assert "a path outside the bag" in failed(verify_path(laid(tmp_path / "bag", files)))


def test_an_encoding_that_is_no_plain_text_is_refused(tmp_path):
    for name in ("zip", "base64", "rot13", "idna", "utf-7", "nonsense"):
        text = f"BagIt-Version: 1.0\nTag-File-Character-Encoding: {name}\n".encode()
        bag = laid(tmp_path / name, bag_files(bagit__txt=text))
        assert "which is not read here" in failed(verify_path(bag))


def test_outside_knows_plain_names():
    assert not any(map(outside, ["data/a..b", "data/..a/x", "data/a~", "data/50%/x", "data/a b"]))


def test_reading_stops_at_the_limit_even_if_the_size_was_wrong():
    class Lying:
        def __init__(self):
            self.sizes, self.odd = {"x": 1}, []

        def open(self, _path):
            return io.BytesIO(bytes(1000))

    with pytest.raises(holders.Unreadable, match="more than 10 bytes"):
        holders.read(Lying(), "x", 10)


def test_the_wide_end_record_is_believed_where_it_says_more(tmp_path):
    place = zipped(tmp_path / "x.zip", bag_files())
    data = place.read_bytes()
    end = data.rindex(b"PK\x05\x06")
    wide = b"PK\x06\x06" + struct.pack("<QHHIIQQQQ", 44, 45, 45, 0, 0, 1 << 40, 1 << 40, 1 << 50, 0)
    locator = b"PK\x06\x07" + struct.pack("<IQI", 0, end, 1)
    place.write_bytes(data[:end] + wide + locator + data[end:])
    held = ZipHolder(place)
    assert "1,099,511,627,776 files" in held.problem
    held.close()
