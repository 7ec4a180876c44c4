"""PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) by an independent validator: page-validation, written by others in
Rust and held by them against the veraPDF corpus and the Isartor suite. Also qpdf and pdffonts (poppler).
"""

from __future__ import annotations

import json
import shutil
import subprocess
from datetime import date
from pathlib import Path

import pikepdf
import pytest
from unit.render import accessible, sample
from unit.render.accessible import CHECKS
from unit.render.reading import level_b_faults

from buildbook.compile import compile_job
from buildbook.photos import Library
from buildbook.render.pdf import Attachment, render_pdf

validator = pytest.importorskip("page")
pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
JOBS = {name: ROOT / "tests" / "jobs" / "good" / name for name in ("minimal", "motorcycle", "van")}
JOBS["demo"] = ROOT / "demo_job"
STRINGS = ROOT / "tests" / "unit" / "render" / "awkward.json"
DATA = Attachment(name="record.json", data=b"{}", mime="application/json", relationship="Data", description="Record")


def faults(pdf: Path, *profiles: str) -> list[str]:
    """What the validator says is wrong."""
    found = []
    for profile in profiles or ("3a", "ua1"):
        report = validator.validate_pdf(str(pdf), profile=profile)
        assert report.rules.total > 100
        found += [f"{failure.rule_id}: {failure.message}" for failure in report.failures]
        assert report.is_compliant == (not report.failures)
    return found


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("ua")


@pytest.fixture(scope="module", params=["sample", "draft", "awkward"])
def drawn(request: pytest.FixtureRequest, folder: Path) -> Path:
    pictures = sample.make_pictures(folder / "pictures")
    strings = [str(text) for text in json.loads(STRINGS.read_text(encoding="utf-8"))]
    dossier = {
        "sample": lambda: sample.sample(), "awkward": lambda: sample.sample(strings),
        "draft": lambda: sample.sample(draft=True, paper="Letter", language="ja"),
    }[request.param]()  # fmt: skip
    out = folder / f"{request.param}.pdf"
    render_pdf(dossier, lambda asset, edge: pictures[asset][0 if edge == "print" else 1], [DATA], out)
    return out


@pytest.fixture(scope="module", params=JOBS)
def compiled(request: pytest.FixtureRequest, folder: Path, library: Library) -> Path:
    job = folder / request.param / "job"
    shutil.copytree(JOBS[request.param], job)
    return compile_job(job, folder / request.param, date(2027, 1, 1), draft=True, library=library).pdf


def test_the_sample_in_every_script_conforms(drawn: Path) -> None:
    assert faults(drawn) == []


def test_dossiers_conform(compiled: Path) -> None:
    assert faults(compiled) == []
    assert level_b_faults(compiled) == []


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_dossiers_hold_our_own_checks(check: accessible.Check, compiled: Path) -> None:
    with pikepdf.open(compiled) as pdf:
        assert list(check(pdf)) == []


def test_dossiers_are_whole_and_their_fonts_inside(compiled: Path) -> None:
    for tool in ("qpdf", "pdffonts"):
        if shutil.which(tool) is None:
            pytest.skip(f"{tool} is not installed")
    if compiled.parents[2].name != "demo":  # the demo's takes qpdf 20 s; it is written as the others are
        told = subprocess.run(["qpdf", "--check", str(compiled)], capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stdout + told.stderr
    rows = subprocess.run(["pdffonts", str(compiled)], capture_output=True, text=True, check=True).stdout.splitlines()[
        2:
    ]
    assert len(rows) > 4
    for row in rows:
        embedded, subset, unicode = row.split()[-5:-2]
        assert (embedded, subset, unicode) == ("yes", "yes", "yes"), row


def test_poppler_reads_them_without_a_warning(compiled: Path) -> None:
    if shutil.which("pdfinfo") is None:
        pytest.skip("pdfinfo is not installed")
    told = subprocess.run(["pdfinfo", str(compiled)], capture_output=True, text=True, check=True)
    assert told.stderr == ""
    assert {"Tagged: yes", "Suspects: no"} <= {" ".join(line.split()) for line in told.stdout.splitlines()}


@pytest.mark.parametrize("what", ["alt", "language", "artifact", "claim"])
def test_the_validator_sees_a_planted_fault(what: str, folder: Path, drawn: Path) -> None:
    out = folder / f"spoilt-{what}.pdf"
    with pikepdf.open(drawn) as pdf:
        if what == "alt":
            figure = next(e for e in accessible.elements(pdf.Root.StructTreeRoot) if accessible.role(e) == "Figure")
            del figure.Alt
        elif what == "language":
            del pdf.Root.Lang
        elif what == "artifact":
            page = pdf.pages[1]
            page.contents_add(b"0 0 9 9 re f")
        else:
            pdf.Root.Metadata.write(pdf.Root.Metadata.read_bytes().replace(b"<pdfuaid:part>1", b"<pdfuaid:part>2"))
        pdf.save(out)
    assert faults(out, "ua1")
