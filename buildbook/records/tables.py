"""Records of the tables, of steps, and of earlier issues."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property

from buildbook.records.base import Record, When
from buildbook.records.words import (
    KEPT,
    REFURBISHED,
    Action,
    Decision,
    MaterialKind,
    Operation,
    Outcome,
    ReadingStage,
    Source,
)
from buildbook.records.zones import CRITICAL_GROUPS, zone


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
class Cure(Record):
    """What a sheet asks of a cure by heat: so many minutes with the metal at that temperature or above.

    unit: of the temperature, °C where none is written. unbroken: the minutes count only in one stretch. Air in a
    booth runs ahead of the panel, so only readings of kind metal_temperature are held against it.
    """

    metal_temperature_min: Decimal | None = None
    unit: str = ""
    minutes: Decimal | None = None
    unbroken: bool = False
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Recoat(Record):
    """The window in which a coat may follow the one beneath it.

    after: when the coat beneath ended; after_step: or the step it ended with. began: when this coat began, the start
    of its step where none is written. abraded: the coat beneath was abraded first, as a closed window asks.
    """

    coat: str = ""
    after: When | None = None
    after_step: str = ""
    began: When | None = None
    not_before_minutes: Decimal | None = None
    not_after_hours: Decimal | None = None
    abraded: bool = False
    source: str = ""


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
    cure: Cure | None = None
    recoats: tuple[Recoat, ...] = ()

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
    archive_sha256: str = ""  # of the list of payload digests of its archive
