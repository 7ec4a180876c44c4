"""Earlier issues, as the seal part writes them."""

import json
from datetime import date

import pytest

from buildbook.seal.chain import issue_json

HEX = "ab" * 32


def issue(number=1, previous=""):
    return issue_json(
        job_number="J-1",
        number=number,
        issued_on=date(2026, 4, 24),
        seal=HEX,
        previous_seal=previous,
        dossier_sha256=HEX,
        record_sha256=HEX,
        instructions_sha256=HEX,
        files=12,
        program="buildbook 0.1.0",
    )


def test_a_chain_is_read_in_order(job):
    job.write("issued/002.json", issue(2, HEX))
    job.write("issued/001.json", issue(1))
    loaded = job.load()
    assert loaded.raised == ()
    assert [(i.number, i.previous_seal, i.issued_on) for i in loaded.job.issued] == [
        (1, "", date(2026, 4, 24)),
        (2, HEX, date(2026, 4, 24)),
    ]


@pytest.mark.parametrize(
    ("content", "key", "says"),
    [
        (b"{", None, "not JSON at line 1, column 2"),
        (issue().replace(b'"files": 12', b'"files": NaN'), None, "NaN"),
        (issue().replace(b'"files": 12', b'"files": 12, "files": 13'), None, "files” stands in it twice"),
        (issue().replace(b'"number": 1', b'"number": 7'), "number", "issue 7"),
        (issue().replace(HEX.encode(), b"AB" * 32, 1), "dossier_sha256", ""),
        (issue().replace(b"2026-04-24", b"2026-02-30"), "issued_on", "2026-02-30"),
        (issue().replace(b'"files": 12', b'"files": 12, "extra": 1'), "extra", ""),
        (b"[]", None, "table of its own"),
        (b"[" * 100_000, None, "nested too deep"),
        (b"9" * 5000, None, "cannot be read"),
    ],
)
def test_files_that_are_no_issue(job, one, content, key, says):
    job.write("issued/001.json", content)
    code, place, said = one()
    assert code == "load.bad-issue"
    assert place == "issued/001.json" + (f", key {key}" if key else "")
    assert says in said
    assert job.load().job.issued == ()


def test_other_files_there_are_said(job, one):
    job.write("issued/note.json", json.dumps({}))
    assert one()[:2] == ("load.stray-file", "issued/note.json")
