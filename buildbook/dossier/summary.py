"""Section 1: the whole job on one page, each figure with the place it comes from."""

from __future__ import annotations

from collections.abc import Sequence

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
from buildbook.dossier.tally import Tally, tally
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, phrase, plural
from buildbook.records.words import Outcome

_LONG_BRIEF = 400  # characters; a longer one stands in section 2 only, so that the summary stays one page


def build(view: View) -> Section:
    counts = tally(view)
    blocks: list[Block] = []
    brief = view.job.brief
    if brief and len(brief) <= _LONG_BRIEF and "\n" not in brief.strip():
        blocks.append(Paragraph(text=text(brief), style="lead"))
    blocks.append(counters(view, counts))
    blocks.extend(claims(view, counts))
    pair = best_pair(view)
    if pair is not None:
        blocks.append(view.pair(pair))
    return Section(anchor=at.SUMMARY, number="1", title=_("Summary"), blocks=tuple(blocks))


def counters(view: View, counts: Tally) -> Counters:
    def one(n: int, single: str, many: str, target: str, tone: Tone = "plain") -> Counter:
        return Counter(value=str(n), label=single if n == 1 else many, target=target, tone=tone)

    items = [
        one(counts.observations, _("observation at intake"), _("observations at intake"), at.CONDITION),
        one(counts.corrected, _("observation corrected"), _("observations corrected"), at.CONDITION),
        one(counts.steps, _("step of work"), _("steps of work"), at.WORK),
        one(counts.replaced, _("part replaced"), _("parts replaced"), at.REPLACED),
        one(counts.refurbished, _("part refurbished"), _("parts refurbished"), at.REFURBISHED),
        one(counts.kept, _("part kept"), _("parts kept"), at.KEPT),
        one(counts.within, _("reading within its limits"), _("readings within their limits"), at.READINGS),
        one(
            counts.found_outside, _("reading outside its limits as found"), _("readings outside their limits as found"),
            at.OUTSIDE,
        ),
        one(
            counts.outside, _("reading outside its limits as left"), _("readings outside their limits as left"),
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
    if view.findings:
        stops = view.issue.draft and any(f.grade == "stop" for f in view.findings)
        items.append(
            one(
                len(view.findings), _("finding of the check"), _("findings of the check"),
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
    return Claim(text=text(f"{said}: {_join(ends)}."), evidence=capped(refs, at.CONDITION))


def _done(view: View, counts: Tally) -> Claim | None:
    if not counts.steps:
        return None
    refs = [ref for _s, ref in view.evidence.steps]
    who = plural("{n} person is named", "{n} people are named", counts.workers)
    said = plural(
        "The work is recorded in {n} step", "The work is recorded in {n} steps", counts.steps
    )
    dates = view.formats.span(counts.first_day, counts.last_day)
    return Claim(text=text(f"{said} ({dates}); {who} as having done or checked it."), evidence=capped(refs, at.WORK))


def _parts(view: View, counts: Tally) -> Claim | None:
    if not counts.replaced:
        return None
    refs = [ref for p, ref in view.evidence.parts if p.replaced]
    said = plural("{n} part was replaced", "{n} parts were replaced", counts.replaced)
    receipts = plural("{n} has a receipt on file", "{n} have a receipt on file", counts.with_receipt)
    return Claim(
        text=text(f"{said}; {receipts}. " + _("Sources of parts are stated, not verified.")),
        evidence=capped(refs, at.REPLACED),
    )


def _kept(view: View, counts: Tally) -> Claim | None:
    if not counts.kept and not counts.refurbished:
        return None
    refs = [ref for p, ref in view.evidence.parts if p.kept or p.refurbished]
    kept = plural("{n} part was kept", "{n} parts were kept", counts.kept)
    mended = plural("{n} was repaired or refurbished", "{n} were repaired or refurbished", counts.refurbished)
    return Claim(text=text(f"{kept} and {mended}."), evidence=capped(refs, at.KEPT))


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
        tail = " " + plural(
            "{n} does not count as evidence, because its instrument was not shown to be in calibration.",
            "{n} do not count as evidence, because their instrument was not shown to be in calibration.",
            counts.uncounted,
        )
    outside = [ref for _r, ref, _v in left_outside(items_of(view))]
    refs: Sequence[Ref] = capped(outside, at.OUTSIDE, most=8)
    return Claim(
        text=text(f"{said}: {_join(ends)}.{tail}"), evidence=(*refs, Ref(_("section 6"), at.READINGS))
    )


def _open(view: View, counts: Tally) -> Claim | None:
    if not counts.open_items and not counts.exceptions:
        return Claim(
            text=text(_("The record names no open item and no accepted exception.")),
            evidence=(Ref(_("section 8"), at.LIMITS),),
        )
    parts = [
        plural("{n} item is left open", "{n} items are left open", counts.open_items) if counts.open_items else "",
        plural("{n} exception was accepted", "{n} exceptions were accepted", counts.exceptions)
        if counts.exceptions
        else "",
    ]
    refs = [
        Ref(_("section 8"), at.OPEN_ITEMS) if counts.open_items else None,
        Ref(_("exceptions"), at.EXCEPTIONS) if counts.exceptions else None,
    ]
    body = phrase("{what}.", what=_join(parts))
    return Claim(text=body, evidence=tuple(r for r in refs if r))


def _join(parts: Sequence[str]) -> str:
    kept = [p for p in parts if p]
    if len(kept) < 2:
        return "".join(kept)
    return f"{', '.join(kept[:-1])} {_('and')} {kept[-1]}"


def best_pair(view: View) -> PhotoPair | None:
    """The pair that shows most: in the zone whose observation was corrected by the most grades, else a stated one."""
    gain: dict[str, float] = {}
    for o in view.job.observations:
        if o.outcome is Outcome.CORRECTED and o.grade_in is not None and o.grade_out is not None:
            gain[o.zone] = max(gain.get(o.zone, 0.0), float(o.grade_in - o.grade_out))
    ranked = sorted(
        enumerate(view.pairs), key=lambda item: (-gain.get(item[1].zone, 0.0), not item[1].stated, item[0])
    )
    return ranked[0][1] if ranked else None
