"""A record that is as complete as it can be by then is clean at the intake and at the progress gate."""

import shutil
from datetime import date
from pathlib import Path

import pytest
from jobs.planting import MINIMAL, OTHER_STEP, Folder

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Gate
from buildbook.rules import check_job


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    shutil.copytree(MINIMAL, tmp_path / "job")
    return Folder(tmp_path / "job")


def under_way(folder: Folder) -> None:
    """Take out what only the handover brings."""
    folder.replace("job.toml", "handover = 2026-03-20\n", "")
    folder.replace("job.toml", "out = 61211\n", "")
    folder.replace("job.toml", 'photo_out = "documents/odometer-out.jpg"\n', "")
    folder.remove("documents/odometer-out.jpg")
    folder.cell("condition.csv", "O1", outcome="", outcome_refs="", grade_out="")
    for row in ("R2", "R3"):
        folder.drop_row("readings.csv", row)


def findings(folder: Folder, on: date, gate: Gate, cache: Path) -> list[str]:
    loaded = load_job(folder.root, on, library=Library(cache, workers=1))
    return [f"{f.grade} {f.code}: {f.place}: {f.says}" for f in check_job(loaded.job, loaded.raised, gate)]


def test_on_the_day_of_arrival(folder: Folder, tmp_path: Path) -> None:
    under_way(folder)
    folder.cell("condition.csv", "O1", photos="documents/chassis-number.jpg")  # any photo of that day
    folder.remove("steps")
    for table, rows in {
        "approvals.csv": ["A1"], "parts.csv": ["P1", "P2"], "receipts.csv": ["documents/receipt-118.pdf"],
        "materials.csv": ["M1"], "readings.csv": ["R1"],
    }.items():  # fmt: skip
        for row in rows:
            folder.drop_row(table, row)
    for name in ("approval", "receipt-118", "data-sheet-m1"):
        folder.remove(f"documents/{name}.pdf")
    assert findings(folder, date(2026, 3, 2), Gate.INTAKE, tmp_path / "cache") == []


def test_with_one_step_done_and_one_begun(folder: Folder, tmp_path: Path) -> None:
    under_way(folder)
    step = f"{OTHER_STEP}/step.toml"
    for line in (
        "finished = 2026-03-05T11:00:00", 'checked_by = ["CD"]', 'outcome = "Clean, with its marks of age."',
        'work_done = "Washed with water and a soft brush; nothing taken off."',
    ):  # fmt: skip
        folder.replace(step, f"{line}\n", "")
    folder.remove(f"{OTHER_STEP}/after")
    assert findings(folder, date(2026, 3, 5), Gate.PROGRESS, tmp_path / "cache") == []
