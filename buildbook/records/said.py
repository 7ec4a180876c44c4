"""Sentences of the check that can be said in another language later.

Each is a `str`, its English text, and goes anywhere a text goes; beside it, it remembers its template and what stands
in the template's places. The dossier looks the template up in its catalogue; whatever else prints it, prints English.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any


class Sayable(str):
    """What can be said in another language; put together, it stays so."""

    __slots__ = ()

    def __add__(self, more: str) -> Sayable:
        return Row((self, more), "")

    def __radd__(self, before: str) -> Sayable:
        return Row((before, self), "")


class Said(Sayable):
    """A text with its template. values: what fills the places: text, numbers, or `Sayable` again.

    many, n: the template for several things and how many they are, where the sentence counts; else "" and 1.
    """

    __slots__ = ("many", "n", "template", "values")

    template: str
    values: Mapping[str, object]
    many: str
    n: int

    def __new__(cls, template: str, values: Mapping[str, object], many: str = "", n: int = 1) -> Said:
        chosen = many if many and n != 1 else template
        made = super().__new__(cls, chosen.format(**{name: str(value) for name, value in values.items()}))
        made.template, made.values, made.many, made.n = template, values, many, n
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Said, (self.template, dict(self.values), self.many, self.n)


class Row(Sayable):
    """Texts one after the other, with the same between each two."""

    __slots__ = ("between", "parts")

    parts: tuple[str, ...]
    between: str

    def __new__(cls, parts: Iterable[str], between: str) -> Row:
        parts = tuple(parts)
        made = super().__new__(cls, between.join(parts))
        made.parts, made.between = parts, between
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Row, (self.parts, self.between)


class Figure(Sayable):
    """A number as a sentence shows it. spec: how it is rounded and grouped, as `format` takes it."""

    __slots__ = ("spec", "value")

    value: Decimal | float
    spec: str

    def __new__(cls, value: Decimal | float, spec: str) -> Figure:
        made = super().__new__(cls, format(value, spec))
        made.value, made.spec = value, spec
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Figure, (self.value, self.spec)


class Day(Sayable):
    """A day, or an instant on the job's clock, as a sentence shows it. when: naive, if it is an instant."""

    __slots__ = ("when",)

    when: date

    def __new__(cls, when: date) -> Day:
        made = super().__new__(cls, f"{when:%Y-%m-%d %H:%M}" if isinstance(when, datetime) else when.isoformat())
        made.when = when
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Day, (self.when,)


class Within(Sayable):
    """A title of the program as it stands within a sentence: small, except where nouns keep their capital."""

    __slots__ = ("heading",)

    heading: str

    def __new__(cls, title: str) -> Within:
        made = super().__new__(cls, title.lower())
        made.heading = title
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Within, (self.heading,)


class Starting(Sayable):
    """A text as a sentence begins with it."""

    __slots__ = ("text",)

    text: str

    def __new__(cls, text: str) -> Starting:
        made = super().__new__(cls, str(text)[:1].upper() + str(text)[1:])
        made.text = text
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Starting, (self.text,)


class Term(Sayable):
    """A member of a closed list of the record or of the trade, known by its value."""

    __slots__ = ("member",)

    member: StrEnum

    def __new__(cls, member: StrEnum) -> Term:
        made = super().__new__(cls, member.value)
        made.member = member
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Term, (self.member,)


def said(template: str, /, **values: object) -> Said:
    """A sentence, or a part of one, from a template with named places."""
    return Said(template, values)


def said_of(template: str, /, **values: object) -> Said:
    """As `said`, where the template stands in a table; there `N_` marks it for the catalogues."""
    return Said(template, values)


def tallied(one: str, many: str, n: int, /, **values: object) -> Said:
    """A sentence that counts; `{n}` in it is the number."""
    return Said(one, {"n": n, **values}, many, n)


def word(text: str) -> Sayable:
    """A word of the program, known by its value and looked up as it is; marked for the catalogues where it is made."""
    if isinstance(text, StrEnum):
        return Term(text)
    return Said("{word}", {"word": text}) if "{" in text or "}" in text else Said(text, {})


def day(when: date) -> Day:
    """A day to be written the way of the reader's language, or an instant, which is taken as it stands."""
    return Day(when.replace(tzinfo=None) if isinstance(when, datetime) else when)


def within(title: str) -> Within:
    """A title that the catalogues hold, to stand within a sentence."""
    return Within(title)


def starting(text: str) -> Starting:
    """A text to begin a sentence with."""
    return Starting(text)


def sentences(first: str, *more: str) -> str:
    """Sentences one after the other; empty ones are left out."""
    told = [text for text in (first, *more) if text]
    joined = told[0] if told else ""
    for text in told[1:]:
        joined = said("{before} {after}", before=joined, after=text)
    return joined


def amount(value: object, unit: str) -> str:
    """A number with its unit, where it has one."""
    number = value if isinstance(value, str) else figure(value) if isinstance(value, Decimal | float) else str(value)
    return row((number, unit), " ") if unit else number


def give_or_take(number: str, doubt: str) -> str:
    """A number and what it may be out by, "" where that is not known."""
    return row((number, "±", doubt), " ") if doubt else number


def some_of(names: Sequence[str], most: int = 3) -> str:
    """The first few of many names, and how many more there are."""
    shown = row(names[:most])
    return said("{some} and {n} more", some=shown, n=len(names) - most) if len(names) > most else shown


def figure(value: Decimal | float, spec: str = "") -> Figure:
    """A number to be written the way of the reader's language."""
    return Figure(value, spec)


def either(choices: Iterable[str]) -> str:
    """One of several, as a sentence names them: `a or b`."""
    first, *more = choices
    for other in more:
        first = said("{one} or {other}", one=first, other=other)
    return first


def row(parts: Iterable[object], between: str = ", ") -> Row:
    """Texts one after the other: a list, where nothing else is said."""
    return Row((part if isinstance(part, str) else str(part) for part in parts), between)


def reworded(text: str, change: Callable[[str], str]) -> str:
    """The text as `change` would have it: what stands in the places is changed, the templates are not.

    Where that leaves something to change (a word that template and value make together), it is plain text.
    """
    if not isinstance(text, Sayable):
        return change(text)
    made = _within(text, change)
    left = change(str(made))
    return made if left == str(made) else left


def _within(text: Any, change: Callable[[str], str]) -> Any:
    if isinstance(text, Said):
        return Said(text.template, {k: _within(v, change) for k, v in text.values.items()}, text.many, text.n)
    if isinstance(text, Row):
        return Row((_within(part, change) for part in text.parts), text.between)
    if isinstance(text, Starting):
        return Starting(_within(text.text, change))
    if isinstance(text, str) and not isinstance(text, Sayable | StrEnum):
        return change(text)
    return text
