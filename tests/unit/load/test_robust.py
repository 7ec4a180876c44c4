"""Whatever bytes lie in the folder: findings, never an exception; whatever text: kept, or refused by name."""

import csv
import io
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from buildbook.load.disk import as_text
from buildbook.load.refused import Refused
from buildbook.load.schemas import TABLES
from buildbook.load.values import tidy
from buildbook.newjob import toml_string

from .conftest import JobFolder

NASTY = [
    "bolt < 5 mm & nut > 3 mm",
    "</para><para>second",
    '=HYPERLINK("http://127.0.0.1/?"&A1,"open")',
    'a","b\r\n"c";d',
    "photo\u202egpj.exe",
    "\ufffe\uffff\U0010ffff",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "e\u0300\u0301\u0302\u0303",
    "ＶＩＮ１２３\u3000／．．／",
    " \t\u00a0\u3000 ",
    "W" * 5000,
    "日産 山田太郎 髙橋 﨑 𠮷野家",
    "محمّد عبد الله",
    "O'Brien; DROP TABLE x;--",
    "C:\\temp\\new",
    "#REF!",
    "a\x00b",
    "line\u2028separator",
]


def folder():
    return JobFolder(Path(tempfile.mkdtemp(prefix="job-")))


def kept_or_refused(job, field, text):
    """The text is there as written (blanks at its ends apart), or a finding says why not."""
    loaded = job.load()
    shutil.rmtree(job.root)
    value, bad = field(loaded.job)
    if bad:
        assert loaded.raised
        assert value == ""
    else:
        assert loaded.raised == ()
        assert value == tidy(text)
    for raised in loaded.raised:
        assert raised.says.isprintable()


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@settings(max_examples=150, deadline=None)
@given(texts)
def test_free_text_in_toml(text):
    job = folder()
    job.write("job.toml", f'[job]\nnumber = "J-1"\ntitle = {toml_string(text)}\n')
    if any(ord(c) > 0xFFFF and not c.isprintable() for c in text):
        shutil.rmtree(job.root)  # toml_string has no escape for these
        return
    kept_or_refused(job, lambda j: (j.title, "title" in j.bad), text)


@settings(max_examples=150, deadline=None)
@given(texts, st.sampled_from([",", ";", "\t"]), st.sampled_from(["\n", "\r\n", "\r"]))
def test_free_text_in_csv(text, sign, end):
    job = folder()
    table = io.StringIO()
    writer = csv.writer(table, delimiter=sign, lineterminator=end, quoting=csv.QUOTE_ALL)
    writer.writerows([["id", "action", "what", "why"], ["P1", "replace", "Disc", text]])
    job.write("parts.csv", table.getvalue())
    if "\x00" in text:
        assert job.load().raised[0].code == "load.not-utf8"
        shutil.rmtree(job.root)
        return
    kept_or_refused(job, lambda j: (j.parts[0].why, "why" in j.parts[0].bad), text)


@pytest.mark.parametrize("text", NASTY)
def test_nasty_text_in_each_kind_of_file(job, text):
    test_free_text_in_csv.hypothesis.inner_test(text, ",", "\n")
    if "\U0010ffff" not in text:
        test_free_text_in_toml.hypothesis.inner_test(text)


@pytest.mark.parametrize("text", [t for t in NASTY if not {"\x00", "\ufffe"} & set(t) and not t.startswith("=")])
def test_nasty_text_in_a_workbook(text):
    job = folder()
    workbook = Workbook()
    workbook.active.append(["id", "action", "what", "why"])
    workbook.active.append(["P1", "replace", "Disc", text])
    data = io.BytesIO()
    workbook.save(data)
    (job.root / "parts.csv").unlink()
    job.write("parts.xlsx", data.getvalue())
    kept_or_refused(job, lambda j: (j.parts[0].why, "why" in j.parts[0].bad), text)


FILES = ["job.toml", "steps/010-a/step.toml", "issued/001.json", *(f"{t}.csv" for t in TABLES), "parts.xlsx"]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(FILES), st.binary(max_size=300))
@example("parts.csv", b"id,action\n\xff")
@example("parts.csv", b'id,"action\nx')
@example("job.toml", b"a" * 3000 + b".b=1")
@example("parts.xlsx", b"PK\x05\x06" + bytes(18))
def test_any_bytes_in_any_file(name, data):
    job = folder()
    if name == "parts.xlsx":
        (job.root / "parts.csv").unlink()
    job.write(name, data)
    loaded = job.load()
    shutil.rmtree(job.root)
    assert all(r.code.startswith("load.") and r.says for r in loaded.raised)
    assert len(loaded.job.files) in (7, 8)


def sound_workbook():
    workbook = Workbook()
    workbook.active.append(["id", "action", "what", "price"])
    workbook.active.append(["P1", "replace", "Disc", 1.5])
    data = io.BytesIO()
    workbook.save(data)
    return data.getvalue()


SOUND = sound_workbook()


@st.composite
def spoilt_workbooks(draw):
    content = bytearray(SOUND)
    for _ in range(draw(st.integers(1, 4))):
        content[draw(st.integers(0, len(content) - 1))] = draw(st.integers(0, 255))
    return bytes(content[: draw(st.integers(len(content) // 2, len(content)))])


@settings(max_examples=150, deadline=None)
@given(spoilt_workbooks())
def test_spoilt_workbooks(data):
    job = folder()
    (job.root / "parts.csv").unlink()
    job.write("parts.xlsx", data)
    loaded = job.load()
    shutil.rmtree(job.root)
    assert loaded.raised or [p.id for p in loaded.job.parts] == ["P1"]


toml_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.dates() | st.datetimes() | texts,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["id", "name", "in", "x"]), inner, max_size=3)
    ),
    max_leaves=6,
)


def as_toml(value):
    if value is None:
        return "nan"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return toml_string("".join(c for c in value if c.isprintable()))
    if isinstance(value, list):
        return "[" + ", ".join(map(as_toml, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k} = {as_toml(v)}" for k, v in value.items()) + "}"
    return value.isoformat() if hasattr(value, "isoformat") else str(value)


KEYS = [
    "workshop",
    "client",
    "people",
    "vehicle",
    "odometer",
    "history",
    "limits",
    "cameras",
    "pairs",
    "kinds",
    "settings",
    "editions",
    "x",
]


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(st.sampled_from(KEYS), toml_values, max_size=4),
    st.dictionaries(st.sampled_from(["number", "received", "timezone", "paper"]), toml_values, max_size=4),
)
def test_any_value_under_any_key_of_job_toml(top, inside):
    job = folder()
    lines = [f"{key} = {as_toml(value)}" for key, value in top.items()]
    job.write("job.toml", "\n".join([*lines, "[job]", *(f"{k} = {as_toml(v)}" for k, v in inside.items())]))
    loaded = job.load()
    shutil.rmtree(job.root)
    assert all(r.place.file for r in loaded.raised)
    assert not [r for r in loaded.raised if r.code == "load.not-toml" and "number or date" not in r.says]


@given(st.text(max_size=200), st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-32"]))
def test_text_comes_back_from_each_encoding(text, encoding):
    try:
        data = text.encode(encoding)
    except UnicodeEncodeError:
        return  # half a surrogate pair has no encoding
    if encoding == "utf-8" and (b"\x00" in data or data.startswith(b"\xef\xbb\xbf")):
        return
    if encoding == "utf-16" and text.startswith("\x00"):
        return  # the same bytes as UTF-32's mark
    assert as_text(data) == text


@given(st.binary(max_size=200))
def test_bytes_are_text_or_refused_by_name(data):
    try:
        text = as_text(data)
    except Refused as refused:
        said = refused.code
    else:
        said = type(text).__name__
    assert said in ("str", "load.not-utf8")


def test_texts_there_are_for_just_the_codes_that_loading_raises():
    import re

    import buildbook.load
    from buildbook.rules.loading import LOADING

    source = "".join(p.read_text(encoding="utf-8") for p in Path(buildbook.load.__file__).parent.glob("*.py"))
    raised = set(re.findall(r'"(load\.[a-z0-9-]+)"', source))
    assert raised == {rule.code for rule in LOADING}
    assert all(rule.check is None for rule in LOADING)
