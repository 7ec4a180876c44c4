"""A pool of worker processes that outlives its workers.

A worker that dies or hangs costs the one file it was at: it is replaced and the run goes on. (The standard
library's executor breaks as a whole and does not say which task broke it.)
"""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import sys
import threading
import time
import traceback
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from typing import Any, Generic, TypeVar

from buildbook.photos.limits import SECONDS_PER_FILE, WORKER_MEMORY
from buildbook.records.said import figure, said

Task = TypeVar("Task")
Result = TypeVar("Result")
_AHEAD = 2  # tasks a worker holds, so that it never waits for us


@dataclass(frozen=True, slots=True)
class Lost:
    """A task whose worker died or hung. Says which, as a short sentence's end: "…stopped the program that …"."""

    says: str


@dataclass(slots=True)
class _Worker:
    process: Any
    pipe: Connection
    held: deque[int] = field(default_factory=deque)
    since: float = 0.0  # when it began its first held task


def run(
    work: Callable[[Task], Result], tasks: Sequence[Task], workers: int, seconds: float = SECONDS_PER_FILE
) -> Iterator[tuple[int, Result | Lost]]:
    """Yield (index of task, result), as they are done. `work` must be importable and never raise for bad input.

    seconds: a task running longer is given up. Raises RuntimeError if `work` raised. Whatever ends the iteration,
    no worker is left behind.
    """
    crew = _Crew(work, tasks, seconds)
    try:
        yield from crew.results(min(workers, len(tasks)))
    finally:
        crew.dismiss()


class _Crew(Generic[Task, Result]):
    def __init__(self, work: Callable[[Task], Result], tasks: Sequence[Task], seconds: float) -> None:
        self._work, self._tasks, self._seconds = work, tasks, seconds
        self._waiting = deque(range(len(tasks)))
        self._context = _context()
        self._workers: list[_Worker] = []

    def results(self, workers: int) -> Iterator[tuple[int, Result | Lost]]:
        for _ in range(workers):
            self._hire()
        while self._workers:
            for worker in self._workers:
                self._feed(worker)
            by_pipe = {w.pipe: w for w in self._workers}
            ready = wait(list(by_pipe), timeout=1.0)
            for pipe in ready:
                worker = by_pipe[pipe]  # type: ignore[index]
                try:
                    index, result, fault = worker.pipe.recv()
                except (EOFError, OSError):
                    yield from self._replace(worker, said("made the decoder fail"))
                    continue
                if fault:
                    raise RuntimeError(f"a photo worker failed:\n{fault}")
                worker.held.remove(index)
                worker.since = time.monotonic()
                self._feed(worker)
                yield index, result
            for worker in list(self._workers):
                if worker.held and time.monotonic() - worker.since > self._seconds and not worker.pipe.poll():
                    yield from self._replace(
                        worker, said("kept the decoder busy for over {n} s", n=figure(self._seconds, ".0f"))
                    )
            self._release()

    def _hire(self) -> None:
        ours, theirs = self._context.Pipe()
        # A forked worker inherits our end too and must close it, or it would never see us go.
        inherited = ours if self._context.get_start_method() == "fork" else None
        process = self._context.Process(target=_serve, args=(self._work, theirs, inherited), daemon=True)
        process.start()
        theirs.close()
        self._workers.append(_Worker(process, ours))

    def _feed(self, worker: _Worker) -> None:
        # The last tasks are dealt one by one, so that no worker sits on two while another idles.
        ahead = _AHEAD if len(self._waiting) > len(self._workers) else 1
        while self._waiting and len(worker.held) < ahead:
            index = self._waiting.popleft()
            if not worker.held:
                worker.since = time.monotonic()
            worker.held.append(index)
            try:
                worker.pipe.send((index, self._tasks[index]))
            except OSError:  # it has died: the next wait will say so
                return

    def _replace(self, worker: _Worker, says: str) -> Iterator[tuple[int, Lost]]:
        """The first task it held is lost; the others go back to the head of the queue."""
        self._workers.remove(worker)
        _end(worker)
        lost = worker.held.popleft() if worker.held else None
        self._waiting.extendleft(reversed(worker.held))
        if self._waiting:
            self._hire()
        if lost is not None:
            yield lost, Lost(says)

    def _release(self) -> None:
        """Let idle workers go once nothing waits."""
        if self._waiting:
            return
        for worker in [w for w in self._workers if not w.held]:
            self._workers.remove(worker)
            with suppress(OSError):
                # Closing our end is not enough: a younger forked worker holds a copy of it.
                worker.pipe.send(None)
                worker.process.join(5)
            _end(worker)

    def dismiss(self) -> None:
        for worker in self._workers:
            _end(worker)
        self._workers.clear()


def _end(worker: _Worker) -> None:
    worker.pipe.close()
    if worker.process.is_alive():
        worker.process.kill()
    worker.process.join()
    worker.process.close()


def _context() -> Any:
    """Fork where it is safe (no other threads) because it starts at once; spawn elsewhere."""
    forks = sys.platform == "linux" and threading.active_count() == 1
    return multiprocessing.get_context("fork" if forks else "spawn")


def _serve(work: Callable[[Any], Any], pipe: Connection, inherited: Connection | None) -> None:
    """A worker's life: task in, result out, until the other end closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's to answer
    if inherited is not None:
        inherited.close()
    logging.disable(logging.CRITICAL)
    with suppress(OSError):  # libtiff writes its complaints straight to the terminal
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    _hold_memory()
    while True:
        try:
            message = pipe.recv()
        except (EOFError, OSError):
            return
        if message is None:
            return
        index, task = message
        try:
            answer = (index, work(task), "")
        except Exception:  # a fault of ours: reported by the parent
            answer = (index, None, traceback.format_exc())
        try:
            pipe.send(answer)
        except OSError:
            return


def _hold_memory() -> None:
    """Let an allocation past WORKER_MEMORY fail in this process instead of starving the machine (Linux)."""
    if sys.platform != "linux":
        return
    import resource
    from pathlib import Path

    try:
        pages = int(Path("/proc/self/statm").read_text().split()[0])
        most = pages * resource.getpagesize() + WORKER_MEMORY
        soft, hard = resource.getrlimit(resource.RLIMIT_AS)
        if soft == resource.RLIM_INFINITY or soft > most:
            resource.setrlimit(resource.RLIMIT_AS, (most, hard))
    except (OSError, ValueError):
        return
