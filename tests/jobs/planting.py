"""Faults planted into a copy of the good minimal job, by small edits that fail loudly when they no longer fit."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

JOBS = Path(__file__).resolve().parent
MINIMAL = JOBS / "good" / "minimal"
BAD = JOBS / "bad"
AS_OF = date(2026, 3, 20)  # the day on which the bad folders are checked: the minimal job's handover

STEP = "steps/010-brake-hose"  # the safety-critical one: part P1 is replaced
OTHER_STEP = "steps/020-grille"  # part P2 is kept


class Folder:
    """A job folder to edit. Each method takes paths relative to it and raises if the edit does not fit."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def path(self, name: str) -> Path:
        return self.root / name

    def replace(self, name: str, old: str, new: str) -> None:
        """Replace the one place in a text file where `old` stands."""
        text = self.path(name).read_text(encoding="utf-8")
        if text.count(old) != 1:
            raise ValueError(f"{name}: {old!r} stands {text.count(old)} times, not once")
        self.path(name).write_text(text.replace(old, new), encoding="utf-8", newline="")

    def append(self, name: str, text: str) -> None:
        """Add text at the end of a file (a table of a TOML file, say)."""
        with self.path(name).open("a", encoding="utf-8", newline="") as file:
            file.write(text)

    def write(self, name: str, content: str | bytes) -> None:
        """Write a file, new or not."""
        target = self.path(name)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)

    def remove(self, name: str) -> None:
        """Take a file or a folder away."""
        target = self.path(name)
        if target.is_dir():
            shutil.rmtree(target)
        else:
            target.unlink()

    def move(self, old: str, new: str) -> None:
        target = self.path(new)
        target.parent.mkdir(parents=True, exist_ok=True)
        self.path(old).rename(target)

    def copy(self, old: str, new: str) -> None:
        target = self.path(new)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(self.path(old), target)

    def cell(self, table: str, row: str, **cells: str) -> None:
        """Set cells of the row of a CSV table whose first column is `row`: cell("parts.csv", "P1", why="")."""
        header, rows = self._read(table)
        (found,) = [r for r in rows if r[0] == row]
        for column, value in cells.items():
            found[header.index(column)] = value
        self._write(table, header, rows)

    def add_row(self, table: str, **cells: str) -> None:
        """Add a row to a CSV table; columns not named stay empty."""
        header, rows = self._read(table)
        unknown = set(cells) - set(header)
        if unknown:
            raise ValueError(f"{table}: no column {sorted(unknown)}")
        self._write(table, header, [*rows, [cells.get(column, "") for column in header]])

    def drop_row(self, table: str, row: str) -> None:
        """Take away the row whose first column is `row`."""
        header, rows = self._read(table)
        (found,) = [r for r in rows if r[0] == row]
        rows.remove(found)
        self._write(table, header, rows)

    def _read(self, table: str) -> tuple[list[str], list[list[str]]]:
        with self.path(table).open(encoding="utf-8", newline="") as file:
            header, *rows = csv.reader(file)
        return header, rows

    def _write(self, table: str, header: list[str], rows: list[list[str]]) -> None:
        with self.path(table).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([header, *rows])


Edit = Callable[[Folder], None]


def line(name: str, old: str, new: str = "") -> Edit:
    """Put a whole line in place of another, or take it out."""
    return lambda folder: folder.replace(name, f"{old}\n", f"{new}\n" if new else "")


def cell(table: str, row: str, **cells: str) -> Edit:
    """Set cells of a row."""
    return lambda folder: folder.cell(table, row, **cells)


def gone(*names: str) -> Edit:
    """Take files away."""

    def edit(folder: Folder) -> None:
        for name in names:
            folder.remove(name)

    return edit


def both(*edits: Edit) -> Edit:
    """One edit after the other."""

    def edit(folder: Folder) -> None:
        for each in edits:
            each(folder)

    return edit


def plant(code: str, edit: Edit, into: Path = BAD) -> Path:
    """Make the bad folder of a code: a copy of the minimal job with the one fault. The old one goes."""
    target = into / code
    if target.exists():
        shutil.rmtree(target)
    shutil.copytree(MINIMAL, target)
    edit(Folder(target))
    return target
