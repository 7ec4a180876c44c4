"""The catalogues hold every fixed string of the code, translated whole, and nothing else."""

import ast
from importlib.resources import files

import pytest
from babel.messages.catalog import Catalog
from tools import messages
from tools.messages import KEYWORDS, PACKAGE, TEMPLATE, TRANSLATED, catalogue, faults, read, strings, updated, written

from buildbook.records.languages import DEFAULT, LANGUAGES
from buildbook.rules import RULES


@pytest.fixture(scope="module")
def template():
    return strings()


def test_the_template_holds_the_strings_of_the_code(template):
    """Else: `make messages`."""
    assert TEMPLATE.read_bytes() == written(template)


@pytest.mark.parametrize("language", sorted(set(LANGUAGES) - {DEFAULT}))
def test_a_language_on_offer_is_translated_whole(language, template):
    assert faults(read(catalogue(language), language), template) == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_what_is_translated_so_far_fits_its_english(language, template):
    """Also of a language that is not on offer yet: what is filled in keeps its places, forms and line ends."""
    found = faults(read(catalogue(language), language), template)
    unfinished = ("empty", "not in the catalogue", "not in the code", "obsolete")
    assert [line for line in found if not line.startswith(unfinished)] == []


@pytest.mark.parametrize("language", TRANSLATED)
def test_a_catalogue_lies_in_the_package_and_names_its_language(language):
    source = files("buildbook") / "locale" / language / "LC_MESSAGES" / "buildbook.po"
    assert f'"Language: {language}\\n"'.encode() in source.read_bytes()


def test_forms_of_plurals_are_those_cldr_gives():
    """Unicode CLDR, language plural rules: one and other in German and Spanish (its "many" is for millions), other in
    Japanese."""
    assert {language: Catalog(locale=language).num_plurals for language in TRANSLATED} == {"de": 2, "es": 2, "ja": 1}


def test_remedies_of_the_rules_are_among_the_strings(template):
    assert {rule.fix for rule in RULES} <= {m.id for m in template if isinstance(m.id, str)}


def test_reading_the_code_twice_makes_the_same_bytes(template):
    assert written(strings()) == written(template)
    assert b"Date:" not in written(template)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "not in the catalogue: 'Seal {n}'"),
        ({"Seal {n}": ""}, "empty: 'Seal {n}'"),
        ({"Seal {n}": "Siegel"}, "places differ: 'Seal {n}'"),
        ({"Seal {n}": "Siegel {m}"}, "places differ: 'Seal {n}'"),
        ({"Seal {n}": "Siegel {n} {n}"}, "places differ: 'Seal {n}'"),
        ({"Seal {n}": "Siegel {n"}, "not a template"),
        ({"Seal {n}": "Siegel\n{n}"}, "line ends differ: 'Seal {n}'"),
        ({"Seal {n}": "Siegel {n}", "Gone": "Weg"}, "not in the code: 'Gone'"),
    ],
)
def test_each_fault_of_a_catalogue_is_found(given, says):
    asked, has = Catalog(), Catalog(locale="de")
    asked.add("Seal {n}")
    for message, string in given.items():
        has.add(message, string)
    found = faults(has, asked)
    assert len(found) == 1
    assert found[0].startswith(says)


@pytest.mark.parametrize(
    ("strings", "flags", "says"),
    [
        (("{n} Foto", "{n} Fotos"), (), []),
        (("ein Foto", "{n} Fotos"), (), []),
        (("{n} Foto", "Fotos"), (), ["places differ"]),
        (("{n} Foto", ""), (), ["empty"]),
        (("{n} Foto", "{n} Fotos"), ("fuzzy",), ["fuzzy"]),
        (("{n} Foto",), (), ["1 forms, expected 2"]),
    ],
)
def test_each_fault_of_a_string_that_counts_is_found(strings, flags, says):
    asked, has = Catalog(), Catalog(locale="de")
    asked.add(("{n} photo", "{n} photos"))
    has.add(("{n} photo", "{n} photos"), strings, flags=flags)
    assert [line.split(":")[0] for line in faults(has, asked)] == says


def test_an_update_guesses_nothing_and_keeps_what_is_translated():
    """A string that changed by a letter is untranslated; the old translation waits at the end of the file."""
    changed = strings()
    first = next(m.id for m in changed if m.id and isinstance(m.id, str))
    changed.delete(first)
    changed.add(first + " Changed.")
    made = updated("de", changed)
    assert not made.get(first + " Changed.").string
    assert first in made.obsolete
    assert not any(m.fuzzy for m in made if m.id)
    assert first not in updated("de", changed, prune=True).obsolete


def test_a_string_that_comes_back_is_translated_already(tmp_path, monkeypatch):
    """Its translation waited at the end of the file."""
    monkeypatch.setattr(messages, "catalogue", lambda _language: tmp_path / "buildbook.po")
    asked, without, has = Catalog(), Catalog(), Catalog(locale="de")
    asked.add("Seal")
    without.add("Issue")
    has.add("Seal", "Siegel")
    (tmp_path / "buildbook.po").write_bytes(written(has))
    (tmp_path / "buildbook.po").write_bytes(written(updated("de", without)))
    assert b"#~ msgid" in (tmp_path / "buildbook.po").read_bytes()
    assert updated("de", asked).get("Seal").string == "Siegel"


def marked(source):
    """Calls of the hook whose template is no literal, as (name, line): extraction cannot see those."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in set(KEYWORDS) - {"_", "plural"}:
            asked = 2 if node.func.id == "forms" else 1
            for given in node.args[:asked]:
                if not (isinstance(given, ast.Constant) and isinstance(given.value, str)):
                    yield node.func.id, node.lineno


def test_what_marks_a_string_marks_a_literal():
    found = [(path.name, *place) for path in sorted(PACKAGE.rglob("*.py")) for place in marked(path.read_text("utf-8"))]
    assert found == []


def test_the_search_for_what_is_no_literal_finds_it():
    assert list(marked('N_("a")\nN_(f"a {b}")\nforms("a", b)\nsaid(c)\n')) == [("N_", 2), ("forms", 3), ("said", 4)]
