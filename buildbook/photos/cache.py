"""The cache of facts and renditions, outside the job folder: may be thrown away at any time.

    CACHE/photos/<version>/ab/ab12….json      facts, and size and SHA-256 of both renditions
    CACHE/photos/<version>/ab/ab12….print.jpg, ….small.jpg
    CACHE/jobs/<hash of the folder's path>.json   what each file of a job folder was when it was last read
    CACHE/tmp/…                               being written; moved into place whole

An entry is named by its photo's SHA-256. Another version of the program or of Pillow never sees it.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from buildbook.errors import WrongUsage
from buildbook.photos import facts as plain_facts
from buildbook.photos.files import Stamp
from buildbook.photos.limits import RENDITION_FORMAT
from buildbook.photos.picture import Decoded
from buildbook.records.photo import PhotoFacts

Edge = Literal["print", "small"]
EDGES: tuple[Edge, Edge] = ("print", "small")
ENVIRONMENT = "BUILDBOOK_CACHE"
_STALE_S = 24 * 3600


def default_folder() -> Path:
    """Where the cache lies: BUILDBOOK_CACHE, else the user's cache folder."""
    named = os.environ.get(ENVIRONMENT)
    if named:
        return Path(named)
    from platformdirs import user_cache_dir

    return Path(user_cache_dir("buildbook", appauthor=False))


def version() -> str:
    """Names the maker of entries: our format and the Pillow that drew them."""
    import PIL  # the bare package: its version, no decoders

    return f"{RENDITION_FORMAT}-pillow-{PIL.__version__}"


@dataclass(frozen=True, slots=True)
class Known:
    """What the last reading of a file gave. facts: None for files that are no pictures."""

    stamp: Stamp
    sha256: str
    facts: PhotoFacts | None


class Cache:
    """Entries by content, and one index a job folder. folder: absolute path of CACHE."""

    def __init__(self, folder: Path, version: str) -> None:
        self.folder = folder
        self.version = version
        self._photos = folder / "photos" / version

    def _entry(self, sha256: str, suffix: str) -> str:
        return f"{self._photos}/{sha256[:2]}/{sha256}{suffix}"

    def rendition_path(self, sha256: str, edge: Edge) -> Path:
        """Where the rendition lies, if it does."""
        return Path(self._entry(sha256, f".{edge}.jpg"))

    def _sidecar(self, sha256: str) -> dict[str, Any] | None:
        try:
            with open(self._entry(sha256, ".json"), "rb") as file:  # noqa: PTH123 - thousands a call
                sidecar = json.loads(file.read())
            return sidecar if sidecar["sha256"] == sha256 else None
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def facts(self, sha256: str) -> PhotoFacts | None:
        """The facts of a photo whose entry is there with renditions of the right size, else None."""
        sidecar = self._sidecar(sha256)
        if sidecar is None:
            return None
        try:
            found = plain_facts.from_plain(sidecar["facts"])
            if not found.problem:
                for edge in EDGES:
                    if os.stat(self._entry(sha256, f".{edge}.jpg")).st_size != sidecar[edge][0]:  # noqa: PTH116
                        return None
        except (OSError, ValueError, KeyError, TypeError, AttributeError, IndexError):
            return None
        return found

    def has(self, sha256: str) -> bool:
        """True if there is an entry; what is in it, `rendition_path`'s reader checks by `whole`."""
        return os.path.exists(self._entry(sha256, ".json")) and all(  # noqa: PTH110 - thousands a call
            os.path.exists(self._entry(sha256, f".{edge}.jpg"))  # noqa: PTH110
            for edge in EDGES
        )

    def whole(self, sha256: str, edge: Edge) -> bool:
        """True if the rendition is there and its bytes are those that were written."""
        sidecar = self._sidecar(sha256)
        try:
            data = self.rendition_path(sha256, edge).read_bytes()
            return sidecar is not None and sidecar[edge] == [len(data), hashlib.sha256(data).hexdigest()]
        except (OSError, KeyError, TypeError):
            return False

    def keep(self, sha256: str, decoded: Decoded, scratch: Path) -> None:
        """Write an entry, each file whole or not at all, the sidecar last. Raises OSError."""
        sidecar: dict[str, Any] = {"sha256": sha256, "facts": plain_facts.to_plain(decoded.facts)}
        Path(self._entry(sha256, "")).parent.mkdir(parents=True, exist_ok=True)
        if not decoded.facts.problem:
            for edge, data in zip(EDGES, (decoded.print_jpeg, decoded.small_jpeg), strict=True):
                write_whole(Path(self._entry(sha256, f".{edge}.jpg")), data, scratch)
                sidecar[edge] = [len(data), hashlib.sha256(data).hexdigest()]
        write_whole(Path(self._entry(sha256, ".json")), _json(sidecar), scratch)

    def _index_path(self, root: Path) -> Path:
        name = hashlib.sha256(os.fsencode(root)).hexdigest()[:32]
        return self.folder / "jobs" / f"{name}.json"

    def index(self, root: Path) -> dict[str, Known]:
        """What is known of the files below root (an absolute path), by relative path. Empty if nothing usable is."""
        try:
            kept = json.loads(self._index_path(root).read_bytes())
            if kept["version"] != self.version or kept["root"] != str(root):
                return {}
            return {path: _known(row) for path, row in kept["files"].items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}

    def keep_index(self, root: Path, files: dict[str, Known], scratch: Path) -> None:
        """Replace the index of root. Raises OSError."""
        rows = {
            path: [*k.stamp, k.sha256, None if k.facts is None else plain_facts.to_plain(k.facts)]
            for path, k in files.items()
        }
        target = self._index_path(root)
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, _json({"version": self.version, "root": str(root), "files": rows}), scratch)

    @contextmanager
    def scratch(self) -> Iterator[Path]:
        """A folder for files being written, on the same file system; gone afterwards, whatever happens.

        Raises WrongUsage if the cache cannot be written.
        """
        above = self.folder / "tmp"
        try:
            above.mkdir(parents=True, exist_ok=True)
            mine = Path(tempfile.mkdtemp(dir=above))
        except OSError as reason:
            raise unwritable(self.folder, reason) from reason
        try:
            _sweep(above, mine.stat().st_mtime)
            yield mine
        finally:
            shutil.rmtree(mine, ignore_errors=True)


def unwritable(folder: Path, reason: object) -> WrongUsage:
    """The error for a cache that cannot be written."""
    why = reason.strerror if isinstance(reason, OSError) and reason.strerror else reason
    return WrongUsage(
        f"The cache folder {folder} cannot be written: {why}.",
        f"Make room there, or name a folder that you may write to with --cache or {ENVIRONMENT}.",
    )


def _sweep(above: Path, now: float) -> None:
    """Remove what a killed run left a day ago or earlier."""
    with suppress(OSError):
        for left in above.iterdir():
            if left.stat().st_mtime < now - _STALE_S:
                shutil.rmtree(left, ignore_errors=True)


def _json(value: object) -> bytes:
    return json.dumps(value, separators=(",", ":")).encode("ascii")


def _known(row: list[Any]) -> Known:
    size, mtime_ns, inode, ctime_ns, sha256, facts = row
    if not isinstance(sha256, str) or len(sha256) != 64:
        raise ValueError("no SHA-256")
    stamp = Stamp(size, mtime_ns, inode, ctime_ns)
    return Known(stamp, sha256, None if facts is None else plain_facts.from_plain(facts))


def write_whole(target: Path, data: bytes, scratch: Path) -> None:
    """Write to a name of its own in scratch, then move into place. Raises OSError."""
    handle, name = tempfile.mkstemp(dir=scratch)
    with open(handle, "wb") as file:  # noqa: PTH123
        file.write(data)
    os.replace(name, target)  # noqa: PTH105
