"""A small job's issue as a web edition, written once for all tests of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from unit.render.html.elements import Elements

from buildbook.dossier import IssueInfo, build_dossier
from buildbook.dossier.model import Dossier
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Gate
from buildbook.render.html import render_html
from buildbook.rules import check_job
from buildbook.seal.digest import manifest_bytes, seal_of

JOB = Path(__file__).parents[3] / "jobs" / "good" / "motorcycle"
DAY = date(2027, 1, 1)


@dataclass(frozen=True)
class Edition:
    """folder: where index.html and assets/ lie."""

    dossier: Dossier
    library: Library
    files: dict[str, bytes]
    folder: Path
    text: str
    page: Elements


@pytest.fixture(scope="session")
def edition(tmp_path_factory: pytest.TempPathFactory, library: Library) -> Edition:
    root = tmp_path_factory.mktemp("edition")
    loaded = load_job(JOB, DAY, library=library)
    manifest = manifest_bytes((f.path, f.sha256) for f in loaded.job.files)
    issue = IssueInfo(number=1, issued_on=DAY, draft=False, seal=seal_of(manifest), previous_seal="")
    dossier = build_dossier(loaded.job, check_job(loaded.job, loaded.raised, Gate.HANDOVER), issue)
    files = {"manifest-sha256.txt": manifest, "record.json": b"{}\n"}
    (root / "web").mkdir()
    render_html(dossier, library.rendition, files, root / "web")
    text = (root / "web" / "index.html").read_text("utf-8")
    return Edition(dossier, library, files, root / "web", text, Elements(text))
