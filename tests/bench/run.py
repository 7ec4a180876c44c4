"""The program side by side with what must be done once: runs interleaved, medians, ratios.

    python tests/bench/run.py [--photos 300 2000] [--pairs 5] [--work FOLDER] [--write docs/benchmarks.md]

For each number of photos it draws a job (make_photos.py), then measures in turn: `compile --draft` with an empty cache
against bound.py; `check` of the unchanged folder; hashing of all files against two threads with hashlib; and, for the
first number, `verify --against` of an issue, and of its archive, against `bagit.py --validate --processes 2` of that
archive. Needs numpy and bagit, and about 13 MB of disk a photo in FOLDER. The disk cache is warm.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import platform
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from flips import write_section

from buildbook.photos import Library
from buildbook.seal.digest import manifest_bytes

HERE = Path(__file__).resolve().parent
ISSUED_ON, OLD_NS = "2026-04-01", 1_700_000_000 * 10**9


@dataclass(frozen=True)
class Run:
    """Wall time, s, and the greatest memory of any one process of it, MB."""

    seconds: float
    memory: float = 0.0


def command(*words: str | Path, cache: Path | None = None) -> Run:
    """Run a command to its end. Exit code 1 is an answer, not a failure."""
    environment = os.environ | ({"BUILDBOOK_CACHE": str(cache)} if cache else {})
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # both as installed: modules compiled once, not at each start
    began = time.perf_counter()
    process = subprocess.Popen([str(w) for w in words], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    assert process.stderr is not None
    said = process.stderr.read()
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1) or b"Traceback" in said:
        raise SystemExit(f"{' '.join(map(str, words))} failed:\n{said.decode(errors='replace')}")
    # Linux counts in KiB; of a process and of those it waited for, the greatest.
    return Run(time.perf_counter() - began, used.ru_maxrss * 1024 / 1e6)


def buildbook(*words: str | Path, cache: Path) -> Run:
    return command(sys.executable, "-m", "buildbook", *words, cache=cache)


@dataclass(frozen=True)
class Pairs:
    """Interleaved runs of the program and of what it is held against."""

    ours: list[Run]
    theirs: list[Run]

    @property
    def seconds(self) -> tuple[float, float]:
        return statistics.median(r.seconds for r in self.ours), statistics.median(r.seconds for r in self.theirs)

    @property
    def ratio(self) -> float:
        return statistics.median(a.seconds / b.seconds for a, b in zip(self.ours, self.theirs, strict=True))

    @property
    def memory(self) -> float:
        return max(r.memory for r in self.ours)


def interleaved(pairs: int, ours: Callable[[], Run], theirs: Callable[[], Run]) -> Pairs:
    made = Pairs([], [])
    for _ in range(pairs):
        made.ours.append(ours())
        made.theirs.append(theirs())
        print(f"  {made.ours[-1].seconds:.2f} s against {made.theirs[-1].seconds:.2f} s", file=sys.stderr, flush=True)
    return made


def cold(job: Path, work: Path, pairs: int) -> Pairs:
    def ours() -> Run:
        for folder in ("cache", "out"):
            shutil.rmtree(work / folder, ignore_errors=True)
        return buildbook("compile", job, "--draft", "--out", work / "out", "--issued-on", ISSUED_ON, cache=work / "cache")

    def theirs() -> Run:
        shutil.rmtree(work / "bound", ignore_errors=True)
        return command(sys.executable, HERE / "bound.py", job, work / "bound")

    return interleaved(pairs, ours, theirs)


def files_of(job: Path) -> list[str]:
    return sorted(p.relative_to(job).as_posix() for p in job.rglob("*") if p.is_file())


def hashing(job: Path, work: Path, pairs: int) -> Pairs:
    """Reading and hashing every file of a known folder again, up to the manifest; in this process, without its start."""
    paths = files_of(job)

    def ours() -> Run:
        began = time.perf_counter()
        found = Library(work / "cache").survey(job, paths, rehash=True)
        manifest_bytes((path, s.entry.sha256) for path, s in found.items())
        return Run(time.perf_counter() - began)

    def one(path: str) -> str:
        digest = hashlib.sha256()
        with (job / path).open("rb", buffering=0) as file:
            while data := file.read(1 << 20):
                digest.update(data)
        return f"{digest.hexdigest()}  {path}\n"

    def theirs() -> Run:
        began = time.perf_counter()
        with ThreadPoolExecutor(2) as threads:
            "".join(threads.map(one, paths)).encode()
        return Run(time.perf_counter() - began)

    ours(), theirs()
    return interleaved(pairs, ours, theirs)


def verifying(job: Path, work: Path, pairs: int) -> tuple[Pairs, Pairs] | None:
    """(`verify` of the issue's files against the job folder, `verify` of the archive), each against bagit.py."""
    shutil.rmtree(work / "out", ignore_errors=True)
    buildbook("compile", job, "--out", work / "out", "--issued-on", ISSUED_ON, cache=work / "cache")
    issues = list((work / "out").glob("*/issue-01"))
    if not issues:
        return None
    (issue,) = issues
    archive, alone = issue / "archive", work / "alone"
    shutil.rmtree(alone, ignore_errors=True)
    alone.mkdir()
    for path in issue.iterdir():
        if path.is_file():
            os.link(path, alone / path.name)

    def theirs() -> Run:
        return command(sys.executable, "-m", "bagit", "--validate", "--processes", "2", "--quiet", archive)

    theirs()
    return (
        interleaved(pairs, lambda: buildbook("verify", alone, "--against", job, cache=work / "cache"), theirs),
        interleaved(pairs, lambda: buildbook("verify", archive, cache=work / "cache"), theirs),
    )


def prepared(work: Path, photos: int) -> Path:
    job = work / f"job-{photos}"
    if not job.exists():
        # By another process: what a process has held counts as its children's, until they have held more (getrusage).
        command(sys.executable, HERE / "make_photos.py", job, "--photos", str(photos))
    for path in job.rglob("*"):
        os.utime(path, ns=(OLD_NS, OLD_NS))
    return job


def row(what: str, ours: str, theirs: str, ratio: str, bound: str) -> str:
    return f"| {what} | {ours} | {theirs} | {ratio} | {bound} |"


def measured(work: Path, photos: int, pairs: int, few: int, verify: bool) -> tuple[list[str], float]:
    """(rows of the table, seconds a photo of a cold compile). pairs: of the cold compile; few: of the rest."""
    job = prepared(work, photos)
    size = sum((job / p).stat().st_size for p in files_of(job))
    first = cold(job, work, pairs)
    ours, theirs = first.seconds
    rows = [row(f"compile the draft, empty cache, {photos:,} photos ({size / 1e9:.2f} GB)", f"{ours:.1f} s", f"{theirs:.1f} s", f"{first.ratio:.2f}", "≤ 1.25")]
    rows.append(row(f"memory of its largest process, {photos:,} photos", f"{first.memory:.0f} MB", "", "", "≤ 400 MB"))
    warm = [buildbook("check", job, "--as-of", ISSUED_ON, cache=work / "cache") for _ in range(few)]
    rows.append(row(f"check, nothing changed, {photos:,} photos", f"{statistics.median(r.seconds for r in warm):.2f} s", "", "", "≤ 2 s"))
    hashed = hashing(job, work, few)
    rows.append(row(f"hash all files again, {photos:,} photos", f"{hashed.seconds[0]:.2f} s", f"{hashed.seconds[1]:.2f} s", f"{hashed.ratio:.2f}", "≤ 1.1"))
    verified = verifying(job, work, few) if verify else None
    if verified is not None:
        for what, made in zip(("verify the issue against the job folder", "verify the archive"), verified, strict=True):
            rows.append(row(f"{what}, {photos:,} photos", f"{made.seconds[0]:.2f} s", f"{made.seconds[1]:.2f} s", f"{made.ratio:.2f}", "≤ 1"))
    shutil.rmtree(job / "issued", ignore_errors=True)
    return rows, ours / photos


def processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
        return next(line.split(":", 1)[1].strip() for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        return platform.processor() or platform.machine()


def main(words: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--photos", type=int, nargs="+", default=[300, 2000])
    parser.add_argument("--pairs", type=int, nargs="+", default=[5], help="pairs of cold runs, for each number of photos")
    parser.add_argument("--few", type=int, default=5, help="pairs of the shorter measures")
    parser.add_argument("--work", type=Path, help="a folder to work in; jobs drawn there before are used again")
    parser.add_argument("--write", type=Path, help="put the figures into this page, under a heading of their own")
    parser.add_argument("--remark", default="", help="a sentence about the machine's state, printed with the figures")
    given = parser.parse_args(words)
    pairs = given.pairs * (len(given.photos) if len(given.pairs) == 1 else 1)
    with tempfile.TemporaryDirectory() as temporary:
        work = given.work or Path(temporary)
        work.mkdir(parents=True, exist_ok=True)
        rows, rates = [], []
        for photos, count in zip(given.photos, pairs, strict=True):
            load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
            found, rate = measured(work, photos, count, given.few, verify=not rows)
            print(*found, sep="\n", flush=True)
            rows += found
            rates.append(f"{photos:,} photos: {rate * 1000:.0f} ms a photo ({count} pairs, load {load:.1f} at the start)")
    text = [
        f"`python tests/bench/run.py --photos {' '.join(map(str, given.photos))} --pairs {' '.join(map(str, given.pairs))}`, "
        f"{date.today():%Y-%m-%d}; {processor()}, {os.cpu_count()} cores, Python {platform.python_version()}. Medians of "
        "interleaved runs; the ratio is the median of the pairs' ratios. " + given.remark,
        "", "| what | buildbook | bound | ratio | wanted |", "|---|---|---|---|---|", *rows,
        "", "Growth of the cold compile: " + "; ".join(rates) + ".",
    ]  # fmt: skip
    print(*text, sep="\n")
    if given.write:
        write_section(given.write, "Photos: time and memory", text)


if __name__ == "__main__":
    main()
