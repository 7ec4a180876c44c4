"""A step's schedules beside what the record shows: the cure by heat, and the windows between coats."""

from __future__ import annotations

from datetime import timedelta

from buildbook.dossier.formats import NBSP
from buildbook.dossier.grouping import ref_range
from buildbook.dossier.model import Block, Column, Run, Table, TableRow, Text, Tone, text
from buildbook.dossier.said import in_language
from buildbook.dossier.trade_words import trade_word
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, lines
from buildbook.records.job import Cure, Recoat, Step
from buildbook.rules.readings_cure import Cured, Window, cures, recoat_windows
from buildbook.trade.curing import Recoat as Word

_TONES: dict[Word, Tone] = {Word.ALLOWED: "good", Word.TOO_EARLY: "bad", Word.ABRADE_FIRST: "bad"}


def schedule_blocks(view: View, step: Step) -> list[Block]:
    """One table of the step's schedules, nothing where it states none."""
    rows = [_recoat(view, recoat, window) for s, recoat, window in recoat_windows(view.job) if s is step]
    rows += [_cured(view, cured) for cured in cures(view.job) if cured.step is step]
    if step.cure is not None and not any(cured.step is step for cured in cures(view.job)):
        rows.append(_unlogged(view, step.cure))
    if not rows:
        return []
    columns = (
        Column(title=_("Schedule"), width=2),
        Column(title=_("Asked for"), width=2.2),
        Column(title=_("As recorded"), width=2.8),
        Column(title=_("Verdict"), width=1.6),
        Column(title=_("Source"), width=2.2),
    )
    return [Table(columns=columns, rows=tuple(rows), caption=_("Coats and cure, against their data sheets"))]


def _amount(view: View, value: object, unit: str) -> str:
    return f"{value}{NBSP}{unit}"


def _elapsed(view: View, span: timedelta) -> str:
    minutes = round(span.total_seconds() / 60)
    if minutes < 180:
        return _amount(view, minutes, "min")
    return _amount(view, f"{minutes / 60:.1f}", "h")


def _recoat(view: View, recoat: Recoat, window: Window) -> TableRow:
    number, ends = view.formats.number, []
    if recoat.not_before_minutes is not None:
        ends.append(_("not before {time}").format(time=_amount(view, number(recoat.not_before_minutes), "min")))
    if recoat.not_after_hours is not None:
        ends.append(_("not after {time}").format(time=_amount(view, number(recoat.not_after_hours), "h")))
    if window.check is None:
        shown: Text = (Run(_("not judged"), "quiet"),)
        verdict: Text = (Run(in_language(window.fault), "warn"),)
    else:
        shown = lines(
            text(_("coat beneath ended {when}").format(when=view.formats.when(window.after))),
            text(_("begun {when}, {apart} later").format(
                when=view.formats.when(window.began), apart=_elapsed(view, window.check.elapsed)
            )),
        )  # fmt: skip
        abraded = recoat.abraded and window.check.word is Word.ABRADE_FIRST
        word = _("window closed; abraded first") if abraded else trade_word(window.check.word)
        verdict = (Run(word, "good" if abraded else _TONES[window.check.word]),)
    asked = lines(*(text(end) for end in ends)) or (Run(_("nothing stated"), "quiet"),)
    return TableRow(cells=(given(recoat.coat), asked, shown, verdict, given(recoat.source)))


def _asked(view: View, cure: Cure) -> Text:
    if cure.metal_temperature_min is None or cure.minutes is None:
        return (Run(_("temperature or minutes not recorded"), "warn"),)
    one = _(", unbroken") if cure.unbroken else ""
    at = _amount(view, view.formats.number(cure.metal_temperature_min), cure.unit or "°C")
    time = _amount(view, view.formats.number(cure.minutes), "min")
    return text(_("{time} with the metal at {at} or above{one}").format(time=time, at=at, one=one))


def _cured(view: View, cured: Cured) -> TableRow:
    refs = {id(reading): ref for reading, ref in view.evidence.readings}
    log = ref_range([refs[id(reading)] for reading in cured.readings])
    if cured.check is None:
        verdict: Text = (Run(_("not judged"), "warn"),)
        shown = text(in_language(cured.fault))
    else:
        got = _amount(view, round(cured.check.counted.total_seconds() / 60), "min")
        shown = text(_("{where}: {got}, log ").format(where=in_language(cured.where), got=got), *log)
        verdict = (Run(_("pass"), "good") if cured.check.enough else Run(_("fail"), "bad"),)
    name = text(_("Cure, by the metal's temperature"))
    return TableRow(cells=(name, _asked(view, cured.cure), shown, verdict, given(cured.cure.source)))


def _unlogged(view: View, cure: Cure) -> TableRow:
    none: Text = (Run(_("no log of the metal's temperature"), "warn"),)
    name = text(_("Cure, by the metal's temperature"))
    return TableRow(cells=(name, _asked(view, cure), none, (Run(_("not judged"), "warn"),), given(cure.source)))
