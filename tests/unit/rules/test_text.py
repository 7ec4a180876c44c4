"""Rules of text and of documents: every text is looked at, at its own place."""

from __future__ import annotations

import dataclasses
from typing import Any

import factory as f
import pytest

from buildbook.records.finding import Raised
from buildbook.records.job import Caption, HistoryEntry, Job, OpenItem, Pair, Record
from buildbook.records.languages import LANGUAGES
from buildbook.records.place import Place
from buildbook.rules.files import FILES
from buildbook.rules.text import TEXT, written


def raised(job: Job) -> list[Raised]:
    return [found for rule in (*TEXT, *FILES) if rule.check is not None for found in rule.check(job)]


def with_text(text: str) -> Job:
    return f.job(steps=(f.step(work_done=text),))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Two stages, by hand.", None), ("bolt < 5 mm & nut > 3 mm", None), ("Ｖ１２\u3000日産 \U00020bb7野家 Ångström ½ ≤", None),
        ("São Brás, Größe, Façade", None), ("'); DROP TABLE x;--", None), ("What is TODO? Nothing.", None),
        ("محمد", "text.unprintable"), ("ok 👍", "text.unprintable"), ("soft\u00adhyphen", "text.unprintable"),
        ("a\u202eb", "text.unprintable"), ("\ud83d", "text.unprintable"), ("\uffff", "text.unprintable"),
        ("e\u0316\u0317\u0318\u0319\u031a", "text.stacked-marks"), ("MÃ¼ller", "text.damaged"), ("5 Âµm", "text.damaged"),
        ("itâ€™s", "text.damaged"), ("TODO", "text.placeholder"), ("???", "text.placeholder"), ("tbc.", "text.placeholder"),
        ("W" * 4000, None), ("W" * 4001, "text.too-long"),
    ],
)  # fmt: skip
def test_text(text: str, code: str | None) -> None:
    found = raised(with_text(text))
    assert f.codes(found) == ([code] if code else [])
    assert [str(r.place) for r in found] == (["steps/010-polish/step.toml, key work_done"] if code else [])


def test_the_character_is_named_and_not_shown() -> None:
    (found,) = raised(with_text("from محمد and \u202e"))
    assert found.says == "This cannot be printed: U+0645 ARABIC LETTER MEEM (Arabic) and 3 more."
    assert found.says.isascii()


def marked(record: Record) -> tuple[Record, list[str]]:
    """A copy of a record in which every text field holds a text of its own."""
    names = [x.name for x in dataclasses.fields(record) if x.name != "place" and type(getattr(record, x.name)) is str]
    return dataclasses.replace(record, **{name: f"«{name}»" for name in names}), names


@pytest.mark.parametrize(
    ("where", "record"),
    [
        ("people", f.person()), ("instruments", f.instrument()), ("limits", f.limit()), ("observations", f.observation()),
        ("approvals", f.approval()), ("parts", f.part()), ("receipts", f.receipt()), ("materials", f.material()),
        ("readings", f.reading()), ("steps", f.step()),
        ("history", HistoryEntry(place=f.key("history.1"))), ("open_items", OpenItem(place=f.key("open_items.1"))),
        ("pairs", Pair(place=f.key("pairs.1"))),
    ],
)  # fmt: skip
def test_every_field_is_looked_at(where: str, record: Record) -> None:
    changed, names = marked(record)
    assert names
    texts = {w.text for w in written(f.job(**{where: (changed,)}))}
    assert {f"«{name}»" for name in names} <= texts


def test_places_are_those_of_the_file() -> None:
    bad = "👍"
    places: list[tuple[dict[str, Any], str]] = [
        ({"brief": bad}, "job.toml, key job.brief"),
        ({"readings": (f.reading(value_text=bad),)}, "readings.csv, row 2, column value"),
        ({"settings": {"note": bad}}, "job.toml, key settings.note"),
        ({"custom_kinds": ({"title": bad},)}, "job.toml, key kinds.1.title"),
        ({"history": (HistoryEntry(place=f.key("history.2"), on=bad),)}, "job.toml, key history.2.on"),
        (
            {"steps": (f.step(captions=(Caption(place=f.key("captions.1"), file="x", text=bad),)),)},
            "job.toml, key captions.1.text",
        ),
        ({"steps": (f.step(zones=(bad,)),)}, "steps/010-polish/step.toml, key zones"),
        ({"files": (f.document(f"documents/{bad}.pdf"),)}, f"documents/{bad}.pdf"),
    ]
    for change, place in places:
        found = [r for r in raised(f.job(**change)) if r.code == "text.unprintable"]
        assert [str(r.place) for r in found] == [place]


def test_a_file_name_is_said_once_though_a_table_repeats_it() -> None:
    name = "documents/👍.pdf"
    job = f.job(files=(f.document(name),), documents=(f.document(name),), approvals=(f.approval(document=name),))
    assert [(r.code, r.place) for r in raised(job)] == [("text.unprintable", Place(name))]


def test_documents() -> None:
    paper = f.document("documents/w1.pdf")
    named = {"instruments": (f.instrument(certificate=paper.path),)}
    assert raised(f.job(files=(paper,), documents=(paper,), **named)) == []
    (missing,) = raised(f.job(**named))
    assert (missing.code, missing.place.key) == ("files.document-missing", "instruments.1.certificate")
    (empty,) = raised(f.job(files=(paper,), documents=(f.document(paper.path, 0),), **named))
    assert (empty.code, empty.place) == ("files.document-empty", Place(paper.path))
    (lone,) = raised(f.job(files=(paper,), documents=(paper, f.document("documents/ABOUT.txt"))))
    assert (lone.code, lone.place) == ("files.document-unreferenced", Place(paper.path))


def test_a_language_without_words_is_named_with_those_there_are() -> None:
    """Regions choose formats, not words: they raise nothing."""
    for tag in (*LANGUAGES, *(f"{tag}-CH" for tag in LANGUAGES), "en-GB", "EN-us", ""):
        assert raised(f.job(language=tag)) == []
    (found,) = raised(f.job(language="tlh-KX"))
    assert found.code == "text.language-unknown"
    assert '"tlh-KX"' in found.says
    assert all(f"{tag} ({name})" in found.says for tag, name in LANGUAGES.items())
    assert found.place.key == "job.language"
