"""What operating systems and version control leave behind: never part of the record."""

from __future__ import annotations

_NAMES = frozenset({".ds_store", "thumbs.db", "desktop.ini", ".directory", ".spotlight-v100", ".trashes", ".fseventsd"})


def is_litter(name: str) -> bool:
    """True for one file or folder name that is left out of the record (and said to be)."""
    lower = name.casefold()
    return lower in _NAMES or name.startswith(("._", "~$", ".~lock.", ".git"))
