"""The manifest against FIPS 180-4's worked examples and against GNU coreutils' own sha256sum.

Source: NIST, "SHA256.pdf" example computations of FIPS 180-4 (one block "abc", two-block message), and the
one-million-"a" message of FIPS 180-2 appendix B.3. "abc" is also in the project's collection of check values (MEM).
"""

import shutil
import subprocess

import pytest

from buildbook.seal.digest import manifest_bytes, parse_manifest, seal_of, sha256_file

VECTORS = [
    (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
]


@pytest.mark.parametrize(("message", "digest"), VECTORS, ids=["abc", "two blocks", "empty", "million a"])
def test_fips_180_4_through_the_manifest(tmp_path, message, digest):
    (tmp_path / "message").write_bytes(message)
    manifest = manifest_bytes([("message", sha256_file(tmp_path / "message"))])
    assert manifest == f"{digest}  message\n".encode()


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="needs GNU coreutils")
def test_sha256sum_agrees_on_manifest_and_seal(tmp_path):
    names = ["plain.txt", "with space.txt", "back\\slash", "ünïcode-南.txt", "sub/dir.txt", "-rf.jpg", "q?*<>|\".jpg"]
    for name in names:
        path = tmp_path / "job" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name, "utf-8")
    manifest = manifest_bytes((n, sha256_file(tmp_path / "job" / n)) for n in names)
    (tmp_path / "manifest-sha256.txt").write_bytes(manifest)

    def check():
        return subprocess.run(
            ["sha256sum", "--strict", "-c", "../manifest-sha256.txt"],
            cwd=tmp_path / "job", capture_output=True, text=True, check=False,
        )  # fmt: skip

    assert check().returncode == 0
    assert check().stdout.count(": OK") == len(names)
    told = subprocess.run(["sha256sum", "manifest-sha256.txt"], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert told.stdout.split()[0] == seal_of(manifest)

    # and what sha256sum writes itself, we read
    theirs = subprocess.run(["sha256sum", "--", *names], cwd=tmp_path / "job", capture_output=True, check=True).stdout
    assert parse_manifest(theirs) == parse_manifest(manifest)

    (tmp_path / "job" / "plain.txt").write_text("Plain.txt")
    assert "plain.txt: FAILED" in check().stdout
