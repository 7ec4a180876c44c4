"""Whether the place of a finding is one a person can look at."""

from __future__ import annotations

from buildbook.load.schemas import TABLES, part_at, schema
from buildbook.records.place import Place


def written(place: Place) -> bool:
    """Whether the schema of the file knows the key or the column."""
    name = place.file.rpartition("/")[2].partition(".")[0]
    if place.file.startswith("issued/"):
        name = "issue"
    if place.key is not None:
        path = [int(part) - 1 if part.isdigit() else part for part in place.key.split(".")]
        return bool(part_at(name, path))
    return place.column is None or name not in TABLES or place.column in schema(name)["properties"]
