"""VERIFY.txt: how to check an issue without this program, for whoever finds the folder."""

from __future__ import annotations

from buildbook.dossier.issue import IssueInfo
from buildbook.records.job import Job

_ARCHIVED = """\
  issue.json            number, date, seal and digests of this issue
  web/                  if it was kept: the dossier as a page for a browser,
                        web/index.html; it can be made again from the job folder
  archive/ or a .zip    if it was written: the archive with the job folder in
                        it, a bag after RFC 8493 (BagIt 1.0)
In the archive, this text and the first three lie in data/, the job folder in
data/job/, and issue.json beside bagit.txt, with signature and time stamp.
"""
_IN_JOB = """\
Copy the manifest into it.
     sha256sum -c manifest-sha256.txt"""
_IN_ARCHIVE = """\
In the archive, that is
     cd data/job
     sha256sum -c ../manifest-sha256.txt
   In a job folder elsewhere, copy the manifest into it and check that."""
_WITHHELD = """\
   This is the {edition} edition: {n} of the files are withheld and stand in
   the manifest by their hash only. sha256sum says that they are not there;
   with --ignore-missing it speaks of the others alone:
     sha256sum --ignore-missing -c ../manifest-sha256.txt
"""
_BAG = """\
4. The archive, by any validator of bags:
     bagit.py --validate archive
   or by hand, in the folder that holds bagit.txt (each line must say OK):
     sha256sum -c tagmanifest-sha256.txt
     sha256sum -c manifest-sha256.txt
   The digest of that manifest is `archive_sha256` in issue.json. In lists of
   a bag, a percent sign in a file's name is written %25.
5. The web edition, in the folder web:
     sha256sum -c manifest-sha256.txt
   The digest of that list is `web_sha256` in issue.json.
6. The chain: data/job/issued/ holds issue.json and record of each earlier
   issue. Each names the seal of the one before as `previous_seal`.
"""
_PROOFS = """\
  manifest-sha256.txt.sig, signer.pem
                        the manifest's signature, and whose key it was
"""
_SIGNED = """\
7. The signatures. The PDF's is shown by any PDF reader, or by
     pdfsig dossier.pdf
   The manifest's, beside the dossier:
     openssl x509 -in signer.pem -noout -pubkey |
       openssl dgst -sha256 -verify /dev/stdin \\
         -signature manifest-sha256.txt.sig manifest-sha256.txt
   or, in the archive, in the folder that holds bagit.txt:
     openssl x509 -in signer.pem -noout -pubkey |
       openssl dgst -sha256 -verify /dev/stdin \\
         -signature manifest-sha256.txt.sig data/manifest-sha256.txt
   Whose key it is, only the certificate's fingerprint says. Compare it with
   one you have from the workshop itself:
     openssl x509 -in signer.pem -noout -fingerprint -sha256
   If dossier-timestamped.pdf lies beside the dossier, it is the dossier with
   an authority's time stamp on its signature, and differs in nothing else:
     pdfsig dossier-timestamped.pdf
"""
_STAMPED = """\
If timestamp.tsr lies beside the dossier, an authority says when the seal was
there. With the authority's root certificate in roots.pem:
     openssl ts -verify -data manifest-sha256.txt -in timestamp.tsr \\
       -CAfile roots.pem
In the archive, if it lies beside bagit.txt (it was there when the archive was
written):
     openssl ts -verify -data data/manifest-sha256.txt -in timestamp.tsr \\
       -CAfile roots.pem
"""


def verify_instructions(job: Job, issue: IssueInfo) -> str:
    """Plain text, 78 columns, LF."""
    if issue.draft:
        what = f"A DRAFT of the dossier of job {job.number or '(no number)'}. It is not issued and proves nothing."
    else:
        what = f"Issue {issue.number} of the dossier of job {job.number}, issued on {issue.issued_on.isoformat()}."
    previous = f"Seal of the issue before this one:\n  {issue.previous_seal}\n" if issue.previous_seal else ""
    where = _IN_JOB if issue.draft else _IN_ARCHIVE
    return f"""\
{what}

What lies here
  dossier.pdf           the dossier, for reading
  manifest-sha256.txt   SHA-256 of every file of the record
  record.json           the record for machines
  VERIFY.txt            this text
{_PROOFS if issue.fingerprint else ""}{"" if issue.draft else _ARCHIVED}
The seal is the SHA-256 of manifest-sha256.txt. It is printed in the dossier:
  {issue.seal}
{previous}
To verify, with nothing but stock tools
1. Take the attached files out of the dossier (any PDF reader that shows
   attachments does it too). Each must equal the file of its name here.
     pdfdetach -saveall dossier.pdf
2. The digest of the manifest must be the seal that is printed in the dossier.
     sha256sum manifest-sha256.txt
3. In the job folder, each file must be OK. {where}
{_WITHHELD.format(edition=issue.edition.value, n=len(issue.withheld)) if issue.withheld else ""}\
{"" if issue.draft else _BAG}{_SIGNED if issue.fingerprint else ""}{"" if issue.draft else _STAMPED}\
On macOS, `shasum -a 256` stands in for sha256sum. On Windows PowerShell,
`Get-FileHash manifest-sha256.txt` prints the digest of one file.

What that shows: the files are those of the day of issue. What it does not
show: that what they say is true, or that nobody replaced dossier, archive and
every copy of the seal together. So keep the seal in a place of your own.
"""
