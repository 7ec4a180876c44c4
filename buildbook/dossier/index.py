"""Section 10: every photo and every document of the record, by number, with time and hash."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from buildbook.dossier import view as at
from buildbook.dossier.clocks import clock_error, clocks_table
from buildbook.dossier.evidence import capped
from buildbook.dossier.formats import short_hash
from buildbook.dossier.model import (
    Block,
    Column,
    Heading,
    Paragraph,
    Picture,
    PictureGrid,
    Ref,
    Run,
    Section,
    Table,
    TableRow,
    Text,
    text,
)
from buildbook.dossier.said import in_language
from buildbook.dossier.terms import term, zone_title
from buildbook.dossier.uses import Uses, cited_by, uses_of_files
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, lines, phrase, plural, together
from buildbook.records.photo import Photo
from buildbook.records.register import first_registered
from buildbook.rules.clocks import ahead_of


def build(view: View) -> Section:
    uses = uses_of_files(view)
    blocks: list[Block] = []
    photos, documents = view.evidence.photos, view.evidence.documents
    opening = phrase(
        _("{photos} and {documents}. Hashes are SHA-256, here the first 16 digits; the manifest has them whole."),
        photos=plural("{n} photo", "{n} photos", len(photos)),
        documents=plural("{n} document", "{n} documents", len(documents)),
    )
    blocks.append(Paragraph(text=opening, style="quiet"))
    if photos:
        kept = _("When a photo was registered: by the clock of the workshop's computer, in a linked register.")
        none = _("No register was kept: when a photo came in is known from its camera's clock alone.")
        blocks.append(Paragraph(text=text(kept if view.job.register else none), style="quiet"))
    shown = [(p, ref) for p, ref in photos if p.shown]
    if shown:
        blocks.append(Heading(level=2, number="10.1", text=_("Contact sheets"), anchor="sub-contact-sheets"))
        pictures = tuple(_thumbnail(view, p, ref) for p, ref in shown)
        blocks.append(PictureGrid(pictures=pictures, across=5, small=True))
    blocks.append(Heading(level=2, number="10.2", text=_("Photos"), anchor="sub-photos"))
    if photos:
        blocks.append(_photos(view, uses))
    else:
        blocks.append(Paragraph(text=text(_("There is no photo on file."))))
    blocks.append(Heading(level=2, number="10.3", text=_("Documents"), anchor="sub-documents"))
    if documents:
        blocks.append(_documents(view, uses))
    else:
        blocks.append(Paragraph(text=text(_("There is no document on file."))))
    clocks = clocks_table(view)
    if clocks is not None:
        blocks.append(Heading(level=2, number="10.4", text=_("The cameras' clocks"), anchor="sub-cameras"))
        blocks.append(clocks)
    return Section(anchor=at.INDEX, number="10", title=_("Index of photos and documents"), blocks=tuple(blocks))


def _thumbnail(view: View, photo: Photo, ref: Ref) -> Picture:
    # In lines, as the column is too narrow for a run of them; the time alone, as a longer word for the stage parts it.
    stage = [text(term(photo.stage))] if photo.stage else []
    digits: Text = (Run(short_hash(photo.sha256)[:9].replace(" ", "\u00a0"), "quiet"),)
    words = lines(
        text(zone_title(photo.zone)) if photo.zone else (),
        together([*stage, digits], " · "),
        text(view.taken(photo)),
    )
    facts = photo.facts
    return Picture(
        asset=photo.sha256, width=facts.width, height=facts.height, alt=view.alt(photo), caption=words, label=ref.label
    )


def _photos(view: View, uses: Uses) -> Table:
    rows = []
    known = first_registered(view.job.register)
    for photo, ref in view.evidence.photos:
        caption = (Run(photo.caption, "quiet"),) if photo.caption else ()
        why = in_language(photo.facts.problem)
        problem = (Run(_("cannot be shown: {why}").format(why=why), "warn"),) if not photo.shown else ()
        rows.append(
            TableRow(
                cells=(
                    # The number leads to the picture; the picture's number stands beside it wherever it is placed.
                    text(ref) if photo.shown else text(ref.label),
                    lines(text(photo.path), caption, problem),
                    _taken(view, photo),
                    lines(text(short_hash(photo.sha256)), _registered(view, known, photo)),
                    _used(view, uses, photo.path, photo.step),
                ),
                anchor="" if photo.shown else ref.target,
            )
        )
    columns = (
        Column(title=_("No."), width=0.8, nowrap=True),
        Column(title=_("File and caption"), width=5.0),
        Column(title=_("Taken"), width=2.2),
        Column(title=_("SHA-256, first 16"), width=2.3, mono=True),
        Column(title=_("Cited by"), width=1.9),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Every photo of the record"), dense=True)


def _registered(view: View, known: Mapping[str, datetime], photo: Photo) -> Text:
    """When the photo was first registered; nothing where the job keeps no register (the section's opening says so)."""
    if not known:
        return ()
    at = known.get(photo.sha256)
    return (Run(_("registered {at}").format(at=view.formats.stamp(at)) if at else _("not registered"), "quiet"),)


def _taken(view: View, photo: Photo) -> Text:
    """The camera's time, and under it the camera and what is to be known of its clock."""
    facts = photo.facts
    beside = [facts.camera] if facts.camera else []
    if facts.taken is None:
        why = in_language(facts.taken_problem) or _("not in the file")
        when: Text = (Run(_("no time: {why}").format(why=why), "quiet"),)
    else:
        when = text(view.taken(photo))
        if not facts.offset_known:
            beside.append(_("no offset"))
        ahead, _doubt = ahead_of(view.job, photo)
        if ahead:
            beside.append(_("clock {error}").format(error=clock_error(ahead.total_seconds())))
    return lines(when, (Run(comma().join(beside), "quiet"),) if beside else ())


def _used(view: View, uses: Uses, path: str, step: str = "") -> Text:
    refs = cited_by(view, uses, path, step)
    return together([text(r) for r in capped(refs, at.PARTS)]) or (Run(_("nothing"), "quiet"),)


def _documents(view: View, uses: Uses) -> Table:
    rows = [
        TableRow(
            cells=(
                text(ref.label),
                text(entry.path),
                text(view.formats.size(entry.size)),
                text(short_hash(entry.sha256)),
                _used(view, uses, entry.path),
            ),
            anchor=ref.target,
        )
        for entry, ref in view.evidence.documents
    ]
    columns = (
        Column(title=_("No."), width=0.9, nowrap=True),
        Column(title=_("File"), width=4.6),
        Column(title=_("Size"), width=1.1, align="right", nowrap=True),
        Column(title=_("SHA-256, first 16"), width=2.3, mono=True),
        Column(title=_("Cited by"), width=2.4),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Every document of the record"), dense=True)
