"""Each folder under tests/jobs/bad raises exactly the code it is named after, at the handover gate.

The folders are collected by themselves; `python tests/jobs/plant.py` makes them from the good minimal job.
"""

from pathlib import Path

import pytest
from jobs.plant import PLANTS
from jobs.plant_load import ELSEWHERE
from jobs.planting import AS_OF, BAD, plant
from places import written

from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Finding, Gate
from buildbook.rules import RULES, check_job

FOLDERS = sorted(p for p in BAD.iterdir() if p.is_dir())
# A file that its user may not read: permissions do not hold for every user who runs the tests, so this code has its
# test with the loader (tests/unit/load/test_folder.py). A photo of another job takes two folders: test_likeness.py.
NO_FOLDER = {"load.unreadable", "photos.of-another-job"}


def findings(folder: Path, library: Library) -> tuple[Finding, ...]:
    loaded = load_job(folder, AS_OF, library=library)
    return check_job(loaded.job, loaded.raised, Gate.HANDOVER)


def sentences(found: tuple[Finding, ...]) -> str:
    return "\n".join(f"{f.code}: {f.place}: {f.says}" for f in found)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_bad_job(folder: Path, library: Library) -> None:
    found = findings(folder, library)
    assert {f.code for f in found} == {folder.name}, sentences(found)
    for finding in found:
        assert finding.says[-1] in ".?"
        assert written(finding.place) or folder.name.startswith("load."), finding.place
        assert finding.fix
        assert finding.source


@pytest.mark.parametrize("code", sorted(ELSEWHERE))
def test_bad_job_that_no_version_control_holds(code: str, tmp_path: Path, library: Library) -> None:
    found = findings(plant(code, ELSEWHERE[code], tmp_path), library)
    assert {f.code for f in found} == {code}, sentences(found)


def test_every_code_has_a_bad_folder() -> None:
    planted = {folder.name for folder in FOLDERS}
    assert planted.isdisjoint(ELSEWHERE)
    assert planted | set(ELSEWHERE) | NO_FOLDER == {rule.code for rule in RULES}


def test_the_committed_folders_are_what_the_script_makes(tmp_path: Path) -> None:
    """Pictures and workbooks hold what another release of their library may write otherwise: only their names count."""
    assert {folder.name for folder in FOLDERS} == set(PLANTS)
    for code, edit in PLANTS.items():
        assert contents(plant(code, edit, tmp_path)) == contents(BAD / code), code


def contents(folder: Path) -> dict[str, bytes]:
    plain = {".toml", ".csv", ".json", ".txt"}
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.suffix in plain else b""
        for path in folder.rglob("*")
        if path.is_file()
    }
