"""Records made directly, for tests of rules: each maker gives a sound record, keywords change it."""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

from buildbook.records.job import (
    Approval,
    Client,
    Instrument,
    Job,
    Limit,
    Material,
    Observation,
    Odometer,
    Part,
    Person,
    Reading,
    Receipt,
    Step,
    Vehicle,
    Workshop,
)
from buildbook.records.photo import FileEntry, Photo, PhotoFacts
from buildbook.records.place import Place
from buildbook.records.words import Action, Body, Decision, Operation, ReadingStage, Source, Stage

UTC = UTC
CET = timezone(timedelta(hours=1))


def key(name: str, file: str = "job.toml") -> Place:
    """A place in a TOML file."""
    return Place(file, key=name)


def row(file: str, number: int = 2) -> Place:
    """A place in a table."""
    return Place(file, row=number)


def sha(text: str) -> str:
    """A digest that stands for content."""
    return hashlib.sha256(text.encode()).hexdigest()


def step(**changes: Any) -> Step:
    given: dict[str, Any] = {
        "place": Place("steps/010-polish/step.toml"), "id": "010-polish", "number": 10, "title": "Polish the bonnet",
        "zones": ("bonnet",), "operation": Operation.POLISH, "started": date(2026, 3, 3), "finished": date(2026, 3, 4),
        "done_by": ("AB",), "work_done": "Two stages, by hand.", "outcome": "Clear.", "approvals": ("A1",),
    }  # fmt: skip
    return Step(**(given | changes))


def photo(path: str = "steps/010-polish/before/one.jpg", facts: PhotoFacts | None = None, **changes: Any) -> Photo:
    """A photo, filed by its path as the loader would; facts default to a good picture without a time."""
    parts = path.split("/")
    given: dict[str, Any] = {"path": path, "size": 1000, "sha256": sha(path)}
    if parts[0] == "steps":
        given |= {"step": parts[1], "stage": Stage(parts[2])}
    return Photo(**(given | {"facts": facts or picture()} | changes))


def picture(**changes: Any) -> PhotoFacts:
    given: dict[str, Any] = {
        "format": "JPEG", "width": 4000, "height": 3000, "camera": "Lumet P1", "has_exif": True,
        "taken": datetime(2026, 3, 3, 10, 0),
    }  # fmt: skip
    return PhotoFacts(**(given | changes))


def reading(**changes: Any) -> Reading:
    """A film thickness of 118 µm on the bonnet at intake; `value` sets the text as well."""
    if "value" in changes and changes["value"] is not None:
        changes["value"] = Decimal(changes["value"])
        changes.setdefault("value_text", str(changes["value"]))
    given: dict[str, Any] = {
        "place": row("readings.csv"), "id": "R001", "stage": ReadingStage.INTAKE, "zone": "bonnet", "point": "1",
        "kind": "film_thickness", "value": Decimal(118), "value_text": "118", "unit": "µm", "instrument": "G1",
        "by": "AB", "on": date(2026, 3, 2),
    }  # fmt: skip
    return Reading(**(given | changes))


def instrument(**changes: Any) -> Instrument:
    given: dict[str, Any] = {
        "place": key("instruments.1"), "id": "G1", "what": "coating thickness gauge", "maker": "Tessera",
        "serial": "0042", "calibrated_on": date(2026, 1, 10), "interval_months": 12,
    }  # fmt: skip
    return Instrument(**(given | changes))


def limit(**changes: Any) -> Limit:
    given: dict[str, Any] = {
        "place": key("limits.1"), "kind": "film_thickness", "min": Decimal(80), "max": Decimal(200), "unit": "µm",
        "source": "agreed with the client",
    }  # fmt: skip
    return Limit(**(given | changes))


def approval(**changes: Any) -> Approval:
    given: dict[str, Any] = {
        "place": row("approvals.csv"), "id": "A1", "on": date(2026, 3, 2), "what": "Polish the bonnet",
        "decision": Decision.APPROVED, "given_by": "Client", "means": "letter",
    }  # fmt: skip
    return Approval(**(given | changes))


def part(**changes: Any) -> Part:
    given: dict[str, Any] = {
        "place": row("parts.csv"), "id": "P1", "action": Action.REPLACE, "what": "Badge", "zone": "bonnet",
        "part_number": "0012-7", "quantity": Decimal(1), "source": Source.GENUINE, "stated_by": "AB",
        "supplier": "Orrin Spares", "receipt": "documents/receipt.pdf", "total": Decimal("10.00"), "currency": "EUR",
        "step": "010-polish", "fitted_on": date(2026, 3, 4), "why": "broken", "old_part": "returned to the client",
        "approval": "A1", "photos": ("steps/010-polish/after/one.jpg",),
    }  # fmt: skip
    return Part(**(given | changes))


def material(**changes: Any) -> Material:
    given: dict[str, Any] = {
        "place": row("materials.csv"), "id": "M1", "maker": "Vantor", "name": "Fine polish", "batch": "0071",
        "steps": ("010-polish",),
    }  # fmt: skip
    return Material(**(given | changes))


def receipt(**changes: Any) -> Receipt:
    given: dict[str, Any] = {"place": row("receipts.csv"), "document": "documents/receipt.pdf", "currency": "EUR"}
    return Receipt(**(given | changes))


def observation(**changes: Any) -> Observation:
    given: dict[str, Any] = {"place": row("condition.csv"), "id": "O1", "zone": "bonnet", "what": "Scratches"}
    return Observation(**(given | changes))


def person(**changes: Any) -> Person:
    return Person(**({"place": key("people.1"), "id": "AB", "name": "Anneke Brandt", "role": "painter"} | changes))


def document(path: str = "documents/receipt.pdf", size: int = 1000) -> FileEntry:
    return FileEntry(path=path, size=size, sha256=sha(path))


def job(**changes: Any) -> Job:
    """A job with nobody's work in it: received 2026-03-02, handed over 2026-03-20, checked that day."""
    given: dict[str, Any] = {
        "place": Place("job.toml", key="job"), "number": "J-1", "title": "Bonnet", "brief": "Scratches",
        "received": date(2026, 3, 2), "handover": date(2026, 3, 20), "timezone": "Europe/Berlin", "currency": "EUR",
        "as_of": date(2026, 3, 20),
        "workshop": Workshop(place=key("workshop"), name="Werkstatt Falk"),
        "client": Client(place=key("client"), name="R. Moreau"),
        "vehicle": Vehicle(place=key("vehicle"), marque="Arvane", model="Tourer", body=Body.ESTATE, built=1972),
        "odometer": Odometer(place=key("odometer"), reading_in=61200, reading_out=61204, unit="km"),
        "people": (person(),), "instruments": (instrument(),), "approvals": (approval(),),
    }  # fmt: skip
    return Job(**(given | changes))


def codes(raised: Any) -> list[str]:
    """The codes raised, in order."""
    return [r.code for r in raised]
