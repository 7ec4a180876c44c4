"""Axes: round steps, limits that hold the data, and the way from values to points."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.dossier.drawings.numbers import MINUS, in_locale


def nice_step(rough: float) -> float:
    """The step of the form 1, 2 or 5 times a power of ten that is not below `rough`."""
    if rough <= 0 or not math.isfinite(rough):
        return 1.0
    power = 10.0 ** math.floor(math.log10(rough))
    for factor in (1.0, 2.0, 5.0, 10.0):
        if factor * power >= rough * (1 - 1e-9):
            return float(f"{factor * power:.12g}")
    return 10.0 * power


@dataclass(frozen=True, slots=True)
class Axis:
    """Values from `low` to `high` laid on points from `start` to `end` (which may run downwards)."""

    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The point of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def places(self) -> int:
        """Decimals that tell the ticks apart."""
        return max(0, -math.floor(math.log10(self.step) + 1e-9))

    @property
    def ticks(self) -> tuple[float, ...]:
        """The round values within the axis."""
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return tuple(float(f"{n * self.step:.12g}") for n in range(first, last + 1))

    def label(self, value: float) -> str:
        """A tick as printed; thousands grouped."""
        return in_locale(f"{value:,.{self.places}f}").replace("-", MINUS)


def axis_for(values: Iterable[float], start: float, end: float, *, pixels_a_tick: float = 46.0) -> Axis:
    """An axis that holds all values with a little room, its ends on or beyond round ticks' halves.

    start, end: points. pixels_a_tick: the least distance of ticks in points.
    """
    found = [v for v in values if math.isfinite(v)]
    low, high = (min(found), max(found)) if found else (0.0, 1.0)
    size = max(abs(low), abs(high))
    if high - low <= 1e-9 * size or size < 1e-9:
        room = size * 0.02 if size >= 1e-9 else 1.0
        low, high = low - room, high + room
    count = max(1.0, abs(end - start) / pixels_a_tick)
    room = (high - low) * 0.04
    step = nice_step((high - low + 2 * room) / count)
    half = step / 2
    return Axis(math.floor((low - room) / half) * half, math.ceil((high + room) / half) * half, step, start, end)
