"""Section 1: the whole job on one page, each figure with the place it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier import view as at
from buildbook.dossier.evidence import capped
from buildbook.dossier.grouping import items_of
from buildbook.dossier.model import (
    Block,
    Claim,
    Counter,
    Counters,
    Paragraph,
    Ref,
    Section,
    Tone,
    text,
)
from buildbook.dossier.outside import left_outside
from buildbook.dossier.pairs import PhotoPair
from buildbook.dossier.paragraphs import brief_in_summary
from buildbook.dossier.tally import Tally, tally
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, plural, sentences
from buildbook.records.finding import Grade
from buildbook.records.words import Outcome

_SHORT = 200  # characters of the brief that may be set large; the summary is one page
_CITED = 6  # refs beside a claim; the others are counted and one link away


def build(view: View) -> Section:
    counts = tally(view)
    blocks: list[Block] = []
    brief = view.job.brief
    if brief and brief_in_summary(brief):
        blocks.append(Paragraph(text=text(brief), style="lead" if len(brief) <= _SHORT else "body"))
    blocks.append(counters(view, counts))
    blocks.extend(claims(view, counts))
    pair = best_pair(view)
    if pair is not None:
        blocks.append(view.pair(pair))
    return Section(anchor=at.SUMMARY, number="1", title=_("Summary"), blocks=tuple(blocks))


def counters(view: View, counts: Tally) -> Counters:
    def one(n: int, single: str, many: str, target: str, tone: Tone = "plain") -> Counter:
        return Counter(value=str(n), label=single if n == 1 else many, target=target, tone=tone)

    corrected = plural("{n} corrected", "{n} corrected", counts.corrected)
    refurbished = plural("{n} refurbished", "{n} refurbished", counts.refurbished)
    found = plural("{n} as found", "{n} as found", counts.found_outside)
    items = [
        one(
            counts.observations, _("observation at intake, {also}").format(also=corrected),
            _("observations at intake, {also}").format(also=corrected), at.CONDITION,
        ),
        one(counts.steps, _("step of work"), _("steps of work"), at.WORK),
        one(counts.replaced, _("part replaced"), _("parts replaced"), at.REPLACED),
        one(
            counts.kept, _("part kept, {also}").format(also=refurbished),
            _("parts kept, {also}").format(also=refurbished), at.KEPT,
        ),
        one(counts.within, _("reading within its limits"), _("readings within their limits"), at.READINGS),
        one(
            counts.outside, _("reading outside its limits as left, {also}").format(also=found),
            _("readings outside their limits as left, {also}").format(also=found),
            at.OUTSIDE, "warn" if counts.outside else "plain",
        ),
        one(
            counts.exceptions, _("accepted exception"), _("accepted exceptions"),
            at.EXCEPTIONS, "warn" if counts.exceptions else "plain",
        ),
        one(
            counts.open_items, _("open item"), _("open items"),
            at.OPEN_ITEMS, "warn" if counts.open_items else "plain",
        ),
    ]  # fmt: skip
    if view.issue.draft and view.findings:
        stops = any(f.grade is Grade.STOP for f in view.findings)
        items.append(
            one(
                len(view.findings), _("open finding of the check"), _("open findings of the check"),
                at.FINDINGS, "bad" if stops else "warn",
            )
        )  # fmt: skip
    return Counters(items=tuple(items))


def claims(view: View, counts: Tally) -> list[Claim]:
    return [
        claim
        for claim in (_wrong(view, counts), _done(view, counts), _parts(view, counts), _kept(view, counts),
                      _measured(view, counts), _open(view, counts))
        if claim is not None
    ]  # fmt: skip


def _wrong(view: View, counts: Tally) -> Claim | None:
    if not counts.observations:
        return None
    n, accepted, unsettled = counts.observations, counts.accepted, counts.unsettled
    said = plural("{n} observation was recorded at intake", "{n} observations were recorded at intake", n)
    ends = [
        plural("{n} was corrected", "{n} were corrected", counts.corrected),
        plural("{n} was accepted as it is", "{n} were accepted as they are", accepted) if accepted else "",
        plural("{n} has no outcome on record", "{n} have no outcome on record", unsettled) if unsettled else "",
    ]
    refs = [ref for _o, ref in view.evidence.observations]
    words = _("{said}: {ends}.").format(said=said, ends=_join(ends))
    return Claim(text=text(words), evidence=capped(refs, at.CONDITION, _CITED))


def _done(view: View, counts: Tally) -> Claim | None:
    if not counts.steps:
        return None
    refs = [ref for _s, ref in view.evidence.steps]
    who = plural(
        "{n} person is named as having done or checked it", "{n} people are named as having done or checked it",
        counts.workers,
    )  # fmt: skip
    said = plural(
        "The work is recorded in {n} step", "The work is recorded in {n} steps", counts.steps
    )
    dates = view.formats.span(counts.first_day, counts.last_day)
    words = text(_("{said} ({dates}); {who}.").format(said=said, dates=dates, who=who))
    return Claim(text=words, evidence=capped(refs, at.WORK, _CITED))


def _parts(view: View, counts: Tally) -> Claim | None:
    if not counts.replaced:
        return None
    refs = [ref for p, ref in view.evidence.parts if p.replaced]
    said = plural("{n} part was replaced", "{n} parts were replaced", counts.replaced)
    receipts = plural("{n} has a receipt on file", "{n} have a receipt on file", counts.with_receipt)
    return Claim(
        text=text(
            _("{said}; {receipts}. Sources of parts are stated, not verified.").format(said=said, receipts=receipts)
        ),
        evidence=capped(refs, at.REPLACED, _CITED),
    )


def _kept(view: View, counts: Tally) -> Claim | None:
    if not counts.kept and not counts.refurbished:
        return None
    refs = [ref for p, ref in view.evidence.parts if p.kept or p.refurbished]
    kept = plural("{n} part was kept", "{n} parts were kept", counts.kept)
    mended = plural("{n} was repaired or refurbished", "{n} were repaired or refurbished", counts.refurbished)
    words = _("{kept} and {mended}.").format(kept=kept, mended=mended)
    return Claim(text=text(words), evidence=capped(refs, at.KEPT, _CITED))


def _measured(view: View, counts: Tally) -> Claim | None:
    if not counts.readings:
        return None
    said = plural("{n} value was measured", "{n} values were measured", counts.readings)
    ends = [
        plural("{n} is within its limits", "{n} are within their limits", counts.within),
        plural("{n} was outside as found", "{n} were outside as found", counts.found_outside),
        plural("{n} is outside as left", "{n} are outside as left", counts.outside),
        plural("{n} has no limit to be held against", "{n} have no limit to be held against", counts.unjudged)
        if counts.unjudged
        else "",
    ]
    tail = ""
    if counts.uncounted:
        tail = plural("{n} does not count as evidence.", "{n} do not count as evidence.", counts.uncounted)
    outside = [ref for _r, ref, _v in left_outside(items_of(view))]
    refs: Sequence[Ref] = capped(outside, at.OUTSIDE, _CITED)
    words = sentences(_("{said}: {ends}.").format(said=said, ends=_join(ends)), tail)
    return Claim(text=text(words), evidence=(*refs, Ref(_("section 6"), at.READINGS)))


def _open(view: View, counts: Tally) -> Claim | None:
    left = 0 if view.issue.draft else len(view.findings)
    parts = [
        plural("{n} item is left open", "{n} items are left open", counts.open_items),
        plural("{n} exception was accepted", "{n} exceptions were accepted", counts.exceptions),
    ]
    refs = [Ref(_("open items"), at.OPEN_ITEMS), Ref(_("exceptions"), at.EXCEPTIONS)]
    if left:
        parts.append(plural("the check left {n} finding to look at", "the check left {n} findings to look at", left))
        refs.append(Ref(_("findings"), at.FINDINGS))
    return Claim(text=text(_("{parts}.").format(parts=_join(parts))), evidence=tuple(refs))


def _join(parts: Sequence[str]) -> str:
    kept = [p for p in parts if p]
    if len(kept) < 2:
        return "".join(kept)
    return _("{first} and {last}").format(first=comma().join(kept[:-1]), last=kept[-1])


def best_pair(view: View) -> PhotoPair | None:
    """The pair that shows most on little room: not taller than wide, in the zone that gained the most grades.

    Where no grade says so, a stated pair goes before one that follows from the folder.
    """
    gain: dict[str, Decimal] = {}
    for o in view.job.observations:
        if o.outcome is Outcome.CORRECTED and o.grade_in is not None and o.grade_out is not None:
            gain[o.zone] = max(gain.get(o.zone, Decimal(0)), o.grade_in - o.grade_out)

    def rank(item: tuple[int, PhotoPair]) -> tuple[bool, Decimal, bool, int]:
        n, pair = item
        tall = any(p.facts.height > p.facts.width for p in (pair.before, pair.after))
        return tall, -gain.get(pair.zone, Decimal(0)), not pair.stated, n

    return min(enumerate(view.pairs), key=rank)[1] if view.pairs else None
