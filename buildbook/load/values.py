"""Values as people write them: brought into the form the schemas ask for, and turned into Python values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from decimal import Decimal

from buildbook.load.refused import Refused, shown
from buildbook.records.base import When
from buildbook.records.said import said
from buildbook.records.script import describe, is_control
from buildbook.records.zones import zone

ERROR_VALUES = frozenset(
    {"#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NULL!", "#NUM!", "#SPILL!", "#CALC!", "#GETTING_DATA"}
)
_ERROR_NUMBER = re.compile(r"Err:\d{3}")
_TOO_NARROW = re.compile(r"#{3,}")
_SCIENTIFIC = re.compile(r"[+-]?\d([.,]\d+)?E[+-]\d{2,3}", re.IGNORECASE)
_MONTH = "(jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec)[a-z]*"
_LIKE_A_DATE = re.compile(
    rf"\d{{4}}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])([T ]\d\d:\d\d(:\d\d)?)?"
    rf"|(0?[1-9]|[12]\d|3[01])[-. ]{_MONTH}([-. ]\d{{2,4}})?|{_MONTH}[-. ]\d{{1,4}}"
    r"|(0?[1-9]|[12]\d|3[01])/(0?[1-9]|[12]\d|3[01])/(\d\d|\d{4})|(0?[1-9]|[12]\d|3[01])\.(0?[1-9]|1[0-2])\.\d{4}",
    re.IGNORECASE,
)
_DAY_FIRST = re.compile(r"(\d{1,4})[./ -](\d{1,2})[./ -](\d{1,4})")
_REPLACEMENT = "�"


def tidy(text: str) -> str:
    """Text without blanks at its ends and with one kind of line break."""
    return text.replace("\r\n", "\n").replace("\r", "\n").strip().strip("\ufeff").strip()


def check_characters(text: str) -> None:
    """Raises Refused (load.odd-character) if text holds control characters, half pairs or non-characters."""
    if text.isascii() and text.isprintable():
        return
    for character in text:
        if is_control(character):
            raise Refused(
                "load.odd-character",
                said("It holds {character}, which cannot be read on paper.", character=describe(character)),
            )
        if character == _REPLACEMENT:
            says = said(
                "It holds {character}, the mark of a letter lost when a file was converted: {value}.",
                character=_REPLACEMENT,
                value=shown(text),
            )
            raise Refused("load.odd-character", says)


def check_damage(text: str, kind: str) -> None:
    """Raises Refused (load.spreadsheet-damage) on what only a spreadsheet's own processing writes into a cell."""
    if text.upper() in ERROR_VALUES or _ERROR_NUMBER.fullmatch(text):
        raise Refused(
            "load.spreadsheet-damage",
            said("{value} is a spreadsheet's error value: what stood here is lost.", value=text),
        )
    if _TOO_NARROW.fullmatch(text):
        raise Refused(
            "load.spreadsheet-damage", said("The column was too narrow when it was saved: only # signs are left.")
        )
    if kind in ("code", "id", "list") and _SCIENTIFIC.fullmatch(text):
        says = said("{value} is how a spreadsheet shortens a long number: the last digits are lost.", value=shown(text))
        raise Refused("load.spreadsheet-damage", says)


def like_a_date(text: str) -> bool:
    """Whether a part, batch or serial number looks like a date that a spreadsheet made of it."""
    return len(text) <= 30 and _LIKE_A_DATE.fullmatch(text) is not None


def normal(text: str, kind: str, words: Sequence[str] = ()) -> str:
    """A value as the schema wants it, where only its dress differs.

    Words: capitals, blanks and underscores as in the word list. Zones: as in the table of zones. Paths: `/` for
    a backslash, no `./` before. Dates: `T` for the blank before the time. Currencies: capitals.
    """
    if kind in ("word", "words"):
        folded = _slug(text)
        return next((w for w in words if _slug(w) == folded), text)
    if kind == "zone":
        return normal_zone(text)
    if kind == "file":
        return text.replace("\\", "/").removeprefix("./")
    if kind == "files":
        return "|".join(normal(part.strip(), "file") for part in text.split("|") if part.strip()) or text
    if kind == "when":
        return re.sub(r"(?<=\d) (?=\d\d:)", "T", text, count=1).replace("t", "T").replace("z", "Z")
    if kind == "currency":
        return text.upper()
    return text


def normal_zone(text: str) -> str:
    """A zone's name as the table has it, whatever its capitals and blanks; an unknown name as written."""
    return _slug(text) if zone(_slug(text)) else text


def _slug(text: str) -> str:
    return re.sub(r"[\s_-]+", "-", text.casefold())


def date_hint(text: str) -> str:
    """What to write instead of something that is not an ISO date."""
    if found := _DAY_FIRST.match(text):
        a, b, c = (int(g) for g in found.groups())
        if len(found[1]) == 4:
            year, tries = a, {(b, c)}
        elif len(found[3]) == 4:
            year, tries = c, {(b, a), (a, b)}
        else:
            return said("The year needs four digits: write year-month-day.")
        real = sorted(d.isoformat() for m, n in tries if (d := _day(year, m, n)))
        if len(real) == 1:
            return said("Write {day}.", day=real[0])
        if len(real) == 2:
            return said("It could mean {one} or {other}: write the one that is meant.", one=real[0], other=real[1])
        return said("There is no such day.")
    return said("Write year-month-day, as in 2026-03-02.")


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def to_date(text: str) -> date:
    """A day. Raises ValueError."""
    return date.fromisoformat(text)


def to_when(text: str, zone_: tzinfo) -> When:
    """A day, or an instant; one without an offset is in `zone_`. Raises ValueError."""
    if len(text) == 10:
        return date.fromisoformat(text)
    found = datetime.fromisoformat(text)
    return found if found.tzinfo else found.replace(tzinfo=zone_)


def to_decimal(value: object) -> Decimal:
    """A number. Raises ValueError."""
    found = value if isinstance(value, Decimal) else Decimal(str(value))
    if not found.is_finite():
        raise ValueError(f"{value} is not a number")
    return found


def split_list(text: str) -> tuple[str, ...]:
    """The names in a cell, in order, each once."""
    return tuple(dict.fromkeys(part.strip() for part in text.split("|") if part.strip()))
