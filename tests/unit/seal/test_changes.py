import json

import pytest

from buildbook.records.changes import Change, FieldChange
from buildbook.records.job import Issued
from buildbook.records.place import Place
from buildbook.seal.changes import changes_between, changes_since, file_changes
from buildbook.seal.digest import sha256_bytes

A, B, C = "a" * 64, "b" * 64, "c" * 64


def told(changes):
    return [(str(c.change), c.path, c.was) for c in changes]


def test_files_added_changed_withdrawn_moved():
    was = {"same": A, "edited": A, "gone": B, "old-name": C, "issued/001.json": A}
    now = {"same": A, "edited": B, "new": "d" * 64, "new-name": C, "issued/001-record.json": B, "issued/001.json": B}
    assert told(file_changes(was, now)) == [
        ("added", "new", ""),
        ("changed", "edited", ""),
        ("withdrawn", "gone", ""),
        ("moved", "new-name", "old-name"),
    ]


def test_a_copy_is_added_and_not_moved():
    assert told(file_changes({"one": A}, {"one": A, "two": A})) == [("added", "two", "")]
    assert told(file_changes({"one": A, "two": A}, {"three": A})) == [("withdrawn", "two", ""), ("moved", "three", "one")]


def record(parts=(), files=()):
    return {"job": {"parts": list(parts), "files": [{"path": p, "sha256": d} for p, d in files]}}


def part(name, row=2, **fields):
    return {"id": name, "place": {"file": "parts.csv", "row": row}, **fields}


def test_part_lines_are_compared_by_id_field_by_field_wherever_they_stand():
    was = record([part("P1", what="Hose", total="10.00"), part("P2", what="Seal"), part("P3", what="Clip")])
    now = record([part("P4", what="Bolt"), part("P1", 9, what="Hose", total="12.00", photos=["x.jpg", "y.jpg"]), part("P3", 7, what="Clip")])
    changes = changes_between(was, now, since=1)
    assert [(c.change, c.id, c.what, c.fields) for c in changes.parts] == [
        (Change.ADDED, "P4", "Bolt", ()),
        (
            Change.CHANGED, "P1", "Hose",
            (FieldChange(name="total", was="10.00", now="12.00"), FieldChange(name="photos", was="", now="x.jpg, y.jpg")),
        ),
        (Change.WITHDRAWN, "P2", "Seal", ()),
    ]  # fmt: skip


def test_two_lines_of_one_id_are_told_apart_by_their_turn():
    was = record([part("P1", what="a"), part("P1", what="b")])
    now = record([part("P1", what="a"), part("P1", what="c")])
    assert [(c.change, c.fields[0].was, c.fields[0].now) for c in changes_between(was, now, since=1).parts] == [
        (Change.CHANGED, "b", "c")
    ]


@pytest.mark.parametrize("bad", [{}, {"job": 3}, {"job": {"parts": 3}}, {"job": {"files": [3]}}, [], 3])
def test_what_is_no_record_is_refused(bad):
    with pytest.raises(ValueError, match=r"it holds no job|are no list"):
        changes_between(bad, record(), since=1)


def issued(data):
    return Issued(place=Place("issued/001.json"), number=1, record_sha256=sha256_bytes(data))


@pytest.mark.parametrize(
    ("kept", "says"),
    [(None, "is not there"), (b"{ }", "is not the record that was issued"), (b"{}", "not in the form"), (b"[" * 99999, "not in the form")],
)
def test_an_earlier_record_that_cannot_be_compared_is_said(tmp_path, kept, says):
    (tmp_path / "issued").mkdir()
    if kept is not None:
        (tmp_path / "issued/001-record.json").write_bytes(kept)
    earlier = issued(b"{}" if kept == b"{ }" or kept is None else kept)
    changes = changes_since(tmp_path, earlier, json.dumps(record()).encode())
    assert says in changes.problem
    assert changes.since == 1


def test_the_kept_record_is_compared(tmp_path):
    data = json.dumps(record(files=[("x", A)])).encode()
    (tmp_path / "issued").mkdir()
    (tmp_path / "issued/001-record.json").write_bytes(data)
    changes = changes_since(tmp_path, issued(data), json.dumps(record(files=[("x", B)])).encode())
    assert changes.problem == ""
    assert told(changes.files) == [("changed", "x", "")]
