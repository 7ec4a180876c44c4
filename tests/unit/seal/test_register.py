"""The accession register: linked lines, two writers at once, torn lines."""

import json
import subprocess
import sys
from datetime import UTC, datetime, timedelta

import pytest

from buildbook.errors import AnswerIsNo
from buildbook.records.register import NAME, gone, parse
from buildbook.schemas import problems
from buildbook.seal.register import register_files

AT = datetime(2026, 3, 2, 10, 5, tzinfo=UTC)


def put(folder, *names):
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(name)
    return list(names)


def test_lines_follow_the_schema_and_link_as_sha256sum_says(tmp_path):
    names = put(tmp_path, "inbox/a.jpg", "inbox/b.jpg", "job.toml", "steps/010-x/step.toml", "inbox/ABOUT.txt")
    made = register_files(tmp_path, names, AT)
    assert [e.path for e in made.new] == ["inbox/a.jpg", "inbox/b.jpg"]
    lines = (tmp_path / NAME).read_bytes().splitlines(keepends=True)
    assert [p for line in lines for p in problems("register", json.loads(line))] == []
    (tmp_path / "line").write_bytes(lines[0])
    told = subprocess.run(["sha256sum", tmp_path / "line"], capture_output=True, text=True, check=True)
    assert json.loads(lines[1])["prev"] == told.stdout.split()[0]
    assert json.loads(lines[0])["prev"] == "0" * 64
    assert parse(b"".join(lines)).faults == ()


def test_a_filed_photo_keeps_its_registration(tmp_path):
    names = put(tmp_path, "inbox/a.jpg")
    register_files(tmp_path, names, AT)
    put(tmp_path, "steps/010-x/before/keep")
    (tmp_path / "inbox/a.jpg").rename(tmp_path / "steps/010-x/before/a.jpg")
    again = register_files(tmp_path, ["steps/010-x/before/a.jpg"], AT + timedelta(days=1))
    assert (again.new, again.already) == ((), 1)
    entries = parse((tmp_path / NAME).read_bytes()).entries
    assert gone(entries, [("steps/010-x/before/a.jpg", entries[0].sha256)]) == []


def test_two_processes_at_once_lose_nothing(tmp_path):
    code = (
        "import sys;from pathlib import Path;from datetime import datetime,UTC;"
        "from buildbook.seal.register import register_files;"
        "[register_files(Path(sys.argv[1]),[f'inbox/{sys.argv[2]}-{n}.jpg'],datetime(2026,3,2,tzinfo=UTC))"
        " for n in range(12)]"
    )
    for who in "AB":
        put(tmp_path, *(f"inbox/{who}-{n}.jpg" for n in range(12)))
    runs = [subprocess.Popen([sys.executable, "-c", code, str(tmp_path), who]) for who in "AB"]
    assert [run.wait() for run in runs] == [0, 0]
    register = parse((tmp_path / NAME).read_bytes())
    assert register.faults == ()
    assert {e.path for e in register.entries} == {f"inbox/{w}-{n}.jpg" for w in "AB" for n in range(12)}


def test_a_torn_line_cut_anywhere_is_kept_or_completed_and_said(tmp_path):
    names = put(tmp_path, "inbox/a.jpg", "inbox/b.jpg")
    register_files(tmp_path, names, AT)
    whole = (tmp_path / NAME).read_bytes()
    first = whole.index(b"\n") + 1
    for cut in (*range(first + 1, len(whole) - 1, 23), len(whole) - 1):
        (tmp_path / NAME).write_bytes(whole[:cut])
        assert [f.kind for f in parse(whole[:cut]).faults] == ["torn"]
        made = register_files(tmp_path, names, AT)
        now = (tmp_path / NAME).read_bytes()
        assert now == whole
        if cut == len(whole) - 1:
            assert made.completed
            assert not made.kept
        else:
            assert (tmp_path / made.kept).read_bytes() == whole[first:cut]
            (tmp_path / made.kept).unlink()


@pytest.mark.parametrize("at", range(0, 400, 43))
def test_any_changed_byte_before_the_last_line_is_a_fault_and_nothing_is_added(tmp_path, at):
    names = put(tmp_path, "inbox/a.jpg", "inbox/b.jpg", "inbox/c.jpg")
    register_files(tmp_path, names, AT)
    data = bytearray((tmp_path / NAME).read_bytes())
    data[at] ^= 1
    (tmp_path / NAME).write_bytes(bytes(data))
    assert parse(bytes(data)).faults
    with pytest.raises(AnswerIsNo, match="Nothing was added"):
        register_files(tmp_path, put(tmp_path, "inbox/d.jpg"), AT)
    assert (tmp_path / NAME).read_bytes() == bytes(data)


def test_a_clock_set_back_is_refused(tmp_path):
    register_files(tmp_path, put(tmp_path, "inbox/a.jpg"), AT)
    with pytest.raises(AnswerIsNo, match="clock"):
        register_files(tmp_path, put(tmp_path, "inbox/b.jpg"), AT - timedelta(hours=1))


def test_a_link_in_place_of_the_register_is_not_followed(tmp_path):
    (tmp_path / "elsewhere").write_text("mine")
    (tmp_path / NAME).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(Exception, match="cannot be written"):
        register_files(tmp_path, put(tmp_path, "inbox/a.jpg"), AT)
    assert (tmp_path / "elsewhere").read_text() == "mine"


def test_nothing_to_register_leaves_no_file(tmp_path):
    register_files(tmp_path, put(tmp_path, "job.toml"), AT)
    assert not (tmp_path / NAME).exists()
