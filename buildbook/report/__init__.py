"""Findings told to people and to programs."""

from buildbook.report.text import counts, counts_line, findings_json, findings_text, printable

__all__ = ["counts", "counts_line", "findings_json", "findings_text", "printable"]
