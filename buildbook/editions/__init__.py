"""Editions of an issue: for its owner, an insurer, a later buyer. What each withholds, and the job without it."""

from buildbook.editions.files import marked_photos, withheld_files
from buildbook.editions.table import TABLE, Edition, Group, Row, withholds
from buildbook.editions.withhold import Words, telling_names, withhold, withhold_changes, withhold_findings

__all__ = [
    "TABLE",
    "Edition",
    "Group",
    "Row",
    "Words",
    "marked_photos",
    "telling_names",
    "withheld_files",
    "withhold",
    "withhold_changes",
    "withhold_findings",
    "withholds",
]
