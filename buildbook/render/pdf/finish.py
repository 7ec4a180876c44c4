"""Finishing the drawn file: pictures, links, bookmarks, structure, attachments, metadata (ISO 19005-3, ISO 14289-1).

What is written depends on the dossier and the renditions alone: dates are the issue date, the file identifier comes
from the content.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from importlib.resources import files
from io import FileIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

from buildbook.render.pdf.attachment import Attachment
from buildbook.render.pdf.compose import Entry
from buildbook.render.pdf.metadata import Facts, xmp_packet
from buildbook.render.pdf.pen import Link, Pen, Spot
from buildbook.render.pdf.picturefile import append_pictures
from buildbook.render.pdf.signing import field_annotation
from buildbook.render.pdf.streamends import mend_stream_ends
from buildbook.render.pdf.structure import Node
from buildbook.render.pdf.tagging import write_structure


def finish(
    drawn: bytes,
    pen: Pen,
    root: Node,
    entries: Sequence[Entry],
    attachments: Sequence[Attachment],
    facts: Facts,
    out: Path,
) -> None:
    """Write the finished PDF to `out`."""
    with TemporaryDirectory(prefix=".drawn-", dir=out.parent) as folder:
        store = Path(folder) / "drawn.pdf"
        numbers = append_pictures(drawn, {placed.name: placed.path for placed in pen.images}, store)
        del drawn
        with Pdf.open(store, access_mode=pikepdf.AccessMode.stream) as pdf:
            _fonts_and_pages(pdf)
            _images(pdf, pen, numbers)
            annots = _links(pdf, pen)
            write_structure(pdf, root, annots, pen.fonts.clean)
            _bookmarks(pdf, entries, pen.spots)
            _attach(pdf, attachments, facts.issued_on)
            _declare(pdf, facts)
            pdf.remove_unreferenced_resources()
            with _Careful(out) as stream:
                pdf.save(
                    stream,
                    object_stream_mode=pikepdf.ObjectStreamMode.generate,
                    deterministic_id=True,
                    force_version="1.7",
                    fix_metadata_version=False,
                    recompress_flate=True,
                )
    mend_stream_ends(out)


class _Careful(FileIO):
    """A file whose failed writes are told at the end: inside the PDF library they would abort the process."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, "w")
        self._error: OSError | None = None

    def write(self, data: Any, /) -> int:
        view = memoryview(data)
        done = 0
        while done < len(view) and self._error is None:
            try:
                done += super().write(view[done:]) or 0
            except OSError as error:
                self._error = error
        return len(view)

    def __exit__(self, *args: object) -> None:
        super().__exit__(*args)  # type: ignore[arg-type]
        if self._error is not None:
            raise self._error


def _fonts_and_pages(pdf: Pdf) -> None:
    for page in pdf.pages:
        if "/Trans" in page:
            del page.Trans
        page.Tabs = Name.S


def _images(pdf: Pdf, pen: Pen, numbers: Mapping[str, int]) -> None:
    """Each rendition once, its bytes as they are; until they are saved they wait in the file, not in memory."""
    for placed in pen.images:
        resources = pdf.pages[placed.page].Resources
        if "/XObject" not in resources:
            resources.XObject = Dictionary()
        resources.XObject["/" + placed.name] = pdf.get_object(numbers[placed.name], 0)


def _destination(pdf: Pdf, spot: Spot) -> Array:
    return Array([pdf.pages[spot.page].obj, Name.XYZ, round(max(spot.x - 8, 0), 2), round(spot.y + 8, 2), None])


def _links(pdf: Pdf, pen: Pen) -> list[tuple[Link, pikepdf.Object | None]]:
    """Link annotations and the signature's field, in order; None where the anchor was never placed."""
    made: list[tuple[Link, pikepdf.Object | None]] = []
    pages: dict[int, list[pikepdf.Object]] = {}
    for link in pen.links:
        if link.field:
            annot = field_annotation(pdf, link)
            pages.setdefault(link.page, []).append(annot)
            made.append((link, annot))
            continue
        spot = pen.spots.get(link.target)
        if spot is None:
            made.append((link, None))
            continue
        annot = pdf.make_indirect(
            Dictionary(
                Type=Name.Annot,
                Subtype=Name.Link,
                Rect=Array([round(value, 2) for value in link.rect]),
                Border=Array([0, 0, 0]),
                F=4,
                Dest=_destination(pdf, spot),
                Contents=String(link.says),
            )
        )
        pages.setdefault(link.page, []).append(annot)
        made.append((link, annot))
    for number, annots in pages.items():
        pdf.pages[number].Annots = Array(annots)
    return made


def _bookmarks(pdf: Pdf, entries: Sequence[Entry], spots: dict[str, Spot]) -> None:
    with pdf.open_outline() as outline:
        outline.root.clear()
        parent: pikepdf.OutlineItem | None = None
        for entry in entries:
            spot = spots.get(entry.anchor)
            if spot is None:
                continue
            item = pikepdf.OutlineItem(f"{entry.number} {entry.text}".strip(), _destination(pdf, spot))
            if entry.level == 1 or parent is None:
                outline.root.append(item)
                parent = item
            else:
                item.is_closed = True
                parent.children.append(item)
        for item in outline.root:
            item.is_closed = True


def _attach(pdf: Pdf, attachments: Sequence[Attachment], when: date) -> None:
    stamp = f"D:{when:%Y%m%d}000000Z"
    listed = Array()
    for one in attachments:
        spec = pikepdf.AttachedFileSpec(
            pdf,
            one.data,
            description=one.description,
            filename=one.name,
            mime_type=one.mime,
            creation_date=stamp,
            mod_date=stamp,
            relationship=Name("/" + one.relationship),
        )
        pdf.attachments[one.name] = spec
        listed.append(pdf.attachments[one.name].obj)
    if len(listed):
        pdf.Root.AF = listed


def _declare(pdf: Pdf, facts: Facts) -> None:
    """Output intent, metadata and document information that agree, language, title in the window."""
    profile = Stream(pdf, files("buildbook.render.pdf").joinpath("srgb.icc").read_bytes())
    profile.N = 3
    profile.Alternate = Name.DeviceRGB
    root = pdf.Root
    root.OutputIntents = Array(
        [
            pdf.make_indirect(
                Dictionary(
                    Type=Name.OutputIntent,
                    S=Name.GTS_PDFA1,
                    OutputConditionIdentifier=String("sRGB IEC61966-2.1"),
                    Info=String("sRGB IEC61966-2.1"),
                    RegistryName=String("http://www.color.org"),
                    DestOutputProfile=pdf.make_indirect(profile),
                )
            )
        ]
    )
    root.Lang = String(facts.language)
    root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    root.PageMode = Name.UseOutlines
    root.PageLabels = Dictionary(Nums=Array([0, Dictionary(S=Name.D)]))  # as printed at the foot of each page
    metadata = Stream(pdf, xmp_packet(facts))
    metadata.Type, metadata.Subtype = Name.Metadata, Name.XML
    root.Metadata = pdf.make_indirect(metadata)
    stamp = f"D:{facts.issued_on:%Y%m%d}000000Z"
    info = Dictionary(
        Title=String(facts.title),
        Author=String(facts.author),
        Subject=String(facts.subject),
        Creator=String(facts.creator),
        Producer=String(facts.producer),
        Keywords=String(facts.keywords),
        CreationDate=String(stamp),
        ModDate=String(stamp),
    )
    pdf.trailer.Info = pdf.make_indirect(info)
    if "/ID" in pdf.trailer:  # the first half of the identifier too is made from this file's content
        del pdf.trailer.ID
