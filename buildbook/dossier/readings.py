"""Readings as the dossier prints them: a narrow door to the verdicts that the check uses too."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from buildbook.dossier.marks import in_words
from buildbook.dossier.said import in_language
from buildbook.dossier.trade_words import trade_word
from buildbook.dossier.wording import N_, _
from buildbook.records.job import Job
from buildbook.records.said import Sayable
from buildbook.rules.judged import Judged, all_judged
from buildbook.rules.understood import own_kinds
from buildbook.trade.kinds import KINDS, Kind


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the dossier says of one reading.

    word: one of the four words of the decision rule, "" if it was not judged. rule: the decision rule, or why it
    was not judged. limits: as written, with their unit. difference: for a colour, its ΔE00 from the reference.
    why_not: why the reading does not count as evidence for a pass, "" if it counts.
    """

    word: str
    rule: str
    limit_min: Decimal | None
    limit_max: Decimal | None
    limit_unit: str
    limit_source: str
    difference: Decimal | None
    probability: float | None
    why_not: str

    @property
    def counts(self) -> bool:
        return not self.why_not

    @property
    def judged(self) -> bool:
        return bool(self.word)

    @property
    def within(self) -> bool:
        """Pass or conditional pass."""
        return self.word in ("pass", "conditional pass")

    @property
    def outside(self) -> bool:
        """Conditional fail or fail."""
        return self.judged and not self.within


def verdicts(job: Job) -> tuple[Verdict, ...]:
    """One verdict for each reading, in the record's order."""
    return tuple(
        _verdict(judged, meant.lab is not None) for _reading, meant, judged in all_judged(job)
    )


def _verdict(judged: Judged, is_colour: bool) -> Verdict:
    why_not = ""
    if not judged.counts_as_evidence:
        why_not = in_language(judged.trouble.says) if judged.trouble else trade_word(str(judged.calibration.state))
    return Verdict(
        word=judged.word,
        rule=_why(judged.rule_text),
        limit_min=judged.limit_min,
        limit_max=judged.limit_max,
        limit_unit=judged.unit,
        limit_source=source_words(judged.source),
        difference=judged.judged_value if is_colour else None,
        probability=judged.probability,
        why_not=why_not,
    )


def _why(rule: str) -> str:
    """The decision rule, or why there is no verdict."""
    return in_language(rule) if isinstance(rule, Sayable) else trade_word(rule)


def source_words(source: str) -> str:
    """Where limits come from: a published source with its marks in words, what the record names as it is written."""
    return in_words(in_language(source)) if isinstance(source, Sayable) else source


def kinds_of(job: Job) -> dict[str, Kind]:
    """The kinds a job's readings and limits name, its own included; unknown names are left out."""
    known = {kind.name: kind for kind in (*own_kinds(job).kinds, *KINDS)}
    used = {r.kind for r in job.readings} | {limit.kind for limit in job.limits}
    return {name: known[name] for name in sorted(used) if name in known}


# Quantities computed from readings, by the name [[limits]] gives them.
_COMPUTED = {
    "film_removal": N_("Film taken off by polishing"),
    "film_nominal": N_("Film of fresh paint, nominal to greatest"),
}


def kind_title(kinds: dict[str, Kind], name: str) -> str:
    """The printed title of a kind, or of a quantity computed from readings; an unknown one as written."""
    if name in kinds:
        # A kind of the job's own has its title from the record.
        return _(kinds[name].title) if kinds[name] in KINDS else kinds[name].title
    return _(_COMPUTED[name]) if name in _COMPUTED else name or _("kind not recorded")
