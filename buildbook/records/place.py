"""Where a value stands in the job folder."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in the job folder.

    file: path relative to the job folder, `/` separated ("" for the folder as a whole).
    row: 1-based row of a table as a spreadsheet shows it (the header is row 1). column: header name.
    key: dotted key of a TOML file, list items by number from 1 (`people.2.name`).
    """

    file: str
    row: int | None = None
    column: str | None = None
    key: str | None = None

    def at(self, field: str) -> Place:
        """The same place, narrowed to a column (tables) or a key (TOML)."""
        if self.row is not None:
            return replace(self, column=field)
        return replace(self, key=f"{self.key}.{field}" if self.key else field)

    def __str__(self) -> str:
        parts = [self.file or "the job folder"]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column is not None:
            parts.append(f"column {self.column}")
        if self.key is not None:
            parts.append(f"key {self.key}")
        return ", ".join(parts)
