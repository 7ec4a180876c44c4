"""Kill -9 at random moments: of compile, of its archive alone, of `register`, and of two `register` at once.

    python tests/bench/kills.py [--kills 200] [--seed 20261126] [--only compile|archive|register|two] [--write PAGE]

Compile: after each kill every issue folder under its final name verifies, archive included; earlier issues and all
originals are byte for byte what they were. Archive: an issue is there without one; the run that adds it as folder and
ZIP is killed after the first sign of it. What stands under its final name is whole, and the issue still verifies.
Register: no line that stood in it or that a run had told is lost, and none is wrong. After about every tenth kill the
same command is run to its end and must finish.
"""

from __future__ import annotations

import argparse
import os
import platform
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from flips import write_section
from kills_register import Tally, killed_at_random

from buildbook.seal.digest import sha256_file
from buildbook.verify import verify_path

SEED = 20261126
GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
LARGE_BYTES = 4 << 20  # of each file added, so that the archive takes a fair part of the run
LARGE_COMPILE, LARGE_ARCHIVE = 4, 20  # such files
DATE = "2027-01-01"
TITLES = {
    "compile": "compile, with its archive as folder and ZIP",
    "archive": "compile adding the archive to an issue",
    "register": "register",
    "two": "two register at once",
}


def digests(folder: Path) -> dict[str, str]:
    return {p.relative_to(folder).as_posix(): sha256_file(p) for p in sorted(folder.rglob("*")) if p.is_file()}


class Workshop:
    """A job that is compiled again and again."""

    def __init__(self, root: Path, rng: random.Random, large: int) -> None:
        self.root, self.job, self.out = root, root / "job", root / "out"
        shutil.copytree(GOOD, self.job)
        for n in range(large):
            (self.job / "documents" / f"scan-{n}.bin").write_bytes(rng.randbytes(LARGE_BYTES))
        self.command = [
            sys.executable, "-m", "buildbook", "compile", str(self.job), "--out", str(self.out), "--issued-on", DATE,
        ]  # fmt: skip
        self.environment = {**os.environ, "BUILDBOOK_CACHE": str(root / "cache")}
        self.whole: dict[str, dict[str, str]] = {}

    def run(self, *options: str) -> float:
        """Compile to the end; gives the seconds it took."""
        started = time.monotonic()
        command = [*self.command, *options]
        told = subprocess.run(command, env=self.environment, capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stderr
        return time.monotonic() - started

    def start(self) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            [*self.command, "--zip"], env=self.environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            start_new_session=True,
        )  # fmt: skip

    def edit(self, turn: int) -> None:
        """A harmless change of the record."""
        (self.job / "documents" / "diary.txt").write_text(f"Entry {turn}.\n", "utf-8")

    def issues(self) -> list[Path]:
        return sorted(self.out.glob("*/issue-*"))

    def begun(self) -> bool:
        """True once a run has begun to write an archive."""
        return any(self.out.glob("*/.issue-*.part/archive"))

    def stage(self) -> str:
        """How far the killed run had come, from what it left behind."""
        parts = list(self.out.glob("*/.issue-*.part"))
        if not parts:
            return "before writing, or after publishing"
        if any(list(p.glob("*.zip*")) for p in parts):
            return "while the ZIP file was written, or after"
        return "while the archive was written as a folder" if self.begun() else "while dossier and record were written"

    def faults(self, originals: dict[str, str], *, archived: bool) -> list[str]:
        """What is not as it must be after a kill. archived: an issue has its archive in both forms from the start."""
        found = []
        for issue in self.issues():
            forms = {n: (issue / n).exists() for n in ("archive", "web")} | {"ZIP": any(issue.glob("*.zip"))}
            if archived and issue.name in self.whole:
                if digests(issue) != self.whole[issue.name]:
                    found.append(f"{issue.name} was changed")
                continue
            report = verify_path(issue)
            if not report.ok or (archived and not all(forms.values())):
                told = [d for s in report.steps if s.ok is False for d in s.details]
                found.append(f"{issue.name} stands half-written under its final name: {forms} {told}")
            self.whole[issue.name] = digests(issue)
        found += [f"{name} was lost" for name in self.whole if not any(i.name == name for i in self.issues())]
        now = digests(self.job)
        found += [f"original {name} was touched" for name, digest in originals.items() if now.get(name) != digest]
        return found


def end(run: subprocess.Popen[bytes]) -> bool:
    """Kill a run and what it started. False if it had ended."""
    alive = run.poll() is None
    if alive:
        os.killpg(run.pid, signal.SIGKILL)
    run.wait()
    return alive


def killed_compiling(root: Path, kills: int, rng: random.Random) -> Tally:
    shop, tally = Workshop(root, rng, LARGE_COMPILE), Tally()
    shop.run("--zip")
    shop.edit(0)
    took = shop.run("--zip")
    shop.faults({}, archived=True)
    turn = 1
    shop.edit(turn)
    originals = digests(shop.job)
    while tally.killed < kills:
        run = shop.start()
        time.sleep(rng.uniform(0, took))
        alive = end(run)
        if alive:
            tally.killed += 1
            tally.stages[shop.stage()] += 1
            print(f"{tally.killed} killed", end="\r", file=sys.stderr)
        tally.faults += shop.faults(originals, archived=True)
        if (alive and tally.killed % 10 == 0) or not alive:
            took = shop.run("--zip") if alive else took * 0.9  # the machine may have become faster
            tally.finished += alive
            tally.faults += shop.faults(originals, archived=True)
            last = shop.issues()[-1]
            if not verify_path(last, shop.job).ok:
                tally.faults.append(f"{last.name} does not verify against the job")
            elif alive:
                tally.verified += 1
            for old in shop.issues()[:-2]:  # keep the disk small; the chain stays in the job folder
                shutil.rmtree(old)
                del shop.whole[old.name]
            turn += 1
            shop.edit(turn)
            originals = digests(shop.job)
    return tally


def killed_archiving(root: Path, kills: int, rng: random.Random) -> Tally:
    shop, tally = Workshop(root, rng, LARGE_ARCHIVE), Tally()
    shop.run("--no-archive")
    originals = digests(shop.job)
    (issue,) = shop.issues()

    def awaited(run: subprocess.Popen[bytes]) -> bool:
        while not shop.begun() and run.poll() is None:
            time.sleep(0.002)
        return run.poll() is None

    run = shop.start()
    awaited(run)
    started = time.monotonic()
    assert run.wait() == 0
    took = time.monotonic() - started
    while tally.killed < kills:
        shutil.rmtree(issue / "archive", ignore_errors=True)
        for path in issue.glob("*.zip"):
            path.unlink()
        shop.whole.clear()
        for stale in shop.out.glob("*/.issue-*.part"):  # else its archive would pass for that of the next run
            shutil.rmtree(stale)
        run = shop.start()
        if awaited(run):
            time.sleep(rng.uniform(0, took))
        if end(run):
            tally.killed += 1
            forms = (issue / "archive").exists() + any(issue.glob("*.zip"))
            moved = ("", "one form published", "both forms published")[forms]
            tally.stages[moved or shop.stage()] += 1
            print(f"{tally.killed} killed", end="\r", file=sys.stderr)
            tally.faults += shop.faults(originals, archived=False)
            if tally.killed % 10 == 0:
                shop.run("--zip")
                tally.finished += 1
                wrong = shop.faults(originals, archived=False)
                if not (issue / "archive").is_dir() or not any(issue.glob("*.zip")):
                    wrong.append("a run to the end left a form of the archive out")
                if not verify_path(issue, shop.job).ok:
                    wrong.append("the issue does not verify against the job")
                tally.verified += not wrong
                tally.faults += wrong
        else:
            took *= 0.95
    return tally


def rows(what: str, tally: Tally) -> list[str]:
    lines = [f"| {TITLES[what]} | {stage} | {count} |" for stage, count in sorted(tally.stages.items())]
    return [*lines, f"| | in all | {tally.killed} |"]


def told(what: str, tally: Tally) -> str:
    text = f"{TITLES[what].capitalize()}: {tally.finished} runs to the end afterwards, {tally.verified} of them right"
    if what in ("register", "two"):
        text += f"; {tally.lines:,} lines in the end, {tally.torn} times a torn one"
    if what == "two":
        text += f"; {tally.survivors} times one of the two came to its end"
    return f"- {text}."


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=200)
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--only", choices=sorted(TITLES), action="append")
    asked.add_argument("--write", type=Path)
    given = asked.parse_args()
    done: dict[str, Tally] = {}
    for what in given.only or TITLES:
        rng = random.Random(f"{given.seed} {what}")
        with tempfile.TemporaryDirectory() as temporary:
            root = Path(temporary)
            if what == "compile":
                done[what] = killed_compiling(root, given.kills, rng)
            elif what == "archive":
                done[what] = killed_archiving(root, given.kills, rng)
            else:
                done[what] = killed_at_random(root, GOOD, given.kills, rng, 2 if what == "two" else 1)
        print("\n".join([*rows(what, done[what]), told(what, done[what]), *done[what].faults]), flush=True)
    faults = [f for tally in done.values() for f in tally.faults]
    lines = [
        (f"`tests/bench/kills.py`, seed {given.seed}, Python {platform.python_version()}, {platform.machine()}; minimal job, "
        f"for compile with {LARGE_COMPILE} and for the archive with {LARGE_ARCHIVE} files of {LARGE_BYTES >> 20} MiB added."),
        "",
        "| killed | when | times |",
        "|---|---|---|",
        *(row for what, tally in done.items() for row in rows(what, tally)),
        "",
        ("Issues or archives half-written under their final name, issues lost, earlier issues changed, register lines lost or "
        f"wrong, originals touched: {len(faults)}."),
        "",
        *(told(what, tally) for what, tally in done.items()),
    ]  # fmt: skip
    if given.write:
        write_section(given.write, "Killed at random moments", lines)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
