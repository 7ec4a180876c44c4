"""The accession register of a job folder, held against the files that were sealed with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from buildbook.records.register import NAME, gone, parse
from buildbook.verify.report import Step

_TITLE = "The register is unbroken, and all that it names is there"


def register_step(read: Callable[[str], bytes | None], entries: Mapping[str, str] | None, where: str = "") -> Step:
    """read: a file of the job folder. entries: path -> digest of the sealed files. where: stands before names."""
    if entries is None or NAME not in entries:
        return Step(_TITLE, None, "no register was kept in this job")
    data = read(NAME)
    if data is None:
        return Step(_TITLE, False, "it is not there", (f"missing: {where + NAME!r}",))
    register = parse(data)
    lines = [f"changed: {where + NAME!r}: {fault.says}" for fault in register.faults]
    for entry, replaced in gone(register.entries, entries.items()):
        lines.append(f"{'changed' if replaced else 'missing'}: {where + entry.path!r}, registered in line {entry.n}")
    if lines:
        return Step(_TITLE, False, "it is not", tuple(lines))
    return Step(_TITLE, True, f"{len(register.entries)} lines; their times are the workshop's own clock")
