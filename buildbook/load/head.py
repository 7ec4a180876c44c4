"""job.toml as records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from buildbook.load.build import all_fields, build
from buildbook.load.refused import shown
from buildbook.load.toml_file import Document
from buildbook.records.base import Record
from buildbook.records.finding import Raised
from buildbook.records.job import (
    Aftercare,
    Camera,
    Client,
    Editions,
    HistoryEntry,
    Instrument,
    Limit,
    Odometer,
    OpenItem,
    Pair,
    Person,
    Vehicle,
    Workshop,
)
from buildbook.records.place import Place
from buildbook.records.said import said

FILE = "job.toml"
_ONE: dict[str, type[Record]] = {
    "workshop": Workshop,
    "client": Client,
    "vehicle": Vehicle,
    "odometer": Odometer,
    "editions": Editions,
}
_MANY: dict[str, type[Record]] = {
    "people": Person,
    "history": HistoryEntry,
    "instruments": Instrument,
    "limits": Limit,
    "cameras": Camera,
    "open_items": OpenItem,
    "aftercare": Aftercare,
    "pairs": Pair,
}
_NAMED = {"people": "id", "instruments": "id", "kinds": "name"}


@dataclass(frozen=True, kw_only=True)
class _Head(Record):
    """The plain fields of a job: the table [job]."""

    number: str = ""
    title: str = ""
    brief: str = ""
    received: date | None = None
    handover: date | None = None
    timezone: str = "UTC"
    currency: str = ""
    language: str = "en"
    paper: str = "A4"


def time_zone(document: Document, raised: list[Raised]) -> tuple[tzinfo, bool]:
    """The job's time zone (UTC where none is given) and whether what is given is one."""
    name = document.data.get("job", {}).get("timezone", "UTC")
    found = named_zone(name)
    if found is None:
        says = said(
            "{zone} is no time zone of the IANA database, as Europe/Lisbon is. Times are read as UTC.", zone=shown(name)
        )
        raised.append(Raised("load.bad-value", Place(FILE, key="job.timezone"), says))
    return found or UTC, found is not None


def named_zone(name: str) -> tzinfo | None:
    """A time zone by its name in the IANA database, or None."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):  # what ZoneInfo raises on unknown names, odd ones, and folders
        return None


def head_fields(document: Document, zone: tzinfo, zone_known: bool, raised: list[Raised]) -> dict[str, Any]:
    """The fields of Job that job.toml gives, `bad` among them."""
    values = dict(document.data.get("job", {}))
    if not zone_known:
        del values["timezone"]
    head = build(_Head, Place(FILE, key="job"), values, document.bad_at("job"), zone, raised)
    fields: dict[str, Any] = {name: getattr(head, name) for name in all_fields(_Head)}
    bad = set(head.bad & all_fields(_Head))
    if not zone_known:
        bad.add("timezone")
    for key, kind in _ONE.items():
        fields[key] = build(kind, Place(FILE, key=key), document.data.get(key, {}), document.bad_at(key), zone, raised)
    for key, many in _MANY.items():
        fields[key] = tuple(build(many, p, v, b, zone, raised) for p, v, b in _items(document, key))
        if document.bad_at(key) is None:
            bad.add(key)
    fields["cameras"] = tuple(_camera(camera, raised) for camera in fields["cameras"])
    kinds = document.data.get("kinds", ())
    fields["custom_kinds"] = tuple(kind for n, kind in enumerate(kinds) if document.bad_at("kinds", n) == frozenset())
    if document.bad_at("kinds") is None or len(fields["custom_kinds"]) < len(kinds):
        bad.add("custom_kinds")
    fields["settings"] = dict(document.data.get("settings", {}))
    if document.bad_at("settings") is None or document.bad_at("settings"):
        bad.add("settings")
    fields["bad"] = frozenset(bad)
    _say_twice(document, raised)
    return fields


def _items(document: Document, key: str) -> Iterator[tuple[Place, Mapping[str, Any], frozenset[str] | None]]:
    for n, values in enumerate(document.data.get(key, ())):
        yield Place(FILE, key=f"{key}.{n + 1}"), values, document.bad_at(key, n)


def _camera(camera: Camera, raised: list[Raised]) -> Camera:
    if not camera.timezone or named_zone(camera.timezone) is not None:
        return camera
    says = said("{zone} is no time zone of the IANA database, as Europe/Lisbon is.", zone=shown(camera.timezone))
    raised.append(Raised("load.bad-value", camera.place.at("timezone"), says))
    fields = {name: getattr(camera, name) for name in all_fields(Camera) - {"timezone"}}
    return Camera(place=camera.place, bad=camera.bad | {"timezone"}, **fields)


def _say_twice(document: Document, raised: list[Raised]) -> None:
    for key, name_key in _NAMED.items():
        first: dict[str, int] = {}
        for n, values in enumerate(document.data.get(key, ()), start=1):
            name = values.get(name_key)
            if name is None:
                continue
            if name in first:
                says = said(
                    "{name} is there already ({key}): what refers to it could mean either.",
                    name=shown(name),
                    key=f"{key}.{first[name]}",
                )
                raised.append(Raised("load.duplicate-id", Place(FILE, key=f"{key}.{n}.{name_key}"), says))
            first.setdefault(name, n)
