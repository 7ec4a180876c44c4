"""The schemas say what the code knows: word lists, fields of the records, and what the loader accepts."""

import copy
import dataclasses
import json
import subprocess
import sys
import types
import typing
import zipfile
from datetime import date
from functools import reduce
from pathlib import Path

import pytest

import buildbook
from buildbook.load import load_job, reference
from buildbook.load.check import row_faults
from buildbook.load.schemas import TABLES, kind_of, part_at, resolved
from buildbook.records import words
from buildbook.records.cautions import CAUTIONS
from buildbook.records.finding import Gate, Grade
from buildbook.records.job import Job
from buildbook.records.photo import PhotoFacts
from buildbook.schemas import NAMES, folder, problems, schema, surely_valid, validator
from buildbook.trade.kinds import JUDGED, VALUE_FORMS, ZONE_GROUPS

REPOSITORY = Path(buildbook.__file__).resolve().parent.parent


def values(words_list):
    return [word.value for word in words_list]


def objects(name):
    """Every object schema of a file, with where it stands."""
    waiting = [("", schema(name))]
    while waiting:
        where, part = waiting.pop()
        if isinstance(part, dict):
            if part.get("type") == "object" and "properties" in part:
                yield where, part
            waiting += [(f"{where}/{k}", v) for k, v in part.items()]
        elif isinstance(part, list):
            waiting += [(f"{where}/{n}", v) for n, v in enumerate(part)]


@pytest.mark.parametrize(
    ("name", "path", "words_wanted"),
    [
        ("condition", ["outcome"], values(words.Outcome)),
        ("approvals", ["decision"], values(words.Decision)),
        ("parts", ["action"], values(words.Action)),
        ("parts", ["source"], values(words.Source)),
        ("materials", ["kind"], values(words.MaterialKind)),
        ("readings", ["stage"], values(words.ReadingStage)),
        ("step", ["operation"], values(words.Operation)),
        ("step", ["cautions", 0], [c.name for c in CAUTIONS]),
        ("job", ["vehicle", "body"], values(words.Body)),
        ("job", ["history", 0, "basis"], values(words.Basis)),
        ("job", ["kinds", 0, "judged"], list(JUDGED)),
        ("job", ["kinds", 0, "value_form"], list(VALUE_FORMS)),
        ("job", ["kinds", 0, "zones", 0], list(ZONE_GROUPS)),
        ("findings", ["gate"], values(Gate)),
    ],
)
def test_word_lists_are_those_of_the_code(name, path, words_wanted):
    assert part_at(name, path)["enum"] == words_wanted


def test_grades_of_findings_are_those_of_the_code():
    assert schema("findings")["$defs"]["finding"]["properties"]["grade"]["enum"] == values(Grade)
    assert list(schema("findings")["properties"]["counts"]["properties"]) == values(Grade)


def test_zones_are_no_word_list_because_the_table_of_zones_may_grow():
    assert all("enum" not in resolved(name, part_at(name, ["zone"])) for name in ("condition", "parts", "readings"))


@pytest.mark.parametrize("name", NAMES)
def test_each_schema_documents_itself(name):
    whole = schema(name)
    assert whole["$id"] == f"urn:buildbook:schema:{name}:1"
    assert whole["title"]
    assert whole["description"]
    for where, part in objects(name):
        assert part["additionalProperties"] is False, where
        assert set(part.get("required", ())) <= set(part["properties"]), where
        for field, inner in part["properties"].items():
            assert inner.get("title"), f"{where}/{field}"
            assert inner.get("description"), f"{where}/{field}"


@pytest.mark.parametrize("name", [n for n in NAMES if n != "record"])
def test_examples_are_there_and_valid(name):
    from jsonschema import Draft202012Validator

    seen = 0
    for where, part in objects(name):
        for field, inner in part["properties"].items():
            if "properties" in inner or inner.get("type") == "array" or field in ("counts", "settings"):
                continue
            whole = resolved(name, inner)
            assert whole.get("examples"), f"{where}/{field}"
            check = Draft202012Validator(
                {**whole, "$defs": schema(name).get("$defs", {})}, format_checker=Draft202012Validator.FORMAT_CHECKER
            )
            for example in whole["examples"]:
                assert check.is_valid(example), f"{where}/{field}: {example}"
                seen += 1
    assert seen >= 7


def test_what_two_schemas_call_by_one_name_is_one_thing():
    first = {}
    for name in NAMES:
        if name == "record":
            continue
        for title, part in schema(name).get("$defs", {}).items():
            assert first.setdefault(title, part) == part, f"{name}: {title}"


@pytest.mark.parametrize(
    ("name", "document", "wrong"),
    [
        ("approvals", {"id": "A1", "date": "2023-02-29", "what": "x", "decision": "approved"}, "date"),
        ("approvals", {"id": "A1", "date": "2026-3-2", "what": "x", "decision": "approved"}, "date"),
        ("readings", {"stage": "after", "kind": "x", "value": "1", "on": "2024-05-01T10:00:00+25:00"}, "on"),
        ("readings", {"stage": "after", "kind": "x", "value": "1", "on": "2024-05-01T24:10"}, "on"),
        ("job", {"job": {"number": "J"}, "workshop": {"email": "nobody"}}, "workshop/email"),
        ("parts", {"id": "P1", "action": "replace", "what": "x", "price": "1,5"}, "price"),
        ("parts", {"id": "P1", "action": "replace", "what": ""}, "what"),
        ("parts", {"id": "P1", "action": "replace"}, "(whole)"),
        ("parts", {"id": "P1", "action": "replace", "what": "x", "colour": "y"}, "(whole)"),
    ],
)
def test_formats_and_patterns_are_really_checked(name, document, wrong):
    (line,) = problems(name, document)
    assert line.startswith(f"{wrong}: ")


ROWS = [
    {
        "id": "P1",
        "action": "replace",
        "what": "Disc",
        "price": "48.50",
        "fitted_on": "2026-03-18",
        "photos": "a.jpg|b.jpg",
    },
    {
        "id": "P|1",
        "action": "renew",
        "what": "x" * 20_001,
        "price": "1e5",
        "fitted_on": "2026-02-30",
        "currency": "eur",
    },
    {"what": "Disc", "receipt": "../x", "photos": "a.jpg|../b", "zone": "x" * 61, "quantity": "٣"},
    {"id": " P1", "action": "", "what": "", "total": "-0.00", "step": "|", "receipt": "C:/x"},
]


@pytest.mark.parametrize("row", ROWS)
def test_judging_cell_by_cell_is_judging_the_row(row):
    """The loader judges each distinct cell once; the schema is written for rows."""
    whole = {(tuple(e.absolute_path) or ("(required)",)) for e in validator("parts").iter_errors(row)}
    faults = row_faults("parts", row)
    cells = {f.path for f in faults if f.code != "load.missing-field"}
    assert cells == whole - {("(required)",)}
    missing = {f.path[0] for f in faults if f.code == "load.missing-field"}
    assert missing == {"id", "action", "what"} - row.keys()


# What the check measures for itself and record.json leaves out.
NOT_PUBLISHED = {"Job": {"elsewhere"}, "PhotoFacts": {"looks", "changed"}}


def fields_of(kind):
    return {f.name for f in dataclasses.fields(kind)} - NOT_PUBLISHED.get(kind.__name__, set())


def record_types():
    """Every dataclass a job is made of."""
    found = {}
    waiting = [Job]
    while waiting:
        kind = waiting.pop()
        if kind.__name__ in found:
            continue
        found[kind.__name__] = kind
        hints = typing.get_type_hints(kind)
        for hint in (hints[name] for name in fields_of(kind)):
            inner = [hint]
            while inner:
                part = inner.pop()
                if typing.get_origin(part) in (tuple, frozenset, typing.Union, types.UnionType):
                    inner += typing.get_args(part)
                elif dataclasses.is_dataclass(part):
                    waiting.append(part)
    return found


@pytest.mark.parametrize("kind", sorted(record_types().values(), key=lambda k: k.__name__), ids=lambda k: k.__name__)
def test_the_record_schema_has_every_field_of_every_record(kind):
    assert set(schema("record")["$defs"][kind.__name__]["properties"]) - {"label"} == fields_of(kind)


def test_the_record_schema_has_no_other_record_types():
    ours = {"decimal", "date", "when", "instant", "sha256", "Finding"}
    assert set(schema("record")["$defs"]) - ours == set(record_types())


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    """A record made from a whole job, by the program's own writer."""
    from buildbook.dossier import IssueInfo, record_json
    from buildbook.photos import Library
    from buildbook.rules import check_job

    day = date(2026, 3, 20)
    library = Library(tmp_path_factory.mktemp("cache"))
    loaded = load_job(REPOSITORY / "tests/jobs/good/minimal", day, library=library)
    findings = check_job(loaded.job, loaded.raised, Gate.HANDOVER)
    issue = IssueInfo(number=1, issued_on=day, draft=False, seal="ab" * 32, previous_seal="")
    return json.loads(record_json(loaded.job, findings, issue))


def test_a_real_record_is_valid(record):
    assert problems("record", record) == []
    assert len(record["job"]["readings"]) == 3


@pytest.mark.parametrize(
    "spoil",
    [
        lambda r: r["job"]["readings"][0].update(value=14),
        lambda r: r["job"]["readings"][0].update(on="2026-02-30"),
        lambda r: r["job"]["parts"][0].update(action="renew"),
        lambda r: r["job"]["files"][0].update(sha256="AB" * 32),
        lambda r: r["job"]["photos"][0]["facts"].update(dhash=7),
        lambda r: r["job"].update(extra=1),
        lambda r: r["job"].pop("vehicle"),
        lambda r: r["findings"]["counts"].update(stop=-1),
        lambda r: r["issue"].pop("draft"),
        lambda r: r.update(format="other"),
    ],
)
def test_a_spoilt_record_is_not(record, spoil):
    changed = copy.deepcopy(record)
    spoil(changed)
    assert problems("record", changed)


def test_the_quick_validator_takes_nothing_the_other_refuses(record):
    """Each value of a record in turn made another: what is passed at once must be valid by jsonschema too."""
    plain = {**record, "job": {**record["job"], "readings": record["job"]["readings"][:1], "photos": record["job"]["photos"][:1]}}
    slow, passed = validator("record"), 0
    for path in places(plain):
        for other in (None, 7, -1, 1.5, True, "", "x", "2026-02-30", "2026-04-01T25:00:00Z", "AB" * 32, [], {}, 10**30, "\ud800"):
            changed = copy.deepcopy(plain)
            *above, last = path
            reduce(lambda value, key: value[key], above, changed)[last] = other
            if surely_valid("record", changed):
                passed += 1
                assert slow.is_valid(changed), (path, other)
    assert passed > 100
    assert surely_valid("record", plain)


def places(value, above=()):
    """The path of each value within, down to the plain ones."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield (*above, key)
        yield from places(one, (*above, key))


def test_every_field_of_photo_facts_may_be_there(record):
    changed = copy.deepcopy(record)
    changed["job"]["photos"][0]["facts"] |= {
        "taken": "2026-03-04T09:10:11.120000+01:00",
        "gps_time": "2026-03-04T08:10:11+00:00",
        "dhash": "00ff00ff00ff00ff",
        "has_gps": True,
        "camera": "PX-2",
        "software": "1.0",
        "taken_problem": "zeros",
        "problem": "cut off",
    }
    assert problems("record", changed) == []
    assert set(changed["job"]["photos"][0]["facts"]) <= fields_of(PhotoFacts)


def test_the_reference_page_is_up_to_date():
    page = (REPOSITORY / "docs/record.md").read_text(encoding="utf-8")
    assert page == reference.reference(), "run: make docs"


def test_the_reference_names_every_field_of_every_file():
    page = reference.reference()
    for name in ("job", "step", "issue", *TABLES):
        for where, part in objects(name):
            for field in part["properties"]:
                if kind_of(part["properties"][field]) not in ("object", "array"):
                    assert f"| `{field}`" in page, f"{name}{where}/{field}"


@pytest.mark.slow
def test_the_wheel_carries_the_schemas_and_finds_them_there(tmp_path):
    made = subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "wheel",
            "--quiet",
            "--no-deps",
            "--no-build-isolation",
            "-w",
            tmp_path,
            REPOSITORY,
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode and "No module named" in made.stderr:
        pytest.skip("the build back end is not installed here")
    assert made.returncode == 0, made.stderr
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "installed")
    asked = (
        "from buildbook.schemas import NAMES, folder, schema; print(folder()); print([schema(n)['$id'] for n in NAMES])"
    )
    seen = subprocess.run(
        [sys.executable, "-c", asked],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path / "installed")},
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(tmp_path / "installed" / "buildbook" / "_schemas") in seen.stdout
    assert seen.stdout.count("urn:buildbook:schema:") == len(NAMES)


def test_each_file_in_the_folder_is_a_schema_with_a_name():
    assert {p.name for p in folder().iterdir()} == {f"{name}.schema.json" for name in NAMES}
