"""A dossier in each language on offer: the same bytes in any environment, and a record no language changes."""

import hashlib
import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest
from jobs.planting import MINIMAL, Folder
from pseudo import GLUED, bared, fold, speak, strays, written

from buildbook import compile as pipeline
from buildbook.dossier import IssueInfo, verify_instructions
from buildbook.dossier.language import speaking
from buildbook.dossier.places import place_words
from buildbook.dossier.plain_text import WIDTH, columns, filled
from buildbook.editions.table import Edition
from buildbook.load import load_job
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.languages import LANGUAGES
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.report.html import findings_html

# What gettext, libc and Python look at; the names need not be installed to do harm.
ENVIRONMENTS = (
    {"LANG": "C", "LC_ALL": "C", "LANGUAGE": ""},
    {"LANG": "de_DE.UTF-8", "LC_ALL": "de_DE.UTF-8", "LANGUAGE": "ja:de", "LC_NUMERIC": "de_DE.UTF-8"},
)


def made(tmp_path, language, environment, n):
    """The files of a draft, by name, made in a process of its own."""
    folder, out = tmp_path / f"job-{n}", tmp_path / f"out-{n}"
    subprocess.run(["cp", "-r", str(MINIMAL), str(folder)], check=True)
    Folder(folder).replace("job.toml", 'currency = "EUR"', f'currency = "EUR"\nlanguage = "{language}"')
    subprocess.run(
        [sys.executable, "-m", "buildbook", "compile", str(folder), "--draft", "--issued-on", "2026-03-20", "--out",
         str(out)],
        check=True, env={**os.environ, **environment}, capture_output=True,
    )  # fmt: skip
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


@pytest.mark.slow
@pytest.mark.parametrize("language", ["de", "ja"])  # English: tests/unit/test_promises.py
def test_same_bytes_whatever_the_environment_says(tmp_path, language):
    one, other = (made(tmp_path, language, environment, n) for n, environment in enumerate(ENVIRONMENTS))
    assert {name: hashlib.sha256(data).hexdigest() for name, data in one.items()} == {
        name: hashlib.sha256(data).hexdigest() for name, data in other.items()
    }
    (record,) = [json.loads(data) for name, data in one.items() if name.endswith("record.json")]
    assert record["job"]["language"] == language


@pytest.fixture(scope="module")
def job(library):
    return replace(load_job(MINIMAL, date(2026, 11, 26), library=library).job, language="de")


PLACES = (Place(""), Place("readings.csv", 2, "value"), Place("job.toml", key="client.name"))
FILES = "dossier.pdf manifest-sha256.txt record.json VERIFY.txt manifest-sha256.txt.sig signer.pem issue.json web archive"


def issues():
    """A draft, a first issue, and one with signature, predecessor and files withheld."""
    first = IssueInfo(number=1, issued_on=date(2026, 3, 20), draft=False, seal="0" * 64, previous_seal="")
    return (
        replace(first, number=0, draft=True),
        first,
        replace(first, number=2, previous_seal="1" * 64, signer="A", fingerprint="AA", edition=Edition.INSURER,
                withheld=("a", "b")),
    )  # fmt: skip


@pytest.mark.parametrize("issue", issues(), ids=("draft", "first", "second"))
def test_instructions_are_looked_up_and_their_commands_are_not(issue, job, monkeypatch):
    def typed(text):
        return re.findall(r"^ {5}( {0,4}\S.*)$", text, re.MULTILINE)

    commands = typed(verify_instructions(replace(job, language="en"), issue))
    speak(monkeypatch)
    told = verify_instructions(job, issue)
    assert len(commands) > 2
    assert typed(told) == commands
    rest = " ".join(re.sub(r"^ {5} {0,4}\S.*$", "", told, flags=re.MULTILINE).split())
    assert list(strays(rest, written(job) + fold(FILES))) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_instructions_keep_to_their_width(language, job):
    told = verify_instructions(replace(job, language=language), issues()[2])
    assert [line for line in told.splitlines() if columns(line) > WIDTH] == []


def test_a_paragraph_is_broken_where_its_language_allows():
    said = "この封印は、manifest-sha256.txt の値です（文書に印刷されています）。`sha256sum a` で確かめます。"
    lines = filled(said, "1. ", "   ", 24).split("\n")
    assert "".join(line[3:] for line in lines).replace(" ", "") == said.replace(" ", "")
    assert all(columns(line) <= 24 for line in lines)
    assert not [line for line in lines if line[3] in "。、）" or line[-1] == "（"]
    assert any("`sha256sum a`" in line for line in lines)
    assert filled("one two three", "- ", "  ", 9) == "- one two\n  three"


class Seen(HTMLParser):
    """What a reader of a page sees or is told, element by element."""

    def __init__(self):
        super().__init__()
        self.told, self.language, self.style = [], "", ""
        self.within = ""

    def handle_starttag(self, tag, attrs):
        self.within = tag
        named = dict(attrs)
        self.language = named.get("lang", self.language)
        self.told += [named[name] for name in ("alt", "title", "aria-label") if named.get(name)]

    def handle_data(self, data):
        if self.within == "style":
            self.style += data
        elif data.strip() and self.within != "dt":  # a column's name
            self.told.append(data.strip())


def test_the_page_of_findings_is_looked_up(job, monkeypatch):
    speak(monkeypatch)
    paths = tuple(p.path for p in job.photos)
    reading = job.readings[0]
    places = (*PLACES, reading.place.at("value"), reading.place.at("exception"), Place(paths[0]))
    found = [
        Finding("a.b", grade, place, said("Something is {n}.", n=n), "Mend it.", "", photos=paths, settled=n == 0)
        for n, (grade, place) in enumerate(zip((*Grade, *Grade), places, strict=True))
    ]
    page = Seen()
    page.feed(findings_html(job, Gate.HANDOVER, found, lambda _digest: b""))
    assert page.language == "de"
    heads = re.findall(r'content: "([^"]*)"', page.style)
    page.told += [re.sub(r"\\([0-9a-f]{6})", lambda m: chr(int(m[1], 16)), head) for head in heads]
    record = written(job) + fold("a.b readings.csv value exception job.toml client.name")
    assert sorted({stray for text in page.told for stray in strays(text, record)}) == []
    assert [text for text in page.told if GLUED.search(bared(text))] == []
    assert len(page.told) > 60


@pytest.mark.parametrize("gate", Gate)
def test_the_page_of_findings_names_its_gate(gate, job, monkeypatch):
    speak(monkeypatch)
    page = Seen()
    page.feed(findings_html(job, gate, [], lambda _digest: b""))
    assert any(f"efore {gate.value}" in text for text in page.told)
    assert [stray for text in page.told for stray in strays(text, written(job))] == []


def test_places_and_attachments_are_looked_up(monkeypatch):
    speak(monkeypatch)
    with speaking("de"):
        told = [place_words(place) for place in PLACES]
    told += [one.description for one in pipeline._attachments("de", b"m", b"r", b"c")]
    assert len(told) == 6
    assert [stray for text in told for stray in strays(text, fold("readings.csv value job.toml client.name"))] == []
