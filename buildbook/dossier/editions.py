"""The dossier's last words: whom this edition is for, and the one table of what each edition withholds."""

from __future__ import annotations

from buildbook.dossier.model import Block, Column, Heading, Paragraph, Table, TableRow, text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, plural
from buildbook.editions.table import TABLE, Edition, Group


def blocks(view: View, number: str) -> list[Block]:
    """number: of the heading."""
    edition = view.issue.edition
    yes, no = _("withheld"), _("shown")
    rows = tuple(
        TableRow(cells=(text(_said(row.group)), *(text(yes if e in row.withheld else no) for e in Edition)))
        for row in TABLE
    )
    columns = (
        Column(title=_("What"), width=5.6),
        Column(title=_("Owner"), width=1.4),
        Column(title=_("Insurer"), width=1.4),
        Column(title=_("Resale"), width=1.4),
    )
    return [
        Heading(level=2, number=number, text=_("What each edition withholds"), anchor="sub-editions"),
        Paragraph(text=text(_whose(edition))),
        *([Paragraph(text=text(_files(view)))] if edition is not Edition.OWNER else []),
        Table(columns=columns, rows=rows, caption=_("The editions of an issue")),
    ]


def name(edition: Edition) -> str:
    """An edition in words."""
    if edition is Edition.INSURER:
        return _("edition for the insurer")
    return _("edition for resale") if edition is Edition.RESALE else _("owner's edition")


def _whose(edition: Edition) -> str:
    if edition is Edition.OWNER:
        return _("This is the owner's edition: it withholds nothing. An issue can have editions for others beside it.")
    if edition is Edition.INSURER:
        return _("This is the edition for the insurer. What it withholds is marked [withheld] where it would stand.")
    return _("This is the edition for resale. What it withholds is marked [withheld] where it would stand.")


def _files(view: View) -> str:
    return plural(
        "{n} file of the record is withheld as a whole. It stands in the manifest by its hash, so that the seal is "
        "that of the owner's edition; the owner can show it, and it can be held against that hash.",
        "{n} files of the record are withheld as a whole. They stand in the manifest by their hashes, so that the seal "
        "is that of the owner's edition; the owner can show them, and they can be held against those hashes.",
        len(view.issue.withheld),
    )


def _said(group: Group) -> str:
    words = {
        Group.CLIENT_NAME: _("Names of the client and of others who gave approvals"),
        Group.CLIENT_CONTACT: _("Address, telephone and e-mail of the client"),
        Group.OTHERS: _("Further names and words that the workshop marked as private"),
        Group.PEOPLE: _("Names of the workshop's people, who stand as T1, T2 and so on"),
        Group.PLATE: _("Registration of the vehicle"),
        Group.MONEY: _("Prices, totals and other amounts of money"),
        Group.MARKED_PHOTOS: _("Photographs that show a registration plate or a person, as the workshop marked them"),
        Group.POSITION: _(
            "Original photographs whose files hold a position, or data that nobody here can read; the pages show "
            "copies without them"
        ),
        Group.PHOTO_DATA: _(
            "Original photographs whose files hold an owner's name, a serial number or a comment, and serial numbers "
            "of cameras"
        ),
        Group.CLIENT_PAPERS: _("Papers from the client, and papers of no kind that is known here"),
        Group.RECEIPTS: _("Scans of receipts"),
        Group.TABLES: _("The tables of the record as files; what they say stands here, without what is withheld"),
        Group.NOTES: _("Notes and records of earlier issues"),
    }
    return words[group]
