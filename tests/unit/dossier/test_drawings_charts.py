"""Charts: axes, strips against limits, dumbbells, courses, and what they say in words."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.dossier.drawing import Drawing, Label, Path
from buildbook.dossier.drawings.axis import Axis, axis_for, nice_step
from buildbook.dossier.drawings.change import ChangeRow, before_after
from buildbook.dossier.drawings.climate import ClimateRow, climate_strip
from buildbook.dossier.drawings.courses import log_curve, profile
from buildbook.dossier.drawings.film_map import classes_for, film_map
from buildbook.dossier.drawings.frame import FULL, HALF, beside
from buildbook.dossier.drawings.markers import WORDS, marker
from buildbook.dossier.drawings.palette import (
    BAD,
    BARRED,
    FAINT,
    GOOD,
    GUARD,
    INK,
    QUIET,
    WARN,
    WHITE,
    contrast,
    luminance,
)
from buildbook.dossier.drawings.shapes import bounds, rings
from buildbook.dossier.drawings.strips import StripRow, limits_strip
from buildbook.dossier.drawings.text import cut, wrapped
from buildbook.dossier.drawings.text import width as text_width
from buildbook.records.words import Body
from buildbook.trade.statistics import summarise

D = Decimal


def labels(drawing: Drawing) -> list[Label]:
    return [i for i in drawing.items if isinstance(i, Label)]


def texts(drawing: Drawing) -> list[str]:
    return [label.text for label in labels(drawing)]


def filled(drawing: Drawing, colour: str) -> list[tuple[float, float, float, float]]:
    return [bounds(rings(i.commands)) for i in drawing.items if isinstance(i, Path) and i.fill == colour]


def sound(drawing: Drawing) -> None:
    """Nothing too small to read, nothing off the sheet, and words for those who cannot see it."""
    assert drawing.alt.endswith(".")
    for label in labels(drawing):
        assert label.size >= 7
        wide = text_width(label.text, label.size)
        start = label.x - {"start": 0, "middle": wide / 2, "end": wide}[label.anchor]
        assert start > -1.5, label
        assert start + wide < drawing.width + 1.5, label
        assert 0 < label.y <= drawing.height, label
    for item in drawing.items:
        if isinstance(item, Path):
            left, top, right, bottom = bounds(rings(item.commands))
            assert left > -1, item
            assert right < drawing.width + 1, item
            assert top > -2, item
            assert bottom < drawing.height + 1, item


def strip_row(**changes):
    given = {"label": "Front tyre, left", "value": D("2.9"), "lower": D("1.6"), "uncertainty": D("0.1"), "word": "pass"}
    return StripRow(**(given | changes))


# -- axes --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rough", "step"), [(0.7, 1), (1, 1), (1.01, 2), (2.3, 5), (5.1, 10), (0.004, 0.005), (130, 200), (1e-9, 1e-9)]
)
def test_steps_are_one_two_five(rough, step):
    assert nice_step(rough) == pytest.approx(step)


@given(
    st.lists(st.floats(-1e6, 1e6, allow_nan=False), min_size=1, max_size=20),
    st.floats(60, 400),
)
def test_an_axis_holds_its_values_on_round_ticks(values, length):
    axis = axis_for(values, 0, length)
    assert all(axis.low <= v <= axis.high for v in values)
    assert len(axis.ticks) >= 1
    for tick in axis.ticks:
        assert tick / axis.step == pytest.approx(round(tick / axis.step), abs=1e-6)
        assert -1e-6 <= axis.at(tick) <= length + 1e-6
    assert f"{axis.step:e}"[0] in "125"


def test_tick_labels_show_what_tells_them_apart():
    assert Axis(0, 1, 0.05, 0, 100).label(0.05) == "0.05"
    assert Axis(0, 5000, 1000, 0, 100).label(4000.0) == "4,000"
    assert Axis(-10, 10, 5, 0, 100).label(-5.0) == "−5"


# -- markers -----------------------------------------------------------------------------------------------------------


def test_every_word_has_a_shape_of_its_own():
    """Without colour: outlines and whether they are filled differ."""
    shapes = {
        word: tuple((p.commands, p.fill is None, p.fill == WHITE) for p in marker(word, 0, 0)) for word in WORDS
    }
    assert len(set(shapes.values())) == len(WORDS)


@pytest.mark.parametrize("colour", [GOOD, WARN, BAD, QUIET, INK])
def test_verdict_colours_are_readable_on_paper_and_tints(colour):
    """WCAG 2.1, 1.4.3."""
    assert all(contrast(colour, ground) >= 4.5 for ground in (WHITE, BARRED, GUARD, FAINT))


def test_tints_stay_light_in_grey():
    assert min(luminance(t) for t in (BARRED, GUARD)) > 0.75


# -- strips ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [FULL, HALF])
@pytest.mark.parametrize("word", WORDS)
def test_a_strip_prints_its_word(word, width):
    drawing = limits_strip([strip_row(word=word)], quantity="Tread depth", unit="mm", width=width)
    sound(drawing)
    assert word in texts(drawing)
    assert drawing.width == width


def test_a_strip_says_value_limit_and_unit():
    drawing = limits_strip([strip_row()], quantity="Tread depth", unit="mm")
    assert {"2.9 ± 0.1", "at least 1.6", "Tread depth, mm", "Front tyre, left", "pass"} <= set(texts(drawing))
    assert "2.9 mm" in drawing.alt


def test_the_guard_band_lies_inside_the_limit_and_is_as_wide_as_u():
    """JCGM 106 and ILAC-G8: acceptance limits lie inside the tolerance limits by w = U."""
    drawing = limits_strip(
        [strip_row(value=D(90), lower=D(85), upper=D(95), uncertainty=D(2))], quantity="Torque", unit="N·m"
    )
    (low, high) = sorted(filled(drawing, GUARD))
    beyond = sorted(filled(drawing, BARRED))
    scale = (high[2] - low[0]) / 10  # points for 1 N·m: from 85 to 95
    assert low[0] == pytest.approx(beyond[0][2])
    assert high[2] == pytest.approx(beyond[1][0])
    assert low[2] - low[0] == pytest.approx(2 * scale)
    assert high[2] - high[0] == pytest.approx(2 * scale)


def test_a_lower_limit_bars_what_is_below_and_an_upper_what_is_above():
    lower = limits_strip([strip_row(uncertainty=None)], quantity="Tread", unit="mm")
    upper = limits_strip([strip_row(lower=None, upper=D(4), uncertainty=None)], quantity="Tread", unit="mm")
    assert filled(lower, BARRED)[0][2] < filled(lower, GOOD)[0][0]
    assert filled(upper, BARRED)[0][0] > filled(upper, GOOD)[0][2]


def test_no_uncertainty_draws_no_guard_band():
    assert not filled(limits_strip([strip_row(uncertainty=None)], quantity="Tread", unit="mm"), GUARD)


def test_rows_of_one_limit_share_its_words_and_others_get_their_own():
    rows = [strip_row(), strip_row(), strip_row(lower=D(3))]
    said = texts(limits_strip(rows, quantity="Tread", unit="mm"))
    assert said.count("at least 1.6") == 1
    assert said.count("at least 3") == 1


def test_a_strip_with_links_leads_to_its_readings():
    drawing = limits_strip([strip_row(link="reading-53")], quantity="Tread", unit="mm")
    (path,) = [i for i in drawing.items if isinstance(i, Path) and i.link]
    assert path.link == "reading-53"
    assert path.title == "Front tyre, left: 2.9 ± 0.1, pass"


def test_user_text_is_cut_not_dropped():
    long = "Windscreen pillar, left · before the work · a point with a very long name indeed, longer than two lines " * 2
    drawing = limits_strip([strip_row(label=long)], quantity="Tread", unit="mm")
    sound(drawing)
    first, second = texts(drawing)[1:3]
    assert second.endswith("…")
    assert long.startswith(f"{first} {second[:-1]}")
    assert cut("short", 100) == "short"


def test_a_long_name_takes_two_lines():
    name = "Front brake, left · before the work · 10 mm in from the edge"
    drawing = limits_strip([strip_row(label=name)], quantity="Runout", unit="mm")
    sound(drawing)
    assert texts(drawing)[1:3] == ["Front brake, left · before the work ·", "10 mm in from the edge"]
    assert wrapped("short", 100) == ["short"]
    assert len(wrapped("南空" * 30, 200)) == 2
    assert all(text_width(part) <= 200 for part in wrapped("南空" * 30, 200))


numbers = st.decimals(min_value=-10000, max_value=10000, places=3)


@given(
    st.lists(
        st.builds(
            StripRow,
            label=st.text(max_size=40).map(lambda t: t.replace("\n", " ")),
            value=numbers,
            uncertainty=st.one_of(st.none(), st.decimals(min_value="0.001", max_value=500, places=3)),
            lower=st.one_of(st.none(), st.decimals(min_value=-10000, max_value=0, places=2)),
            upper=st.one_of(st.none(), st.decimals(min_value=1, max_value=10000, places=2)),
            word=st.sampled_from(WORDS),
        ),
        min_size=1,
        max_size=8,
    )
)
def test_any_rows_make_a_sound_strip(rows):
    sound(limits_strip(rows, quantity="Quantity", unit="µm"))


def test_empty_charts_are_refused():
    for make in (
        lambda: limits_strip([], quantity="Q", unit="mm"),
        lambda: before_after([], quantity="Q", unit="mm"),
        lambda: profile([], title="T", unit="mm"),
        lambda: log_curve([(0, D(1))], title="T", start="10:00"),
        lambda: climate_strip([]),
        lambda: classes_for([]),
    ):
        with pytest.raises(ValueError, match=r"needs|no thickness"):
            make()


# -- before and after --------------------------------------------------------------------------------------------------


def change_row(**changes):
    before, after = summarise([D("118"), D("119"), D("120")]), summarise([D("115"), D("115.5"), D("116")])
    given = {
        "label": "Bonnet", "before": before, "after": after, "change": after.mean - before.mean,
        "uncertainty": D("1.93"), "word": "pass",
    }  # fmt: skip
    return ChangeRow(**(given | changes))


def test_a_dumbbell_prints_both_means_and_the_change_with_its_sign():
    drawing = before_after([change_row()], quantity="Film thickness", unit="µm", limit="at most 7.6 taken off")
    sound(drawing)
    assert {"119.0", "115.5", "−3.5 ± 1.9", "pass", "before", "after"} <= set(texts(drawing))
    gain = change_row(change=D("64.33"), uncertainty=D("0.91"), word="")
    assert "+64.3 ± 0.9" in texts(before_after([gain], quantity="Gloss", unit="GU"))


def test_single_readings_have_no_uncertainty_bar():
    one = summarise([D(50)])
    drawing = before_after(
        [change_row(before=one, after=summarise([D(60)]), change=D(10), uncertainty=None)], quantity="Gloss", unit="GU"
    )
    sound(drawing)
    assert "+10.0" in texts(drawing)


# -- courses -----------------------------------------------------------------------------------------------------------

DISC = [D(v) for v in ("10.152", "10.181", "10.187", "10.194", "10.214", "10.178", "10.180", "10.197")]


@pytest.mark.parametrize(
    ("minimum", "says"),
    [(D("10.5"), "all below the minimum 10.5"), (D("9.0"), "minimum 9.0 lies below"), (D("10.17"), "minimum 10.17")],
)
def test_a_profile_says_where_its_minimum_lies(minimum, says):
    points = [(str(n), v, D("0.004")) for n, v in enumerate(DISC, 1)]
    drawing = profile(points, title="Front left, before", unit="mm", minimum=minimum)
    sound(drawing)
    assert says in texts(drawing)
    assert "10.152" in texts(drawing)
    assert "10.152 to 10.214 mm at 8 points" in drawing.alt


def test_profiles_of_one_span_can_be_compared():
    points = [(str(n), v, None) for n, v in enumerate(DISC, 1)]
    flat = [(str(n), D("12.700") + D(n % 2) / 1000, None) for n in range(1, 9)]
    both = [profile(p, title="T", unit="mm", span=D("0.08")) for p in (points, flat)]
    heights = []
    for drawing in both:
        line = next(i for i in drawing.items if isinstance(i, Path) and len(i.commands) == 8)
        heights.append(bounds(rings(line.commands)))
    rough, smooth = (h[3] - h[1] for h in heights)
    assert rough / smooth == pytest.approx(62, rel=0.35)  # 0.062 mm against 0.001 mm; the axes end on round ticks


def test_a_course_shades_the_dwell_where_it_was():
    log = [(5.0 * n, D(v)) for n, v in enumerate((24, 41, 55, 61, 62, 62, 63, 62, 62, 61, 48))]
    drawing = log_curve(log, title="Bonnet", start="11:00", threshold=D(60), spans=[(15, 50)], dwell="35 min at 60 °C")
    sound(drawing)
    (shade,) = filled(drawing, "#f1e6cc")
    across = drawing.width - 8 - 34
    assert shade[0] == pytest.approx(34 + across * 15 / 50)
    assert shade[2] == pytest.approx(34 + across)
    assert "35 min at 60 °C" in texts(drawing)
    assert "60 °C" in texts(drawing)


def test_climate_prints_margin_and_word():
    row = ClimateRow(
        label="before base coat", surface=D("20.1"), dew_point=D("12.3"), margin=D("7.8"), least=D(3), word="pass",
        uncertainty=D("0.8"),
    )  # fmt: skip
    drawing = climate_strip([row])
    sound(drawing)
    assert {"7.8 above", "pass", "dew point", "dew point + 3", "surface", "Temperature, °C"} <= set(texts(drawing))


def test_drawings_beside_each_other_keep_their_words_and_do_not_overlap():
    points = [(str(n), v, None) for n, v in enumerate(DISC, 1)]
    three = [profile(points, title=t, unit="mm") for t in ("one", "two", "three")]
    sheet = beside(three)
    sound(sheet)
    assert sheet.width == FULL
    assert sum(len(d.items) for d in three) == len(sheet.items)
    assert all(d.alt in sheet.alt for d in three)


# -- film map ----------------------------------------------------------------------------------------------------------


def film(**means):
    return {zone.replace("_", "-"): summarise([D(v) - 1, D(v), D(v) + 1]) for zone, v in means.items()}


def test_classes_are_round_hold_the_values_and_leave_an_outlier_open():
    classes = classes_for([D(v) for v in (105, 115, 119, 121, 125, 122, 124, 230, 131)])
    assert classes.edges[0] <= 105
    steps = {b - a for a, b in zip(classes.edges, classes.edges[1:], strict=False)}
    assert steps == {D(10)}
    assert classes.open_top
    assert classes.colour(D(230)) == classes.colours[-1]
    assert classes.colour(D(105)) != classes.colour(D(115))
    assert classes.colour(D(110)) == classes.colour(D("119.9"))
    assert len(classes.colours) <= 8


@given(st.lists(st.decimals(min_value=0, max_value=3000, places=1), min_size=1, max_size=30))
def test_any_thicknesses_have_classes(values):
    classes = classes_for(values)
    assert 1 <= len(classes.colours) <= 8
    assert classes.edges[0] <= min(values)
    assert len(classes.colours) == len(classes.edges) - 1 + classes.open_top
    assert classes.open_top == (max(values) >= classes.edges[-1])
    assert all(classes.colour(v) in classes.colours for v in values)


@pytest.mark.parametrize("body", [b for b in Body if b is not Body.MOTORCYCLE])
def test_a_film_map_prints_mean_and_n_and_hatches_the_rest(body):
    values = film(bonnet=105, door_front_left=125, wing_rear_right=230)
    drawing = film_map(body, values, title="at intake")
    said = " ".join(texts(drawing))
    for text in ("105", "125", "230", "n 3", "Film thickness, mean, µm", "not measured", "at intake"):
        assert text in said
    classes = classes_for(s.mean for s in values.values())
    mine = {i.fill for i in drawing.items if isinstance(i, Path) and i.title == "Bonnet"}
    assert mine == {classes.colour(D(105))}
    assert not any(i.fill in classes.colours for i in drawing.items if isinstance(i, Path) and i.title == "Sill, left")
    assert "from 105 µm (bonnet) to 230 µm (rear wing, right)" in drawing.alt


def test_a_map_names_what_it_cannot_show():
    drawing = film_map(Body.ESTATE, film(bonnet=105, bulkhead=90), left_out=frozenset({"roof"}))
    assert "Not on the plan: bulkhead and chassis plate." in drawing.alt
    assert "Left out, not evidence: roof." in drawing.alt


def test_two_maps_share_their_classes():
    before, after = film(bonnet=105, roof=115), film(bonnet=145, roof=110)
    classes = classes_for(s.mean for v in (before, after) for s in v.values())
    maps = [film_map(Body.ESTATE, v, classes=classes) for v in (before, after)]
    swatches = [[i for i in m.items if isinstance(i, Path) and not i.title][-len(classes.colours) - 2 :] for m in maps]
    assert swatches[0] == swatches[1]
    assert [s.fill for s in swatches[0]][: len(classes.colours)] == list(classes.colours)
