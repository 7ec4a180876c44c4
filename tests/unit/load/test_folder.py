"""The walk: what belongs to the record, and which names and kinds of file do not."""

import os
import socket
import unicodedata

import pytest

from buildbook.errors import InputUnreadable
from buildbook.load import load_job
from buildbook.load.folder import walk

from .conftest import AS_OF


def test_a_sound_folder_raises_nothing_and_lists_every_file_by_its_bytes(job):
    job.write("documents/é.pdf", b"x")
    job.write("documents/z.pdf", b"x")
    job.write("documents/Z.pdf2", b"x")
    loaded = job.load()
    assert loaded.raised == ()
    paths = [f.path for f in loaded.job.files]
    assert paths == sorted(paths, key=lambda p: p.encode("utf-8"))
    assert len(paths) == 7 + 3
    assert paths[:3] == ["approvals.csv", "condition.csv", "documents/Z.pdf2"]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda root: (root / "documents").symlink_to("/etc"), "leaves the job folder"),
        (lambda root: (root / "a.csv").symlink_to("/etc/passwd"), "leaves the job folder"),
        (lambda root: (root / "a.csv").symlink_to("nowhere"), "not there"),
        (lambda root: (root / "a.csv").symlink_to("a.csv"), "not there"),
        (lambda root: (root / "a.csv").symlink_to("parts.csv"), "another place in the job folder"),
        (lambda root: (root / "loop").symlink_to("."), "another place in the job folder"),
    ],
)
def test_links_are_refused_and_never_followed(job, one, make, says):
    make(job.root)
    code, _, said = one()
    assert code == "load.link"
    assert says in said
    assert len(job.load().job.files) == 7


def test_a_pipe_is_named_and_never_opened(job, one):
    os.mkfifo(job.root / "documents.pdf")
    code, place, says = one()
    assert (code, place) == ("load.odd-file", "documents.pdf")
    assert "pipe" in says


def test_a_pipe_in_place_of_job_toml_leaves_the_rest_readable(job):
    (job.root / "job.toml").unlink()
    os.mkfifo(job.root / "job.toml")
    job.write("approvals.csv", "id,date,what,decision\nA1,2026-03-05,Paint,approved\n")
    loaded = job.load()
    assert [r.code for r in loaded.raised] == ["load.odd-file"]
    assert "number" in loaded.job.bad
    assert "chassis_number" in loaded.job.vehicle.bad
    assert loaded.job.approvals[0].id == "A1"


def test_a_socket_is_named(job, one, monkeypatch):
    monkeypatch.chdir(job.root)  # socket names are short
    with socket.socket(socket.AF_UNIX) as bound:
        bound.bind("s")
        assert one()[:2] == ("load.odd-file", "s")


@pytest.mark.parametrize("name", ["a\nb.jpg", "a\x1bb.jpg", "photo‮gpj.exe", "a\\b.jpg", "a⁦b.jpg", "a\u2028b.jpg"])
def test_names_that_hide_something_are_refused_and_left_out(job, one, name):
    job.write(f"documents/{name}", b"x")
    code, place, _ = one()
    assert code == "load.odd-name"
    assert place.isprintable()
    assert len(job.load().job.files) == 7


def test_a_name_that_is_not_utf8_is_refused(job, one):
    os.close(os.open(os.fsencode(job.root) + b"/caf\xe9.jpg", os.O_CREAT | os.O_WRONLY))
    code, place, says = one()
    assert (code, place) == ("load.odd-name", r"caf\xe9.jpg")
    assert "UTF-8" in says


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Disc.jpg", "disc.jpg"),
        (unicodedata.normalize("NFC", "Núñez.jpg"), unicodedata.normalize("NFD", "Núñez.jpg")),
        ("STRASSE.jpg", "straße.jpg"),
    ],
)
def test_names_that_collide(job, one, first, second):
    job.write(f"documents/{first}", b"1")
    job.write(f"documents/{second}", b"2")
    code, place, _ = one()
    assert code == "load.name-collision"
    assert place.startswith("documents/")


def test_the_same_name_in_two_folders_does_not_collide(job):
    job.write("documents/a/x.pdf", b"1")
    job.write("documents/b/x.pdf", b"1")
    assert job.load().raised == ()


@pytest.mark.parametrize(
    "name", ["CON", "com1.txt", "nul.tar.gz", "trailing. ", "trailing.", "q?.jpg", 'a"b.jpg', "a:b.jpg", "LPT¹.txt"]
)
def test_names_that_one_system_cannot_hold_are_queried_but_kept(job, one, name):
    job.write(f"documents/{name}", b"x")
    assert one()[0] == "load.unportable-name"
    assert f"documents/{name}" in {f.path for f in job.load().job.files}


@pytest.mark.parametrize(
    "name", ["console.pdf", "-rf.pdf", "~root.pdf", "..%2f..%2fetc.pdf", "日産.pdf", "a b (1).pdf", "x.con"]
)
def test_names_that_only_look_odd_are_fine(job, name):
    job.write(f"documents/{name}", b"x")
    assert job.load().raised == ()


def test_litter_is_one_note_and_no_part_of_the_record(job, one):
    for name in (
        ".DS_Store",
        "steps/Thumbs.db",
        "documents/._a.pdf",
        "desktop.ini",
        "~$parts.xlsx",
        ".git/config",
        ".gitkeep",
    ):
        job.write(name, b"x")
    code, place, says = one()
    assert (code, place) == ("load.litter", "the job folder")
    assert says.startswith("7 files and folders")
    assert len(job.load().job.files) == 7


def test_many_folders_deep_is_no_recursion(tmp_path):
    folder = tmp_path
    for _ in range(400):
        folder = folder / "d"
        folder.mkdir()
    assert len(walk(tmp_path).folders) == 400


def test_no_folder_no_job_toml_and_a_file_are_refused_with_a_remedy(tmp_path):
    (tmp_path / "file").write_text("x")
    (tmp_path / "empty").mkdir()
    (tmp_path / "near").mkdir()
    (tmp_path / "near" / "Job.toml").write_text("")
    for name, fix in (
        ("absent", "buildbook new"),
        ("file", "job.toml"),
        ("empty", "buildbook new"),
        ("near", "Rename Job.toml"),
    ):
        with pytest.raises(InputUnreadable) as caught:
            load_job(tmp_path / name, AS_OF)
        assert fix in caught.value.fix


@pytest.mark.parametrize(
    ("path", "hint"),
    [("Parts.csv", "parts.csv"), ("part.csv", "parts.csv"), ("jobs.toml", "job.toml"), ("IMG_1.jpg", "")],
)
def test_a_file_under_a_name_nothing_reads_is_said(job, one, path, hint):
    job.write(path, b"")
    if path == "Parts.csv":
        (job.root / "parts.csv").unlink()
        assert [r.code for r in job.load().raised] == ["load.missing-table", "load.stray-file"]
        return
    code, place, says = one()
    assert (code, place) == ("load.stray-file", path)
    assert hint in says


def test_a_folder_nothing_reads_is_said_once(job, one):
    job.write("Documents/a.pdf", b"x")
    job.write("Documents/b.pdf", b"x")
    code, place, says = one()
    assert (code, place) == ("load.stray-file", "Documents")
    assert "documents/" in says


def test_notes_that_explain_a_folder_are_neither_papers_nor_unfiled_photos(job):
    job.write("inbox/ABOUT.txt", "Drop photos here.\n")
    job.write("documents/README.txt", "Papers.\n")
    job.write("documents/a.pdf", b"x")
    job.write("inbox/b.jpg", b"x")
    loaded = job.load()
    assert loaded.raised == ()
    assert [f.path for f in loaded.job.inbox] == ["inbox/b.jpg"]
    assert [f.path for f in loaded.job.documents] == ["documents/a.pdf"]
    assert "inbox/ABOUT.txt" in {f.path for f in loaded.job.files}


def test_a_file_that_cannot_be_hashed_is_not_sealed(job, one):
    job.write("documents/a.pdf", b"x")
    job.library.lost.add("documents/a.pdf")
    code, place, says = one()
    assert (code, place) == ("load.unreadable", "documents/a.pdf")
    assert "the disk said no" in says
    assert "documents/a.pdf" not in {f.path for f in job.load().job.files}


def test_rehash_and_progress_reach_the_library(job):
    def progress(done, of, path):
        return None

    load_job(job.root, AS_OF, library=job.library, rehash=True, progress=progress)
    assert job.library.asked[-1]["rehash"] is True
    assert job.library.asked[-1]["progress"] is progress
