"""The walk over a job folder: which files belong to the record, and which names or kinds of file cannot."""

from __future__ import annotations

import os
import stat
import unicodedata
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from buildbook.load.refused import listed, shown
from buildbook.records.finding import Raised
from buildbook.records.litter import is_litter
from buildbook.records.place import Place
from buildbook.records.script import is_control

# Names that one common system cannot hold: its published naming rules (device names, characters, endings).
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$", *(f"{d}{n}" for d in ("com", "lpt") for n in "123456789¹²³")}
)
_NOT_ON_WINDOWS = frozenset('<>:"|?*')

_KINDS = (
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


@dataclass(frozen=True, slots=True)
class Walk:
    """What was found. files, folders: relative paths, `/` separated, sorted by their bytes."""

    files: tuple[str, ...]
    folders: tuple[str, ...]
    raised: tuple[Raised, ...]


def by_bytes(path: str) -> bytes:
    """Sort key of paths."""
    return path.encode("utf-8", "surrogateescape")


def walk(root: Path) -> Walk:
    """Every regular file under `root`. Nothing is opened and no link is followed.

    Left out, each with a finding: links, pipes, devices, sockets, names with control characters or that are not
    UTF-8, folders that cannot be listed. Litter of operating systems is left out with one note for all of it.
    """
    files: list[str] = []
    folders: list[str] = []
    litter: list[str] = []
    raised: list[Raised] = []
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(root / folder) as entries:
                found = sorted(entries, key=lambda e: by_bytes(e.name))
        except OSError as error:
            says = f"The folder cannot be listed: {error.strerror or error}."
            raised.append(Raised("load.unreadable", Place(folder), says))
            continue
        alike: dict[str, list[str]] = defaultdict(list)
        for entry in found:
            path = f"{folder}/{entry.name}" if folder else entry.name
            if is_litter(entry.name):
                litter.append(path)
                continue
            if odd := _odd_name(entry.name):
                raised.append(Raised("load.odd-name", Place(_spelt(path)), odd))
                continue
            alike[_folded(entry.name)].append(entry.name)
            if entry.is_symlink():
                raised.append(Raised("load.link", Place(path), _link(root, path)))
                continue
            if says := _not_portable(entry.name):
                raised.append(Raised("load.unportable-name", Place(path), says))
            try:
                mode = entry.stat(follow_symlinks=False).st_mode
            except OSError as error:
                raised.append(Raised("load.unreadable", Place(path), f"It cannot be read: {error.strerror or error}."))
                continue
            if stat.S_ISDIR(mode):
                folders.append(path)
                waiting.append(path)
            elif stat.S_ISREG(mode):
                files.append(path)
            else:
                what = next((name for test, name in _KINDS if test(mode)), "no ordinary file")
                raised.append(Raised("load.odd-file", Place(path), f"It is {what}, not a file with something in it."))
        for names in alike.values():
            if len(names) > 1:
                both = " and ".join(shown(n) for n in names)
                says = f"{both} differ only in capitals or in how accents are stored: one name on many systems."
                place = Place(f"{folder}/{names[0]}" if folder else names[0])
                raised.append(Raised("load.name-collision", place, says))
    if litter:
        some = listed(sorted(litter, key=by_bytes), 3)
        count = f"{len(litter)} file or folder" if len(litter) == 1 else f"{len(litter)} files and folders"
        says = f"{count} that the operating system or version control left behind: not part of the record ({some})."
        raised.append(Raised("load.litter", Place(""), says))
    return Walk(tuple(sorted(files, key=by_bytes)), tuple(sorted(folders, key=by_bytes)), tuple(raised))


def _spelt(path: str) -> str:
    """A path that is not printable, made so."""
    spelt = path.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(f"\\u{ord(c):04x}" if is_control(c) or c in "\t\n\r" else c for c in spelt)


def _odd_name(name: str) -> str:
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        return "Its name is not UTF-8, so it cannot be written into a list of files."
    odd = [c for c in name if is_control(c) or c in "\t\n\r"]
    if odd:
        what = f"the invisible character U+{ord(odd[0]):04X}"
        return f"Its name holds {what}, so that what one reads is not what is stored."
    if "\\" in name:
        return "Its name holds a backslash, which separates folders on some systems."
    return ""


def _not_portable(name: str) -> str:
    if name.split(".")[0].rstrip(" ").casefold() in _DEVICES:
        return f"Its name is that of a device on Windows ({name.split('.')[0]}): it cannot be copied there."
    if name[-1] in ". ":
        return f"Its name ends with a {'dot' if name[-1] == '.' else 'blank'}, which Windows drops."
    if bad := sorted(set(name) & _NOT_ON_WINDOWS):
        return f"Its name holds {' '.join(bad)}, which Windows does not allow in a name."
    return ""


def _folded(name: str) -> str:
    """The form in which names collide: composed, capitals ignored (Unicode caseless matching)."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())


def _link(root: Path, path: str) -> str:
    try:
        target = (root / path).resolve(strict=True)
    except (OSError, RuntimeError):
        return "It is a link to something that is not there."
    if not target.is_relative_to(root.resolve()):
        return "It is a link that leaves the job folder: what it points at is not part of the record."
    return "It is a link to another place in the job folder: the same file would stand in the record twice."
