"""Rules of people and hazards."""

from typing import Any

import pytest
from asking import codes_of, raised_by
from factory import approval, job, key, material, part, person, reading, step

from buildbook.records.cautions import CAUTIONS_OF_GROUP, caution
from buildbook.records.job import Job
from buildbook.records.words import MaterialKind, Operation
from buildbook.records.zones import CRITICAL_GROUPS, ZONES
from buildbook.rules import people

TWO = (
    person(qualification="journeyman"),
    person(id="CD", name="Carlo Dunn", qualification="master", place=key("people.2")),
    person(id="EF", name="Edda Fels", qualification="", place=key("people.3")),
)
BRAKE = {
    "zones": ("brake-front-left",), "operation": Operation.REPLACE, "cautions": ("brakes",), "checked_by": ("CD",),
}  # fmt: skip


def with_step(**changes: Any) -> Job:
    return job(people=TWO, steps=(step(**changes),))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"done_by": ()}, ["people.no-doer"]),
        ({"done_by": (), "bad": frozenset({"done_by"})}, []),
        ({"done_by": ("AB", "XY")}, ["people.unknown"]),
        ({"checked_by": ("XY",)}, ["people.unknown"]),
        ({"checked_by": ("AB",)}, []),  # not safety-critical
        (BRAKE, []),
        (BRAKE | {"checked_by": ()}, ["people.critical-unchecked"]),
        (BRAKE | {"checked_by": (), "operation": Operation.INSPECT}, []),
        (BRAKE | {"checked_by": ("AB",)}, ["people.critical-self-checked"]),
        (BRAKE | {"checked_by": ("AB", "CD")}, []),
        (BRAKE | {"done_by": ("AB", "CD"), "checked_by": ("CD",)}, ["people.critical-self-checked"]),
        (BRAKE | {"cautions": ("lifting",)}, ["people.critical-no-caution"]),
        (BRAKE | {"cautions": (), "bad": frozenset({"cautions"})}, []),
        (BRAKE | {"zones": ("brake-front-left", "fuel-system")}, ["people.critical-no-caution"]),
        (BRAKE | {"zones": ("brake-front-left", "bonnet")}, []),
        (BRAKE | {"checked_by": ("EF",)}, ["people.checker-unqualified"]),
        ({"operation": Operation.PAINT}, ["people.painting-no-caution"]),
        ({"operation": Operation.PAINT, "cautions": ("isocyanates",)}, []),
        ({"operation": Operation.PRIME, "cautions": ("solvents",)}, []),
    ],
)
def test_one_step(change: dict[str, Any], expected: list[str]) -> None:
    assert codes_of(people.PEOPLE, with_step(**change)) == expected


def test_every_safety_critical_group_has_zones_and_a_caution_that_exists() -> None:
    assert set(CAUTIONS_OF_GROUP) == CRITICAL_GROUPS
    for group, names in CAUTIONS_OF_GROUP.items():
        assert any(z.group == group and z.critical for z in ZONES)
        assert names
        assert all(caution(name) for name in names)


@pytest.mark.parametrize("group", sorted(CRITICAL_GROUPS))
def test_each_group_asks_for_its_caution(group: str) -> None:
    name = next(z.name for z in ZONES if z.group == group)
    (raised,) = raised_by(people.critical_no_caution, with_step(**BRAKE | {"zones": (name,), "cautions": ()}))
    assert group in raised.says
    assert any(wanted in raised.says for wanted in CAUTIONS_OF_GROUP[group])
    (wanted, *_) = CAUTIONS_OF_GROUP[group]
    assert not codes_of(people.critical_no_caution, with_step(**BRAKE | {"zones": (name,), "cautions": (wanted,)}))


def test_the_paint_is_named() -> None:
    clear = material(kind=MaterialKind.CLEAR_COAT, name="Clear 2K")
    it = job(people=TWO, steps=(step(operation=Operation.PAINT),), materials=(clear,))
    (raised,) = raised_by(people.painting_no_caution, it)
    assert "Clear 2K" in raised.says


def test_who_took_a_reading() -> None:
    assert not codes_of(people.unknown, job(readings=(reading(), reading(by=""))))
    assert codes_of(people.unknown, job(readings=(reading(by="XY"),))) == ["people.unknown"]


def test_who_states_something() -> None:
    known = ("AB", "anneke brandt", "R. Moreau", "client", "Werkstatt Falk", "Orrin Spares", "supplier", "")
    for name in known:
        assert not codes_of(people.statement_unknown, job(parts=(part(stated_by=name),), approvals=()))
    assert codes_of(people.statement_unknown, job(parts=(part(stated_by="somebody"),), approvals=()))
    assert codes_of(people.statement_unknown, job(approvals=(approval(given_by="somebody"),)))
    assert not codes_of(people.statement_unknown, job(approvals=(approval(given_by="r. moreau"),)))
