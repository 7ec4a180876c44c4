"""A dossier in a pseudo-language: no fixed string of it bypasses the catalogues."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from jobs.planting import AS_OF, BAD
from pseudo import COMMANDS, GLUED, PLACE, bared, fold, speak, strays, texts, written

from buildbook.dossier import IssueInfo, build_dossier, language
from buildbook.editions.table import Edition
from buildbook.load import load_job
from buildbook.records.changes import Change, Changes, FieldChange, FileChange, PartChange
from buildbook.records.finding import Finding, Gate, Grade
from buildbook.records.place import Place
from buildbook.records.said import said
from buildbook.render.html import words as page_words
from buildbook.rules import check_job
from buildbook.trade.units import known_units

ROOT = Path(__file__).parents[3]
DEMO, GOOD = ROOT / "demo_job", ROOT / "tests" / "jobs" / "good"
DAY = date(2026, 11, 26)


@pytest.fixture
def pseudo(monkeypatch):
    speak(monkeypatch)


@pytest.mark.parametrize("folder", [DEMO, GOOD / "minimal", GOOD / "motorcycle", GOOD / "van"], ids=lambda p: p.name)
def test_every_fixed_string_is_looked_up(folder, pseudo, library):
    loaded = load_job(folder, DAY, library=library)
    job = replace(loaded.job, language="de")
    issue = IssueInfo(number=0, issued_on=DAY, draft=True, seal="0" * 64, previous_seal="")
    dossier = build_dossier(job, [], issue)
    assert dossier.language == "de"
    record = written(job) + fold(COMMANDS)
    found = {(name, stray) for name, said in texts(dossier) for stray in strays(said, record)}
    assert sorted(found) == [], sorted({stray for _name, stray in found})
    glued = {(name, said) for name, said in texts(dossier) if GLUED.search(bared(said))}
    assert sorted(glued) == [], "\n".join(sorted(said for _name, said in glued))


def findings_of(job):
    """One of each grade and each sort of place."""
    places = (Place(""), Place("readings.csv", 22, "value"), Place("job.toml", key="client.name"))
    return [
        Finding("a.b", grade, place, said("Something is {n}.", n=1), "Mend it.", "", settled=place.row is not None)
        for grade, place in zip(Grade, places, strict=True)
    ]


def test_an_issue_with_all_that_can_be_in_it_is_looked_up(pseudo, library):
    loaded = load_job(GOOD / "minimal", DAY, library=library)
    job = replace(loaded.job, language="de")
    fields = tuple(FieldChange(name=name, was="", now="12") for name in ("part_number", "fitted_on", "old_part"))
    part = job.parts[0]
    changes = Changes(
        since=1, since_on=DAY,
        files=tuple(FileChange(change=c, path=f"{n}.txt", was="old.txt") for c in Change for n in range(1, 3)),
        parts=tuple(
            PartChange(change=Change.CHANGED, id=part.id, what=part.what, fields=fields[:n]) for n in (1, 3)
        ),
    )  # fmt: skip
    issue = IssueInfo(
        number=2, issued_on=DAY, draft=False, seal="0" * 64, previous_seal="1" * 64, changes=changes,
        signer=job.people[0].name, fingerprint="AA:BB", edition=Edition.RESALE, withheld=("1.txt", "2.txt"),
    )  # fmt: skip
    dossier = build_dossier(job, findings_of(job), issue)
    names = "a.b old.txt readings.csv value job.toml client.name bagit.py --validate archive AA BB"
    record = written(job) + fold(f"{COMMANDS} {names}")
    found = {stray for _name, said in texts(dossier) for stray in strays(said, record)}
    assert sorted(found) == []
    assert [said for _name, said in texts(dossier) if GLUED.search(bared(said))] == []


# Keys, codes of findings, and characters by the names that the Unicode Standard gives them.
NAMES = re.compile(r"[a-z0-9]+(?:[._-][a-z0-9]+)+|0x[0-9a-f]+|U\+[0-9A-F]{4}.*|[0-9A-F]{4} [A-Z -]+")
UNITS = {part for unit in known_units() for part in re.split("[/·]", unit.symbol)}
# Keys and words of closed lists, as people write them.
KEYS = {key for path in ROOT.glob("schemas/*.json") for key in re.findall(r'"([a-z0-9_-]+)"', path.read_text("utf-8"))}


@pytest.mark.slow
def test_dossiers_of_bad_jobs_are_looked_up(monkeypatch, library):
    """Each with its findings: what the record lacks or has wrong is told in words of the catalogues too."""
    found = []
    for folder in sorted(p for p in BAD.iterdir() if p.is_dir()):
        loaded = load_job(folder, AS_OF, library=library)
        found.append((folder, loaded.job, check_job(loaded.job, loaded.raised, Gate.HANDOVER)))
    issue = IssueInfo(number=0, issued_on=AS_OF, draft=True, seal="0" * 64, previous_seal="")
    speak(monkeypatch)
    told = set()
    for folder, job, findings in found:
        said = [said for _name, said in texts(build_dossier(replace(job, language="de"), findings, issue))]
        files = [p for p in folder.rglob("*") if p.is_file()]
        typed = [p.read_text(errors="ignore") for p in files if p.suffix in (".toml", ".csv")]
        record = written(job) + fold("\n".join([COMMANDS, *typed, *(p.relative_to(folder).as_posix() for p in files)]))
        told |= {(folder.name, stray) for one in said for stray in strays(one, record)}
        told |= {(folder.name, one) for one in said if GLUED.search(bared(one))}
    assert [one for one in sorted(told) if one[1] not in UNITS | KEYS and not NAMES.fullmatch(one[1])] == []


def test_words_of_the_page_are_looked_up(pseudo):
    with language.speaking("de"):
        said = [*page_words.page_words().values(), *page_words.script_words().values()]
    assert [s for s in said if list(strays(PLACE.sub("", s), ""))] == []


def test_words_of_paper_are_looked_up(pseudo):
    from buildbook.render.pdf import words

    with language.speaking("de"):
        said = [getattr(words, name) for name in words._WORDS]
        said += [words.page_of(1, 2), words.job("x"), words.issue(1), words.stated_by("x"), words.source("x")]
    assert [s for s in said if list(strays(s, "x"))] == []


def test_what_bypasses_the_catalogues_is_found():
    assert list(strays("⟦a word⟧ glued to it", "the record")) == ["glued to it"]
    assert list(strays("⟦a word of ⟧two", "the record")) == ["two"]
    assert list(strays("⟦a word of ⟧⟦two⟧ 12 mm", "the record")) == []
    assert all(map(GLUED.search, ("⟦a word⟧: ⟦another⟧", "12 (⟦a word⟧)", "⟦one⟧ ⟦two⟧")))
    assert not GLUED.search("⟦a word of ⟧12⟦, ⟧⟦two⟧")
