"""Faults of the accession register."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from jobs.planting import OTHER_STEP, Edit, Folder, both

from buildbook.records.register import NAME
from buildbook.seal.register import register_files

WHEN = datetime(2026, 3, 6, 9, 0, tzinfo=UTC)
PAPER = "documents/approval.pdf"


def register(f: Folder, at: datetime = WHEN) -> None:
    """Register all that is there."""
    paths = sorted(p.relative_to(f.root).as_posix() for p in f.root.rglob("*") if p.is_file())
    register_files(f.root, paths, at)


def lines(edit: str) -> Edit:
    """Edit the register's lines by an expression over `x`, the list of them."""

    def change(f: Folder) -> None:
        path: Path = f.path(NAME)
        x = path.read_bytes().splitlines(keepends=True)
        kept = {
            "swap": [*x[:-2], x[-1], x[-2]],
            "change": [x[0].replace(b"09:00", b"08:00"), *x[1:]],
            "tear": [*x, x[-1][:40]],
            "shorten": x[:-1],
        }
        path.write_bytes(b"".join(kept[edit]))

    return change


def _torn_and_registered(f: Folder) -> None:
    register(f)
    lines("tear")(f)
    register(f)


PLANTS: dict[str, Edit] = {
    "register.changed": both(register, lambda f: f.append(PAPER, "\n")),
    "register.missing": both(
        lambda f: f.copy(f"{OTHER_STEP}/after/grille.jpg", "inbox/wrong.jpg"),
        lambda f: f.append("inbox/wrong.jpg", "\n"),
        register,
        lambda f: f.remove("inbox"),
    ),
    "register.broken": both(register, lines("change")),
    "register.out-of-order": both(register, lines("swap")),
    "register.torn": both(register, lines("tear")),
    "register.repaired": _torn_and_registered,
    "register.unregistered": both(register, lines("shorten")),
}

