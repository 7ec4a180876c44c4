"""How a reading, its limits and its verdict read in a table."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation

from buildbook.dossier.formats import NBSP
from buildbook.dossier.model import Run, Text, Tone, text
from buildbook.dossier.readings import Verdict
from buildbook.dossier.view import View
from buildbook.dossier.wording import _
from buildbook.records.job import Reading

TONES: dict[str, Tone] = {"pass": "good", "conditional pass": "good", "conditional fail": "warn", "fail": "bad"}


def value_text(view: View, reading: Reading) -> str:
    """The value as written, with its unit and its stated expanded uncertainty."""
    if not reading.value_text:
        return ""
    shown = view.formats.as_written(reading.value_text, reading.unit)
    if reading.expanded_uncertainty is not None:
        shown += f" ± {view.formats.number(reading.expanded_uncertainty)}"
    return shown


def limits_words(view: View, low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """`80 to 200 µm`, `at least 1.6 mm`, `at most 0.10 mm`, or nothing."""
    number, tail = view.formats.number, f"{NBSP}{unit}" if unit else ""
    if low is not None and high is not None:
        if low == high:
            return f"{number(low)}{tail}"
        return _("{low} to {high}").format(low=number(low), high=number(high)) + tail
    if low is not None:
        return _("at least {low}").format(low=number(low)) + tail
    if high is not None:
        return _("at most {high}").format(high=number(high)) + tail
    return ""


def limits_text(view: View, verdict: Verdict) -> Text:
    words = limits_words(view, verdict.limit_min, verdict.limit_max, verdict.limit_unit)
    return text(words) if words else (Run(_("none"), "quiet"),)


def verdict_text(view: View, verdict: Verdict) -> Text:
    """The word, and that the reading does not count where its instrument was not in calibration."""
    if not verdict.judged:
        made: Text = (Run(_("not judged"), "quiet"),)
    else:
        made = (Run(_(verdict.word), TONES.get(verdict.word, "plain")),)
    if verdict.difference is not None:
        made = (Run(f"ΔE00 {view.formats.number(round_to(verdict.difference, 2))} "), *made)
    if verdict.why_not and verdict.why_not != verdict.rule:
        made += (Run(" · " + _("does not count as evidence: {why}").format(why=verdict.why_not), "warn"),)
    return made


def round_to(value: Decimal, places: int) -> Decimal:
    """To that many decimals, half to even; a number too long for that stays as it is."""
    try:
        return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    except InvalidOperation:
        return value
