"""The notes of earlier issues, held against each other: as compile wrote them, and each change of them."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from jobs.planting import MINIMAL

from buildbook.compile import StopFindings, compile_job
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Gate
from buildbook.rules import check_job

DAYS = date(2027, 1, 1), date(2027, 1, 2)


@pytest.fixture(scope="module")
def issued_twice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("twice")
    shutil.copytree(MINIMAL, root / "job")
    for day in DAYS:
        compile_job(root / "job", root / "out", day, library=Library(root / "cache", workers=1))
    return root


@pytest.fixture
def root(issued_twice: Path, tmp_path: Path) -> Path:
    shutil.copytree(issued_twice, tmp_path / "root")
    return tmp_path / "root"


def codes(root: Path) -> set[tuple[str, str]]:
    loaded = load_job(root / "job", DAYS[1], library=Library(root / "cache", workers=1))
    return {
        (f.code, f.place.file)
        for f in check_job(loaded.job, loaded.raised, Gate.HANDOVER)
        if f.place.file.startswith("issued/")
    }


def test_what_compile_writes_is_as_asked(root: Path) -> None:
    assert codes(root) == set()


@pytest.mark.parametrize("name", ["001.json", "001-record.json", "002-record.json"])
def test_each_byte_of_a_note_or_record_is_held(root: Path, name: str) -> None:
    """002.json is the last note: no later issue has sealed it yet, so it is held by its form and its links only."""
    path = root / "job" / "issued" / name
    data = path.read_bytes()
    for at in range(0, len(data), max(1, len(data) // 12)):
        path.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
        assert any(file == f"issued/{name}" for _, file in codes(root)), (name, at)
    path.write_bytes(data)
    assert codes(root) == set()


def test_a_note_that_is_gone_is_missed_and_an_unpublished_one_stops_compile(root: Path) -> None:
    (root / "job" / "issued" / "002.json").unlink()
    assert codes(root) == {("issued.record-alone", "issued/002-record.json")}
    with pytest.raises(StopFindings):
        compile_job(root / "job", root / "elsewhere", DAYS[1], library=Library(root / "cache", workers=1))


def test_compile_brings_a_lost_last_note_back_from_the_output(root: Path) -> None:
    note = root / "job" / "issued" / "002.json"
    data = note.read_bytes()
    note.unlink()
    made = compile_job(root / "job", root / "out", DAYS[1], library=Library(root / "cache", workers=1))
    assert (made.number, made.already, note.read_bytes()) == (2, True, data)
    assert codes(root) == set()


def test_a_note_under_another_name_is_said(root: Path) -> None:
    folder = root / "job" / "issued"
    shutil.copyfile(folder / "001.json", folder / "0001.json")
    assert codes(root) == {("load.bad-issue", "issued/0001.json")}
