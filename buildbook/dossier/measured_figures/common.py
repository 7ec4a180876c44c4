"""What the makers of figures work from: readings of one kind with their meaning and verdict, and claims about them."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

from buildbook.dossier import view as at
from buildbook.dossier.drawing import Drawing
from buildbook.dossier.drawings.markers import NOT_EVIDENCE, NOT_JUDGED
from buildbook.dossier.evidence import capped
from buildbook.dossier.grouping import ref_range
from buildbook.dossier.model import Claim, Figure, Ref, text
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, beside, semicolon
from buildbook.records.job import Reading
from buildbook.records.words import ReadingStage
from buildbook.rules.judged import Judged, all_judged
from buildbook.rules.understood import Understood
from buildbook.trade.decision import Word
from buildbook.trade.statistics import Summary, root_sum_square, summarise

K = TypeVar("K", bound=Hashable)
STAGES = tuple(ReadingStage)


@dataclass(frozen=True, slots=True)
class Entry:
    """One reading with its label, meaning and verdict."""

    reading: Reading
    ref: Ref
    what: Understood
    judged: Judged

    @property
    def counts(self) -> bool:
        """Whether it is evidence: understood, and its instrument in calibration on that day."""
        return self.judged.counts_as_evidence

    @property
    def word(self) -> str:
        """The word a figure prints beside it."""
        if not self.counts:
            return NOT_EVIDENCE
        return self.judged.word or NOT_JUDGED

    @property
    def value(self) -> Decimal | None:
        """What is held against limits, in the reading's own unit; the difference for a colour."""
        return self.judged.judged_value

    @property
    def low(self) -> Decimal | None:
        return self.judged.decision.lower if self.judged.decision else None

    @property
    def high(self) -> Decimal | None:
        return self.judged.decision.upper if self.judged.decision else None

    @property
    def stage(self) -> str:
        return term(self.reading.stage) if self.reading.stage else _("stage not recorded")

    @property
    def when(self) -> str:
        """The stage within a sentence: `on arrival`, `before the work`, `on leaving`."""
        special = {ReadingStage.INTAKE: _("on arrival"), ReadingStage.HANDOVER: _("on leaving")}
        return special.get(self.reading.stage, self.stage) if self.reading.stage else self.stage

    @property
    def order(self) -> int:
        """Where the stage stands in the course of a job."""
        return STAGES.index(self.reading.stage) if self.reading.stage else -1


def entries(view: View, kind: str) -> list[Entry]:
    """The readings of a kind that could be understood, in the record's order."""
    found = zip(view.evidence.readings, all_judged(view.job), strict=True)
    return [
        Entry(reading, ref, what, judged)
        for (reading, ref), (_same, what, judged) in found
        if reading.kind == kind and what.kind is not None and what.trouble is None
    ]


def by(items: Iterable[Entry], key: Callable[[Entry], K]) -> dict[K, list[Entry]]:
    """Entries by a key, in the order of their first."""
    found: dict[K, list[Entry]] = {}
    for item in items:
        found.setdefault(key(item), []).append(item)
    return found


def refs(items: Iterable[Entry]) -> list[Ref]:
    return [item.ref for item in items]


def claim(said: str, items: Iterable[Entry]) -> Claim:
    """A sentence with the readings behind it: a few by number, of many the first ones and how many more."""
    return Claim(text=text(said), evidence=capped(refs(items), at.READINGS, most=4))


def figure(drawing: Drawing, said: str, items: Iterable[Entry], anchor: str = "") -> Figure:
    """A drawing with its caption and where its numbers stand."""
    return Figure(drawing=drawing, caption=beside(said, ref_range(refs(items))), anchor=anchor)


def summary(items: Iterable[Entry]) -> Summary:
    """Statistics of the values in the kind's own unit. Raises TradeError for none."""
    return summarise(v for item in items if (v := item.what.si) is not None)


def u_of_difference(one: Summary, other: Summary) -> Decimal | None:
    """Expanded uncertainty (k = 2) of the difference of two means (GUM 5.1.2); None for single readings."""
    if one.u_mean is None or other.u_mean is None:
        return None
    return 2 * root_sum_square((one.u_mean, other.u_mean))


def margin(item: Entry) -> Decimal:
    """How far a judged value lies inside its limits, negative outside: the least of its sides."""
    value = item.value if item.value is not None else Decimal(0)
    sides = [value - item.low] if item.low is not None else []
    if item.high is not None:
        sides.append(item.high - value)
    return min(sides, default=Decimal(0))


def deciding(items: Sequence[Entry]) -> Entry:
    """The reading that decides among several: the worst word, and among those the least margin."""
    words = [str(w) for w in Word]

    def rank(item: Entry) -> tuple[int, Decimal]:
        severity = words.index(item.judged.word) if item.judged.word in words else -1
        return -severity, margin(item)

    return min(items, key=rank)


def place(zone: str) -> str:
    """A zone as a row's label."""
    return zone_title(zone) if zone else _("zone not recorded")


def several(names: Iterable[str]) -> str:
    """Names once each, with semicolons: titles of zones hold commas."""
    return semicolon().join(dict.fromkeys(names))
