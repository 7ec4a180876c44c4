"""From a job and its findings to the neutral dossier, and to the record for machines."""

from buildbook.dossier.build import build_dossier
from buildbook.dossier.instructions import verify_instructions
from buildbook.dossier.issue import IssueInfo
from buildbook.dossier.record import record_json

__all__ = ["IssueInfo", "build_dossier", "record_json", "verify_instructions"]
