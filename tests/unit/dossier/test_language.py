"""The hook of the fixed strings: looked up when printed, in the language spoken there, whatever the environment says."""

import ast
from datetime import date
from gettext import NullTranslations
from pathlib import Path

import pytest

import buildbook
from buildbook.dossier import language
from buildbook.dossier.formats import Formats
from buildbook.dossier.language import speaking, tag_of, voice
from buildbook.dossier.terms import term
from buildbook.dossier.wording import _, lowered, not_recorded, plural, together
from buildbook.records.languages import regional, spoken
from buildbook.records.words import Operation

ROOT = Path(buildbook.__file__).parent
MODULES = sorted((ROOT / "dossier").rglob("*.py")) + sorted((ROOT / "render").rglob("*.py"))
LOOK_UPS = {"_", "plural"}


class Bracketed(NullTranslations):
    """A pseudo-language: every string looked up stands in brackets."""

    def gettext(self, message):
        return f"⟦{message}⟧"

    def pgettext(self, context, message):
        return f"⟦{context}|{message}⟧"

    def ngettext(self, msgid1, msgid2, n):
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


@pytest.fixture
def pseudo(monkeypatch):
    voice()  # English outside of `speaking` is kept once made: it is made before the brackets come
    monkeypatch.setattr(language, "catalogue", lambda _language: Bracketed())


def looked_up_at_import(path):
    """Calls of a look-up that run when the module is imported."""
    found = []

    def visit(node):
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(child, ast.Call) and getattr(child.func, "id", "") in LOOK_UPS:
                found.append(f"{path.name}:{child.lineno}")
            visit(child)

    visit(ast.parse(path.read_text("utf-8")))
    return found


def test_no_string_is_looked_up_before_a_language_is_spoken():
    assert [place for path in MODULES for place in looked_up_at_import(path)] == []


def test_the_search_for_early_look_ups_finds_one(tmp_path):
    early = tmp_path / "early.py"
    early.write_text('WORD = _("stop")\n\ndef later():\n    return _("go")\n')
    assert looked_up_at_import(early) == ["early.py:1"]


def test_words_follow_the_language_spoken_and_english_returns(pseudo):
    with speaking("en"):
        assert _("Seal") == "⟦Seal⟧"
        assert _("none", "limits") == "⟦limits|none⟧"
        assert plural("{n} photo", "{n} photos", 2) == "⟦2 photos⟧"
        assert term(Operation.PAINT) == "⟦Painting⟧"
        assert not_recorded()[0].text == "⟦not recorded⟧"
        assert "".join(r.text for r in together([not_recorded(), not_recorded()])).count("⟦, ⟧") == 1
    assert term(Operation.PAINT) == "Painting"


def test_a_language_inside_another_gives_way_again_even_after_a_fault():
    outside = voice()
    with speaking("en-US") as inner:
        assert voice() is inner
    assert voice() is outside

    def fails():
        with speaking("en-US"):
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fails()
    assert voice() is outside


@pytest.mark.parametrize(
    ("tag", "made"),
    [("en", "en"), ("en-US", "en-US"), ("en-GB", "en-GB"), ("en-ZZZ", "en"), ("tlh", "en"), ("", "en"), ("x" * 99, "en")],
)
def test_a_tag_without_words_or_region_gives_way_to_what_is_known(tag, made):
    assert tag_of(tag) == made


def test_region_decides_how_dates_are_written():
    """CLDR: British day before month, American month before day."""
    day = date(2026, 3, 2)
    assert Formats("en").day(day) == "2 March 2026"
    assert Formats("en-US").day(day) == "March 2, 2026"


def test_what_a_tag_means():
    assert spoken("EN-gb") == "en"
    assert spoken("tlh") == ""
    assert regional("en-GB")
    assert not regional("en-ZZZ")


def test_titles_within_a_sentence_begin_small():
    assert lowered("Bonnet") == "bonnet"


@pytest.mark.parametrize("name", ["LANG", "LC_ALL", "LANGUAGE"])
def test_the_environment_has_no_say(monkeypatch, name):
    monkeypatch.setenv(name, "de_DE.UTF-8")
    assert _("Seal") == "Seal"
    assert Formats().day(date(2026, 3, 2)) == "2 March 2026"
