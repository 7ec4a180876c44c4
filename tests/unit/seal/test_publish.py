import pytest

from buildbook.errors import AnswerIsNo, WrongUsage
from buildbook.seal.publish import publish_draft, publish_issue, workplace, write_new


def fill(folder, text="one"):
    (folder / "dossier.pdf").write_text(text)


def test_published_whole_and_nothing_left_over(tmp_path):
    with workplace(tmp_path / "out", "issue-01") as made:
        fill(made)
        assert publish_issue(made, tmp_path / "out" / "issue-01")
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [".lock", "issue-01"]


def test_a_failure_leaves_nothing(tmp_path):
    def broken():
        with workplace(tmp_path, "issue-01") as made:
            fill(made)
            raise RuntimeError("disk")

    with pytest.raises(RuntimeError, match="disk"):
        broken()
    assert [p.name for p in tmp_path.iterdir()] == [".lock"]


def test_the_same_issue_again_is_left_alone(tmp_path):
    for expected in (True, False):
        with workplace(tmp_path, "issue-01") as made:
            fill(made)
            assert publish_issue(made, tmp_path / "issue-01") is expected


def test_an_issue_is_never_overwritten(tmp_path):
    with workplace(tmp_path, "issue-01") as made:
        fill(made)
        publish_issue(made, tmp_path / "issue-01")
    with workplace(tmp_path, "issue-01") as made:
        fill(made, "two")
        with pytest.raises(AnswerIsNo, match="other contents"):
            publish_issue(made, tmp_path / "issue-01")
    assert (tmp_path / "issue-01" / "dossier.pdf").read_text() == "one"


def test_a_draft_replaces_the_last_draft(tmp_path):
    for text in ("one", "two"):
        with workplace(tmp_path, "draft") as made:
            fill(made, text)
            publish_draft(made, tmp_path / "draft")
    assert (tmp_path / "draft" / "dossier.pdf").read_text() == "two"
    assert sorted(p.name for p in tmp_path.iterdir()) == [".lock", "draft"]


def test_leftovers_of_a_killed_run_are_removed(tmp_path):
    (tmp_path / ".issue-01-xyz.part").mkdir()
    with workplace(tmp_path, "issue-01"):
        assert not (tmp_path / ".issue-01-xyz.part").exists()


def test_two_runs_at_once_are_refused(tmp_path):
    with workplace(tmp_path, "issue-01"), pytest.raises(AnswerIsNo, match="Another run"), workplace(tmp_path, "issue-01"):
        pass


def test_a_place_that_cannot_be_made_is_said(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(WrongUsage, match="cannot be made"), workplace(tmp_path / "file" / "out", "issue-01"):
        pass


def test_write_new_never_changes_a_note(tmp_path):
    note = tmp_path / "issued" / "001.json"
    write_new(note, b"{}")
    write_new(note, b"{}")
    with pytest.raises(AnswerIsNo, match="already says"):
        write_new(note, b"{ }")
    assert note.read_bytes() == b"{}"
    assert [p.name for p in note.parent.iterdir()] == ["001.json"]


def test_an_archive_joins_the_issue_that_stands_and_never_replaces_one(tmp_path):
    beside = frozenset({"archive"})
    for n, text in enumerate(("first", "second", "third")):
        with workplace(tmp_path, "issue-01") as made:
            fill(made)
            if n:
                (made / "archive").mkdir()
                (made / "archive" / "bagit.txt").write_text(text)
            assert publish_issue(made, tmp_path / "issue-01", beside) is (n == 0)
    assert (tmp_path / "issue-01" / "archive" / "bagit.txt").read_text() == "second"
    with workplace(tmp_path, "issue-01") as made:
        fill(made, "two")
        (made / "archive").mkdir()
        with pytest.raises(AnswerIsNo, match="other contents"):
            publish_issue(made, tmp_path / "issue-01", beside)


def test_a_note_left_by_a_killed_run_may_be_replaced_where_that_is_said(tmp_path):
    write_new(tmp_path / "001-record.json", b"half")
    write_new(tmp_path / "001-record.json", b"whole", replace=True)
    assert (tmp_path / "001-record.json").read_bytes() == b"whole"
