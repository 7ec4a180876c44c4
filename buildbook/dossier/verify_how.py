"""Section 11: how anybody verifies the dossier and the archive with stock tools, and the seal itself."""

from __future__ import annotations

from buildbook.dossier import editions
from buildbook.dossier import view as at
from buildbook.dossier.formats import short_hash
from buildbook.dossier.model import (
    Block,
    Bullets,
    Code,
    Column,
    Heading,
    Paragraph,
    Run,
    SealMark,
    Section,
    Table,
    TableRow,
    Text,
    text,
)
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, phrase, plural

COMMANDS = (
    "pdfdetach -saveall dossier.pdf",
    "sha256sum manifest-sha256.txt",
    "sha256sum -c manifest-sha256.txt",
)

# A system, what prints the seal there, and what checks the files where one command does.
ELSEWHERE = (
    ("macOS", "shasum -a 256 manifest-sha256.txt", "shasum -a 256 -c manifest-sha256.txt"),
    ("Windows", "certutil -hashfile manifest-sha256.txt SHA256"),
    ("PowerShell", "Get-FileHash manifest-sha256.txt"),
)


def seal_payload(view: View) -> str:
    """What the QR code holds: plain text that a telephone shows as it is."""
    issue = _("draft") if view.issue.draft else str(view.issue.number)
    return f"buildbook seal {view.issue.seal} job {view.job.number} issue {issue}"


def build(view: View) -> Section:
    blocks: list[Block] = [
        Paragraph(
            text=text(
                _(
                    "Three commands, none of them ours. The first takes the attached files out of the PDF; any PDF "
                    "reader that shows attachments does the same. The second must print the seal. The third, run in "
                    "the archived job folder with the manifest copied into it, must say OK for each file."
                )
            )
        ),
        Code(lines=COMMANDS),
        _elsewhere(),
        *_archive(view),
        Heading(level=2, number="11.1", text=_("What that shows, and what not"), anchor="sub-what-it-shows"),
        Bullets(
            items=(
                text(
                    _(
                        "The manifest lists each file of the record with its SHA-256; the seal is the SHA-256 of the "
                        "manifest. If one byte of one file were changed, its hash and so the seal would differ."
                    )
                ),
                text(
                    _(
                        "A seal that agrees shows that the files are those of the day of issue. It does not show that "
                        "what they say is true."
                    )
                ),
                text(
                    _(
                        "Whoever can replace dossier, archive and every other copy of the seal can replace all of it: "
                        "keep the seal in a place of your own."
                    )
                ),
            )
        ),
        Heading(level=2, number="11.2", text=_("The chain of issues"), anchor="sub-chain"),
        *_chain(view),
    ]
    blocks.append(Heading(level=2, number="11.3", text=_("The seal"), anchor="sub-seal"))
    if view.issue.seal:
        blocks.append(SealMark(seal=view.issue.seal, payload=seal_payload(view), text=text(_sealed(view))))
    else:
        blocks.append(Paragraph(text=text(_("This document carries no seal."))))
    signed = _signature(view)
    blocks += signed
    blocks += editions.blocks(view, "11.5" if signed else "11.4")
    return Section(anchor=at.VERIFY, number="11", title=_("How to verify this dossier"), blocks=tuple(blocks))


def _signature(view: View) -> list[Block]:
    """The block that names workshop, person and issue. It claims nothing: a reader's program says if it holds."""
    issue = view.issue
    if not issue.fingerprint:
        return []
    said = _(
        "The PDF carries an electronic signature over all of it, and the manifest one of its own "
        "(manifest-sha256.txt.sig). A PDF reader says whether the first still holds; VERIFY.txt how to check both. "
        "Whose key it was, the certificate's fingerprint shows: compare it with one you have from the workshop itself."
    )

    def row(name: str, value: str) -> TableRow:
        return TableRow(cells=(text(name), text(value)))

    rows = (
        row(_("Workshop"), view.job.workshop.name or _("not recorded")),
        row(_("Person"), issue.signer),
        row(_("Issue"), f"{view.job.number}, {issue.number}, {view.formats.day(issue.issued_on)}"),
        row(_("Certificate, SHA-256"), issue.fingerprint),
    )
    field = _("Signature of {person} for {workshop} on issue {n} of job {job}").format(
        person=issue.signer, workshop=view.job.workshop.name or _("not recorded"), n=issue.number, job=view.job.number
    )
    columns = (Column(title=_("Signed for"), width=2.2), Column(title=_("As given when it was signed"), width=7.8))
    return [
        Heading(level=2, number="11.4", text=_("The signature"), anchor="sub-signature"),
        Paragraph(text=text(said)),
        Table(columns=columns, rows=rows, caption=_("Signature block"), field=field),
    ]


def _archive(view: View) -> list[Block]:
    if view.issue.draft:
        return []
    said = _(
        "The archive of this issue, where it was written, is a bag after RFC 8493 (BagIt 1.0): the job folder, this "
        "dossier and the record, with lists of SHA-256 and SHA-512. Any validator of bags checks it, for example"
    )
    by_hand = _(
        "or, by hand, sha256sum -c with the lists manifest-sha256.txt and tagmanifest-sha256.txt in it. VERIFY.txt in "
        "the archive says the same, and which digest in issue.json names the archive."
    )
    command = Code(lines=("bagit.py --validate archive",))
    return [Paragraph(text=text(said)), command, Paragraph(text=text(by_hand))]


def _sealed(view: View) -> str:
    """Whose seal it is, and over how much."""
    files = plural("{n} file is sealed", "{n} files are sealed", len(view.job.files))
    if view.issue.draft:
        return _("Seal of the record as it stands in this draft; {files}. A draft is not an issue.").format(files=files)
    return _("Seal of issue {n} of job {job}, issued on {day}; {files}.").format(
        n=view.issue.number,
        job=view.job.number or _("not recorded"),
        day=view.formats.day(view.issue.issued_on),
        files=files,
    )


def _elsewhere() -> Table:
    """The same on other systems: each row gives what stands in for `sha256sum`."""

    def row(system: str, hash_command: str, check_command: str) -> TableRow:
        return TableRow(cells=(text(system), text(hash_command), text(check_command)))

    by_eye = _("compare each file's line with the manifest")
    return Table(
        columns=(
            Column(title=_("System"), width=1.6),
            Column(title=_("Prints the seal"), width=4.4, mono=True),
            Column(title=_("Checks the files"), width=4.0, mono=True),
        ),
        rows=(
            *(row(system, prints, *(checks or [by_eye])) for system, prints, *checks in ELSEWHERE),
        ),
        caption=_("The same on other systems"),
    )


def _chain(view: View) -> list[Block]:
    issue = view.issue
    previous: Text
    if issue.previous_seal:
        previous = phrase(
            _("This issue names the seal of the one before it: {seal}. An earlier issue cannot be exchanged unseen."),
            seal=Run(issue.previous_seal, "strong"),
        )
    elif issue.draft:
        previous = text(_("A draft takes no number and stands in no chain."))
    else:
        previous = text(_("This is the first issue: there is no earlier seal."))
    blocks: list[Block] = [Paragraph(text=previous)]
    if view.job.issued:
        rows = tuple(
            TableRow(
                cells=(
                    text(str(i.number)),
                    text(view.formats.day(i.issued_on)),
                    text(short_hash(i.seal) or _("not recorded")),
                    text(short_hash(i.dossier_sha256) or _("not recorded")),
                )
            )
            for i in view.job.issued
        )
        columns = (
            Column(title=_("Issue"), width=0.8, nowrap=True),
            Column(title=_("Issued on"), width=2),
            Column(title=_("Seal, first 16"), width=2.6, mono=True),
            Column(title=_("Dossier's SHA-256, first 16"), width=2.6, mono=True),
        )
        blocks.append(Table(columns=columns, rows=rows, caption=_("Earlier issues of this dossier")))
    return blocks
