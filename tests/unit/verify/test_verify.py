"""verify finds every change in an issue folder, and names the file."""

import json
import shutil
from datetime import date
from pathlib import Path

import pytest

from buildbook.compile import compile_job
from buildbook.errors import InputUnreadable
from buildbook.photos import Library
from buildbook.verify import report_json, report_text, verify_path

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"


@pytest.fixture(scope="session")
def issued(tmp_path_factory):
    """A minimal job and its first issue, made once."""
    root = tmp_path_factory.mktemp("issued")
    shutil.copytree(GOOD, root / "job")
    made = compile_job(root / "job", root / "out", date(2027, 1, 1), library=Library(root / "cache"))
    assert made.number == 1
    return root


@pytest.fixture
def issue(issued, tmp_path):
    shutil.copytree(issued / "job", tmp_path / "job")
    found = next((issued / "out").glob("*/issue-01"))
    shutil.copytree(found, tmp_path / "issue-01")
    return tmp_path


def named(report):
    return "\n".join(d for s in report.steps if s.ok is False for d in (s.says, *s.details))


def test_a_fresh_issue_verifies_alone_and_against_its_job(issue):
    report = verify_path(issue / "issue-01", issue / "job")
    assert report.ok, report_text(report)
    assert report.issue == 1
    assert [s.name for s in report.steps if not s.ok] == [
        "The PDF's signature holds over the whole file",
        "The time stamp is on this seal",
        "Earlier issues that lie beside it are those it names",
        "archive: Each issue noted in the job folder names the one before",
        "The register is unbroken, and all that it names is there",
    ]
    assert json.loads(report_json(report))["ok"] is True


def test_the_pdf_alone_verifies_and_says_what_it_cannot_know(issue):
    report = verify_path(issue / "issue-01" / "dossier.pdf")
    assert report.ok, report_text(report)
    assert [s.name for s in report.steps if s.ok is None] == [
        "The PDF as a whole is unchanged",
        "The PDF's signature holds over the whole file",
    ]


FILES = ["dossier.pdf", "record.json", "manifest-sha256.txt", "issue.json", "VERIFY.txt"]


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("where", [0.0, 0.31, 0.77, 0.999])
def test_a_changed_bit_is_found_and_its_file_named(issue, name, where):
    path = issue / "issue-01" / name
    data = bytearray(path.read_bytes())
    data[min(int(len(data) * where), len(data) - 1)] ^= 0x04
    path.write_bytes(bytes(data))
    report = verify_path(issue / "issue-01")
    assert not report.ok
    assert name in named(report)


@pytest.mark.parametrize("name", FILES)
def test_a_missing_file_is_named(issue, name):
    (issue / "issue-01" / name).unlink()
    report = verify_path(issue / "issue-01")
    assert not report.ok
    assert f"missing: '{name}'" in named(report)


def test_an_added_file_is_named(issue):
    (issue / "issue-01" / "extra.jpg").write_bytes(b"x")
    assert "added: 'extra.jpg'" in named(verify_path(issue / "issue-01"))


def test_the_job_folder_against_its_issue(issue):
    photo = next((issue / "job").rglob("*.jpg"))
    photo.write_bytes(photo.read_bytes()[:-1] + b"\x00")
    (issue / "job" / "parts.csv").unlink()
    (issue / "job" / "extra.txt").write_text("x")
    (issue / "job" / ".DS_Store").write_text("litter")
    says = named(verify_path(issue / "issue-01", issue / "job"))
    assert f"changed: '{photo.relative_to(issue / 'job').as_posix()}'" in says
    assert "missing: 'parts.csv'" in says
    assert "added: 'extra.txt'" in says
    assert "DS_Store" not in says


def test_an_attachment_swapped_with_a_whole_forged_manifest_is_found(issue):
    import pikepdf

    with pikepdf.open(issue / "issue-01" / "dossier.pdf", allow_overwriting_input=True) as pdf:
        forged = pdf.attachments["manifest-sha256.txt"].get_file().read_bytes().replace(b"parts.csv", b"parts.xyz")
        del pdf.attachments["manifest-sha256.txt"]
        pdf.attachments["manifest-sha256.txt"] = forged
        pdf.save()
    report = verify_path(issue / "issue-01" / "dossier.pdf")
    assert not report.ok


def test_a_job_folder_is_told_to_go_behind_against(issue):
    with pytest.raises(InputUnreadable, match="is a job folder") as told:
        verify_path(issue / "job")
    assert "--against" in told.value.fix


def test_what_is_no_pdf_says_so(tmp_path):
    (tmp_path / "x.pdf").write_bytes(b"no PDF")
    report = verify_path(tmp_path / "x.pdf")
    assert not report.ok
    assert "cannot be read as a PDF" in named(report)
    assert "object at 0x" not in named(report)


@pytest.mark.parametrize("packed", ["bomb", "cut", "other"])
def test_an_attachment_that_unpacks_without_end_is_not_unpacked(tmp_path, packed):
    import zlib

    import pikepdf

    raw = zlib.compress(bytes(80 << 20))
    pdf = pikepdf.new()
    pdf.add_blank_page()
    for name in ("manifest-sha256.txt", "record.json"):
        pdf.attachments[name] = pikepdf.AttachedFileSpec(pdf, b"x", filename=name)
        stream = pdf.attachments[name].get_file().obj
        data = {"bomb": raw, "cut": zlib.compress(bytes(1000))[:-5], "other": b"00>"}[packed]
        stream.write(data, filter=pikepdf.Name("/ASCIIHexDecode" if packed == "other" else "/FlateDecode"))
    pdf.save(tmp_path / "x.pdf", compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    says = named(verify_path(tmp_path / "x.pdf"))
    assert {"bomb": "more than 67,108,864 bytes", "cut": "is cut off", "other": "in a way"}[packed] in says
