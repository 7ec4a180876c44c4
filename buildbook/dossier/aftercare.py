"""Section 9: what is due after handover, with dates and distances, and where each figure comes from."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.due import Due, due_list
from buildbook.dossier.evidence import links
from buildbook.dossier.marks import in_words
from buildbook.dossier.model import Block, Column, Paragraph, Ref, Run, Section, Table, TableRow, Text, text
from buildbook.dossier.terms import zone_title
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, given, lines, not_recorded, phrase, semicolon
from buildbook.records.cautions import DEFERENCE


def build(view: View) -> Section:
    due = due_list(view.job)
    blocks: list[Block] = [
        Paragraph(
            text=text(
                _("Worked out from this record: {start}. ").format(start=_start(view)),
                _(DEFERENCE),
            ),
            style="quiet",
        )
    ]
    if due:
        blocks.append(_table(view, due))
    else:
        blocks.append(Paragraph(text=text(_("Nothing in the record opens a date or a distance after handover."))))
    return Section(anchor=at.AFTERCARE, number="9", title=_("Aftercare"), blocks=tuple(blocks))


def _start(view: View) -> str:
    meter = view.job.odometer
    left = (
        _("odometer on leaving {reading}").format(reading=view.formats.amount(meter.reading_out, meter.unit))
        if meter.reading_out is not None
        else _("odometer on leaving not recorded")
    )
    day = (
        _("handover {day}").format(day=view.formats.day(view.job.handover))
        if view.job.handover
        else _("handover not recorded")
    )
    return day + comma() + left


def _table(view: View, due: tuple[Due, ...]) -> Table:
    columns = (
        Column(title=_("What"), width=4),
        Column(title=_("Due"), width=3.2),
        Column(title=_("Follows from"), width=1.8),
        Column(title=_("Source"), width=2.8),
    )
    rows = tuple(
        TableRow(cells=(_what(item), _when(view, item), links(_refs(view, item)) or text("–"), given(_source(item))))
        for item in due
    )
    return Table(columns=columns, rows=rows, caption=_("Due after handover"))


def _source(item: Due) -> str:
    """What the workshop wrote stands as written; our own sources say their marks in words."""
    return item.source if item.kind == "recorded" else in_words(_(item.source))


def _what(item: Due) -> Text:
    if item.kind == "wheel-nuts":
        return text(
            _(
                "Check the tightening of the wheel nuts or bolts again with a torque wrench, to the maker's figure. "
                "An impact gun alone is no recorded torque."
            )
        )
    if item.kind == "bedding-in":
        return text(
            _(
                "Parts of the wheel brakes were replaced: new linings, discs and drums need bedding in as their maker "
                "says. Until then expect longer stopping distances."
            )
        )
    if item.kind == "coating-cure":
        return phrase(
            _("Coating “{name}”: keep dry until the first date, do not wash with detergents until the second."),
            name=item.subject,
        )
    if item.kind == "fresh-paint":
        return phrase(
            _("Fresh paint “{name}”: when it may be washed, waxed or covered is for its data sheet to say."),
            name=item.subject,
        )
    if item.kind == "brake-fluid":
        return phrase(_("Brake fluid “{name}”: next change, or a check of its boiling point."), name=item.subject)
    if item.kind == "tyre-age":
        names = semicolon().join(zone_title(z) if z else _("tyre, zone not recorded") for z in item.zones)
        return phrase(
            _("{tyres}: ten years old by the date code {code}."), tyres=names, code=item.subject or _("not recorded")
        )
    return given(item.subject)


def _when(view: View, item: Due) -> Text:
    day, amount, unit = view.formats.day, view.formats.amount, view.job.odometer.unit
    found: list[Text] = []
    if item.kind == "coating-cure" and item.on and item.until:
        return lines(
            _("dry until {day}").format(day=day(item.on)), _("cured on {day}").format(day=day(item.until))
        )
    if item.kind == "fresh-paint":
        painted = _("painted by {day}").format(day=day(item.on)) if item.on else _("painting date not recorded")
        return lines(_("as the data sheet says"), (Run(painted, "quiet"),))
    if item.kind == "bedding-in":
        start = text(_("from {reading}").format(reading=amount(item.at, unit))) if item.at is not None else ()
        return lines(_("from the first drive"), start)
    if item.on and item.until and item.on != item.until:
        found.append(text(_("between {first} and {last}").format(first=day(item.on), last=day(item.until))))
    elif item.on:  # one day, or a span of one day
        found.append(text(day(item.on)))
    left = view.job.handover
    if item.kind != "recorded" and item.until and left and item.until <= left:
        found.append((Run(_("already past at handover"), "warn"),))
    if item.at is not None:
        found.append(text(_("at {reading}").format(reading=amount(item.at, unit))))
    if item.overdue_at is not None:
        found.append((Run(_("overdue at {reading}").format(reading=amount(item.overdue_at, unit)), "warn"),))
    return lines(*found) or not_recorded()


def _refs(view: View, item: Due) -> list[Ref | None]:
    made: list[Ref | None] = []
    for kind, name in item.records:
        if kind == "step":
            made.append(view.evidence.step(name))
        elif kind == "part":
            made.append(view.evidence.part(name))
        elif kind == "material":
            made.append(view.evidence.material(name))
        else:
            made.append(view.evidence.readings[int(name)][1])
    return made
