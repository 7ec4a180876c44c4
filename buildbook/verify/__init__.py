"""Independent verification of a dossier or an issue folder, against itself and against a job folder.

Every step is done here, none is left to the caller. It shares only the digest code with the writing side.

 1. The PDF opens and carries `manifest-sha256.txt` and `record.json`.
 2. The manifest is a list of SHA-256 digests, well formed and in order; its SHA-256 is the seal.
 3. The PDF's information names that seal.
 4. The record follows its published schema.
 5. The record names the manifest's seal.
 6. Record and manifest list the same files with the same digests.
For an issue folder also:
 7. The folder holds its five files and no other.
 8. `issue.json` is well formed and says what the record says: job, number, date, seal, previous seal.
 9. Dossier, record, manifest and instructions have the digests that `issue.json` names.
10. What the PDF carries is byte for byte what lies beside it.
With `--against JOB` also:
11. The job folder holds exactly the sealed files; each changed, missing or added one is named.
12. The job's own `issued/NNN.json` is the `issue.json` of this issue.
13. Each issue in the job folder names the seal of the one before.
"""

from buildbook.verify.report import Report, Step, report_json, report_text
from buildbook.verify.run import verify_path

__all__ = ["Report", "Step", "report_json", "report_text", "verify_path"]
