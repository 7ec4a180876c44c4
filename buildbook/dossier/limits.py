"""Section 8: what is open and what this record cannot say, stated openly."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.dossier import view as at
from buildbook.dossier.evidence import capped
from buildbook.dossier.model import (
    Block,
    Bullets,
    Column,
    Heading,
    Paragraph,
    Ref,
    Run,
    Section,
    Table,
    TableRow,
    Text,
    Tone,
    text,
)
from buildbook.dossier.places import place_words
from buildbook.dossier.said import in_language
from buildbook.dossier.terms import term
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, beside, comma, forms, given, lines, phrase, plural, together
from buildbook.records.finding import Finding, Grade
from buildbook.records.languages import spoken

_TONES: dict[Grade, Tone] = {Grade.STOP: "bad", Grade.QUERY: "warn", Grade.NOTE: "quiet"}


def build(view: View) -> Section:
    blocks: list[Block] = []
    number = 0

    def heading(title: str, anchor: str) -> Heading:
        nonlocal number
        number += 1
        return Heading(level=2, number=f"8.{number}", text=title, anchor=anchor)

    if view.issue.draft:
        # A draft is read for what still has to be done: that comes first.
        blocks.append(heading(_("Open findings of the check"), at.FINDINGS))
        blocks.extend(_findings(view))
    blocks.append(heading(_("Open items"), at.OPEN_ITEMS))
    blocks.extend(_open_items(view))
    blocks.append(heading(_("Limits of this record"), "sub-limits-of-record"))
    blocks.extend(_limits(view))
    if view.findings and not view.issue.draft:
        blocks.append(heading(_("What the check left to be looked at"), at.FINDINGS))
        blocks.extend(_findings(view))
    return Section(anchor=at.LIMITS, number="8", title=_("Open items and limits of this record"), blocks=tuple(blocks))


def _open_items(view: View) -> list[Block]:
    if not view.job.open_items:
        return [Paragraph(text=text(_("The workshop recorded no open item.")))]
    rows = [
        TableRow(
            cells=(
                given(item.what),
                view.zone(item.zone) or text("–"),
                given(item.why),
                given(item.advice),
            )
        )
        for item in view.job.open_items
    ]
    columns = (
        Column(title=_("What"), width=3),
        Column(title=_("Zone"), width=1.8),
        Column(title=_("Why it is open"), width=2.6),
        Column(title=_("Advice"), width=2.6),
    )
    return [Table(columns=columns, rows=tuple(rows), caption=_("Left open, with reasons and advice"))]


def _findings(view: View) -> list[Block]:
    if not view.findings:
        return [Paragraph(text=text(_("The check found nothing.")))]
    rows = [_finding(f) for f in view.findings]
    columns = (
        Column(title=_("Grade"), width=0.8, nowrap=True),
        Column(title=_("Where"), width=2.2),
        Column(title=_("What the check says"), width=3.6),
        Column(title=_("How to put it right"), width=3),
    )
    opening = Paragraph(
        text=text(
            _(
                "stop: no handover with this. query: a person must look. note: worth knowing. The check reads the "
                "record, not the vehicle."
            )
        ),
        style="quiet",
    )
    return [opening, Table(columns=columns, rows=tuple(rows), caption=_("Findings of the check"), dense=True)]


def _finding(finding: Finding) -> TableRow:
    return TableRow(
        cells=(
            (Run(term(finding.grade), _TONES[finding.grade]),),
            lines(place_words(finding.place), (Run(finding.code, "quiet"),)),
            text(in_language(finding.says)),
            text(_(finding.fix)),
        )
    )


def _limits(view: View) -> list[Block]:
    items = [
        text(
            _(
                "This is the workshop's own statement about its own work. Nobody outside the workshop examined the "
                "vehicle or the record for this dossier."
            )
        ),
        text(
            _(
                "The seal shows whether files have changed since the date of issue. It does not show that what they "
                "say is true, nor that they existed at an earlier date."
            )
        ),
        *_photo_limits(view),
        *_part_limits(view),
        *_reading_limits(view),
        *_inbox(view),
        *_language(view),
    ]
    return [Bullets(items=tuple(items))]


def _counted(view: View, said: tuple[str, str], refs: Sequence[Ref], target: str) -> list[Text]:
    """A sentence with its count and the first of the refs it is about; nothing for none."""
    if not refs:
        return []
    shown = together([text(r) for r in capped(refs, target, most=8)])
    return [beside(plural(*said, len(refs)), shown)]


def _photo_limits(view: View) -> list[Text]:
    photos = view.evidence.photos
    untimed = [ref for p, ref in photos if p.facts.taken is None]
    zoneless = [ref for p, ref in photos if p.facts.taken is not None and not p.facts.offset_known]
    # What an edition withholds is no limit of the record; the last page tells it.
    hidden = [ref for p, ref in photos if not p.shown and p.facts.problem != _("withheld from this edition")]
    made = [
        *_counted(
            view,
            forms(
                "{n} photo does not say when it was taken; its place in the record is the workshop's statement:",
                "{n} photos do not say when they were taken; their place in the record is the workshop's statement:",
            ),
            untimed,
            at.INDEX,
        ),
        *_counted(
            view,
            forms(
                "{n} photo gives a capture time without an offset from UTC; it is the camera's own clock:",
                "{n} photos give a capture time without an offset from UTC; it is the camera's own clock:",
            ),
            zoneless,
            at.INDEX,
        ),
        *_counted(
            view,
            forms(
                "{n} photo could not be shown here; the file is in the archive as it is:",
                "{n} photos could not be shown here; the files are in the archive as they are:",
            ),
            hidden,
            at.INDEX,
        ),
    ]
    if photos:
        made.append(
            text(_("Capture times are what the cameras wrote. A camera's clock can be set by whoever holds it."))
        )
    return made


def _part_limits(view: View) -> list[Text]:
    parts = view.evidence.parts
    sourced = [ref for p, ref in parts if p.source is not None]
    replaced = [(p, ref) for p, ref in parts if p.replaced]
    return [
        *_counted(
            view,
            forms(
                "{n} part line names a source; sources are stated by people and were not verified:",
                "{n} part lines name a source; sources are stated by people and were not verified:",
            ),
            sourced,
            at.PARTS,
        ),
        *_counted(
            view,
            forms(
                "{n} replaced part has no receipt on file:",
                "{n} replaced parts have no receipt on file:",
            ),
            [ref for p, ref in replaced if view.evidence.file(p.receipt) is None],
            at.REPLACED,
        ),
        *_counted(
            view,
            forms(
                "{n} replaced part has no photo on file:",
                "{n} replaced parts have no photo on file:",
            ),
            [ref for p, ref in replaced if not view.files(p.photos)],
            at.REPLACED,
        ),
        *_counted(
            view,
            forms(
                "{n} replaced part: where the old part went is not recorded:",
                "{n} replaced parts: where the old part went is not recorded:",
            ),
            [ref for p, ref in replaced if not p.old_part],
            at.REPLACED,
        ),
    ]


def _reading_limits(view: View) -> list[Text]:
    measured = list(zip(view.evidence.readings, view.verdicts, strict=True))
    silent = [ref for (r, ref), _v in measured if r.expanded_uncertainty is None and r.value is not None]
    made = [
        *_counted(
            view,
            forms(
                "{n} reading states no uncertainty:",
                "{n} readings state no uncertainty:",
            ),
            silent,
            at.READINGS,
        ),
        *_counted(
            view,
            forms(
                "{n} reading does not count as evidence; section 6 says why:",
                "{n} readings do not count as evidence; section 6 says why:",
            ),
            [ref for (_r, ref), v in measured if not v.counts],
            at.READINGS,
        ),
    ]
    if any(r.kind == "film_thickness" for r in view.job.readings):
        made.append(
            text(
                _("Film thickness says how much lies over the metal at a point, not what it is nor when it was put on.")
            )
        )
    return made


def _inbox(view: View) -> list[Text]:
    if not view.job.inbox:
        return []
    n = len(view.job.inbox)
    names = comma().join(entry.path for entry in view.job.inbox)
    said = plural(
        "{n} file lies in the inbox, not filed to any step:", "{n} files lie in the inbox, not filed to any step:", n
    )
    return [beside(said, names)]


def _language(view: View) -> list[Text]:
    """Said where the fixed text is in another language than the record."""
    tag = view.job.language.strip()
    if not tag or spoken(tag):
        return []
    return [
        phrase(
            _("The record is kept in the language {code}; the fixed text of this dossier is English."),
            code=view.job.language,
        )
    ]
