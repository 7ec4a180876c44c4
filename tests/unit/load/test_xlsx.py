"""Tables kept as workbooks."""

import io
import zipfile
from datetime import date, datetime
from decimal import Decimal

import pytest
from openpyxl import Workbook, load_workbook


def book(rows, title="Sheet", change=None):
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = title
    for row in rows:
        sheet.append(row)
    if change:
        change(workbook, sheet)
    data = io.BytesIO()
    workbook.save(data)
    return data.getvalue()


@pytest.fixture
def put(job):
    def write(rows, **how):
        (job.root / "parts.csv").unlink(missing_ok=True)
        job.write("parts.xlsx", rows if isinstance(rows, bytes) else book(rows, **how))
        return job

    return write


HEAD = ["id", "action", "what", "part_number", "quantity", "price", "fitted_on"]


def test_cells_keep_what_the_person_sees(put):
    def zeros(workbook, sheet):
        sheet["D4"].number_format = "00000000"

    rows = [
        HEAD,
        ["P1", "replace", "Disc", "0047", 2, 48.5, datetime(2026, 3, 18)],
        ["P2", "replace", "Pad", 471193, 1, 12.3, date(2026, 3, 18)],
        ["P3", "replace", "Hose_x000D_\nfront", 471193, 12.345678901234567, 1e-5, "2026-03-18"],
        [],
        [None, " "],
    ]
    loaded = put(rows, change=zeros).load()
    assert loaded.raised == ()
    first, second, third = loaded.job.parts
    assert (first.part_number, second.part_number, third.part_number) == ("0047", "471193", "00471193")
    assert (first.price, second.price, third.price) == (Decimal("48.5"), Decimal("12.3"), Decimal("0.00001"))
    assert third.quantity == Decimal("12.3456789012346")  # a workbook holds 15 digits
    assert third.what == "Hose\nfront"
    assert {first.fitted_on, second.fitted_on, third.fitted_on} == {date(2026, 3, 18)}
    assert first.place.file == "parts.xlsx"
    assert [p.place.row for p in loaded.job.parts] == [2, 3, 4]


@pytest.mark.parametrize(
    ("column", "value", "code"),
    [
        ("part_number", 1.23e8, None),
        ("part_number", 1234567890123456, "load.spreadsheet-damage"),
        ("part_number", 12.345678901234567, "load.spreadsheet-damage"),
        ("part_number", 12.5, None),
        ("part_number", datetime(2026, 12, 3), "load.spreadsheet-damage"),
        ("part_number", "#REF!", "load.spreadsheet-damage"),
        ("id", datetime(2026, 12, 3), "load.spreadsheet-damage"),
        ("price", "12,5", "load.decimal-comma"),
        ("price", "1,234", "load.decimal-comma"),
        ("price", datetime(2026, 12, 3), "load.spreadsheet-damage"),
        ("price", True, "load.bad-number"),
        ("fitted_on", 46099, "load.bad-date"),
        ("fitted_on", datetime(2026, 3, 18, 10, 5), "load.bad-date"),
        ("fitted_on", "18.03.2026", "load.bad-date"),
        ("what", "=1+1", "load.formula"),
        ("what", "a_x0007_b", "load.odd-character"),
    ],
)
def test_what_a_workbook_does_to_values(put, column, value, code):
    row = dict(zip(HEAD, ["P1", "replace", "Disc", "0047", 2, 48.5, date(2026, 3, 18)], strict=True)) | {column: value}
    loaded = put([HEAD, list(row.values())]).load()
    assert [r.code for r in loaded.raised] == ([code] if code else [])
    part = loaded.job.parts[0]
    assert (column in part.bad) is (code is not None)
    if code:
        assert str(loaded.raised[0].place) == f"parts.xlsx, row 2, column {column}"


def test_a_formula_with_its_result_is_the_result(put):
    plain = book([HEAD, ["P1", "replace", "Disc", "0047", 2, 48.5, None]])
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(plain)) as old, zipfile.ZipFile(made, "w") as new:
        for part in old.infolist():
            content = old.read(part)
            if part.filename.endswith("sheet1.xml"):
                assert content.count(b"<v>48.5</v>") == 1
                content = content.replace(b"<v>48.5</v>", b"<f>97/2</f><v>48.5</v>")
            new.writestr(part, content)
    loaded = put(made.getvalue()).load()
    assert loaded.raised == ()
    assert loaded.job.parts[0].price == Decimal("48.5")


def test_both_forms_are_a_finding_and_the_csv_is_read(job, one):
    job.write("parts.csv", "id,action,what\nP1,replace,Disc\n")
    job.write("parts.xlsx", book([HEAD, ["P2", "replace", "Pad"]]))
    assert one()[:2] == ("load.two-forms", "parts.xlsx")
    assert [p.id for p in job.load().job.parts] == ["P1"]


def test_the_sheet_named_as_the_table_is_read_others_are_said(put):
    def more(workbook, sheet):
        other = workbook.create_sheet("Parts")
        other.append(HEAD)
        other.append(["P9", "replace", "Hose"])

    job = put([["notes"], ["x"]], change=more)
    assert job.said() == []
    assert [p.id for p in job.load().job.parts] == ["P9"]

    def extra(workbook, sheet):
        workbook.create_sheet("March").append(["P3", "replace", "Pad"])
        workbook.create_sheet("empty")

    job = put([HEAD, ["P1", "replace", "Disc"]], change=extra)
    (raised,) = job.load().raised
    assert raised.code == "load.other-sheets"
    assert "March" in raised.says
    assert "empty" not in raised.says


def bomb():
    data = io.BytesIO(book([HEAD]))
    with (
        zipfile.ZipFile(data, "a", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/media/big.bin", "w", force_zip64=True) as part,
    ):
        block = bytes(1_000_000)
        for _ in range(101):
            part.write(block)
    return data.getvalue()


def with_part(name, content):
    data = io.BytesIO(book([HEAD, ["P1", "replace", "Disc"]]))
    made = io.BytesIO()
    with zipfile.ZipFile(data) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            new.writestr(part, content(old.read(part)) if part.filename == name else old.read(part))
    return made.getvalue()


def far_cell():
    def change(workbook, sheet):
        sheet["A1048576"] = "P9"

    return book([HEAD, ["P1", "replace", "Disc"]], change=change)


@pytest.mark.parametrize(
    ("make", "code", "says"),
    [
        (lambda: b"", "load.not-a-table", "not a workbook"),
        (lambda: b"id,action,what\n", "load.not-a-table", "not a workbook"),
        (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "load.not-a-table", "password"),
        (lambda: book([HEAD])[:2000], "load.not-a-table", "damaged"),
        (lambda: book([]), "load.not-a-table", "empty"),
        (lambda: book([["a", "b"], ["c", "d"]]), "load.not-a-table", "none of the headings"),
        (lambda: with_part("xl/worksheets/sheet1.xml", lambda c: c[:100]), "load.not-a-table", "damaged"),
        (lambda: with_part("xl/workbook.xml", lambda c: b"<x/>"), "load.not-a-table", ""),
        (
            lambda: with_part("xl/worksheets/sheet1.xml", lambda c: b'<!DOCTYPE l [<!ENTITY a "aaaa">]>' + c),
            "load.not-a-table",
            "entities",
        ),
        (bomb, "load.too-big", "Unpacked"),
    ],
    ids=["empty", "csv", "old", "cut", "no-cells", "no-headings", "cut-sheet", "no-book", "entities", "bomb"],
)
def test_files_that_are_no_workbook_or_must_not_be_unpacked(put, make, code, says):
    job = put(make())
    (raised,) = job.load().raised
    assert (raised.code, raised.place.file) == (code, "parts.xlsx")
    assert says in raised.says
    assert "parts" in job.load().job.bad


def test_a_zip_that_is_no_workbook(put):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("a.txt", "x")
    (raised,) = put(made.getvalue()).load().raised
    assert raised.code == "load.not-a-table"
    assert "ZIP archive, not a workbook" in raised.says


def test_a_cell_at_the_far_end_of_the_sheet_costs_no_million_rows(put):
    loaded = put(far_cell()).load()
    assert [p.id for p in loaded.job.parts] == ["P1"]
    assert loaded.raised == ()


def test_the_file_is_left_as_it_was(put):
    job = put([HEAD, ["P1", "replace", "Disc"]])
    before = (job.root / "parts.xlsx").read_bytes()
    job.load()
    assert (job.root / "parts.xlsx").read_bytes() == before
    assert load_workbook(io.BytesIO(before)).active["A2"].value == "P1"
