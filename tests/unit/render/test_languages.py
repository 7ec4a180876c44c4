"""Pages in each language, measured against what each line was set into; dates as they are written, each field found."""

import math
import shutil
import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from unit.render.test_text import cleaned, fold, printed
from unit.render.traced import faults, ill_parted, strays, traced

from buildbook.dossier import IssueInfo, build_dossier
from buildbook.load import load_job
from buildbook.records.finding import Gate
from buildbook.records.languages import LANGUAGES
from buildbook.render.pdf import render_pdf
from buildbook.render.pdf.style import sheet_of
from buildbook.rules import check_job

ROOT = Path(__file__).parents[3]
JOBS = {
    "demo": ROOT / "demo_job",
    **{name: ROOT / "tests" / "jobs" / "good" / name for name in ("minimal", "motorcycle", "van")},
}
DAY = date(2026, 11, 26)
DATES = {
    "en": "26 November 2026",
    "de": "26. November 2026",
    "es": "26 de noviembre de 2026",
    "ja": "2026年11月26日",
}  # CLDR, long dates

pytestmark = [pytest.mark.slow, pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")]


@pytest.fixture(scope="module")
def loaded(library):
    """Each job, read when it is first asked for, with what its check finds."""
    known = {}

    def give(name):
        if name not in known:
            read = load_job(JOBS[name], DAY, library=library)
            known[name] = read.job, check_job(read.job, read.raised, Gate.HANDOVER)
        return known[name]

    return give


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("tag", LANGUAGES)
def test_pages_hold_what_they_say(name, tag, loaded, library, tmp_path, monkeypatch):
    job, findings = loaded(name)
    issue = IssueInfo(number=0, issued_on=DAY, draft=True, seal="0" * 64, previous_seal="")
    dossier = build_dossier(replace(job, language=tag), findings, issue)
    assert dossier.language == tag
    pdf = tmp_path / "x.pdf"
    with traced(monkeypatch) as trace:
        render_pdf(dossier, library.rendition, (), pdf)
    sheet = sheet_of(dossier.paper)
    assert sum(map(len, trace.lines.values())) > 500
    assert list(faults(trace, sheet.width, sheet.height)) == []
    assert list(ill_parted(trace)) == []
    assert list(strays(trace, pdf)) == []
    text = said(pdf, sheet)
    assert not set("\ufffd\u25a1") & set(text)
    assert fold(DATES[tag]) in text
    fonts = cleaned(dossier)
    paged = replace(dossier, photos=(), places=(), plan=None)  # of the web edition
    wanted = {fold(fonts.clean(one)) for one in printed(paged)}
    assert len(wanted) > 250
    assert [one for one in sorted(wanted) if one not in text and not over_two_pages(one, text)] == []


def over_two_pages(one, text):
    """Whether a long text is there in two parts: what stands beside it is drawn before its second."""
    return any(one[:at] in text and one[at:] in text for at in range(20, len(one) - 19))


def said(pdf, sheet):
    """All text in the order it was drawn, without running matter and white space (poppler)."""
    area = ["-r", "72", "-x", "0", "-y", "50", "-W", str(math.ceil(sheet.width)), "-H", str(int(sheet.height - 95))]
    told = subprocess.run(["pdftotext", "-raw", *area, str(pdf), "-"], check=True, capture_output=True)
    return fold(told.stdout.decode("utf-8"))
