"""Statistics of repeated readings, in decimal numbers.

Definitions: GUM (JCGM 100:2008) 4.2: mean, experimental standard deviation with divisor n - 1, standard
uncertainty of the mean s/sqrt(n). With n = 1 there is no standard deviation: ``None``, never 0 (PRAC).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext

from .faults import TradeError

# Wide enough that sums of readings are exact and only quotients and roots are rounded.
_WORKING = Context(prec=60)
_RESULT = Context(prec=28)


@dataclass(frozen=True, slots=True)
class Summary:
    """n readings of one quantity, all fields in the readings' own unit.

    ``s`` is the experimental standard deviation, ``u_mean`` the standard uncertainty of the mean; both are
    ``None`` for a single reading.
    """

    n: int
    mean: Decimal
    minimum: Decimal
    maximum: Decimal
    s: Decimal | None
    u_mean: Decimal | None

    @property
    def variation(self) -> Decimal | None:
        """Coefficient of variation s / |mean|, or ``None`` where it is not defined."""
        if self.s is None or self.mean == 0:
            return None
        return _RESULT.divide(self.s, abs(self.mean))


def checked(values: Iterable[Decimal], what: str = "readings") -> tuple[Decimal, ...]:
    """``values`` in ascending order; refuses an empty set and anything that is not a finite number."""
    found = tuple(values)
    if not found:
        raise TradeError(f"There are no {what}.", "Record at least one.")
    if not all(value.is_finite() for value in found):
        raise TradeError(f"One of the {what} is not a number.", "Write each as measured.")
    return tuple(sorted(found))


def summarise(values: Iterable[Decimal]) -> Summary:
    """n, mean, min, max, s and standard uncertainty of the mean; the order of readings makes no difference.

    Raises TradeError for no readings or one that is not finite.
    """
    found = checked(values)
    n = len(found)
    with localcontext(_WORKING):
        total = sum(found, Decimal(0))
        mean = total / n
        s: Decimal | None = None
        u_mean: Decimal | None = None
        if n > 1:
            # n*sum(x^2) - (sum x)^2 is exact in decimal; no loss by subtracting a rounded mean.
            spread = n * sum((value * value for value in found), Decimal(0)) - total * total
            s = (max(spread, Decimal(0)) / (n * (n - 1))).sqrt()
            u_mean = s / Decimal(n).sqrt()
    return Summary(
        n,
        _RESULT.plus(mean),
        found[0],
        found[-1],
        None if s is None else _RESULT.plus(s),
        None if u_mean is None else _RESULT.plus(u_mean),
    )


def median(values: Iterable[Decimal]) -> Decimal:
    """The middle value, or the mean of the two middle ones. Raises TradeError for no values."""
    found = checked(values, "values")
    middle = len(found) // 2
    if len(found) % 2:
        return found[middle]
    return _RESULT.divide(found[middle - 1] + found[middle], Decimal(2))


def root_sum_square(parts: Iterable[Decimal]) -> Decimal:
    """sqrt(a² + b² + ...): uncertainties of independent contributions combined (GUM 5.1.2)."""
    with localcontext(_WORKING):
        total = sum((part * part for part in sorted(parts)), Decimal(0)).sqrt()
    return _RESULT.plus(total)
