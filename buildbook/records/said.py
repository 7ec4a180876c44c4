"""Sentences of the check that can be said in another language later.

Each is a `str`, its English text, and goes anywhere a text goes; beside it, it remembers its template and what stands
in the template's places. The dossier looks the template up in its catalogue; whatever else prints it, prints English.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal


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


def said(template: str, /, **values: object) -> Said:
    """A sentence, or a part of one, from a template with named places."""
    return Said(template, values)


def tallied(one: str, many: str, n: int, /, **values: object) -> Said:
    """A sentence that counts; `{n}` in it is the number."""
    return Said(one, {"n": n, **values}, many, n)


def word(text: str) -> Said:
    """A word of the program, known by its value and looked up as it is; marked for the catalogues where it is made."""
    return Said("{word}", {"word": text}) if "{" in text or "}" in text else Said(text, {})


def figure(value: Decimal | float, spec: str = "") -> Figure:
    """A number to be written the way of the reader's language."""
    return Figure(value, spec)


def row(parts: Iterable[object], between: str = ", ") -> Row:
    """Texts one after the other: a list, where nothing else is said."""
    return Row((part if isinstance(part, str) else str(part) for part in parts), between)
