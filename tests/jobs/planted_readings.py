"""Single values of the demo job's readings, limits and instruments, changed as a person would get them wrong.

Each fault names the sort of slip, the one change, and the finding that must answer it: its code and its place.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.records.place import Place

READINGS = "readings.csv"
JOB = "job.toml"
PAINT = "steps/060-paint-bonnet-wing/step.toml"


@dataclass(frozen=True, slots=True)
class Fault:
    """One change: a cell of readings.csv (`row` is the reading's id), or one text of a TOML file for another."""

    sort: str
    code: str
    at: Place
    row: str = ""
    column: str = ""
    file: str = ""
    old: str = ""
    new: str = ""

    @property
    def name(self) -> str:
        what = f"{self.row}.{self.column}" if self.row else f"{self.file.rpartition('/')[2]}:{self.old[-24:]}"
        return f"{self.sort}: {what}={self.new[-24:]}"


def line_of(reading: str) -> int:
    """The row in the table: R001 stands in row 2."""
    return int(reading[1:]) + 1


def cell(sort: str, row: str, column: str, new: str, code: str, at: str = "", seen: str = "") -> Fault:
    """A cell changed. at: the column of the finding if it is another; seen: the reading if it is another."""
    place = Place(READINGS, line_of(seen or row), at or column)
    return Fault(sort, code if "." in code else f"readings.{code}", place, row=row, column=column, new=new)


def text(sort: str, file: str, old: str, new: str, code: str, at: str) -> Fault:
    """A text of a TOML file changed. at: the key, or `R155.column` for a finding at a reading."""
    row, _, column = at.partition(".")
    place = Place(READINGS, line_of(row), column) if row[1:].isdigit() and row[0] == "R" else Place(file, key=at)
    return Fault(sort, code if "." in code else f"readings.{code}", place, file=file, old=old, new=new)


def instrument(sort: str, name: str, old: str, new: str, code: str, at: str) -> Fault:
    """A line of an instrument changed, found by the text that stands between its id and that line."""
    return text(sort, JOB, f'{name}\n{old}', f"{name}\n{new}", code, at)


FAULTS: tuple[Fault, ...] = (
    # units
    cell("unit slip", "R003", "unit", "mil", "unit-slip"),
    cell("unit slip", "R162", "unit", "mm", "impossible", "value"),
    cell("unit slip", "R125", "unit", "lbf·ft", "unit-differs"),
    cell("unit slip", "R258", "unit", "kgf·m", "unit-slip"),
    cell("unit slip", "R128", "unit", "°F", "outside-limits", "value"),
    cell("unit slip", "R277", "unit", "psi", "unit-slip"),
    cell("unit slip", "R242", "unit", "in", "impossible", "value"),
    cell("unit slip", "R274", "value", "40", "unit-slip", "unit"),
    cell("missing unit", "R118", "unit", "", "unit-wrong"),
    cell("mistyped unit", "R118", "unit", "milimeter", "unit-unknown"),
    cell("unit of another quantity", "R095", "unit", "N·m", "unit-wrong"),
    # digits, points, signs
    cell("swapped digits", "R157", "value", "183.4", "typing-slip"),
    cell("swapped digits", "R102", "value", "12.071", "brake-sides-differ"),
    cell("swapped digits", "R001", "value", "84132", "odometer-differs"),
    cell("swapped digits", "R289", "value", "83427", "odometer-differs"),
    cell("swapped digits", "R222", "value", "97.7", "typing-slip"),
    cell("decimal point moved", "R259", "value", "9.0", "typing-slip"),
    cell("decimal point moved", "R118", "value", "0.4", "outside-limits"),
    cell("decimal point moved", "R073", "value", "11800", "outside-limits"),
    cell("decimal point moved", "R238", "value", "1.18", "outside-limits"),
    cell("decimal comma", "R183", "value", "38,0", "load.decimal-comma"),
    cell("sign", "R134", "value", "-19.6", "dew-point"),
    cell("sign", "R042", "value", "-4.4", "impossible"),
    cell("sign", "R166", "value", "27.55 3.18 -27.46", "outside-limits"),
    cell("sign", "R166", "value", "-27.55 -3.18 -27.46", "value-form"),
    cell("words for a number", "R118", "value", "ok", "value-form"),
    # values that cannot be, or that change the verdict
    cell("impossible value", "R133", "value", "151", "impossible"),
    cell("impossible value", "R254", "value", "5426", "value-form"),
    cell("another value", "R142", "value", "93", "outside-limits"),
    cell("another value", "R141", "value", "31", "outside-limits"),
    cell("another value", "R150", "value", "36", "cure-short"),
    cell("another value", "R279", "value", "9.2", "compression-spread"),
    cell("another value", "R276", "value", "0.2", "outside-limits"),
    cell("another value", "R208", "value", "98.5", "film-removed-at-point"),
    cell("another value", "R206", "value", "119.8", "film-grown"),
    cell("another value", "R282", "value", "12.06", "outside-limits"),
    cell("another value", "R123", "value", "7.2", "brake-sides-differ"),
    cell("another value", "R077", "value", "3", "grade-worse"),
    cell("another value", "R254", "value", "2604", "tyre-old"),
    cell("another value", "R254", "value", "0462", "tyre-code-future"),
    # stage, step, zone, kind, point
    cell("wrong stage", "R201", "stage", "before", "point-twice", "point"),
    cell("wrong stage", "R168", "stage", "after", "points-differ"),
    cell("wrong stage", "R277", "stage", "intake", "time.reading-outside-stage", "on"),
    cell("wrong step", "R118", "step", "400", "step-unknown"),
    cell("wrong step", "R155", "step", "070", "zone-not-in-step", "zone"),
    cell("missing step", "R118", "step", "", "no-step"),
    cell("wrong zone", "R242", "zone", "tyre-fl", "zone-unknown"),
    cell("wrong zone", "R102", "zone", "bonnet", "zone-unlikely"),
    cell("wrong zone", "R173", "zone", "bonnet", "zone-not-in-step"),
    cell("wrong geometry", "R216", "kind", "gloss_85", "gloss-not-comparable"),
    cell("wrong geometry", "R186", "kind", "gloss_20", "point-twice", "point"),
    cell("wrong kind", "R118", "kind", "disc_runaut", "kind-unknown"),
    cell("wrong kind", "R155", "kind", "gloss_60", "unit-wrong", "unit"),
    cell("wrong kind", "R128", "kind", "metal_temperature", "impossible", "value"),
    cell("wrong point", "R165", "point", "centre", "no-reference-colour", seen="R166", at="point"),
    cell("wrong point", "R202", "point", "marked 1", "point-twice"),
    # dates
    cell("wrong date", "R124", "on", "2026-03-07T14:30", "time.reading-outside-stage"),
    cell("wrong date", "R242", "on", "2025-04-15T11:00", "time.reading-outside-stage"),
    cell("wrong date", "R282", "on", "2026-05-23T09:00", "time.future"),
    cell("day and month swapped", "R124", "on", "2026-17-03", "load.bad-date"),
    cell("missing date", "R124", "on", "", "no-date"),
    # who and with what
    cell("wrong instrument", "R128", "instrument", "TDG-1", "instrument-unsuited"),
    cell("wrong instrument", "R155", "instrument", "PTG-2", "instrument-unknown"),
    cell("missing instrument", "R155", "instrument", "", "no-instrument"),
    cell("missing person", "R118", "by", "", "no-by"),
    cell("unknown person", "R118", "by", "XY", "people.unknown"),
    cell("expired instrument", "R277", "instrument", "CG-1", "out-of-calibration"),
    instrument("expired instrument", 'serial = "SV-20871"', "calibrated_on = 2025-11-18", "calibrated_on = 2024-11-18",
               "out-of-calibration", "R155.instrument"),
    instrument("expired instrument", 'serial = "TW-61140"\ncalibrated_on = 2025-12-09', "interval_months = 12",
               "interval_months = 1", "out-of-calibration", "R124.instrument"),
    instrument("calibrated after the reading", 'serial = "BF-2207"', "calibrated_on = 2025-12-09",
               "calibrated_on = 2026-12-09", "out-of-calibration", "R128.instrument"),
    instrument("no calibration", 'serial = "05519"', "calibrated_on = 2025-10-07\n", "", "not-calibrated",
               "instruments.4.calibrated_on"),
    instrument("impossible interval", 'serial = "05519"\ncalibrated_on = 2025-10-07', "interval_months = 12",
               'interval_months = "yearly"', "load.wrong-type", "instruments.4.interval_months"),
    # details: bolts, fluids
    cell("wrong bolt", "R124", "detail", "M6 8.8", "torque-implausible", "value"),
    cell("wrong bolt", "R258", "detail", "M8 10.9", "torque-implausible", "value"),
    cell("wrong bolt size and class", "R126", "detail", "M16 10.9", "torque-implausible", "value"),
    cell("wrong fluid grade", "R128", "detail", "DOT 5", "fluid-mixed"),
    cell("wrong fluid grade", "R128", "detail", "DOT 6", "fluid-grade-unknown"),
    # limits, uncertainty, exceptions
    cell("crossed limits", "R155", "limit_min", "320", "limits-crossed"),
    text("crossed limits", JOB, "min = 3.5\nmax = 5.5", "min = 35\nmax = 5.5", "limits-crossed", "limits.10.min"),
    cell("limit without source", "R155", "limit_source", "", "limit-without-source"),
    text("limit in another unit", JOB, 'min = 1.6\nunit = "mm"', 'min = 1.6\nunit = "bar"', "limit-unusable", "limits.5.unit"),
    text("mistyped kind of a limit", JOB, 'kind = "disc_runout"', 'kind = "disc_run"', "limit-unusable", "limits.2.kind"),
    text("wrong limit", JOB, "max = 0.3\n", "max = 0.03\n", "film-removed", "R201.value"),
    text("wrong limit", JOB, "min = 120\nmax = 220", "min = 210\nmax = 220", "film-acceptance", "R157.value"),
    text("wrong limit", JOB, "min = 10.5", "min = 15", "outside-limits", "R102.value"),
    cell("uncertainty", "R124", "uncertainty", "15", "uncertainty-odd"),
    cell("uncertainty", "R128", "uncertainty", "0", "uncertainty-odd"),
    cell("exception without reason", "R287", "exception", "", "exception-without-reason"),
    cell("exception without approval", "R287", "approval", "", "exception-unapproved"),
    cell("exception with a wrong approval", "R287", "approval", "A-99", "approval-unknown"),
    cell("needless exception", "R284", "exception", "Left as it is", "exception-needless"),
    # schedules, odometer, settings
    text("wrong schedule", PAINT, "minutes = 20\n", "minutes = 200\n", "cure-short", "R153.value"),
    text("wrong schedule", PAINT, "metal_temperature_min = 60", "metal_temperature_min = 90", "cure-short", "R150.value"),
    text("wrong schedule", PAINT, 'unit = "°C"', 'unit = "mm"', "schedule-incomplete", "cure.unit"),
    text("wrong time", PAINT, "began = 2026-03-26T10:15:00", "began = 2026-03-26T10:01:00", "recoat-early", "recoats.2.began"),
    text("wrong date", PAINT, "began = 2026-03-25T09:30:00", "began = 2026-03-29T09:30:00", "recoat-late", "recoats.1.began"),
    text("day without time", PAINT, "after = 2026-03-26T09:50:00", "after = 2026-03-26", "schedule-incomplete", "recoats.2.after"),
    text("swapped digits", JOB, "in = 84312", "in = 84321", "odometer-differs", "R001.value"),
    text("mistyped setting", JOB, 'tyre_jurisdiction = "EU"', 'tyre_jurisdiction = "UE"', "setting-wrong", "settings.tyre_jurisdiction"),
)  # fmt: skip
