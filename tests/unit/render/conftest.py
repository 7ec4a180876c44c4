"""The sample dossier, drawn once for all tests of the PDF."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from unit.render import sample

from buildbook.render.pdf import Attachment, render_pdf

Rendition = Callable[[str, str], Path]
RECORD = Attachment(
    name="record.json", data=b'{"job": "2026-014"}', mime="application/json", relationship="Data", description="Record"
)
MANIFEST = Attachment(
    name="manifest-sha256.txt", data=b"0  a\n", mime="text/plain", relationship="Supplement", description="Manifest"
)


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, Path]]:
    """Twenty generated pictures: asset -> (print, small)."""
    return sample.make_pictures(tmp_path_factory.mktemp("pictures"))


@pytest.fixture(scope="session")
def renditions(pictures: dict[str, tuple[Path, Path]]) -> Rendition:
    """Renditions as the photo library hands them out."""
    return lambda asset, edge: pictures[asset][0 if edge == "print" else 1]


@pytest.fixture(scope="session")
def strings() -> list[str]:
    """Awkward strings, written out here so that they stay with the tests."""
    return [str(text) for text in json.loads((Path(__file__).parent / "awkward.json").read_text(encoding="utf-8"))]


@pytest.fixture(scope="session")
def rendered(tmp_path_factory: pytest.TempPathFactory, renditions: Rendition) -> Path:
    """The sample dossier on A4, issue 2."""
    out = tmp_path_factory.mktemp("out") / "dossier.pdf"
    render_pdf(sample.sample(), renditions, [RECORD, MANIFEST], out)
    return out


@pytest.fixture(scope="session")
def draft(tmp_path_factory: pytest.TempPathFactory, renditions: Rendition) -> Path:
    """The sample as a draft on Letter, its language Japanese."""
    out = tmp_path_factory.mktemp("draft") / "dossier.pdf"
    render_pdf(sample.sample(draft=True, paper="Letter", language="ja"), renditions, [], out)
    return out


@pytest.fixture(scope="session")
def awkward(tmp_path_factory: pytest.TempPathFactory, renditions: Rendition, strings: list[str]) -> Path:
    """The sample with every awkward string in every kind of block."""
    out = tmp_path_factory.mktemp("awkward") / "dossier.pdf"
    render_pdf(sample.sample(strings), renditions, [], out)
    return out
