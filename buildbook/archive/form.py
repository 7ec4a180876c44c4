"""The text of a bag: RFC 8493 (BagIt 1.0). Pure functions of values; the one piece that verify shares with the
writing side.

A path in a list of digests has CR, LF and % percent-encoded, and nothing else (RFC 8493, 2.1.3). Names are written
with the Unicode form the file system gave them: no normalisation (RFC 8493, 6.1, leaves it to the reader).
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from datetime import date

ALGORITHMS = ("sha256", "sha512")
BAGIT = "bagit.txt"
BAG_INFO = "bag-info.txt"
PAYLOAD = "data"
JOB = f"{PAYLOAD}/job"  # where the job folder lies in our bags
ISSUE = "issue.json"  # a tag file: it names the digest of the payload's list, so that list cannot hold it
BAGIT_TEXT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"

_ENCODE = str.maketrans({"%": "%25", "\r": "%0D", "\n": "%0A"})
_DECODE = {"%25": "%", "%0D": "\r", "%0A": "\n"}
_ENCODED = re.compile("%(?:25|0[DAda])")


def manifest_name(algorithm: str) -> str:
    """Name of the list of payload digests."""
    return f"manifest-{algorithm}.txt"


def tagmanifest_name(algorithm: str) -> str:
    """Name of the list of tag file digests."""
    return f"tagmanifest-{algorithm}.txt"


def encode_path(path: str) -> str:
    """A path as it stands in a list: CR, LF and % percent-encoded."""
    return path.translate(_ENCODE)


def decode_path(written: str) -> str:
    """The path that a list means; other percent signs stand for themselves."""
    return _ENCODED.sub(lambda match: _DECODE[match[0].upper()], written)


def digest_list(digests: Mapping[str, str]) -> bytes:
    """A manifest or tag manifest: `<hex>  <path>`, sorted by the bytes of the path, UTF-8, LF."""
    ordered = sorted(digests.items(), key=lambda item: item[0].encode("utf-8"))
    return "".join(f"{digest}  {encode_path(path)}\n" for path, digest in ordered).encode("utf-8")


def tag_lists(tags: Mapping[str, bytes]) -> dict[str, bytes]:
    """The tag manifests of tag files given by name: name -> bytes."""
    return {
        tagmanifest_name(algorithm): digest_list(
            {name: hashlib.new(algorithm, data).hexdigest() for name, data in tags.items()}
        )
        for algorithm in ALGORITHMS
    }


def bag_info(
    *,
    organisation: str,
    job: str,
    number: int,
    issued_on: date,
    seal: str,
    program: str,
    size: int,
    files: int,
    edition: str = "",
) -> bytes:
    """bag-info.txt. size: bytes of the payload; files: their number (Payload-Oxum). Deterministic."""
    what = f"Issue {number} of the dossier of job {job}, with the record it was made from"
    if edition:
        what = f"Edition for {edition} of issue {number} of the dossier of job {job}, without what it withholds"
    fields = (
        ("Source-Organization", organisation),
        ("External-Description", what),
        ("External-Identifier", f"{job} issue {number}{f' {edition}' if edition else ''}"),
        ("Internal-Sender-Identifier", seal),
        ("Bagging-Date", issued_on.isoformat()),
        ("Bag-Software-Agent", program),
        ("Payload-Oxum", f"{size}.{files}"),
    )
    return "".join(f"{name}: {_one_line(value)}\n" for name, value in fields if _one_line(value)).encode("utf-8")


def _one_line(value: str) -> str:
    """User text on one line: a line break would begin another field."""
    return " ".join(value.split())


def zip_name(job: str, number: int, edition: str = "") -> str:
    """Name of the archive as one ZIP file; without its ending also the folder in it (RFC 8493, 4)."""
    return f"{job}-issue-{number:02d}{f'-{edition}' if edition else ''}.zip"
