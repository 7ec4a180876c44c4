"""The survey: one read a file, facts and renditions, an index that trusts an unchanged stat."""

from __future__ import annotations

import hashlib
import os
import socket
import stat
import sys
from pathlib import Path

import piexif
import pytest
from photo_files import OLD_NS, jpeg, put
from PIL import Image

from buildbook.errors import InputUnreadable, WrongUsage
from buildbook.photos import Library, hash_file
from buildbook.photos.limits import RENDITION_FORMAT


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    folder.mkdir()
    return folder


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache"


def test_hashes_and_facts(root: Path, cache: Path) -> None:
    when = piexif.dump(
        {
            "0th": {
                piexif.ImageIFD.Make: b"Halden ",
                piexif.ImageIFD.Model: b"Tallis 3",
                piexif.ImageIFD.Orientation: 6,
            },
            "Exif": {piexif.ExifIFD.DateTimeOriginal: b"2026:03:02 10:05:06"},
        }
    )
    names = [
        put(root, "steps/010-x/before/a.jpg", jpeg(exif=when)),
        put(root, "job.toml", b"[job]\n"),
        put(root, "documents/empty.pdf", b""),
    ]
    found = Library(cache).survey(root, names)
    assert list(found) == names
    for name in names:
        data = (root / name).read_bytes()
        assert found[name].entry.size == len(data)
        assert found[name].entry.sha256 == hashlib.sha256(data).hexdigest()
        assert not found[name].unread
    photo = found[names[0]].facts
    assert photo is not None
    assert (photo.format, photo.width, photo.height, photo.orientation) == ("JPEG", 480, 640, 6)
    assert (photo.camera, str(photo.taken), photo.problem) == ("Halden Tallis 3", "2026-03-02 10:05:06", "")
    assert found["job.toml"].facts is None
    assert found["documents/empty.pdf"].facts is None


def test_unchanged_files_are_trusted_until_rehash(root: Path, cache: Path) -> None:
    names = [put(root, "a.jpg", jpeg()), put(root, "job.toml", b"old")]
    first = Library(cache).survey(root, names)
    assert [s.trusted for s in first.values()] == [False, False]
    again = Library(cache).survey(root, names)
    assert [s.trusted for s in again.values()] == [True, True]
    assert [(s.entry, s.facts) for s in again.values()] == [(s.entry, s.facts) for s in first.values()]
    fresh = Library(cache).survey(root, names, rehash=True)
    assert [(s.trusted, s.altered) for s in fresh.values()] == [(False, False)] * 2


@pytest.mark.skipif(sys.platform == "win32", reason="there the time of change is the time it was made")
def test_a_file_that_was_edited_and_given_its_old_time_is_read_again(root: Path, cache: Path) -> None:
    names = [put(root, "a.jpg", jpeg()), put(root, "job.toml", b"old")]
    Library(cache).survey(root, names)
    (root / "job.toml").write_bytes(b"new")
    os.utime(root / "job.toml", ns=(OLD_NS, OLD_NS))
    found = Library(cache).survey(root, names)
    assert [s.trusted for s in found.values()] == [True, False]
    assert found["job.toml"].entry.sha256 == hashlib.sha256(b"new").hexdigest()
    assert not found["job.toml"].altered  # it was edited, and its stat says so


def test_bytes_that_changed_below_the_file_system_are_found_by_rehash_and_named(root: Path, cache: Path) -> None:
    """The index is given the digest of other bytes: as if they had changed and no stat with them."""
    names = [put(root, "a.jpg", jpeg()), put(root, "job.toml", b"old")]
    Library(cache).survey(root, names)
    (index,) = (cache / "jobs").iterdir()
    kept = index.read_text("ascii")
    was, now = (hashlib.sha256(data).hexdigest() for data in (b"was", b"old"))
    index.write_text(kept.replace(now, was), "ascii")
    assert Library(cache).survey(root, names)["job.toml"].entry.sha256 == was
    found = Library(cache).survey(root, names, rehash=True)
    assert [s.altered for s in found.values()] == [False, True]
    assert found["job.toml"].entry.sha256 == now
    # And what rehash found is what is remembered.
    assert Library(cache).survey(root, names)["job.toml"].entry == found["job.toml"].entry


@pytest.mark.parametrize("place", [".", "cache", "steps/cache"])
def test_a_cache_in_the_folder_itself_is_refused(root: Path, place: str) -> None:
    put(root, "job.toml", b"old")
    with pytest.raises(WrongUsage, match="would be taken for a part of it"):
        Library(root / place).survey(root, ["job.toml"])
    assert [p.name for p in root.iterdir()] == ["job.toml"]


def test_a_changed_file_is_read_again_and_the_rest_trusted(root: Path, cache: Path) -> None:
    names = [put(root, "a.jpg", jpeg()), put(root, "b.csv", b"id\n")]
    Library(cache).survey(root, names)
    (root / "b.csv").write_bytes(b"id\n1\n")
    found = Library(cache).survey(root, names)
    assert found["a.jpg"].trusted
    assert not found["b.csv"].trusted
    assert found["b.csv"].entry.size == 5


def test_a_file_written_just_now_is_not_trusted(root: Path, cache: Path) -> None:
    """Its next change may leave the same time stamp."""
    (root / "job.toml").write_bytes(b"old")
    Library(cache).survey(root, ["job.toml"])
    assert not Library(cache).survey(root, ["job.toml"])["job.toml"].trusted


def test_another_folder_has_an_index_of_its_own(root: Path, cache: Path, tmp_path: Path) -> None:
    put(root, "a.csv", b"1")
    put(tmp_path / "other", "a.csv", b"2")
    one = Library(cache).survey(root, ["a.csv"])["a.csv"]
    two = Library(cache).survey(tmp_path / "other", ["a.csv"])["a.csv"]
    assert one.entry.sha256 != two.entry.sha256
    assert Library(cache).survey(root, ["a.csv"])["a.csv"].trusted


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"version":1}'])
def test_a_damaged_index_costs_a_reading_only(root: Path, cache: Path, damage: bytes) -> None:
    put(root, "a.csv", b"1")
    Library(cache).survey(root, ["a.csv"])
    (index,) = (cache / "jobs").iterdir()
    index.write_bytes(damage)
    found = Library(cache).survey(root, ["a.csv"])["a.csv"]
    assert not found.trusted
    assert found.entry.sha256 == hashlib.sha256(b"1").hexdigest()


def test_renditions_are_fitted_turned_and_bare(root: Path, cache: Path) -> None:
    exif = piexif.dump({"0th": {piexif.ImageIFD.Orientation: 8}, "GPS": {piexif.GPSIFD.GPSLatitudeRef: b"N"}})
    put(root, "a.jpg", jpeg(size=(2000, 1000), exif=exif, comment=b"private", icc_profile=b"x" * 64))
    library = Library(cache)
    sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    for edge, size in (("print", (800, 1600)), ("small", (200, 400))):
        path = library.rendition(sha256, edge)  # type: ignore[arg-type]
        with Image.open(path) as image:
            image.load()
            assert (image.format, image.mode, image.size) == ("JPEG", "RGB", size)
            assert set(image.info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert b"private" not in path.read_bytes()


def test_nothing_is_enlarged(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg(size=(300, 200)))
    library = Library(cache)
    sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    for edge in ("print", "small"):
        with Image.open(library.rendition(sha256, edge)) as image:  # type: ignore[arg-type]
            assert image.size == (300, 200)


def test_renditions_are_the_same_bytes_anywhere(root: Path, tmp_path: Path) -> None:
    put(root, "a.jpg", jpeg(size=(1800, 900)))
    made = []
    for cache in (tmp_path / "one", tmp_path / "two"):
        library = Library(cache)
        sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
        made.append([library.rendition(sha256, "print").read_bytes(), library.rendition(sha256, "small").read_bytes()])
    assert made[0] == made[1]


@pytest.mark.parametrize("harm", ["gone", "cut", "flipped", "no sidecar", "empty sidecar"])
def test_a_damaged_rendition_is_made_again(root: Path, cache: Path, harm: str) -> None:
    put(root, "a.jpg", jpeg())
    library = Library(cache)
    sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    path = library.rendition(sha256, "print")
    good = path.read_bytes()
    sidecar = path.with_name(f"{sha256}.json")
    if harm == "gone":
        path.unlink()
    elif harm == "cut":
        path.write_bytes(good[:-9])
    elif harm == "flipped":
        path.write_bytes(good[:300] + bytes([good[300] ^ 1]) + good[301:])
    elif harm == "no sidecar":
        sidecar.unlink()
    else:
        sidecar.write_bytes(b"")
    later = Library(cache)
    assert later.survey(root, ["a.jpg"])["a.jpg"].trusted
    assert later.rendition(sha256, "print").read_bytes() == good


def test_rehash_mends_the_cache(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg())
    library = Library(cache)
    sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    path = library.rendition(sha256, "small")
    path.unlink()
    Library(cache).survey(root, ["a.jpg"], rehash=True)
    assert path.is_file()


def test_entries_carry_the_version_that_made_them(root: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(root, "a.jpg", jpeg())
    old = Library(cache)
    sha256 = old.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    monkeypatch.setattr("buildbook.photos.cache.RENDITION_FORMAT", RENDITION_FORMAT + 1)
    new = Library(cache)
    assert not new.survey(root, ["a.jpg"])["a.jpg"].trusted
    assert new.rendition(sha256, "print") != old.rendition(sha256, "print")


def test_an_unknown_rendition_is_refused_by_name(cache: Path) -> None:
    with pytest.raises(InputUnreadable, match="0000"):
        Library(cache).rendition("0" * 64, "print")


def test_a_photo_changed_under_our_hands(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg("teal"))
    library = Library(cache)
    sha256 = library.survey(root, ["a.jpg"])["a.jpg"].entry.sha256
    put(root, "a.jpg", jpeg("red"))
    library._cache.rendition_path(sha256, "print").unlink()
    with pytest.raises(InputUnreadable, match="changed while"):
        library.rendition(sha256, "print")


def test_progress_counts_what_is_read(root: Path, cache: Path) -> None:
    names = [put(root, f"{n}.jpg", jpeg(size=(64 + n, 64))) for n in range(5)]
    calls: list[tuple[int, int, str]] = []
    Library(cache).survey(root, names, progress=lambda *call: calls.append(call))
    assert [c[:2] for c in calls] == [(n + 1, 5) for n in range(5)]
    assert {c[2] for c in calls} == set(names)
    calls.clear()
    Library(cache).survey(root, names, progress=lambda *call: calls.append(call))
    assert calls == []


def test_the_job_folder_is_only_read(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg())
    for folder, _, files in os.walk(root):
        for name in files:
            (Path(folder) / name).chmod(0o444)
        Path(folder).chmod(0o555)
    before = {p: p.stat() for p in root.rglob("*")}
    Library(cache).survey(root, ["a.jpg"])
    root.chmod(0o755)
    after = {p: p.stat() for p in root.rglob("*")}
    assert {p: (s.st_size, s.st_mtime_ns, s.st_ino) for p, s in before.items()} == {
        p: (s.st_size, s.st_mtime_ns, s.st_ino) for p, s in after.items()
    }


def test_nothing_is_left_in_scratch(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg())
    Library(cache).survey(root, ["a.jpg"])
    assert list((cache / "tmp").iterdir()) == []


def test_a_cache_that_cannot_be_written(root: Path, tmp_path: Path) -> None:
    put(root, "a.jpg", jpeg())
    (tmp_path / "cache").write_text("a file stands here")
    with pytest.raises(WrongUsage, match="cannot be written") as caught:
        Library(tmp_path / "cache").survey(root, ["a.jpg"])
    assert "BUILDBOOK_CACHE" in caught.value.fix


def test_the_cache_folder_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("BUILDBOOK_CACHE", str(tmp_path / "here"))
    assert Library().cache_dir == tmp_path / "here"


@pytest.fixture
def odd(root: Path) -> Path:
    os.mkfifo(root / "pipe.jpg")
    (root / "folder.jpg").mkdir()
    (root / "loop.jpg").symlink_to("loop.jpg")
    (root / "null.jpg").symlink_to("/dev/null")
    with socket.socket(socket.AF_UNIX) as s:
        here = os.open(".", os.O_RDONLY)
        os.chdir(root)  # the name of a socket may not be long
        s.bind("socket.jpg")
        os.fchdir(here)
        os.close(here)
    return root


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("pipe.jpg", "is a pipe, not a file"),
        ("folder.jpg", "is a folder, not a file"),
        ("socket.jpg", "is a socket, not a file"),
        ("null.jpg", "is a device, not a file"),
        ("loop.jpg", "is a link that leads back to itself"),
        ("gone.jpg", "does not exist"),
        ("nul\0.jpg", "has a name that the system refuses"),
    ],
)
def test_what_is_no_file_is_said_and_never_opened(odd: Path, cache: Path, name: str, why: str) -> None:
    found = Library(cache).survey(odd, [name])[name]
    assert found.unread == why
    assert found.entry.sha256 == ""
    with pytest.raises((OSError, ValueError)):
        hash_file(odd / name)


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_without_permission(root: Path, cache: Path) -> None:
    put(root, "a.jpg", jpeg())
    (root / "a.jpg").chmod(stat.S_IWUSR)
    assert Library(cache).survey(root, ["a.jpg"])["a.jpg"].unread == "may not be read by this user"


def test_the_same_bytes_twice(root: Path, cache: Path) -> None:
    names = [put(root, n, jpeg()) for n in ("a.jpg", "b.jpg")]
    found = Library(cache).survey(root, names)
    assert found["a.jpg"].entry.sha256 == found["b.jpg"].entry.sha256
    assert found["a.jpg"].facts == found["b.jpg"].facts
