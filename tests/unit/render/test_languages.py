"""Pages in each language: nothing outside its page, no sign without a shape, dates and decimals as they are written."""

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from buildbook.dossier import IssueInfo, build_dossier
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records import languages
from buildbook.render.pdf import render_pdf

GOOD = Path(__file__).parents[2] / "jobs" / "good"
DAY = date(2026, 11, 26)
DATES = {
    "en": "26 November 2026",
    "de": "26. November 2026",
    "es": "26 de noviembre de 2026",
    "ja": "2026年11月26日",
}  # CLDR, long dates
NOT_FIRST = tuple("、。，．）」』】")  # JIS X 4051 and JLReq 3.1.7, the marks of these that the catalogues use


def boxes(pdf):
    """Of each page its size and blocks of lines: left, top, right, bottom in points, and the words (poppler)."""
    command = ["pdftotext", "-bbox-layout", str(pdf), "-"]
    told = subprocess.run(command, check=True, capture_output=True).stdout.decode("utf-8")
    pages = []
    for page in re.findall(r"<page .*?</page>", told, re.S):
        width, height = map(float, re.match(r'<page width="([\d.]+)" height="([\d.]+)"', page).groups())
        blocks = []
        for block in re.findall(r"<block .*?</block>", page, re.S):
            found = re.findall(r'<line xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</line>', block, re.S)
            blocks.append([(*map(float, box), " ".join(re.findall(r">([^<]+)</word>", words))) for *box, words in found])
        pages.append((width, height, blocks))
    return pages


@pytest.fixture(scope="session")
def library(tmp_path_factory):
    return Library(tmp_path_factory.mktemp("cache"))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
@pytest.mark.parametrize("tag", DATES)
@pytest.mark.parametrize("name", ["minimal", "motorcycle", "van"])
def test_pages_hold_what_they_say(name, tag, library, tmp_path, monkeypatch):
    monkeypatch.setattr(languages, "LANGUAGES", dict.fromkeys(DATES, "a language"))
    loaded = load_job(GOOD / name, DAY, library=library)
    issue = IssueInfo(number=0, issued_on=DAY, draft=True, seal="0" * 64, previous_seal="")
    dossier = build_dossier(replace(loaded.job, language=tag), [], issue)
    assert dossier.language == tag
    render_pdf(dossier, library.rendition, (), tmp_path / "x.pdf")
    pages = boxes(tmp_path / "x.pdf")
    for number, (width, height, blocks) in enumerate(pages, 1):
        for block in blocks:
            for left, top, right, bottom, words in block:
                assert 0 <= left <= right <= width + 0.5, (number, words)
                assert 0 <= top <= bottom <= height + 0.5, (number, words)
                assert not set("\ufffd\u25a1") & set(words), (number, words)
            for _line, following in pairwise(block):
                assert following[4][:1] not in NOT_FIRST, (number, following[4])
    said = [line[4] for _w, _h, blocks in pages for block in blocks for line in block]
    squeezed = "".join("".join(said).split())
    assert "".join(DATES[tag].split()) in squeezed
    for wanted in (loaded.job.number, loaded.job.vehicle.chassis_number):
        assert "".join(wanted.split()) in squeezed
