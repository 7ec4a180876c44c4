"""Properties that hold for any numbers."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from buildbook.trade.brakes import judge_disc, judge_thickness_variation
from buildbook.trade.climate import dew_point
from buildbook.trade.colour import Lab, delta_e_2000
from buildbook.trade.curing import dwell
from buildbook.trade.decision import judge
from buildbook.trade.degradation import d610_grade, iso2409_class, nearest_ri
from buildbook.trade.engine import compare_cylinders
from buildbook.trade.film import ShareRule, accept_80_20, signs_of_repair
from buildbook.trade.odometer import OdometerReading, doubts
from buildbook.trade.statistics import summarise
from buildbook.trade.tyres import judge_tread
from buildbook.trade.units import Unit, convert, convert_difference, known_units
from buildbook.trade.vin import check_digit, classify, normalised

D = Decimal
# No deadline: the first conversion imports the units library.
quiet = settings(deadline=None)


def decimals(low: str, high: str, places: int = 3) -> st.SearchStrategy[Decimal]:
    return st.decimals(D(low), D(high), allow_nan=False, allow_infinity=False, places=places)


UNITS = st.sampled_from([unit for unit in known_units() if unit.dimension != "temperature"])
THERMOMETERS = st.sampled_from([unit for unit in known_units() if unit.dimension == "temperature"])
FILM = st.lists(decimals("1", "900", 1), min_size=1, max_size=30)


@st.composite
def unit_pairs(draw: st.DrawFn) -> tuple[Unit, Unit]:
    one = draw(UNITS)
    return one, draw(st.sampled_from([unit for unit in known_units() if unit.dimension == one.dimension]))


@quiet
@given(unit_pairs(), decimals("-1000000", "1000000", 6))
def test_units_round_trip(pair: tuple[Unit, Unit], value: Decimal) -> None:
    one, other = pair
    back = convert(convert(value, one, other), other, one)
    assert abs(back - value) <= abs(value) * D("1e-25")
    assert convert_difference(value, one, other) == convert(value, one, other)


@quiet
@given(THERMOMETERS, THERMOMETERS, decimals("-273", "2000"))
def test_temperatures_round_trip(one: Unit, other: Unit, value: Decimal) -> None:
    back = convert(convert(value, one, other), other, one)
    assert abs(back - value) <= D("1e-20")


@quiet
@given(unit_pairs(), decimals("0", "100000"), decimals("0", "100000"))
def test_conversion_keeps_order(pair: tuple[Unit, Unit], low: Decimal, high: Decimal) -> None:
    low, high = sorted((low, high))
    assert convert(low, *pair) <= convert(high, *pair)


@given(FILM.flatmap(lambda values: st.tuples(st.just(values), st.permutations(values))))
def test_order_of_readings_changes_nothing(pair: tuple[list[Decimal], list[Decimal]]) -> None:
    one, other = pair
    assert summarise(one) == summarise(other)
    for rule in ShareRule:
        assert accept_80_20(one, D(120), rule=rule) == accept_80_20(other, D(120), rule=rule)
    assert judge_disc(one, D(26)) == judge_disc(other, D(26))
    assert judge_tread(one, "EU") == judge_tread(other, "EU")
    if len(one) >= 4:
        assert judge_thickness_variation(one, D("0.015")) == judge_thickness_variation(other, D("0.015"))
        panels, mixed = ({str(i): [v] for i, v in enumerate(one)} for _ in range(2))
        backwards = dict(reversed(list(mixed.items())))
        assert signs_of_repair(panels) == signs_of_repair(backwards)
        pressures = {str(i): v for i, v in enumerate(one)}
        assert compare_cylinders(pressures) == compare_cylinders(dict(reversed(list(pressures.items()))))


@given(
    st.lists(st.tuples(st.integers(0, 600), decimals("0", "100", 1)), min_size=1, unique_by=lambda row: row[0])
    .flatmap(lambda rows: st.tuples(st.just(rows), st.permutations(rows)))
)  # fmt: skip
def test_order_of_a_log_changes_nothing(pair: tuple[list[tuple[int, Decimal]], list[tuple[int, Decimal]]]) -> None:
    start = datetime(2026, 3, 1, tzinfo=UTC)
    one, other = ([(start + timedelta(minutes=at), value) for at, value in rows] for rows in pair)
    found = dwell(one, D(60))
    assert found == dwell(other, D(60))
    span = max(at for at, _ in one) - min(at for at, _ in one)
    assert timedelta(0) <= found.longest <= found.total <= span
    assert dwell(one, D(61)).total <= found.total


READINGS = st.lists(
    st.builds(
        OdometerReading, st.dates(), decimals("0", "999999", 0), st.sampled_from(["km", "mi"])
    ),
    max_size=8,
)  # fmt: skip


@given(READINGS.flatmap(lambda values: st.tuples(st.just(values), st.permutations(values))))
def test_order_of_odometer_rows_changes_nothing(pair: tuple[list[OdometerReading], list[OdometerReading]]) -> None:
    one, other = pair
    days = [(reading.on, reading.km) for reading in one]
    assume(len(set(days)) == len(days))
    assert doubts(one) == doubts(other)


@given(
    decimals("-50", "50"),
    decimals("-50", "50"),
    decimals("-100", "100"),
    decimals("-100", "100"),
    st.none() | decimals("0", "40"),
)
def test_nearer_the_middle_is_never_worse(
    limit: Decimal, other: Decimal, one: Decimal, two: Decimal, uncertainty: Decimal | None
) -> None:
    low, high = sorted((limit, other))
    middle = (low + high) / 2
    near, far = sorted((one, two), key=lambda value: abs(value - middle))
    inner = judge(near, lower=low, upper=high, expanded_uncertainty=uncertainty)
    outer = judge(far, lower=low, upper=high, expanded_uncertainty=uncertainty)
    assert inner.word.severity <= outer.word.severity
    if inner.probability is not None:
        assert outer.probability is not None
        assert inner.probability >= outer.probability - 1e-12


@given(decimals("-50", "50"), decimals("-100", "100"), decimals("-100", "100"), decimals("0", "40"))
def test_further_inside_one_limit_is_never_worse(
    limit: Decimal, one: Decimal, two: Decimal, uncertainty: Decimal
) -> None:
    small, great = sorted((one, two))
    by_upper = [judge(v, upper=limit, expanded_uncertainty=uncertainty).word.severity for v in (small, great)]
    by_lower = [judge(v, lower=limit, expanded_uncertainty=uncertainty).word.severity for v in (small, great)]
    assert by_upper[0] <= by_upper[1]
    assert by_lower[1] <= by_lower[0]


@given(decimals("-100", "100"), decimals("-50", "50"), decimals("0", "40"))
def test_a_lower_limit_mirrors_an_upper_one(value: Decimal, limit: Decimal, uncertainty: Decimal) -> None:
    upper = judge(value, upper=limit, expanded_uncertainty=uncertainty)
    lower = judge(-value, lower=-limit, expanded_uncertainty=uncertainty)
    assert upper.word == lower.word


@given(decimals("-100", "100"), decimals("-50", "50"), decimals("0.001", "40"))
def test_uncertainty_never_turns_a_fail_into_a_pass(value: Decimal, limit: Decimal, uncertainty: Decimal) -> None:
    bare = judge(value, upper=limit)
    careful = judge(value, upper=limit, expanded_uncertainty=uncertainty)
    assert bare.within == careful.within
    assert careful.probability is not None
    assert (careful.probability >= 0.5) == careful.within


COLOURS = st.builds(Lab, decimals("0", "100", 2), decimals("-120", "120", 2), decimals("-120", "120", 2))


@quiet
@given(COLOURS, COLOURS)
def test_colour_difference_is_symmetric(one: Lab, other: Lab) -> None:
    assert delta_e_2000(one, other) == delta_e_2000(other, one)
    assert delta_e_2000(one, one) == 0


@given(decimals("-45", "60", 1), decimals("1", "100", 1), decimals("1", "100", 1))
def test_dew_point_is_below_the_air_and_rises_with_humidity(air: Decimal, one: Decimal, two: Decimal) -> None:
    low, high = sorted((one, two))
    assert dew_point(air, low) <= dew_point(air, high) <= air


@given(decimals("0", "100"), decimals("0", "100"))
def test_more_rust_is_never_a_better_grade(one: Decimal, two: Decimal) -> None:
    less, more = sorted((one, two))
    assert d610_grade(less) >= d610_grade(more)
    assert nearest_ri(less) <= nearest_ri(more)
    assert iso2409_class(less) <= iso2409_class(more)


VIN = st.text("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", min_size=17, max_size=17)


@given(VIN)
def test_one_check_digit_fits(number: str) -> None:
    digit = check_digit(number)
    right = number[:8] + digit + number[9:]
    # position 9 has weight 0: writing the digit changes nothing about it
    assert check_digit(right) == digit
    assert classify(right, "US", 2000).state == "check digit agrees"


@given(st.text(max_size=40))
def test_any_text_is_classified_and_kept(text: str) -> None:
    found = classify(text, "US", 2000)
    assert found.as_stamped == text
    assert normalised(found.normalised) == found.normalised
