"""The promises of the design, tested from outside through the command line.

Same folder, same date, same bytes. Nothing lost, nothing touched. Output whole or not at all.
"""

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
DAY = "2027-01-01"


def buildbook(*words, cwd=None, **env):
    return subprocess.run(
        [sys.executable, "-m", "buildbook", *map(str, words)],
        capture_output=True, text=True, cwd=cwd, env={**os.environ, **env}, check=False, timeout=300,
    )  # fmt: skip


def digests(folder):
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in folder.rglob("*")
        if p.is_file()
    }


def test_same_folder_and_date_give_the_same_bytes_anywhere(tmp_path):
    made = []
    for n, env in enumerate(
        [
            {"TZ": "UTC", "LC_ALL": "C", "PYTHONHASHSEED": "1"},
            {"TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "2"},
            {"TZ": "America/St_Johns", "LANG": "de_DE.UTF-8", "PYTHONHASHSEED": "3"},
        ]
    ):
        place = tmp_path / f"place {n}" / ("deeper" * n or "x")
        place.mkdir(parents=True)
        shutil.copytree(GOOD, place / "job")
        # file times and directory order are not part of the record
        for path in (place / "job").rglob("*"):
            os.utime(path, (1_000_000 + n, 1_000_000 + n))
        told = buildbook(
            "compile", "job", "--out", "out", "--issued-on", DAY, "--zip",
            cwd=place, BUILDBOOK_CACHE=str(place / "cache"), **env,
        )  # fmt: skip
        assert told.returncode == 0, told.stderr
        made.append(digests(next((place / "out").glob("*/issue-01"))))
    assert made[0] == made[1] == made[2]
    outer = {p for p in made[0] if "/" not in p}
    assert outer == {
        "dossier.pdf", "issue.json", "manifest-sha256.txt", "record.json", "VERIFY.txt", "Q-014-issue-01.zip"
    }  # fmt: skip
    assert {p.split("/")[0] for p in made[0]} - outer == {"archive", "web"}


def test_sha256sum_agrees_with_verify(tmp_path):
    shutil.copytree(GOOD, tmp_path / "job")
    env = {"BUILDBOOK_CACHE": str(tmp_path / "cache")}
    told = buildbook("compile", tmp_path / "job", "--out", tmp_path / "out", "--issued-on", DAY, **env)
    issue = next((tmp_path / "out").glob("*/issue-01"))
    seal = dict(line.split(maxsplit=1) for line in told.stdout.splitlines())["seal"]

    def sha256sum():
        return subprocess.run(
            ["sha256sum", "--strict", "-c", issue / "manifest-sha256.txt"], cwd=tmp_path / "job",
            capture_output=True, text=True, check=False,
        )  # fmt: skip

    assert sha256sum().returncode == 0
    own = subprocess.run(["sha256sum", issue / "manifest-sha256.txt"], capture_output=True, text=True, check=True)
    assert own.stdout.split()[0] == seal
    victim = sorted((tmp_path / "job").rglob("*.jpg"))[0]
    victim.write_bytes(victim.read_bytes() + b"\x00")
    failed = [line for line in sha256sum().stdout.splitlines() if line.endswith("FAILED")]
    assert failed == [f"{victim.relative_to(tmp_path / 'job').as_posix()}: FAILED"]
    report = json.loads(buildbook("verify", issue, "--against", tmp_path / "job", "--format", "json").stdout)
    details = [d for s in report["steps"] for d in s["details"]]
    assert len(details) == 1
    assert victim.name in details[0]


@pytest.mark.slow
def test_killed_at_any_moment_the_earlier_issue_is_whole_and_no_later_one_is_half(tmp_path):
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(GOOD, job)
    env = {"BUILDBOOK_CACHE": str(tmp_path / "cache")}
    words = ["compile", job, "--out", out, "--issued-on", DAY]
    assert buildbook(*words, **env).returncode == 0
    first = next(out.glob("*/issue-01"))
    before = digests(first)
    (job / "parts.csv").write_text((job / "parts.csv").read_text("utf-8").replace("\n", "\n\n", 1), "utf-8")
    originals = digests(job)
    started = time.monotonic()
    shutil.copytree(job, tmp_path / "timed")
    assert buildbook("compile", tmp_path / "timed", "--out", tmp_path / "o2", "--issued-on", DAY, **env).returncode == 0
    whole = time.monotonic() - started
    seed = 20261125
    moments = random.Random(seed)
    killed = 0
    for _ in range(8):
        run = subprocess.Popen(
            [sys.executable, "-m", "buildbook", *map(str, words)], env={**os.environ, **env},
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        time.sleep(moments.uniform(0, whole * 1.1))
        if run.poll() is None:
            os.killpg(run.pid, signal.SIGKILL)
            killed += 1
        run.wait()
        assert digests(first) == before
        now = digests(job)
        # What a killed run left of issue 2's notes is no issue yet; all else is as it was.
        assert {k: v for k, v in now.items() if k in originals} == originals
        second = first.parent / "issue-02"
        if second.exists():
            assert buildbook("verify", second).returncode == 0
    assert killed >= 3
    told = buildbook(*words, **env)
    assert told.returncode == 0, told.stderr
    assert buildbook("verify", first.parent / "issue-02", "--against", job).returncode == 0
    assert sorted(p.name for p in first.parent.iterdir()) == [".lock", "issue-01", "issue-02"]
    notes = sorted(p.name for p in (job / "issued").iterdir() if p.suffix != ".txt")
    assert notes == ["001-record.json", "001.json", "002-record.json", "002.json"]


@pytest.mark.parametrize("blocks", [40, 500])
def test_a_full_disk_leaves_nothing_half_written(tmp_path, blocks):
    """A file size limit stands in for a full disk: writing the PDF, or the archive behind it, fails in the middle."""
    shutil.copytree(GOOD, tmp_path / "job")
    env = {**os.environ, "BUILDBOOK_CACHE": str(tmp_path / "cache")}
    words = f"{sys.executable} -m buildbook compile {tmp_path}/job --out {tmp_path}/out --issued-on {DAY} --zip"
    assert buildbook("check", tmp_path / "job", **env).returncode == 0  # fills the cache
    told = subprocess.run(
        ["bash", "-c", f"trap '' XFSZ; ulimit -f {blocks}; {words}"], env=env, capture_output=True, text=True, check=False
    )
    assert told.returncode in (1, 2, 4)
    assert "Traceback" not in told.stderr
    assert [p.name for p in (tmp_path / "out").rglob("*") if p.is_file()] == [".lock"]
    assert not (tmp_path / "job" / "issued").exists()
