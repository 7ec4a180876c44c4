"""What a reader says of a file or a value that it cannot take, and how values are shown in sentences."""

from __future__ import annotations

from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import said, some_of, word
from buildbook.records.script import is_control

MOST_SHOWN = 60  # characters of a value that a sentence repeats


class Refused(Exception):
    """A file or value that cannot be read: the code and the sentence of its finding.

    code: `load.what-is-wrong`. says: a whole sentence. row: row of the table, where the fault is in one.
    """

    def __init__(self, code: str, says: str, row: int | None = None) -> None:
        super().__init__(says)
        self.code = code
        self.says = says
        self.row = row

    def at(self, place: Place) -> Raised:
        """The finding, at that place."""
        if self.row is not None:
            place = Place(place.file, row=self.row, column=place.column)
        return Raised(self.code, place, self.says)


def shown(value: object) -> str:
    """A value as a sentence quotes it: cut to MOST_SHOWN characters, with control characters spelt out."""
    text = str(value)
    cut = text[:MOST_SHOWN]
    plain = "".join(f"\\u{ord(c):04x}" if is_control(c) or not (c.isprintable() or c == " ") else c for c in cut)
    return said("“{text}…”", text=plain) if len(text) > MOST_SHOWN else said("“{text}”", text=plain)


def listed(names: list[str] | tuple[str, ...], most: int = 5) -> str:
    """Names in a row, the first few of many."""
    return some_of(names, most)


def meant(name: str) -> str:
    """The question whether a name that is near was meant."""
    return said("Is {near} meant?", near=name)


# What systems say most when a file is not read, as Python passes it on.
_REASONS = (
    N_("Permission denied"), N_("No such file or directory"), N_("Input/output error"), N_("File name too long"),
    N_("Too many levels of symbolic links"), N_("Is a directory"),
)  # fmt: skip


def reason(error: OSError) -> str:
    """Why the system refused a file, in its own words; the usual ones can be said in another language."""
    says = error.strerror or str(error)
    return word(says) if says in _REASONS else says
