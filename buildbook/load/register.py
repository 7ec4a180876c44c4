"""The accession register, from register.jsonl."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from buildbook.load.disk import read_bytes
from buildbook.load.refused import Refused
from buildbook.records.finding import Raised
from buildbook.records.place import Place
from buildbook.records.register import MOST_BYTES, NAME, Registration, is_torn_name, parse
from buildbook.records.said import said


def read_register(root: Path, files: Iterable[str], raised: list[Raised]) -> tuple[Registration, ...]:
    """The lines of the register that can be read; a finding for each fault in it and for each repair."""
    names = list(files)
    raised += [
        Raised("register.repaired", Place(name), said("A line of the register broke off; this is what was left of it."))
        for name in names
        if is_torn_name(name)
    ]
    if NAME not in names:
        return ()
    try:
        register = parse(read_bytes(root, NAME, MOST_BYTES))
    except Refused as refused:
        raised.append(refused.at(Place(NAME)))
        return ()
    raised += [Raised(f"register.{fault.kind}", Place(NAME, row=fault.line), fault.says) for fault in register.faults]
    return register.entries
