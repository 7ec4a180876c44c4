import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.seal.digest import NotAManifest, compare, manifest_bytes, parse_manifest, seal_of, sha256_file

A, B = "a" * 64, "b" * 64


def test_lines_are_sorted_by_bytes_not_by_locale():
    made = manifest_bytes([("é.txt", A), ("z.txt", B), ("Z.txt", A)])
    assert made == f"{A}  Z.txt\n{B}  z.txt\n{A}  é.txt\n".encode()


def test_order_of_input_does_not_matter():
    pairs = [("b", A), ("a/c", B), ("a", B)]
    assert manifest_bytes(pairs) == manifest_bytes(reversed(pairs))


def test_repeated_path_is_refused():
    with pytest.raises(ValueError, match="twice"):
        manifest_bytes([("a", A), ("a", B)])


names = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0/"), min_size=1).filter(
    lambda n: n not in (".", "..")
)


@given(st.dictionaries(names, st.sampled_from([A, B])))
def test_what_is_written_is_read_back(entries):
    assert parse_manifest(manifest_bytes(entries.items())) == entries


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"abc  x\n", "line 1"),
        (f"{A}  x".encode(), "cut off"),
        (f"{A} x\n".encode(), "line 1"),
        (f"{A}  x\n{A}  x\n".encode(), "second time"),
        (f"{A}  /etc/x\n".encode(), "outside"),
        (f"{A}  a/../../x\n".encode(), "outside"),
        (b"\xff", "UTF-8"),
        (f"{A.upper()}  x\n".encode(), "line 1"),
    ],
)
def test_anything_else_is_refused_by_line(data, says):
    with pytest.raises(NotAManifest, match=says):
        parse_manifest(data)


def test_seal_changes_with_any_bit():
    manifest = manifest_bytes([("a", A), ("b", B)])
    seals = {seal_of(manifest)}
    for byte in range(len(manifest)):
        flipped = bytearray(manifest)
        flipped[byte] ^= 1
        seals.add(seal_of(bytes(flipped)))
    assert len(seals) == len(manifest) + 1


def test_compare_names_each():
    assert compare({"a": A, "b": A, "c": A}, {"a": A, "b": B, "d": A}) == (["b"], ["c"], ["d"])


def test_a_pipe_is_not_hashed(tmp_path):
    import os

    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(OSError, match="not a regular file"):
        sha256_file(tmp_path / "pipe")
