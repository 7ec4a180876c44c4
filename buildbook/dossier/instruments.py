"""The instruments with their calibration, and the limits a job sets for readings that state none."""

from __future__ import annotations

from buildbook.dossier.evidence import named_files
from buildbook.dossier.model import Column, Run, Table, TableRow, text
from buildbook.dossier.readings import kind_title
from buildbook.dossier.terms import zone_title
from buildbook.dossier.verdicts import limits_words
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, given, lines, named_value, not_recorded, plural, semicolon
from buildbook.rules.judged import calibration_of
from buildbook.rules.settings import SETTINGS


def instruments(view: View) -> Table:
    """Each instrument: what it is, its calibration and until when that holds, how many readings it gave."""
    rows = []
    for instrument, ref in view.evidence.instruments:
        due = calibration_of(instrument, instrument.calibrated_on).due
        months = instrument.interval_months
        used = sum(1 for r in view.job.readings if r.instrument == instrument.id)
        late = sum(
            1
            for r, v in zip(view.job.readings, view.verdicts, strict=True)
            if r.instrument == instrument.id and not v.counts
        )
        serial = _("serial number {serial}").format(serial=instrument.serial) if instrument.serial else ""
        rows.append(
            TableRow(
                cells=(
                    text(ref.label),
                    lines(given(instrument.what), instrument.maker, serial),
                    text(view.formats.day(instrument.calibrated_on)) if instrument.calibrated_on else not_recorded(),
                    lines(
                        text(view.formats.day(due)) if due else not_recorded(),
                        (Run(plural("interval {n} month", "interval {n} months", months), "quiet"),) if months else (),
                    ),
                    named_files(view.evidence, [instrument.certificate]) or not_recorded(),
                    lines(
                        str(used),
                        (Run(plural("{n} not counting", "{n} not counting", late), "warn"),) if late else (),
                    ),
                ),
                anchor=ref.target,
            )
        )
    columns = (
        Column(title=_("No."), width=1.1, nowrap=True),
        Column(title=_("Instrument"), width=3),
        Column(title=_("Calibrated on"), width=1.8),
        Column(title=_("Good until"), width=1.8),
        Column(title=_("Certificate"), width=1.4),
        Column(title=_("Readings"), width=1.3, align="right"),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Instruments and their calibration"))


def settings_of_job(view: View) -> Table:
    """The settings of job.toml, as written, with what each means."""
    means = {setting.name: setting.means for setting in SETTINGS}
    rows = tuple(
        TableRow(cells=(lines(_(means.get(name, "")), (Run(name, "quiet"),)), text(_written(value))))
        for name, value in sorted(view.job.settings.items())
    )
    columns = (Column(title=_("What is set, with its name in job.toml"), width=5), Column(title=_("Value"), width=2))
    return Table(columns=columns, rows=rows, caption=_("Settings of this job, where they differ from the usual ones"))


def _written(value: object) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, list | tuple):
        return comma().join(_written(v) for v in value)
    if isinstance(value, dict):
        return semicolon().join(named_value(str(k), _written(v)) for k, v in sorted(value.items()))
    return str(value)


def limits_of_job(view: View) -> Table:
    """The limits of job.toml."""
    rows = [
        TableRow(
            cells=(
                text(kind_title(view.kinds, limit.kind)),
                text(zone_title(limit.zone)) if limit.zone else text(_("any zone")),
                text(limits_words(view, limit.min, limit.max, limit.unit)) or not_recorded(),
                given(limit.source),
            )
        )
        for limit in view.job.limits
    ]
    columns = (
        Column(title=_("Kind"), width=2.4),
        Column(title=_("Zone"), width=2),
        Column(title=_("Limits"), width=2),
        Column(title=_("Source"), width=3.4),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Limits for readings that state none of their own"))
