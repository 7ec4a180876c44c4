"""record.json: valid against its schema, the same bytes each time, nothing lost."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import factory
from jsonschema import Draft202012Validator

from buildbook.dossier import record_json

SCHEMA = json.loads((Path(__file__).parents[3] / "schemas" / "record.schema.json").read_text("utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA, format_checker=Draft202012Validator.FORMAT_CHECKER)


def read(*arguments):
    return json.loads(record_json(*arguments))


def test_it_is_valid_against_the_published_schema(job, findings, issue, draft, bare):
    for arguments in ((job, findings, issue), (job, findings, draft), (bare, (), draft)):
        assert [e.message for e in VALIDATOR.iter_errors(read(*arguments))] == []


def test_it_is_sorted_utf8_with_a_last_line_end(job, findings, issue):
    made = record_json(job, findings, issue)
    assert made == record_json(job, findings, issue)
    assert made.endswith(b"}\n")
    assert b"\r" not in made
    assert "南 空".encode() in made
    assert json.dumps(json.loads(made), sort_keys=True) == json.dumps(json.loads(made))


def test_labels_are_those_of_the_dossier(job, findings, issue):
    data = read(job, findings, issue)["job"]
    by_path = sorted(data["photos"], key=lambda p: p["path"].encode())
    assert [p["label"] for p in by_path] == [f"P{n:03d}" for n in range(1, len(by_path) + 1)]
    assert [r["label"] for r in data["readings"]] == [f"R{n:03d}" for n in range(1, len(job.readings) + 1)]
    assert data["documents"][0]["label"] == "D01"


def test_decimals_dates_and_silence(job, findings, issue):
    data = read(job, findings, issue)["job"]
    assert data["parts"][1]["price"] == "40.50"
    assert data["received"] == "2026-03-02"
    assert data["steps"][1]["started"] == "2026-03-05T08:00:00+01:00"
    assert "gearbox_number" not in data["vehicle"]
    assert data["cameras"][0]["ahead_s"] == -40


def test_findings_are_counted(job, findings, issue):
    assert read(job, findings, issue)["findings"]["counts"] == {"stop": 1, "query": 0, "note": 1}


def test_settings_of_any_kind_and_undecodable_names_have_a_form(issue):
    job = factory.job(settings={"limit": Decimal("0.5"), "nested": {"on": factory.date(2026, 1, 2)}, "inf": float("inf")})
    job = replace(job, files=(replace(factory.document(), path="documents/\udcff.pdf"),))
    data = read(job, (), issue)["job"]
    assert data["settings"] == {"limit": "0.5", "nested": {"on": "2026-01-02"}, "inf": "inf"}
    assert data["files"][0]["path"] == "documents/\udcff.pdf"
