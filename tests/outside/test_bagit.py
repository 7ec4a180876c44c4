"""Archives against others' tools: the BagIt conformance suite (Library of Congress, CC0), bagit-python's validation,
sha256sum, and RFC 8493 for what the suite leaves open."""

import logging
import shutil
import subprocess
import warnings
import zipfile
from datetime import date
from pathlib import Path

import pytest

from buildbook.archive.form import decode_path, digest_list, encode_path
from buildbook.compile import Archiving, compile_job
from buildbook.photos import Library
from buildbook.verify import report_text, verify_path

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it asks for its version through a deprecated door
    bagit = pytest.importorskip("bagit")
logging.getLogger("bagit").setLevel(logging.CRITICAL)

SUITE = Path(__file__).parent / "data" / "bagit-conformance" / "cases.zip"
GOOD = Path(__file__).parents[1] / "jobs" / "good"


def cases():
    with zipfile.ZipFile(SUITE) as suite:
        return sorted({"/".join(name.split("/")[:3]) for name in suite.namelist()})


CASES = cases()
# The suite's own checkout lacks a file that these two list (.DS_Store; a name that differs in capitals only), so that
# no reader can call them valid; bagit-python does not either.
INCOMPLETE = {"v0.97/warning/special-system-files", "v0.97/warning/duplicate-file-with-different-case"}
# Where bagit-python 1.9 answers otherwise than the suite asks, and we answer as it asks.
BETTER = {
    "v0.97/warning/same-filename-listed-twice-with-different-normalization",  # valid with a warning
    "v0.97/windows-only/out-of-scope-file-paths-using-absolute-path-for-fetch",  # invalid on any system
    "v0.97/windows-only/out-of-scope-file-paths-using-shortcut-for-fetch",
    "v0.97/windows-only/out-of-scope-file-paths-using-unc-for-fetch",
    "v1.0/invalid/bagit-with-invalid-whitespace",
}


@pytest.fixture(scope="session")
def suite(tmp_path_factory):
    root = tmp_path_factory.mktemp("suite")
    with zipfile.ZipFile(SUITE) as cases:
        cases.extractall(root)
    return root


def asked(case):
    return case.split("/")[1] in ("valid", "warning") and case not in INCOMPLETE


@pytest.mark.parametrize("case", CASES)
def test_the_suite_is_answered_as_it_asks(suite, case):
    report = verify_path(suite / case)
    assert report.ok is asked(case), report_text(report)
    if case.split("/")[1] == "warning" and report.ok:
        assert any(d.startswith("note:") for s in report.steps for d in s.details)


def valid(folder):
    try:
        bagit.Bag(str(folder)).validate()
    except bagit.BagError:
        return False
    return True


@pytest.mark.parametrize("case", CASES)
def test_bagit_python_agrees_but_where_the_suite_says_otherwise(suite, case):
    assert (valid(suite / case) is verify_path(suite / case).ok) is (case not in BETTER)


@pytest.fixture(scope="session", params=sorted(p.name for p in GOOD.iterdir() if (p / "job.toml").is_file()))
def issue(request, tmp_path_factory):
    root = tmp_path_factory.mktemp("bagged")
    shutil.copytree(GOOD / request.param, root / "job")
    library = Library(root / "cache")
    made = compile_job(root / "job", root / "out", date(2027, 1, 1), archiving=Archiving(zipped=True), library=library)
    return made.folder


def test_our_archives_are_valid_for_others(issue, tmp_path):
    assert valid(issue / "archive")
    with zipfile.ZipFile(next(issue.glob("*.zip"))) as zipped:
        assert zipped.testzip() is None
        zipped.extractall(tmp_path)
    (base,) = tmp_path.iterdir()
    assert base.name == next(issue.glob("*.zip")).stem  # RFC 8493, 4
    assert valid(base)
    inside = {p.relative_to(base): p.read_bytes() for p in base.rglob("*") if p.is_file()}
    assert inside == {
        p.relative_to(issue / "archive"): p.read_bytes() for p in (issue / "archive").rglob("*") if p.is_file()
    }


def test_a_changed_byte_is_invalid_for_both(issue, tmp_path):
    shutil.copytree(issue / "archive", tmp_path / "bag")
    victim = tmp_path / "bag" / "data" / "job" / "job.toml"
    victim.write_bytes(victim.read_bytes().replace(b"a", b"b", 1))
    assert not valid(tmp_path / "bag")
    assert not verify_path(tmp_path / "bag").ok


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not installed")
def test_sha256sum_reads_the_lists(issue):
    def check(folder, listed):
        told = subprocess.run(
            ["sha256sum", "--strict", "-c", listed], cwd=folder, capture_output=True, text=True, check=False
        )
        return told.returncode, told.stdout.count(": OK")

    bag = issue / "archive"
    payload = sum(p.is_file() for p in (bag / "data").rglob("*"))
    sealed = len((issue / "manifest-sha256.txt").read_text("utf-8").splitlines())
    assert check(bag, "manifest-sha256.txt") == (0, payload)
    assert check(bag, "tagmanifest-sha256.txt") == (0, 5)
    assert check(bag / "data" / "job", "../manifest-sha256.txt") == (0, sealed)


def test_names_are_encoded_as_rfc_8493_2_1_3_asks():
    """"If a filepath includes a LF, a CR, a CRLF, or a percent sign, those characters (and only those) MUST be
    percent-encoded" (RFC 8493, 2.1.3)."""
    assert encode_path("data/50% done\r\n é~ .jpg") == "data/50%25 done%0D%0A é~ .jpg"
    assert digest_list({"data/%41": "a" * 64}) == b"a" * 64 + b"  data/%2541\n"
    assert decode_path("data/%2541 %0d%0A%7E%") == "data/%41 \r\n%7E%"


def test_a_percent_sign_in_a_name_verifies_here_though_bagit_python_1_9_does_not_decode_it(tmp_path):
    shutil.copytree(GOOD / "minimal", tmp_path / "job")
    (tmp_path / "job" / "documents" / "discount 5%.txt").write_text("5 %")
    library = Library(tmp_path / "cache")
    made = compile_job(tmp_path / "job", tmp_path / "out", date(2027, 1, 1), library=library)
    assert "data/job/documents/discount 5%25.txt" in (made.folder / "archive/manifest-sha256.txt").read_text("utf-8")
    assert verify_path(made.folder).ok
    assert not valid(made.folder / "archive")
