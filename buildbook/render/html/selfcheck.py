"""What the page needs to verify itself: the manifest whole, the digests of what lies beside it, what to pass over."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildbook.dossier.model import Dossier
from buildbook.dossier.passed_over import litter
from buildbook.render.html.words import sealed_files

MANIFEST = "manifest-sha256.txt"
COMMANDS = (
    "pdfdetach -saveall dossier.pdf",
    "sha256sum manifest-sha256.txt",
    "sha256sum -c manifest-sha256.txt",
)


@dataclass(frozen=True, slots=True)
class SelfCheck:
    """data: for the script. sealed: how many files, in words. commands: what does the same by hand."""

    data: dict[str, Any]
    sealed: str
    commands: tuple[str, ...]


def self_check(dossier: Dossier, files: Mapping[str, bytes]) -> SelfCheck:
    manifest = files.get(MANIFEST, b"")
    return SelfCheck(
        data={
            "manifest": b64encode(manifest).decode("ascii"),
            "name": MANIFEST,
            "seal": dossier.seal,
            "issue": dossier.issue,
            "beside": {n: hashlib.sha256(d).hexdigest() for n, d in sorted(files.items()) if n != MANIFEST},
            "litter": list(litter.NAMES),
            "litterStarts": list(litter.STARTS),
        },
        sealed=sealed_files(len(manifest.splitlines())),
        commands=COMMANDS,
    )
