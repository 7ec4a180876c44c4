"""Killed at any moment, `register` loses no line that was whole, and the next run finishes."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from buildbook.records.register import NAME, parse

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"


@pytest.mark.slow
def test_killed_at_random_moments_no_line_is_lost(tmp_path):
    job = tmp_path / "job"
    shutil.copytree(GOOD, job)
    (job / "inbox").mkdir(exist_ok=True)
    moments = random.Random(20261125)
    words = [sys.executable, "-m", "buildbook", "register", str(job)]
    before, killed, unfinished, turn = b"", 0, 0, 0
    started = time.monotonic()
    subprocess.run([sys.executable, "-m", "buildbook", "register", str(tmp_path / "none")], capture_output=True, check=False)
    start_up = time.monotonic() - started  # of the program alone: the moments follow the machine
    while turn < 20 or ((killed < 4 or unfinished < 2) and turn < 100):
        for n in range(30):
            (job / "inbox" / f"{turn}-{n}.jpg").write_bytes(f"{turn} {n}".encode())
        run = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
        time.sleep(start_up * moments.uniform(0.3, 1.5))
        if run.poll() is None:
            os.killpg(run.pid, signal.SIGKILL)
            killed += 1
        run.wait()
        now = (job / NAME).read_bytes() if (job / NAME).exists() else b""
        assert now.startswith(before)
        assert {f.kind for f in parse(now).faults} <= {"torn"}
        unfinished += f'"inbox/{turn}-29.jpg"'.encode() not in now
        before = now[: now.rfind(b"\n") + 1]
        turn += 1
    assert killed >= 4
    assert unfinished >= 2
    assert subprocess.run(words, stdout=subprocess.DEVNULL, check=False).returncode == 0
    register = parse((job / NAME).read_bytes())
    assert register.faults == ()
    assert {e.path for e in register.entries} >= {f"inbox/{t}-{n}.jpg" for t in range(turn) for n in range(30)}
