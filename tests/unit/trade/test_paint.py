"""Film, spots, gloss, colour, degradation at their edges."""

from decimal import Decimal

import pytest

from buildbook.trade.colour import Lab, colour_band, delta_e_2000, multi_angle, parse_lab
from buildbook.trade.degradation import (
    got_worse,
    iso2409_class,
    nearest_ri,
    parse_cross_cut,
    parse_d610,
    parse_d714,
    parse_iso4628,
)
from buildbook.trade.faults import TradeError
from buildbook.trade.film import (
    FilmSettings,
    accept_80_20,
    judge_remaining,
    judge_removal,
    removal,
    removal_at_points,
    signs_of_repair,
    too_thin,
)
from buildbook.trade.film_spots import judge_area, spot_limits, spot_plan
from buildbook.trade.gloss import gloss_change, proposed_angle
from buildbook.trade.statistics import summarise

D = Decimal


def numbers(text: str) -> list[Decimal]:
    return [D(part) for part in text.split()]


def test_maximum_and_bad_nominal() -> None:
    assert accept_80_20(numbers("130 400"), D(120), maximum=D(360)).reasons == ("single reading above the maximum",)
    with pytest.raises(TradeError):
        accept_80_20(numbers("130"), D(0))
    with pytest.raises(TradeError):
        accept_80_20([], D(120))


def test_removal_only_at_points_measured_both_times() -> None:
    before = {"A": D(120), "B": D(118), "C": D(119)}
    after = {"A": D(117), "B": D(114), "D": D(90)}
    found = removal_at_points(before, after)
    assert found.points == ("A", "B")
    assert (found.only_before, found.only_after) == (("C",), ("D",))
    assert found.removal.removed == D("3.5")
    with pytest.raises(TradeError, match="No point"):
        removal_at_points({"A": D(1)}, {"B": D(1)})


def test_single_readings_leave_uncertainty_unknown() -> None:
    one, other = summarise([D(120)]), summarise([D(115)])
    assert removal(one, other).expanded is None
    assert "uncertainty not considered" in judge_removal(removal(one, other), D(6)).statement
    known = removal(one, other, u_gauge=D(1))
    assert known.u is not None
    assert round(known.u, 4) == D("1.4142")
    assert judge_removal(known, D(6)).word == "conditional pass"


def test_polishing_adds_nothing() -> None:
    assert removal(summarise([D(100)]), summarise([D(104)])).grown
    # within the uncertainty it is no contradiction
    assert not removal(summarise(numbers("98 102")), summarise(numbers("99 103"))).grown


def test_remaining_film() -> None:
    after = summarise(numbers("84 86 85 85"))
    assert judge_remaining(after, D(80)).word == "pass"
    assert judge_remaining(after, D("84.9")).word == "conditional pass"
    assert judge_remaining(summarise([D(85)]), D(80)).expanded_uncertainty is None


PANELS = {
    "bonnet": numbers("118 121 119"),
    "roof": numbers("112 110 111"),
    "door_left": numbers("122 119 121"),
    "door_right": numbers("310 305 300"),
    "wing_left": numbers("120 118 119"),
    "wing_right": numbers("90 121 150"),
}


def test_signs_of_repair_are_a_comparison_never_a_fact() -> None:
    found = signs_of_repair(PANELS)
    assert [panel.panel for panel in found] == ["door_right", "wing_right"]
    assert found[0].signs == ("ratio", "difference")
    assert found[0].statement.startswith("thicker than this car's own median by 185 µm; consistent with")
    assert "cannot prove" in found[0].statement
    assert found[1].signs == ("spread",)
    assert found[1].statement.startswith("uneven (s = 30 µm); consistent with")
    assert all("was repainted" not in panel.statement for panel in found)


def test_thresholds_are_settings_and_need_enough_panels() -> None:
    few = dict(list(PANELS.items())[2:5])
    assert signs_of_repair(few) == ()
    lax = FilmSettings(ratio=D(5), above_median=D(500), spread=D(50))
    assert signs_of_repair(PANELS, lax) == ()
    # on the threshold is not beyond it
    level = {name: [D(100)] for name in "abcd"}
    assert signs_of_repair({**level, "e": [D(150)]}) == ()
    assert signs_of_repair({**level, "e": [D("150.1")]})[0].signs == ("ratio", "difference")


def test_thin_panels_by_their_lowest_reading() -> None:
    assert too_thin({"roof": numbers("110 79"), "bonnet": numbers("80 120"), "door": numbers("60 130")}) == (
        ("door", D(60)),
        ("roof", D(79)),
    )


def test_area_of_spots() -> None:
    good = [numbers("8 9 10")] * 5
    assert judge_area(good, D(8), D(12)).accepted is True
    assert judge_area(good[:4], D(8), D(12)).accepted is None
    assert judge_area([numbers("8 9")] * 5, D(8), D(12)).accepted is None
    low = judge_area([numbers("6 6 6"), *[numbers("10 10 10")] * 4], D(8), D(12))
    assert (low.accepted, low.reasons) == (False, ("spot below 80 % of the minimum",))
    high = judge_area([numbers("14.5 14.5 14.5"), *[numbers("10 10 10")] * 4], D(8), D(12))
    assert high.reasons == ("spot above 120 % of the maximum",)
    # single gauge readings are not judged: a spot of 1 and 19 has mean 10
    assert judge_area([numbers("1 10 19")] * 5, D(8), D(12)).accepted is True
    assert judge_area([numbers("7 7 7")] * 5, D(8), D(12)).reasons == ("area mean outside the specified range",)
    with pytest.raises(TradeError):
        judge_area([], D(8), D(12))
    with pytest.raises(TradeError):
        spot_limits(D(12), D(8))
    with pytest.raises(TradeError):
        spot_plan(D(0))
    with pytest.raises(TradeError):
        spot_plan(D(5), "acre")


def test_gloss_refusals() -> None:
    with pytest.raises(TradeError, match="standard angle"):
        gloss_change(45, D(10), 45, D(20))
    with pytest.raises(TradeError):
        proposed_angle(D(-1))
    assert gloss_change(20, D(0), 20, D(50)).retention is None


def test_colour_is_read_and_refused() -> None:
    assert parse_lab("52.31 −12.4; 8.05") == Lab(D("52.31"), D("-12.4"), D("8.05"))
    assert parse_lab("52.31/-12.4/8.05").b == D("8.05")
    for text in ("", "52 1", "52,3 1 2", "a b c", "1 2 3 4", "523.1 1 2", "52 400 2", "NaN 1 2"):
        with pytest.raises(TradeError) as caught:
            parse_lab(text)
        assert caught.value.fix


def test_worst_angle_decides_and_a_missing_angle_is_no_verdict() -> None:
    grey = Lab(D(50), D(0), D(0))
    near, far = Lab(D("50.2"), D(0), D(0)), Lab(D(54), D(0), D(0))
    reference = {15: grey, 45: grey, 110: grey}
    found = multi_angle(reference, {15: near, 45: near, 110: far}, D(1))
    assert (found.worst_angle, found.missing) == (110, ())
    assert found.decision is not None
    assert found.decision.word == "fail"
    assert found.decision.value == delta_e_2000(grey, far)
    short = multi_angle(reference, {15: near, 45: near}, D(1))
    assert (short.decision, short.missing) == (None, (110,))
    assert multi_angle({}, {}, D(1)).worst_angle is None
    # one angle is enough for a solid colour
    solid = multi_angle({45: grey}, {45: near}, D(1), required=(45,))
    assert solid.decision is not None
    assert solid.decision.within
    with pytest.raises(TradeError):
        multi_angle(reference, reference, D(1), required=())


def test_colour_bands() -> None:
    assert [colour_band(D(v)) for v in ("1.0", "1.01", "2.0", "2.01")] == ["match", "blend", "blend", "rework"]


def test_iso_4628_grades() -> None:
    assert parse_iso4628("2(S3)").code == "2(S3)"
    assert parse_iso4628("3 (s2) A", depth_allowed=True).code == "3(S2)a"
    assert parse_iso4628("Ri 3").quantity == 3
    assert parse_iso4628("2.5", half_steps=True).words == "between few and moderate"
    assert parse_iso4628("3.0").words == "moderate"
    for text in ("6", "2.5", "2(S6)", "0(S3)", "3(S2)a", "", "5.5", "-1"):
        with pytest.raises(TradeError) as caught:
            parse_iso4628(text)
        assert caught.value.fix
    with pytest.raises(TradeError):
        parse_iso4628("5.5", half_steps=True)


def test_astm_grades() -> None:
    grade, spread = parse_d610("7-p")
    assert (grade, spread is not None and spread.value) == (7, "pinpoint")
    assert parse_d610("10") == (10, None)
    assert parse_d714("8md") == (8, "MD")
    assert parse_d714("6F") == (6, "F")
    assert parse_d714("10") == (10, None)
    valid = [f"{size}{letters}" for size in (2, 4, 6, 8) for letters in ("F", "M", "MD", "D")]
    assert len({parse_d714(text) for text in valid}) == 16
    for parse, texts in ((parse_d610, ("11", "10S", "0-G", "7X")), (parse_d714, ("10F", "6", "7F", "5D", "MD"))):
        for text in texts:
            with pytest.raises(TradeError) as caught:
                parse(text)
            assert caught.value.fix


def test_cross_cut_and_areas_refused() -> None:
    for text in ("6", "6B", "B", ""):
        with pytest.raises(TradeError):
            parse_cross_cut(text)
    for percent in ("-0.1", "100.1", "NaN"):
        with pytest.raises(TradeError):
            nearest_ri(D(percent))
        with pytest.raises(TradeError):
            iso2409_class(D(percent))


@pytest.mark.parametrize(
    ("name", "before", "after", "worse"),
    [
        ("rust_ri", "2", "3", True),
        ("rust_ri", "3", "0", False),
        ("rust_d610", "7-S", "10", False),
        ("rust_d610", "10", "7-S", True),
        ("cross_cut", "1", "4B", False),
        ("cross_cut", "5B", "2", True),
        ("flaking", "2(S2)a", "3(S2)a", True),
        ("blistering_d714", "8F", "6F", True),
    ],
)
def test_which_way_a_scale_runs(name: str, before: str, after: str, worse: bool) -> None:
    assert got_worse(name, before, after) is worse
