"""A step's cure and recoat windows as the dossier prints them beside what the record shows."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal

import factory as f
import pytest

from buildbook.dossier import build_dossier
from buildbook.dossier.blocks import flat
from buildbook.dossier.model import Table
from buildbook.dossier.readings import kind_title
from buildbook.records.job import Cure, Job, Recoat
from buildbook.records.place import Place
from buildbook.records.words import Operation, ReadingStage
from buildbook.rules.judged import DERIVED

FILE = "steps/010-polish/step.toml"
WINDOW = Recoat(
    place=Place(FILE, key="recoats.1"), coat="<clear> & coat", after=datetime(2026, 3, 3, 10, 0, tzinfo=f.CET),
    began=datetime(2026, 3, 3, 10, 20, tzinfo=f.CET), not_before_minutes=Decimal(15), not_after_hours=Decimal(24),
    source="data sheet <b>",
)  # fmt: skip
CURE = Cure(place=Place(FILE, key="cure"), metal_temperature_min=Decimal(60), minutes=Decimal(20), source="data sheet")
LOG = tuple(
    f.reading(
        place=f.row("readings.csv", n), id=f"T{n}", kind="metal_temperature", value=value, unit="°C", zone="bonnet",
        stage=ReadingStage.DURING, step="010", point="centre", on=datetime(2026, 3, 3, 11, 5 * n, tzinfo=f.CET),
    )
    for n, value in enumerate(("58", "61", "62", "62", "61", "61", "50"), 2)
)  # fmt: skip


def job(cure: Cure | None = CURE, *recoats: Recoat, log=LOG) -> Job:
    return f.job(
        steps=(f.step(operation=Operation.PAINT, cure=cure, recoats=recoats),), readings=log,
        instruments=(f.instrument(what="surface thermometer"),),
    )  # fmt: skip


@pytest.fixture
def rows(issue):
    def of(job: Job) -> list[list[str]]:
        tables = [
            b for s in build_dossier(job, (), issue).sections for b in flat(s.blocks)
            if isinstance(b, Table) and b.caption.startswith("Coats and cure")
        ]  # fmt: skip
        return [["".join(r.text for r in cell).replace("\u00a0", " ") for cell in row.cells] for t in tables for row in t.rows]

    return of


def test_a_window_kept_and_a_cure_met(rows):
    window, cure = rows(job(CURE, WINDOW))
    assert (window[0], window[4]) == ("<clear> & coat", "data sheet <b>")  # a person's text, as written
    assert window[1] == "not before 15 min\nnot after 24 h"
    assert window[2].endswith("20 min later")
    assert window[3] == "within the window"
    assert cure[1] == "20 min with the metal at 60 °C or above"
    assert cure[2].startswith("bonnet, centre: 25 min, log R001 … R007")
    assert cure[3] == "pass"


def test_what_is_not_kept_is_shown_as_such(rows):
    late = replace(WINDOW, began=datetime(2026, 3, 5, 10, 0, tzinfo=f.CET))
    longer = replace(CURE, minutes=Decimal(40), unbroken=True)
    window, cure = rows(job(longer, late))
    assert (window[3], cure[3]) == ("window closed: scuff first", "fail")
    assert cure[1].endswith("or above, unbroken")
    assert window[2].endswith("48.0 h later")
    ((*_, word, _source),) = rows(job(None, replace(late, abraded=True)))
    assert word == "window closed; abraded first"


def test_what_cannot_be_judged_says_why(rows):
    window, cure = rows(job(CURE, replace(WINDOW, after=None), log=()))
    assert window[3] == "does not say at what time the coat beneath ended"
    assert cure[2:4] == ["no log of the metal's temperature", "not judged"]
    (bare,) = rows(job(replace(CURE, minutes=None)))
    assert bare[1] == "temperature or minutes not recorded"


def test_limits_of_computed_quantities_have_titles():
    assert kind_title({}, "film_removal") == "Film taken off by polishing"
    assert {kind_title({}, name) for name in DERIVED}.isdisjoint(DERIVED)
    assert kind_title({}, "own_kind") == "own_kind"


def test_a_step_without_schedules_shows_none(rows):
    assert rows(job(None)) == []
