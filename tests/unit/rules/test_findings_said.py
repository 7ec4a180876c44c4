"""What each bad job's finding says can be said in another language: every sentence from templates the catalogues hold.

What stands in the places of a template is a sentence again, a number, a day, or text of the record. English put
together by the code would be none of these, and shows here.
"""

import ast
import re
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from gettext import NullTranslations
from pathlib import Path
from string import Formatter
from zipfile import ZipFile, is_zipfile

import pytest
from jobs.plant_load import ELSEWHERE
from jobs.planting import AS_OF, BAD, plant
from tools.messages import strings

import buildbook
from buildbook.dossier import language
from buildbook.dossier.said import in_language
from buildbook.dossier.terms import is_term
from buildbook.load import load_job
from buildbook.records.finding import Gate
from buildbook.records.languages import LANGUAGES
from buildbook.records.said import Day, Figure, Row, Said, Sayable, Starting, Term, Within, said
from buildbook.records.zones import ZONES
from buildbook.rules import check_job
from buildbook.schemas import NAMES, schema
from buildbook.trade.kinds import KINDS
from buildbook.trade.units import known_units

FOLDERS = sorted(p for p in BAD.iterdir() if p.is_dir())
EXEMPT: set[str] = set()  # codes whose sentences are not all said yet; to be empty
# Words that hold sentences together: a value of these alone is no text of a record.
BINDING = frozenset(re.findall(
    r"\w+",
    "an and are as at be but by for from has have in is it its no none not of on or than that the their this to was "
    "which with without",
))  # fmt: skip
# What is no word in any language: ids, keys, signs, and characters by the names that the Unicode Standard gives them.
CODE = re.compile(r"U\+[0-9A-F]{4,6}(?: [A-Z0-9-]+)*|\b\w*\d\w*\b|\b[a-z]+(?:_[a-z]+)+\b|^[^a-zA-Z]+$")
UNITS = {unit.symbol for unit in known_units()}


@pytest.fixture(scope="module")
def known():
    """Every string of the catalogues."""
    return {one for m in strings() if m.id for one in (m.id if isinstance(m.id, tuple) else (m.id,))}


def found_in(folder, library):
    loaded = load_job(folder, AS_OF, library=library)
    return loaded.job, check_job(loaded.job, loaded.raised, Gate.HANDOVER)


def fold(text):
    """The words of more than one letter, a blank between them."""
    return " ".join(w for w in re.findall(r"[^\W\d_]+", text.casefold()) if len(w) > 1)


def parts(value, known):
    """The plain texts within a sentence; what the catalogues lack is a fault."""
    if isinstance(value, Said):
        for template in filter(None, (value.template, value.many)):
            assert template in known or not fold("".join(t for t, *_ in Formatter().parse(template))), template
        for inner in value.values.values():
            yield from parts(inner, known)
    elif isinstance(value, Row):
        assert not fold(value.between), value.between
        for inner in value.parts:
            yield from parts(inner, known)
    elif isinstance(value, Starting):
        yield from parts(value.text, known)
    elif isinstance(value, Within):
        assert value.heading in known, value.heading
    elif isinstance(value, Term):
        assert is_term(value.member) or value.member.value in known, value.member
    elif isinstance(value, Figure | Day | date | Decimal | int | float):
        pass
    elif isinstance(value, Sayable):
        pytest.fail(f"a kind of sentence this test does not know: {type(value).__name__}")
    elif isinstance(value, StrEnum):
        yield value.value
    elif isinstance(value, str):
        yield value
    else:
        yield from parts(value.__str__(), known)


def names_in(part):
    """Keys and words of a schema, without its descriptions."""
    if isinstance(part, dict):
        yield from part.get("properties", {})
        yield from (word for word in part.get("enum", ()) if isinstance(word, str))
        for inner in part.values():
            yield from names_in(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from names_in(inner)


def vocabulary(folder, job):
    """What a person may have written: the files' text, their names, and the names of columns, zones and kinds."""
    made = []

    def walk(value):
        if isinstance(value, str):
            made.append(str(value))
        elif isinstance(value, dict):
            for key, inner in value.items():
                walk(key)
                walk(inner)
        elif isinstance(value, tuple | list | frozenset):
            for inner in value:
                walk(inner)
        elif is_dataclass(value):
            for field in fields(value):
                walk(getattr(value, field.name))

    walk(job)
    for path in sorted(p for p in folder.rglob("*") if p.is_file() and p.suffix in (".toml", ".csv", ".json", ".jsonl")):
        made.append(path.read_bytes().decode("utf-8", "replace"))
    for path in folder.rglob("*.xlsx"):
        if is_zipfile(path):
            made.append(ZipFile(path).read("xl/workbook.xml").decode())
    made += [p.relative_to(folder).as_posix() for p in folder.rglob("*")]
    walk([zone.name for zone in ZONES])
    walk([(kind.name, kind.units, kind.si_unit, sorted(kind.instruments)) for kind in KINDS])
    walk([list(LANGUAGES), *(list(names_in(schema(name))) for name in NAMES)])
    return f" {fold(' '.join(made))} "


def english_within(says, known, written):
    """Plain text in a sentence that nobody wrote into the record."""
    for text in parts(says, known):
        for piece in re.split(r"[():;,/+.\n]+", CODE.sub(" ", text) if text not in UNITS else ""):
            words = fold(piece).split()
            if words and (f" {' '.join(words)} " not in written or set(words) <= BINDING):
                yield text


class Hidden(NullTranslations):
    """A language in which every letter of the fixed text is the same."""

    def gettext(self, message):
        return "".join(
            re.sub(r"[^\W\d_]", "ж", literal).replace("{", "{{").replace("}", "}}") + (f"{{{name}}}" if name else "")
            for literal, name, _spec, _conversion in Formatter().parse(message)
        )

    def pgettext(self, context, message):
        return self.gettext(message)

    def ngettext(self, msgid1, msgid2, n):
        return self.gettext(msgid1 if n == 1 else msgid2)


@pytest.fixture
def hidden(monkeypatch):
    monkeypatch.setattr(language, "catalogue", lambda _language: Hidden())


def judge(folder, library, known):
    job, findings = found_in(folder, library)
    written = vocabulary(folder, job)
    with language.speaking("de"):
        for finding in findings:
            if finding.code in EXEMPT:
                continue
            assert isinstance(finding.says, Sayable), finding.says
            assert list(english_within(finding.says, known, written)) == [], finding.says
            assert "ж" in in_language(finding.says)


@pytest.mark.usefixtures("hidden")
@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_each_finding_is_said_from_templates(folder: Path, library, known):
    judge(folder, library, known)


@pytest.mark.usefixtures("hidden")
@pytest.mark.parametrize("code", sorted(ELSEWHERE))
def test_each_finding_that_no_version_control_holds(code, tmp_path, library, known):
    judge(plant(code, ELSEWHERE[code], tmp_path), library, known)


def test_english_put_together_by_the_code_is_found(known):
    sentence, written = "Approval {approval} ({what}) has no document.", " hose "
    assert list(english_within(said(sentence, approval="A1", what="hose"), known, written)) == []
    assert list(english_within(said(sentence, approval="A1", what="the hose"), known, written)) == ["the hose"]
    assert list(english_within(said(sentence, approval="none", what="hose"), known, " none hose ")) == ["none"]
    with pytest.raises(AssertionError, match="no such template"):
        list(english_within(said("no such template"), known, written))


# Calls that end a search outwards: templates, texts of rules (English in `rules`), errors of the command line.
OTHER = {"said", "tallied", "rule", "_text", "Rule", "InputUnreadable", "BuildbookError", "ValueError"}
COMMAND_LINE = {"look"}  # functions whose sentences end on the command line
SAYS = {"Raised": 2, "Refused": 1, "Fault": 2, "Outside": 2, "Trouble": 2, "CardRefused": 0}


def put_together(source):
    """Lines that print English which no catalogue can hold: f-strings of several words, literals as a finding's text."""
    tree = ast.parse(source)
    above = {inner: node for node in ast.walk(tree) for inner in ast.iter_child_nodes(node)}

    def outwards(node):
        while node in above:
            node = above[node]
            yield node

    for node in ast.walk(tree):
        within = list(outwards(node))
        names = {called(n) for n in within if isinstance(n, ast.Call)}
        functions = {n.name for n in within if isinstance(n, ast.FunctionDef)}
        if names & OTHER or functions & COMMAND_LINE:
            continue
        if isinstance(node, ast.JoinedStr):
            literal = " ".join(part.value for part in node.values if isinstance(part, ast.Constant))
            if len(re.findall(r"(?<![\w.{])[a-z]{2,}(?![\w./-])", literal)) > 1:
                yield node.lineno
        elif isinstance(node, ast.Call) and called(node) in SAYS and len(node.args) > SAYS[called(node)]:
            says = node.args[SAYS[called(node)]]
            if isinstance(says, ast.Constant | ast.JoinedStr | ast.BinOp):
                yield node.lineno


def called(call):
    return getattr(call.func, "id", getattr(call.func, "attr", ""))


@pytest.mark.parametrize("area", ["load", "records", "rules"])
def test_no_sentence_is_put_together_in_the_code(area):
    """Branches that no bad job takes."""
    modules = sorted((Path(buildbook.__file__).parent / area).rglob("*.py"))
    found = [f"{m.name}:{n}" for m in modules if m.name != "reference.py" for n in put_together(m.read_text("utf-8"))]
    assert found == []


def test_a_sentence_put_together_in_the_code_is_found():
    wrong = ['says = f"{a} has no {b} at all"', 'Raised("x", p, "No photo.")', 'Refused("x", f"{a}")', 'Fault(p, "x", a + b)']
    assert [list(put_together(line)) for line in wrong] == [[1]] * 4
    right = ['f"steps/{a}/step.toml"', 'Raised("x", p, says)', 'said("{a} has none", a=f"{b}.c")', 'Raised("x", p, said("No."))']
    assert [list(put_together(line)) for line in right] == [[]] * 4


def test_nothing_is_exempt():
    assert not EXEMPT
