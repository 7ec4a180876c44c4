"""The whole document: compose, number the pages, draw, finish."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab import rl_config

from buildbook import __version__
from buildbook.dossier.model import Dossier
from buildbook.render.pdf import words
from buildbook.render.pdf.attachment import Attachment
from buildbook.render.pdf.compose import Composer, Entry, sections
from buildbook.render.pdf.finish import finish
from buildbook.render.pdf.flow import Area, Flow, Put, paginate
from buildbook.render.pdf.fonts import FontSet, characters_of
from buildbook.render.pdf.front import contents_pages, cover_flows, cover_foot
from buildbook.render.pdf.links import anchors, texts
from buildbook.render.pdf.metadata import Facts
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.pictures import Library, Rendition
from buildbook.render.pdf.running import running_matter
from buildbook.render.pdf.setter import Setter
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.style import UNIT, sheet_of

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class Page:
    """A page to draw. section: for the running header; cover: no header; opens: a section starts at its top."""

    puts: tuple[Put, ...]
    section: str
    cover: bool = False
    opens: bool = False
    foot: Flow | None = None


@dataclass(frozen=True, slots=True)
class _Layout:
    pages: tuple[Page, ...]
    entries: tuple[Entry, ...]
    numbers: dict[str, int]  # anchor of a heading -> page, from 1
    root: Node


def draw_document(
    dossier: Dossier,
    rendition: Rendition,
    attachments: Sequence[Attachment],
    out: Path,
    progress: Progress | None = None,
) -> None:
    """Draw and write; see `render_pdf`."""
    rl_config.useA85 = 0
    fonts = FontSet(characters_of([*texts(dossier), *words.fixed()]), dossier.language)
    setter = Setter(fonts, sheet_of(dossier.paper))
    layout = _lay_out(dossier, setter, Library(rendition), progress)
    pen = Pen(setter.sheet, fonts, dossier.language)
    pen.anchors = anchors(dossier)
    total = len(layout.pages)
    for number, page in enumerate(layout.pages):
        if number:
            pen.turn()
        _draw(setter, pen, dossier, page, total)
        if progress is not None:
            progress(number + 1, total, "pages")
    facts = _facts(dossier, fonts)
    entries = [Entry(e.level, fonts.clean(e.number), fonts.clean(e.text), e.anchor) for e in layout.entries]
    root = layout.root
    del layout, page, setter  # as much memory as the structure that is now to be written
    if progress is not None:
        progress(0, 1, "writing the PDF")
    finish(pen.close(), pen, root, entries, attachments, facts, out)
    if progress is not None:
        progress(1, 1, "writing the PDF")


def _lay_out(dossier: Dossier, setter: Setter, library: Library, progress: Progress | None) -> _Layout:
    """Body first, since the contents name its pages; the contents' own length does not depend on the numbers."""
    root = Node("Document")
    sheet = setter.sheet
    depth = sheet.depth
    cover_node, foot_node = root.add("Sect"), root.add("Sect")
    foot = cover_foot(setter, dossier, foot_node)
    first = depth - foot.height() - 4 * UNIT
    front = paginate(cover_flows(setter, library, dossier, cover_node, first), Area(depth, first=first))
    contents_root = root.add("Sect")
    composer = Composer(setter, library)
    body = paginate(sections(composer, dossier, root, progress), Area(depth))
    numbers: dict[str, int] = {}
    contents = contents_pages(setter, composer.entries, numbers, contents_root)
    titles = {section.anchor: section.title for section in dossier.sections}
    pages = [Page(tuple(puts), "", cover=index == 0) for index, puts in enumerate(front)]
    last = front[-1][-1]
    fits = last.y + last.flow.height() <= first
    if len(front) == 1 or fits:
        pages[-1] = Page(pages[-1].puts, "", cover=len(front) == 1, foot=foot)
    else:
        pages.append(Page((), "", foot=foot))
    before = len(pages) + len(contents)
    pages += [Page(tuple(puts), words.CONTENTS, opens=index == 0) for index, puts in enumerate(contents)]
    section = ""
    for index, puts in enumerate(body):
        opened = [titles[put.flow.anchor] for put in puts if put.flow.anchor in titles]
        section = opened[0] if opened and (not section or puts[0].flow.anchor in titles) else section
        pages.append(Page(tuple(puts), section, opens=bool(puts) and puts[0].flow.anchor in titles))
        section = opened[-1] if opened else section
        for put in puts:
            if put.flow.anchor:
                numbers.setdefault(put.flow.anchor, before + index + 1)
    return _Layout(tuple(pages), tuple(composer.entries), numbers, root)


def _draw(setter: Setter, pen: Pen, dossier: Dossier, page: Page, total: int) -> None:
    sheet = setter.sheet
    for put in page.puts:
        put.flow.draw(pen, sheet.left + put.x, sheet.top + put.y)
    if page.foot is not None:
        page.foot.draw(pen, sheet.left, sheet.height - sheet.bottom - page.foot.height())
    running_matter(setter, pen, dossier, total, page.section, cover=page.cover, opens=page.opens)


def _facts(dossier: Dossier, fonts: FontSet) -> Facts:
    def one_line(text: str) -> str:
        return fonts.clean(text).replace("\n", " ")

    return Facts(
        title=one_line(dossier.title),
        author=one_line(dossier.author),
        subject=one_line(dossier.subject),
        language=dossier.language or "en",
        issued_on=dossier.issued_on,
        creator=f"buildbook {__version__}",
        producer=f"buildbook {__version__}",
        keywords=f"seal {dossier.seal}" if dossier.seal else "",
    )
