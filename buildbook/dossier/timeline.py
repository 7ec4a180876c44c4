"""The time line of the job as a drawing: steps as bars, approvals as diamonds, reception and handover as lines."""

from __future__ import annotations

from datetime import date, timedelta

from buildbook.dossier.drawing import Drawing, Label, Path, line, rect
from buildbook.dossier.drawings.frame import PITCH
from buildbook.dossier.drawings.text import wrapped
from buildbook.dossier.formats import as_day
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, plural, sentences

WIDTH = 480.0  # points: the width of a text column; renderers scale
_LABELS = 168.0  # left part, for the names of the steps
_ROW, _TOP, _SIZE = 13.0, 30.0, 7.0
_INK, _QUIET, _GRID, _BAR, _MARK = "#1f2328", "#5b6470", "#d5d9de", "#3b6ea5", "#b4661f"


def build_timeline(view: View) -> Drawing | None:
    """The drawing, or None where no step has a date."""
    job, formats = view.job, view.formats
    rows: list[tuple[str, str, str, date, date]] = []
    for step, ref in view.evidence.steps:
        start = as_day(step.started, formats) or as_day(step.finished, formats)
        end = as_day(step.finished, formats) or start
        if start and end:
            rows.append((ref.label, step.title, ref.target, min(start, end), max(start, end)))
    if not rows:
        return None
    decided = [(a.on, ref) for a, ref in view.evidence.approvals if a.on]
    gates = [(d, name) for d, name in ((job.received, _("received")), (job.handover, _("handover"))) if d]
    days = [d for row in rows for d in row[3:]] + [d for d, _ref in decided] + [d for d, _name in gates]
    first, last = min(days), min(max(days), date.max - timedelta(days=1)) + timedelta(days=1)
    scale = (WIDTH - _LABELS - 6) / max(1, (last - first).days)
    names = [wrapped(row[1], _LABELS - 34) for row in rows]
    high = [_ROW + PITCH * (len(name) - 1) for name in names]
    bottom = _TOP + sum(high) + (_ROW if decided else 0.0) + 4
    items: list[Path | Label] = []

    def x(day: date) -> float:
        return round(_LABELS + (day - first).days * scale, 2)

    for day in ticks(first, last):
        items.append(line(x(day), _TOP - 6, x(day), bottom, stroke=_GRID, width=0.5))
        items.append(Label(x=x(day) + 2.5, y=_TOP - 9, text=_day_and_month(view, day), size=_SIZE, colour=_QUIET))
    y = _TOP
    if decided:
        items.append(Label(x=0, y=y + 9, text=_("Approvals"), size=_SIZE, colour=_QUIET))
        for on, ref in decided:
            cx, cy, r = x(on) + scale / 2, y + 6.5, 3.6
            items.append(
                Path(
                    commands=(("M", cx, cy - r), ("L", cx + r, cy), ("L", cx, cy + r), ("L", cx - r, cy), ("Z",)),
                    fill=_MARK, link=ref.target, title=_("Approval {id}").format(id=ref.label),
                )
            )  # fmt: skip
        y += _ROW
    for (label, title, target, start, end), parts, row in zip(rows, names, high, strict=True):
        items.append(Label(x=0, y=y + 9, text=label, size=_SIZE, colour=_QUIET))
        items += [
            Label(x=26, y=y + 9 + n * PITCH, text=part, size=_SIZE, colour=_INK) for n, part in enumerate(parts)
        ]
        width = max(2.0, x(end) + scale - x(start))
        bar = y + 2.5 + (row - _ROW) / 2
        items.append(rect(x(start), bar, width, _ROW - 5, fill=_BAR, link=target, title=f"{label} {title}".strip()))
        y += row
    for day, name in gates:
        at_right = day == job.handover and day != job.received
        edge = x(day) + scale if at_right else x(day)
        items.append(line(edge, 4, edge, bottom, stroke=_MARK, width=0.9, dash=(3.0, 2.0)))
        items.append(
            Label(
                x=edge - 3 if at_right else edge + 3, y=10, text=name, size=_SIZE, colour=_MARK,
                anchor="end" if at_right else "start",
            )
        )  # fmt: skip
    alt = plural("Time line of {n} step", "Time line of {n} steps", len(rows))
    span = _("from {first} to {last}").format(first=formats.day(first), last=formats.day(max(days)))
    alt = sentences(alt, span)
    return Drawing(width=WIDTH, height=bottom + 4, items=tuple(items), alt=alt)


def ticks(first: date, last: date, most: int = 8) -> list[date]:
    """Days for the scale: every week, fortnight, month … so that there are at most `most`."""
    span = (last - first).days
    step = next((d for d in (1, 2, 7, 14, 28, 56, 91, 182, 364) if span / d <= most - 1), max(364, span // (most - 1)))
    return [first + timedelta(days=n) for n in range(0, span, step)]


def _day_and_month(view: View, day: date) -> str:
    from babel.dates import format_skeleton

    return str(format_skeleton("MMMd", day, locale=view.formats.locale))
