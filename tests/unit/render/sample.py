"""A sample dossier that uses every block, every script and every awkward string; its car and people are invented."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import date
from pathlib import Path

from PIL import Image, ImageDraw

from buildbook.dossier.drawing import Drawing, Label, circle, line, rect
from buildbook.dossier.model import (
    Bullets,
    CautionBox,
    Claim,
    Code,
    Column,
    Counter,
    Counters,
    Cover,
    Dossier,
    Figure,
    Heading,
    KeyValues,
    NewPage,
    Paragraph,
    Picture,
    PictureGrid,
    PicturePair,
    Ref,
    Run,
    SealMark,
    Section,
    Table,
    TableRow,
    Together,
    text,
)

SEAL = hashlib.sha256(b"sample").hexdigest()
NAMES = {
    "Japanese": "南 空",
    "Thai": "อนันต์ ศรีสุข",
    "Korean": "김철수",
    "Chinese": "王小明",
    "Greek": "Ελένη Παπαδοπούλου",
    "Cyrillic": "Оксана Ґудзь",
    "Latin": "Zoë Ångström-Çelik",
    "Thai marks": "ที่ นี้ น้ำ ปั้น กู้ ญี่ปุ่น ผู้ช่วย",
    "Japanese text": "下地処理を行い、二液型クリヤーで仕上げました。「記録」はすべて写真と一致しています。",
    "Chinese text": "漆面修复完成，所有记录与照片一致。",
    "Korean text": "도장면 복원을 완료했으며 모든 기록은 사진과 일치합니다.",
}


def asset(number: int) -> str:
    """The content hash a picture stands under."""
    return hashlib.sha256(f"picture {number}".encode()).hexdigest()


def size(number: int) -> tuple[int, int]:
    """Pixels of the turned original: mostly landscape, every sixth upright, one small, one panorama."""
    if number == 7:
        return 400, 300
    if number == 11:
        return 1600, 420
    return (1200, 1600) if number % 6 == 5 else (1600, 1200)


def make_pictures(folder: Path, count: int = 20) -> dict[str, tuple[Path, Path]]:
    """Draw `count` pictures: asset -> (print rendition, small rendition)."""
    made: dict[str, tuple[Path, Path]] = {}
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(1, count + 1):
        width, height = size(number)
        image = Image.new("RGB", (width, height))
        draw = ImageDraw.Draw(image)
        for row in range(0, height, 4):
            shade = 210 - 110 * row // height
            draw.rectangle((0, row, width, row + 4), fill=(shade, shade - 8 + number, shade - 20))
        horizon = int(height * 0.62)
        draw.rectangle((0, horizon, width, height), fill=(92, 90, 86))
        body = (60 + 9 * number, 84, 96) if number % 2 else (36, 86 + 5 * number, 104)
        left, top = int(width * 0.14), int(height * 0.45)
        draw.rounded_rectangle((left, top, width - left, int(height * 0.68)), 60, fill=body)
        draw.polygon(
            [
                (int(width * 0.3), top),
                (int(width * 0.38), int(height * 0.3)),
                (int(width * 0.78), int(height * 0.3)),
                (int(width * 0.82), top),
            ],
            fill=tuple(max(c - 20, 0) for c in body),
        )
        for at in (0.28, 0.72):
            x, radius = int(width * at), int(min(width, height) * 0.09)
            y = int(height * 0.68)
            draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=(24, 24, 26))
            draw.ellipse((x - radius // 2, y - radius // 2, x + radius // 2, y + radius // 2), fill=(170, 172, 176))
        large = folder / f"{number}-print.jpg"
        image.save(large, quality=86)
        small = folder / f"{number}-small.jpg"
        reduced = image.copy()
        reduced.thumbnail((400, 400))
        reduced.save(small, quality=82)
        made[asset(number)] = (large, small)
    return made


def picture(number: int, caption: str = "", anchor: bool = True) -> Picture:
    """Picture `number` with a caption as the dossier writes it."""
    width, height = size(number)
    return Picture(
        asset=asset(number), width=width, height=height, alt=f"Picture {number}: the car seen from the side",
        caption=text(caption or f"Left front wing, after step S0{number:02d} · 4 March 2026, 10:{number:02d} · 3f9a {number:04x}"),
        anchor=f"photo-{number}" if anchor else "", label=f"P{number:03d}",
    )  # fmt: skip


def plan() -> Drawing:
    """A drawing with lines, shapes, a link and labels."""
    items = [
        rect(10, 30, 300, 90, fill="#f4f2ee", stroke="#1f2328", width=0.8),
        rect(60, 42, 90, 66, fill="#ffffff", stroke="#59626b", link="zone-roof", title="Roof"),
        circle(70, 130, 16, fill="#1f2328"),
        circle(250, 130, 16, fill="#1f2328"),
        line(10, 75, 310, 75, stroke="#c4c9ce", dash=(3.0, 2.0)),
        Label(x=105, y=78, text="Roof · 118 µm", anchor="middle", bold=True),
        Label(x=310, y=24, text="limit 100 to 160 µm", anchor="end", colour="#59626b"),
        Label(x=10, y=24, text="Film thickness"),
    ]
    return Drawing(width=320, height=150, items=tuple(items), alt="Plan of the car with the roof marked")


def parts_table(rows: int, *, dense: bool = False) -> Table:
    """A register with codes, long cells, money and hashes."""
    columns = (
        Column(title="Line", nowrap=True, width=0.5), Column(title="What", width=2.2), Column(title="Part number", nowrap=True, width=1.2),
        Column(title="Source, stated by", width=1.4), Column(title="Price", align="right", nowrap=True, width=0.8),
        Column(title="Evidence", width=1.0),
    )  # fmt: skip
    made: list[TableRow] = []
    for index in range(1, rows + 1):
        if index % 15 == 1:
            made.append(TableRow(cells=(text(f"Group {index // 15 + 1}: front suspension"),), group=True))
        cells = (
            text(f"R{index:02d}"), text("Lower ball joint with rubber boot, left", Run(" old part returned to the owner", "quiet") if index % 4 else ""),
            text(f"0{index:03d}-45{index}7-B"), text("pattern, K. Brandt"), text(f"{index * 13.4:.2f}"),
            text(Ref(f"P{index % 20 + 1:03d}", f"photo-{index % 20 + 1}"), "  ", Ref("D01", "doc-1")),
        )  # fmt: skip
        made.append(TableRow(cells=cells, anchor=f"part-R{index:02d}"))
    return Table(columns=columns, rows=tuple(made), caption="Replaced parts", dense=dense)


def hash_table() -> Table:
    """An index of photographs with full hashes."""
    columns = (
        Column(title="No.", nowrap=True, width=0.5), Column(title="File", width=2), Column(title="Taken", nowrap=True, width=1.1),
        Column(title="SHA-256", mono=True, width=3.2),
    )  # fmt: skip
    rows = tuple(
        TableRow(
            cells=(
                text(Ref(f"P{n:03d}", f"photo-{n}")),
                text(f"steps/010-front-wing/before/bonnet/IMG_{n:04d}.jpg"),
                text(f"2026-03-{n:02d} 10:05"),
                text(asset(n)),
            )
        )
        for n in range(1, 21)
    )
    return Table(columns=columns, rows=rows, caption="Every photograph on file", dense=True)


def nasty(path: Path) -> list[str]:
    """Awkward strings, from a JSON list of objects with a `value`."""
    return [str(one["value"]) for one in json.loads(path.read_text(encoding="utf-8"))]


def sample(
    strings: list[str] | None = None, *, draft: bool = False, paper: str = "A4", language: str = "en"
) -> Dossier:
    """The sample. strings: printed in every kind of block of a section of their own."""
    sections = [_summary(), _names(), _condition(), _work(), _register(), _verify()]
    if strings:
        sections.insert(5, awkward(strings))
    cover = Cover(
        vehicle="Talvard 1800 Touring Estate",
        subtitle="1972 · five-door estate · pine green over tan",
        facts=(
            ("Chassis number", "TL18-072-004417"), ("Engine number", "1800 E 11973"), ("First registered", "14 April 1972"),
            ("Odometer in", "84,112 mi"), ("Odometer out", "84,131 mi"), ("Work", "2 to 27 March 2026"),
        ),
        workshop="Werkhof Ostermann & Daughters", workshop_address="Lindengasse 4, 00000 Altweiler",
        picture=picture(2, anchor=False), statement="Paint corrected, brakes rebuilt, lamps restored. What was found, done, kept and measured, with the evidence for each.",
    )  # fmt: skip
    return Dossier(
        title="Talvard 1800 Touring Estate: dossier of work", job_number="2026-014", issue=0 if draft else 2, issued_on=date(2026, 3, 28),
        draft=draft, seal=SEAL, previous_seal="" if draft else hashlib.sha256(b"before").hexdigest(), language=language, paper=paper,
        author="Werkhof Ostermann & Daughters", subject="Job 2026-014, issue 2", cover=cover, sections=tuple(sections),
        assets=tuple(asset(n) for n in range(1, 21)),
    )  # fmt: skip


def _summary() -> Section:
    counters = Counters(
        items=(
            Counter(value="15", label="observations at intake", target="sec-condition"),
            Counter(value="12", label="steps of work", target="sec-work"),
            Counter(value="34", label="parts replaced", target="sec-register"),
            Counter(value="9", label="originals kept", target="part-R09", tone="good"),
            Counter(value="118", label="readings inside their limits", target="reading-1", tone="good"),
            Counter(value="2", label="readings outside, with approval", target="sec-register", tone="warn"),
            Counter(value="1", label="open exception", target="sec-condition", tone="bad"),
            Counter(value="64", label="photographs", target="sec-verify"),
        )
    )
    return Section(
        anchor="sec-summary", number="1", title="Summary",
        blocks=(
            Paragraph(text=text("The car came in with hazed lamps, corroded rear callipers and paint that had lost its gloss. It left with 118 of 120 readings inside their limits; ", Run("two are outside", "warn"), " and were approved by the owner."), style="lead"),
            counters,
            Heading(level=2, text="What was done", anchor="sec-summary-done"),
            Claim(text=text("Both rear brake callipers were replaced; the old ones went back to the owner."), evidence=(Ref("P003", "photo-3"), Ref("P004", "photo-4"), Ref("D01", "doc-1"), Ref("A02", "approval-A02")), stated_by="K. Brandt"),
            Claim(text=text("The paint of the roof was measured at 118 µm on average before and 112 µm after correction, with nine readings at each stage."), evidence=(Ref("R001", "reading-1"), Ref("R002", "reading-2"))),
            Claim(text=text("The seller stated that the engine was rebuilt in 2009."), evidence=(), stated_by="previous owner"),
            Heading(level=2, text="What is open", anchor="sec-summary-open"),
            Bullets(items=(text("Rear wash-wipe motor runs slowly; part ", Run("no longer obtainable", "strong"), "."), text("Underbody wax to be looked at after one winter."), text("Link to nowhere: ", Ref("P999", "photo-999")))),
            Paragraph(text=text("Readings were taken with instruments in calibration unless the table says otherwise."), style="quiet"),
        ),
    )  # fmt: skip


def _names() -> Section:
    return Section(
        anchor="sec-identity", number="2", title="Identity and provenance",
        blocks=(
            Heading(level=2, text="The car", anchor="sec-identity-car"),
            KeyValues(rows=(
                ("Marque and model", text("Talvard 1800 Touring Estate")), ("Chassis number", text("TL18-072-004417  ", Ref("P001", "photo-1"))), ("Engine number", text("1800 E 11973")),
                ("Colour", text("pine green, code 6114")), ("Odometer in", text("84,112 mi")), ("Odometer out", text("84,131 mi")), ("Built", text("February 1972, by the maker's certificate ", Ref("D01", "doc-1"))),
            )),
            Heading(level=2, text="People", anchor="sec-identity-people"),
            KeyValues(rows=tuple((script, text(name)) for script, name in NAMES.items()), columns=1),
            Heading(level=3, text="A small heading: Προέλευση и происхождение 南空", anchor="sec-identity-small"),
            Paragraph(text=text("Running text with ", Run("good", "good"), ", ", Run("warn", "warn"), ", ", Run("bad", "bad"), ", ", Run("strong", "strong"), " and ", Run("quiet", "quiet"), " runs, 12 ± 0.5 µm, 4 × 100 N·m ≤ limit, “quoted” text — and AVATAR To We kerning. ", "A long sentence that needs several lines shows how the measure of eight columns reads: about seventy characters to the line, ragged at the right, with the evidence for each claim in the four columns beside it.")),
        ),
    )  # fmt: skip


def _condition() -> Section:
    return Section(
        anchor="sec-condition", number="3", title="Condition in and out",
        blocks=(
            Figure(drawing=plan(), caption=text("Mean film thickness by panel, after correction ", Ref("R001", "reading-1")), anchor="fig-plan"),
            Heading(level=2, text="Left front wing", anchor="zone-left-front-wing", number="3.1", eyebrow="Zone · grade 3 in, grade 0 out"),
            PicturePair(before=picture(1), after=picture(2), caption=text("Oxidised paint against corrected paint, same lamp and camera. Observation ", Ref("O04", "obs-O04"))),
            Heading(level=2, text="Roof", anchor="zone-roof", number="3.2", eyebrow="Zone · grade 2 in, grade 1 out"),
            PicturePair(before=picture(3), after=picture(5), caption=text("A landscape and an upright picture at one height.")),
            Together(blocks=(Heading(level=3, text="Kept together", anchor="keep"), Paragraph(text=text("This heading, text and picture stay on one page.")), picture(7))),
            picture(11), picture(6),
        ),
    )  # fmt: skip


def _work() -> Section:
    return Section(
        anchor="sec-work", number="4", title="The work, step by step",
        blocks=(
            Heading(level=2, text="Rear brakes rebuilt", anchor="step-S040", number="S040", eyebrow="9 to 11 March 2026 · done by K. Brandt · checked by 南 空"),
            CautionBox(title="Brakes", text="Brake dust may hold asbestos in cars of this age: no compressed air, wet methods, breathing protection. Follow the maker's manual and the local codes; leave the work to licensed people where the law asks for it.", source="maker's workshop manual; local codes for work on brakes"),
            Paragraph(text=text("Callipers replaced, lines renewed in copper-nickel, fluid changed, bedding-in done on the road.")),
            Heading(level=3, text="Photographs", anchor="step-S040-photos"),
            PictureGrid(pictures=tuple(picture(n) for n in (8, 9, 10)), across=3),
            Heading(level=2, text="Contact sheet", anchor="step-S050", number="S050", eyebrow="12 March 2026"),
            PictureGrid(pictures=tuple(picture(n) for n in range(12, 21)), across=4, small=True),
            PictureGrid(pictures=(picture(4, "A caption far too long for its column. " * 30),), across=3),
        ),
    )  # fmt: skip


def _register() -> Section:
    readings = Table(
        columns=(Column(title="No.", nowrap=True, width=0.5), Column(title="Zone and point", width=2), Column(title="Value", align="right", nowrap=True), Column(title="Limits", align="centre", nowrap=True), Column(title="Instrument", width=1.5)),
        rows=tuple(TableRow(cells=(text(f"R{n:03d}"), text(f"Roof, point {n}"), text(Run(f"{100 + n}.0 µm", "bad" if n == 7 else "plain")), text("100 to 160 µm"), text("film gauge G2")), anchor=f"reading-{n}") for n in range(1, 10)),
        caption="Film thickness, after",
    )  # fmt: skip
    return Section(
        anchor="sec-register", number="5", title="Parts register",
        blocks=(parts_table(48), Heading(level=2, text="Readings", anchor="sec-readings"), readings,
                Table(columns=(Column(title="Empty"), Column(title="Table")), rows=(), caption="A table without rows"),
                Heading(level=2, text="Documents", anchor="doc-1"), Paragraph(text=text("D01 receipt.pdf"), anchor="approval-A02")),
    )  # fmt: skip


def _verify() -> Section:
    return Section(
        anchor="sec-verify", number="6", title="How to verify this dossier",
        blocks=(
            hash_table(), NewPage(),
            Heading(level=2, text="Three commands", anchor="sec-verify-commands"),
            Code(lines=("pdfdetach -save 1 dossier.pdf", "sha256sum -c manifest-sha256.txt", f"sha256sum manifest-sha256.txt   # {SEAL}")),
            SealMark(seal=SEAL, payload=f"buildbook 2026-014 issue 2 {SEAL}", text=text("The seal is the SHA-256 of the manifest. Whoever changes one byte of one file changes the seal.")),
        ),
    )  # fmt: skip


def awkward(strings: list[str]) -> Section:
    """Each string in each kind of block."""
    runs = [text(one) for one in strings]
    return Section(
        anchor="sec-awkward", number="9", title="Awkward text",
        blocks=(
            Bullets(items=tuple(runs)),
            KeyValues(rows=tuple((one[:40], run) for one, run in zip(strings, runs, strict=True)), columns=2),
            Table(columns=(Column(title="Text", width=2), Column(title="Code", nowrap=True), Column(title="Mono", mono=True)), rows=tuple(TableRow(cells=(run, run, run)) for run in runs), caption="Awkward"),
            *(Claim(text=run, evidence=(), stated_by=one) for one, run in zip(strings, runs, strict=True)),
            *(CautionBox(title=one, text=one, source=one) for one in strings),
            Code(lines=tuple(strings)),
            Counters(items=tuple(Counter(value=one, label=one, target="sec-work") for one in strings)),
            PictureGrid(pictures=tuple(replace(picture(1), caption=run, anchor="") for run in runs), across=4, small=True),
            *(Heading(level=3, text=one, anchor=f"awkward-{n}", eyebrow=one) for n, one in enumerate(strings)),
        ),
    )  # fmt: skip
