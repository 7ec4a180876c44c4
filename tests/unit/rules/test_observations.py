"""Rules of observations."""

from decimal import Decimal
from typing import Any

import pytest
from asking import codes_of, raised_by
from factory import approval, document, job, observation, part, photo, step

from buildbook.records.job import Observation
from buildbook.records.words import Body, Operation, Outcome, Stage
from buildbook.rules import observations as rules

BEFORE = photo()


def seen(**changes: Any) -> Observation:
    given: dict[str, Any] = {
        "grade_in": Decimal(3), "grade_out": Decimal(0), "outcome": Outcome.CORRECTED, "outcome_refs": ("010",),
    }  # fmt: skip
    return observation(**(given | changes))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"zone": "bonet"}, ["observation.zone-unknown", "observation.no-photo"]),
        ({"zone": "boot-lid"}, ["observation.zone-unknown", "observation.no-photo"]),  # an estate has a tailgate
        ({"zone": "roof"}, ["observation.no-photo"]),
        ({"zone": "roof", "photos": ("documents/roof.jpg",)}, []),
        ({"photos": ("documents/rof.jpg",)}, ["observation.photo-missing"]),
        ({"grade_in": None}, ["observation.no-grade"]),
        ({"grade_in": None, "bad": frozenset({"grade_in"})}, []),
        ({"grade_out": None}, ["observation.no-grade-out"]),
        ({"grade_in": None, "grade_out": None}, ["observation.no-grade"]),
        ({"grade_out": Decimal(3)}, ["observation.not-better"]),
        ({"grade_out": Decimal("3.5")}, ["observation.grade-worse"]),
        ({"grade_in": Decimal(0), "grade_out": Decimal(0)}, []),
        ({"outcome": None, "outcome_refs": ()}, ["observation.no-outcome"]),
        ({"outcome_refs": ()}, ["observation.corrected-by-nothing"]),
        ({"outcome_refs": (), "bad": frozenset({"outcome_refs"})}, []),
        ({"outcome_refs": ("A1",)}, ["observation.corrected-by-nothing"]),
        ({"outcome_refs": ("P1", "A1")}, []),
        ({"outcome_refs": ("10",)}, []),
        ({"outcome_refs": ("010-polish",)}, []),
        # An unknown name raises exactly one code.
        ({"outcome_refs": ("P9",)}, ["observation.unknown-outcome-ref"]),
        ({"outcome": Outcome.ACCEPTED, "outcome_refs": ("P9",)}, ["observation.unknown-outcome-ref"]),
        ({"outcome": Outcome.ACCEPTED, "outcome_refs": ("A1",)}, []),
        ({"outcome": Outcome.ACCEPTED, "outcome_refs": ("010",)}, ["observation.accepted-without-approval"]),
    ],
)
def test_one_observation(change: dict[str, Any], expected: list[str]) -> None:
    it = job(
        observations=(seen(**change),), steps=(step(),), parts=(part(),), approvals=(approval(),), photos=(BEFORE,),
        files=(document("documents/roof.jpg"),),
    )  # fmt: skip
    assert codes_of(rules.OBSERVATIONS, it) == expected


def test_no_observation_at_all() -> None:
    assert codes_of(rules.OBSERVATIONS, job()) == ["observation.none"]
    assert not codes_of(rules.OBSERVATIONS, job(bad=frozenset({"observations"})))


def test_a_photo_shows_the_zone_of_its_folder_before_that_of_its_step() -> None:
    at_roof = photo("steps/010-polish/before/roof/two.jpg", zone="roof")
    it = job(observations=(seen(),), steps=(step(),), photos=(at_roof,))
    assert codes_of(rules.no_photo, it) == ["observation.no-photo"]
    both_zones = step(zones=("bonnet", "roof"))
    it = job(observations=(seen(),), steps=(both_zones,), photos=(BEFORE,))
    assert codes_of(rules.no_photo, it) == ["observation.no-photo"]


def test_any_photo_of_an_intake_step_counts() -> None:
    intake = step(operation=Operation.INTAKE)
    during = photo("steps/010-polish/during/bonnet/one.jpg", zone="bonnet", stage=Stage.DURING)
    assert not codes_of(rules.no_photo, job(observations=(seen(),), steps=(intake,), photos=(during,)))
    assert codes_of(rules.no_photo, job(observations=(seen(),), steps=(step(),), photos=(during,)))


def test_an_unknown_zone_comes_with_near_names_and_its_place() -> None:
    (raised,) = raised_by(rules.zone_unknown, job(observations=(seen(zone="bonett"),)))
    assert "bonnet" in raised.says
    assert str(raised.place) == "condition.csv, row 2, column zone"


def test_without_a_body_every_zone_of_the_table_is_taken() -> None:
    assert codes_of(rules.zone_unknown, job(observations=(seen(zone="boot-lid"),)))
    without = job(observations=(seen(zone="boot-lid"),))
    object.__setattr__(without.vehicle, "body", None)
    assert not codes_of(rules.zone_unknown, without)
    object.__setattr__(without.vehicle, "body", Body.SALOON)
    assert not codes_of(rules.zone_unknown, without)
