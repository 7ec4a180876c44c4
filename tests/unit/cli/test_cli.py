"""Commands, exit codes and messages, as a person meets them."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from buildbook.cli import run

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"
NEW = [
    "--number", "2026-001", "--workshop", "Works", "--marque", "Arden", "--model", "1500", "--body", "saloon",
    "--odometer", "1234", "--unit", "km",
]  # fmt: skip


@pytest.fixture(autouse=True)
def own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("BUILDBOOK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1798761600")  # 2027-01-01


def tree(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_new_makes_a_folder_that_loads_and_explains_itself(tmp_path, capsys):
    job = tmp_path / "job"
    assert run(["new", str(job), *NEW]) == 0
    assert {"job.toml", "parts.csv", "readings.csv", "inbox/ABOUT.txt", "steps/010-intake/step.toml"} <= set(tree(job))
    assert (job / "job.toml").read_text().count("#") > 20
    capsys.readouterr()
    assert run(["check", str(job), "--gate", "intake", "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert not [f for f in found["findings"] if f["code"].startswith("load.")], found
    assert found["job"] == "2026-001"
    assert {f["code"] for f in found["findings"]} >= {"identity.no-chassis-number", "observation.none"}
    assert run(["check", str(job)]) == 1


def test_new_twice_touches_nothing_and_says_so(tmp_path, capsys):
    job = tmp_path / "job"
    run(["new", str(job), *NEW])
    before = tree(job)
    assert run(["new", str(job), *NEW]) == 1
    assert "Nothing was touched" in capsys.readouterr().err
    assert tree(job) == before


def test_new_asks_for_what_is_not_given(tmp_path):
    from click.testing import CliRunner

    from buildbook.cli.commands import cli

    told = CliRunner().invoke(
        cli, ["new", str(tmp_path / "job"), "--body", "van"], input='7\nW "x" \\ 南\nMarque\nModel\n10\nmi\n'
    )
    assert told.exit_code == 0, told.output
    assert 'name = "W \\"x\\" \\\\ 南"' in (tmp_path / "job" / "job.toml").read_text("utf-8")


def test_check_prints_places_and_remedies(tmp_path, capsys):
    job = tmp_path / "job"
    shutil.copytree(GOOD, job)
    assert run(["check", str(job)]) == 0
    shutil.rmtree(job / "documents")
    capsys.readouterr()
    assert run(["check", str(job)]) == 1
    out = capsys.readouterr().out
    assert "STOP" in out
    assert "What to do:" in out
    assert "[parts.receipt-missing]" in out


def test_compile_then_verify_then_again(tmp_path, capsys):
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(GOOD, job)
    before = tree(job)
    assert run(["compile", str(job), "--out", str(out)]) == 0
    said = dict(line.split(maxsplit=1) for line in capsys.readouterr().out.splitlines())
    assert Path(said["dossier"]).is_file()
    assert len(said["seal"]) == 64
    after = tree(job)
    assert {k: v for k, v in after.items() if k not in ("issued/001.json", "issued/001-record.json")} == before
    assert run(["verify", str(Path(said["dossier"]).parent), "--against", str(job)]) == 0
    capsys.readouterr()
    assert run(["compile", str(job), "--out", str(out)]) == 0
    assert "as already issued" in capsys.readouterr().out
    (job / "parts.csv").write_text((job / "parts.csv").read_text("utf-8").replace("\n", "\n\n", 1), "utf-8")
    assert run(["compile", str(job), "--out", str(out)]) == 0
    issues = sorted(p.name for p in Path(said["dossier"]).parent.parent.glob("issue-*"))
    assert issues == ["issue-01", "issue-02"]
    assert json.loads((job / "issued/002.json").read_text())["previous_seal"] == said["seal"]
    assert run(["verify", str(Path(said["dossier"]).parent.parent / "issue-02"), "--against", str(job)]) == 0


def test_compile_refuses_with_a_stop_unless_draft(tmp_path, capsys):
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(GOOD, job)
    shutil.rmtree(job / "documents")
    assert run(["compile", str(job), "--out", str(out)]) == 1
    assert not list(out.rglob("*.pdf"))
    assert run(["compile", str(job), "--out", str(out), "--draft"]) == 0
    assert [p.parent.name for p in out.rglob("*.pdf")] == ["draft"]
    assert not (job / "issued" / "001.json").exists()
    from pypdf import PdfReader

    pages = [page.extract_text() for page in PdfReader(next(out.rglob("*.pdf"))).pages]
    assert all("DRAFT" in page for page in pages)
    capsys.readouterr()
    assert run(["verify", str(next(out.rglob("*.pdf")).parent)]) == 0
    assert "draft" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["check", "no-such-folder"], 3),
        (["compile", "no-such-folder"], 3),
        (["verify", "no-such-file"], 3),
        (["check"], 2),
        (["nonsense"], 2),
        (["check", ".", "--gate", "later"], 2),
        (["compile", ".", "--issued-on", "2023-02-29"], 2),
        (["rules", "no.such-rule"], 2),
        (["rules"], 0),
        (["rules", "parts.no-receipt"], 0),
        (["--help"], 0),
    ],
)
def test_exit_codes(words, code, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(words) == code
    told = capsys.readouterr()
    assert "Traceback" not in told.err + told.out
    assert told.err if code else told.out


def test_a_killed_run_that_had_published_is_taken_up(tmp_path, capsys):
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(GOOD, job)
    assert run(["compile", str(job), "--out", str(out)]) == 0
    (job / "issued" / "001.json").unlink()  # as if killed between publishing and noting
    (job / "parts.csv").write_text((job / "parts.csv").read_text("utf-8").replace("\n", "\n\n", 1), "utf-8")
    capsys.readouterr()
    assert run(["compile", str(job), "--out", str(out)]) == 0
    assert "issue     2" in capsys.readouterr().out
    assert (job / "issued" / "001.json").exists()


def test_an_issue_lost_from_the_output_comes_back_as_it_was_or_not_at_all(tmp_path, capsys, monkeypatch):
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(GOOD, job)
    again = ["compile", str(job), "--out", str(out), "--issued-on", "2026-04-24"]
    assert run(again) == 0
    (issue,) = out.glob("*/issue-01")
    first = (issue / "dossier.pdf").read_bytes()
    shutil.rmtree(out)
    monkeypatch.setattr("buildbook.compile.PROGRAM", "buildbook 99.0.0")  # what it would be after an update
    capsys.readouterr()
    assert run(again) == 1
    err = capsys.readouterr().err
    assert "Issue 1 was made before" in err
    assert "Nothing was issued" in err
    assert not issue.exists()
    assert [p.name for p in issue.parent.iterdir()] == [".lock"]
    monkeypatch.undo()
    assert run(again) == 0
    assert (issue / "dossier.pdf").read_bytes() == first


def test_a_fault_of_ours_is_one_line_and_code_4(monkeypatch, capsys, tmp_path):
    import buildbook.load

    def broken(*args, **kwargs):
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(buildbook.load, "load_job", broken)
    assert run(["check", str(tmp_path)]) == 4
    err = capsys.readouterr().err
    assert "A fault of ours: ZeroDivisionError" in err
    assert "Traceback" not in err


def test_names_in_any_script_print_on_a_plain_terminal(tmp_path):
    job = tmp_path / "job"
    run(["new", str(job), *NEW[:2], "--workshop", "南工房", *NEW[4:]])
    (job / "parts.csv").rename(job / "部品.csv")
    told = subprocess.run(
        [sys.executable, "-m", "buildbook", "check", str(job)],
        env={**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert told.returncode == 1
    assert "Traceback" not in told.stderr
