"""The list of files of a folder that is written whole: each file with its SHA-256, and one digest over all."""

from __future__ import annotations

from pathlib import Path

from buildbook.seal.digest import MANIFEST_NAME, manifest_bytes, sha256_bytes, sha256_file


def list_tree(folder: Path) -> str:
    """Write `manifest-sha256.txt` into a folder, over every other file below it; gives the SHA-256 of that list."""
    paths = [p for p in folder.rglob("*") if p.is_file()]
    listed = manifest_bytes((p.relative_to(folder).as_posix(), sha256_file(p)) for p in paths)
    (folder / MANIFEST_NAME).write_bytes(listed)
    return sha256_bytes(listed)
