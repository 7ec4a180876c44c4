"""The step over a web edition: its files are those of its list, and the list is the one that issue.json names."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from buildbook.records.litter import is_litter
from buildbook.seal.digest import MANIFEST_NAME, NotAManifest, compare, parse_manifest, sha256_bytes
from buildbook.verify import limits
from buildbook.verify.holder import FolderHolder, Unreadable, read
from buildbook.verify.report import Step

WEB = "web"
_TITLE = "The web edition is as it was written"


def web_step(folder: Path, issue: Mapping[str, Any] | None) -> Step:
    """folder: of the issue or draft. issue: issue.json, None for a draft, which has none."""
    wanted = issue.get("web_sha256") if issue is not None else None
    web = folder / WEB
    if web.is_symlink() or not web.is_dir():
        named = "; issue.json names the digest of its list" if wanted else ""
        return Step(_TITLE, None, f"none lies here{named}")
    if issue is not None and not wanted:
        return Step(_TITLE, False, "issue.json knows of none", (f"added: {WEB!r}",))
    holder = FolderHolder(web)
    try:
        listed = read(holder, MANIFEST_NAME, limits.MOST_LIST_BYTES)
    except Unreadable as error:
        return Step(_TITLE, False, f"its list cannot be read: {error}", (f"missing: '{WEB}/{MANIFEST_NAME}'",))
    lines = []
    if wanted and sha256_bytes(listed) != wanted:
        lines.append(f"changed: '{WEB}/{MANIFEST_NAME}' is not the list that 'issue.json' names")
    try:
        entries = parse_manifest(listed)
    except NotAManifest as error:
        return Step(_TITLE, False, f"its list is none: {error}", (*lines, f"changed: '{WEB}/{MANIFEST_NAME}'"))
    lines += _differences(holder, entries)
    says = f"{len(entries)} files" if issue is not None else f"{len(entries)} files, by its own list alone"
    return Step(_TITLE, not lines, says if not lines else "it is not", tuple(lines))


def _differences(holder: FolderHolder, entries: Mapping[str, str]) -> list[str]:
    found: dict[str, str] = {}
    lines = [f"added: '{WEB}/{path}' ({why})" for path, why in holder.odd if not _passed_over(path)]
    for path in holder.sizes:
        if path == MANIFEST_NAME or _passed_over(path):
            continue
        try:
            found[path] = _digest(holder, path)
        except Unreadable as error:
            found[path] = "unreadable"
            lines.append(f"unreadable: '{WEB}/{path}' ({error})")
    changed, missing, added = compare(entries, found)
    lines += [f"changed: '{WEB}/{path}'" for path in changed if found[path] != "unreadable"]
    lines += [f"missing: '{WEB}/{path}'" for path in missing]
    return lines + [f"added: '{WEB}/{path}'" for path in added]


def _passed_over(path: str) -> bool:
    return any(map(is_litter, path.split("/")))


def _digest(holder: FolderHolder, path: str) -> str:
    digest = hashlib.sha256()
    with holder.open(path) as stream:
        while chunk := stream.read(limits.CHUNK):
            digest.update(chunk)
    return digest.hexdigest()
