"""VERIFY.txt: how to check an issue without this program, for whoever finds the folder.

In the language of the dossier; commands and names of files are the same in all. A command stands by itself, set in by
five blanks, and is run as it is printed (tests/outside/test_instructions.py).
"""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.dossier import editions
from buildbook.dossier.formats import Formats
from buildbook.dossier.issue import IssueInfo
from buildbook.dossier.language import speaking
from buildbook.dossier.plain_text import filled
from buildbook.dossier.wording import _, plural, sentences
from buildbook.records.job import Job

_NAMES = 24  # columns before what is said of a file
_SIGNATURE = (
    "openssl x509 -in signer.pem -noout -pubkey |",
    "  openssl dgst -sha256 -verify /dev/stdin \\",
    "    -signature manifest-sha256.txt.sig {manifest}",
)
_STAMP = ("openssl ts -verify -data {manifest} -in timestamp.tsr \\", "  -CAfile roots.pem")
_MANIFEST, _IN_BAG = "manifest-sha256.txt", "data/manifest-sha256.txt"


def verify_instructions(job: Job, issue: IssueInfo) -> str:
    """Plain text in the language of the job, 78 columns, LF."""
    with speaking(job.language) as voice:
        return "\n".join(_lines(job, issue, Formats(voice.tag))) + "\n"


def _lines(job: Job, issue: IssueInfo, formats: Formats) -> Iterator[str]:
    if issue.draft:
        number = job.number or _("(no number)")
        said = _("A DRAFT of the dossier of job {job}. It is not issued and proves nothing.").format(job=number)
    else:
        said = _("Issue {n} of the dossier of job {job}, issued on {day}.").format(
            n=issue.number, job=job.number, day=formats.day(issue.issued_on)
        )
    yield filled(said) + "\n"
    yield from _what_lies_here(issue)
    yield ""
    yield filled(_("The seal is the SHA-256 of manifest-sha256.txt. It is printed in the dossier:"))
    yield f"  {issue.seal}"
    if issue.previous_seal:
        yield filled(_("Seal of the issue before this one:"))
        yield f"  {issue.previous_seal}"
    yield ""
    yield filled(_("To verify, with nothing but stock tools"))
    yield from _record(issue)
    if not issue.draft:
        yield from _bag()
    if issue.fingerprint:
        yield from _signatures()
    if not issue.draft:
        yield from _stamp()
    yield filled(
        _(
            "On macOS, `shasum -a 256` stands in for sha256sum. On Windows PowerShell, `Get-FileHash "
            "manifest-sha256.txt` prints the digest of one file."
        )
    )
    yield "\n" + filled(
        _(
            "What that shows: the files are those of the day of issue. What it does not show: that what they say is "
            "true, or that nobody replaced dossier, archive and every copy of the seal together. So keep the seal in "
            "a place of your own."
        )
    )


def _what_lies_here(issue: IssueInfo) -> Iterator[str]:
    yield filled(_("What lies here"))
    yield _file("dossier.pdf", _("the dossier, for reading"))
    yield _file("manifest-sha256.txt", _("SHA-256 of every file of the record"))
    yield _file("record.json", _("the record for machines"))
    yield _file("VERIFY.txt", _("this text"))
    if issue.fingerprint:
        yield _file("manifest-sha256.txt.sig", _("the manifest's signature"))
        yield _file("signer.pem", _("the certificate: whose key it was"))
    if issue.draft:
        return
    yield _file("issue.json", _("number, date, seal and digests of this issue"))
    yield _file(
        "web/",
        _(
            "if it was kept: the dossier as a page for a browser, web/index.html; it can be made again from the job "
            "folder"
        ),
    )
    yield _file(
        "archive/",
        _("or a .zip, if it was written: the archive with the job folder in it, a bag after RFC 8493 (BagIt 1.0)"),
    )
    yield filled(
        _(
            "In the archive, this text and the first three lie in data/, the job folder in data/job/, and issue.json "
            "beside bagit.txt, with signature and time stamp."
        )
    )


def _record(issue: IssueInfo) -> Iterator[str]:
    yield _point(
        1,
        _(
            "Take the attached files out of the dossier (any PDF reader that shows attachments does it too). Each "
            "must equal the file of its name here."
        ),
    )
    yield _typed("pdfdetach -saveall dossier.pdf")
    yield _point(2, _("The digest of the manifest must be the seal that is printed in the dossier."))
    yield _typed("sha256sum manifest-sha256.txt")
    in_job = _("In the job folder, each file must be OK.")
    if issue.draft:
        yield _point(3, sentences(in_job, _("Copy the manifest into it.")))
        yield _typed("sha256sum -c manifest-sha256.txt")
    else:
        yield _point(3, sentences(in_job, _("In the archive, that is")))
        yield _typed("cd data/job", "sha256sum -c ../manifest-sha256.txt")
        yield _more(_("In a job folder elsewhere, copy the manifest into it and check that."))
    if issue.withheld:
        edition = _("This is the {edition}.").format(edition=editions.name(issue.edition))
        hidden = plural(
            "{n} of the files is withheld and stands in the manifest by its hash only.",
            "{n} of the files are withheld and stand in the manifest by their hash only.",
            len(issue.withheld),
        )
        alone = _(
            "sha256sum says that they are not there; with --ignore-missing it speaks of the others alone:"
        )
        yield _more(sentences(edition, hidden, alone))
        yield _typed("sha256sum --ignore-missing -c ../manifest-sha256.txt")


def _bag() -> Iterator[str]:
    yield _point(4, _("The archive, by any validator of bags:"))
    yield _typed("bagit.py --validate archive")
    yield _more(_("or by hand, in the folder that holds bagit.txt (each line must say OK):"))
    yield _typed("sha256sum -c tagmanifest-sha256.txt", "sha256sum -c manifest-sha256.txt")
    yield _more(
        _(
            "The digest of that manifest is `archive_sha256` in issue.json. In lists of a bag, a percent sign in a "
            "file's name is written %25."
        )
    )
    yield _point(5, _("The web edition, in the folder web:"))
    yield _typed("sha256sum -c manifest-sha256.txt")
    yield _more(_("The digest of that list is `web_sha256` in issue.json."))
    yield _point(
        6,
        _(
            "The chain: data/job/issued/ holds issue.json and record of each earlier issue. Each names the seal of "
            "the one before as `previous_seal`."
        ),
    )


def _signatures() -> Iterator[str]:
    yield _point(7, _("The signatures. The PDF's is shown by any PDF reader, or by"))
    yield _typed("pdfsig dossier.pdf")
    yield _more(_("The manifest's, beside the dossier:"))
    yield _typed(*_SIGNATURE, manifest=_MANIFEST)
    yield _more(_("or, in the archive, in the folder that holds bagit.txt:"))
    yield _typed(*_SIGNATURE, manifest=_IN_BAG)
    yield _more(
        _(
            "Whose key it is, only the certificate's fingerprint says. Compare it with one you have from the workshop "
            "itself:"
        )
    )
    yield _typed("openssl x509 -in signer.pem -noout -fingerprint -sha256")
    yield _more(
        _(
            "If dossier-timestamped.pdf lies beside the dossier, it is the dossier with an authority's time stamp on "
            "its signature, and differs in nothing else:"
        )
    )
    yield _typed("pdfsig dossier-timestamped.pdf")


def _stamp() -> Iterator[str]:
    yield filled(
        _(
            "If timestamp.tsr lies beside the dossier, an authority says when the seal was there. With the "
            "authority's root certificate in roots.pem:"
        )
    )
    yield _typed(*_STAMP, manifest=_MANIFEST)
    yield filled(_("In the archive, if it lies beside bagit.txt (it was there when the archive was written):"))
    yield _typed(*_STAMP, manifest=_IN_BAG)


def _point(number: int, said: str) -> str:
    return filled(said, f"{number}. ", "   ")


def _more(said: str) -> str:
    return filled(said, "   ", "   ")


def _typed(*commands: str, **filling: str) -> str:
    return "\n".join("     " + command.format(**filling) for command in commands)


def _file(name: str, said: str) -> str:
    """A name and what it is beside it, or below it where the name is long."""
    if len(name) + 4 > _NAMES:
        return f"  {name}\n" + filled(said, " " * _NAMES, " " * _NAMES)
    return filled(said, f"  {name}".ljust(_NAMES), " " * _NAMES)
