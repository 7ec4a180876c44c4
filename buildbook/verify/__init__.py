"""Independent verification of a dossier, an issue folder or an archive, against itself and against a job folder.

Every step is done here, none is left to the caller. It shares only the digest code and the form of the bag with the
writing side. A step that cannot be done is reported as such.

The dossier (a PDF alone)
  - The PDF opens and carries `manifest-sha256.txt` and `record.json`.
  - The manifest is a list of SHA-256 digests, well formed and in order; its SHA-256 is the seal.
  - The PDF's information names that seal; the record follows its published schema and names it too.
  - Record and manifest list the same files with the same digests.
  - The record names each issue before this one, and each of them the seal before it.
  - Its signature holds over the whole file; whose certificate it is, and whether that is the one the reader was given.
An issue folder also
  - It holds its files (five, two more if signed, perhaps time stamps), its archive, its web edition, and no other;
    what the PDF carries is byte for byte what lies beside it.
  - `issue.json` says what the record says, and names the digests of dossier, record, manifest and instructions.
  - The manifest's detached signature holds, by the same key; the time stamp is on this seal, against given roots.
  - A dossier whose signature was stamped later is, without that stamp, the dossier; the stamp is on that signature.
  - Earlier issues that lie beside it are those that the chain names.
  - Its web edition, where it was kept, holds the files of its list and no other; issue.json names that list.
  - Its archive, as a folder and as a ZIP file, holds the files of this issue; and all of what follows.
An archive (a BagIt bag, as a folder or a ZIP file)
  - It is laid out as RFC 8493 asks; lists are well formed; payload and lists name the same files.
  - Each payload file and each tag file has the digest that is listed; Payload-Oxum agrees. Nothing is fetched.
  - It is the one that issue.json names, holds exactly the sealed files, and is byte for byte as it was written.
  - Each issue noted in the archived job folder names the one before; the register in it is unbroken.
With `--against JOB` also
  - The job folder holds exactly the sealed files; each changed, missing or added one is named.
  - Its notes of this issue are those of this issue, and each issue noted names the one before.
From issue 2 on
  - What changed since the issue before, where its record is at hand.

Limits on what is read of a stranger's files: `limits.py`.
"""

from buildbook.verify.report import Report, Step, report_json, report_text
from buildbook.verify.run import Given, verify_path

__all__ = ["Given", "Report", "Step", "report_json", "report_text", "verify_path"]
