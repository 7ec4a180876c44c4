"""Signatures and time stamps of an issue, wherever its files lie: in its folder or in its archive."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from buildbook.verify.report import Step
from buildbook.verify.signature import signature_steps
from buildbook.verify.stamped import STAMPED, stamped_steps
from buildbook.verify.timestamp import REPLY, timestamp_step


def proof_steps(
    read: Callable[[str], bytes | None],
    there: Callable[[str], bool],
    issue: Mapping[str, Any],
    seal: str,
    fingerprint: str,
    roots: Path | None,
) -> list[Step]:
    """read: a file of the issue, None where there is none or it is too large. there: whether there is one of that name.
    fingerprint, roots: as given to the reader.
    """
    pdf = read("dossier.pdf")
    steps = signature_steps(pdf, issue, read, read("manifest-sha256.txt"), fingerprint, there)
    steps.append(timestamp_step(read(REPLY), seal, roots, there=there(REPLY)))
    return steps + stamped_steps(pdf, roots, read(STAMPED), there=there(STAMPED))
