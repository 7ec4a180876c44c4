"""What single sections say, and in which words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import factory
import pytest

from buildbook.dossier import build_dossier
from buildbook.dossier.blocks import flat, words_of
from buildbook.dossier.cover import cover_photo
from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.evidence import anchor_id, build_registry
from buildbook.dossier.model import CautionBox, Code, Figure, Table
from buildbook.dossier.timeline import ticks
from buildbook.records.job import Vehicle
from buildbook.records.words import ReadingStage


def words(dossier, number):
    return words_of(replace(dossier, sections=tuple(s for s in dossier.sections if s.number == str(number))))


def table(dossier, number, caption):
    (found,) = [
        b for s in dossier.sections if s.number == str(number) for b in flat(s.blocks)
        if isinstance(b, Table) and b.caption == caption
    ]  # fmt: skip
    return [["".join(r.text for r in cell) for cell in row.cells] for row in found.rows]


def test_labels_run_by_path_and_row(job):
    registry = build_registry(job)
    paths = [p.path for p, _ref in registry.photos]
    assert paths == sorted(paths)
    assert [ref.label for _p, ref in registry.photos][:2] == ["P001", "P002"]
    assert [ref.label for _d, ref in registry.documents] == ["D01", "D02", "D03", "D04", "D05"]
    assert [ref.label for _s, ref in registry.steps] == ["S010", "S020", "S030", "S040"]
    assert registry.step("020-brakes") == registry.step("20") == registry.step("020")


def test_no_label_stands_for_two_things(job):
    # P2 reads like a photo's number and A1 does not.
    registry = build_registry(job)
    assert registry.part("P2").label == "part P2"
    assert registry.approval("A1").label == "A1"
    assert registry.part("P2").target == "part-P2"


def test_anchor_ids_are_plain():
    assert anchor_id("part", "A-1.2_x") == "part-A-1.2_x"
    assert anchor_id("part", "a b/é") == "part-a~20b~2f~e9"


def test_the_cover_takes_the_car_as_it_left(job):
    assert cover_photo(job).path == "steps/040-handover/after/whole/front-left.jpg"
    assert cover_photo(replace(job, photos=job.photos[2:6])).path == "steps/010-polish/after/bonnet/swirls.jpg"
    assert cover_photo(replace(job, photos=())) is None


@pytest.mark.parametrize(
    ("number", "market", "built", "said"),
    [
        # 49 CFR 565.15(c) (PUB-A): seventeen ones weigh 89 in all, 89 mod 11 is 1, so the digit is 1.
        ("11111111111111111", "north-america", 1995, "The check digit agrees."),
        # The last character weighs 2: with 2 in its place the sum is 91, the remainder 3.
        ("11111111111111112", "north-america", 1995, "The check digit does not agree."),
        ("TE19-0047213", "europe", 1972, "not applicable"),
    ],
)
def test_check_digit_in_words(number, market, built, said, issue):
    car = Vehicle(place=factory.key("vehicle"), chassis_number=number, market=market, built=built)
    assert said in words(build_dossier(factory.job(vehicle=car), (), issue), 2)


def test_history_keeps_seen_document_and_owner_apart(dossier):
    rows = table(dossier, 2, "History by what it rests on")
    assert [r[0] for r in rows if len(r) == 1] == ["Seen on the vehicle", "A document says", "The owner says"]
    assert rows[3][1] == "Invoice for a respray"
    assert rows[3][3] == "D03"


def test_condition_says_what_is_not_on_file(dossier):
    rows = table(dossier, 3, "Observations: Rear lamp, left")
    assert "nowhere (not on record)" in rows[0][3]
    assert rows[0][4] == "steps/gone.jpg (not on file)"
    assert table(dossier, 3, "Observations: Bonnet")[0][2] == "4 → 0.5"


def test_steps_name_people_and_cautions(dossier):
    said = words(dossier, 4)
    assert "南 空" in said
    assert "ZZ (not in the list of people)" in said
    boxes = [b for s in dossier.sections for b in flat(s.blocks) if isinstance(b, CautionBox)]
    assert [b.title for b in boxes] == ["Solvents and dust", "own rule", "Brakes", "Wheels"]
    assert said.count("go before anything printed here") == 1
    assert "No photo before the work: nothing to compare with" in said


def test_parts_are_stated_not_verified_and_summed_by_currency(dossier):
    said = words(dossier, 5)
    assert "genuine, stated by Anneke Brandt, not verified" in said
    assert "Total of these lines: EUR\u00a091.00." in said  # 10.00 + 81.00
    assert "Total of all part lines: EUR\u00a091.00, SEK\u00a012.00." in said
    assert "Old part: not recorded" in said
    assert "no longer obtainable" in said


def test_readings_show_verdict_limits_and_exceptions(dossier):
    rows = table(dossier, 6, "Every value: Paint film thickness")
    assert rows[0] == [
        "Bonnet · intake\nG1 · Anneke Brandt · 2 March 2026 · limits 80 to 200\u00a0µm (agreed with the client)"
    ]
    assert rows[1][2] == "118\u00a0µm"
    assert rows[1][4] == "pass"
    assert rows[2][2] == "131\u00a0µm ± 3"
    (exception,) = table(dossier, 6, "Accepted exceptions: who, when and why")
    assert exception[0] == "R003"
    assert exception[5] == "thin edge, left as it is\nby Mme Moreau, 2 March 2026, A2"


def test_an_instrument_out_of_calibration_does_not_count(dossier):
    # Calibrated 10 January 2024 for 12 months, read on 5 March 2026.
    (_group, row) = table(dossier, 6, "Every value: Brake disc thickness")
    assert row[4] == "fail · does not count as evidence: out of calibration"
    rows = table(dossier, 6, "Instruments and their calibration")
    assert rows[1][3].startswith("10 January 2025")
    assert "1 not counting" in rows[1][5]


def test_statistics_by_zone_and_stage(dossier):
    # 118, 131, 74: mean 323/3 = 107.67; s = sqrt(((118-m)^2 + (131-m)^2 + (74-m)^2) / 2) = 29.87, by hand.
    (row,) = table(dossier, 6, "Statistics: Paint film thickness")
    assert row[2:7] == ["3", "74\u00a0µm", "107.7\u00a0µm", "131\u00a0µm", "29.9\u00a0µm"]


def test_approvals_lead_back_to_their_use(dossier):
    rows = table(dossier, 7, "Approvals by the client")
    assert rows[0][6].split(", ")[0] == "S010"
    assert rows[1][6] == "S020, O2, R003"


def test_limits_are_stated_openly(dossier):
    said = words(dossier, 8)
    assert "1 photo does not say when it was taken" in said
    assert "1 photo could not be shown here" in said
    assert "1 replaced part has no receipt on file: part P2" in said
    assert "Film thickness says how much lies over the metal" in said


def test_aftercare_has_dates_and_distances(dossier):
    rows = table(dossier, 9, "Due after handover")
    due = {r[0].split(" ")[0]: r[1] for r in rows}
    assert due["Check"] == "at 61,254\u00a0km\noverdue at 61,304\u00a0km"
    assert due["Coating"] == "dry until 6 March 2026\ncured on 18 March 2026"
    assert due["Wax"] == "18 June 2026"
    assert rows[-1][3] == "not recorded"


def test_three_commands_that_need_nothing_of_ours(dossier):
    code, archive = [b for b in dossier.sections[-1].blocks if isinstance(b, Code)]
    assert len(code.lines) == 3
    assert archive.lines == ("bagit.py --validate archive",)
    assert not any("buildbook" in line for line in code.lines)


def test_the_time_line_shows_steps_approvals_and_gates(dossier):
    found = [b for s in dossier.sections for b in flat(s.blocks) if isinstance(b, Figure)]
    (figure,) = [f for f in found if any(isinstance(i, Path) and i.link.startswith("step-") for i in f.drawing.items)]
    drawing = figure.drawing
    bars = [i for i in drawing.items if isinstance(i, Path) and i.link.startswith("step-")]
    assert len(bars) == 4
    assert len([i for i in drawing.items if isinstance(i, Path) and i.link.startswith("approval-")]) == 2
    said = {i.text for i in drawing.items if isinstance(i, Label)}
    assert {"received", "handover"} <= said
    for item in drawing.items:
        if isinstance(item, Label):
            assert item.size >= 7
            assert 0 <= item.x <= drawing.width
        else:
            for command in item.commands:
                assert all(-0.01 <= x <= drawing.width for x in command[1::2] if isinstance(x, float))
    # A bar of two days is twice a bar of one: 3 to 4 March against 20 March.
    widths = [bar.commands[1][1] - bar.commands[0][1] for bar in bars]
    assert widths[0] == pytest.approx(2 * widths[3], abs=0.05)


def test_scale():
    assert ticks(date(2026, 3, 2), date(2026, 3, 5)) == [date(2026, 3, 2), date(2026, 3, 3), date(2026, 3, 4)]
    assert len(ticks(date(1990, 1, 1), date(2026, 1, 1))) <= 8


def test_many_photos_of_a_step_go_to_the_index(issue):
    photos = tuple(factory.photo(f"steps/010-polish/during/x{n:02d}.jpg") for n in range(20))
    made = build_dossier(factory.job(steps=(factory.step(),), photos=photos), (), issue)
    assert "8 more photos of this step are in the index: P013" in words(made, 4)


def test_uncertainty_gives_the_four_words(issue):
    # ILAC-G8:09/2019, guard band w = U: limit 80, U 3: 82 lies within by less than U.
    reading = factory.reading(value="82", expanded_uncertainty=Decimal(3), stage=ReadingStage.AFTER)
    made = build_dossier(factory.job(readings=(reading,), limits=(factory.limit(),)), (), issue)
    assert "conditional pass" in words(made, 6)


def test_outside_as_found_shows_what_was_measured_since(issue):
    before = factory.reading(value="74", stage=ReadingStage.BEFORE)
    after = tuple(factory.reading(value=v, stage=ReadingStage.AFTER, point=v) for v in ("110", "120"))
    made = build_dossier(factory.job(readings=(before, *after), limits=(factory.limit(),)), (), issue)
    (row,) = table(made, 6, "Outside as the vehicle was found, and what was measured since")
    assert row[0] == "R001"
    assert row[5] == "R002, R003: 110 to 120\u00a0µm, mean 115.0\u00a0µm, 2 pass"
    assert "No reading taken during or after the work lies outside its limits." in words(made, 6)


def test_outside_as_left_needs_somebody_who_accepted_it(issue):
    reading = factory.reading(value="74", stage=ReadingStage.AFTER)
    made = build_dossier(factory.job(readings=(reading,), limits=(factory.limit(),)), (), issue)
    assert table(made, 6, "Outside during or after the work")[0][5] == "not accepted by anybody"
    assert "1 is outside as left" in words(made, 1)


def test_readings_of_a_step_stand_in_one_row_a_kind(issue):
    values = tuple(factory.reading(value=v, step="10", stage=ReadingStage.AFTER, point=v) for v in ("110", "120", "260"))
    made = build_dossier(factory.job(steps=(factory.step(),), readings=values, limits=(factory.limit(),)), (), issue)
    (row,) = table(made, 4, "Readings of step Polish the bonnet")
    assert row[0] == "R001 … R003 (3)"
    assert row[2] == "110 to 260\u00a0µm\nmean 163.3\u00a0µm"
    assert row[4] == "2 pass, 1 fail"


def test_words_of_lists_that_share_their_text_stay_apart(dossier):
    assert "Bonnet · before · 2026-03-03 10:00" in words(dossier, 3)
    assert "before the work" in words(dossier, 6)
