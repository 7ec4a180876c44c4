"""Time stamps on a seal, with a local authority made by `openssl ts` for the test, and a second opinion.

Source: RFC 3161, as openssl and rfc3161-client implement it.
"""

import shutil
import subprocess
from datetime import date
from pathlib import Path

import pytest

pytest.importorskip("pyhanko", reason="the extra `sign` is not installed")
if shutil.which("openssl") is None:
    pytest.skip("openssl is not installed", allow_module_level=True)

from buildbook.cli import run
from buildbook.compile import compile_job
from buildbook.photos import Library
from buildbook.verify import Given, report_text, verify_path

GOOD = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
CONFIG = """\
[tsa]
default_tsa = one
[one]
serial = serial
crypto_device = builtin
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256
ess_cert_id_alg = sha256
[ca]
basicConstraints = critical,CA:TRUE
keyUsage = critical,keyCertSign
subjectKeyIdentifier = hash
[leaf]
basicConstraints = critical,CA:FALSE
keyUsage = critical,digitalSignature
extendedKeyUsage = critical,timeStamping
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[req]
distinguished_name = dn
[dn]
"""


def openssl(*words, cwd, ok=True):
    told = subprocess.run(["openssl", *map(str, words)], cwd=cwd, capture_output=True, text=True, check=False)
    assert (told.returncode == 0) is ok, told.stdout + told.stderr
    return told.stdout


def authority(folder, name):
    folder.mkdir()
    (folder / "c").write_text(CONFIG)
    (folder / "serial").write_text("01\n")
    for who, section in (("root", "ca"), ("tsa", "leaf")):
        openssl("req", "-new", "-newkey", "rsa:2048", "-nodes", "-keyout", f"{who}.key", "-out", f"{who}.csr",
                "-subj", f"/CN={name} {who}", "-config", "c", cwd=folder)  # fmt: skip
        by = ("-signkey", "root.key") if who == "root" else ("-CA", "root.pem", "-CAkey", "root.key", "-set_serial", "7")
        openssl("x509", "-req", "-in", f"{who}.csr", *by, "-days", "30", "-extfile", "c", "-extensions", section,
                "-out", f"{who}.pem", cwd=folder)  # fmt: skip
    return folder


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    root = tmp_path_factory.mktemp("stamped")
    authority(root / "tsa", "Test authority")
    authority(root / "other", "Other authority")
    shutil.copytree(GOOD, root / "job")
    library = Library(root / "cache", workers=1)
    folder = compile_job(root / "job", root / "out", date(2027, 1, 1), library=library).folder
    assert run(["timestamp", "request", str(folder), "--out", str(root / "q.tsq")]) == 0
    openssl("ts", "-reply", "-config", "c", "-queryfile", root / "q.tsq", "-signer", "tsa.pem", "-inkey", "tsa.key",
            "-out", root / "r.tsr", cwd=root / "tsa")  # fmt: skip
    return root, folder


@pytest.fixture
def issue(made, tmp_path):
    shutil.copytree(made[1], tmp_path / "issue-01")
    return tmp_path / "issue-01"


def test_openssl_reads_our_query(made):
    assert "Hash Algorithm: sha256" in openssl("ts", "-query", "-in", made[0] / "q.tsq", "-text", cwd=made[0])


def test_openssl_accepts_the_token_and_rejects_a_changed_seal(made, issue):
    root = made[0]
    assert run(["timestamp", "attach", str(issue), str(root / "r.tsr")]) == 0
    words = ("ts", "-verify", "-data", "manifest-sha256.txt", "-in", "timestamp.tsr", "-CAfile", root / "tsa/root.pem")
    openssl(*words, cwd=issue)
    (issue / "manifest-sha256.txt").write_bytes((issue / "manifest-sha256.txt").read_bytes() + b"\n")
    openssl(*words, cwd=issue, ok=False)


def test_rfc3161_client_accepts_the_token_and_rejects_a_changed_seal(made):
    client = pytest.importorskip("rfc3161_client", reason="rfc3161-client is not installed")
    from cryptography import x509

    root, folder = made
    reply = client.decode_timestamp_response((root / "r.tsr").read_bytes())
    held = x509.load_pem_x509_certificate((root / "tsa/root.pem").read_bytes())
    verifier = client.VerifierBuilder().add_root_certificate(held).build()
    data = (folder / "manifest-sha256.txt").read_bytes()
    assert verifier.verify_message(reply, data)
    with pytest.raises(client.VerificationError):
        verifier.verify_message(reply, data + b"\n")


def test_verify_checks_it_offline_against_the_roots_given(made, issue):
    root = made[0]
    assert run(["timestamp", "attach", str(issue), str(root / "r.tsr")]) == 0
    assert verify_path(issue, given=Given(roots=root / "tsa/root.pem")).ok
    bare = verify_path(issue)
    assert bare.ok
    assert "nothing here vouches for" in report_text(bare)
    assert not verify_path(issue, given=Given(roots=root / "other/root.pem")).ok
    data = bytearray((root / "r.tsr").read_bytes())
    for at in range(0, len(data), 97):
        data[at] ^= 1
        (issue / "timestamp.tsr").write_bytes(bytes(data))
        data[at] ^= 1
        report = verify_path(issue, given=Given(roots=root / "tsa/root.pem"))
        assert not report.ok, f"byte {at}"
        assert "timestamp.tsr" in report_text(report)


def test_a_reply_on_another_seal_is_not_attached(made, issue, capsys):
    (issue / "manifest-sha256.txt").write_bytes(b"")
    assert run(["timestamp", "attach", str(issue), str(made[0] / "r.tsr")]) == 1
    assert "something else than the seal" in capsys.readouterr().err
    assert not (issue / "timestamp.tsr").exists()
    assert run(["timestamp", "attach", str(issue), str(made[0] / "q.tsq")]) == 1


def test_an_unreachable_authority_is_said_and_changes_nothing(issue, capsys):
    before = {p: p.read_bytes() for p in issue.rglob("*") if p.is_file()}
    assert run(["timestamp", "request", str(issue), "--url", "http://127.0.0.1:9/tsa"]) == 1
    assert "cannot be reached" in capsys.readouterr().err
    assert {p: p.read_bytes() for p in issue.rglob("*") if p.is_file()} == before
