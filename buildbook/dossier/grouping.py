"""Readings that belong together in one row: same kind, zone, stage and limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from buildbook.dossier.model import Ref, Run, Text, text
from buildbook.dossier.readings import Verdict, kind_title
from buildbook.dossier.terms import term
from buildbook.dossier.verdicts import TONES, limits_text, round_to, value_text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, lines, not_recorded, phrase, plural, semicolon, together
from buildbook.records.job import Reading
from buildbook.records.words import ReadingStage
from buildbook.trade.statistics import summarise

Item = tuple[Reading, Ref, Verdict]
_Key = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """One row's readings, in the record's order; never empty."""

    items: tuple[Item, ...]

    @property
    def first(self) -> Reading:
        return self.items[0][0]

    @property
    def refs(self) -> list[Ref]:
        return [ref for _r, ref, _v in self.items]


def items_of(view: View) -> list[Item]:
    """Every reading with its ref and verdict, in the record's order."""
    return [(r, ref, v) for (r, ref), v in zip(view.evidence.readings, view.verdicts, strict=True)]


def grouped(items: Iterable[Item]) -> list[Group]:
    """Groups in the order of their first reading."""
    found: dict[_Key, list[Item]] = {}
    for item in items:
        reading, _ref, verdict = item
        key = (
            reading.kind, reading.zone, reading.stage, reading.unit,
            verdict.limit_min, verdict.limit_max, verdict.limit_unit,
        )  # fmt: skip
        found.setdefault(key, []).append(item)
    return [Group(tuple(group)) for group in found.values()]


def ref_range(refs: Sequence[Ref], few: int = 2) -> Text:
    """A few refs one by one; more as the first, the last and how many."""
    if len(refs) <= few:
        return together([text(r) for r in refs])
    return phrase(_("{first} … {last} ({n})"), first=refs[0], last=refs[-1], n=str(len(refs)))


def what_text(view: View, group: Group) -> Text:
    """Kind, zone, stage, and the point where there is one reading alone."""
    reading = group.first
    where = together(
        [
            view.zone(reading.zone),
            text(reading.point) if len(group.items) == 1 else (),
            stage_text(reading.stage),
        ],
        " · ",
    )
    return lines(kind_title(view.kinds, reading.kind), where)


def stage_text(stage: ReadingStage | None) -> Text:
    return text(term(stage)) if stage else ()


def values_text(view: View, group: Group) -> Text:
    """The value as written; of several the least, the greatest and the mean."""
    if len(group.items) == 1:
        return text(value_text(view, group.first)) or not_recorded()
    values = [r.value for r, _ref, _v in group.items if r.value is not None and r.value.is_finite()]
    if len(values) < len(group.items):
        written = list(dict.fromkeys(value_text(view, r) for r, _ref, _v in group.items))
        return text(semicolon().join(w for w in written if w)) or not_recorded()
    found, as_written, number = summarise(values), view.formats.as_written, view.formats.number
    places = max(0, *(-e for v in values if isinstance(e := v.as_tuple().exponent, int)))
    unit = group.first.unit
    if found.minimum == found.maximum:
        return text(_("{n} × {value}").format(n=found.n, value=as_written(number(found.minimum), unit)))
    span = _("{low} to {high}").format(low=number(found.minimum), high=as_written(number(found.maximum), unit))
    mean = _("mean {mean}").format(mean=as_written(number(round_to(found.mean, places + 1)), unit))
    return lines(span, (Run(mean, "quiet"),))


def verdicts_text(group: Group) -> Text:
    """The words with how often each was found: `11 pass, 1 fail`."""
    counts = Counter(v.word for _r, _ref, v in group.items)
    several = len(group.items) > 1
    made = [
        (Run(f"{counts[word]} {_(word)}" if several else _(word), TONES[word]),) for word in TONES if counts[word]
    ]
    if counts[""]:
        made.append((Run(f"{counts['']} {_('not judged')}" if several else _("not judged"), "quiet"),))
    late = sum(1 for _r, _ref, v in group.items if not v.counts)
    if late:
        said = plural("{n} does not count as evidence", "{n} do not count as evidence", late)
        made.append((Run(said if several else _("does not count as evidence"), "warn"),))
    return together(list(made))


def limits_of_group(view: View, group: Group) -> Text:
    return limits_text(view, group.items[0][2])
