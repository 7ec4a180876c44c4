"""The dossier as PDF: `render_pdf` draws the neutral model with reportlab and finishes the file with pikepdf.

It reads no record, no clock, and no file but the fonts of its packages and the renditions it is handed. Text is set by
this package rather than by a paragraph library's markup: so user text is never parsed, each run falls back to a font
that has it, and everything drawn is tagged as what it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from buildbook.dossier.language import speaking
from buildbook.render.pdf.attachment import Attachment
from buildbook.render.pdf.links import dangling_targets

if TYPE_CHECKING:
    from buildbook.dossier.model import Dossier

__all__ = ["Attachment", "dangling_targets", "render_pdf"]


def render_pdf(
    dossier: Dossier,
    rendition: Callable[[str, Literal["print", "small"]], Path],
    attachments: Sequence[Attachment],
    out: Path,
    progress: Callable[[int, int, str], None] | None = None,
) -> None:
    """Write `dossier` to `out` as a tagged PDF/A-3a and PDF/UA-1 file; the same arguments give the same bytes.

    rendition: JPEG for an asset, RGB or grey, upright, without metadata. progress: called with what is done, all
    there is, and its name: blocks laid out, pages drawn, the file written. Raises BuildbookError where a rendition
    cannot be read.
    """
    from buildbook.render.pdf.document import draw_document  # drawing libraries load only when something is drawn

    paged = replace(dossier, photos=(), places=(), plan=None)  # paper is not leafed through; the sections have it all
    with speaking(paged.language):
        draw_document(paged, rendition, attachments, out, progress)
