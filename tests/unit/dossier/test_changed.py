"""The page on what changed since the issue before."""

from dataclasses import replace
from datetime import date

import pytest

from buildbook.dossier import build_dossier
from buildbook.dossier.blocks import anchors_of, flat, links_of, words_of
from buildbook.dossier.changed import MOST_ROWS
from buildbook.dossier.model import Table
from buildbook.records.changes import Change, Changes, FieldChange, FileChange, PartChange


def made(job, findings, issue, changes):
    return build_dossier(job, findings, replace(issue, changes=changes))


def section(dossier):
    (found,) = [s for s in dossier.sections if s.anchor == "section-changes"]
    return found


def test_without_an_earlier_issue_there_is_no_such_page(job, findings, issue):
    assert "section-changes" not in anchors_of(build_dossier(job, findings, issue))


def test_files_and_part_lines_are_named_with_what_they_were(job, findings, issue):
    part = job.parts[0]
    photo = job.photos[0]
    dossier = made(job, findings, issue, Changes(
        since=1, since_on=date(2026, 3, 19),
        files=(
            FileChange(change=Change.ADDED, path=photo.path),
            FileChange(change=Change.WITHDRAWN, path="documents/old.pdf"),
            FileChange(change=Change.MOVED, path="documents/new.pdf", was="inbox/new.pdf"),
        ),
        parts=(
            PartChange(change=Change.CHANGED, id=part.id, what="Hose <b>", fields=(FieldChange(name="part_number", was="", now="0042"),)),
            PartChange(change=Change.CHANGED, id="P9", what="Seal", fields=(
                FieldChange(name="total", was="10.00", now="12.00"), FieldChange(name="note", was="a", now=""),
            )),
            PartChange(change=Change.WITHDRAWN, id="P8", what="Clip"),
        ),
    ))  # fmt: skip
    words = words_of(dossier)
    for line in (
        "What changed since issue 1",
        "1 file added, 1 file withdrawn, 1 file moved; 2 part lines changed, 1 part line withdrawn",
        "was inbox/new.pdf", "documents/old.pdf", "Hose <b>", "part number", "not given", "0042", "total: 10.00",
        "total: 12.00", "Clip",
    ):  # fmt: skip
        assert line in words
    assert dossier.sections[1] is section(dossier)
    anchors = anchors_of(dossier)
    assert len(anchors) == len(set(anchors))
    assert set(links_of(dossier)) <= set(anchors)


def test_long_lists_are_cut_and_counted(job, findings, issue):
    files = tuple(FileChange(change=Change.ADDED, path=f"f{n:04d}") for n in range(MOST_ROWS + 3))
    dossier = made(job, findings, issue, Changes(since=1, files=files))
    (table,) = [b for b in flat(section(dossier).blocks) if isinstance(b, Table)]
    assert len(table.rows) == MOST_ROWS
    assert "3 more are in the records of both issues." in words_of(dossier)


@pytest.mark.parametrize("changes", [Changes(since=1), Changes(since=1, problem="issued/001-record.json is not there")])
def test_nothing_and_not_known_are_said_apart(job, findings, issue, changes):
    words = words_of(made(job, findings, issue, changes))
    assert ("no file differs; no part line differs" in words) is (not changes.problem)
    assert ("cannot be said: issued/001-record.json is not there" in words) is bool(changes.problem)
