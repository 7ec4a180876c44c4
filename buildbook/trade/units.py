"""Units of measurement: kept as written, computed in SI.

The arithmetic is pint's, in decimal numbers, so that 0.3 mil is 7.62 µm and not 7.619999. This module adds
the spellings a workshop writes (``lb-ft``, ``Nm``, ``"``, ``um``), names the dimension in words, and refuses
with a remedy. pint is imported on first use because its start costs more than a whole check of a small job.

Factors are exact by definition: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s², 1 mi = 5280 ft
(international yard and pound agreement of 1959; BIPM SI Brochure; values from memory, check NIST SP 811).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from functools import cache
from typing import TYPE_CHECKING, Any

from buildbook.records.said import row, said, word

from .faults import UnitError
from .unit_table import UNIT_ROWS

if TYPE_CHECKING:
    from pint import UnitRegistry

_WORKING = Context(prec=50)
_RESULT = Context(prec=28)
_SEPARATORS = re.compile(r"[\s·⋅∙•×*.\-‐‑‒–−_]+")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: the symbol we print, the expression pint computes with, and its dimension in words."""

    symbol: str
    expression: str
    dimension: str
    affine: bool = False

    def __str__(self) -> str:
        return self.symbol


_UNITS: dict[str, Unit] = {u.symbol: Unit(u.symbol, u.expression, u.dimension, u.affine) for u in UNIT_ROWS}


def _key(text: str) -> str:
    """Spelling without the differences that carry no meaning: composed forms, separators, primes."""
    plain = unicodedata.normalize("NFKC", text).replace("μ", "µ")
    plain = plain.replace("′", "'").replace("’", "'").replace("”", '"').replace("''", '"')
    return _SEPARATORS.sub("", plain)


def _index() -> tuple[dict[str, Unit], dict[str, Unit]]:
    exact: dict[str, Unit] = {}
    folded: dict[str, Unit] = {}
    for entry in UNIT_ROWS:
        for spelling in (entry.symbol, *entry.spellings):
            key = _key(spelling)
            if key in exact and exact[key].symbol != entry.symbol:
                raise AssertionError(f"unit spelling {spelling!r} stands for two units")
            exact[key] = _UNITS[entry.symbol]
            folded.setdefault(key.casefold(), _UNITS[entry.symbol])
    return exact, folded


_EXACT, _FOLDED = _index()


def known_units() -> tuple[Unit, ...]:
    """Every unit understood, in table order."""
    return tuple(_UNITS.values())


def parse_unit(text: str) -> Unit:
    """The unit meant by ``text`` (``"µm"``, ``"Nm"``, ``"lb-ft"``, ``""`` for a plain number or grade).

    Upper and lower case matter first and are forgiven second. Raises :class:`UnitError` with a remedy.
    """
    key = _key(text)
    found = _EXACT.get(key) or _FOLDED.get(key.casefold())
    if found is None:
        raise UnitError(
            said("The unit {unit} is not known.", unit=repr(text)),
            said("Write one of: {known}.", known=row(u.symbol for u in _UNITS.values() if u.symbol)),
        )
    return found


def _unit(unit: Unit | str) -> Unit:
    return unit if isinstance(unit, Unit) else parse_unit(unit)


def dimension_of(unit: Unit | str) -> str:
    """The dimension in words: ``length``, ``torque``, ``pressure``, ``temperature``, ``gloss``, ..."""
    return _unit(unit).dimension


def same_dimension(unit: Unit | str, other: Unit | str) -> bool:
    """Whether one unit can be converted into the other."""
    return _unit(unit).dimension == _unit(other).dimension


@cache
def registry() -> UnitRegistry[Any]:
    """pint's registry in decimal numbers; built once, under the working precision."""
    import pint

    with localcontext(_WORKING):
        reg: UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Decimal)
        # A gloss unit and a grade are plain numbers by their standards; kept apart so that nobody adds them.
        reg.define("gloss_unit = [gloss]")
        reg.define("grade_step = [grade]")
        reg.define("ph_step = [acidity]")
        reg.define("inch_32nd = inch / 32")
        reg.define("part_per_billion = 1e-9")
    return reg


@cache
def _line(source: Unit, target: Unit) -> tuple[Decimal, Decimal]:
    """Slope and offset of the conversion, at working precision."""
    reg = registry()
    with localcontext(_WORKING):
        if source.affine:
            zero = Decimal(reg.Quantity(Decimal(0), source.expression).to(target.expression).magnitude)
            hundred = Decimal(reg.Quantity(Decimal(100), source.expression).to(target.expression).magnitude)
            return (hundred - zero) / 100, zero
        one = reg.Quantity(Decimal(1), source.expression).to(target.expression)
        return Decimal(one.magnitude), Decimal(0)


def _tidy(value: Decimal) -> Decimal:
    """28 significant digits, no trailing zeros, never in powers of ten."""
    rounded = _RESULT.plus(value)
    if rounded == rounded.to_integral_value() and abs(rounded) < Decimal(10) ** 27:
        return rounded.quantize(Decimal(1), context=_RESULT)
    return rounded.normalize(_RESULT)


def _checked(value: Decimal, source: Unit, target: Unit) -> None:
    if not value.is_finite():
        raise UnitError(
            said("{value} is not a number that can be converted.", value=value), said("Write the value as measured.")
        )
    if source.dimension != target.dimension:
        raise UnitError(_unlike(source, target), _write_as(target))


def _unlike(unit: Unit, asked: Unit) -> str:
    if not unit.symbol:
        return said("This is a plain number, but {asked} is asked for.", asked=word(asked.dimension))
    return said(
        "{unit} is a unit of {dimension}, but {asked} is asked for.",
        unit=unit.symbol,
        dimension=word(unit.dimension),
        asked=word(asked.dimension),
    )


def _write_as(target: Unit) -> str:
    if not target.symbol:
        return said("Write the value without a unit.")
    return said("Write the value in a unit of {dimension}.", dimension=word(target.dimension))


def convert(value: Decimal, unit: Unit | str, to: Unit | str) -> Decimal:
    """``value`` in ``unit``, expressed in ``to``, to 28 significant digits.

    Temperatures convert with their zero (212 °F is 100 °C). Raises :class:`UnitError` when the units do not
    measure the same thing or the value is not finite.
    """
    source, target = _unit(unit), _unit(to)
    _checked(value, source, target)
    if source == target:
        return value
    slope, offset = _line(source, target)
    with localcontext(_WORKING):
        found = value * slope + offset
        # 5/9 has no finite decimal: what it leaves near zero (32 °F) is cut off well below any thermometer.
        return _tidy(round(found, 30) if source.affine and abs(found) < 10**6 else found)


def convert_difference(value: Decimal, unit: Unit | str, to: Unit | str) -> Decimal:
    """A difference, tolerance or uncertainty in ``unit``, expressed in ``to`` (9 °F apart is 5 °C apart)."""
    source, target = _unit(unit), _unit(to)
    _checked(value, source, target)
    if source == target:
        return value
    slope, _ = _line(source, target)
    with localcontext(_WORKING):
        return _tidy(value * slope)


def plausible_other_unit(
    value: Decimal,
    unit: Unit | str,
    low: Decimal | None,
    high: Decimal | None,
    candidates: Iterable[Unit | str],
    *,
    bounds_unit: Unit | str,
) -> tuple[Unit, ...]:
    """Which other units would put ``value`` between ``low`` and ``high`` (given in ``bounds_unit``).

    Empty when the value fits as written, when no bound is given, or when no candidate fits. Candidates of
    another dimension than the bounds are passed over. The answer is a question for a person ("did you mean
    mil?"), never a correction.
    """
    written, bounds = _unit(unit), _unit(bounds_unit)
    if low is None and high is None:
        return ()

    def fits(candidate: Unit) -> bool:
        found = convert(value, candidate, bounds)
        return (low is None or found >= low) and (high is None or found <= high)

    if written.dimension == bounds.dimension and fits(written):
        return ()
    others: list[Unit] = []
    for candidate in map(_unit, candidates):
        if candidate == written or candidate in others or candidate.dimension != bounds.dimension:
            continue
        if fits(candidate):
            others.append(candidate)
    return tuple(others)
