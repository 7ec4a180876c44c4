"""The plan of a vehicle: its shapes, labels, links, and the small plan of a step."""

import math

import pytest

from buildbook.dossier.drawing import Label, Path
from buildbook.dossier.drawings.bodies import outline
from buildbook.dossier.drawings.hatch import hatch
from buildbook.dossier.drawings.plan import FULL_WIDTH, SMALL_WIDTH, lit_plan, plan, zones_drawn
from buildbook.dossier.drawings.shapes import Curve, area, bounds, closed, fit, inside, ring, rings, rounded
from buildbook.dossier.drawings.text import width as text_width
from buildbook.records.words import Body
from buildbook.records.zones import zone_title, zones_of

CARS = [b for b in Body if b is not Body.MOTORCYCLE]
OUTSIDE = ("panel", "glass", "lamp", "wheel", "tyre", "brake")
NOT_ON_PLAN = {"wheel-spare", "tyre-spare", "brake-hydraulics", "handbrake", "tank"}


def paths(drawing):
    return [item for item in drawing.items if isinstance(item, Path)]


def labels(drawing):
    return [item for item in drawing.items if isinstance(item, Label)]


@pytest.mark.parametrize("body", list(Body))
def test_every_outer_zone_of_a_body_has_a_shape(body):
    wanted = {z.name for z in zones_of(body) if z.group in OUTSIDE} - NOT_ON_PLAN
    if body is Body.MOTORCYCLE:
        wanted = (wanted | {"tank"}) - {"windscreen"}  # many have none; a plan that shows one would claim it
    assert wanted <= zones_drawn(body)


@pytest.mark.parametrize("body", list(Body))
def test_no_shape_stands_for_a_zone_the_body_lacks(body):
    assert zones_drawn(body, hidden=True) <= {z.name for z in zones_of(body)}


@pytest.mark.parametrize("body", list(Body))
def test_zone_shapes_are_closed_and_within_the_sheet(body):
    drawing = plan(body)
    for path in paths(drawing):
        if path.title:
            assert path.commands[0][0] == "M"
            assert path.commands[-1] == ("Z",)
            left, top, right, bottom = bounds(rings(path.commands))
            assert left >= -0.5
            assert top >= -0.5
            assert right <= drawing.width + 0.5
            assert bottom <= drawing.height + 0.5


@pytest.mark.parametrize("body", CARS)
def test_left_and_right_mirror_each_other(body):
    """The car's left lies below: front to the left of the sheet, as a driver facing left has it."""
    sizes = {}
    for part in outline(body).parts:
        if part.zone.endswith(("-left", "-right")) and part.role != "hidden":
            stem, side = part.zone.rsplit("-", 1)
            low = sum(r[0] > 0 for r in [bounds(rings(part.shape))[1:2]])
            sizes.setdefault((stem, side), []).append((round(sum(area(r) for r in rings(part.shape)), -1), low))
    for (stem, side), found in sizes.items():
        other = sizes[stem, "right" if side == "left" else "left"]
        assert sorted(s for s, _ in found) == sorted(s for s, _ in other)
    left_door = [p for p in outline(body).parts if p.zone == "door-front-left" and p.view == "left"]
    assert bounds(rings(left_door[0].shape))[1] > 0


@pytest.mark.parametrize("body", CARS)
def test_panels_of_a_side_do_not_overlap(body):
    """Neighbours share an edge and no area: points of a grid lie in one panel of the lower body at most."""
    panels = [
        rings(p.shape)
        for p in outline(body).parts
        if p.view == "left" and p.role == "paint" and p.zone.startswith(("wing-front", "door", "sill"))
    ]
    left, top, right, bottom = bounds([r for panel in panels for r in panel])
    step = 23.7
    hits = []
    for i in range(int((right - left) / step)):
        for j in range(int((bottom - top) / step)):
            point = (left + i * step, top + j * step)
            hits.append(sum(inside(point, panel) for panel in panels))
    assert max(hits) == 1


@pytest.mark.parametrize("body", list(Body))
def test_labels_stand_in_their_zone_or_are_led_out(body):
    names = sorted(z for z in zones_drawn(body) if z not in ("grille", "brightwork"))
    some = {name: (f"{100 + n} µm", "n 3") for n, name in enumerate(names[::4])}
    drawing = plan(body, labels=some)
    said = " ".join(label.text for label in labels(drawing))
    for n, name in enumerate(names[::4]):
        assert f"{100 + n} µm" in said, name
    for label in labels(drawing):
        assert label.size >= 7
        half = text_width(label.text, label.size) / 2
        start = label.x - {"start": 0, "middle": half, "end": 2 * half}[label.anchor]
        assert start > -1
        assert start + 2 * half < drawing.width + 1


@pytest.mark.parametrize("body", list(Body))
def test_labels_never_stand_on_each_other_however_many(body):
    names = sorted(zones_drawn(body))
    drawing = plan(body, labels={name: (f"{100 + n} µm", "n 12") for n, name in enumerate(names)})
    boxes = []
    for label in labels(drawing):
        wide = text_width(label.text, label.size)
        start = label.x - {"start": 0, "middle": wide / 2, "end": wide}[label.anchor]
        assert start > -1
        assert start + wide < drawing.width + 1
        assert 5 < label.y < drawing.height
        if label.text not in ("front", "rear", "left side", "right side"):
            boxes.append((start, label.y - 5.2, start + wide, label.y))
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (one, other)


def test_a_label_that_fits_stands_inside_its_panel():
    drawing = plan(Body.SALOON, labels={"bonnet": ("105 µm", "n 3")})
    bonnet = next(p for p in paths(drawing) if p.title == zone_title("bonnet"))
    for label in labels(drawing):
        if "105" in label.text or "n 3" in label.text:
            assert inside((label.x, label.y - 2), rings(bonnet.commands))


def test_a_label_that_does_not_fit_names_its_zone():
    drawing = plan(Body.ESTATE, labels={"pillar-left": ("115 µm", "n 3")})
    assert "Windscreen pillar, left: 115 µm, n 3" in [label.text for label in labels(drawing)]


def test_fills_links_and_titles_reach_every_shape_of_a_zone():
    drawing = plan(Body.ESTATE, fills={"wing-rear-left": "#123456"}, links={"wing-rear-left": "zone-wing-rear-left"})
    mine = [p for p in paths(drawing) if p.title == zone_title("wing-rear-left")]
    assert len(mine) >= 3  # side, above, rear
    assert {p.fill for p in mine} == {"#123456"}
    assert {p.link for p in mine} == {"zone-wing-rear-left"}
    others = [p for p in paths(drawing) if p.title != zone_title("wing-rear-left")]
    assert not any(p.link or p.fill == "#123456" for p in others)


def test_the_small_plan_marks_what_was_worked_on():
    lit = frozenset({"brake-front-left", "seat-front-left", "roof"})
    drawing = lit_plan(Body.ESTATE, lit)
    assert drawing is not None
    assert drawing.width == SMALL_WIDTH
    assert not labels(drawing)
    marked = {p.title for p in paths(drawing) if p.fill == "#e0a13c"}
    assert marked == {zone_title(z) for z in lit}
    assert "front seat, left" in drawing.alt


def test_no_small_plan_where_it_would_show_nothing():
    assert lit_plan(Body.ESTATE, frozenset({"whole"})) is None


def test_what_was_not_measured_is_hatched_within_its_outline():
    square = rounded((0, 0), (40, 0), (40, 30), (0, 30))
    lines = hatch(square, 5)
    ends = [(float(c[1]), float(c[2])) for c in lines]
    assert len(ends) >= 16
    assert all(-0.1 <= x <= 40.1 and -0.1 <= y <= 30.1 for x, y in ends)
    drawing = plan(Body.SALOON, hatched=frozenset({"roof"}), fills={"bonnet": "#ffffff"})
    assert any(len(p.commands) > 20 and all(c[0] in "ML" for c in p.commands) for p in paths(drawing))


def test_drawing_is_repeatable_and_has_its_width():
    assert plan(Body.VAN) == plan(Body.VAN)
    assert plan(Body.VAN).width == FULL_WIDTH


# -- shapes, held against geometry -------------------------------------------------------------------------------------


def test_circle_of_four_cubics_has_the_area_of_a_circle():
    """Within 0.1 %: the usual four-cubic circle is off by 0.027 % in radius at most (DER)."""
    made = rings(ring(0, 0, 10), 60)[0]
    assert area(made) == pytest.approx(math.pi * 100, rel=1e-3)


def test_a_cut_of_a_curve_lies_on_the_curve():
    curve = Curve((0, 0), (10, 4), (30, 5), (40, -2))
    for t in rings(closed(curve.start(3), curve.between(3, 33)), 12)[0][1:-1]:
        assert t[1] == pytest.approx(curve.at(t[0]), abs=1e-6)


def test_a_cut_backwards_is_the_same_line():
    curve = Curve((0, 0), (10, 4), (30, 5))
    forth = rings(closed(curve.start(2), curve.between(2, 28)), 10)[0]
    back = rings(closed(curve.start(28), curve.between(28, 2)), 10)[0]
    assert sorted(forth)[0] == pytest.approx(sorted(back)[0])
    assert area(forth) == pytest.approx(area(back))


def test_fit_finds_room_and_says_when_there_is_none():
    square = rounded((0, 0), (40, 0), (40, 30), (0, 30))
    assert fit(square, 20, 10) == pytest.approx((20, 15), abs=1)
    assert fit(square, 41, 10) is None
    covered = fit(square, 20, 10, [rounded((0, 0), (40, 0), (40, 16), (0, 16))])
    assert covered is not None
    assert covered[1] - 5 >= 16
