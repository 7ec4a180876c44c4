"""The worker pool: a worker that dies, hangs or hoards costs one task; none is ever left behind."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import textwrap
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from photo_files import jpeg, put

from buildbook.photos import Library, pool, reading
from buildbook.photos.limits import MIB, WORKER_MEMORY


def square(n: int) -> int:
    return n * n


def die_at_seven(n: int) -> int:
    if n == 7:
        os.kill(os.getpid(), signal.SIGKILL)
    return n


def hang_at_three(n: int) -> int:
    if n == 3:
        time.sleep(600)
    return n


def raise_at_two(n: int) -> int:
    if n == 2:
        raise ZeroDivisionError("a fault of ours")
    return n


def take(n: int) -> int:
    return len(bytearray(n))


@pytest.fixture(autouse=True)
def _none_left() -> Iterator[None]:
    yield
    assert multiprocessing.active_children() == []


@pytest.mark.parametrize("workers", [1, 2, 5])
def test_every_task_is_answered_once(workers: int) -> None:
    assert sorted(pool.run(square, range(40), workers)) == [(n, n * n) for n in range(40)]


def test_no_tasks() -> None:
    assert list(pool.run(square, [], 2)) == []


@pytest.mark.parametrize("workers", [1, 2])
def test_a_killed_worker_costs_its_task_only(workers: int) -> None:
    found = dict(pool.run(die_at_seven, range(20), workers))
    assert found.pop(7) == pool.Lost("made the decoder fail")
    assert found == {n: n for n in range(20) if n != 7}


def test_a_hanging_worker_is_given_up() -> None:
    found = dict(pool.run(hang_at_three, range(8), 2, seconds=3))
    assert found.pop(3) == pool.Lost("kept the decoder busy for over 3 s")
    assert found == {n: n for n in range(8) if n != 3}


def test_a_fault_of_ours_is_not_hidden() -> None:
    with pytest.raises(RuntimeError, match="a fault of ours"):
        list(pool.run(raise_at_two, range(8), 2))


def test_an_abandoned_run_leaves_no_worker() -> None:
    for _ in pool.run(square, range(100), 2):
        break


@pytest.mark.skipif(sys.platform != "linux", reason="the system does not hold a process to a limit")
def test_a_worker_cannot_take_all_memory() -> None:
    assert list(pool.run(take, [MIB], 1)) == [(0, MIB)]
    with pytest.raises(RuntimeError, match="MemoryError"):
        list(pool.run(take, [4 * WORKER_MEMORY], 1))


def test_a_photo_that_kills_its_worker_is_a_problem_of_that_photo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    killer = jpeg("red")
    real = reading.decode

    def decode(data: bytes, **more: bool) -> object:
        if data == killer:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(data, **more)

    monkeypatch.setattr(reading, "decode", decode)
    names = [put(tmp_path / "job", f"{n}.jpg", jpeg(size=(64, 64 + n))) for n in range(6)]
    put(tmp_path / "job", names[2], killer)
    found = Library(tmp_path / "cache").survey(tmp_path / "job", names)
    assert {n for n in names if found[n].facts.problem} == {names[2]}  # type: ignore[union-attr]
    bad = found[names[2]]
    assert bad.facts is not None
    assert bad.facts.problem.startswith("The picture made the decoder fail, so it is not shown")
    assert bad.entry.size == len(killer)
    assert len(bad.entry.sha256) == 64
    # It may have been the machine's fault: it is tried again, and now it works.
    monkeypatch.undo()
    assert Library(tmp_path / "cache").survey(tmp_path / "job", names)[names[2]].facts.problem == ""  # type: ignore[union-attr]


def test_from_a_program_with_threads(tmp_path: Path) -> None:
    """Where forking is not safe, fresh processes are started."""
    put(tmp_path / "job", "a.jpg", jpeg())
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait)
    thread.start()
    try:
        found = Library(tmp_path / "cache").survey(tmp_path / "job", ["a.jpg"])
    finally:
        stop.set()
        thread.join()
    assert found["a.jpg"].facts is not None
    assert found["a.jpg"].facts.problem == ""


LONG_RUN = textwrap.dedent(
    """
    import signal
    import sys
    from pathlib import Path
    from buildbook.photos import Library
    signal.signal(signal.SIGINT, signal.default_int_handler)  # what a shell starts in the background is deaf to it
    root, cache = map(Path, sys.argv[1:])
    names = sorted(p.name for p in root.iterdir())
    def say(done, total, what):
        print(done, flush=True)
    try:
        Library(cache).survey(root, names, progress=say)
    except KeyboardInterrupt:
        print("stopped")
    """
)


def children_of(pid: int) -> list[int]:
    return [int(p) for p in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def gone(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs /proc")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_a_stopped_run_leaves_no_worker_and_no_rubbish(how: signal.Signals, tmp_path: Path) -> None:
    root, cache = tmp_path / "job", tmp_path / "cache"
    for n in range(300):
        put(root, f"{n:03}.jpg", jpeg(size=(1200, 800 + n % 50)))
    command = [sys.executable, "-c", LONG_RUN, str(root), str(cache)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as run:
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdout.readline()
        workers = children_of(run.pid)
        assert workers
        if how is signal.SIGINT:  # as a terminal does: to all of them
            os.killpg(run.pid, how)
        else:
            run.kill()
        said, errors = run.stdout.read(), run.stderr.read()
        run.wait(20)
    deadline = time.monotonic() + 20
    while not all(gone(w) for w in workers) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert [w for w in workers if not gone(w)] == []
    assert errors == ""
    if how is signal.SIGINT:
        assert said.endswith("stopped\n")
        assert list((cache / "tmp").iterdir()) == []
    # What was written is whole: the next run trusts it and finishes.
    names = sorted(p.name for p in root.iterdir())
    library = Library(cache)
    found = library.survey(root, names)
    assert all(s.facts is not None and s.facts.problem == "" for s in found.values())
    assert all(library._cache.whole(s.entry.sha256, "print") for s in found.values())
