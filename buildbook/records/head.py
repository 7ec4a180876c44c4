"""Records of job.toml: workshop, people, vehicle, instruments, limits, what stays open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from buildbook.records.base import Record
from buildbook.records.words import Basis, Body


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
    """A camera's clock. ahead_s: seconds its clock is ahead of true time; timezone: what it was set to.

    serial: of one body, where several of a model are in use; "" speaks of all of them.
    """

    model: str = ""
    serial: str = ""
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
class Editions(Record):
    """What editions for others withhold beyond what they always do.

    private: names and other words that no stranger should read. withhold_photos: globs of photos, from the job folder,
    that show a plate or a person; None = not given, which means all photos of the whole vehicle.
    """

    private: tuple[str, ...] = ()
    withhold_photos: tuple[str, ...] | None = None
