"""Each folder under tests/jobs/good is clean at the handover gate: no stop and no query, at the day of its handover."""

import tomllib
from pathlib import Path

import pytest

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Gate, Grade
from buildbook.rules import check_job

GOOD = sorted(p for p in (Path(__file__).parents[2] / "jobs" / "good").iterdir() if p.is_dir())


@pytest.mark.parametrize("folder", GOOD, ids=lambda folder: folder.name)
def test_good_job(folder: Path, library: Library) -> None:
    handover = tomllib.loads((folder / "job.toml").read_text("utf-8"))["job"]["handover"]
    loaded = load_job(folder, handover, library=library)
    for gate in Gate:
        found = check_job(loaded.job, loaded.raised, gate)
        assert [f"{f.code}: {f.place}: {f.says}" for f in found if f.grade is not Grade.NOTE] == []


def test_the_minimal_job_has_nothing_to_note_either(library: Library) -> None:
    (folder,) = [p for p in GOOD if p.name == "minimal"]
    handover = tomllib.loads((folder / "job.toml").read_text("utf-8"))["job"]["handover"]
    loaded = load_job(folder, handover, library=library)
    assert check_job(loaded.job, loaded.raised, Gate.HANDOVER) == ()
