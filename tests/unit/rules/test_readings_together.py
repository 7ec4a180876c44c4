"""Rules of readings judged together, on records made directly: schedules, film, sides, cylinders, charge, law, air.

Worked values: the polish and film figures are examples of our own, recomputed; the dwell log and the recoat window are
forms of common practice without a source. Published values are checked in tests/outside/.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import factory as f
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs.planting import AS_OF, BAD

from buildbook.dossier.readings import verdicts
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.records.finding import Raised
from buildbook.records.job import Aftercare, Cure, Job, Reading, Recoat, Step
from buildbook.records.place import Place
from buildbook.records.words import Decision, Operation, ReadingStage
from buildbook.rules.judged import judge
from buildbook.rules.readings import READINGS
from buildbook.rules.readings_accepted import FINDS, outside_together
from buildbook.rules.settings import choice, effect_angles, number

D = Decimal
BEFORE, DURING, AFTER, HANDOVER, INTAKE = (
    ReadingStage.BEFORE, ReadingStage.DURING, ReadingStage.AFTER, ReadingStage.HANDOVER, ReadingStage.INTAKE,
)  # fmt: skip
FILE = "steps/020-paint/step.toml"
LISBON = ZoneInfo("Europe/Lisbon")


def raised(job: Job) -> list[Raised]:
    return [found for rule in READINGS if rule.check is not None for found in rule.check(job)]


def of(job: Job, code: str) -> list[Raised]:
    return [found for found in raised(job) if found.code == code]


def one(job: Job, code: str) -> Raised:
    (found,) = of(job, code)
    return found


def rows(*given: dict[str, Any], **same: Any) -> tuple[Reading, ...]:
    """Readings in rows 2, 3, ... of the table."""
    return tuple(
        f.reading(**({"place": f.row("readings.csv", n), "id": f"R{n}", "point": str(n)} | same | each))
        for n, each in enumerate(given, 2)
    )


def paint(**changes: Any) -> Step:
    given = {
        "place": Place(FILE), "id": "020-paint", "number": 20, "operation": Operation.PAINT,
        "started": datetime(2026, 3, 5, 8, 0, tzinfo=LISBON), "finished": datetime(2026, 3, 5, 18, 0, tzinfo=LISBON),
    }  # fmt: skip
    return f.step(**(given | changes))


def cure(**changes: Any) -> Cure:
    given = {"place": Place(FILE, key="cure"), "metal_temperature_min": D(60), "minutes": D(20), "source": "data sheet"}
    return Cure(**(given | changes))


def recoat(**changes: Any) -> Recoat:
    given = {
        "place": Place(FILE, key="recoats.1"), "coat": "clear coat", "after": datetime(2026, 3, 5, 10, 0, tzinfo=LISBON),
        "not_before_minutes": D(15), "not_after_hours": D(24), "source": "data sheet",
    }  # fmt: skip
    return Recoat(**(given | changes))


# 10:00 55, 10:05 60, 10:15 62, 10:20 58, 10:25 61, 10:40 61: 30 min in all, 15 min unbroken.
LOG = (("10:00", 55), ("10:05", 60), ("10:15", 62), ("10:20", 58), ("10:25", 61), ("10:40", 61))


def curing(schedule: Cure, log: tuple[tuple[str, int], ...] = LOG, kind: str = "metal_temperature", **changes: Any) -> Job:
    sheet = rows(
        *(
            {"value": value, "on": datetime.fromisoformat(f"2026-03-05T{clock}").replace(tzinfo=LISBON)}
            for clock, value in log
        ),
        kind=kind, unit="°C", stage=DURING, step="020", point="centre", instrument="T1",
    )  # fmt: skip
    thermometer = f.instrument(id="T1", what="surface thermometer")
    given = {"steps": (paint(cure=schedule),), "readings": sheet, "instruments": (thermometer,), "timezone": "Europe/Lisbon"}
    return f.job(**(given | changes))


def test_a_cure_counts_the_time_the_metal_was_hot() -> None:
    assert of(curing(cure(minutes=D(30))), "readings.cure-short") == []
    found = one(curing(cure(minutes=D(31))), "readings.cure-short")
    assert "for 30 min; expected 31 min" in found.says


def test_an_unbroken_cure_is_broken_by_a_dip_and_the_dip_is_shown() -> None:
    found = one(curing(cure(unbroken=True)), "readings.cure-short")
    assert "15 min unbroken; expected 20 min" in found.says
    assert found.place == Place("readings.csv", 5, "value")  # 10:20, 58 °C


def test_time_nobody_looked_at_counts_for_nothing() -> None:
    log = (("10:00", 61), ("10:40", 61))
    assert "for 0 min" in one(curing(cure(), log), "readings.cure-short").says
    assert of(curing(cure(), log, settings={"cure_log_gap_minutes": 40}), "readings.cure-short") == []


def test_a_cure_in_fahrenheit_is_the_same_cure() -> None:
    assert of(curing(cure(metal_temperature_min=D(140), unit="°F", minutes=D(30))), "readings.cure-short") == []


def test_two_temperatures_of_one_instant_are_no_log() -> None:
    log = (("10:00", 61), ("10:00", 58))
    assert "Two temperatures" in one(curing(cure(), log), "readings.cure-short").says


@pytest.mark.parametrize("kind", ["air_temperature", "surface_temperature"])
def test_no_other_temperature_stands_in_for_the_metal(kind: str) -> None:
    job = curing(cure(), (("10:00", 38), ("10:10", 38), ("10:20", 38)), kind)
    found = one(job, "readings.cure-no-log")
    assert found.place == Place(FILE, key="cure")
    assert ("air's temperature is not accepted" in found.says) == (kind == "air_temperature")
    assert of(job, "readings.cure-short") == []


def test_a_log_out_of_calibration_is_no_log() -> None:
    old = f.instrument(id="T1", what="surface thermometer", calibrated_on=date(2024, 1, 1))
    assert "an instrument in calibration" in one(curing(cure(), instruments=(old,)), "readings.cure-no-log").says


def test_clocks_going_forward_do_not_lengthen_a_cure() -> None:
    """In Lisbon 00:50 is followed by 02:00 on 29 March 2026: ten minutes later, not seventy."""
    times = (datetime(2026, 3, 29, 0, 50, tzinfo=LISBON), datetime(2026, 3, 29, 2, 0, tzinfo=LISBON))
    log = rows(*({"value": 61, "on": at} for at in times), kind="metal_temperature", unit="°C", stage=DURING, step="020",
               point="centre", instrument="T1")  # fmt: skip
    assert "for 10 min" in one(replace(curing(cure()), readings=log), "readings.cure-short").says


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"metal_temperature_min": None}, "metal_temperature_min"), ({"unit": "mm"}, "unit"), ({"minutes": None}, "minutes"),
        ({"minutes": D(0)}, "minutes"), ({"minutes": D(10) ** 17}, "minutes"), ({"source": ""}, "source"),
    ],
)  # fmt: skip
def test_a_cure_that_cannot_be_judged(changes: dict[str, Any], field: str) -> None:
    assert one(curing(cure(**changes)), "readings.schedule-incomplete").place == Place(FILE, key=f"cure.{field}")


def test_what_was_unreadable_is_not_asked_for_again() -> None:
    job = curing(cure(minutes=None, bad=frozenset({"minutes"})))
    assert of(job, "readings.schedule-incomplete") == of(job, "readings.cure-short") == []


def test_an_undercured_panel_accepted_is_shown_with_who_when_and_why() -> None:
    job = curing(cure(minutes=D(31)))
    first = replace(job.readings[0], exception="Client wants it today", approval="A1")
    unapproved = replace(job, readings=(replace(first, approval=""), *job.readings[1:]))
    assert "no approval of it is on record" in one(unapproved, "readings.cure-short").says
    declined = replace(job, readings=(first, *job.readings[1:]), approvals=(f.approval(decision=Decision.DECLINED),))
    assert of(declined, "readings.cure-short")
    accepted = replace(job, readings=(first, *job.readings[1:]))
    assert of(accepted, "readings.cure-short") == []
    found = one(accepted, "readings.exception-accepted")
    assert found.place == Place("readings.csv", 2, "exception")
    assert "for 30 min" in found.says
    assert found.says.endswith("Accepted by Client on 2026-03-02 (approval A1): Client wants it today.")


def window(*given: Recoat, **changes: Any) -> Job:
    return f.job(steps=(paint(recoats=given),), timezone="Europe/Lisbon", **changes)


@pytest.mark.parametrize(
    ("began", "code"),
    [
        (datetime(2026, 3, 5, 10, 14, tzinfo=LISBON), "readings.recoat-early"),
        (datetime(2026, 3, 5, 10, 15, tzinfo=LISBON), ""),
        (datetime(2026, 3, 6, 10, 0, tzinfo=LISBON), ""),
        (datetime(2026, 3, 6, 10, 1, tzinfo=LISBON), "readings.recoat-late"),
        (datetime(2026, 3, 5, 10, 20, tzinfo=UTC), ""),
    ],
)
def test_recoat_windows_hold_their_ends(began: datetime, code: str) -> None:
    found = raised(window(recoat(began=began)))
    assert [r.code for r in found] == ([code] if code else [])
    assert all(r.place == Place(FILE, key="recoats.1.began") for r in found)


def test_a_closed_window_is_answered_by_abrading() -> None:
    late = recoat(began=datetime(2026, 3, 9, 10, 0, tzinfo=LISBON))
    assert "96.0 h after the coat beneath, not abraded" in one(window(late), "readings.recoat-late").says
    assert raised(window(replace(late, abraded=True))) == []


def test_clocks_going_forward_do_not_close_a_window() -> None:
    night = recoat(after=datetime(2026, 3, 28, 12, 0, tzinfo=LISBON), not_before_minutes=None)
    assert raised(window(replace(night, began=datetime(2026, 3, 29, 13, 0, tzinfo=LISBON)))) == []
    assert of(window(replace(night, began=datetime(2026, 3, 29, 13, 1, tzinfo=LISBON))), "readings.recoat-late")


def test_a_window_may_count_from_an_earlier_step_and_to_the_start_of_its_own() -> None:
    base = f.step(place=Place("x"), id="010-base", number=10, finished=datetime(2026, 3, 5, 7, 50, tzinfo=LISBON))
    job = f.job(steps=(base, paint(recoats=(recoat(after=None, after_step="010"),))), timezone="Europe/Lisbon")
    assert "begun 10 min after" in one(job, "readings.recoat-early").says


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"after": None}, "after", "at what time"), ({"after": date(2026, 3, 5)}, "after", "at what time"),
        ({"after": None, "after_step": "070"}, "after_step", "not among the steps"),
        ({"began": date(2026, 3, 5)}, "began", "at what time"),
        ({"not_before_minutes": None, "not_after_hours": None}, "not_before_minutes", "neither"),
        ({"not_before_minutes": D(-5)}, "not_before_minutes", "cannot be"),
        ({"not_after_hours": D("0.1")}, "after", "ends before it opens"),
        ({"began": datetime(2026, 3, 5, 9, 0, tzinfo=LISBON)}, "after", "before the one it goes on"),
        ({"source": ""}, "source", "where it comes from"),
    ],
)  # fmt: skip
def test_a_window_that_cannot_be_judged(changes: dict[str, Any], field: str, words: str) -> None:
    given = {"began": datetime(2026, 3, 5, 10, 20, tzinfo=LISBON)} | changes
    found = one(window(recoat(**given)), "readings.schedule-incomplete")
    assert found.place == Place(FILE, key=f"recoats.1.{field}")
    assert words in found.says


PANELS = {
    "all well": "125 131 118 122 126 127 121 133 120 124", "a fifth low": "125 131 118 122 97 127 121 133 120 124",
    "one too thin": "125 131 128 122 95 127 121 133 120 124", "mean low": "104 131 118 122 97 127 121 133 112 124",
}  # fmt: skip
GAUGE = f.instrument()


def panel(values: str, **changes: Any) -> Job:
    """Fresh paint on the bonnet, nominal 120 µm; each reading at its own point unless a point is written as 1:125."""
    given = [v.partition(":") for v in values.split()]
    sheet = rows(
        *({"value": v or p, **({"point": p} if v else {})} for p, _, v in given), stage=AFTER, step="020", on=date(2026, 3, 5)
    )
    nominal = f.limit(kind="film_nominal", min=D(120), max=None)
    return f.job(**({"steps": (paint(),), "readings": sheet, "limits": (nominal,)} | changes))


@pytest.mark.parametrize(
    ("name", "strict", "lenient"),
    [("all well", "", ""), ("a fifth low", "share", ""), ("one too thin", "floor", "floor"), ("mean low", "mean", "mean")],
)
def test_fresh_film_by_both_wordings_of_80_20(name: str, strict: str, lenient: str) -> None:
    """The four panels of the worked example (our own, recomputed); at exactly a fifth the two wordings disagree."""
    for word, reason in (("strict", strict), ("lenient", lenient)):
        found = of(panel(PANELS[name], settings={"film_acceptance": word}), "readings.film-acceptance")
        assert [reason in r.says for r in found] == ([True] if reason else [])
        assert all("borrowed" in r.says for r in found)


def test_fresh_film_is_shown_at_its_lowest_reading_or_at_the_one_too_thick() -> None:
    assert one(panel(PANELS["one too thin"]), "readings.film-acceptance").place.row == 6
    most = f.limit(kind="film_nominal", min=D(4), max=D(5), unit="mil")  # 101.6 to 127 µm
    found = one(panel("110 118 126 128 117", limits=(most,)), "readings.film-acceptance")
    assert (found.place.row, "above the maximum" in found.says) == (5, True)


SPOTS = " ".join(f"{spot}:{value}" for spot in "abcde" for value in (118, 124, 130))


def test_fresh_film_by_spots() -> None:
    spots = {"film_acceptance": "spots"}
    assert raised(panel(SPOTS, settings=spots)) == []
    few = one(panel("a:118 a:124 b:130 b:128", settings=spots), "readings.film-spots-few")
    assert "2 spots from 4 readings" in few.says
    low = SPOTS.replace("c:118", "c:80").replace("c:124", "c:82").replace("c:130", "c:81")
    assert "spot below 80 %" in one(panel(low, settings=spots), "readings.film-acceptance").says


def test_fresh_film_without_a_nominal_is_not_judged() -> None:
    assert of(panel(PANELS["mean low"], limits=()), "readings.film-acceptance") == []
    job = panel(PANELS["mean low"], limits=(f.limit(kind="film_nominal", min=D(120), unit="°C"),))
    assert of(job, "readings.film-acceptance") == []
    assert of(job, "readings.limit-unusable")


def test_an_exception_on_a_reading_that_is_within_by_itself_is_needed_where_the_panel_is_not() -> None:
    job = panel(PANELS["a fifth low"])
    first = replace(job.readings[0], limit_min=D(90), limit_source="sheet", exception="Inside face", approval="A1")
    accepted = replace(job, readings=(first, *job.readings[1:]))
    assert [r.code for r in raised(accepted)] == ["readings.exception-accepted"]
    needless = replace(panel(PANELS["all well"]), readings=(first, *panel(PANELS["all well"]).readings[1:]))
    assert [r.code for r in raised(needless)] == ["readings.exception-needless"]


def test_film_left_after_polishing() -> None:
    def polishing(*after: str, **settings: Any) -> Job:
        sheet = rows(
            *({"value": v, "stage": BEFORE, "on": date(2026, 3, 3), "point": str(n)} for n, v in enumerate(("74", "73", "75"))),
            *({"value": v, "stage": AFTER, "on": date(2026, 3, 4), "point": str(n)} for n, v in enumerate(after)), step="010",
        )  # fmt: skip
        return f.job(steps=(f.step(),), readings=sheet, settings=settings)

    assert of(polishing("72", "71", "73"), "readings.film-remaining") == []
    found = one(polishing("69", "68", "70"), "readings.film-remaining")
    assert "69.0 ± 1.2 µm left after polishing, mean of 3; at least 70 µm: conditional fail" in found.says
    assert found.place.row == 6
    assert of(polishing("72", "71", "73", film_remaining_um=80), "readings.film-remaining")


def test_left_and_right_of_an_axle() -> None:
    def axle(left: str, right: str, kind: str = "pad_lining", **settings: Any) -> Job:
        sides = (("brake-front-left", left), ("brake-front-right", right))
        sheet = rows(*({"zone": z, "value": v} for z, v in sides), kind=kind, unit="mm", stage=HANDOVER, instrument="D1",
                     on=date(2026, 3, 20))  # fmt: skip
        return f.job(readings=sheet, instruments=(f.instrument(id="D1", what="micrometer"),), settings=settings)

    assert of(axle("9.1", "7.1"), "readings.brake-sides-differ") == []
    found = one(axle("9.1", "7.0"), "readings.brake-sides-differ")
    assert found.place.row == 3
    assert "9.1 mm left, 7.0 mm right, 2.1 mm apart" in found.says
    assert of(axle("9.1", "7.0", lining_sides_mm=3), "readings.brake-sides-differ") == []
    assert of(axle("12.6", "12.0", "disc_thickness"), "readings.brake-sides-differ")


def engine(*bar: str, stage: ReadingStage = HANDOVER, **changes: Any) -> tuple[Reading, ...]:
    return rows(
        *({"value": v, "point": f"cylinder {n}"} for n, v in enumerate(bar, 1)),
        **{"kind": "compression", "unit": "bar", "zone": "engine", "stage": stage, "instrument": "K1"} | changes,
    )


def test_cylinders_of_one_engine() -> None:
    gauge = f.instrument(id="K1", what="compression gauge")

    def job(*readings: Reading, **settings: Any) -> Job:
        return f.job(readings=readings, instruments=(gauge,), settings=settings)

    assert of(job(*engine("10.0", "8.5", "9.0")), "readings.compression-spread") == []  # exactly 15 %
    found = one(job(*engine("10.0", "8.4", "9.0")), "readings.compression-spread")
    assert (found.place.row, "16.0 % apart" in found.says) == (3, True)
    assert of(job(*engine("10.0", "8.4"), compression_spread_percent=20), "readings.compression-spread") == []
    mended = (*engine("10.0", "6.0", stage=INTAKE), *engine("10.0", "9.8"))
    assert of(job(*mended), "readings.compression-spread") == []


@pytest.mark.parametrize(
    ("kind", "unit", "value", "code"),
    [
        ("leak_down", "%", "20", ""), ("leak_down", "%", "20.1", "readings.leak-down-high"),
        ("battery_voltage", "V", "12.3", ""), ("battery_voltage", "V", "12.29", "readings.battery-low"),
        ("charging_voltage", "V", "13.8", ""), ("charging_voltage", "V", "14.7", ""),
        ("charging_voltage", "V", "14.71", "readings.charging-voltage"),
        ("charging_voltage", "mV", "13700", "readings.charging-voltage"),
    ],
)  # fmt: skip
def test_bands_of_common_practice(kind: str, unit: str, value: str, code: str) -> None:
    found = rows({"kind": kind, "unit": unit, "value": value, "zone": "engine", "stage": HANDOVER})
    bands = {"readings.battery-low", "readings.leak-down-high", "readings.charging-voltage"}
    assert [r.code for r in raised(f.job(readings=found)) if r.code in bands] == ([code] if code else [])
    judged_by_its_own = (replace(found[0], limit_min=D(1), limit_max=D(99999), limit_source="the maker"),)
    assert not code or of(f.job(readings=judged_by_its_own), code) == []


def test_a_six_volt_battery_is_held_against_six_volts() -> None:
    found = rows({"kind": "battery_voltage", "unit": "V", "value": "6.3", "zone": "engine", "stage": HANDOVER})
    assert of(f.job(readings=found), "readings.battery-low")
    assert of(f.job(readings=found, settings={"system_voltage": 6}), "readings.battery-low") == []


def colours(*points: str, lab: str = "31.62 -3.41 -22.85") -> Job:
    sheet = rows(
        *({"point": p, "value": None, "value_text": lab if p.startswith("reference") else "31.60 -3.40 -22.80"} for p in points),
        kind="colour_lab", unit="", stage=HANDOVER, instrument="C1",
    )  # fmt: skip
    return f.job(
        readings=sheet, instruments=(f.instrument(id="C1", what="spectrophotometer"),), settings={"effect_angles": "15 45 110"},
        limits=(f.limit(kind="colour_lab", min=None, max=D(1), unit=""),),
    )  # fmt: skip


ALL = tuple(f"{point} {angle}" for point in ("reference", "centre") for angle in (15, 45, 110))


def test_an_effect_paint_needs_every_angle_on_both_sides() -> None:
    assert of(colours(*ALL), "readings.colour-angle-missing") == []
    assert {judge(colours(*ALL), r).word for r in colours(*ALL).readings} == {"pass", ""}
    for lacking in ("centre 110", "reference 45"):
        job = colours(*(p for p in ALL if p != lacking))
        found = one(job, "readings.colour-angle-missing")
        assert f"at {lacking.split()[1]}°; no verdict" in found.says
        assert {judge(job, r).word for r in job.readings} == {""}
    solid = replace(colours(*ALL[:2], *ALL[3:5]), settings={})
    assert of(solid, "readings.colour-angle-missing") == []


@pytest.mark.parametrize(
    ("where", "value", "code"), [("US", "1.59", ""), ("EU", "1.59", "readings.tread-below-law"), ("GB", "1.6", ""), ("", "1.2", "")]
)
def test_tread_against_the_jurisdiction_whatever_the_job_wrote(where: str, value: str, code: str) -> None:
    """1.59 mm passes 2/32 in and fails 1.6 mm: see tests/outside/test_trade_brakes_tyres.py for the sources."""
    found = rows({"kind": "tyre_tread", "unit": "mm", "value": value, "zone": "tyre-front-left", "stage": AFTER})
    lax = f.limit(kind="tyre_tread", min=D(1), max=None, unit="mm")
    job = f.job(readings=found, limits=(lax,), settings={"tyre_jurisdiction": where} if where else {})
    below = of(job, "readings.tread-below-law")
    assert [r.code for r in below] == ([code] if code else [])
    assert all("The law of the place where the car is used decides" in r.says for r in below)
    own = replace(job, limits=())
    assert bool(of(own, "readings.outside-limits")) == bool(code)  # the jurisdiction's limit is then the one in force
    assert of(own, "readings.tread-below-law") == []


def test_lining_of_a_jurisdiction_is_a_limit_with_its_source() -> None:
    found = rows({"kind": "pad_lining", "unit": "mm", "value": "1.5", "zone": "brake-front-left", "stage": AFTER})
    verdict = judge(f.job(readings=found, settings={"lining_jurisdiction": "gb"}), found[0])
    assert (verdict.word, verdict.limit_min, "local law decides" in verdict.source) == ("pass", D("1.5"), True)
    verdict = judge(f.job(readings=found, settings={"lining_jurisdiction": "us-bonded"}), found[0])
    assert (verdict.word, verdict.unit) == ("fail", "1/32 in")  # 2/32 in is 1.5875 mm


def test_fluid_in_service_at_168_degrees() -> None:
    """Above the wet boiling point of DOT 4 (155 °C), below that of DOT 5.1 (180 °C); FMVSS 116 S5.1.2."""
    lax = f.limit(kind="brake_fluid_boiling_point", min=D(140), max=None, unit="°C")
    for grade, told in (("DOT 4", False), ("DOT 5.1", True)):
        found = rows({"kind": "brake_fluid_boiling_point", "unit": "°C", "value": "168", "detail": grade, "zone": "brake-hydraulics", "stage": AFTER})
        assert bool(of(f.job(readings=found, limits=(lax,)), "readings.fluid-below-wet")) == told


def test_the_last_ozone_counts() -> None:
    def aired(*ppm: str) -> Job:
        times = (datetime(2026, 3, 5, 12, n, tzinfo=UTC) for n in range(9))
        return f.job(readings=rows(*({"value": v, "on": t} for v, t in zip(ppm, times, strict=False)), kind="ozone", unit="ppm", zone="dashboard", stage=AFTER, step=""))

    assert of(aired("0.4", "0.1"), "readings.ozone-high") == []
    assert one(aired("0.02", "0.11"), "readings.ozone-high").place.row == 3


@pytest.mark.parametrize(("ppm", "words"), [("5000", ""), ("5001", "over a shift"), ("30001", "short-term"), ("40001", "IDLH")])
def test_carbon_dioxide_while_blasting(ppm: str, words: str) -> None:
    found = rows({"kind": "carbon_dioxide", "unit": "ppm", "value": ppm, "zone": "bonnet", "stage": DURING})
    told = of(f.job(readings=found), "readings.carbon-dioxide-high")
    assert [words in r.says for r in told] == ([True] if words else [])


@pytest.mark.parametrize(("caution", "kind"), [("ozone", "ozone"), ("dry-ice", "carbon_dioxide")])
def test_air_is_measured_where_a_step_names_the_hazard(caution: str, kind: str) -> None:
    code = f"readings.{kind.replace('_', '-')}-not-read"
    job = f.job(steps=(f.step(cautions=(caution,)),))
    assert one(job, code).place == Place("steps/010-polish/step.toml", key="cautions")
    assert of(replace(job, readings=rows({"kind": kind, "value": "0.1", "unit": "ppm", "step": "10"})), code) == []


def test_tightening_again_is_told_to_the_owner() -> None:
    def job(distance: int | None, unit: str = "km") -> Job:
        care = () if distance is None else (Aftercare(place=f.key("aftercare.1"), what="Wheels", due_distance=distance),)
        wheels = f.step(zones=("wheel-front-left",), operation=Operation.REFURBISH)
        return f.job(steps=(wheels,), aftercare=care, odometer=replace(f.job().odometer, unit=unit))

    assert [len(of(job(d), "readings.retorque-not-listed")) for d in (None, 50, 100, 101)] == [1, 0, 0, 1]
    assert [len(of(job(d, "mi"), "readings.retorque-not-listed")) for d in (30, 62, 63)] == [0, 0, 1]


def test_settings_that_are_words() -> None:
    job = f.job(settings={"tyre_jurisdiction": "eu", "system_voltage": 24, "effect_angles": "15, 45°, 110"})
    assert (choice(job, "tyre_jurisdiction"), choice(job, "system_voltage")) == ("EU", "24")
    assert (choice(job, "film_acceptance"), choice(job, "lining_jurisdiction")) == ("strict", "")
    assert effect_angles(job) == (15, 45, 110)
    assert number(job, "compression_spread_percent") == 15
    with pytest.raises(KeyError):
        number(job, "film_acceptance")
    with pytest.raises(KeyError):
        choice(job, "film_ratio")


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("film_acceptance", "iso", "strict, lenient, spots"), ("system_voltage", 13, "6, 12, 24"),
        ("system_voltage", True, "6, 12, 24"), ("lining_jurisdiction", "EU", "us-riveted"), ("effect_angles", "15 45", "3 angles"),
        ("effect_angles", 45, "3 angles"), ("effect_angles", "15 45 60", "3 angles"), ("film_remaining_um", "70", "above 0"),
    ],
)  # fmt: skip
def test_settings_that_cannot_be_used(name: str, value: object, expected: str) -> None:
    found = one(f.job(settings={name: value}), "readings.setting-wrong")
    assert found.place == Place("job.toml", key=f"settings.{name}")
    assert expected in found.says


@pytest.mark.parametrize("lost", [{"calibrated_on": None}, {"interval_months": None}, {"id": "X9"}])
def test_a_reading_whose_calibration_is_unknown_is_no_evidence_in_the_dossier(lost: dict[str, Any]) -> None:
    found = rows({"limit_min": D(80), "limit_max": D(200)})
    (sound,) = verdicts(f.job(readings=found))
    assert (sound.word, sound.counts) == ("pass", True)
    (unknown,) = verdicts(f.job(readings=found, instruments=(f.instrument(**lost),)))
    assert (unknown.word, unknown.counts, unknown.why_not) == ("pass", False, "calibration not recorded")


EXCUSABLE = (
    "film-removed", "dew-point", "disc-variation", "film-acceptance", "film-remaining", "cure-short", "brake-sides-differ",
    "compression-spread", "leak-down-high", "battery-low", "charging-voltage", "tread-below-law", "lining-below-law",
    "fluid-below-wet", "ozone-high", "carbon-dioxide-high",
)  # fmt: skip


@pytest.mark.parametrize("name", EXCUSABLE)
def test_an_exception_is_stopped_or_shown_and_never_disappears(name: str, library: Library) -> None:
    """On each bad folder of such a verdict: a reason alone changes nothing, with an approval it is shown as accepted."""
    job = load_job(BAD / f"readings.{name}", AS_OF, library=library).job
    (outside,) = outside_together(job)
    assert outside.code == f"readings.{name}"

    def with_exception(approval: str) -> list[str]:
        excused = replace(outside.readings[0], exception="As agreed", approval=approval)
        rows_ = tuple(excused if r is outside.readings[0] else r for r in job.readings)
        return [r.code for r in raised(replace(job, readings=rows_)) if r.code != "readings.film-thin"]

    assert with_exception("") == [outside.code]
    assert with_exception("A1") == ["readings.exception-accepted"]


def test_every_verdict_on_several_readings_can_be_excused() -> None:
    assert len(EXCUSABLE) == len(FINDS)


MIXED = (
    *panel(PANELS["a fifth low"]).readings, *engine("10.0", "8.4", "9.0"), *colours(*ALL[:-1]).readings, *curing(cure()).readings,
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.permutations(MIXED))
def test_the_order_of_rows_changes_no_verdict(order: list[Reading]) -> None:
    """Rows keep their place; only the order in which they are read changes."""
    base = panel(PANELS["all well"], settings={"effect_angles": "15 45 110"}, instruments=(
        GAUGE, f.instrument(id="K1", what="compression gauge"), f.instrument(id="C1", what="spectrophotometer"),
        f.instrument(id="T1", what="surface thermometer"),
    ), steps=(paint(cure=cure(unbroken=True)),))  # fmt: skip
    numbered = tuple(replace(r, place=f.row("readings.csv", 2 + MIXED.index(r))) for r in order)
    expected = tuple(replace(r, place=f.row("readings.csv", n)) for n, r in enumerate(MIXED, 2))
    aggregates = ("film-acceptance", "compression-spread", "colour-angle-missing", "cure-short")
    found, sound = (
        {
            (r.code, "" if r.code.endswith("missing") else r.says)  # there the first row read gives the sentence its name
            for r in raised(replace(base, readings=read)) if r.code.rpartition(".")[2] in aggregates
        }
        for read in (numbered, expected)
    )  # fmt: skip
    assert found == sound
    assert {code for code, _ in found} == {f"readings.{name}" for name in aggregates}
