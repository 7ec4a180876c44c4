"""A plan, or what came of it, as a table for people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildbook.filing.move import Done, Filed, moved_so_far
from buildbook.filing.plan import Left


def plan_text(foreseen: Sequence[Filed], left: Sequence[Left]) -> str:
    """The plan: what would go where, under which name, and what would stay, each with its reason."""
    return _told("would go to", "would stay", _rows(foreseen), left)


def cut_off_text(filed: Sequence[Filed], planned: int) -> str:
    """What a run that was stopped had moved by then; "" for nothing."""
    if not filed:
        return ""
    rows = _table((("file", "went to", "because"), *sorted(_rows(filed))))
    return "\n".join([*rows, "", moved_so_far(len(filed), planned)]) + "\n"


def done_text(done: Done) -> str:
    """What was moved where, and what stays, each with its reason."""
    return _told("went to", "stay", _rows(done.filed), done.left)


def _rows(filed: Sequence[Filed]) -> list[tuple[str, str, str]]:
    return [(f.path, f.to, f"{f.why}; {f.note}" if f.note else f.why) for f in filed]


def _told(moved: str, stays: str, rows: Sequence[tuple[str, str, str]], left: Sequence[Left]) -> str:
    out: list[str] = []
    if rows:
        out += _table((("file", moved, "because"), *sorted(rows)))
    if left:
        out += ["", f"{stays} in the inbox:"] if rows else [f"{stays} in the inbox:"]
        out += _table(sorted((one.path, one.why) for one in left))
    total = len(rows) + len(left)
    if not total:
        return "The inbox is empty.\n"
    out += [
        "",
        f"{len(rows)} of {total} {'file' if total == 1 else 'files'} {moved.removesuffix(' to')}, {len(left)} {stays}.",
    ]
    return "\n".join(out) + "\n"


def _table(rows: Iterable[tuple[str, ...]]) -> list[str]:
    listed = list(rows)
    widths = [max(len(row[n]) for row in listed) for n in range(len(listed[0]) - 1)]
    return ["  ".join([*(cell.ljust(w) for cell, w in zip(row, widths, strict=False)), row[-1]]) for row in listed]
