"""What changed between two issues, computed from their records: files by path and digest, part lines by their id.

The record of each issue is kept in the job folder as `issued/NNN-record.json`, byte for byte the record.json that
was issued; `record_sha256` in `issued/NNN.json` says whether it still is.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildbook.records.changes import Change, Changes, FieldChange, FileChange, PartChange
from buildbook.records.issued import issue_of_name
from buildbook.records.said import said
from buildbook.seal.chain import issued_record_name
from buildbook.seal.digest import sha256_bytes

if TYPE_CHECKING:
    from buildbook.records.job import Issued

RECORD_BYTES = 64 << 20  # a record of 20,000 photos takes about a quarter of that
_NOT_SAID = frozenset({"place", "bad"})  # where a line stands is no change of what it says


def changes_since(folder: Path, earlier: Issued, record: bytes) -> Changes:
    """What `record` says otherwise than the record of the issue `earlier`, whose copy lies in the job folder."""
    name = issued_record_name(earlier.number)
    since, on = earlier.number, earlier.issued_on
    try:
        path = folder / name
        if not path.is_file() or path.is_symlink():
            return Changes(since=since, since_on=on, problem=said("{name} is not there", name=name))
        if path.stat().st_size > RECORD_BYTES:
            return Changes(since=since, since_on=on, problem=said("{name} is too large to be read", name=name))
        data = path.read_bytes()
    except OSError as error:
        why = str(error.strerror or error)
        return Changes(since=since, since_on=on, problem=said("{name} cannot be read ({why})", name=name, why=why))
    if sha256_bytes(data) != earlier.record_sha256:
        return Changes(since=since, since_on=on, problem=said("{name} is not the record that was issued", name=name))
    try:
        return changes_between(json.loads(data), json.loads(record), since=since, since_on=on)
    except (ValueError, RecursionError) as error:
        problem = said("{name} is not in the form of a record ({why})", name=name, why=str(error))
        return Changes(since=since, since_on=on, problem=problem)


def changes_between(
    earlier: Mapping[str, Any], later: Mapping[str, Any], *, since: int, since_on: date | None = None
) -> Changes:
    """What a later record.json says otherwise than an earlier one. Raises ValueError if either is no record."""
    return Changes(
        since=since,
        since_on=since_on,
        files=file_changes(_digests(earlier), _digests(later)),
        parts=_part_changes(_parts(earlier), _parts(later)),
    )


def file_changes(earlier: Mapping[str, str], later: Mapping[str, str]) -> tuple[FileChange, ...]:
    """Files (path -> digest) that differ, by kind and path. What the program writes into issued/ is left out."""
    was = {path: digest for path, digest in earlier.items() if issue_of_name(path) is None}
    now = {path: digest for path, digest in later.items() if issue_of_name(path) is None}
    gone = sorted(was.keys() - now.keys())
    new = sorted(now.keys() - was.keys())
    found: list[FileChange] = []
    # A file is moved if its bytes lie under one new name and under no old one any more.
    left: dict[str, list[str]] = {}
    for path in gone:
        left.setdefault(was[path], []).append(path)
    for path in new:
        if left.get(now[path]):
            found.append(FileChange(change=Change.MOVED, path=path, was=left[now[path]].pop(0)))
        else:
            found.append(FileChange(change=Change.ADDED, path=path))
    found += [FileChange(change=Change.CHANGED, path=p) for p in sorted(was.keys() & now.keys()) if was[p] != now[p]]
    found += [FileChange(change=Change.WITHDRAWN, path=p) for p in sorted(p for ps in left.values() for p in ps)]
    order = list(Change)
    return tuple(sorted(found, key=lambda f: (order.index(f.change), f.path)))


def _job(record: Mapping[str, Any]) -> Mapping[str, Any]:
    job = record.get("job") if isinstance(record, Mapping) else None
    if not isinstance(job, Mapping):
        raise ValueError("it holds no job")
    return job


def _rows(record: Mapping[str, Any], name: str) -> list[Mapping[str, Any]]:
    rows = _job(record).get(name, [])
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise ValueError(f"its {name} are no list of lines")
    return rows


def _digests(record: Mapping[str, Any]) -> dict[str, str]:
    return {str(row.get("path", "")): str(row.get("sha256", "")) for row in _rows(record, "files")}


def _parts(record: Mapping[str, Any]) -> dict[tuple[str, int], Mapping[str, Any]]:
    """Part lines by id; the second of the same id is told apart by its turn."""
    turn: Counter[str] = Counter()
    made: dict[tuple[str, int], Mapping[str, Any]] = {}
    for row in _rows(record, "parts"):
        name = str(row.get("id", ""))
        made[name, turn[name]] = row
        turn[name] += 1
    return made


def _part_changes(
    earlier: Mapping[tuple[str, int], Mapping[str, Any]], later: Mapping[tuple[str, int], Mapping[str, Any]]
) -> tuple[PartChange, ...]:
    found: list[PartChange] = []
    for key in [*later, *(k for k in earlier if k not in later)]:
        was, now = earlier.get(key), later.get(key)
        line = now if now is not None else was
        what = _said(line.get("what")) if line else ""
        if was is None:
            found.append(PartChange(change=Change.ADDED, id=key[0], what=what))
        elif now is None:
            found.append(PartChange(change=Change.WITHDRAWN, id=key[0], what=what))
        else:
            names = [*now, *(n for n in was if n not in now)]
            fields = tuple(
                FieldChange(name=n, was=_said(was.get(n)), now=_said(now.get(n)))
                for n in names
                if n not in _NOT_SAID and was.get(n) != now.get(n)
            )
            if fields:
                found.append(PartChange(change=Change.CHANGED, id=key[0], what=what, fields=fields))
    return tuple(found)


def _said(value: object) -> str:
    """A value of the record as text."""
    if value is None:
        return ""
    if isinstance(value, list):
        return ", ".join(_said(v) for v in value)
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, sort_keys=True)
