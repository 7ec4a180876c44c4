"""No mark of the tables reaches the reader of a dossier: each is said in words."""

from __future__ import annotations

import re

import pytest

from buildbook.dossier.marks import in_words
from buildbook.records.cautions import CAUTIONS
from buildbook.trade.kinds import KINDS

SOURCES = [said for kind in KINDS for said in (kind.source, kind.caution) if said] + [c.source for c in CAUTIONS]


@pytest.mark.parametrize("source", sorted(set(SOURCES)))
def test_no_mark_is_left(source: str) -> None:
    assert not re.search(r"PUB-|\b(MEM|PRAC|DER|OWN)\b", in_words(source))


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("ISO 2813:2014 [PUB-C]; bound [MEM]", "ISO 2813:2014 (secondary page); bound (from memory)"),
        ("wet boiling point [PUB-C; DOT 4 PUB-A]", "wet boiling point (secondary page; DOT 4 official text)"),
        ("common practice, no source (PRAC); more", "common practice, no source; more"),
        ("a limit (secondary page, PUB-C)", "a limit (secondary page)"),
        ("stamped on the disc (outer face)", "stamped on the disc (outer face)"),
        ("OWN works list", "OWN works list"),
    ],
)
def test_marks_become_words(source: str, said: str) -> None:
    assert in_words(source) == said
