"""What the cache takes, and clearing it. Only what this program wrote there is counted or removed."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from buildbook.errors import BuildbookError
from buildbook.photos.cache import default_folder

# A folder given by mistake may hold photos/ of its own: the whole shape of a path must be ours.
_ENTRY = re.compile(r"photos/[^/]+/[0-9a-f]{2}/([0-9a-f]{64})\.(json|print\.jpg|small\.jpg)")
_INDEX = re.compile(r"jobs/[0-9a-f]{32}\.json")
_LEFT = re.compile(r"tmp/tmp[^/]+/tmp[^/]+")


@dataclass(frozen=True, slots=True)
class CacheUse:
    """folder: where the cache lies. photos, jobs: entries. files, size (bytes): of everything in it."""

    folder: Path
    photos: int
    jobs: int
    files: int
    size: int


def _ours(folder: Path) -> Iterator[tuple[str, Path]]:
    for top in ("photos", "jobs", "tmp"):
        for base, folders, names in os.walk(folder / top):
            folders.sort()
            for name in names:
                path = Path(base) / name
                inside = path.relative_to(folder).as_posix()
                if _ENTRY.fullmatch(inside) or _INDEX.fullmatch(inside) or _LEFT.fullmatch(inside):
                    yield inside, path


def cache_use(folder: Path | None = None) -> CacheUse:
    """Count what lies in the cache. folder: default as for Library. A cache not made yet is empty."""
    folder = (folder or default_folder()).absolute()
    photos, jobs, files, size = set(), 0, 0, 0
    for inside, path in _ours(folder):
        with suppress(OSError):
            size += path.stat(follow_symlinks=False).st_size
            files += 1
            if match := _ENTRY.fullmatch(inside):
                photos.add(match[1])
            jobs += bool(_INDEX.fullmatch(inside))
    return CacheUse(folder, len(photos), jobs, files, size)


def clear_cache(folder: Path | None = None) -> CacheUse:
    """Remove what this program wrote, and the folders that are empty then. Returns what there was.

    Raises BuildbookError if a file cannot be removed.
    """
    used = cache_use(folder)
    for _, path in list(_ours(used.folder)):
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            says = f"{path} cannot be removed: {error.strerror or error}."
            raise BuildbookError(says, "Mend the rights of the cache folder, then call this again.") from error
    for top in ("photos", "jobs", "tmp"):
        for base, _, _ in os.walk(used.folder / top, topdown=False):
            with suppress(OSError):  # it holds something else
                Path(base).rmdir()
    return used
