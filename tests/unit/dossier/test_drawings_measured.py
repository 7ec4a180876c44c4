"""Figures of a job's readings: what is drawn, what is said, and on which evidence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise

import factory
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.figures import condition_figures, step_figures
from buildbook.dossier.measured_figures import kind_blocks, reading_figures
from buildbook.dossier.measured_figures.weather import dwell_spans
from buildbook.dossier.model import Claim, Figure, Paragraph, Table
from buildbook.dossier.view import build_view
from buildbook.records.job import Cure, Vehicle
from buildbook.records.words import Body, Operation, ReadingStage
from buildbook.trade.curing import dwell

INTAKE, BEFORE, DURING, AFTER = ReadingStage.INTAKE, ReadingStage.BEFORE, ReadingStage.DURING, ReadingStage.AFTER
HANDOVER = ReadingStage.HANDOVER
PANELS = ("bonnet", "roof", "tailgate", "wing-front-left", "door-front-left", "wing-rear-right")
OLD = factory.instrument(place=factory.key("instruments.2"), id="OLD", calibrated_on=date(2024, 1, 10))


def blocks(kind, *readings, **changes):
    job = factory.job(**({"steps": (factory.step(),), "instruments": (factory.instrument(), OLD)} | changes))
    job = replace(job, readings=readings)
    return kind_blocks(build_view(job, (), None), kind)


def said(found):
    """All sentences, as plain text with plain blanks."""
    words = ["".join(r.text for r in b.text) for b in found if isinstance(b, Claim | Paragraph)]
    return "\n".join(words).replace("\u00a0", " ").replace("\u2212", "-")


def figures(found):
    return [b for b in found if isinstance(b, Figure)]


def printed(figure):
    return [i.text.replace("\u2212", "-").replace("\u00a0", " ") for i in figure.drawing.items if isinstance(i, Label)]


def film(zone, values, stage=INTAKE, step="", **changes):
    return tuple(
        factory.reading(zone=zone, value=str(v), point=str(n), stage=stage, step=step, **changes)
        for n, v in enumerate(values, 1)
    )


def whole_car(**changes):
    made = ()
    for n, zone in enumerate(PANELS):
        thick = 230 if zone == "wing-rear-right" else 115 + n
        made += film(zone, (thick - 1, thick, thick + 1), **changes)
    return made


# -- film --------------------------------------------------------------------------------------------------------------


def test_the_map_on_arrival_shows_every_panel_and_what_stands_out():
    found = blocks("film_thickness", *whole_car())
    assert "On arrival the film was measured on 6 panels" in said(found)
    assert "The right rear wing: 230 µm (n = 3), thicker than this car's own median by" in said(found)
    (drawn,) = [f for f in figures(found) if f.anchor == "film-arrival"]
    assert {"115", "230", "n 3", "on arrival"} <= set(printed(drawn))
    links = {i.link for i in drawn.drawing.items if isinstance(i, Path) and i.link}
    assert links == {f"reading-{1 + 3 * n}" for n in range(6)}


def test_readings_out_of_calibration_are_no_evidence_for_a_map():
    good = film("bonnet", (115, 116, 117))
    late = film("roof", (180, 181, 182), instrument="OLD")
    found = blocks("film_thickness", *good, *late)
    (drawn,) = [f for f in figures(found) if f.anchor == "film-arrival"]
    assert "181" not in printed(drawn)
    assert "Left out, not evidence: roof." in drawn.drawing.alt
    assert "3 of these readings (OLD) are marked “not evidence” and left out of every verdict." in said(found)


def polished_door(**changes):
    before = film("door-front-left", (124, 126, 125, 123, 127), BEFORE, "10", **changes)
    after = film("door-front-left", (121, 122, 122, 120, 123), AFTER, "10", **changes)
    return before + after


def test_polishing_in_sentence_chart_and_table():
    """Removed 125 - 121.6 = 3.4; s 1.581 and 1.140, n 5: U = 2 sqrt(s1²/5 + s2²/5) = 1.74 (GUM 5.1.2, DER)."""
    limit = factory.limit(kind="film_removal", min=None, max=Decimal("7.62"))
    found = blocks("film_thickness", *polished_door(), limits=(limit,))
    text = said(found)
    assert "Polishing took 3.4 ± 1.7 µm off the left front door (5 points); limit 7.62 µm: pass." in text
    assert "121.6 ± 1.0 µm remain in total on the left front door (mean of 5); at least 70 µm must stay: pass." in text
    (chart,) = [f for f in figures(found) if f.anchor == "film-removed"]
    assert {"125.0", "121.6", "-3.4 ± 1.7", "pass", "change (at most 7.62 taken off)"} <= set(printed(chart))
    (table,) = [b for b in found if isinstance(b, Table)]
    cells = ["".join(r.text for r in c).replace("\u00a0", " ") for c in table.rows[0].cells]
    assert cells[1:8] == ["5", "125.0 µm", "121.6 µm", "3.4 ± 1.7 µm", "0.87 µm", "7.62 µm", "pass"]


def test_polishing_without_a_limit_is_not_judged():
    found = blocks("film_thickness", *polished_door())
    assert "(5 points); no limit on record." in said(found)
    (table,) = [b for b in found if isinstance(b, Table)]
    assert "".join(r.text for r in table.rows[0].cells[7]) == "not judged"


def test_polishing_measured_with_an_instrument_out_of_calibration_proves_nothing():
    limit = factory.limit(kind="film_removal", min=None, max=Decimal("7.62"))
    found = blocks("film_thickness", *polished_door(instrument="OLD"), limits=(limit,))
    assert "Polishing took" not in said(found)
    assert not [b for b in found if isinstance(b, Table)]


@pytest.mark.parametrize(
    ("values", "rule", "words"),
    [
        # Panels of check_values 1.2 (OWN), nominal 120.
        ((125, 131, 118, 122, 126, 127, 121, 133, 120, 124), "strict", ": accepted;"),
        ((125, 131, 118, 122, 97, 127, 121, 133, 120, 124), "strict", "not accepted (too large a share of low readings)"),
        ((125, 131, 118, 122, 97, 127, 121, 133, 120, 124), "lenient", ": accepted;"),
        ((125, 131, 128, 122, 95, 127, 121, 133, 120, 124), "lenient", "not accepted (single reading below the floor)"),
    ],
)
def test_new_paint_by_the_rule_of_the_job(values, rule, words):
    painted = factory.step(id="020-paint", number=20, operation=Operation.PAINT)
    found = blocks(
        "film_thickness", *film("bonnet", values, AFTER, "20"), steps=(painted,),
        limits=(factory.limit(kind="film_nominal", min=Decimal(120), max=None),), settings={"film_acceptance": rule},
    )  # fmt: skip
    assert words in said(found)
    assert "borrowed" in said(found)
    (drawn,) = [f for f in figures(found) if f.anchor.startswith("film")]
    assert "after paint" in printed(drawn)


def test_maps_of_one_job_share_their_scale():
    painted = factory.step(id="020-paint", number=20, operation=Operation.PAINT)
    found = blocks("film_thickness", *whole_car(), *film("bonnet", (145, 146), AFTER, "20"), steps=(painted,))
    first, later = [f for f in figures(found) if f.anchor.startswith("film-")]
    assert (first.anchor, later.anchor) == ("film-arrival", "film-later")
    assert "on the scale of the map above" in "".join(r.text for r in later.caption)

    def fill(figure):
        (colour,) = {i.fill for i in figure.drawing.items if isinstance(i, Path) and i.title == "Bonnet"}
        return colour

    alone = blocks("film_thickness", *film("bonnet", (145, 146), AFTER, "20"), steps=(painted,))
    assert fill(later) != fill(first)
    assert fill(later) != fill(next(f for f in figures(alone) if f.anchor.startswith("film-")))


def test_no_plan_without_a_body():
    car = Vehicle(place=factory.key("vehicle"), marque="Arvane", model="Tourer")
    found = blocks("film_thickness", *whole_car(), vehicle=car)
    assert not figures(found)
    assert "On arrival the film was measured" in said(found)


# -- gloss, colour -----------------------------------------------------------------------------------------------------


def gloss(values, stage, **changes):
    return film("roof", values, stage, "10", kind="gloss_20", unit="GU", **changes)


def test_gloss_gain_with_its_uncertainty():
    found = blocks("gloss_20", *gloss((16, 17, 15), BEFORE), *gloss((80, 81, 82), AFTER))
    assert "Gloss at 20° on the roof went from 16.0 to 81.0 GU: a gain of 65.0 ± 1.6 GU." in said(found)
    assert "+65.0 ± 1.6" in printed(figures(found)[0])


def test_gloss_with_one_side_alone_is_not_compared():
    found = blocks("gloss_20", *gloss((16, 17, 15), BEFORE))
    assert "gain" not in said(found)
    assert len(figures(found)) == 1


def colour(zone, point, lab, stage=AFTER):
    return factory.reading(kind="colour_lab", zone=zone, point=point, value=None, value_text=lab, unit="", stage=stage, step="10")


def test_colour_against_the_reference_panel():
    """Pair 4 of Sharma, Wu and Dalal (2005), Table 1: ΔE00 1.0000 (PUB-B)."""
    limit = factory.limit(kind="colour_lab", min=None, max=Decimal("1.0"), unit="")
    pair = (colour("roof", "reference", "50 -1.3802 -84.2814"), colour("bonnet", "centre", "50 0 -82.7485"))
    found = blocks("colour_lab", *pair, limits=(limit,))
    assert "differs by ΔE00 1.00 from the roof; limit at most 1.0: pass." in said(found)
    (claim,) = [b for b in found if isinstance(b, Claim)]
    assert [ref.label for ref in claim.evidence] == ["R002", "R001"]


def test_a_missing_angle_is_no_verdict():
    """ASTM E2194 asks for three angles (PUB-A)."""
    rows = [
        colour(zone, f"{point} {angle}", "50 0 0")
        for zone, point in (("roof", "reference"), ("bonnet", "centre"))
        for angle in (15, 45)
    ]
    assert "no verdict on the match, 110° not measured" in said(blocks("colour_lab", *rows))


# -- brakes, tyres, engine ---------------------------------------------------------------------------------------------


def disc(zone, values, stage=BEFORE, **changes):
    return tuple(
        factory.reading(kind="disc_thickness", zone=zone, value=v, unit="mm", point=str(n), stage=stage, step="10", **changes)
        for n, v in enumerate(values, 1)
    )


LEFT = ("10.152", "10.181", "10.187", "10.194", "10.214", "10.178", "10.180", "10.197")


def test_discs_by_point_thinnest_variation_and_sides():
    limit = factory.limit(kind="disc_thickness", min=Decimal("10.5"), max=None, unit="mm")
    right = tuple(str(Decimal(v) + Decimal("0.05")) for v in LEFT)
    found = blocks("disc_thickness", *disc("brake-front-left", LEFT), *disc("brake-front-right", right), limits=(limit,))
    text = said(found)
    assert "Disc of the left front brake, before the work: thinnest of 8 points 10.152 mm; minimum 10.5 mm: fail." in text
    assert "Thickness variation 0.062 mm." in text
    assert "lowest left 10.152 mm, lowest right 10.202 mm, 0.050 mm apart; at most 0.5 mm: pass." in text
    profiles, variation = figures(found)
    assert "all below the minimum 10.5" in printed(profiles)
    assert "not judged" in printed(variation)  # no limit of the car on record


def test_too_few_points_show_no_variation():
    found = blocks("disc_thickness", *disc("brake-front-left", LEFT[:3]))
    assert "variation" not in said(found)
    assert "no limit on record" in said(found)


def test_the_lowest_tread_decides_and_the_law_defers():
    rows = [
        factory.reading(kind="tyre_tread", zone="tyre-front-left", value=v, unit="mm", point=p, expanded_uncertainty=Decimal("0.1"))
        for v, p in (("3.1", "inner"), ("1.65", "middle"), ("2.9", "outer"))
    ]
    found = blocks("tyre_tread", *rows, settings={"tyre_jurisdiction": "EU"})
    (figure,) = figures(found)
    assert "1.65 ± 0.10" in printed(figure) or "1.6 ± 0.1" in printed(figure)
    assert "conditional pass" in printed(figure)
    assert "at least 1.6" in printed(figure)
    assert "law of the place where the car is used decides" in said(found)


def test_tyres_of_one_code_share_a_sentence():
    rows = [
        factory.reading(kind="tyre_date_code", zone=f"tyre-{z}", value=None, value_text="0301", unit="", point="")
        for z in ("front-left", "front-right")
    ]
    assert "as read on arrival: the left front tyre and the right front tyre: date code 0301, week 03 of 2001" in said(
        blocks("tyre_date_code", *rows)
    ).casefold()


def compression(values, stage, instrument):
    return tuple(
        factory.reading(kind="compression", zone="engine", value=v, unit="bar", point=f"cylinder {n}", stage=stage, instrument=instrument)
        for n, v in enumerate(values, 1)
    )


def test_compression_out_of_calibration_is_shown_and_left_out():
    found = blocks(
        "compression", *compression(("10.6", "10.8", "10.5"), INTAKE, "OLD"), *compression(("10.8", "10.9", "10.6"), HANDOVER, "G1"),
        limits=(factory.limit(kind="compression", min=Decimal(9), max=None, unit="bar"),),
    )  # fmt: skip
    text = said(found)
    assert "Compression, on leaving: 10.6 bar (cylinder 3) to 10.9 bar (cylinder 2); spread 2.8 % of the highest" in text
    assert "on arrival" not in text
    assert "3 of these readings (OLD) are marked “not evidence”" in text
    (figure,) = figures(found)
    assert {"not evidence", "pass"} <= set(printed(figure))


def test_brake_fluid_against_its_grade():
    """FMVSS 116 S5.1.2: DOT 4 wet boiling point 155 °C (PUB-A)."""
    row = factory.reading(kind="brake_fluid_boiling_point", zone="brake-hydraulics", value="142", unit="°C", detail="DOT 4", point="")
    assert "wet boiling point of DOT 4 at least 155 °C: fail" in said(blocks("brake_fluid_boiling_point", row))


def test_torques_and_the_check_a_wheel_fitting_opens():
    rows = [
        factory.reading(kind="tightening_torque", zone="wheel-front-left", value=v, unit="N·m", point=f"bolt {n}", stage=AFTER,
                        step="10", limit_min=Decimal(85), limit_max=Decimal(95), expanded_uncertainty=Decimal(2))
        for n, v in enumerate(("90", "94", "89"), 1)
    ]  # fmt: skip
    found = blocks("tightening_torque", *rows)
    text = said(found)
    assert "3 readings (89 to 94 N·m): 2 pass, 1 conditional pass" in text
    assert "checked again at 61,254 km, overdue at 61,304 km" in text
    assert "94 ± 2" in printed(figures(found)[0])  # the one that decides stands for the row


def test_values_in_two_units_are_not_drawn_on_one_axis():
    rows = [
        factory.reading(kind="tightening_torque", zone="wheel-front-left", value=v, unit=u, stage=AFTER, step="10")
        for v, u in (("90", "N·m"), ("66", "lbf·ft"))
    ]
    assert len(figures(blocks("tightening_torque", *rows))) == 2


# -- climate, cure -----------------------------------------------------------------------------------------------------


def climate(kind, value, unit, minute=0, **changes):
    on = datetime(2026, 3, 4, 9, minute, tzinfo=factory.CET)
    return factory.reading(kind=kind, value=value, unit=unit, stage=DURING, step="10", point="before base coat", on=on, **changes)


@pytest.mark.parametrize(("surface", "word"), [("20.1", "pass"), ("14.0", "fail")])
def test_the_surface_against_the_dew_point(surface, word):
    """At 21.4 °C and 56 % RH the dew point is 12.3 °C (Magnus, WMO-No. 8)."""
    rows = (
        climate("air_temperature", "21.4", "°C"), climate("relative_humidity", "56", "%RH"),
        climate("surface_temperature", surface, "°C", 5),
    )  # fmt: skip
    found = blocks("surface_temperature", *rows)
    assert f"surface {surface} °C, dew point 12.3 °C" in said(found)
    assert f"at least 3 °C asked for: {word}." in said(found)
    (claim,) = [b for b in found if isinstance(b, Claim)]
    assert sorted(ref.label for ref in claim.evidence) == ["R001", "R002", "R003"]


def test_no_dew_point_without_air_measured_near_it():
    rows = (climate("relative_humidity", "56", "%RH"), climate("surface_temperature", "20", "°C"))
    assert "dew point" not in said(blocks("surface_temperature", *rows))


def metal(log, **changes):
    start = datetime(2026, 3, 4, 10, 0, tzinfo=factory.CET)
    return tuple(
        factory.reading(kind="metal_temperature", value=str(v), unit="°C", stage=DURING, step="10", point="centre",
                        on=start + timedelta(minutes=m), **changes)
        for m, v in log
    )  # fmt: skip


LOG = ((0, 55), (5, 60), (15, 62), (20, 58), (25, 61), (40, 61))


@pytest.mark.parametrize(
    ("minutes", "unbroken", "words"),
    [
        (30, False, "for 30 min in all; 30 min asked for: reached. Schedule: product sheet."),
        (20, True, "for 15 min in one stretch; 20 min asked for: not reached."),
    ],
)
def test_the_cure_follows_its_schedule(minutes, unbroken, words):
    """The log of check_values 9 (OWN): 30 min in all, 15 min unbroken."""
    cure = Cure(place=factory.Place("steps/010-polish/step.toml"), metal_temperature_min=Decimal(60), minutes=Decimal(minutes),
                unbroken=unbroken, source="product sheet")  # fmt: skip
    found = blocks("metal_temperature", *metal(LOG), steps=(factory.step(cure=cure),))
    assert words in said(found)
    (figure,) = figures(found)
    shaded = [i for i in figure.drawing.items if isinstance(i, Path) and i.fill == "#f1e6cc"]
    assert len(shaded) == 2
    assert "30 min at or above 60 °C" in printed(figure)


def test_without_a_schedule_a_cure_is_drawn_and_not_judged():
    found = blocks("metal_temperature", *metal(LOG))
    assert "up to 62 °C; the step names no temperature and time to hold, so nothing is judged" in said(found)
    assert len(figures(found)) == 1


@given(
    st.lists(st.tuples(st.integers(0, 300), st.integers(20, 80)), min_size=2, max_size=20, unique_by=lambda p: p[0]),
    st.one_of(st.none(), st.integers(1, 60)),
)
def test_shaded_stretches_add_up_to_the_dwell(log, gap):
    log = sorted(log)
    start = datetime(2026, 3, 4, tzinfo=factory.CET)
    spans = dwell_spans([(float(m), Decimal(v)) for m, v in log], Decimal(60), gap)
    instants = [(start + timedelta(minutes=m), Decimal(v)) for m, v in log]
    found = dwell(instants, Decimal(60), longest_gap=timedelta(minutes=gap) if gap else None)
    assert sum(b - a for a, b in spans) == found.total.total_seconds() / 60
    assert max((b - a for a, b in spans), default=0) == found.longest.total_seconds() / 60
    assert all(one[1] < two[0] for one, two in pairwise(spans))


# -- any kind ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("approval", "words"),
    [("A1", "(accepted by Client on 2 March 2026)"), ("A9", "(no approval of it is on record)"), ("", "(no approval of it is on record)")],
)
def test_an_exception_is_said_with_who_accepted_it_when_and_why(approval, words):
    row = factory.reading(kind="panel_gap", zone="tailgate", value="6.1", unit="mm", point="left", limit_max=Decimal("5.5"),
                          exception="Hinges never moved.", approval=approval)  # fmt: skip
    found = blocks("panel_gap", row)
    assert f"Exception, the tailgate, left: Hinges never moved {words}." in said(found)
    assert "fail" in printed(figures(found)[0])
    if approval == "A1":
        assert any("approval-A1" in {ref.target for ref in b.evidence} for b in found if isinstance(b, Claim))


def test_grades_before_and_after():
    rows = [
        factory.reading(kind="rust_ri", zone="underside-front", value=None, value_text=v, unit="", stage=s, step="10", point="")
        for v, s in (("1", BEFORE), ("0", AFTER))
    ]
    assert "the underside, front: 1 before the work and 0 after the work." in said(blocks("rust_ri", *rows))


def test_a_kind_of_the_workshops_own_is_drawn_like_any_other():
    own = {"name": "seal_height", "title": "Height of the seal", "unit": "mm", "judged": "lower", "source": "own"}
    rows = [
        factory.reading(kind="seal_height", zone="seals", value=v, unit="mm", point=p, limit_min=Decimal(9), stage=AFTER)
        for v, p in (("11.8", "a"), ("8.7", "b"))
    ]
    found = blocks("seal_height", *rows, custom_kinds=(own,))
    assert "Height of the seal, after the work: 2 readings (8.7 to 11.8 mm): 1 pass, 1 fail." in said(found)
    assert "fail" in printed(figures(found)[0])


def test_an_unknown_kind_and_an_empty_job_give_nothing():
    assert blocks("no_such_kind", factory.reading(kind="no_such_kind")) == []
    assert reading_figures(build_view(factory.job(), (), None)) == ()


def test_every_sentence_names_its_evidence():
    job = replace(factory.job(steps=(factory.step(),)), readings=(*whole_car(), *polished_door(), *metal(LOG)))
    view = build_view(job, (), None)
    known = {ref.target for _r, ref in view.evidence.readings}
    for block in reading_figures(view):
        if isinstance(block, Claim):
            assert block.evidence
            assert {ref.target for ref in block.evidence} - {"section-readings"} <= known


# -- plans -------------------------------------------------------------------------------------------------------------


def test_the_plan_of_section_three_shows_grades_in_and_out():
    seen = (
        factory.observation(zone="bonnet", grade_in=Decimal(4), grade_out=Decimal(0)),
        factory.observation(id="O2", zone="bonnet", grade_in=Decimal(2), grade_out=Decimal(1)),
        factory.observation(id="O3", zone="carpets", grade_in=Decimal(3)),
        factory.observation(id="O4", zone="roof", what="not graded"),
    )
    (figure,) = condition_figures(build_view(factory.job(observations=seen), (), None))
    assert "4 → 1" in printed(figure)
    assert "Not on the plan: Carpets and floor coverings." in "".join(r.text for r in figure.caption)
    links = {i.link for i in figure.drawing.items if isinstance(i, Path) and i.link}
    assert links == {"zone-bonnet", "zone-roof"}
    bonnet, roof = (
        {i.fill for i in figure.drawing.items if isinstance(i, Path) and i.title == t} for t in ("Bonnet", "Roof")
    )
    assert bonnet.isdisjoint(roof)


def test_each_step_shows_where_it_worked():
    view = build_view(factory.job(), (), None)
    (figure,) = step_figures(view, factory.step(zones=("bonnet", "dashboard")))
    assert "bonnet, dashboard" in figure.drawing.alt
    assert step_figures(view, factory.step(zones=("whole",))) == []
    bike = replace(view, job=factory.job(vehicle=Vehicle(place=factory.key("vehicle"), body=Body.MOTORCYCLE)))
    assert step_figures(bike, factory.step(zones=("tank",)))
    assert step_figures(bike, factory.step(zones=("bonnet",))) == []
