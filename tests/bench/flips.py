"""Single-bit changes, and files deleted, renamed and swapped, over an issue folder with its archive as folder and ZIP:
how many does verify find, and does it name the file? The issue is signed and stamped by a test authority (`openssl ts`)
unless `--plain` is given.

    python tests/bench/flips.py [--flips 1000] [--seed 20261125] [--plain] [--write docs/benchmarks.md]

Half of the flips fall on a file drawn evenly, so that small files are hit too; half on a byte drawn evenly.
"""

from __future__ import annotations

import argparse
import logging
import platform
import random
import shutil
import sys
import tempfile
import time
from datetime import UTC, date, datetime
from pathlib import Path

from buildbook.compile import Archiving, compile_job
from buildbook.photos import Library
from buildbook.seal.keys import CERTIFICATE, KEY, load_signer, new_keys
from buildbook.seal.signing import Signing
from buildbook.seal.timestamp import attach, queries
from buildbook.verify import Report, verify_path

PASSPHRASE = "only for this run"
SEED = 20261125
GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"


def make_issues(root: Path, *, signed: bool = False) -> Path:
    """The second issue of the minimal job, with its archive in both forms; the first lies beside it."""
    shutil.copytree(GOOD, root / "job")
    both = Archiving(zipped=True)
    library = Library(root / "cache")
    signing = _signing(root) if signed else None
    for day in (1, 2):
        made = compile_job(
            root / "job", root / "out", date(2027, 1, day), archiving=both, signing=signing, library=library
        )
    assert made.number == 2
    if signed:
        _stamp(root, made.folder)
        for old in (made.folder / "archive", *made.folder.glob("*.zip")):  # written again, with the stamp in it
            shutil.rmtree(old) if old.is_dir() else old.unlink()
        compile_job(root / "job", root / "out", date(2027, 1, 2), archiving=both, signing=signing, library=library)
    return made.folder


def _signing(root: Path) -> Signing:
    now = datetime.now(UTC)
    new_keys(root / "keys", "Workshop", PASSPHRASE, now)
    keys = root / "keys"
    return Signing(load_signer(keys / KEY, keys / CERTIFICATE, PASSPHRASE, "A Person", now))


def _stamp(root: Path, issue: Path) -> None:
    """Stamp the seal by a local authority: the one that tests/outside/test_timestamp.py makes."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))
    from test_timestamp import authority, openssl

    tsa = authority(root / "tsa", "Test authority")
    for name, query in queries(issue).items():
        (tsa / "q").write_bytes(query)
        openssl("ts", "-reply", "-queryfile", "q", "-config", "c", "-signer", "tsa.pem", "-inkey", "tsa.key",
                "-out", "r", cwd=tsa)  # fmt: skip
        print("stamped", name, *attach(issue, (tsa / "r").read_bytes()))


def named(report: Report, *names: str) -> bool:
    """True if verification failed and a failing step names one of the files."""
    told = [d for s in report.steps if s.ok is False for d in (s.says, *s.details)]
    return not report.ok and any(repr(n) in t or f"'{n}/" in t for n in names for t in told)


def files_of(folder: Path) -> list[Path]:
    return sorted(p for p in folder.rglob("*") if p.is_file())


def flips(issue: Path, count: int, seed: int) -> list[str]:
    """Flip one bit, verify, put it back. Gives a line for each that was not found or not named."""
    rng = random.Random(seed)
    files = files_of(issue)
    sizes = [p.stat().st_size for p in files]
    missed = []
    for n in range(count):
        path = rng.choice(files) if n % 2 else rng.choices(files, sizes)[0]
        data = path.read_bytes()
        at, bit = rng.randrange(len(data)), rng.randrange(8)
        changed = bytearray(data)
        changed[at] ^= 1 << bit
        path.write_bytes(changed)
        try:
            name = path.relative_to(issue).as_posix()
            if not named(verify_path(issue), name):
                missed.append(f"{name}, byte {at}, bit {bit}")
        finally:
            path.write_bytes(data)
    return missed


def handled(issue: Path) -> tuple[int, list[str]]:
    """Delete, rename and swap each file, one by one. (number of changes, what was not found or not named.)

    A whole archive in one form (the ZIP file) may be kept elsewhere: its absence is no failure.
    """
    missed, count = [], 0
    files = files_of(issue)
    name = {p: p.relative_to(issue).as_posix() for p in files}
    for path, other in zip(files, [*files[1:], files[0]], strict=True):
        aside = path.with_name(path.name + ".aside")
        path.rename(aside)
        count += 1
        if not named(verify_path(issue), name[path], aside.relative_to(issue).as_posix()):
            missed.append(f"renamed {name[path]}")
        if path.suffix != ".zip":
            elsewhere = issue.parent / "aside"
            aside.rename(elsewhere)
            count += 1
            if not named(verify_path(issue), name[path]):
                missed.append(f"deleted {name[path]}")
            elsewhere.rename(aside)
        aside.rename(path)
        if path.read_bytes() == other.read_bytes():
            continue
        count += 1
        path.rename(aside)
        other.rename(path)
        aside.rename(other)
        if not named(verify_path(issue), name[path], name[other]):
            missed.append(f"swapped {name[path]} and {name[other]}")
        path.rename(aside)
        other.rename(path)
        aside.rename(other)
    return count, missed


def write_section(page: Path, title: str, lines: list[str]) -> None:
    """Put a section into the page of figures, in place of the one of the same title."""
    old = page.read_text("utf-8") if page.exists() else "# Benchmarks\n"
    parts = old.split("\n## ")
    kept = [p for p in parts if not p.startswith(title + "\n")]
    page.write_text("\n## ".join([*kept]).rstrip("\n") + f"\n\n## {title}\n\n" + "\n".join(lines) + "\n", "utf-8")


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--flips", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--plain", action="store_true", help="neither signed nor stamped")
    asked.add_argument("--write", type=Path)
    given = asked.parse_args()
    logging.disable()  # pyHanko logs each path that does not lead to a root
    with tempfile.TemporaryDirectory() as temporary:
        issue = make_issues(Path(temporary), signed=not given.plain)
        fine = verify_path(issue)
        assert fine.ok, fine
        started = time.monotonic()
        missed = flips(issue, given.flips, given.seed)
        each = (time.monotonic() - started) / given.flips
        count, missed_files = handled(issue)
        files = len(files_of(issue))
        assert verify_path(issue).ok
    lines = [
        (
            f"`tests/bench/flips.py`, seed {given.seed}, Python {platform.python_version()}, {platform.machine()}; "
            f"issue 2 of the minimal job, {files} files, {'' if given.plain else 'signed and time-stamped, '}archive as folder and ZIP."
        ),
        "",
        "| change | made | found, file named |",
        "|---|---|---|",
        f"| one bit | {given.flips} | {given.flips - len(missed)} |",
        f"| a file renamed, deleted, swapped with the next | {count} | {count - len(missed_files)} |",
        "",
        (
            f"One verification took {each * 1000:.0f} ms. The ZIP file as a whole may be kept elsewhere: "
            "that it is not there is no failure."
        ),
    ]
    print("\n".join([*lines, *missed, *missed_files]))
    if given.write:
        write_section(given.write, "Changes found by verify", lines)
    return 1 if missed or missed_files else 0


if __name__ == "__main__":
    sys.exit(main())
