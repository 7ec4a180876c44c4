"""Kinds of reading: the table, a job's own kinds beside it, and looking a name up in both.

The table itself is in :mod:`kind_table`, the record behind a row in :mod:`kind_model`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from typing import cast

from buildbook.marking import N_
from buildbook.records.said import either, row, said, sentences, word

from .faults import KindError, UnitError
from .kind_model import JUDGED, VALUE_FORMS, ZONE_GROUPS, Judged, Kind, ValueForm, ZoneGroup
from .kind_table import KINDS
from .units import parse_unit

__all__ = [
    "JUDGED",
    "KINDS",
    "UNSOURCED",
    "VALUE_FORMS",
    "ZONE_GROUPS",
    "Judged",
    "Kind",
    "ValueForm",
    "ZoneGroup",
    "kind",
    "make_kind",
]


def kind(name: str, extra: Sequence[Kind] = ()) -> Kind:
    """The kind called ``name``, from the table or from a job's own. Raises KindError, naming near matches."""
    for candidate in (*KINDS, *extra):
        if candidate.name == name:
            return candidate
    names = [k.name for k in (*KINDS, *extra)]
    near = get_close_matches(name.strip().lower().replace(" ", "_").replace("-", "_"), names, n=3, cutoff=0.5)
    hint = said("Did you mean {near}?", near=either(near)) if near else ""
    raise KindError(
        said("The kind of reading {kind} is not known.", kind=repr(name)),
        sentences(hint, said("Write one of the table's names, or describe the kind in job.toml.")),
    )


UNSOURCED = N_("the workshop's own kind [no source stated]")
_NAME = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
_KEYS = frozenset(
    (
        "name",
        "title",
        "unit",
        "units",
        "instruments",
        "zones",
        "judged",
        "source",
        "low",
        "high",
        "typical_low",
        "typical_high",
        "caution",
        "value_form",
    )
)


def _text(table: Mapping[str, object], key: str) -> str:
    value = table.get(key)
    if not isinstance(value, str) or not value.strip():
        raise KindError(
            said("The kind needs {key} as text.", key=repr(key)),
            said('Write {key} = "..." in its description.', key=key),
        )
    return value.strip()


def _texts(table: Mapping[str, object], key: str) -> tuple[str, ...]:
    value = table.get(key, ())
    is_list = isinstance(value, Sequence) and not isinstance(value, str)
    if not is_list or not all(isinstance(v, str) for v in cast("Sequence[object]", value)):
        raise KindError(
            said("{key} must be a list of texts.", key=repr(key)), said('Write {key} = ["...", "..."].', key=key)
        )
    return tuple(cast("Sequence[str]", value))


def _choice(table: Mapping[str, object], key: str, allowed: tuple[str, ...], default: str) -> str:
    value = table.get(key, default)
    if not isinstance(value, str) or value not in allowed:
        raise KindError(
            said("{key} cannot be {value}.", key=repr(key), value=repr(value)),
            said("Write one of: {known}.", known=row(allowed)),
        )
    return value


def _number(table: Mapping[str, object], key: str) -> Decimal | None:
    value = table.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float | str | Decimal):
        raise KindError(said("{key} must be a number.", key=repr(key)), _as_number(key))
    try:
        # A TOML float is taken by its shortest decimal text, which is what the person wrote.
        number = Decimal(str(value))
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite():
        raise KindError(said("{key} is {value}, not a number.", key=repr(key), value=repr(value)), _as_number(key))
    return number


def _as_number(key: str) -> str:
    return said("Write {key} = 0.5, in the kind's own unit.", key=key)


def _ordered(low: Decimal | None, high: Decimal | None, names: tuple[str, str]) -> None:
    if low is not None and high is not None and low > high:
        raise KindError(
            said("{one} and {other}: {low} is above {high}.", one=names[0], other=names[1], low=low, high=high),
            said("Write the smaller one as low."),
        )


def make_kind(table: Mapping[str, object], taken: Sequence[str] = ()) -> Kind:
    """A kind described by a workshop, from the plain mapping a TOML table gives.

    Needs ``name`` (lower case, words joined by ``_``), ``title`` and ``unit`` (any spelling; ``""`` for a
    plain number). May give ``units`` (further accepted ones, same dimension), ``low``/``high`` (beyond which
    a value is impossible) and ``typical_low``/``typical_high``, all in ``unit``; ``instruments``, ``zones``,
    ``judged``, ``value_form``, ``source``, ``caution``. ``taken`` lists names already in use by the job.
    Raises KindError or UnitError, each with a remedy.
    """
    unknown = sorted(str(key) for key in table if key not in _KEYS)
    if unknown:
        raise KindError(
            said("{keys} is not part of a kind's description.", keys=row(map(repr, unknown))),
            said("Use: {known}.", known=row(sorted(_KEYS))),
        )
    name = _text(table, "name")
    if not _NAME.fullmatch(name):
        raise KindError(
            said("The kind's name {kind} does not fit.", kind=repr(name)), said("Write lower-case words joined by _.")
        )
    if name in taken or any(name == known.name for known in KINDS):
        raise KindError(
            said("The kind {kind} exists already.", kind=repr(name)),
            said("Give the workshop's own kind another name."),
        )
    written = table.get("unit")
    if not isinstance(written, str):
        fix = said('Write unit = "mm", or unit = "" for a plain number.')
        raise KindError(said("The kind needs {key} as text.", key="'unit'"), fix)
    unit = parse_unit(written)
    units = [unit.symbol]
    for text in _texts(table, "units"):
        other = parse_unit(text)
        if other.dimension != unit.dimension:
            raise UnitError(
                said(
                    "{unit} measures {got}, not {expected}.",
                    unit=other.symbol or said("a plain number"),
                    got=word(other.dimension),
                    expected=word(unit.dimension),
                ),
                said("List only units of {dimension} for {kind}.", dimension=word(unit.dimension), kind=name),
            )
        if other.symbol not in units:
            units.append(other.symbol)
    zones = _texts(table, "zones")
    for zone in zones:
        if zone not in ZONE_GROUPS:
            raise KindError(
                said("{zone} is not a group of zones.", zone=repr(zone)),
                said("Write any of: {known}.", known=row(ZONE_GROUPS)),
            )
    low, high = _number(table, "low"), _number(table, "high")
    typical_low, typical_high = _number(table, "typical_low"), _number(table, "typical_high")
    _ordered(low, high, ("low", "high"))
    _ordered(typical_low, typical_high, ("typical_low", "typical_high"))
    return Kind(
        own=True,
        name=name,
        title=_text(table, "title"),
        quantity=unit.dimension,
        si_unit=unit.symbol,
        units=tuple(units),
        instruments=_texts(table, "instruments"),
        zones=cast("tuple[ZoneGroup, ...]", zones),
        judged=cast(Judged, _choice(table, "judged", JUDGED, "none")),
        source=_text(table, "source") if "source" in table else UNSOURCED,
        hard_low=low,
        hard_high=high,
        typical_low=typical_low,
        typical_high=typical_high,
        caution=_text(table, "caution") if "caution" in table else None,
        value_form=cast(ValueForm, _choice(table, "value_form", VALUE_FORMS, "number")),
    )
