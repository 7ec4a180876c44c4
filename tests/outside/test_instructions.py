"""VERIFY.txt of a signed and stamped issue: every command it prints is run as it is printed, where it says, by the tools
of others (sha256sum, openssl, poppler, bagit-python)."""

import os
import re
import shutil
import subprocess
import sys
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")
if not all(map(shutil.which, ("openssl", "pdfsig", "pdfdetach", "sha256sum"))):
    pytest.skip("openssl, pdfsig, pdfdetach or sha256sum is not installed", allow_module_level=True)

from outside.test_timestamp import authority, openssl

from buildbook.cli import run
from buildbook.compile import Archiving, compile_job
from buildbook.photos import Library
from buildbook.seal.keys import CERTIFICATE, KEY, load_signer, new_keys
from buildbook.seal.signing import Signing
from buildbook.verify import Given, report_text, verify_path

GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
WORD = "correct horse battery"
NOW = datetime.now(UTC).replace(microsecond=0)

# Where each command is to be run, by how the text before it says so: beside the dossier, or where bagit.txt lies.
BESIDE, BAG, WEB = "beside", "archive", "web"
COMMANDS = {
    "pdfdetach -saveall dossier.pdf": BESIDE,
    "sha256sum manifest-sha256.txt": BESIDE,
    "cd data/job\nsha256sum -c ../manifest-sha256.txt": BAG,
    "bagit.py --validate archive": BESIDE,
    "sha256sum -c tagmanifest-sha256.txt\nsha256sum -c manifest-sha256.txt": BAG,
    "sha256sum -c manifest-sha256.txt": WEB,
    "pdfsig dossier.pdf": BESIDE,
    "openssl x509 -in signer.pem -noout -pubkey |\n  openssl dgst -sha256 -verify /dev/stdin \\\n"
    "    -signature manifest-sha256.txt.sig manifest-sha256.txt": BESIDE,
    "openssl x509 -in signer.pem -noout -pubkey |\n  openssl dgst -sha256 -verify /dev/stdin \\\n"
    "    -signature manifest-sha256.txt.sig data/manifest-sha256.txt": BAG,
    "openssl x509 -in signer.pem -noout -fingerprint -sha256": BESIDE,
    "pdfsig dossier-timestamped.pdf": BESIDE,
    "openssl ts -verify -data manifest-sha256.txt -in timestamp.tsr \\\n  -CAfile roots.pem": BESIDE,
    "openssl ts -verify -data data/manifest-sha256.txt -in timestamp.tsr \\\n  -CAfile roots.pem": BAG,
}


def printed(text):
    """The commands of a text: lines set in by five blanks, those that follow each other taken together."""
    blocks = re.findall(r"(?:^ {5}\S.*\n(?: {5}.*\n)*)", text, re.MULTILINE)
    return [re.sub("^ {5}", "", block, flags=re.MULTILINE).rstrip("\n") for block in blocks]


def reply_to(tsa, query, reply):
    openssl("ts", "-reply", "-config", "c", "-queryfile", query, "-signer", "tsa.pem", "-inkey", "tsa.key",
            "-out", reply, cwd=tsa)  # fmt: skip


@pytest.fixture(scope="module")
def stamped(tmp_path_factory):
    """An issue signed, time-stamped, and its archive written again, so that the stamp is in it."""
    root = tmp_path_factory.mktemp("instructed")
    tsa = authority(root / "tsa", "Test authority")
    new_keys(root / "keys", "Northquay Coachworks", WORD, NOW)
    signer = load_signer(root / "keys" / KEY, root / "keys" / CERTIFICATE, WORD, "Maren Oduya", NOW)
    shutil.copytree(GOOD, root / "job")
    library = Library(root / "cache", workers=1)

    def compiled(**more):
        return compile_job(root / "job", root / "out", date(2027, 1, 1), library=library, **more).folder

    folder = compiled(signing=Signing(signer), archiving=Archiving(folder=False))
    assert run(["timestamp", "request", str(folder), "--out", str(root / "q.tsq")]) == 0
    for query in sorted(root.glob("q*.tsq")):
        reply_to(tsa, query, query.with_suffix(".tsr"))
        assert run(["timestamp", "attach", str(folder), str(query.with_suffix(".tsr"))]) == 0
    compiled(archiving=Archiving(zipped=True))
    return folder, tsa / "root.pem"


@pytest.fixture
def issue(stamped, tmp_path):
    shutil.copytree(stamped[0], tmp_path / "issue-01")
    for place in (tmp_path / "issue-01", tmp_path / "issue-01" / "archive"):
        shutil.copy(stamped[1], place / "roots.pem")
    return tmp_path / "issue-01"


def call(command, folder):
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(["bash", "-o", "pipefail", "-e", "-c", command], cwd=folder, capture_output=True, text=True,
                          check=False, env={**os.environ, "PATH": path})  # fmt: skip


def test_the_commands_run_here_are_those_it_prints(stamped):
    assert printed((stamped[0] / "VERIFY.txt").read_text("utf-8")) == list(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_passes_as_it_is_printed(issue, command):
    if "bagit.py" in command:
        pytest.importorskip("bagit")
        (issue / "archive" / "roots.pem").unlink()
    told = call(command, issue / {BESIDE: ".", BAG: "archive", WEB: "web"}[COMMANDS[command]])
    assert told.returncode == 0, told.stdout + told.stderr
    if "pdfsig" in command:
        assert "Signature is Valid" in told.stdout
    if "dgst" in command:
        assert "Verified OK" in told.stdout
    if "ts -verify" in command:
        assert "Verification: OK" in told.stdout + told.stderr


@pytest.mark.parametrize("command", [c for c in COMMANDS if "dgst" in c or "ts -verify" in c])
def test_they_fail_once_the_manifest_is_changed(issue, command):
    folder = issue / {BESIDE: ".", BAG: "archive"}[COMMANDS[command]]
    manifest = folder / ("data" if COMMANDS[command] == BAG else ".") / "manifest-sha256.txt"
    manifest.write_bytes(manifest.read_bytes().replace(b"a", b"b", 1))
    assert call(command, folder).returncode != 0


def test_the_archive_holds_signature_and_stamp_for_others_and_for_verify(stamped, tmp_path):
    folder, roots = stamped
    names = {"issue.json", "manifest-sha256.txt.sig", "signer.pem", "timestamp.tsr"}
    for name in names - {"issue.json"}:
        assert (folder / "archive" / name).read_bytes() == (folder / name).read_bytes()
    for listed in ("tagmanifest-sha256.txt", "tagmanifest-sha512.txt"):
        tags = {line.split("  ", 1)[1] for line in (folder / "archive" / listed).read_text("utf-8").splitlines()}
        assert tags == {*names, "bagit.txt", "bag-info.txt", "manifest-sha256.txt", "manifest-sha512.txt"}
    with zipfile.ZipFile(next(folder.glob("*.zip"))) as zipped:
        zipped.extractall(tmp_path)
    for path in (folder, folder / "archive", next(folder.glob("*.zip")), next(tmp_path.iterdir())):
        report = verify_path(path, given=Given(roots=roots))
        assert report.ok, report_text(report)
        by = {step.name.split(": ")[-1]: step.ok for step in report.steps}
        assert by["The manifest's detached signature holds"] is True
        assert by["The time stamp is on this seal"] is True


@pytest.mark.parametrize("name", ["manifest-sha256.txt.sig", "signer.pem", "timestamp.tsr"])
@pytest.mark.parametrize("how", ["changed", "gone"])
def test_each_of_them_changed_or_taken_out_is_named(stamped, tmp_path, name, how):
    """Also where the lists of tag files were made again by whoever did it."""
    from buildbook.archive import form

    for where in ("issue", "archive"):
        shutil.copytree(stamped[0], tmp_path / where)
        bag = tmp_path / where / "archive"
        data = bytearray((bag / name).read_bytes())
        data[len(data) // 2] ^= 1
        (bag / name).unlink() if how == "gone" else (bag / name).write_bytes(bytes(data))
        tags = {p.name: p.read_bytes() for p in bag.iterdir() if p.is_file() and not p.name.startswith("tagmanifest")}
        for listed, text in form.tag_lists(tags).items():
            (bag / listed).write_bytes(text)
        report = verify_path(bag if where == "archive" else bag.parent, given=Given(roots=stamped[1]))
        if name == "timestamp.tsr" and how == "gone":
            assert report.ok  # nothing names it: a stamp may come after the archive, which has none then
            continue
        assert not report.ok
        assert any(name in line for step in report.steps if step.ok is False for line in step.details)
