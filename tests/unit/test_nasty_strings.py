"""Each nasty string in each free-text field is printed and comes back by text extraction, or is refused by name.

Strings: tests/unit/data/nasty_strings.json (markup, bidirectional marks, odd Unicode, lengths, spreadsheet formulas,
paths, names in many scripts, impossible dates).
"""

import csv
import json
import re
import shutil
import tomllib
import unicodedata
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from buildbook.compile import compile_job
from buildbook.load import load_job
from buildbook.newjob import toml_string
from buildbook.photos import Library
from buildbook.records.finding import Gate, Grade
from buildbook.rules import check_job

pytestmark = pytest.mark.slow
GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
STRINGS = [s["value"] for s in json.loads((Path(__file__).parent / "data" / "nasty_strings.json").read_text("utf-8"))]
ENCODABLE = [s for s in STRINGS if not any(0xD800 <= ord(c) <= 0xDFFF for c in s)]
DAY = date(2027, 1, 1)

# Free text of the tables; what is not here is an id, a reference, a word of a list, a number or a date.
COLUMNS = {
    "condition": ("what", "note"),
    "approvals": ("what", "means"),
    "parts": ("what", "part_number", "supplier", "why", "old_part"),
    "receipts": ("supplier", "number"),
    "materials": ("maker", "name", "batch"),
    "readings": ("point", "detail", "limit_source"),
}
# Free text of job.toml and step.toml, as dotted keys.
JOB_KEYS = (
    "job.title", "job.brief", "workshop.name", "workshop.address", "workshop.phone", "client.name", "client.address",
    "vehicle.marque", "vehicle.model", "vehicle.registration", "vehicle.colour", "vehicle.paint_code", "vehicle.notes",
    "vehicle.gearbox_number", "odometer.statement", "people.0.name", "people.0.role", "people.0.qualification",
    "instruments.0.what", "instruments.0.maker", "instruments.0.serial", "history.0.what",
    "open_items.0.what", "open_items.0.why", "open_items.0.advice", "aftercare.0.what", "aftercare.0.source",
)  # fmt: skip
STEP_KEYS = ("title", "work_done", "outcome")


def toml_text(table, path=()):
    """A TOML text of plain tables, lists of tables, and values: enough for job.toml and step.toml."""

    def value(v):
        if isinstance(v, bool):
            return str(v).lower()
        if isinstance(v, str):
            return toml_string(v)
        if isinstance(v, list):
            return "[" + ", ".join(value(x) for x in v) + "]"
        return v.isoformat() if hasattr(v, "isoformat") else str(v)

    plain = {k: v for k, v in table.items() if not isinstance(v, dict) and not (isinstance(v, list) and v and isinstance(v[0], dict))}
    text = "".join(f"{k} = {value(v)}\n" for k, v in plain.items())
    for k, v in table.items():
        if k in plain:
            continue
        for one, mark in [(v, "[{}]")] if isinstance(v, dict) else [(x, "[[{}]]") for x in v]:
            text += "\n" + mark.format(".".join((*path, k))) + "\n" + toml_text(one, (*path, k))
    return text


def put(table, key, value):
    *parents, last = key.split(".")
    for name in parents:
        if name.isdigit():
            while len(table) <= int(name):
                table.append({})
            table = table[int(name)]
        else:
            table = table.setdefault(name, [] if name in ("open_items", "aftercare", "history", "instruments", "people") else {})
    table[last] = value


def filled(folder, rows, one):
    """A copy of the minimal job: single fields say `one`; each table gets one more row for each of `rows`."""
    shutil.copytree(GOOD, folder)
    job = tomllib.loads((folder / "job.toml").read_text("utf-8"))
    for key in JOB_KEYS:
        put(job, key, one)
    (folder / "job.toml").write_text(toml_text(job), "utf-8")
    for path in folder.glob("steps/*/step.toml"):
        step = tomllib.loads(path.read_text("utf-8"))
        for key in STEP_KEYS:
            put(step, key, one)
        path.write_text(toml_text(step), "utf-8")
    for table, columns in COLUMNS.items():
        path = folder / f"{table}.csv"
        with path.open(encoding="utf-8", newline="") as stream:
            found = list(csv.DictReader(stream))
        like, names = found[0], list(found[0])
        for n, text in enumerate(rows):
            row = dict(like)
            if "id" in row:
                row["id"] = f"N{n}"
            found.append(row | dict.fromkeys(columns, text))
        with path.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, names)
            writer.writeheader()
            writer.writerows(found)
    return folder


def folded(text):
    """Text for comparing: one Unicode form, without the spaces and hyphens that line breaks bring or take."""
    return re.sub(r"[\s\u00ad\u200b-]", "", unicodedata.normalize("NFKC", text))


def check(folder, cache):
    loaded = load_job(folder, DAY, library=Library(cache))
    return check_job(loaded.job, loaded.raised, Gate.HANDOVER)


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("cache")


REFUSALS = re.compile(r"text\.|load\.(bad-|odd-character|spreadsheet-damage|missing-field|date-for-number|not-utf8|decimal)")


def refusals(findings):
    """Findings of grade stop about the text itself, by place."""
    return [f for f in findings if f.grade is Grade.STOP and REFUSALS.match(f.code)]


@pytest.fixture(scope="module")
def sorted_strings(tmp_path_factory, cache):
    """Which strings are refused by name and which are let through: (let through, refused)."""
    through, refused = [], []
    for n, text in enumerate(ENCODABLE):
        folder = filled(tmp_path_factory.mktemp("one") / f"j{n}", [text], text)
        found = refusals(check(folder, cache))
        (refused if found else through).append(text)
    return through, refused


def test_most_strings_are_let_through_and_none_is_lost(sorted_strings):
    through, refused = sorted_strings
    assert "<b>never closed" in through
    assert len(through) + len(refused) == len(ENCODABLE)
    assert len(through) >= 25, refused
    # what is refused has a reason one can see: it turns direction, breaks shape, or no font of ours has it
    for text in refused:
        assert not text.isascii() or not text.isprintable() or len(text) > 500, text


def test_a_refused_string_is_refused_at_each_of_its_fields(sorted_strings, tmp_path, cache):
    _, refused = sorted_strings
    bidi = next(t for t in refused if "\u202e" in t)
    found = refusals(check(filled(tmp_path / "job", [bidi], bidi), cache))
    places = {(f.place.file, f.place.key or f.place.column) for f in found}
    for key in ("job.title", "workshop.name", "vehicle.model"):
        assert ("job.toml", key) in places
    for table, columns in COLUMNS.items():
        for column in columns:
            assert (f"{table}.csv", column) in places


def test_each_string_let_through_is_printed_and_comes_back(sorted_strings, tmp_path, cache, monkeypatch):
    through, _ = sorted_strings
    monkeypatch.chdir(tmp_path)
    whole = [t for t in through if t.strip() and len(t) < 500]
    one = " ¦ ".join(whole)
    folder = filled(tmp_path / "job", through, one[:3500])
    made = compile_job(folder, tmp_path / "out", DAY, draft=True, library=Library(cache))
    text = folded("".join(page.extract_text() for page in PdfReader(made.pdf).pages))
    missing = [t for t in whole if folded(t) not in text]
    assert not missing
    assert folded(max(through, key=len))[:400] in text or len(max(through, key=len)) < 500
    assert not (tmp_path / "canary").exists()
    assert b"root:" not in made.pdf.read_bytes()


def test_even_refused_strings_compile_as_a_draft(tmp_path, cache, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folder = filled(tmp_path / "job", ENCODABLE, "plain")
    made = compile_job(folder, tmp_path / "out", DAY, draft=True, library=Library(cache))
    assert len(PdfReader(made.pdf).pages) > 10
    assert not (tmp_path / "canary").exists()


def test_half_a_surrogate_pair_is_refused_with_its_place(tmp_path, cache):
    folder = filled(tmp_path / "job", [], "plain")
    for text in set(STRINGS) - set(ENCODABLE):
        path = folder / "condition.csv"
        path.write_bytes(path.read_bytes() + b"X9,bonnet," + text.encode("utf-8", "surrogatepass") + b",1,,,,,\n")
    found = [f for f in check(folder, cache) if f.code == "load.not-utf8"]
    assert [f.place.file for f in found] == ["condition.csv"]


@pytest.mark.parametrize("name", [s for s in ENCODABLE if 0 < len(s.encode()) < 200 and "/" not in s and "\0" not in s])
def test_as_a_file_name(tmp_path, cache, name):
    folder = tmp_path / "job"
    shutil.copytree(GOOD, folder)
    (folder / "documents" / name).write_bytes(b"%PDF-1.4 nothing")
    findings = check(folder, cache)
    assert any(name in f.says or f.place.file == f"documents/{name}" or f.place.file.startswith("documents") for f in findings)
