"""Section 2: which vehicle this is and what is known of its past, each statement with what it rests on."""

from __future__ import annotations

from buildbook.dossier import view as at
from buildbook.dossier.evidence import named_files
from buildbook.dossier.model import (
    Block,
    Bullets,
    Column,
    Heading,
    KeyValues,
    Paragraph,
    PictureGrid,
    Run,
    Section,
    Table,
    TableRow,
    Text,
    text,
)
from buildbook.dossier.paragraphs import brief_in_summary, day_or_silence, paragraphs
from buildbook.dossier.terms import market, term
from buildbook.dossier.view import View
from buildbook.dossier.wording import N_, _, beside, comma, given, lines, not_recorded, phrase
from buildbook.records.job import HistoryEntry
from buildbook.records.photo import Photo
from buildbook.records.words import Basis
from buildbook.trade.vin import VinState, classify

# The record says "north-america"; the rule asks for a country of that market.
_COUNTRY = {"north-america": "US", "europe": "EU", "japan": "JP"}

_CHECK_DIGIT = {
    VinState.AGREES: N_("The check digit agrees."),
    VinState.DOES_NOT_AGREE: N_("The check digit does not agree."),
    VinState.NOT_APPLICABLE: N_("The check digit is not applicable to this number."),
    VinState.FORBIDDEN_LETTER: N_("The number holds a letter I, O or Q, which 17-character numbers do not use."),
    VinState.WRONG_LENGTH: N_("The number does not have the 17 characters of its market and year."),
    VinState.FORBIDDEN_CHARACTER: N_("The number holds a character that is neither letter nor digit."),
}


def build(view: View) -> Section:
    blocks: list[Block] = [
        *_numbers(view),
        *_odometer(view),
        *_history(view),
        *_unknown(view),
        *_parties(view),
    ]
    return Section(anchor=at.IDENTITY, number="2", title=_("Identity and provenance"), blocks=tuple(blocks))


def _numbers(view: View) -> list[Block]:
    job = view.job
    car = job.vehicle
    rows: list[tuple[str, Text]] = [
        (_("Marque"), given(car.marque)),
        (_("Model"), given(car.model)),
        (_("Body"), text(term(car.body)) if car.body else not_recorded()),
        (_("Built"), text(str(car.built)) if car.built else not_recorded()),
        (_("Chassis number, as stamped"), lines(given(car.chassis_number), _proof(view, car.chassis_number_photo))),
        (_("Engine number, as stamped"), lines(given(car.engine_number), _proof(view, car.engine_number_photo))),
        (_("Gearbox number"), given(car.gearbox_number)),
        (_("Registration"), given(car.registration)),
        (_("First registered"), day_or_silence(view.formats, car.first_registered)),
        (_("Made for"), text(market(car.market)) if car.market else not_recorded()),
        (_("Colour"), given(car.colour)),
        (_("Paint code"), given(car.paint_code)),
        (_("Seats"), text(str(car.seats)) if car.seats is not None else not_recorded()),
    ]
    blocks: list[Block] = [
        Heading(level=2, number="2.1", text=_("The numbers on the vehicle"), anchor="sub-numbers"),
        KeyValues(rows=tuple(rows)),
    ]
    if car.chassis_number:
        check = classify(car.chassis_number, _COUNTRY.get(car.market), car.built)
        blocks.append(
            Paragraph(
                text=beside(
                    _(_CHECK_DIGIT[check.state]),
                    text(Run(
                        _("The check digit is a North American rule for 17-character numbers from model year 1981."),
                        "quiet",
                    )),
                )
            )
        )
    if car.notes:
        blocks.extend(paragraphs(car.notes))
    shown = [
        p for path in (car.chassis_number_photo, car.engine_number_photo, job.odometer.photo_in, job.odometer.photo_out)
        if (p := _photo(view, path))
    ]  # fmt: skip
    if shown:
        blocks.append(PictureGrid(pictures=tuple(view.picture(p) for p in shown), across=2 if len(shown) < 3 else 4))
    return blocks


def _photo(view: View, path: str) -> Photo | None:
    found = view.photo_by_path.get(path)
    return found[0] if found and found[0].shown else None


def _proof(view: View, path: str) -> Text:
    if not path:
        return (Run(_("no photo on record"), "quiet"),)
    return phrase(_("photo {ref}"), ref=named_files(view.evidence, [path]))


def _odometer(view: View) -> list[Block]:
    meter, formats = view.job.odometer, view.formats

    def reading(value: int | None, path: str, day: str) -> Text:
        if value is None:
            return not_recorded()
        return lines(text(formats.amount(value, meter.unit), Run(f" · {day}", "quiet")), _proof(view, path))

    rows: list[tuple[str, Text]] = [
        (_("On arrival"), reading(meter.reading_in, meter.photo_in, formats.day(view.job.received))),
        (_("On leaving"), reading(meter.reading_out, meter.photo_out, formats.day(view.job.handover))),
    ]
    if meter.reading_in is not None and meter.reading_out is not None:
        rows.append((_("Between the two"), text(formats.amount(meter.reading_out - meter.reading_in, meter.unit))))
    if meter.digits is not None:
        rows.append((_("Wheels of the counter"), text(str(meter.digits))))
    blocks: list[Block] = [
        Heading(level=2, number="2.2", text=_("Odometer"), anchor="sub-odometer"),
        KeyValues(rows=tuple(rows)),
    ]
    if meter.statement:
        blocks.append(Paragraph(text=phrase(_("Stated about the odometer: {what}"), what=meter.statement)))
    return blocks


_BASES = (Basis.SEEN, Basis.DOCUMENT, Basis.OWNER, None)
_BASIS_TITLES = {
    Basis.SEEN: N_("Seen on the vehicle"),
    Basis.DOCUMENT: N_("A document says"),
    Basis.OWNER: N_("The owner says"),
    None: N_("Basis not recorded"),
}


def _history(view: View) -> list[Block]:
    """One table, grouped by what the statement rests on, so that the three are never read as one."""
    heading = Heading(level=2, number="2.3", text=_("What is known of its past"), anchor="sub-history")
    entries = view.job.history
    if not entries:
        return [heading, Paragraph(text=text(_("The record holds no entry about the vehicle's past.")))]
    rows: list[TableRow] = []
    for basis in _BASES:
        of_basis = [e for e in entries if e.basis is basis]
        if of_basis:
            rows.append(TableRow(cells=(text(_(_BASIS_TITLES[basis])),), group=True))
            rows.extend(_entry(view, e) for e in of_basis)
    columns = (
        Column(title=_("When"), width=1.2, nowrap=True),
        Column(title=_("Statement"), width=5),
        Column(title=_("Odometer"), width=1.3, align="right", nowrap=True),
        Column(title=_("Document"), width=1.5),
    )
    return [heading, Table(columns=columns, rows=tuple(rows), caption=_("History by what it rests on"))]


def _entry(view: View, entry: HistoryEntry) -> TableRow:
    odometer = view.formats.amount(entry.odometer, view.job.odometer.unit) if entry.odometer is not None else "–"
    return TableRow(
        cells=(
            given(entry.on),
            given(entry.what),
            text(odometer),
            named_files(view.evidence, [entry.document]) or text("–"),
        )
    )


def _unknown(view: View) -> list[Block]:
    """What the record does not say about identity, spelled out."""
    job = view.job
    car = job.vehicle
    silent = [
        name
        for name, value in (
            (_("the chassis number"), car.chassis_number),
            (_("a photo of the chassis number"), car.chassis_number_photo),
            (_("the engine number"), car.engine_number),
            (_("a photo of the engine number"), car.engine_number_photo),
            (_("the gearbox number"), car.gearbox_number),
            (_("the year it was built"), car.built),
            (_("the date of first registration"), car.first_registered),
            (_("the paint code"), car.paint_code),
            (_("a photo of the odometer on arrival"), job.odometer.photo_in),
            (_("a photo of the odometer on leaving"), job.odometer.photo_out),
        )
        if not value
    ]
    items = [text(_("Not recorded: {what}.").format(what=comma().join(silent)))] if silent else []
    if any(e.basis is Basis.OWNER for e in job.history):
        items.append(text(_("Statements of the owner were not checked against other sources.")))
    if any(e.basis is Basis.DOCUMENT for e in job.history):
        items.append(text(_("What a document says was not checked beyond the document itself.")))
    items.append(
        text(_("Numbers are given as read on the vehicle; whether they are original to it is not judged here."))
    )
    return [
        Heading(level=2, number="2.4", text=_("What is not known"), anchor="sub-unknown"),
        Bullets(items=tuple(items)),
    ]


def _parties(view: View) -> list[Block]:
    """Workshop and client: the only page with their addresses."""
    job = view.job
    shop, client = job.workshop, job.client
    rows: list[tuple[str, Text]] = [
        (_("Workshop"), lines(given(shop.name), shop.address, shop.phone, shop.email)),
        (_("Client"), lines(given(client.name), client.address, client.phone, client.email)),
        (_("Workshop's registration"), given(shop.registration)),
        (_("Job"), lines(given(job.number), job.title)),
        (_("Received"), text(view.formats.day(job.received))),
        (_("Handed over"), text(view.formats.day(job.handover))),
        (_("Times are given in"), given(job.timezone)),
    ]
    blocks: list[Block] = [
        Heading(level=2, number="2.5", text=_("Workshop, client and job"), anchor="sub-parties"),
        KeyValues(rows=tuple(rows)),
    ]
    if job.brief and not brief_in_summary(job.brief):
        blocks.append(Heading(level=3, text=_("Why the vehicle came in"), anchor="sub-brief"))
        blocks.extend(paragraphs(job.brief))
    return blocks
