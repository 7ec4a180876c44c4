"""From validated text to the frozen records, field by field, as each field's type asks."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Callable, Hashable, Mapping, Sequence
from datetime import date, datetime, tzinfo
from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar, cast

from buildbook.load.refused import shown
from buildbook.load.values import date_hint, split_list, to_date, to_decimal, to_when
from buildbook.records.base import Record
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.records.written import field_name

R = TypeVar("R", bound=Record)
Convert = Callable[[Any, tzinfo], Any]

_SET_BY_US = frozenset({"place", "bad"})


def all_fields(kind: type[Record]) -> frozenset[str]:
    """The names of every field that is read from a file."""
    return frozenset(f.name for f in dataclasses.fields(kind)) - _SET_BY_US


def build(
    kind: type[R],
    place: Place,
    values: Mapping[str, Any],
    bad: frozenset[str] | None,
    zone: tzinfo,
    raised: list[Raised],
    **more: Any,
) -> R:
    """A record from values that its schema allows.

    values: by column or key; what the record has no field for is passed over. bad: columns or keys that cannot be
    read, None if nothing can. zone: of times without an offset. more: fields set by the caller. A value that only
    turns out wrong here (30 February at noon) is a finding, and joins the bad ones.
    """
    converters = _converters(cast(Any, kind))
    fields: dict[str, Any] = {}
    unread = {field_name(kind, b) for b in bad} | (bad & all_fields(kind)) if bad is not None else set(all_fields(kind))
    for written, value in values.items():
        name = field_name(kind, written)
        convert = converters.get(name)
        if convert is None or name in unread or name in more:
            continue
        try:
            fields[name] = convert(value, zone)
        except (ValueError, ArithmeticError, OverflowError):
            raised.append(_late(place.at(written), value, convert))
            unread.add(name)
    return kind(place=place, bad=frozenset(unread - more.keys()), **fields, **more)


def _late(place: Place, value: object, convert: Convert) -> Raised:
    if convert in (_date, _when):
        says = said("{value} is no day or time that there is. {hint}", value=shown(value), hint=date_hint(str(value)))
        return Raised("load.bad-date", place, says)
    return Raised("load.bad-value", place, said("{value} cannot be read.", value=shown(value)))


@cache
def _converters(kind: Hashable) -> Mapping[str, Convert]:
    hints = typing.get_type_hints(kind)  # a record class
    found = {name: _converter(hints[name]) for name in hints.keys() - _SET_BY_US}
    return {name: convert for name, convert in found.items() if convert is not None}


def _converter(hint: Any) -> Convert | None:
    """How a field of that type is read; None for fields that the caller fills."""
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        kinds = set(typing.get_args(hint)) - {type(None)}
        if kinds == {date, datetime}:
            return _when
        return _converter(kinds.pop()) if len(kinds) == 1 else None
    if origin is tuple and typing.get_args(hint) == (str, ...):
        return _texts
    if isinstance(hint, type):
        if issubclass(hint, StrEnum):
            return _words(hint)
        return _PLAIN.get(hint)
    return None


def _text(value: Any, zone: tzinfo) -> str:
    return str(value)


def _whole(value: Any, zone: tzinfo) -> int:
    return int(value)


def _yes(value: Any, zone: tzinfo) -> bool:
    return value is True


def _number(value: Any, zone: tzinfo) -> Decimal:
    return to_decimal(value)


def _date(value: Any, zone: tzinfo) -> date:
    return to_date(str(value))


def _when(value: Any, zone: tzinfo) -> date | datetime:
    return to_when(str(value), zone)


def _texts(value: Any, zone: tzinfo) -> tuple[str, ...]:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return tuple(dict.fromkeys(str(v) for v in value))
    return split_list(str(value))


@cache
def _words(kind: type[StrEnum]) -> Convert:
    return lambda value, zone: kind(value)


_PLAIN: dict[type, Convert] = {str: _text, int: _whole, bool: _yes, Decimal: _number, date: _date}
