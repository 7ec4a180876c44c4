"""What operating systems and version control leave behind: never part of the record."""

from __future__ import annotations

NAMES = (".ds_store", "thumbs.db", "desktop.ini", ".directory", ".spotlight-v100", ".trashes", ".fseventsd")
STARTS = ("._", "~$", ".~lock.", ".git")


def is_litter(name: str) -> bool:
    """True for one file or folder name that is left out of the record (and said to be)."""
    lower = name.casefold()
    return lower in NAMES or name.startswith(STARTS)
