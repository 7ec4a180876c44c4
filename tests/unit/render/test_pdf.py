"""The rendered dossier, read back with parties that know nothing of it: pypdf, pikepdf and its PDF/A validator."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest

sys.path.insert(0, str(Path(__file__).parent))
import sample  # noqa: E402

from buildbook.render.pdf import Attachment, render_pdf  # noqa: E402


@pytest.fixture(scope="session")
def renditions(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, str], Path]:
    """Twenty generated pictures."""
    made = sample.make_pictures(tmp_path_factory.mktemp("pictures"))
    return lambda asset, edge: made[asset][0 if edge == "print" else 1]


@pytest.fixture(scope="session")
def rendered(tmp_path_factory: pytest.TempPathFactory, renditions: Callable[[str, str], Path]) -> Path:
    """The sample dossier on A4."""
    out = tmp_path_factory.mktemp("out") / "dossier.pdf"
    record = Attachment(name="record.json", data=b"{}", mime="application/json", relationship="Data", description="Record")
    render_pdf(sample.sample(), renditions, [record], out)
    return out


def test_is_pdf_a_3b(rendered: Path) -> None:
    """ISO 19005-3 level B by the validator of pikepdf, which approves only what it knows to conform."""
    from pikepdf import pdfa

    report = pdfa.validate_written(rendered, "3b")
    assert report.verdict == "pass", report.summary()


def test_every_font_is_embedded(rendered: Path) -> None:
    with pikepdf.open(rendered) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/Font"]
        assert len(fonts) >= 8
        for font in fonts:
            assert "/FontFile2" in font.FontDescriptor, font.BaseFont
            assert "Helvetica" not in str(font.BaseFont)
