"""Making sure that what was written outlives a power cut."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Flush a folder's entries (new names, renames) to the disk, where the system can."""
    with contextlib.suppress(OSError):  # some systems cannot sync a folder
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
