"""Faults that loading finds: files, names and values that cannot be read."""

from __future__ import annotations

import io
import os
import re
import zipfile
from collections.abc import Sequence
from datetime import datetime

from jobs.pictures import picture
from jobs.plant_a import GRILLE, JOB
from jobs.planting import OTHER_STEP, Edit, Folder, both, cell, gone, line
from openpyxl import Workbook

DATA_SHEET = "documents/data-sheet-m1.pdf"
MATERIAL = ("M1", "fluid", "Vantor", "Brake fluid, glycol", "0071", "2027-06-30", "010", DATA_SHEET)
HEADINGS = ("id", "kind", "maker", "name", "batch", "expires", "steps", "data_sheet")


def extra_picture(path: str) -> Edit:
    return lambda f: picture(f.path(path), "Workshop, general view", datetime(2026, 3, 5, 10, 0))


def workbook(*rows: Sequence[str], name: str = "materials", other_sheet: bool = False) -> Edit:
    """A table as a workbook with these rows."""

    def edit(f: Folder) -> None:
        book = Workbook()
        sheet = book.active
        assert sheet is not None
        for row in rows:
            sheet.append(list(row))
        if other_sheet:
            book.create_sheet("more").append(["M2", "cleaner"])
        f.write(f"{name}.xlsx", timeless(book))

    return edit


def timeless(book: Workbook) -> bytes:
    """A workbook's bytes without the moment of saving, so that making it again changes nothing."""
    saved, made = io.BytesIO(), io.BytesIO()
    book.save(saved)
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "docProps/core.xml":
                data = re.sub(rb"(<dcterms:\w+[^>]*>)[^<]*", rb"\g<1>2026-03-05T10:00:00Z", data)
            new.writestr(zipfile.ZipInfo(name), data)
    return made.getvalue()


def in_old_encoding(f: Folder) -> None:
    text = f.path("materials.csv").read_text("utf-8").replace("Brake fluid", "Bremsflüssigkeit")
    f.write("materials.csv", text.encode("cp1252"))


def second_material(**cells: str) -> Edit:
    return lambda f: f.add_row("materials.csv", **cells)


PLANTS: dict[str, Edit] = {
    "load.litter": lambda f: f.write(".DS_Store", b"\x00\x00\x00\x01Bud1"),
    "load.stray-file": lambda f: f.write("note.txt", "Ask about the spare wheel.\n"),
    "load.step-folder-name": both(
        lambda f: f.move(OTHER_STEP, "steps/grille"), cell("parts.csv", "P2", step="grille")
    ),
    "load.no-step-file": extra_picture("steps/030-later/during/view.jpg"),
    "load.photo-outside-stage": extra_picture(f"{OTHER_STEP}/view.jpg"),
    "load.unknown-zone-folder": extra_picture(f"{OTHER_STEP}/during/grill/view.jpg"),
    "load.missing-table": both(gone("materials.csv"), gone(DATA_SHEET)),
    "load.two-forms": workbook(HEADINGS, MATERIAL),
    "load.not-utf8": both(in_old_encoding, gone(DATA_SHEET)),
    "load.not-toml": lambda f: f.append(GRILLE, "zones = [\n"),
    "load.not-a-table": both(lambda f: f.write("materials.csv", ""), gone(DATA_SHEET)),
    "load.other-sheets": both(gone("materials.csv"), workbook(HEADINGS, MATERIAL, other_sheet=True)),
    "load.formula": both(
        gone("materials.csv"), workbook(HEADINGS, (*MATERIAL[:4], "=70+1", *MATERIAL[5:]))
    ),
    "load.unknown-column": line("materials.csv", ",".join(HEADINGS), ",".join((*HEADINGS, "shade"))),
    "load.duplicate-column": line("materials.csv", ",".join(HEADINGS), ",".join((*HEADINGS, "batch"))),
    "load.ragged-row": both(lambda f: f.replace("materials.csv", ",documents", ",,documents"), gone(DATA_SHEET)),
    "load.duplicate-id": second_material(id="M1", kind="cleaner", name="Neutral wash", batch="0412", steps="020"),
    "load.missing-field": second_material(id="M2", kind="cleaner", batch="0412", steps="020"),
    "load.unknown-key": line(JOB, 'colour = "dark green"', 'color = "dark green"'),
    "load.wrong-type": line(JOB, 'engine_number = "E16-088312"', "engine_number = 16088312"),
    "load.bad-value": line(JOB, 'market = "europe"', 'market = "the moon"'),
    "load.bad-number": cell("readings.csv", "R1", uncertainty="0.6 N·m"),
    "load.decimal-comma": cell("readings.csv", "R1", uncertainty="0,6"),
    "load.bad-date": cell("materials.csv", "M1", expires="30/06/2027"),
    "load.spreadsheet-damage": cell("materials.csv", "M1", batch="7.1E+05"),
    "load.date-for-number": cell("materials.csv", "M1", batch="2026-03-12"),
    "load.odd-character": lambda f: f.replace(GRILLE, "Clean, with", "Clean,\u202e with"),
    "load.bad-issue": lambda f: f.write("issued/001.json", "{\n"),
}


def _link(f: Folder) -> None:
    f.path("documents/letter.pdf").symlink_to("approval.pdf")


def _pipe(f: Folder) -> None:
    os.mkfifo(f.path("documents/pipe.pdf"))


def _rename_approval(name: str) -> Edit:
    return both(lambda f: f.move("documents/approval.pdf", name), cell("approvals.csv", "A1", document=name))


def _in_two_cases(f: Folder) -> None:
    f.write("documents/Approval.pdf", f.path("documents/approval.pdf").read_bytes() + b"\n")
    f.add_row("approvals.csv", id="A2", date="2026-03-03", what="The grille", decision="approved", given_by="R. Moreau",
              means="letter", document="documents/Approval.pdf")  # fmt: skip
    f.replace(GRILLE, 'approvals = ["A1"]', 'approvals = ["A2"]')


# Faults that cannot stand in version control, or cannot be checked out everywhere: planted when the test runs.
ELSEWHERE: dict[str, Edit] = {
    "load.link": _link,
    "load.odd-file": _pipe,
    "load.odd-name": lambda f: f.write("documents/re\tceipt.pdf", b"%PDF-1.4\n"),
    "load.unportable-name": _rename_approval("documents/con.pdf"),
    "load.name-collision": _in_two_cases,
    "load.too-big": lambda f: f.append(GRILLE, "#" * 2_000_000),
}
