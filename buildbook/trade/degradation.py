"""Grades of coating degradation: ISO 4628, ASTM D610 and D714, ISO 2409 and ASTM D3359.

In ISO 4628 and ISO 2409 0 is best and 5 worst; in ASTM D610, D714 and D3359 the higher number is better.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from buildbook.records.said import said

from .faults import TradeError

#: ISO 4628-1 words for the quantity of defects (MEM).
QUANTITY_WORDS = ("none", "very few", "few", "moderate", "considerable", "dense")
#: ISO 4628-1 words for the size of defects (MEM).
SIZE_WORDS = (
    "not seen at x10",
    "seen only at up to x10",
    "just visible",
    "clearly visible, to 0.5 mm",
    "0.5 mm to 5 mm",
    "over 5 mm",
)
#: Which way a grade improves, by name of kind.
HIGHER_IS_BETTER = frozenset({"rust_d610", "blistering_d714"})


@dataclass(frozen=True, slots=True)
class IsoGrade:
    """A grade after ISO 4628: quantity 0..5, perhaps size 0..5 and, for flaking, the depth letter.

    Depth: ``a`` from the under-coat, ``b`` from the substrate (types PUB-C, letters MEM).
    """

    quantity: Decimal
    size: int | None = None
    depth: str | None = None

    @property
    def code(self) -> str:
        """The written form, as ``2(S3)`` or ``3(S2)a`` (notation MEM)."""
        size = "" if self.size is None else f"(S{self.size})"
        return f"{self.quantity}{size}{self.depth or ''}"

    @property
    def words(self) -> str:
        """The quantity in words; a half step lies between two."""
        whole = int(self.quantity)
        if self.quantity == whole:
            return QUANTITY_WORDS[whole]
        return f"between {QUANTITY_WORDS[whole]} and {QUANTITY_WORDS[whole + 1]}"


_ISO = re.compile(r"(?:Ri\s*)?([0-5](?:\.[05])?)\s*(?:\(\s*S\s*([0-5])\s*\))?\s*([ab])?", re.IGNORECASE)


def parse_iso4628(text: str, *, half_steps: bool = False, depth_allowed: bool = False) -> IsoGrade:
    """``"2"``, ``"2(S3)"``, ``"Ri 3"``, or for flaking ``"3(S2)a"``.

    Half steps only where the job specifies them (ISO 4628-1, PUB-C). Grade 0 takes no size. Raises TradeError.
    """
    found = _ISO.fullmatch(text.strip())
    if found is None:
        raise TradeError(
            said("{value} is not a grade of ISO 4628.", value=repr(text)), said("Write 0 to 5, with size as in 2(S3).")
        )
    quantity = Decimal(found[1])
    if quantity == quantity.to_integral_value():
        quantity = quantity.to_integral_value()
    elif not half_steps:
        raise TradeError(
            said("{value} is a half step.", value=repr(text)),
            said("Write a whole grade, or allow half steps in the job."),
        )
    if quantity > 5:
        raise TradeError(said("{value} is above 5.", value=repr(text)), said("Write 0 to 5."))
    size = None if found[2] is None else int(found[2])
    if quantity == 0 and size not in (None, 0):
        raise TradeError(
            said("{value} gives a size where there is no defect.", value=repr(text)), said("Write 0 alone.")
        )
    depth = None if found[3] is None else found[3].lower()
    if depth is not None and not depth_allowed:
        raise TradeError(
            said("{value} has a depth letter.", value=repr(text)), said("Only flaking takes a or b after the size.")
        )
    return IsoGrade(quantity, size, depth)


#: ISO 4628-3: rusted area in % of the picture for each grade (PUB-C). Ri 5 shows 40 to 50.
RI_PICTURES = (Decimal(0), Decimal("0.05"), Decimal("0.5"), Decimal(1), Decimal(8), Decimal(40))
#: European scale beside Ri 0..5 (PUB-C).
RE_SCALE = ("Re0", "Re1", "Re2", "Re3", "Re5", "Re7")


def _percent(percent: Decimal) -> None:
    if not percent.is_finite() or not 0 <= percent <= 100:
        raise TradeError(f"{percent} % of an area cannot be.", "Write 0 to 100.")


def nearest_ri(percent: Decimal) -> int:
    """The Ri grade whose picture is nearest to a rusted area in %.

    The pictures are not class limits; nearest is by difference in %, a tie goes to the worse grade (PRAC). From
    40 % on it is Ri 5, whose picture shows 40 to 50.
    """
    _percent(percent)
    if percent >= RI_PICTURES[5]:
        return 5
    return min(range(6), key=lambda grade: (abs(percent - RI_PICTURES[grade]), -grade))


#: ASTM D610-08(2012) Table 1: greatest rusted area in % for grades 10 down to 1, limit included (PUB-B copy).
D610_LIMITS = tuple(
    (grade, Decimal(limit))
    for grade, limit in zip(
        range(10, 0, -1), ("0.01", "0.03", "0.1", "0.3", "1", "3", "10", "16", "33", "50"), strict=True
    )
)


def d610_grade(percent: Decimal) -> int:
    """The ASTM D610 rust grade (10 none .. 0 over half) for a rusted area in %; upper limits are included."""
    _percent(percent)
    return next((grade for grade, limit in D610_LIMITS if percent <= limit), 0)


class RustSpread(Enum):
    """ASTM D610 suffixes."""

    S = "spot"
    G = "general"
    P = "pinpoint"
    H = "hybrid"


_D610 = re.compile(r"(10|[0-9])\s*-?\s*([SGPH])?", re.IGNORECASE)


def parse_d610(text: str) -> tuple[int, RustSpread | None]:
    """``"7-P"`` or ``"7P"`` as grade and spread; 10 and 0 take no suffix. Raises TradeError."""
    found = _D610.fullmatch(text.strip())
    if found is None:
        raise TradeError(
            said("{value} is not a grade of ASTM D610.", value=repr(text)),
            said("Write 0 to 10 with S, G, P or H: 7-P."),
        )
    grade = int(found[1])
    if found[2] is None:
        return grade, None
    if grade in (0, 10):
        raise TradeError(
            said("{value}: grades 10 and 0 take no suffix.", value=repr(text)),
            said("Write {grade} alone.", grade=grade),
        )
    return grade, RustSpread[found[2].upper()]


#: ASTM D714 frequencies (PUB-B).
D714_FREQUENCIES = {"F": "few", "M": "medium", "MD": "medium dense", "D": "dense"}
_D714 = re.compile(r"(10|[2468])\s*-?\s*(F|MD|M|D)?", re.IGNORECASE)


def parse_d714(text: str) -> tuple[int, str | None]:
    """``"6F"`` or ``"8MD"`` as size (10 none, 8 smallest seen unaided .. 2) and frequency letters; ``"10"`` alone.

    There is no exact mapping to ISO 4628-2: nothing here converts. Raises TradeError.
    """
    found = _D714.fullmatch(text.strip())
    if found is None:
        raise TradeError(
            said("{value} is not a grade of ASTM D714.", value=repr(text)),
            said("Write size and frequency: 6F, 8MD, or 10."),
        )
    size, letters = int(found[1]), None if found[2] is None else found[2].upper()
    if size == 10 and letters is not None:
        raise TradeError(said("{value}: size 10 means no blisters.", value=repr(text)), said("Write 10 alone."))
    if size != 10 and letters is None:
        raise TradeError(said("{value} lacks the frequency.", value=repr(text)), said("Add F, M, MD or D: 6F."))
    return size, letters


#: Greatest affected area in % for ISO 2409 classes 0..4; above it is 5 (PUB-B).
CROSS_CUT_LIMITS = (Decimal(0), Decimal(5), Decimal(15), Decimal(35), Decimal(65))


def iso2409_class(percent: Decimal) -> int:
    """The ISO 2409 class for an affected area in %: 0 none, 1 to 5 %, 2 to 15, 3 to 35, 4 to 65, 5 above.

    At exactly 5 % ISO says "not significantly greater than 5 %", ASTM 4B "less than 5 %"; 5.0 is class 1 here.
    """
    _percent(percent)
    return next((cls for cls, limit in enumerate(CROSS_CUT_LIMITS) if percent <= limit), 5)


def d3359_from_iso2409(cls: int) -> str:
    """ASTM D3359 method B for an ISO 2409 class: class c is (5 - c)B (PUB-B)."""
    if cls not in range(6):
        raise TradeError(f"{cls} is not a class of ISO 2409.", "Write 0 to 5.")
    return f"{5 - cls}B"


def parse_cross_cut(text: str) -> int:
    """The ISO 2409 class from ``"1"`` (ISO) or ``"4B"`` (ASTM D3359 method B). Raises TradeError."""
    found = re.fullmatch(r"([0-5])\s*(B)?", text.strip(), re.IGNORECASE)
    if found is None:
        raise TradeError(
            said("{value} is not a cross-cut class.", value=repr(text)), said("Write 0 to 5 (ISO 2409) or 5B to 0B.")
        )
    return 5 - int(found[1]) if found[2] else int(found[1])


def grade_value(kind_name: str, text: str, *, half_steps: bool = False) -> Decimal:
    """The number behind a written grade, by name of kind, on that kind's own scale. Raises TradeError."""
    if kind_name == "rust_d610":
        return Decimal(parse_d610(text)[0])
    if kind_name == "blistering_d714":
        return Decimal(parse_d714(text)[0])
    if kind_name == "cross_cut":
        return Decimal(parse_cross_cut(text))
    return parse_iso4628(text, half_steps=half_steps, depth_allowed=kind_name == "flaking").quantity


def got_worse(kind_name: str, before: str, after: str, *, half_steps: bool = False) -> bool:
    """Whether the grade after the work is worse than before, whichever way the scale runs."""
    first = grade_value(kind_name, before, half_steps=half_steps)
    second = grade_value(kind_name, after, half_steps=half_steps)
    return second < first if kind_name in HIGHER_IS_BETTER else second > first
