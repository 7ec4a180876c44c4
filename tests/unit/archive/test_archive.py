"""Writing archives: whole or not at all, each original read once and never touched, the same bytes every time."""

import errno
import hashlib
import io
import os
import subprocess
import sys
import zipfile
from datetime import date
from pathlib import Path

import pytest

from buildbook.archive import copying
from buildbook.archive.bag import Bag, payload, write_folder, write_zipped
from buildbook.archive.form import bag_info
from buildbook.archive.zipform import Comparing, Differs, write_zip
from buildbook.errors import AnswerIsNo, BuildbookError
from buildbook.records.photo import FileEntry
from buildbook.verify.bag import check_bag
from buildbook.verify.holder import FolderHolder, ZipHolder

NAMES = ["job.toml", "steps/010 a/before/IMG_1.jpg", "documents/übergabe.pdf", "documents/%41 50%.txt", "empty"]
TAGS = {"issue.json": b"{}\n"}


@pytest.fixture
def job(tmp_path):
    folder = tmp_path / "job"
    for n, name in enumerate(NAMES):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"" if name == "empty" else bytes(range(256)) * (n * 5000 + 1))
    return folder


def entries(job):
    return [
        FileEntry(path=n, size=(job / n).stat().st_size, sha256=hashlib.sha256((job / n).read_bytes()).hexdigest())
        for n in NAMES
    ]


@pytest.fixture
def bag(job, tmp_path):
    dossier = tmp_path / "made.pdf"
    dossier.write_bytes(b"%PDF made")
    return Bag(
        job="J-1", number=3, issued_on=date(2026, 4, 24), seal="a" * 64, organisation="Works\nPayload-Oxum: 1.1",
        program="buildbook 0", items=payload(job, entries(job), {"dossier.pdf": dossier, "record.json": b"{}"}),
    )  # fmt: skip


def tree(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def all_fine(holder):
    found = check_bag(holder)
    assert [s for s in found.steps if s.ok is not True] == []
    return found


def test_a_folder_and_a_zip_hold_the_same_valid_bag(bag, job, tmp_path):
    before = tree(job)
    write_folder(bag, TAGS, tmp_path / "archive")
    write_zipped(bag, TAGS, tmp_path / "alone.zip")
    write_zipped(bag, TAGS, tmp_path / "from-folder.zip", folder=tmp_path / "archive")
    assert (tmp_path / "alone.zip").read_bytes() == (tmp_path / "from-folder.zip").read_bytes()
    assert tree(job) == before
    made = tree(tmp_path / "archive")
    assert {p.removeprefix("data/job/"): b for p, b in made.items() if p.startswith("data/job/")} == before
    found = all_fine(FolderHolder(tmp_path / "archive"))
    assert made["manifest-sha256.txt"] == bag.payload_list
    assert hashlib.sha256(made["manifest-sha256.txt"]).hexdigest() == bag.sha256
    assert found.sha256("data/job/empty") == hashlib.sha256(b"").hexdigest()
    holder = ZipHolder(tmp_path / "alone.zip")
    all_fine(holder)
    assert holder.base == "J-1-issue-03"
    with zipfile.ZipFile(tmp_path / "alone.zip") as zipped:
        infos = zipped.infolist()
        assert {i.filename.removeprefix("J-1-issue-03/"): zipped.read(i) for i in infos} == made
    assert {i.compress_type for i in infos} == {zipfile.ZIP_STORED}
    assert {i.date_time for i in infos} == {(1980, 1, 1, 0, 0, 0)}
    names = [i.filename.encode() for i in infos]
    assert names == sorted(names)
    holder.close()


def test_user_text_cannot_add_a_field_to_bag_info(bag):
    assert bag.info.decode().splitlines()[0] == "Source-Organization: Works Payload-Oxum: 1.1"
    assert bag_info(
        organisation="", job="J", number=1, issued_on=date(2026, 1, 2), seal="s", program="p", size=10, files=2
    ).decode().splitlines() == [
        "External-Description: Issue 1 of the dossier of job J, with the record it was made from",
        "External-Identifier: J issue 1",
        "Internal-Sender-Identifier: s",
        "Bagging-Date: 2026-01-02",
        "Bag-Software-Agent: p",
        "Payload-Oxum: 10.2",
    ]  # fmt: skip


@pytest.mark.parametrize("zipped", [False, True])
@pytest.mark.parametrize("change", ["shorter", "longer", "other", "gone", "link", "pipe", "unreadable"])
def test_a_file_changed_or_lost_since_it_was_sealed_stops_by_name(bag, job, tmp_path, change, zipped):
    victim = job / "documents/übergabe.pdf"
    data = victim.read_bytes()
    if change == "unreadable" and os.geteuid() == 0:
        pytest.skip("the superuser reads everything")
    if change in ("gone", "link", "pipe"):
        victim.unlink()
    if change == "link":
        victim.symlink_to(tmp_path / "made.pdf")
    if change == "pipe":
        os.mkfifo(victim)
    if change == "unreadable":
        victim.chmod(0)
    if change in ("shorter", "longer", "other"):
        victim.write_bytes({"shorter": data[:-1], "longer": data + b"x", "other": b"x" + data[1:]}[change])
    write, target = (write_zipped, "archive.zip") if zipped else (write_folder, "archive")
    with pytest.raises(AnswerIsNo, match=r"documents/übergabe\.pdf"):
        write(bag, TAGS, tmp_path / target)
    assert not (tmp_path / "archive" / "bagit.txt").exists()
    assert not (tmp_path / "archive.zip").exists()


def test_bagit_txt_is_written_last(bag, tmp_path, monkeypatch):
    written = []
    plain = Path.write_bytes

    def noting(self, data):
        written.append(self.name)
        return plain(self, data)

    monkeypatch.setattr(Path, "write_bytes", noting)
    write_folder(bag, TAGS, tmp_path / "archive")
    assert written[-1] == "bagit.txt"


def test_a_disk_that_is_too_small_is_said_before_anything_is_copied(bag, tmp_path, monkeypatch):
    monkeypatch.setattr("shutil.disk_usage", lambda _place: type("Usage", (), {"free": 10})())
    with pytest.raises(BuildbookError, match="has 10 left"):
        write_folder(bag, TAGS, tmp_path / "archive")
    with pytest.raises(BuildbookError, match="has 10 left"):
        write_zipped(bag, TAGS, tmp_path / "archive.zip")
    assert not list((tmp_path / "archive").iterdir())


def test_hard_links_share_the_bytes_where_blocks_cannot_be_shared(bag, job, tmp_path, monkeypatch):
    if sys.platform == "linux":
        import fcntl

        def refuse(*_args):
            raise OSError(errno.EOPNOTSUPP, "not on this file system")

        monkeypatch.setattr(fcntl, "ioctl", refuse)
    write_folder(bag, TAGS, tmp_path / "archive", link=True)
    all_fine(FolderHolder(tmp_path / "archive"))
    for name in NAMES:
        assert (tmp_path / "archive/data/job" / name).stat().st_ino == (job / name).stat().st_ino
    assert (tmp_path / "archive/data/dossier.pdf").stat().st_ino != (tmp_path / "made.pdf").stat().st_ino


def test_link_falls_back_to_copies(bag, job, tmp_path, monkeypatch):
    def refuse(*_args, **_more):
        raise OSError(errno.EXDEV, "another disk")

    monkeypatch.setattr(os, "link", refuse)
    if sys.platform == "linux":
        import fcntl

        monkeypatch.setattr(fcntl, "ioctl", refuse)
    write_folder(bag, TAGS, tmp_path / "archive", link=True)
    all_fine(FolderHolder(tmp_path / "archive"))
    assert (tmp_path / "archive/data/job/job.toml").stat().st_ino != (job / "job.toml").stat().st_ino


def test_a_linked_file_that_was_changed_stops_too(bag, job, tmp_path):
    (job / "empty").write_bytes(b"no more")
    with pytest.raises(AnswerIsNo, match="empty"):
        write_folder(bag, TAGS, tmp_path / "archive", link=True)


def test_each_original_is_opened_once(bag, tmp_path, monkeypatch):
    opened = []
    plain = copying.opened

    def noting(item):
        opened.append(item.path)
        return plain(item)

    monkeypatch.setattr(copying, "opened", noting)
    write_folder(bag, TAGS, tmp_path / "archive")
    assert sorted(opened) == sorted(item.path for item in bag.items)


def test_a_zip_larger_than_four_gigabytes_takes_the_wide_form_and_is_compared_whole(tmp_path):
    """A sparse file stands in for 4.2 GB of photos; nothing is held in memory."""
    size = (4 << 30) + 200
    place = tmp_path / "large.zip"

    def hole(out):
        left = size
        block = bytes(1 << 24)
        while left:
            left -= out.write(block[: min(left, len(block))])

    entries = [("a/large", size, hole), ("a/small", 2, lambda out: out.write(b"ok"))]

    class Sparse(io.FileIO):
        """Seeks over zeros instead of writing them."""

        def write(self, data):
            if len(data) > 1 << 20 and not any(memoryview(data)[:: 1 << 20]):
                self.seek(len(data), os.SEEK_CUR)
                return len(data)
            return super().write(data)

    with Sparse(place, "w+") as out:
        write_zip(entries, out)
    with zipfile.ZipFile(place) as zipped:
        assert [i.file_size for i in zipped.infolist()] == [size, 2]
        assert zipped.read("a/small") == b"ok"
    holder = ZipHolder(place)
    assert holder.problem == ""
    assert holder.sizes == {"large": size, "small": 2}
    holder.close()


def test_comparing_finds_any_byte(tmp_path):
    entries = [("a/one", 5, lambda out: out.write(b"PK\x03\x04!")), ("a/two", 3, lambda out: out.write(b"two"))]
    made = io.BytesIO()
    write_zip(entries, made)
    data = made.getvalue()

    def compared(other):
        check = Comparing(io.BytesIO(other), len(other))
        write_zip(entries, check)
        check.settle()

    compared(data)
    for at in range(len(data)):
        other = bytearray(data)
        other[at] ^= 0x10
        with pytest.raises(Differs) as told:
            compared(bytes(other))
        assert told.value.place == at
    with pytest.raises(Differs):
        compared(data + b"x")
    with pytest.raises(Differs):
        compared(data[:-1])


@pytest.mark.skipif(subprocess.run(["bash", "-c", "command -v unzip"], check=False).returncode != 0, reason="no unzip")
def test_unzip_reads_it(bag, tmp_path):
    write_zipped(bag, TAGS, tmp_path / "archive.zip")
    told = subprocess.run(["unzip", "-tq", tmp_path / "archive.zip"], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout
