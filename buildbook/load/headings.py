"""Headings of a table: matched to the columns of its schema."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from buildbook.load.refused import meant, shown
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import said, sentences


def heading(text: object) -> str:
    """A heading as the schema names it: `Part number` and `PART-NUMBER` are part_number."""
    return re.sub(r"[\s_-]+", "_", str(text).strip().strip("\ufeff").strip().casefold())


@dataclass(frozen=True, slots=True)
class Headings:
    """columns: index in the record -> column of the schema. blank: indexes without a heading. width: of the row."""

    columns: Mapping[int, str]
    blank: tuple[int, ...]
    width: int
    raised: tuple[Raised, ...]


def match(record: Sequence[object], row: int, file: str, known: Sequence[str]) -> Headings:
    """Match a heading row to the known columns; what is unknown, or there twice, is a finding and is not read."""
    columns: dict[int, str] = {}
    blank: list[int] = []
    raised: list[Raised] = []
    seen: set[str] = set()
    width = 0
    for index, cell in enumerate(record):
        written = "" if cell is None else str(cell).strip()
        name = heading(written)
        if not name:
            blank.append(index)
            continue
        width = index + 1
        place = Place(file, row=row, column=written)
        if name not in known:
            near = get_close_matches(name, known, n=1, cutoff=0.6)
            says = said("There is no column {column} in this table, so it is not read.", column=shown(written))
            hint = meant(near[0]) if near else ""
            raised.append(Raised("load.unknown-column", place, sentences(says, hint)))
        elif name in seen:
            says = said("The column {column} is there twice; the first is read.", column=name)
            raised.append(Raised("load.duplicate-column", place, says))
        else:
            seen.add(name)
            columns[index] = name
    return Headings(columns, tuple(i for i in blank if i < width), width, tuple(raised))
