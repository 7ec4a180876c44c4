"""Three issues, their archives and their job folder: the chain holds, and every break of it is named."""

import json
import shutil
from datetime import date
from pathlib import Path

import pytest

from buildbook.compile import Archiving, compile_job
from buildbook.errors import AnswerIsNo
from buildbook.photos import Library
from buildbook.verify import report_text, verify_path

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"


def edit(path, old, new):
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def compiled(root, day, **more):
    return compile_job(root / "job", root / "out", day, library=Library(root / "cache"), **more)


@pytest.fixture(scope="session")
def three(tmp_path_factory):
    root = tmp_path_factory.mktemp("three")
    shutil.copytree(GOOD, root / "job")
    first = compiled(root, date(2027, 1, 1))
    row = (root / "job" / "parts.csv").read_text("utf-8").splitlines()[1]
    what = row.split(",")[2]
    edit(root / "job" / "parts.csv", what, f"{what} (braided)")
    (root / "job" / "documents" / "letter.txt").write_text("Thank you.")
    compiled(root, date(2027, 1, 2))
    (root / "job" / "documents" / "letter.txt").rename(root / "job" / "documents" / "thanks.txt")
    third = compiled(root, date(2027, 1, 3), archiving=Archiving(zipped=True))
    assert third.number == 3
    assert first.folder.name == "issue-01"
    return root


@pytest.fixture
def issues(three, tmp_path):
    shutil.copytree(three, tmp_path / "copy")
    return tmp_path / "copy"


def folder(root, number):
    return next((root / "out").glob(f"*/issue-{number:02d}"))


def named(report):
    assert not report.ok
    return "\n".join(d for s in report.steps if s.ok is False for d in (s.says, *s.details))


def changes(report):
    (step,) = [s for s in report.steps if s.name.startswith("What changed")]
    return step


def test_all_of_them_verify_in_every_form(three):
    for number in (1, 2, 3):
        report = verify_path(folder(three, number))
        assert report.ok, report_text(report)
    third = folder(three, 3)
    for path in (third, third / "archive", next(third.glob("*.zip")), third / "dossier.pdf"):
        report = verify_path(path, three / "job")
        assert report.ok, report_text(report)
        assert report.issue == 3


def test_what_changed_is_said_from_whatever_is_at_hand(three, tmp_path):
    second, third = folder(three, 2), folder(three, 3)
    step = changes(verify_path(second))
    assert step.ok
    assert "added: 'documents/letter.txt'" in step.details
    assert "changed: 'parts.csv'" in step.details
    assert any(line.startswith("changed: part line") and "(braided)" in line for line in step.details)
    moved = ("moved: 'documents/thanks.txt', was 'documents/letter.txt'",)
    for path in (third, third / "archive", next(third.glob("*.zip"))):
        assert changes(verify_path(path)).details == moved
    shutil.copytree(third, tmp_path / "issue-03", ignore=shutil.ignore_patterns("archive", "*.zip"))
    assert changes(verify_path(tmp_path / "issue-03")).ok is None  # nothing to compare with
    assert changes(verify_path(tmp_path / "issue-03", three / "job")).details == moved


def test_notes_name_what_was_issued(three):
    notes = [json.loads((three / "job/issued" / f"{n:03d}.json").read_text()) for n in (1, 2, 3)]
    assert [n.get("previous_seal") for n in notes] == ["", notes[0]["seal"], notes[1]["seal"]]
    record = json.loads((folder(three, 3) / "record.json").read_text("utf-8"))
    for earlier, note in zip(record["job"]["issued"], notes, strict=False):
        for key in ("seal", "dossier_sha256", "record_sha256", "archive_sha256"):
            assert earlier[key] == note[key]


def test_an_earlier_issue_exchanged_for_another_is_named(issues):
    # A whole, consistent first issue of another record: only the chain can tell.
    other = issues / "other"
    shutil.copytree(GOOD, other / "job")
    (other / "job" / "documents" / "extra.txt").write_text("x")
    made = compiled(other, date(2027, 1, 1))
    shutil.rmtree(folder(issues, 1))
    shutil.copytree(made.folder, issues / "out" / "Q-014" / "issue-01")
    assert verify_path(folder(issues, 1)).ok
    says = named(verify_path(folder(issues, 2)))
    assert "'issue-01/issue.json' is not the sealed 'issued/001.json'" in says
    assert "'issue-01/dossier.pdf' is not what the chain names" in says
    assert "'issue-01/archive/manifest-sha256.txt' is not what the chain names" in says


@pytest.mark.parametrize("name", ["001.json", "001-record.json", "002.json", "003.json", "003-record.json"])
def test_a_changed_or_missing_note_in_the_job_folder_is_named(issues, name):
    note = issues / "job" / "issued" / name
    data = note.read_bytes()
    note.write_bytes(data.replace(b'"', b' "', 1))
    assert f"'issued/{name}'" in named(verify_path(folder(issues, 3), issues / "job"))
    note.unlink()
    assert f"missing: 'issued/{name}'" in named(verify_path(folder(issues, 3), issues / "job"))


def test_a_missing_earlier_issue_folder_is_no_failure(issues):
    shutil.rmtree(folder(issues, 1))
    shutil.rmtree(folder(issues, 2))
    assert verify_path(folder(issues, 3)).ok


def test_an_archive_can_be_written_later_and_is_the_same(issues, three):
    second = folder(issues, 3)
    archive = {p.relative_to(second): p.read_bytes() for p in (second / "archive").rglob("*") if p.is_file()}
    zipped = next(second.glob("*.zip"))
    packed = zipped.read_bytes()
    shutil.rmtree(second / "archive")
    zipped.unlink()
    report = verify_path(second)
    assert report.ok
    assert [s.says for s in report.steps if s.name == "The archive"] == [
        "none lies here; issue.json names the digest of its list"
    ]
    again = compiled(issues, date(2027, 1, 3), archiving=Archiving(zipped=True))
    assert again.already
    assert {p.relative_to(second): p.read_bytes() for p in (second / "archive").rglob("*") if p.is_file()} == archive
    assert zipped.read_bytes() == packed
    assert verify_path(second, issues / "job").ok


def test_an_archive_of_another_issue_put_in_its_place_is_named(issues):
    shutil.rmtree(folder(issues, 3) / "archive")
    shutil.copytree(folder(issues, 2) / "archive", folder(issues, 3) / "archive")
    says = named(verify_path(folder(issues, 3)))
    assert "'archive/manifest-sha256.txt' is not what 'issue.json' names" in says


def test_a_forged_archive_with_all_its_own_lists_made_again_is_named(issues):
    """All digests of the bag are true again after the change: any reader of bags calls it valid."""
    import hashlib

    from buildbook.archive.form import digest_list, tag_lists

    bag = folder(issues, 3) / "archive"
    (bag / "data/job/approvals.csv").write_text("id\n")
    for algorithm in ("sha256", "sha512"):
        payload = {
            p.relative_to(bag).as_posix(): hashlib.new(algorithm, p.read_bytes()).hexdigest()
            for p in (bag / "data").rglob("*") if p.is_file()
        }  # fmt: skip
        (bag / f"manifest-{algorithm}.txt").write_bytes(digest_list(payload))
    size = sum(p.stat().st_size for p in (bag / "data").rglob("*") if p.is_file())
    info = [ln for ln in (bag / "bag-info.txt").read_text("utf-8").splitlines() if not ln.startswith("Payload-Oxum")]
    (bag / "bag-info.txt").write_text("\n".join([*info, f"Payload-Oxum: {size}.{len(payload)}\n"]), "utf-8")
    tags = {p.name: p.read_bytes() for p in bag.iterdir() if p.is_file() and not p.name.startswith("tagmanifest")}
    for name, data in tag_lists(tags).items():
        (bag / name).write_bytes(data)
    report = verify_path(bag)
    assert all(s.ok for s in report.steps[:6]), report_text(report)
    says = named(report)
    assert "changed: 'data/job/approvals.csv'" in says
    assert "'manifest-sha256.txt' is not what 'issue.json' names" in says


def test_an_issue_that_stands_is_not_written_over_by_a_later_archive(issues):
    (folder(issues, 3) / "record.json").write_text("{}")
    shutil.rmtree(folder(issues, 3) / "archive")
    with pytest.raises(AnswerIsNo, match="other contents"):
        compiled(issues, date(2027, 1, 3))
    assert not (folder(issues, 3) / "archive").exists()


def test_what_the_finder_leaves_is_no_change_but_an_added_file_is(issues):
    bag = folder(issues, 3) / "archive"
    (bag / ".DS_Store").write_bytes(b"x")
    assert verify_path(folder(issues, 3)).ok
    (bag / "note.txt").write_text("x")
    assert "added: 'archive/note.txt'" in named(verify_path(folder(issues, 3)))
