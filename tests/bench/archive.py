"""What an archive costs: 300 photos of 4 MB as a folder and as a ZIP file, against one plain read and write of the same.

    python tests/bench/archive.py [--photos 300] [--size 4000000] [--pairs 5] [--write docs/benchmarks.md]

The bound copies each file in one pass with one SHA-256, as any archive with digests must, and makes it durable; it uses
as many threads. Runs are interleaved; figures are medians.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import platform
import random
import shutil
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

from flips import write_section

from buildbook.archive.bag import Bag, payload, write_folder, write_zipped
from buildbook.records.photo import FileEntry
from buildbook.verify.bag import check_bag
from buildbook.verify.holder import FolderHolder

CHUNK = 1 << 20


def bound(sources: list[Path], target: Path) -> None:
    """One read, one hash, one write of each file."""
    target.mkdir()

    def one(path: Path) -> str:
        digest = hashlib.sha256()
        with path.open("rb", buffering=0) as stream, (target / path.name).open("xb", buffering=0) as out:
            while chunk := stream.read(CHUNK):
                digest.update(chunk)
                out.write(chunk)
        return digest.hexdigest()

    with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:
        list(pool.map(one, sources))


def durable(target: Path) -> None:
    for path in [target, *target.rglob("*")]:
        if path.is_file():
            with path.open("rb") as stream:
                os.fsync(stream.fileno())


def timed(work, target: Path) -> float:
    started = time.monotonic()
    work(target)
    durable(target)
    took = time.monotonic() - started
    shutil.rmtree(target) if target.is_dir() else target.unlink()
    return took


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--photos", type=int, default=300)
    asked.add_argument("--size", type=int, default=4_000_000)
    asked.add_argument("--pairs", type=int, default=5)
    asked.add_argument("--write", type=Path)
    given = asked.parse_args()
    rng = random.Random(20261125)
    with tempfile.TemporaryDirectory() as temporary:
        root = Path(temporary)
        job = root / "job"
        job.mkdir()
        files, sources = [], []
        for n in range(given.photos):
            path = job / f"IMG_{n:04d}.jpg"
            data = rng.randbytes(given.size)
            path.write_bytes(data)
            sources.append(path)
            files.append(FileEntry(path=path.name, size=given.size, sha256=hashlib.sha256(data).hexdigest()))
        bag = Bag(
            job="J-1", number=1, issued_on=date(2026, 4, 24), seal="0" * 64, organisation="W", program="p",
            items=payload(job, files, {"dossier.pdf": b"%PDF"}),
        )  # fmt: skip
        tags = {"issue.json": b"{}\n"}
        works = {
            "bound: one read, one SHA-256, one write": lambda t: bound(sources, t),
            "archive as a folder (SHA-256 and SHA-512)": lambda t: write_folder(bag, tags, t),
            "archive as a ZIP file": lambda t: write_zipped(bag, tags, t),
            "archive as a folder, linked": lambda t: write_folder(bag, tags, t, link=True),
        }
        times: dict[str, list[float]] = {name: [] for name in works}
        for _ in range(given.pairs):
            for name, work in works.items():
                times[name].append(timed(work, root / "made"))
        write_folder(bag, tags, root / "bag")
        started = time.monotonic()
        assert all(s.ok for s in check_bag(FolderHolder(root / "bag")).steps)
        checked = time.monotonic() - started
    medians = {name: statistics.median(each) for name, each in times.items()}
    first = next(iter(medians.values()))
    lines = [
        (f"`tests/bench/archive.py`, {given.photos} files of {given.size:,} bytes, median of {given.pairs} interleaved runs, "
        f"made durable (fsync); Python {platform.python_version()}, {platform.machine()}, {os.cpu_count()} processors."),
        "",
        "| work | seconds | against the bound |",
        "|---|---|---|",
        *(f"| {name} | {took:.2f} | {took / first:.2f} |" for name, took in medians.items()),
        f"| the bag's digests checked, both lists | {checked:.2f} | {checked / first:.2f} |",
    ]  # fmt: skip
    print("\n".join(lines))
    if given.write:
        write_section(given.write, "Cost of an archive", lines)
    return 0


if __name__ == "__main__":
    sys.exit(main())
