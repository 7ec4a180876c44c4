"""The dossier as a web edition: `render_html` writes one folder that opens from a disk, with no server and no network.

It draws the same neutral model as the PDF and reads no record and no clock. The page is whole without its script; the
script adds sliders, the map, search and sorting, the viewer and self-verification. Text is escaped by the templates,
and a strict Content-Security-Policy lets the page load nothing but its own pictures.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from buildbook.dossier.language import speaking

if TYPE_CHECKING:
    from buildbook.dossier.model import Dossier

__all__ = ["render_html"]


def render_html(
    dossier: Dossier,
    rendition: Callable[[str, Literal["print", "small"]], Path],
    files: Mapping[str, bytes],
    out: Path,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Write `index.html` and the pictures in `assets/` into `out`; the same arguments give the same bytes.

    rendition: JPEG for an asset, upright, without metadata; copied as it is. files: what lies beside the dossier, by
    name; `manifest-sha256.txt` is put into the page, so that it can recompute the seal, of the others the digest.
    progress: called with pictures written and pictures in all. Raises BuildbookError where a rendition is no JPEG.
    """
    from buildbook.render.html.page import write_page  # the template library loads only when a page is written

    with speaking(dossier.language):
        write_page(dossier, rendition, files, out, progress)
