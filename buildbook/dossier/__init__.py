"""From a job and its findings to the neutral dossier, and to the record for machines."""

from buildbook.dossier.build import build_dossier
from buildbook.dossier.instructions import verify_instructions
from buildbook.dossier.issue import IssueInfo
from buildbook.dossier.receipts_list import RECEIPTS_NAME, receipts_csv
from buildbook.dossier.record import record_json

__all__ = ["RECEIPTS_NAME", "IssueInfo", "build_dossier", "receipts_csv", "record_json", "verify_instructions"]
