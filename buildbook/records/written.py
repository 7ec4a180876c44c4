"""Names in the files that are not the names of the fields."""

from __future__ import annotations

from typing import Final

from buildbook.records.base import Record
from buildbook.records.head import Odometer
from buildbook.records.tables import Approval, Reading, Receipt

# record -> name of the column or key -> name of the field
RENAMED: Final[dict[type[Record], dict[str, str]]] = {
    Approval: {"date": "on"},
    Receipt: {"date": "on"},
    Reading: {"value": "value_text", "uncertainty": "expanded_uncertainty"},
    Odometer: {"in": "reading_in", "out": "reading_out"},
}


def field_name(kind: type[Record], written: str) -> str:
    """The field that a column or key fills."""
    return RENAMED.get(kind, {}).get(written, written)


def written_name(kind: type[Record], field: str) -> str:
    """The column or key that fills a field."""
    return next((w for w, f in RENAMED.get(kind, {}).items() if f == field), field)
