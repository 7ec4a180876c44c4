"""What is never part of a record, for a renderer that lets its reader hold a folder against the manifest."""

from buildbook.records import litter

__all__ = ["litter"]
