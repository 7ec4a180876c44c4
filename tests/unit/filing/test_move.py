"""Moving: nothing lost, nothing overwritten, no name lost, whatever happens on the way."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from buildbook.errors import AnswerIsNo, BuildbookError, InputUnreadable
from buildbook.filing import Move, Plan, carry_out, foresee, move
from buildbook.photos import hash_file

TARGET = "steps/020-grille/during/"


def put(root: Path, name: str, data: bytes) -> Move:
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return Move(name, hash_file(path)[1], TARGET, "a card")


def run(root: Path, *moves: Move):
    return carry_out(root, Plan(moves, ()))


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir()) if folder.is_dir() else []


def test_a_file_keeps_its_name_its_bytes_and_its_time(job: Path) -> None:
    item = put(job, "inbox/IMG_1.jpg", b"one")
    os.utime(job / item.path, ns=(10**18, 10**18 + 7))
    done = run(job, item)
    assert done.filed[0].to == f"{TARGET}IMG_1.jpg"
    assert (job / TARGET / "IMG_1.jpg").read_bytes() == b"one"
    assert (job / TARGET / "IMG_1.jpg").stat().st_mtime_ns == 10**18 + 7
    assert names(job / "inbox") == []
    assert names(job / TARGET) == ["IMG_1.jpg"]


def test_the_same_bytes_there_already_are_verified_said_and_the_copy_removed(job: Path) -> None:
    put(job, f"{TARGET}IMG_1.jpg", b"one")
    done = run(job, put(job, "inbox/IMG_1.jpg", b"one"))
    assert "same bytes were there already" in done.filed[0].note
    assert names(job / "inbox") == []
    assert names(job / TARGET) == ["IMG_1.jpg"]


def test_what_is_foreseen_is_what_comes(job: Path) -> None:
    put(job, f"{TARGET}IMG_1.jpg", b"old")
    put(job, f"{TARGET}img_1-2.JPG", b"older")
    put(job, f"{TARGET}IMG_2.jpg", b"two")
    moves = [
        put(job, "inbox/IMG_1.jpg", b"new"),
        put(job, "inbox/bo/IMG_1.jpg", b"newer"),
        put(job, "inbox/c/IMG_1.jpg", b"new"),
        put(job, "inbox/IMG_2.jpg", b"two"),
        put(job, "inbox/IMG_3.jpg", b"three"),
    ]
    before = names(job / TARGET)
    foreseen = foresee(job, Plan(tuple(moves), ()))
    assert names(job / TARGET) == before
    assert names(job / "inbox") == ["IMG_1.jpg", "IMG_2.jpg", "IMG_3.jpg", "bo", "c"]
    assert [f.to.removeprefix(TARGET) for f in foreseen] == [
        "IMG_1-3.jpg", "IMG_1-4.jpg", "IMG_1-3.jpg", "IMG_2.jpg", "IMG_3.jpg",
    ]  # fmt: skip
    assert [bool(f.note) for f in foreseen] == [True, True, True, True, False]
    done = run(job, *moves)
    assert [f.to for f in foreseen] == [f.to for f in done.filed]


def test_other_bytes_of_the_name_are_never_overwritten(job: Path) -> None:
    put(job, f"{TARGET}IMG_1.jpg", b"old")
    put(job, f"{TARGET}img_1-2.JPG", b"older")  # the same name on systems that ignore capitals
    done = run(job, put(job, "inbox/IMG_1.jpg", b"new"), put(job, "inbox/bo/IMG_1.jpg", b"newer"))
    assert [f.to for f in done.filed] == [f"{TARGET}IMG_1-3.jpg", f"{TARGET}IMG_1-4.jpg"]
    assert "other bytes of that name were there: now IMG_1-3.jpg" in done.filed[0].note
    assert (job / TARGET / "IMG_1.jpg").read_bytes() == b"old"
    assert (job / TARGET / "IMG_1-3.jpg").read_bytes() == b"new"


def test_bytes_named_with_a_suffix_by_a_run_that_was_cut_off_are_known_again(job: Path) -> None:
    put(job, f"{TARGET}IMG_1.jpg", b"old")
    put(job, f"{TARGET}IMG_1-2.jpg", b"new")
    done = run(job, put(job, "inbox/IMG_1.jpg", b"new"))
    assert done.filed[0].to == f"{TARGET}IMG_1-2.jpg"
    assert names(job / TARGET) == ["IMG_1-2.jpg", "IMG_1.jpg"]


def test_a_long_name_is_cut_before_its_number(job: Path) -> None:
    name = "é" * 125 + ".jpg"  # 254 bytes
    put(job, f"{TARGET}{name}", b"old")
    done = run(job, put(job, f"inbox/{name}", b"new"))
    assert done.filed[0].to.endswith("é-2.jpg")
    assert len(done.filed[0].to.removeprefix(TARGET).encode()) <= 255


def test_a_folder_of_the_name_is_in_nobodys_way(job: Path) -> None:
    (job / TARGET / "bonnet").mkdir(parents=True)
    assert run(job, put(job, "inbox/bonnet", b"x")).filed[0].to == f"{TARGET}bonnet-2"


@pytest.mark.parametrize("how", ["gone", "changed", "link", "pipe"])
def test_what_is_no_longer_what_was_planned_stays(job: Path, how: str, tmp_path: Path) -> None:
    item = put(job, "inbox/IMG_1.jpg", b"one")
    path = job / item.path
    if how == "changed":
        path.write_bytes(b"two")
    else:
        path.unlink()
    if how == "link":
        (tmp_path / "elsewhere").write_bytes(b"one")
        path.symlink_to(tmp_path / "elsewhere")
    if how == "pipe":
        os.mkfifo(path)
    done = run(job, item)
    assert done.filed == ()
    assert len(done.left) == 1
    assert names(job / TARGET) == []
    assert how == "gone" or os.path.lexists(path)


def test_nothing_is_written_through_a_link(job: Path, tmp_path: Path) -> None:
    (tmp_path / "outside").mkdir()
    (job / "steps/020-grille/during").symlink_to(tmp_path / "outside")
    done = run(job, put(job, "inbox/IMG_1.jpg", b"one"))
    assert "in the way" in done.left[0].why
    assert names(tmp_path / "outside") == []
    assert names(job / "inbox") == ["IMG_1.jpg"]


def test_an_original_that_changes_while_it_is_copied_stays(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    item = put(job, "inbox/IMG_1.jpg", b"one")
    real = move.sync_folder

    def touch_first(folder: Path) -> None:
        (job / item.path).write_bytes(b"a later picture")
        real(folder)

    monkeypatch.setattr(move, "sync_folder", touch_first)
    done = run(job, item)
    assert "changed while it was being copied" in done.left[0].why
    assert (job / item.path).read_bytes() == b"a later picture"
    assert (job / TARGET / "IMG_1.jpg").read_bytes() == b"one"


def test_a_copy_that_reads_back_otherwise_is_thrown_away(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(move, "hash_file", lambda path: (0, "0" * 64))
    done = run(job, put(job, "inbox/IMG_1.jpg", b"one"))
    assert "could not be read back" in done.left[0].why
    assert names(job / "inbox") == ["IMG_1.jpg"]
    assert names(job / TARGET) == []


def test_a_full_disk_stops_with_a_message_and_loses_nothing(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = put(job, "inbox/1.jpg", b"one"), put(job, "inbox/2.jpg", b"two")
    real, calls = os.fsync, []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) > 3:  # the copy, the folder and the inbox of the first file
            raise OSError(errno.ENOSPC, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BuildbookError, match=r"No space left on device\. 1 of 2 files were moved whole") as fault:
        run(job, first, second)
    assert "goes on where it stopped" in fault.value.fix
    assert names(job / "inbox") == ["2.jpg"]
    assert names(job / TARGET) == ["1.jpg"]


def test_a_file_system_without_links_is_served_too(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_link(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_link)
    put(job, f"{TARGET}IMG_1.jpg", b"old")
    done = run(job, put(job, "inbox/IMG_1.jpg", b"new"), put(job, "inbox/IMG_2.jpg", b"two"))
    assert [f.to for f in done.filed] == [f"{TARGET}IMG_1-2.jpg", f"{TARGET}IMG_2.jpg"]
    assert (job / TARGET / "IMG_1.jpg").read_bytes() == b"old"


def test_leftovers_of_a_run_that_was_cut_off_go_and_nothing_else(job: Path) -> None:
    put(job, f"{TARGET}._filing-0123456789abcdef.part", b"half")
    put(job, f"{TARGET}._IMG_1.jpg", b"somebody else's")
    run(job)
    assert names(job / TARGET) == ["._IMG_1.jpg"]


def test_one_run_at_a_time(job: Path) -> None:
    fcntl = pytest.importorskip("fcntl")
    held = os.open(job / "inbox", os.O_RDONLY)
    try:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(AnswerIsNo, match="Another run is filing"):
            run(job, put(job, "inbox/IMG_1.jpg", b"one"))
    finally:
        os.close(held)
    assert names(job / "inbox") == ["IMG_1.jpg"]


def test_of_a_folder_that_gives_nothing_away_nothing_is_copied(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    item = put(job, "inbox/a/1.jpg", b"one")
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path).name != "a")
    with pytest.raises(InputUnreadable, match=r"Nothing can be taken out of .*inbox/a: .* Nothing was moved") as fault:
        run(job, item)
    assert "rights" in fault.value.fix
    assert names(job / "inbox/a") == ["1.jpg"]
    assert not (job / TARGET).exists()


def test_a_file_that_cannot_be_taken_away_lies_in_one_place_only(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = put(job, "inbox/1.jpg", b"one"), put(job, "inbox/2.jpg", b"two")
    real = Path.unlink

    def held(path: Path, missing_ok: bool = False) -> None:
        if path.name == "2.jpg" and path.parent.name == "inbox":
            raise PermissionError(errno.EPERM, "Operation not permitted")
        real(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", held)
    told: list[str] = []
    with pytest.raises(BuildbookError, match=r"not permitted\. 1 of 2 files were moved whole; the rest lie in the inbox"):
        carry_out(job, Plan((first, second), ()), tell=lambda filed: told.append(filed.to))
    assert told == [f"{TARGET}1.jpg"]
    assert names(job / TARGET) == ["1.jpg"]
    assert names(job / "inbox") == ["2.jpg"]


def test_a_copy_is_kept_if_its_original_is_gone(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody takes the original away in the last moment: then the copy is all there is."""
    item = put(job, "inbox/1.jpg", b"one")
    real = Path.unlink

    def gone(path: Path, missing_ok: bool = False) -> None:
        real(path, missing_ok)
        if path.parent.name == "inbox":
            raise FileNotFoundError(errno.ENOENT, "No such file or directory")

    monkeypatch.setattr(Path, "unlink", gone)
    with pytest.raises(BuildbookError):
        run(job, item)
    assert (job / TARGET / "1.jpg").read_bytes() == b"one"
