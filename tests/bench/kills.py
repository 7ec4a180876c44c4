"""Kill -9 at random moments of compile with its archive, as folder and ZIP: is anything ever half there?

    python tests/bench/kills.py [--kills 200] [--seed 20261125] [--write docs/benchmarks.md]

After each kill: every issue folder that stands under its final name verifies, archive included; earlier issues and
all originals are byte for byte what they were. After every tenth kill the same command is run to its end and must
finish the issue; then the record is edited, so that another issue is due.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import platform
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from flips import write_section

from buildbook.verify import verify_path

SEED = 20261125
GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
LARGE = 4, 4 << 20  # files, and bytes of each, so that the archive takes a fair part of the run


def digests(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file()
    }


class Workshop:
    """A job that is compiled again and again."""

    def __init__(self, root: Path, rng: random.Random) -> None:
        self.root, self.job, self.out = root, root / "job", root / "out"
        shutil.copytree(GOOD, self.job)
        for n in range(LARGE[0]):
            (self.job / "documents" / f"scan-{n}.bin").write_bytes(rng.randbytes(LARGE[1]))
        self.command = [
            sys.executable, "-m", "buildbook", "compile", str(self.job), "--out", str(self.out), "--zip",
            "--issued-on", "2027-01-01",
        ]  # fmt: skip
        self.environment = {**os.environ, "BUILDBOOK_CACHE": str(root / "cache")}
        self.whole: dict[str, dict[str, str]] = {}

    def run(self) -> float:
        """Compile to the end; gives the seconds it took."""
        started = time.monotonic()
        told = subprocess.run(self.command, env=self.environment, capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stderr
        return time.monotonic() - started

    def kill(self, after: float) -> bool:
        """Start, kill after so many seconds. False if it had ended."""
        run = subprocess.Popen(
            self.command, env=self.environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            start_new_session=True,
        )  # fmt: skip
        time.sleep(after)
        alive = run.poll() is None
        if alive:
            os.killpg(run.pid, signal.SIGKILL)
        run.wait()
        return alive

    def edit(self, turn: int) -> None:
        """A harmless change of the record."""
        (self.job / "documents" / "diary.txt").write_text(f"Entry {turn}.\n", "utf-8")

    def issues(self) -> list[Path]:
        return sorted(self.out.glob("*/issue-*"))

    def stage(self) -> str:
        """How far the killed run had come, from what it left behind."""
        parts = list(self.out.glob("*/.issue-*.part"))
        if not parts:
            return "before writing, or after publishing"
        if any((p / "archive").exists() for p in parts):
            return "while the archive was written"
        return "while dossier and record were written"

    def faults(self, originals: dict[str, str]) -> list[str]:
        """What is not as it must be after a kill."""
        found = []
        for issue in self.issues():
            if issue.name not in self.whole:
                report = verify_path(issue)
                forms = (issue / "archive").is_dir() and (issue / "web").is_dir() and list(issue.glob("*.zip"))
                if not report.ok or not forms:
                    found.append(f"{issue.name} stands half-written under its final name")
                else:
                    self.whole[issue.name] = digests(issue)
            elif digests(issue) != self.whole[issue.name]:
                found.append(f"{issue.name} was changed")
        found += [f"{name} was lost" for name in self.whole if not any(i.name == name for i in self.issues())]
        now = digests(self.job)
        found += [f"original {name} was touched" for name, digest in originals.items() if now.get(name) != digest]
        return found


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=200)
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--write", type=Path)
    given = asked.parse_args()
    rng = random.Random(given.seed)
    faults: list[str] = []
    stages: Counter[str] = Counter()
    killed = finished = verified = 0
    with tempfile.TemporaryDirectory() as temporary:
        shop = Workshop(Path(temporary), rng)
        shop.run()
        shop.edit(0)
        took = shop.run()
        shop.faults({})
        turn = 1
        shop.edit(turn)
        originals = digests(shop.job)
        while killed < given.kills:
            alive = shop.kill(rng.uniform(0, took))
            if alive:
                killed += 1
                stages[shop.stage()] += 1
                print(f"{killed} killed", end="\r", file=sys.stderr)
            faults += shop.faults(originals)
            if (alive and killed % 10 == 0) or not alive:
                took = shop.run() if alive else took * 0.9  # the machine may have become faster
                finished += alive
                faults += shop.faults(originals)
                last = shop.issues()[-1]
                if verify_path(last, shop.job).ok:
                    verified += alive
                else:
                    faults.append(f"{last.name} does not verify against the job")
                for old in shop.issues()[:-2]:  # keep the disk small; the chain stays in the job folder
                    shutil.rmtree(old)
                    del shop.whole[old.name]
                turn += 1
                shop.edit(turn)
                originals = digests(shop.job)
    lines = [
        (f"`tests/bench/kills.py`, seed {given.seed}, Python {platform.python_version()}, {platform.machine()}; minimal job "
        f"with {LARGE[0]} files of {LARGE[1] >> 20} MB added, archive as folder and ZIP, a whole run about {took:.1f} s."),
        "",
        "| killed | times |",
        "|---|---|",
        *(f"| {stage} | {count} |" for stage, count in sorted(stages.items())),
        f"| in all | {killed} |",
        "",
        (f"Issues half-written under their final name, originals touched, earlier issues changed: {len(faults)}. "
        f"Runs to the end afterwards: {finished}, of which verified against the job: {verified}."),
    ]  # fmt: skip
    print("\n".join([*lines, *faults]))
    if given.write:
        write_section(given.write, "Compile killed at random moments", lines)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
