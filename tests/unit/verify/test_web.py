"""The web edition in an issue: written whole with it, checked by a step of its own, and free to be left out."""

import json
import shutil
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import commands
from buildbook.compile import compile_job
from buildbook.errors import AnswerIsNo
from buildbook.photos import Library
from buildbook.seal.chain import canonical_json
from buildbook.verify import limits, report_text, verify_path

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"
DAY = date(2027, 1, 1)
STEP = "The web edition is as it was written"


def compiled(root, **more):
    return compile_job(root / "job", root / "out", DAY, library=Library(root / "cache"), **more)


def digested(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture(scope="module")
def issued(tmp_path_factory):
    root = tmp_path_factory.mktemp("web")
    shutil.copytree(GOOD, root / "job")
    compiled(root)
    return root


@pytest.fixture
def place(issued, tmp_path):
    """A copy of the job, its cache and its first issue."""
    shutil.copytree(issued, tmp_path / "p")
    return tmp_path / "p"


@pytest.fixture
def issue(place):
    return next((place / "out").glob("*/issue-01"))


def step(path):
    (found,) = [s for s in verify_path(path).steps if s.name == STEP]
    return found


def test_it_lies_in_the_issue_and_verifies(issue):
    assert (issue / "web" / "index.html").is_file()
    listed = (issue / "web" / "manifest-sha256.txt").read_text("utf-8").splitlines()
    assert step(issue).ok is True
    assert step(issue).says == f"{len(listed)} files"
    assert sorted(line[66:] for line in listed) == sorted(
        p.relative_to(issue / "web").as_posix()
        for p in (issue / "web").rglob("*")
        if p.is_file() and p.name != "manifest-sha256.txt"
    )
    assert "web_sha256" in json.loads((issue / "issue.json").read_text("utf-8"))


def test_sha256sum_says_the_same(issue):
    import subprocess

    told = subprocess.run(
        ["sha256sum", "--strict", "-c", "manifest-sha256.txt"], cwd=issue / "web", capture_output=True, check=False
    )
    assert told.returncode == 0


def test_each_file_changed_missing_or_renamed_is_named(issue):
    for path in sorted(p for p in (issue / "web").rglob("*") if p.is_file()):
        name = f"web/{path.relative_to(issue / 'web').as_posix()}"
        data = path.read_bytes()
        path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
        assert step(issue).ok is False
        assert any(line.startswith(f"changed: '{name}'") for line in step(issue).details), name
        other = path.with_name("aside")
        path.rename(other)
        told = step(issue)
        assert told.ok is False
        assert f"missing: '{name}'" in told.details
        other.unlink()
        path.write_bytes(data)
    assert verify_path(issue).ok


def test_what_was_added_is_named_and_litter_passed_over(issue):
    (issue / "web" / "assets" / "more.js").write_text("alert(1)")
    (issue / "web" / ".DS_Store").write_text("litter")
    (issue / "web" / "assets" / "link.jpg").symlink_to(issue / "dossier.pdf")
    assert step(issue).details == (
        "added: 'web/assets/link.jpg' (a link or a device, not a file)",
        "added: 'web/assets/more.js'",
    )


def test_a_list_made_again_after_a_change_is_not_the_one_named(issue):
    from buildbook.seal.tree import list_tree

    page = issue / "web" / "index.html"
    page.write_bytes(page.read_bytes() + b"<!-- -->")
    (issue / "web" / "manifest-sha256.txt").unlink()
    list_tree(issue / "web")
    assert step(issue).details == ("changed: 'web/manifest-sha256.txt' is not the list that 'issue.json' names",)


def test_hostile_lists_are_refused_by_name(issue, monkeypatch):
    listed = issue / "web" / "manifest-sha256.txt"
    for data in (b"\xff\xfe\n", b"x\n", b"", f"{'0' * 64}  ../../etc/passwd\n".encode(), f"{'0' * 64}  a".encode()):
        listed.write_bytes(data)
        told = step(issue)
        assert told.ok is False
        assert any("'web/manifest-sha256.txt'" in line for line in told.details), data
    monkeypatch.setattr(limits, "MOST_LIST_BYTES", 10)
    listed.write_bytes(b"0" * 11)
    assert "as much as is read" in step(issue).says
    listed.unlink()
    listed.mkdir()
    assert step(issue).ok is False


def test_more_files_than_are_read_is_said(issue, monkeypatch):
    monkeypatch.setattr(limits, "MOST_FILES", 5)
    told = step(issue)
    assert told.ok is False
    assert any("more than 5 files" in line for line in told.details)


def test_a_link_in_place_of_the_folder_is_not_followed(issue):
    (issue / "web").rename(issue.parent / "moved")
    (issue / "web").symlink_to(issue.parent / "moved")
    report = verify_path(issue)
    assert not report.ok
    assert "added: 'web'" in report_text(report)
    assert step(issue).ok is None


def test_an_issue_that_knows_of_none_has_none(issue):
    said = json.loads((issue / "issue.json").read_text("utf-8"))
    del said["web_sha256"]
    (issue / "issue.json").write_bytes(canonical_json(said))
    assert step(issue).details == ("added: 'web'",)
    shutil.rmtree(issue / "web")
    assert step(issue).ok is None


def test_left_out_it_is_no_failure_and_can_be_added_later(place, issue):
    before = digested(issue)
    shutil.rmtree(issue / "web")
    assert verify_path(issue, place / "job").ok
    assert step(issue).says == "none lies here; issue.json names the digest of its list"
    again = compiled(place, web=False)
    assert again.already
    assert again.web is None
    again = compiled(place)
    assert again.already
    assert again.web == issue / "web" / "index.html"
    assert digested(issue) == before


@pytest.mark.parametrize("damage", ["changed", "lost", "linked", "both"])
def test_what_was_changed_or_lost_in_it_is_put_right(place, issue, damage):
    before, picture = digested(issue), next((issue / "web" / "assets").iterdir())
    if damage in ("changed", "both"):
        (issue / "web" / "index.html").write_text("other")
    if damage in ("lost", "both"):
        picture.unlink()
    if damage == "linked":
        picture.rename(place / "elsewhere.jpg")
        picture.symlink_to(place / "elsewhere.jpg")
    assert not compiled(place, web=False).mended
    made = compiled(place)
    assert made.already
    assert made.mended
    assert digested(issue) == before
    assert not picture.is_symlink()
    assert not compiled(place).mended
    assert [p.name for p in issue.parent.iterdir() if p.name.endswith(".part")] == []


def test_files_that_somebody_put_into_it_are_not_thrown_away(place, issue):
    (issue / "web" / "notes.txt").write_text("mine")
    with pytest.raises(AnswerIsNo, match=r"web is not what this issue wrote. It holds notes\.txt"):
        compiled(place)
    assert (issue / "web" / "notes.txt").read_text() == "mine"
    assert (issue / "web" / "index.html").is_file()
    shutil.rmtree(issue / "web")
    (issue / "web").write_text("a file")
    with pytest.raises(AnswerIsNo, match="It is no folder"):
        compiled(place)


def test_left_out_from_the_start_the_issue_says_the_same(place, issue):
    shutil.rmtree(place / "job" / "issued")
    made = compile_job(place / "job", place / "other", DAY, web=False, library=Library(place / "cache"))
    assert not (made.folder / "web").exists()
    assert (made.folder / "issue.json").read_bytes() == (issue / "issue.json").read_bytes()


def test_an_issue_published_but_not_noted_is_adopted_with_its_web_edition(place, issue):
    before = digested(issue)
    noted = (place / "job" / "issued" / "001.json").read_bytes()
    shutil.rmtree(place / "job" / "issued")
    made = compiled(place)
    assert made.already
    assert (place / "job" / "issued" / "001.json").read_bytes() == noted
    assert digested(issue) == before


def test_a_damaged_one_is_not_adopted(place, issue):
    shutil.rmtree(place / "job" / "issued")
    (issue / "web" / "index.html").write_text("gone")
    made = compiled(place)  # the issue itself is whole: it stands, and what lies in web is put right
    assert made.already
    assert made.mended
    assert step(issue).ok is True
    (issue / "record.json").write_text("{}")
    shutil.rmtree(place / "job" / "issued")
    with pytest.raises(AnswerIsNo, match="other contents"):
        compiled(place)


def test_a_draft_has_one_unless_told_otherwise(place):
    made = compiled(place, draft=True)
    assert made.web == made.folder / "web" / "index.html"
    assert step(made.folder).ok is True
    made.web.write_text("x")
    assert step(made.folder).details == ("changed: 'web/index.html'",)
    made = compiled(place, draft=True, web=False)
    assert made.web is None
    assert not (made.folder / "web").exists()
    assert verify_path(made.folder).ok


def test_the_command_names_the_page(place):
    words = ["compile", str(place / "job"), "--issued-on", "2027-01-01", "--cache", str(place / "cache"), "--no-archive"]
    result = CliRunner().invoke(commands.cli, [*words, "--out", str(place / "out2"), "--draft"], catch_exceptions=False)
    told = dict(line.split(maxsplit=1) for line in result.stdout.splitlines())
    assert told["web"].endswith("draft/web/index.html")
    assert Path(told["web"]).is_file()
    result = CliRunner().invoke(
        commands.cli, [*words, "--out", str(place / "out2"), "--draft", "--no-web"], catch_exceptions=False
    )
    assert "web" not in dict(line.split(maxsplit=1) for line in result.stdout.splitlines())
