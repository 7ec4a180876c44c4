"""The accession register under kill -9: `register` run by one, and by two at once. Called by kills.py."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from flips import files_of

from buildbook.records.register import NAME, is_registered_kind, parse
from buildbook.seal.digest import sha256_file

NEW_FILES = 40  # put into the inbox before each run
LATE = 0.67  # half of the moments are drawn from the last third of a run, where it hashes and writes
_TOLD = re.compile(r" *([0-9]+)  ([0-9a-f]{16})  (.+)")


@dataclass
class Tally:
    """What came of it. faults: what is not as it must be, in words."""

    killed: int = 0
    stages: Counter[str] = field(default_factory=Counter)
    finished: int = 0
    verified: int = 0
    survivors: int = 0
    lines: int = 0
    torn: int = 0
    faults: list[str] = field(default_factory=list)


class Desk:
    """A job folder whose inbox fills and is registered again and again."""

    def __init__(self, root: Path, good: Path, rng: random.Random) -> None:
        self.job, self.rng, self.count = root / "job", rng, 0
        self.root = root
        shutil.copytree(good, self.job)
        self.command = [sys.executable, "-m", "buildbook", "register", str(self.job)]

    def fill(self) -> None:
        for _ in range(NEW_FILES):
            self.count += 1
            path = self.job / "inbox" / f"scan-{self.count:05d}.bin"
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(self.rng.randbytes(self.rng.randrange(500, 20_000)))

    def start(self, name: str) -> tuple[subprocess.Popen[bytes], Path]:
        told = self.root / name
        with told.open("wb") as stream:
            run = subprocess.Popen(self.command, stdout=stream, stderr=subprocess.DEVNULL, start_new_session=True)
        return run, told

    def run(self) -> float:
        started = time.monotonic()
        told = subprocess.run(self.command, capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stderr
        return time.monotonic() - started

    def digests(self) -> dict[str, str]:
        paths = {p.relative_to(self.job).as_posix(): p for p in files_of(self.job)}
        return {name: sha256_file(p) for name, p in paths.items() if is_registered_kind(name)}

    def register(self) -> bytes:
        path = self.job / NAME
        return path.read_bytes() if path.exists() else b""


def whole_lines(data: bytes) -> bytes:
    return data[: data.rfind(b"\n") + 1]


def faults_of(desk: Desk, before: bytes, originals: dict[str, str], told: list[Path], done: bool) -> list[str]:
    """What is not as it must be. told: what the runs printed. done: a run came to its end, so all is registered."""
    data = desk.register()
    register = parse(data)
    found = []
    if not data.startswith(whole_lines(before)):
        found.append("lines of the register were lost or changed")
    found += [f.says for f in register.faults if f.kind != "torn"]
    if done and register.torn:
        found.append("a torn line was left by a run that ended")
    now = desk.digests()
    found += [f"original {name} was touched" for name in originals if now.get(name) != originals[name]]
    found += [f"{e.path}: a wrong digest is registered" for e in register.entries if now.get(e.path) != e.sha256]
    if len({e.sha256 for e in register.entries}) != len(register.entries):
        found.append("a file is registered twice")
    if done and {e.sha256 for e in register.entries} != set(now.values()):
        found.append("a run ended, and not every file is registered")
    listed = {(e.n, e.sha256[:16]) for e in register.entries}
    for page in told:
        for n, digest, path in _TOLD.findall(page.read_text("utf-8")):
            if (int(n), digest) not in listed:
                found.append(f"{path} was said to be registered, and is not")
    return found


def killed_at_random(root: Path, good: Path, kills: int, rng: random.Random, at_once: int) -> Tally:
    """Kill one of `at_once` runs, or each of them, at a random moment; then look. Every tenth time run to the end."""
    desk, tally = Desk(root, good, rng), Tally()
    took = desk.run()
    while tally.killed < kills:
        desk.fill()
        before, originals = desk.register(), desk.digests()
        runs = [desk.start(f"told-{n}") for n in range(at_once)]
        spared = at_once > 1 and rng.random() < 0.5  # the last one goes on
        whole = took * (1 + 0.3 * (at_once - 1))  # two share the processors
        doomed = sorted((rng.uniform(whole * rng.choice((0.0, LATE)), whole), n) for n in range(at_once - spared))
        started = time.monotonic()
        killed = 0
        for moment, n in doomed:
            time.sleep(max(0.0, started + moment - time.monotonic()))
            if runs[n][0].poll() is None:
                os.killpg(runs[n][0].pid, signal.SIGKILL)
                killed += 1
        ends = [run.wait() for run, _ in runs]
        data = desk.register()
        done = 0 in ends
        tally.survivors += done
        tally.torn += bool(parse(data).torn)
        if any(end not in (0, -signal.SIGKILL) for end in ends):
            tally.faults.append(f"a run ended with {ends}")
        tally.faults += faults_of(desk, before, originals, [told for _, told in runs], done)
        if killed:
            tally.killed += killed
            stage = "after lines had been added" if done or data != before else "before any line was added"
            tally.stages[stage] += killed
        else:
            took *= 0.95  # the machine may have become faster
        print(f"{tally.killed} killed", end="\r", file=sys.stderr)
        if killed and sum(tally.stages.values()) % 10 < killed:
            took = desk.run()
            tally.finished += 1
            wrong = faults_of(desk, data, originals, [], True)
            tally.verified += not wrong
            tally.faults += wrong
    tally.lines = len(parse(desk.register()).entries)
    return tally
