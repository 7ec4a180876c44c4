"""A small sound job folder to plant faults into, and a library that hashes without decoding."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest

from buildbook.load import Loaded, load_job
from buildbook.load.schemas import TABLES, schema
from buildbook.photos import Surveyed
from buildbook.records.photo import FileEntry, PhotoFacts

AS_OF = date(2026, 4, 24)
HEADINGS = {table: list(schema(table)["properties"]) for table in TABLES}


@dataclass
class HashingLibrary:
    """Stands in for photos.Library: every .jpg is a picture, names in `lost` cannot be read."""

    lost: set[str] = field(default_factory=set)
    asked: list[dict[str, object]] = field(default_factory=list)

    def survey(self, root, paths, *, rehash=False, cards=(), progress=None):
        self.asked.append({"paths": tuple(paths), "rehash": rehash, "progress": progress})
        found = {}
        for path in paths:
            if path in self.lost:
                found[path] = Surveyed(FileEntry(path=path, size=0, sha256=""), None, unread="the disk said no")
                continue
            data = (root / path).read_bytes()
            facts = PhotoFacts(format="JPEG", width=640, height=480) if path.endswith(".jpg") else None
            entry = FileEntry(path=path, size=len(data), sha256=hashlib.sha256(data).hexdigest())
            found[path] = Surveyed(entry, facts)
        return found


class JobFolder:
    """A job folder under a test's own directory."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.library = HashingLibrary()
        self.write("job.toml", '[job]\nnumber = "J-1"\ntimezone = "Europe/Lisbon"\n')
        for table, names in HEADINGS.items():
            self.write(f"{table}.csv", ",".join(names) + "\n")

    def write(self, path: str, content: str | bytes) -> Path:
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
        return target

    def load(self) -> Loaded:
        return load_job(self.root, AS_OF, library=self.library)  # type: ignore[arg-type]

    def said(self) -> list[tuple[str, str]]:
        """Code and place of everything raised."""
        return [(r.code, str(r.place)) for r in self.load().raised]


@pytest.fixture
def job(tmp_path: Path) -> JobFolder:
    return JobFolder(tmp_path / "job")


@pytest.fixture
def one(job: JobFolder) -> Callable[[], tuple[str, str, str]]:
    """The one finding of the folder: code, place, sentence. Fails if there are more or none."""

    def read() -> tuple[str, str, str]:
        raised = job.load().raised
        assert len(raised) == 1, raised
        return raised[0].code, str(raised[0].place), raised[0].says

    return read
