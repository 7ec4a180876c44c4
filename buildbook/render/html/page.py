"""The page put together: pictures copied, sections laid out, templates filled, style and script let in by their hash"""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from importlib.resources import files as package_files
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import BytecodeCache, Environment, PackageLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup

from buildbook.dossier.blocks import anchors_of, flat
from buildbook.dossier.drawing import Drawing
from buildbook.dossier.model import Counter, Counters, Dossier, Figure, PhotoEntry, PicturePair, Text
from buildbook.render.html import words
from buildbook.render.html.assets import Asset, Rendition, copy_assets
from buildbook.render.html.flow import part_of, plain, told_first
from buildbook.render.html.selfcheck import self_check
from buildbook.render.html.svg import image, qr_code, shared_outlines
from buildbook.render.html.typefaces import typefaces

_PACKAGE = "buildbook.render.html"
_WHOLE = re.compile(r"(\d{4}-\d\d-\d\d|\b[0-9a-f]{4} [0-9a-f]{4}$)")


def write_page(
    dossier: Dossier,
    rendition: Rendition,
    files: Mapping[str, bytes],
    out: Path,
    progress: Callable[[int, int], None] | None,
) -> None:
    """See `render_html`."""
    assets = copy_assets(dossier, rendition, out, progress)
    (out / "index.html").write_bytes(page(dossier, assets, files).encode("utf-8", "replace"))


def page(dossier: Dossier, assets: Mapping[str, Asset], files: Mapping[str, bytes]) -> str:
    """The whole page as text."""
    script = _static("edition.js")
    anchors = frozenset(anchors_of(dossier)) | {place.anchor for place in dossier.places}
    counters = _counters(dossier)
    parts = [part_of(s, hoisted=bool(counters), mapped=bool(dossier.places)) for s in dossier.sections]
    check = self_check(dossier, files)
    said = words.page_words()
    data = {
        "words": words.script_words(),
        "photos": [_photo(entry, assets[entry.asset], anchors) for entry in dossier.photos],
        "check": check.data,
    }
    shared = shared_outlines(_drawings(dossier))
    environment = _environment(anchors, shared)
    body = environment.get_template("body.html").render(
        dossier=dossier,
        cover=dossier.cover,
        w=said,
        parts=parts,
        counters=counters,
        hero=_hero(dossier),
        outlines=shared,
        assets=assets,
        by_target={entry.target: entry for entry in dossier.photos},
        told=told_first(dossier),
        data=data,
        check=check,
        script=Markup(script),  # ours, from the package: not a word of it comes from a record
    )
    letters = "".join([body, *_strings(data["words"]), *_strings(data["photos"])])
    style = typefaces(letters, dossier.language) + "\n" + _static("edition.css")
    head = environment.get_template("head.html").render(
        dossier=dossier,
        policy=_policy(style, script),
        style=Markup(style),  # ours too
    )
    return head + body


class _Compiled(BytecodeCache):
    """Each template compiled once in a process, for the editions of an issue are filled in one after the other."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self.kept:
            bucket.bytecode_from_string(self.kept[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.kept[bucket.key] = bucket.bytecode_to_string()


_COMPILED = _Compiled()


def _environment(anchors: Collection[str], shared: Mapping[str, str]) -> Environment:
    made = Environment(
        loader=PackageLoader(_PACKAGE),
        bytecode_cache=_COMPILED,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(plain=plain, pieces=pieces, fill=fill, parted=parted)
    made.globals.update(
        known=lambda target: target in anchors, svg=partial(image, anchors=anchors, shared=shared),
        qr=qr_code, rows_count=words.rows_count, photo_count=words.photo_count,
    )  # fmt: skip
    return made


@dataclass(frozen=True, slots=True)
class Piece:
    """A run's text, parted at its line ends: `lines` are set one under the other."""

    lines: tuple[str, ...]
    tone: str
    target: str


def pieces(text: Text) -> list[Piece]:
    """The runs of a text; neighbours of one tone that lead to one place are one."""
    return [
        Piece(tuple("".join(run.text for run in runs).split("\n")), tone, target)
        for (tone, target), runs in groupby(text, key=lambda run: (run.tone, run.target))
    ]


def fill(template: str, **parts: object) -> str:
    """Fixed words with their places filled; what is filled in is never itself read as a template."""
    return template.format(**parts)


def parted(line: str) -> list[str]:
    """A line in pieces; each second one is a date or a short hash, which is not to be parted at a line's end."""
    return _WHOLE.split(line)


def _strings(data: object) -> Iterator[str]:
    """Every string within nested data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, Mapping):
        yield from (text for value in data.values() for text in _strings(value))
    elif isinstance(data, list):
        yield from (text for value in data for text in _strings(value))


def _static(name: str) -> str:
    return (package_files(_PACKAGE) / "static" / name).read_text("utf-8")


def _policy(style: str, script: str) -> str:
    """Nothing may be loaded but the page's own pictures; style and script are these and no others."""

    def named(text: str) -> str:
        return f"'sha256-{b64encode(hashlib.sha256(text.encode()).digest()).decode('ascii')}'"

    return "; ".join(
        [
            "default-src 'none'",
            "img-src 'self' data:",
            "font-src data:",
            f"style-src {named(style)}",
            f"script-src {named(script)}",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _counters(dossier: Dossier) -> tuple[Counter, ...]:
    """The key figures: the first counters of the dossier."""
    for section in dossier.sections:
        for block in flat(section.blocks):
            if isinstance(block, Counters):
                return block.items
    return ()


def _drawings(dossier: Dossier) -> Iterator[Drawing]:
    if dossier.plan is not None:
        yield dossier.plan
    for section in dossier.sections:
        yield from (block.drawing for block in flat(section.blocks) if isinstance(block, Figure))


def _hero(dossier: Dossier) -> PicturePair | None:
    """The pair whose second picture is that of the cover: the same view as the vehicle came."""
    wanted = dossier.cover.picture
    if wanted is None:
        return None
    pairs = (b for s in dossier.sections for b in flat(s.blocks) if isinstance(b, PicturePair))
    return next((pair for pair in pairs if pair.after.asset == wanted.asset), None)


def _photo(entry: PhotoEntry, asset: Asset, anchors: Collection[str]) -> dict[str, Any]:
    return {
        "label": entry.label,
        "target": entry.target if entry.target in anchors else "",
        "src": asset.large.href,
        "width": asset.large.width,
        "height": asset.large.height,
        "alt": entry.alt,
        "caption": entry.caption,
        "taken": entry.taken,
        "camera": entry.camera,
        "place": entry.zone,
        "stage": entry.stage,
        "file": entry.path,
        "hash": entry.asset,
        "used": [[ref.label, ref.target] for ref in entry.used if ref.target in anchors],
    }
