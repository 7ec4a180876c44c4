"""What a kind of reading is: the record behind each row of the table of kinds."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, get_args

from buildbook.records.said import row, said, within

from .faults import UnitError
from .units import Unit, convert, parse_unit

#: Groups of places on the vehicle; a test holds them equal to the record's table of zones.
ZoneGroup = Literal[
    "whole", "panel", "glass", "lamp", "trim", "wheel", "tyre", "brake", "steering", "suspension", "fuel",
    "restraint", "lifting", "engine", "electrical", "structure", "underside", "interior",
]  # fmt: skip
#: How a value of the kind is judged: against an upper limit, a lower limit, both, its course over time,
#: a grade of a published scale, or not at all.
Judged = Literal["upper", "lower", "range", "trend", "grade", "none"]
#: How the value is written: a number; three numbers L*, a*, b*; a code kept as text; a grade of a scale;
#: an odometer reading.
ValueForm = Literal["number", "lab", "code", "grade", "odometer"]

ZONE_GROUPS: tuple[str, ...] = get_args(ZoneGroup)
JUDGED: tuple[str, ...] = get_args(Judged)
VALUE_FORMS: tuple[str, ...] = get_args(ValueForm)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of reading.

    ``quantity`` is the dimension in words, ``si_unit`` the SI unit (with prefix) it is computed in and
    ``units`` the accepted ones, all as printed symbols. ``hard_low``/``hard_high`` (in ``si_unit``) bound
    what is possible at all: beyond them a value is refused. ``typical_low``/``typical_high`` bound the
    usual: a value outside that would be usual in another unit is queried as a unit slip; they judge
    nothing. The bounds are common practice without a source unless the scale itself sets them. ``zones``
    is empty where the kind makes sense anywhere. ``source`` carries its mark in square brackets. ``own``: described
    by the job, not in the table.
    """

    name: str
    title: str
    quantity: str
    si_unit: str
    units: tuple[str, ...]
    instruments: tuple[str, ...]
    zones: tuple[ZoneGroup, ...]
    judged: Judged
    source: str
    hard_low: Decimal | None = None
    hard_high: Decimal | None = None
    typical_low: Decimal | None = None
    typical_high: Decimal | None = None
    caution: str | None = None
    value_form: ValueForm = "number"
    own: bool = False

    @property
    def within(self) -> str:
        """How a sentence names the kind; a title of the workshop's own stays as written."""
        return self.title.lower() if self.own else within(self.title)

    def accepts(self, unit: Unit | str) -> bool:
        """Whether a value in ``unit`` may be recorded. Raises UnitError where the unit is unknown."""
        symbol = unit.symbol if isinstance(unit, Unit) else parse_unit(unit).symbol
        return symbol in self.units

    def to_si(self, value: Decimal, unit: Unit | str) -> Decimal:
        """``value`` in :attr:`si_unit`. Raises UnitError where the unit is not accepted for this kind."""
        written = unit if isinstance(unit, Unit) else parse_unit(unit)
        if not self.accepts(written):
            allowed = row(u for u in self.units if u) or said("no unit")
            raise UnitError(
                said(
                    "{unit} is not a unit for {kind}.", unit=written.symbol or said("A plain number"), kind=self.within
                ),
                said("Write the value with its unit: {units}.", units=allowed),
            )
        return convert(value, written, self.si_unit)

    def impossible(self, value_si: Decimal) -> bool:
        """Whether a value (in :attr:`si_unit`) lies beyond what is possible at all."""
        return (self.hard_low is not None and value_si < self.hard_low) or (
            self.hard_high is not None and value_si > self.hard_high
        )
