"""What passes at once passes the validator that names faults, too: in cells, and in documents."""

from __future__ import annotations

import unicodedata

import pytest
from jsonschema import Draft202012Validator

from buildbook.load.check import _column_validator, _fits_at_once, row_faults
from buildbook.load.schemas import TABLES, schema
from buildbook.schemas import surely_valid

SPACES = [c for c in map(chr, range(0x10000)) if c.isspace() or unicodedata.category(c) in ("Zs", "Cf")]
CELLS = [
    "", "x", "a|b", " a", "a ", "a\n", "a\tb", "1", "-1", "+1.50", "1,5", "1.", ".5", "1e3", "٣", "½", "9" * 19, "5", "5.0", "4.5", "4.7",
    "EUR", "eur", "EURO", "2026-03-04", "2026-02-30", "2026-3-4", "1849-01-01", "2026-03-04T10:00:00+01:00", "2026-03-04T10:00:60Z",
    "2026-03-04T10:00", "documents/a.pdf", "/etc/passwd", "C:\\a", "a/../b", "..", "a\\b", "a/b|c/d", "a|../d", "before", "after", "new",
    "\x1c", "\x85", "a\x00", "\ud800", "\ufeff", *SPACES, *(f"a{s}" for s in SPACES),
]  # fmt: skip


@pytest.mark.parametrize("table", TABLES)
def test_a_cell_that_passes_at_once_is_valid(table: str) -> None:
    passed = 0
    for column in schema(table)["properties"]:
        slow: Draft202012Validator = _column_validator(table, column)
        for text in CELLS:
            if text.isprintable() and surely_valid(table, text, column):
                passed += 1
                assert slow.is_valid(text), (column, text)
            assert (row_faults(table, {column: text}, schema(table)["required"]) == []) == slow.is_valid(text)
    assert passed > 100


@pytest.mark.parametrize("space", ["\x1c", "\x1d", "\x1e", "\x1f", "\x85"])
def test_what_counts_as_a_space_for_one_alone_is_asked_of_the_other(space: str) -> None:
    document = {"step": {"title": f"a{space}b", "pairs": []}}
    assert not _fits_at_once("step", document)
