"""The cache command, what is said of files not read again, and photos of other jobs."""

from __future__ import annotations

import os
import shutil
from datetime import datetime
from pathlib import Path

import pytest
from jobs.pictures import picture
from jobs.planting import MINIMAL

from buildbook.cli import run
from buildbook.photos.housekeeping import cache_use

OLD_NS = 1_700_000_000 * 10**9


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the minimal job, last changed long ago."""
    made = Path(shutil.copytree(MINIMAL, tmp_path / "job"))
    age(made)
    return made


def age(folder: Path) -> None:
    for path in folder.rglob("*"):
        os.utime(path, ns=(OLD_NS, OLD_NS))


def check(job: Path, cache: Path, *more: str) -> int:
    return run(["check", str(job), "--as-of", "2026-03-20", "--cache", str(cache), *more])


def test_a_second_check_says_what_it_trusted(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cache = tmp_path / "cache"
    assert check(job, cache) == 0
    assert "not read again" not in capsys.readouterr().err
    assert check(job, cache) == 0
    assert capsys.readouterr().err.startswith("21 of 21 files were not read again")
    assert check(job, cache, "--rehash") == 0
    assert "not read again" not in capsys.readouterr().err
    picture(job / "steps/020-grille/after/grille.jpg", "Another grille", datetime(2026, 3, 5, 10, 50))
    check(job, cache)
    assert capsys.readouterr().err.startswith("20 of 21 files")


def test_a_draft_says_it_too_and_an_issue_trusts_nothing(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cache = ["--cache", str(tmp_path / "cache"), "--out", str(tmp_path / "out"), "--issued-on", "2026-03-20"]
    assert run(["compile", str(job), "--draft", *cache]) == 0
    assert "not read again" not in capsys.readouterr().err
    assert run(["compile", str(job), "--draft", *cache]) == 0
    assert "21 of 21 files were not read again" in capsys.readouterr().err
    assert run(["compile", str(job), *cache]) == 0
    assert "not read again" not in capsys.readouterr().err
    assert run(["compile", str(job), "--draft", *cache]) == 0
    assert "21 of 23 files were not read again" in capsys.readouterr().err  # the issue's two notes are new
    age(job)
    assert run(["compile", str(job), "--draft", *cache]) == 0
    capsys.readouterr()
    assert run(["compile", str(job), "--draft", *cache]) == 0
    assert "23 of 23 files were not read again" in capsys.readouterr().err


def test_cache_shows_and_clears_its_own_only(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cache = tmp_path / "cache"
    assert cache_use(cache).files == 0
    check(job, cache)
    strange = [cache / "photos" / "holiday.jpg", cache / "photos" / "2026" / "ab" / "IMG_1.jpg", cache / "notes.txt", cache / "jobs" / "list.json"]
    for path in strange:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"kept")
    capsys.readouterr()
    assert run(["cache", "--cache", str(cache)]) == 0
    told = capsys.readouterr().out
    assert f"folder  {cache}" in told
    assert "photos  8\n" in told
    assert "jobs    1\n" in told
    assert "in 25 files" in told
    assert run(["cache", "--clear", "--cache", str(cache)]) == 0
    assert "removed" in capsys.readouterr().out
    assert sorted(p for p in cache.rglob("*") if p.is_file()) == sorted(strange)
    assert run(["cache", "--cache", str(cache)]) == 0
    assert "photos  0\n" in capsys.readouterr().out
    assert check(job, cache) == 0  # and all is made again
    assert cache_use(cache).photos == 8


def test_clearing_what_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cache", "--clear", "--cache", str(tmp_path / "none")]) == 0
    assert "0 files" in capsys.readouterr().out
    assert not (tmp_path / "none").exists()


def test_against_another_job(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = Path(shutil.copytree(MINIMAL, tmp_path / "2025-009"))
    for name in ("before/grille.jpg", "after/grille.jpg"):
        (other / "steps/020-grille" / name).unlink()
    assert check(job, tmp_path / "cache", "--against-job", str(other)) == 0
    told = capsys.readouterr().out
    assert told.count("[photos.of-another-job]") == 2
    assert "The same file lies in job 2025-009: steps/010-brake-hose/before/hose.jpg." in told
    assert check(job, tmp_path / "cache", "--against-job", str(tmp_path / "none")) == 3
    assert "is not there" in capsys.readouterr().err
