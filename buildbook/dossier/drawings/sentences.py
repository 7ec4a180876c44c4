"""Sentences that say what was measured and what it shows, from the trade's results.

Values and uncertainties stand to the same decimals. A word of the decision rule closes a sentence where there is a
limit; where there is none the sentence says so. Nothing is claimed that was not measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier.drawings.numbers import NBSP, amount, fixed, pair, places_of, plain, with_unit
from buildbook.dossier.language import voice
from buildbook.dossier.terms import zone_title
from buildbook.dossier.trade_words import trade_word
from buildbook.dossier.wording import _, comma, lowered, plural, semicolon, sentences
from buildbook.records.languages import DEFAULT
from buildbook.trade.brakes import SideDifference
from buildbook.trade.climate import DewPointCheck
from buildbook.trade.curing import CureCheck
from buildbook.trade.decision import Decision
from buildbook.trade.engine import Compression
from buildbook.trade.film import FilmAcceptance, Removal, ThickPanel
from buildbook.trade.film_spots import AreaResult
from buildbook.trade.gloss import GlossChange
from buildbook.trade.statistics import Summary
from buildbook.trade.tyres import AgeRange, DateCode


def the(zone: str) -> str:
    """A zone within a sentence: `the bonnet`, `the left front wing`; an unknown name as written."""
    if not zone:
        return _("a place not recorded")
    title = zone_title(zone)
    if voice().language != DEFAULT:  # titles are whole there: no adjective can be taken out of them
        return _("the {zone}").format(zone=lowered(title)) if title != zone else zone
    for side in ("left", "right"):
        if title.endswith(f", {side}"):
            stem = title.removesuffix(f", {side}")
            return _("the {side} {zone}").format(side=side, zone=_lower(stem))
    return _("the {zone}").format(zone=_lower(title)) if title != zone else zone


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]


def listed(names: Sequence[str], most: int = 6) -> str:
    """`a`, `a and b`, `a, b and c`; beyond `most` the rest is counted."""
    shown = list(names)
    if len(shown) > most:
        rest = len(shown) - most + 1
        shown = [*shown[: most - 1], _("{n} more").format(n=rest)]
    if len(shown) < 2:
        return "".join(shown)
    return _("{first} and {last}").format(first=comma().join(shown[:-1]), last=shown[-1])


def limit_words(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """`at least 1.6 mm`, `at most 0.10 mm`, `85 to 95 N·m`, or that there is no limit."""
    if low is not None and high is not None:
        return with_unit(_("{low} to {high}").format(low=plain(low), high=plain(high)), unit)
    if low is not None:
        return with_unit(_("at least {low}").format(low=plain(low)), unit)
    if high is not None:
        return with_unit(_("at most {high}").format(high=plain(high)), unit)
    return _("no limit on record")


def judged(word: str, low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """The tail of a sentence: `limit at least 1.6 mm: pass.`, or that there is no limit."""
    if low is None and high is None:
        return _("no limit on record.")
    said = limit_words(low, high, unit)
    return _("limit {limit}: {word}.").format(limit=said, word=trade_word(word) or _("not judged"))


# -- paint -------------------------------------------------------------------------------------------------------------


def removal_sentence(zone: str, found: Removal, decision: Decision | None, points: int) -> str:
    """`Polishing took 3.4 ± 1.9 µm off the bonnet (9 points); limit 7.62 µm: pass.`"""
    at = plural("{n} point", "{n} points", points)
    tail = _("no limit on record.")
    if decision is not None and decision.upper is not None:
        limit = with_unit(plain(decision.upper), "µm")
        tail = _("limit {limit}: {word}.").format(limit=limit, word=trade_word(decision.word))
    if found.grown:
        grown = amount(-found.removed, found.expanded, "µm", _one(found.expanded))
        said = _("After polishing the film on {zone} reads {by} thicker than before ({at}), which polishing cannot do;")
        return sentences(said.format(zone=the(zone), by=grown, at=at), tail)
    by = amount(found.removed, found.expanded, "µm", _one(found.expanded))
    return _("Polishing took {by} off {zone} ({at}); {tail}").format(by=by, zone=the(zone), at=at, tail=tail)


def _one(uncertainty: Decimal | None) -> int:
    """Decimals for film: one, as gauges show; two where the uncertainty is below a tenth."""
    return 1 if uncertainty is None or uncertainty >= Decimal("0.05") else 2


def remaining_sentence(zone: str, after: Summary, decision: Decision | None) -> str:
    """What is left after polishing: `109.1 µm remain on the roof (mean of 5); no limit on record.`"""
    u = None if after.u_mean is None else 2 * after.u_mean
    left = amount(after.mean, u, "µm", _one(u))
    tail = _("no limit on record.")
    if decision is not None and decision.lower is not None:
        least = with_unit(plain(decision.lower), "µm")
        tail = _("at least {least} must stay: {word}.").format(least=least, word=trade_word(decision.word))
    return _("{left} remain in total on {zone} (mean of {n}); {tail}").format(
        left=left, zone=the(zone), n=after.n, tail=tail
    )


def signs_sentence(panel: ThickPanel) -> str:
    """A panel that stands out against the car's own median; never a statement of what happened to it."""
    mean = with_unit(fixed(panel.summary.mean, 0), "µm")
    opening = the(panel.panel)
    return _("{zone}: {mean} (n = {n}), {statement}.").format(
        zone=opening[:1].upper() + opening[1:], mean=mean, n=panel.summary.n, statement=_statement(panel)
    )


def _statement(panel: ThickPanel) -> str:
    """As `ThickPanel.statement`: a comparison and what it is consistent with, never what happened."""
    if panel.above > 0 and panel.signs != ("spread",):
        said = _(
            "thicker than this car's own median by {by} µm; consistent with an earlier repaint or repair, which "
            "thickness alone cannot prove"
        )
        return said.format(by=f"{panel.above:.0f}")
    said = _("uneven (s = {s} µm); consistent with an earlier local repair, which thickness alone cannot prove")
    return said.format(s=f"{panel.summary.s:.0f}")


def acceptance_sentence(zone: str, found: FilmAcceptance, nominal: Decimal) -> str:
    """New paint by the 80-20 rule, with the rule's name, its reasons and that it is borrowed."""
    s, said = found.summary, _("accepted")
    if not found.accepted:
        said = _("not accepted ({reasons})").format(reasons=comma().join(map(trade_word, found.reasons)))
    values = _("mean {mean}, least {least}, n = {n}").format(
        mean=with_unit(fixed(s.mean, 1), "µm"), least=with_unit(plain(s.minimum), "µm"), n=s.n
    )
    return _("New paint on {zone}: {values}; nominal {nominal}, {rule}: {said}; {note}.").format(
        zone=the(zone), values=values, nominal=with_unit(plain(nominal), "µm"), rule=trade_word(found.rule), said=said,
        note=trade_word(found.note),
    )  # fmt: skip


def spots_sentence(zone: str, found: AreaResult, nominal: Decimal) -> str:
    """New paint by spots of several readings; no verdict where spots or readings are missing."""
    if found.accepted is None:
        said = _("no verdict, too few spots or readings")
    else:
        why = comma().join(map(trade_word, found.reasons))
        said = _("accepted") if found.accepted else _("not accepted ({r})").format(r=why)
    return _(
        "New paint on {zone}: mean {mean} over {n} spots; nominal {nominal}, by spots after SSPC-PA 2: {said}; a rule "
        "for steel structures, borrowed."
    ).format(
        zone=the(zone), mean=with_unit(fixed(found.mean, 1), "µm"), n=len(found.spots),
        nominal=with_unit(plain(nominal), "µm"), said=said,
    )  # fmt: skip


def gloss_sentence(zone: str, change: GlossChange, uncertainty: Decimal | None) -> str:
    """`Gloss at 20° on the roof went from 16.1 to 80.5 GU: a gain of 64.3 ± 0.9 GU.`"""
    unit = "GU"
    by = amount(abs(change.gain), uncertainty, unit, 1)
    kind = _("a gain of {by}") if change.gain >= 0 else _("a loss of {by}")
    return _("Gloss at {angle}° on {zone} went from {before} to {after}: {by}.").format(
        angle=change.angle, zone=the(zone), before=fixed(change.before, 1),
        after=with_unit(fixed(change.after, 1), unit), by=kind.format(by=by),
    )  # fmt: skip


def colour_sentence(
    zone: str, point: str, difference: Decimal, reference: str, word: str, limit: Decimal | None
) -> str:
    """The colour difference from the reference panel by CIEDE2000."""
    tail = judged(word, None, limit, "")
    said = _("Colour of {where} differs by ΔE00 {difference} from {reference}; {tail}")
    if point:
        said = _("Colour of {where}, {point}, differs by ΔE00 {difference} from {reference}; {tail}")
    return said.format(
        where=the(zone), point=point, difference=fixed(difference, 2), reference=the(reference), tail=tail
    )


# -- brakes, tyres, fasteners ------------------------------------------------------------------------------------------


def disc_sentence(
    zone: str, stage: str, readings: Summary, decision: Decision | None, variation: Decimal | None, unit: str
) -> str:
    """The thinnest reading against the minimum, and the variation round the disc."""
    places = places_of(readings.minimum)
    least = with_unit(fixed(readings.minimum, places), unit)
    tail = _("no limit on record.")
    if decision is not None and decision.lower is not None:
        minimum = with_unit(plain(decision.lower), unit)
        tail = _("minimum {minimum}: {word}.").format(minimum=minimum, word=trade_word(decision.word))
    said = _("Disc of {zone}, {stage}: thinnest of {n} points {least}; {tail}").format(
        zone=the(zone), stage=stage, n=readings.n, least=least, tail=tail
    )
    if variation is not None:
        said = sentences(said, _("Thickness variation {by}.").format(by=with_unit(plain(variation), unit)))
    return said


def sides_sentence(what: str, found: SideDifference, unit: str) -> str:
    """Left and right of one axle compared by their lowest readings, against the job's limit where there is one."""
    told = _("{what}: lowest left {left}, lowest right {right}, {apart} apart").format(
        what=what, left=with_unit(plain(found.left), unit), right=with_unit(plain(found.right), unit),
        apart=with_unit(plain(found.difference), unit),
    )  # fmt: skip
    if found.decision is not None and found.decision.upper is not None:
        limit = with_unit(plain(found.decision.upper), unit)
        more = _("at most {limit}: {word}").format(limit=limit, word=trade_word(found.decision.word))
        told = semicolon().join((told, more))
    return _("{parts}.").format(parts=told)


def age_sentence(zones: Sequence[str], code: DateCode, age: AgeRange, on: str, word: str, years: int) -> str:
    """A tyre's age by its date code, as a range."""
    span = f"{age.youngest}" if age.youngest == age.oldest else _("{a} to {b}").format(a=age.youngest, b=age.oldest)
    whose = listed([the(z) for z in zones])
    made = " / ".join(str(y) for y in code.years)
    said = _("{whose}: date code {code}, week {week} of {made}; {span} whole years old on {on}, {word} {years} years.")
    return said.format(
        whose=whose[:1].upper() + whose[1:], code=code.written, week=f"{code.week:02d}", made=made, span=span, on=on,
        word=trade_word(word), years=years,
    )  # fmt: skip


# -- climate, curing, engine -------------------------------------------------------------------------------------------


def dew_sentence(what: str, surface: Decimal, found: DewPointCheck, least: Decimal) -> str:
    """The surface against the dew point at one moment."""
    said = _("{what}: surface {surface}, dew point {dew}: {margin} above it; at least {least} asked for: {word}.")
    return said.format(
        what=what, surface=with_unit(plain(surface), "°C"), dew=with_unit(fixed(found.dew_point, 1), "°C"),
        margin=with_unit(fixed(found.margin, 1), "°C"), least=with_unit(plain(least), "°C"),
        word=trade_word(found.decision.word),
    )  # fmt: skip


def cure_sentence(zone: str, found: CureCheck, threshold: Decimal) -> str:
    """The dwell at metal temperature against the schedule."""
    counted, required = _minutes(found.counted.total_seconds()), _minutes(found.required.total_seconds())
    how = _("in one stretch") if found.unbroken else _("in all")
    word = _("reached") if found.enough else _("not reached")
    return _("Metal of {zone} at or above {at} for {counted} {how}; {required} asked for: {word}.").format(
        zone=the(zone), at=with_unit(plain(threshold), "°C"), counted=counted, how=how, required=required, word=word
    )


def _minutes(seconds: float) -> str:
    return with_unit(f"{seconds / 60:.0f}", "min")


def compression_sentence(stage: str, found: Compression, unit: str) -> str:
    """The spread between cylinders, and the lowest against the minimum where there is one."""
    name, low = found.lowest
    top_name, high = found.highest
    told = [_("Compression, {stage}: {low} ({name}) to {high} ({top}); spread {spread} of the highest").format(
        stage=stage, low=with_unit(plain(low), unit), name=name, high=with_unit(plain(high), unit), top=top_name,
        spread=f"{fixed(found.spread_percent, 1)}{NBSP}%",
    )]  # fmt: skip
    if found.spread.upper is not None:
        limit = f"{plain(found.spread.upper)}{NBSP}%"
        told.append(_("at most {limit}: {word}").format(limit=limit, word=trade_word(found.spread.word)))
    if found.least is not None and found.least.lower is not None:
        least = with_unit(plain(found.least.lower), unit)
        told.append(_("lowest against {least}: {word}").format(least=least, word=trade_word(found.least.word)))
    return _("{parts}.").format(parts=semicolon().join(told))


def worst_sentence(
    what: str, where: str, value: Decimal, uncertainty: Decimal | None, unit: str, word: str,
    low: Decimal | None, high: Decimal | None, count: int,
) -> str:  # fmt: skip
    """The reading that decides among several of one place: `Tread, the left front tyre, intake: 2.9 ± 0.1 mm ...`."""
    shown, by = pair(value, uncertainty)
    of = _(" (decides among {n})").format(n=count) if count > 1 else ""
    told = with_unit(f"{shown} ± {by}" if by else shown, unit)
    said = _("{what}, {where}: {value}; {verdict}")
    return said.format(what=what, where=where, value=told + of, verdict=judged(word, low, high, unit))
