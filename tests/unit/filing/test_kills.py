"""`file` killed at random moments: every original is still there byte for byte, and a later run finishes."""

from __future__ import annotations

import multiprocessing
import os
import random
import shutil
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from buildbook.cli import run

from .conftest import tree

SEED = 20261125
KILLS = 100


def _file(root: str) -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    os._exit(run(["file", root]))


def _started(root: Path) -> multiprocessing.Process:
    child = multiprocessing.get_context("fork").Process(target=_file, args=(str(root),))
    child.start()
    return child  # type: ignore[return-value]


def _inbox(root: Path) -> int:
    return sum(path.suffix == ".jpg" for path in (root / "inbox").rglob("*"))


def _wait_for_a_move(root: Path, child: multiprocessing.Process) -> None:
    before = _inbox(root)
    while child.is_alive() and _inbox(root) == before:
        time.sleep(0.001)


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_kill_at_a_hundred_random_moments(
    job: Path, tmp_path: Path, drop: Callable[[Path], dict[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BUILDBOOK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1774000000")  # 20 March 2026
    wanted = drop(job)
    assert len(wanted) == 24
    taken = next(d for d in wanted if wanted[d] == "steps/020-grille/before/")
    name = next(p for p, d in tree(job).items() if d == taken).rpartition("/")[2]
    (job / "steps/020-grille/before" / name).write_bytes(b"other bytes of the same name")
    untouched = {p: d for p, d in tree(job).items() if not p.startswith("inbox/")}
    assert run(["file", "--dry-run", str(job)]) == 0  # fills the cache, so that the time goes into moving

    timed = tmp_path / "timed"
    shutil.copytree(job, timed)
    assert run(["file", "--dry-run", str(timed)]) == 0
    began = time.monotonic()
    child = _started(timed)
    _wait_for_a_move(timed, child)
    first = time.monotonic() - began
    child.join()
    whole = time.monotonic() - began
    assert child.exitcode == 0

    moments = random.Random(SEED)
    kills = midway = 0
    number = 0
    while kills < KILLS:
        number += 1
        root = tmp_path / f"job-{number}"
        shutil.copytree(job, root)
        assert run(["file", "--dry-run", str(root)]) == 0
        for turn in range(4):
            child = _started(root)
            if turn % 2:  # from its start, and from its first move, so that a busy machine too is cut off in the middle
                time.sleep(moments.uniform(0, 1) * whole)
            else:
                _wait_for_a_move(root, child)
                time.sleep(moments.uniform(0, 1) * (whole - first))
            if child.is_alive():
                child.kill()
                kills += 1
            child.join()
            there = tree(root)
            assert {p: there.get(p) for p in untouched} == untouched
            assert set(wanted) <= set(there.values())
            waiting = sum(p.startswith("inbox/") for p in there)
            midway += 0 < waiting < len(wanted)
        child = _started(root)
        child.join()
        assert child.exitcode == 0
        there = tree(root)
        count = Counter(there.values())
        assert {d: count[d] for d in wanted} == dict.fromkeys(wanted, 1)
        place = {d: p.rpartition("/")[0] + "/" for p, d in there.items()}
        assert {d: place[d] for d in wanted} == wanted
        assert not list(root.rglob("*.part"))
        assert not [p for p in (root / "inbox").rglob("*") if p.is_file()]
        shutil.rmtree(root)
    assert midway >= KILLS // 5, f"only {midway} of {kills} kills fell between the first move and the last"
    print(f"{kills} kills, {midway} of them between the first move and the last (seed {SEED})")
