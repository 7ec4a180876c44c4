"""The table of kinds, and kinds a workshop adds."""

import re
from decimal import Decimal

import pytest

from buildbook.records.zones import GROUPS
from buildbook.trade.faults import KindError, UnitError
from buildbook.trade.kinds import KINDS, ZONE_GROUPS, Kind, kind, make_kind
from buildbook.trade.units import convert, dimension_of, plausible_other_unit

D = Decimal
NEEDED = (
    "film_thickness gloss_20 gloss_60 gloss_85 colour_lab rust_ri rust_d610 blistering cracking flaking chalking "
    "cross_cut disc_thickness disc_thickness_variation disc_runout pad_lining brake_fluid_boiling_point tyre_tread "
    "tyre_date_code tightening_torque battery_voltage charging_voltage compression leak_down panel_gap "
    "air_temperature surface_temperature relative_humidity metal_temperature ozone carbon_dioxide odometer"
)


def test_names_are_unique_and_all_there() -> None:
    names = [found.name for found in KINDS]
    assert len(set(names)) == len(names)
    assert set(NEEDED.split()) <= set(names)


@pytest.mark.parametrize("found", KINDS, ids=lambda found: found.name)
def test_each_row_holds_together(found: Kind) -> None:
    assert found.units[0] == found.si_unit
    assert {dimension_of(unit) for unit in found.units} == {found.quantity}
    assert set(found.zones) <= set(ZONE_GROUPS)
    assert found.instruments
    assert re.search(r"\[(PUB-[ABC]|MEM|PRAC)|local law decides|6093", found.source), found.source
    bounds = (found.hard_low, found.typical_low, found.typical_high, found.hard_high)
    given = [bound for bound in bounds if bound is not None]
    assert given == sorted(given)
    if found.value_form in ("number", "odometer"):
        assert len(given) == 4
    assert "safe" not in f"{found.title} {found.source} {found.caution}".lower().split()


def test_zone_groups_are_those_of_the_record() -> None:
    assert ZONE_GROUPS == GROUPS


def test_where_work_can_hurt_there_is_a_caution() -> None:
    for name in [
        "disc_thickness",
        "pad_lining",
        "brake_fluid_boiling_point",
        "tyre_tread",
        "tightening_torque",
        "ozone",
        "carbon_dioxide",
        "metal_temperature",
        "relative_humidity",
        "battery_voltage",
        "compression",
    ]:
        assert kind(name).caution, name


def test_a_value_in_an_accepted_unit_comes_out_in_si() -> None:
    assert kind("film_thickness").to_si(D("0.3"), "mil") == D("7.62")
    assert kind("odometer").to_si(D(1), "miles") == D("1.609344")
    assert kind("relative_humidity").to_si(D(55), "%") == 55


def test_an_impossible_unit_is_refused() -> None:
    with pytest.raises(UnitError, match="V is not a unit for paint film thickness") as caught:
        kind("film_thickness").to_si(D(12), "V")
    assert "µm" in caught.value.fix
    # of the right dimension, but nobody measures paint in kilometres
    with pytest.raises(UnitError):
        kind("film_thickness").to_si(D(12), "km")
    with pytest.raises(UnitError, match="A plain number"):
        kind("tyre_tread").to_si(D(5), "")


def test_impossible_values() -> None:
    assert kind("relative_humidity").impossible(D(101))
    assert not kind("relative_humidity").impossible(D(100))
    assert kind("film_thickness").impossible(D(-1))
    assert not kind("colour_lab").impossible(D(10**9))


@pytest.mark.parametrize(
    ("name", "value", "unit", "meant"),
    [
        ("film_thickness", "4.5", "µm", "mil"),
        ("brake_fluid_boiling_point", "311", "°C", "°F"),
        ("metal_temperature", "140", "°C", "°F"),
        ("compression", "150", "kPa", "psi"),
        ("compression", "10", "psi", "bar"),
        ("air_temperature", "68", "°C", "°F"),
        ("tyre_tread", "0.2", "mm", "in"),
        ("battery_voltage", "12600", "V", "mV"),
        ("ozone", "50", "ppm", "ppb"),
    ],
)
def test_slips_of_unit_are_seen(name: str, value: str, unit: str, meant: str) -> None:
    row = kind(name)
    found = plausible_other_unit(D(value), unit, row.typical_low, row.typical_high, row.units, bounds_unit=row.si_unit)
    assert meant in [other.symbol for other in found]
    in_meant = convert(D(value), meant, row.si_unit)
    assert not row.impossible(in_meant)


def test_unknown_kind_names_its_neighbours() -> None:
    with pytest.raises(KindError) as caught:
        kind("Film thicknes")
    assert "film_thickness" in caught.value.fix


OWN = {"name": "trim_pull", "title": "Trim pull-off force", "unit": "N", "low": 0, "high": 500}


def test_a_kind_of_the_workshops_own() -> None:
    found = make_kind({**OWN, "judged": "lower", "zones": ["interior"], "typical_low": 0.1})
    assert (found.si_unit, found.quantity, found.hard_high) == ("N", "force", D(500))
    # a float is taken as the person wrote it
    assert found.typical_low == D("0.1")
    assert kind("trim_pull", [found]) is found
    with pytest.raises(KindError):
        kind("trim_pull")


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"name": "Trim Pull"}, "does not fit"),
        ({"name": "film_thickness"}, "exists already"),
        ({"name": "taken_one"}, "exists already"),
        ({"name": 3}, "needs 'name'"),
        ({"title": "  "}, "needs 'title'"),
        ({"unit": None}, "needs 'unit'"),
        ({"unit": "furlong"}, "not known"),
        ({"units": ["mm"]}, "measures length"),
        ({"units": "mm"}, "list of texts"),
        ({"zones": ["moon"]}, "not a group"),
        ({"judged": "maybe"}, "cannot be"),
        ({"judged": ["upper"]}, "cannot be"),
        ({"value_form": "picture"}, "cannot be"),
        ({"low": 501}, "above"),
        ({"low": "much"}, "not a number"),
        ({"low": float("nan")}, "not a number"),
        ({"high": True}, "must be a number"),
        ({"typical_low": 9, "typical_high": 1}, "above"),
        ({"colour": "red"}, "not part of"),
        ({"caution": 7}, "needs 'caution'"),
    ],
)
def test_a_bad_description_is_refused_with_a_remedy(change: dict[str, object], word: str) -> None:
    with pytest.raises((KindError, UnitError), match=word) as caught:
        make_kind({**OWN, **change}, ["taken_one"])
    assert caught.value.fix
