"""The record: frozen, typed, each with the place it was read from.

Fields are None (or empty) where the folder does not say, or where what it says could not be read: in that
case the loader raised a finding and the field's name is in `bad`, so that rules do not complain twice.
Numbers are Decimal, never float; names that look like numbers are text.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any

from buildbook.records.base import Record, When
from buildbook.records.head import (
    Aftercare,
    Camera,
    Client,
    Editions,
    HistoryEntry,
    Instrument,
    Limit,
    Odometer,
    OpenItem,
    Person,
    Vehicle,
    Workshop,
)
from buildbook.records.photo import FileEntry, OtherJob, Photo
from buildbook.records.place import Place
from buildbook.records.register import Registration
from buildbook.records.tables import (
    Approval,
    Caption,
    Cure,
    Issued,
    Material,
    Observation,
    Pair,
    Part,
    Reading,
    Receipt,
    Recoat,
    Step,
)

__all__ = [
    "Aftercare",
    "Approval",
    "Camera",
    "Caption",
    "Client",
    "Cure",
    "Editions",
    "HistoryEntry",
    "Instrument",
    "Issued",
    "Job",
    "Limit",
    "Material",
    "Observation",
    "Odometer",
    "OpenItem",
    "Pair",
    "Part",
    "Person",
    "Reading",
    "Receipt",
    "Recoat",
    "Record",
    "Step",
    "Vehicle",
    "When",
    "Workshop",
]


@dataclass(frozen=True, kw_only=True)
class Job(Record):
    """A whole job folder, read. as_of: the day of the check (the only date not from the folder)."""

    number: str = ""
    title: str = ""
    brief: str = ""  # why the car came in
    received: date | None = None
    handover: date | None = None
    timezone: str = "UTC"
    currency: str = ""
    language: str = "en"
    paper: str = "A4"
    as_of: date = date.min
    workshop: Workshop
    client: Client
    vehicle: Vehicle
    odometer: Odometer
    people: tuple[Person, ...] = ()
    history: tuple[HistoryEntry, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    limits: tuple[Limit, ...] = ()
    cameras: tuple[Camera, ...] = ()
    open_items: tuple[OpenItem, ...] = ()
    aftercare: tuple[Aftercare, ...] = ()
    pairs: tuple[Pair, ...] = ()  # of photos in different steps; paths relative to the job folder
    editions: Editions = field(default_factory=lambda: Editions(place=Place("job.toml", key="editions")))
    custom_kinds: tuple[dict[str, object], ...] = ()
    settings: dict[str, object] = field(default_factory=dict)
    observations: tuple[Observation, ...] = ()
    approvals: tuple[Approval, ...] = ()
    parts: tuple[Part, ...] = ()
    receipts: tuple[Receipt, ...] = ()
    materials: tuple[Material, ...] = ()
    readings: tuple[Reading, ...] = ()
    steps: tuple[Step, ...] = ()
    photos: tuple[Photo, ...] = ()
    documents: tuple[FileEntry, ...] = ()
    inbox: tuple[FileEntry, ...] = ()
    issued: tuple[Issued, ...] = ()
    register: tuple[Registration, ...] = ()  # when files came in, line by line
    files: tuple[FileEntry, ...] = ()  # every file of the record, sorted by path bytes
    elsewhere: tuple[OtherJob, ...] = ()  # other jobs whose photos this check compares with; not of this record

    @cached_property
    def people_by_id(self) -> dict[str, Person]:
        return {p.id: p for p in self.people if p.id}

    @cached_property
    def instruments_by_id(self) -> dict[str, Instrument]:
        return {i.id: i for i in self.instruments if i.id}

    @cached_property
    def approvals_by_id(self) -> dict[str, Approval]:
        return {a.id: a for a in self.approvals if a.id}

    @cached_property
    def parts_by_id(self) -> dict[str, Part]:
        return {p.id: p for p in self.parts if p.id}

    @cached_property
    def photos_by_path(self) -> dict[str, Photo]:
        return {p.path: p for p in self.photos}

    @cached_property
    def files_by_path(self) -> dict[str, FileEntry]:
        return {f.path: f for f in self.files}

    @cached_property
    def _steps_by_ref(self) -> dict[str, Step]:
        refs: dict[str, Step] = {}
        for step in self.steps:
            refs[step.id] = step
            if step.number is not None:
                refs.setdefault(str(step.number), step)
        return refs

    def step(self, ref: str) -> Step | None:
        """The step a table names: the folder's name, or its number with or without leading zeros."""
        if ref in self._steps_by_ref:
            return self._steps_by_ref[ref]
        return self._steps_by_ref.get(str(int(ref))) if ref.isascii() and ref.isdigit() else None

    @cached_property
    def _photos_by_step(self) -> dict[str, tuple[Photo, ...]]:
        found: dict[str, list[Photo]] = {}
        for photo in self.photos:
            found.setdefault(photo.step, []).append(photo)
        return {k: tuple(v) for k, v in found.items()}

    @cached_property
    def card_photos(self) -> tuple[Photo, ...]:
        """The photos that show a marker card."""
        return tuple(p for p in self.photos if p.facts.cards)

    @cached_property
    def worked_out(self) -> dict[tuple[object, ...], tuple[tuple[object, ...], Any]]:
        """What was worked out about this job already; no part of the record (rules/once.py)."""
        return {}

    def photos_of(self, step: Step) -> tuple[Photo, ...]:
        """The photos in a step's folders, in path order."""
        return self._photos_by_step.get(step.id, ())
