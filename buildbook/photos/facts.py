"""Photo facts to and from the plain values of JSON."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from typing import Any

from buildbook.records.photo import Looks, PhotoFacts

_DEFAULTS = {f.name: f.default for f in fields(PhotoFacts)}
_INSTANTS = ("taken", "gps_time", "changed")
_LOOKS = tuple(f.name for f in fields(Looks))


def to_plain(facts: PhotoFacts) -> dict[str, Any]:
    """The facts that differ from their default, instants as ISO 8601 text."""
    plain = {name: value for name, default in _DEFAULTS.items() if (value := getattr(facts, name)) != default}
    for name in _INSTANTS:
        if name in plain:
            plain[name] = plain[name].isoformat()
    if facts.looks is not None:
        plain["looks"] = [getattr(facts.looks, name) for name in _LOOKS]
    return plain


def from_plain(plain: dict[str, Any]) -> PhotoFacts:
    """The inverse of `to_plain`. Raises TypeError, ValueError for anything else."""
    values = dict(plain)
    for name in _INSTANTS:
        if name in values:
            values[name] = datetime.fromisoformat(values[name])
    if "looks" in values:
        values["looks"] = Looks(**dict(zip(_LOOKS, values["looks"], strict=True)))
    if values.get("cards") is not None:
        values["cards"] = tuple(str(code) for code in values["cards"])
    return PhotoFacts(**values)
