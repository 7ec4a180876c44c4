"""Photo facts to and from the plain values of JSON."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from decimal import Decimal
from typing import Any

from buildbook.records.photo import Looks, PhotoFacts
from buildbook.records.said import Figure, Said

_DEFAULTS = {f.name: f.default for f in fields(PhotoFacts)}
_INSTANTS = ("taken", "gps_time", "changed")
_SENTENCES = ("problem", "taken_problem")
_LOOKS = tuple(f.name for f in fields(Looks))


def to_plain(facts: PhotoFacts) -> dict[str, Any]:
    """The facts that differ from their default, instants as ISO 8601 text."""
    plain = {name: value for name, default in _DEFAULTS.items() if (value := getattr(facts, name)) != default}
    for name in _INSTANTS:
        if name in plain:
            plain[name] = plain[name].isoformat()
    for name in _SENTENCES:
        if name in plain:
            plain[name] = _packed(plain[name])
    if facts.looks is not None:
        plain["looks"] = [getattr(facts.looks, name) for name in _LOOKS]
    return plain


def from_plain(plain: dict[str, Any]) -> PhotoFacts:
    """The inverse of `to_plain`. Raises TypeError, ValueError for anything else."""
    values = dict(plain)
    for name in _INSTANTS:
        if name in values:
            values[name] = datetime.fromisoformat(values[name])
    for name in _SENTENCES:
        if name in values:
            values[name] = _unpacked(values[name])
    if "looks" in values:
        values["looks"] = Looks(**dict(zip(_LOOKS, values["looks"], strict=True)))
    if values.get("cards") is not None:
        values["cards"] = tuple(str(code) for code in values["cards"])
    return PhotoFacts(**values)


def _packed(value: object) -> Any:
    """A sentence with its template, so that it can still be said in another language."""
    if isinstance(value, Said):
        return {"said": value.template, "values": {name: _packed(v) for name, v in value.values.items()}}
    if isinstance(value, Figure):
        return {"figure": str(value.value), "spec": value.spec}
    return value


def _unpacked(plain: Any) -> Any:
    """The inverse. Raises TypeError, ValueError."""
    if not isinstance(plain, dict):
        return plain
    try:
        if "figure" in plain:
            return Figure(Decimal(plain["figure"]), plain["spec"])
        return Said(plain["said"], {name: _unpacked(v) for name, v in plain["values"].items()})
    except (ArithmeticError, AttributeError, LookupError) as reason:
        raise ValueError("no sentence") from reason
