"""The record: frozen, typed, each with the place it was read from.

Fields are None (or empty) where the folder does not say, or where what it says could not be read: in that
case the loader raised a finding and the field's name is in `bad`, so that rules do not complain twice.
Numbers are Decimal, never float; names that look like numbers are text.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property

from buildbook.records.photo import FileEntry, Photo
from buildbook.records.place import Place
from buildbook.records.words import (
    KEPT,
    REFURBISHED,
    Action,
    Basis,
    Body,
    Decision,
    MaterialKind,
    Operation,
    Outcome,
    ReadingStage,
    Source,
)
from buildbook.records.zones import CRITICAL_GROUPS, zone

When = date | datetime  # a day, or an instant with its offset


@dataclass(frozen=True, kw_only=True)
class Record:
    """Base: the place of the record and the fields that were given but unreadable."""

    place: Place
    bad: frozenset[str] = frozenset()

    def lacks(self, field_name: str) -> bool:
        """True if the field was not given at all (a given but unreadable one has its own finding)."""
        value = getattr(self, field_name)
        return (value is None or value in ("", ())) and field_name not in self.bad


@dataclass(frozen=True, kw_only=True)
class Workshop(Record):
    """Who did the work."""

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    registration: str = ""


@dataclass(frozen=True, kw_only=True)
class Client(Record):
    """For whom. Private: kept out of editions meant for strangers."""

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""


@dataclass(frozen=True, kw_only=True)
class Person(Record):
    """Somebody who works on, checks or decides about the vehicle; `id` is what tables use (initials)."""

    id: str = ""
    name: str = ""
    role: str = ""
    qualification: str = ""


@dataclass(frozen=True, kw_only=True)
class Vehicle(Record):
    """Identity, as stamped. Numbers are kept as written; photos are paths relative to the job folder."""

    marque: str = ""
    model: str = ""
    body: Body | None = None
    built: int | None = None
    first_registered: date | None = None
    market: str = ""  # "north-america", "europe", "japan", "other"
    chassis_number: str = ""
    chassis_number_photo: str = ""
    engine_number: str = ""
    engine_number_photo: str = ""
    gearbox_number: str = ""
    registration: str = ""
    colour: str = ""
    paint_code: str = ""
    seats: int | None = None
    notes: str = ""


@dataclass(frozen=True, kw_only=True)
class Odometer(Record):
    """Readings of the car's own instrument. unit: "km" or "mi". digits: wheels of the counter."""

    reading_in: int | None = None
    reading_out: int | None = None
    unit: str = ""
    digits: int | None = None
    photo_in: str = ""
    photo_out: str = ""
    statement: str = ""  # e.g. "replaced 1988 at 61,200 km, per owner"


@dataclass(frozen=True, kw_only=True)
class HistoryEntry(Record):
    """Provenance: one statement about the car's past and what it rests on."""

    on: str = ""  # a date or a year, as known
    what: str = ""
    basis: Basis | None = None
    document: str = ""
    odometer: int | None = None


@dataclass(frozen=True, kw_only=True)
class Instrument(Record):
    """A measuring instrument and its calibration."""

    id: str = ""
    what: str = ""
    maker: str = ""
    serial: str = ""
    calibrated_on: date | None = None
    interval_months: int | None = None
    certificate: str = ""


@dataclass(frozen=True, kw_only=True)
class Limit(Record):
    """A limit for readings of a kind (and zone) that state none of their own. Inclusive on both ends."""

    kind: str = ""
    zone: str = ""  # "" = any zone
    min: Decimal | None = None
    max: Decimal | None = None
    unit: str = ""
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Camera(Record):
    """A camera's clock. ahead_s: seconds its clock is ahead of true time; timezone: what it was set to."""

    model: str = ""
    ahead_s: int | None = None
    timezone: str = ""
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class OpenItem(Record):
    """Something left undone or unknown, said openly."""

    what: str = ""
    why: str = ""
    advice: str = ""
    zone: str = ""


@dataclass(frozen=True, kw_only=True)
class Aftercare(Record):
    """Something due after handover. due_days / due_distance count from handover; unit of distance: odometer's."""

    what: str = ""
    due_on: date | None = None
    due_days: int | None = None
    due_distance: int | None = None
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Observation(Record):
    """Something seen on the car at intake. Grades 0 (none) to 5 (severe), after the form of ISO 4628-1."""

    id: str = ""
    zone: str = ""
    what: str = ""
    grade_in: Decimal | None = None
    note: str = ""
    photos: tuple[str, ...] = ()
    outcome: Outcome | None = None
    outcome_refs: tuple[str, ...] = ()  # step, part line or approval
    grade_out: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class Approval(Record):
    """What the client agreed to, when and how."""

    id: str = ""
    on: date | None = None
    what: str = ""
    decision: Decision | None = None
    given_by: str = ""
    means: str = ""
    document: str = ""


@dataclass(frozen=True, kw_only=True)
class Part(Record):
    """One row of the parts register. price: for one; total: for the line, before tax."""

    id: str = ""
    action: Action | None = None
    what: str = ""
    zone: str = ""
    part_number: str = ""
    quantity: Decimal | None = None
    source: Source | None = None
    stated_by: str = ""
    supplier: str = ""
    receipt: str = ""  # path of a document
    price: Decimal | None = None
    total: Decimal | None = None
    currency: str = ""
    step: str = ""
    fitted_on: date | None = None
    why: str = ""
    old_part: str = ""  # where the old part went
    approval: str = ""
    photos: tuple[str, ...] = ()

    @property
    def replaced(self) -> bool:
        return self.action is Action.REPLACE

    @property
    def kept(self) -> bool:
        return self.action in KEPT

    @property
    def refurbished(self) -> bool:
        return self.action in REFURBISHED


@dataclass(frozen=True, kw_only=True)
class Receipt(Record):
    """What a receipt says: parts lines (net) + other + tax = total."""

    document: str = ""
    supplier: str = ""
    number: str = ""
    on: date | None = None
    net: Decimal | None = None
    other: Decimal | None = None
    tax: Decimal | None = None
    total: Decimal | None = None
    currency: str = ""


@dataclass(frozen=True, kw_only=True)
class Material(Record):
    """Paint, coating, cleaner, fluid, with its batch."""

    id: str = ""
    kind: MaterialKind | None = None
    maker: str = ""
    name: str = ""
    batch: str = ""
    expires: date | None = None
    steps: tuple[str, ...] = ()
    data_sheet: str = ""


@dataclass(frozen=True, kw_only=True)
class Reading(Record):
    """One measured value, as written and as a number.

    detail: what the kind needs besides the value: bolt size and class, fluid grade, viewing angle.
    expanded_uncertainty: U (k = 2), in `unit`. exception: why a value outside its limits was accepted.
    """

    id: str = ""
    stage: ReadingStage | None = None
    step: str = ""
    zone: str = ""
    point: str = ""
    kind: str = ""
    value_text: str = ""
    value: Decimal | None = None  # None for codes and colour triples
    unit: str = ""
    detail: str = ""
    instrument: str = ""
    by: str = ""
    on: When | None = None
    expanded_uncertainty: Decimal | None = None
    limit_min: Decimal | None = None
    limit_max: Decimal | None = None
    limit_source: str = ""
    exception: str = ""
    approval: str = ""


@dataclass(frozen=True, kw_only=True)
class Pair(Record):
    """A before and an after photo of the same view, by path relative to the step folder."""

    before: str = ""
    after: str = ""
    caption: str = ""


@dataclass(frozen=True, kw_only=True)
class Caption(Record):
    """A caption (and zone) for one photo or more of a step; file: path or glob relative to the step folder."""

    file: str = ""
    text: str = ""
    zone: str = ""


@dataclass(frozen=True, kw_only=True)
class Step(Record):
    """One piece of work. id: the folder's name; number: its leading digits as an integer."""

    id: str = ""
    number: int | None = None
    title: str = ""
    zones: tuple[str, ...] = ()
    operation: Operation | None = None
    started: When | None = None
    finished: When | None = None
    done_by: tuple[str, ...] = ()
    checked_by: tuple[str, ...] = ()
    work_done: str = ""
    outcome: str = ""
    cautions: tuple[str, ...] = ()
    approvals: tuple[str, ...] = ()
    no_before: str = ""  # why there is no photo of the state before
    no_after: str = ""
    pairs: tuple[Pair, ...] = ()
    captions: tuple[Caption, ...] = ()

    @cached_property
    def critical_groups(self) -> frozenset[str]:
        """Groups of safety-critical zones this step works on; looking only (intake, inspect) is not work."""
        if self.operation in (Operation.INTAKE, Operation.INSPECT, Operation.HANDOVER):
            return frozenset()
        found = (zone(name) for name in self.zones)
        return frozenset(z.group for z in found if z and z.group in CRITICAL_GROUPS)


@dataclass(frozen=True, kw_only=True)
class Issued(Record):
    """One earlier issue, from issued/NNN.json."""

    number: int = 0
    issued_on: date | None = None
    seal: str = ""
    previous_seal: str = ""
    dossier_sha256: str = ""
    record_sha256: str = ""


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
    files: tuple[FileEntry, ...] = ()  # every file of the record, sorted by path bytes

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

    def photos_of(self, step: Step) -> tuple[Photo, ...]:
        """The photos in a step's folders, in path order."""
        return self._photos_by_step.get(step.id, ())
