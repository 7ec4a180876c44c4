"""Each rule of readings, on records made directly: the fault raises its code at its place, the sound record does not."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import factory as f
import pytest

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.words import Decision, MaterialKind, Operation, ReadingStage
from buildbook.rules.judged import judge, limits_of
from buildbook.rules.readings import READINGS
from buildbook.rules.rule import Rule
from buildbook.rules.understood import understood

D = Decimal
AFTER, BEFORE, INTAKE, HANDOVER = ReadingStage.AFTER, ReadingStage.BEFORE, ReadingStage.INTAKE, ReadingStage.HANDOVER
NOTHING_SAID = frozenset({"readings.conditional-pass"})
TORQUE = {"kind": "tightening_torque", "unit": "N·m", "zone": "wheel-front-left", "stage": HANDOVER, "instrument": "W1"}
WRENCH = f.instrument(id="W1", what="torque wrench", place=f.key("instruments.2"))


def raised(job: Job) -> list[Raised]:
    """Everything the readings' rules raise."""
    found: list[Raised] = []
    for rule in READINGS:
        assert isinstance(rule, Rule)
        assert rule.check is not None
        found.extend(rule.check(job))
    return found


def only(job: Job, code: str) -> Raised:
    """The one finding there is, which must have this code."""
    found = raised(job)
    assert f.codes(found) == [code], [(r.code, r.says) for r in found]
    return found[0]


def rows(*readings: dict[str, Any]) -> tuple[Any, ...]:
    """Readings in rows 2, 3, ... of the table."""
    return tuple(
        f.reading(**({"place": f.row("readings.csv", n), "id": f"R{n}", "point": str(n)} | r)) for n, r in enumerate(readings, 2)
    )


def of(**changes: Any) -> Job:
    """A job with one reading, on the bonnet at intake unless changed."""
    return f.job(steps=(f.step(),), instruments=(f.instrument(), WRENCH), readings=(f.reading(**changes),))


def film(stage: ReadingStage, *values: str, start: int = 2, **more: Any) -> list[dict[str, Any]]:
    day = {INTAKE: date(2026, 3, 2), BEFORE: date(2026, 3, 3), AFTER: date(2026, 3, 4)}[stage]
    step = "" if stage is INTAKE else "010"
    return [
        {"stage": stage, "step": step, "value": v, "on": day, "point": str(n), "place": f.row("readings.csv", start + n), "id": f"{stage}-{n}"} | more
        for n, v in enumerate(values)
    ]


def test_a_sound_reading_raises_nothing() -> None:
    assert raised(of()) == []


@pytest.mark.parametrize(
    ("change", "code", "column"),
    [
        ({"kind": "film"}, "readings.kind-unknown", "kind"),
        ({"value": None, "value_text": "thick"}, "readings.value-form", "value"),
        ({"unit": "furlong"}, "readings.unit-unknown", "unit"),
        ({"unit": "N·m"}, "readings.unit-wrong", "unit"),
        ({"unit": ""}, "readings.unit-wrong", "unit"),
        ({"value": "-3"}, "readings.impossible", "value"),
        ({"value": "25000"}, "readings.impossible", "value"),
        ({"value": "118", "unit": "mil"}, "readings.unit-slip", "unit"),
        ({"value": "4.6", "unit": "µm"}, "readings.unit-slip", "unit"),
        ({"on": None}, "readings.no-date", "on"),
        ({"by": ""}, "readings.no-by", "by"),
        ({"step": "99"}, "readings.step-unknown", "step"),
        ({"stage": AFTER, "on": date(2026, 3, 4)}, "readings.no-step", "step"),
        ({"zone": "bonet"}, "readings.zone-unknown", "zone"),
        ({"zone": "frame"}, "readings.zone-unknown", "zone"),
        ({"zone": "battery"}, "readings.zone-unlikely", "zone"),
        ({"stage": BEFORE, "step": "10", "zone": "roof", "on": date(2026, 3, 3)}, "readings.zone-not-in-step", "zone"),
        ({"instrument": ""}, "readings.no-instrument", "instrument"),
        ({"instrument": "G2"}, "readings.instrument-unknown", "instrument"),
        ({"instrument": "W1"}, "readings.instrument-unsuited", "instrument"),
        ({"approval": "A9"}, "readings.approval-unknown", "approval"),
        ({"kind": "rust_ri", "value": None, "value_text": "7", "unit": "", "instrument": ""}, "readings.value-form", "value"),
        ({"kind": "colour_lab", "value": None, "value_text": "120 3 4", "unit": "", "instrument": "C1"}, "readings.value-form", "value"),
        ({"expanded_uncertainty": D(0)}, "readings.uncertainty-odd", "uncertainty"),
    ],
)  # fmt: skip
def test_one_fault_one_finding_at_its_column(change: dict[str, Any], code: str, column: str) -> None:
    job = of(**change)
    if change.get("instrument") == "C1":
        colour = f.instrument(id="C1", what="spectrophotometer")
        job = f.job(steps=(f.step(),), instruments=(colour,), readings=job.readings)
    found = only(job, code)
    assert (found.place.row, found.place.column) == (2, column)


def test_what_the_loader_could_not_read_is_not_complained_of_again() -> None:
    assert raised(of(value=None, value_text="", bad=frozenset({"value"}))) == []
    assert raised(of(unit="", bad=frozenset({"unit"}))) == []
    assert raised(of(on=None, bad=frozenset({"on"}))) == []


def test_own_kinds_are_understood_and_faulty_ones_named_once() -> None:
    kind = {"name": "seal_height", "title": "Seal height", "unit": "mm", "low": 0, "high": 40}
    row = {"kind": "seal_height", "value": "12", "unit": "mm"}
    assert raised(f.job(steps=(f.step(),), custom_kinds=(kind,), readings=rows(row))) == []
    faulty = f.job(steps=(f.step(),), custom_kinds=({**kind, "unit": "cubit"},), readings=rows(row))
    assert only(faulty, "readings.custom-kind-wrong").place.key == "kinds.1"


def test_repeated_row() -> None:
    row = {"point": "1", "id": ""}
    assert only(f.job(readings=rows(row, row)), "readings.repeated-row").place.row == 3


# --- limits ---------------------------------------------------------------------------------------------------------

LIMITED: dict[str, Any] = {**TORQUE, "on": date(2026, 3, 20), "limit_min": D(72), "limit_max": D(88), "limit_source": "the maker's manual"}


@pytest.mark.parametrize(
    ("value", "u", "code"),
    [
        ("80", "3", None), ("72", None, None), ("88", None, None),
        ("88.01", None, "readings.outside-limits"), ("71.99", None, "readings.outside-limits"),
        ("74", "3", "readings.conditional-pass"), ("70", "3", "readings.conditional-fail"),
        ("68.9", "3", "readings.outside-limits"), ("80", "9", "readings.uncertainty-odd"),
    ],
)  # fmt: skip
def test_four_words(value: str, u: str | None, code: str | None) -> None:
    job = of(**LIMITED, value=value, expanded_uncertainty=None if u is None else D(u))
    found = [c for c in f.codes(raised(job)) if code != "readings.uncertainty-odd" or c not in NOTHING_SAID]
    assert found == ([] if code is None else [code])


def test_a_lower_limit_flips_the_sign() -> None:
    """ILAC-G8 guard band on a lower limit: tread 1.6 mm, U 0.1 (check values, section 8, OWN)."""
    words = {"1.7": "pass", "1.65": "conditional pass", "1.55": "conditional fail", "1.45": "fail"}
    for value, word in words.items():
        job = of(kind="tyre_tread", unit="mm", zone="tyre-front-left", value=value, limit_min=D("1.6"), expanded_uncertainty=D("0.1"))
        assert judge(job, job.readings[0]).word == word


def test_without_uncertainty_the_rule_says_so() -> None:
    verdict = judge(job := of(**LIMITED, value="80"), job.readings[0])
    assert verdict.rule_text == "simple acceptance, uncertainty not considered"
    assert verdict.probability is None
    assert verdict.counts_as_evidence


def test_limits_come_from_the_row_then_the_zone_then_the_job() -> None:
    limits = (
        f.limit(kind="tightening_torque", min=D(50), max=D(60), unit="lbf·ft", place=f.key("limits.1")),
        f.limit(kind="tightening_torque", zone="wheel-front-left", min=D(70), max=None, unit="N·m", place=f.key("limits.2")),
    )
    reading = {**TORQUE, "value": "80", "on": date(2026, 3, 20)}
    job = f.job(limits=limits, instruments=(WRENCH,), readings=rows(LIMITED | {"value": "80"}, reading, reading | {"zone": "wheel-rear-left"}))
    own, zone, any_zone = (limits_of(job, r, understood(job, r)) for r in job.readings)
    assert (own.low, own.origin) == (D(72), "reading")
    assert (zone.low, zone.high, zone.origin) == (D(70), None, "job")
    # 50 lbf·ft = 67.790897... N·m: exact by definition of lbf and foot.
    assert any_zone.low is not None
    assert abs(any_zone.low - D("67.79089741657002")) < D("1e-13")
    assert any_zone.written_low == D(50)


def test_published_limits_need_the_record_to_choose_them() -> None:
    fluid = of(kind="brake_fluid_boiling_point", unit="°F", value="300", detail="DOT 4", zone="brake-hydraulics")
    assert judge(fluid, fluid.readings[0]).word == "fail"  # 311 °F, NHTSA letter (PUB-A)
    tread = f.reading(kind="tyre_tread", unit="mm", zone="tyre-front-left", value="1.59")
    words = {c: judge(f.job(settings={"tyre_jurisdiction": c}), tread).word for c in ("US", "EU", "GB")}
    assert words == {"US": "pass", "EU": "fail", "GB": "fail"}
    assert judge(f.job(), tread).rule_text == "no limit on record"


def test_exceptions() -> None:
    bad: dict[str, Any] = {**LIMITED, "value": "95"}
    assert only(of(**bad, exception="soft wheel"), "readings.exception-unapproved").place.column == "approval"
    assert only(of(**bad, approval="A1"), "readings.exception-without-reason").place.column == "exception"
    assert raised(of(**bad, exception="soft wheel", approval="A1")) == []
    no = f.job(instruments=(WRENCH,), approvals=(f.approval(decision=Decision.DECLINED),), readings=rows(bad | {"exception": "x", "approval": "A1"}))
    assert "declined" in only(no, "readings.exception-unapproved").says
    assert only(of(**LIMITED | {"value": "80"}, exception="x", approval="A1"), "readings.exception-needless")


def test_found_outside_on_arrival_is_asked_for_again_only_if_nobody_measured_later() -> None:
    worn: dict[str, Any] = {**LIMITED, "value": "60", "stage": INTAKE, "on": date(2026, 3, 2)}
    good: dict[str, Any] = {**LIMITED, "value": "80"}
    assert only(f.job(instruments=(WRENCH,), readings=rows(worn)), "readings.not-measured-again").place.row == 2
    assert raised(f.job(instruments=(WRENCH,), readings=rows(worn, good))) == []


def test_faulty_limits() -> None:
    assert only(of(**LIMITED | {"limit_min": D(90), "value": "80"}), "readings.limits-crossed").place.column == "limit_min"
    assert only(of(**LIMITED | {"limit_source": "", "value": "80"}), "readings.limit-without-source")
    for change in ({"unit": "N·m"}, {"kind": "film"}, {"min": None, "max": None}):
        assert only(f.job(limits=(f.limit(**change),)), "readings.limit-unusable").place.key is not None
    assert only(f.job(limits=(f.limit(source=""),)), "readings.limit-without-source").place.key == "limits.1.source"


@pytest.mark.parametrize(
    ("day", "code"),
    [(date(2027, 1, 10), None), (date(2027, 1, 11), "readings.out-of-calibration"), (date(2026, 1, 9), "readings.out-of-calibration")],
)
def test_calibration_counts_up_to_the_due_day(day: date, code: str | None) -> None:
    job = of(on=day)
    assert f.codes(raised(job)) == ([code] if code else [])
    assert judge(job, job.readings[0]).counts_as_evidence is (code is None)


def test_calibration_months_end_on_a_day_there_is() -> None:
    """2026-01-31 + 1 month is 2026-02-28 (check values, section 8)."""
    month = f.instrument(calibrated_on=date(2026, 1, 31), interval_months=1)
    codes = [f.codes(raised(f.job(instruments=(month,), readings=(f.reading(on=date(2026, *d)),)))) for d in ((2, 28), (3, 1))]
    assert codes == [[], ["readings.out-of-calibration"]]


def test_measured_again_in_calibration_is_only_a_note() -> None:
    late, old = f.instrument(), f.instrument(id="G0", calibrated_on=date(2024, 1, 1))
    job = f.job(
        instruments=(late, old), steps=(f.step(),),
        readings=rows({"instrument": "G0"}, {"stage": AFTER, "step": "10", "on": date(2026, 3, 4)}),
    )  # fmt: skip
    assert only(job, "readings.out-of-calibration-repeated").place.row == 2


def test_calibration_not_recorded() -> None:
    for change in ({"calibrated_on": None}, {"interval_months": None}):
        found = only(f.job(instruments=(f.instrument(**change),), readings=rows({}, {})), "readings.not-calibrated")
        assert found.place.key == f"instruments.1.{next(iter(change))}"


# --- neighbours -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("value", "slip"), [("181", "118"), ("1180", "118")])
def test_slip_of_the_pen(value: str, slip: str) -> None:
    job = f.job(steps=(f.step(),), readings=rows({"value": "121"}, {"value": value}, {"value": "119"}, {"value": "116"}))
    found = [r for r in raised(job) if r.code in ("readings.typing-slip", "readings.unit-slip")]
    assert [r.place.row for r in found] == [3]
    assert slip in found[0].says


def test_a_lone_unit_among_others() -> None:
    job = f.job(readings=rows({"value": "118"}, {"value": "4.7", "unit": "mil"}, {"value": "119"}))
    assert only(job, "readings.unit-differs").place.row == 3
    assert raised(f.job(readings=rows({"value": "118"}, {"value": "4.7", "unit": "mil"}))) == []


def test_a_stage_mistyped_shows_in_the_points() -> None:
    torque = TORQUE | {"step": "010", "stage": AFTER, "on": date(2026, 3, 4), "zone": "bonnet"}
    values = rows(*(torque | {"value": v} for v in ("88", "90", "91")), torque | {"value": "89", "stage": BEFORE})
    job = f.job(steps=(f.step(),), instruments=(WRENCH,), readings=values)
    assert only(job, "readings.points-differ").place.row == 5


def test_a_point_measured_twice() -> None:
    thrice = [{"value": v, "point": p} for v, p in (("118", "1"), ("121", "2"), ("119", "3"))]
    job = f.job(readings=rows(*thrice, {"value": "126", "point": "2"}))
    assert only(job, "readings.point-twice").place.row == 5
    even = [{"value": v, "point": p, "on": datetime(2026, 3, 2, 11)} for v, p in (("118", "1"), ("121", "2"), ("119", "3"))]
    assert raised(f.job(readings=rows(*thrice, *even))) == []


def test_a_real_repair_is_no_slip() -> None:
    spread = rows({"value": "112"}, {"value": "240"}, {"value": "265"}, {"value": "118"})
    assert raised(f.job(readings=spread)) == []


def disc(*values: str, **more: Any) -> list[dict[str, Any]]:
    return [
        {"kind": "disc_thickness", "unit": "mm", "value": v, "zone": "brake-front-left", "stage": HANDOVER, "instrument": "M1", "on": date(2026, 3, 20)} | more
        for v in values
    ]


# Worked values of check_values.md, section 5 (OWN, with limits of a maker's manual, PUB-B): 26.43 - 26.41 is 0.02 in
# decimals, and more than 0.015; in binary numbers it is not exactly 0.02.
EIGHT = ("26.42", "26.43", "26.42", "26.41", "26.42", "26.43", "26.42", "26.42")
MICROMETER = f.instrument(id="M1", what="micrometer")


@pytest.mark.parametrize(("most", "code"), [("0.015", ["readings.disc-variation"]), ("0.02", [])])
def test_disc_variation_follows_from_the_thicknesses(most: str, code: list[str]) -> None:
    limit = f.limit(kind="disc_thickness_variation", min=None, max=D(most), unit="mm")
    assert f.codes(raised(f.job(instruments=(MICROMETER,), limits=(limit,), readings=rows(*disc(*EIGHT))))) == code


def test_variation_written_down_must_agree() -> None:
    stated = {"kind": "disc_thickness_variation", "unit": "mm", "value": "0.02"}
    sound = rows(*disc(*EIGHT), *disc("0", **stated))
    assert raised(f.job(instruments=(MICROMETER,), readings=sound)) == []
    wrong = rows(*disc(*EIGHT[:7], "26.24"), *disc("0", **stated))
    assert only(f.job(instruments=(MICROMETER,), readings=wrong), "readings.variation-disagrees").place.row == 10


# --- paint ----------------------------------------------------------------------------------------------------------


def polish(before: list[str], after: list[str], limit: str | None = "7.62") -> Job:
    readings = rows(*film(BEFORE, *before), *film(AFTER, *after, start=20))
    limits = (f.limit(kind="film_removal", min=None, max=D(limit), unit="µm"),) if limit else ()
    return f.job(steps=(f.step(),), limits=limits, readings=readings)


def test_film_removed() -> None:
    assert raised(polish(["118", "117", "119"], ["114", "113", "115"])) == []
    found = only(polish(["118", "117", "119"], ["104", "103", "105"]), "readings.film-removed")
    assert "14.0" in found.says
    assert raised(polish(["118", "117", "119"], ["104", "103", "105"], limit=None)) == []


def test_the_limit_of_removal_may_be_written_in_mil() -> None:
    """0.3 mil is 7.62 µm exactly (international inch of 1959): 7.6 µm off passes, 7.7 µm does not."""
    for after, codes in (("110.4", []), ("110.3", ["readings.film-removed"])):
        job = polish(["118"], [after], limit=None)
        mil = f.limit(kind="film_removal", min=None, max=D("0.3"), unit="mil")
        assert f.codes(raised(f.job(steps=job.steps, readings=job.readings, limits=(mil,)))) == codes


def test_film_removed_at_one_point() -> None:
    before, after = ["120", "118", "119", "121", "122", "120"], ["118", "116", "117", "119", "120", "105"]
    assert only(polish(before, after, limit="9"), "readings.film-removed-at-point").place.row == 25


def test_film_grown_and_points() -> None:
    assert only(polish(["118", "117", "119"], ["115", "128", "116"]), "readings.film-grown").place.row == 21
    assert only(polish(["118", "117", "119"], ["115", "114"]), "readings.points-differ").place.row == 4


def test_thick_panel_is_a_note_about_the_cars_own_median() -> None:
    zones = ("bonnet", "roof", "tailgate", "door-front-left", "wing-rear-right")
    readings = [r for n, z in enumerate(zones) for r in film(INTAKE, *(["240"] * 3 if n == 4 else ["118", "120", "119"]), zone=z, start=10 * n + 2)]
    job = f.job(readings=rows(*[r | {"id": f"{r['zone']}{n}", "on": datetime(2026, 3, 2, 10, n)} for n, r in enumerate(readings)]))
    found = only(job, "readings.film-thick")
    assert found.place.row == 42
    assert "median by 121" in found.says
    assert "cannot prove" in found.says


def test_thin_panel_before_polishing() -> None:
    job = f.job(steps=(f.step(),), readings=rows(*film(INTAKE, "79", "84", "86")))
    assert only(job, "readings.film-thin").place.row == 2
    assert raised(f.job(steps=(f.step(operation=Operation.CLEAN),), readings=job.readings)) == []


def test_settings() -> None:
    thin = f.job(steps=(f.step(),), readings=rows(*film(INTAKE, "79", "84", "86")), settings={"film_thin_below_um": 75})
    assert raised(thin) == []
    for name, value in (("film_thin", 90), ("film_ratio", 0), ("film_ratio", "much"), ("tyre_jurisdiction", "XX"), ("film_spread_um", True)):
        assert only(f.job(settings={name: value}), "readings.setting-wrong").place.key == f"settings.{name}"
    assert raised(f.job(settings={"tyre_jurisdiction": "EU", "film_ratio": 1.4})) == []


GLOSS = f.instrument(id="L1", what="glossmeter")


@pytest.mark.parametrize(("value", "codes"), [("70.0", []), ("70.1", ["readings.gloss-geometry"]), ("10.0", []), ("9.9", ["readings.gloss-geometry"])])
def test_gloss_geometry_edges(value: str, codes: list[str]) -> None:
    """ASTM D523 as summarised (PUB-C): above 70 use 20°, below 10 use 85°."""
    row = {"kind": "gloss_60", "value": value, "unit": "GU", "instrument": "L1"}
    assert f.codes(raised(f.job(instruments=(GLOSS,), readings=rows(row)))) == codes


def test_gloss_is_not_compared_across_angles() -> None:
    row: dict[str, Any] = {"value": "60", "unit": "GU", "instrument": "L1", "step": "10", "point": "1"}
    one = row | {"kind": "gloss_60", "stage": BEFORE, "on": date(2026, 3, 3)}
    other = row | {"kind": "gloss_20", "stage": AFTER, "on": date(2026, 3, 4)}
    job = f.job(steps=(f.step(),), instruments=(GLOSS,), readings=rows(one, other))
    assert only(job, "readings.gloss-not-comparable").place.row == 3


COLOUR = f.instrument(id="C1", what="spectrophotometer")


def colour(value: str, point: str, **more: Any) -> dict[str, Any]:
    return {"kind": "colour_lab", "value": None, "value_text": value, "unit": "", "instrument": "C1", "point": point, "stage": AFTER, "step": "10", "on": date(2026, 3, 4)} | more


def test_colour_is_judged_by_its_difference_from_the_reference() -> None:
    """Pair 1 of Sharma, Wu and Dalal, Color Res. Appl. 30 (2005) 21-30: ΔE00 = 2.0425 (PUB-B)."""
    readings = rows(colour("50 2.6772 -79.7751", "reference"), colour("50 0 -82.7485", "centre"))
    limit = f.limit(kind="colour_lab", min=None, max=D("2.0"), unit="")
    job = f.job(steps=(f.step(),), instruments=(COLOUR,), limits=(limit,), readings=readings)
    verdict = judge(job, readings[1])
    assert verdict.judged_value == D("2.0425")
    assert judge(job, readings[0]).rule_text == "the reference itself"
    assert "2.0425" in only(job, "readings.outside-limits").says


def test_colour_needs_a_reference_at_its_own_angle() -> None:
    readings = rows(colour("50 0 0", "reference 15"), colour("50 0 0", "centre 45"), colour("50 0 1", "centre 15"))
    job = f.job(steps=(f.step(),), instruments=(COLOUR,), readings=readings)
    assert only(job, "readings.no-reference-colour").place.row == 3


@pytest.mark.parametrize(
    ("kind", "before", "after", "worse"),
    [("rust_ri", "3", "1", False), ("rust_ri", "1", "3", True), ("rust_d610", "4-G", "9-S", False), ("rust_d610", "9-S", "4-G", True), ("cross_cut", "1", "3B", True)],
)
def test_grades_run_both_ways(kind: str, before: str, after: str, worse: bool) -> None:
    row: dict[str, Any] = {"kind": kind, "value": None, "unit": "", "instrument": "X1", "step": "10", "point": "1"}
    pair = rows(row | {"stage": BEFORE, "value_text": before, "on": date(2026, 3, 3)}, row | {"stage": AFTER, "value_text": after, "on": date(2026, 3, 4)})
    job = f.job(steps=(f.step(),), instruments=(f.instrument(id="X1", what="cross cut tool"),), readings=pair)
    assert f.codes(r for r in raised(job) if r.code != "readings.instrument-unsuited") == (["readings.grade-worse"] if worse else [])


@pytest.mark.parametrize(("surface", "codes"), [("12.3", []), ("12.2", ["readings.dew-point"])])
def test_dew_point(surface: str, codes: list[str]) -> None:
    """20 °C and 50 % RH: dew point 9.3 °C in published tables (9.26 by the Magnus formula), so 12.26 °C is the edge."""
    at: dict[str, Any] = {"stage": ReadingStage.DURING, "step": "10", "zone": "whole", "on": datetime(2026, 3, 3, 10), "instrument": "T1"}
    job = f.job(
        steps=(f.step(operation=Operation.PAINT),),
        instruments=(f.instrument(id="T1", what="thermohygrometer"), f.instrument(id="S1", what="surface thermometer")),
        readings=rows(
            at | {"kind": "surface_temperature", "value": surface, "unit": "°C", "zone": "bonnet", "instrument": "S1"},
            at | {"kind": "air_temperature", "value": "68", "unit": "°F"},
            at | {"kind": "relative_humidity", "value": "50", "unit": "%RH"},
        ),
    )  # fmt: skip
    assert f.codes(raised(job)) == codes


# --- running gear ---------------------------------------------------------------------------------------------------


def test_brake_fluids() -> None:
    silicone = f.material(kind=MaterialKind.FLUID, name="Brake fluid DOT 5")
    glycol = f.material(id="M2", kind=MaterialKind.FLUID, name="Brake fluid DOT 5.1", place=f.row("materials.csv", 3))
    assert only(f.job(materials=(silicone, glycol)), "readings.fluid-mixed").place == f.row("materials.csv", 3).at("name")
    tester = f.instrument(id="B1", what="boiling point tester")
    row = {"kind": "brake_fluid_boiling_point", "value": "170", "unit": "°C", "zone": "brake-hydraulics", "instrument": "B1"}
    job = f.job(instruments=(tester,), materials=(silicone,), readings=rows(row | {"detail": "DOT 4"}))
    assert only(job, "readings.fluid-base-changed").place.file == "materials.csv"
    assert only(f.job(instruments=(tester,), readings=rows(row)), "readings.fluid-grade-unknown").place.column == "detail"


TYRE: dict[str, Any] = {"kind": "tyre_date_code", "value": None, "unit": "", "zone": "tyre-front-left", "instrument": ""}


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("3623", []), ("0316", ["readings.tyre-old"]), ("0416", ["readings.tyre-old"]), ("2616", []),
        ("0000", ["readings.value-form"]), ("5420", ["readings.value-form"]), ("36-23", ["readings.value-form"]),
        ("2336", ["readings.tyre-code-future"]), ("031", ["readings.tyre-old"]),
    ],
)  # fmt: skip
def test_tyre_codes(code: str, expected: list[str]) -> None:
    """Week then year (49 CFR 574.5, PUB-A); ten years are advice of 2001 (PUB-C)."""
    assert f.codes(raised(f.job(readings=rows(TYRE | {"value_text": code})))) == expected


def test_only_the_tyre_the_car_leaves_on_is_old() -> None:
    old, new = TYRE | {"value_text": "2209"}, TYRE | {"value_text": "0126", "stage": HANDOVER, "on": date(2026, 3, 20)}
    assert raised(f.job(readings=rows(old, new))) == []


@pytest.mark.parametrize(
    ("value", "unit", "detail", "asked"),
    [
        ("50", "N·m", "M10 8.8", False), ("50", "kgf·m", "M10 8.8", True), ("90", "N·m", "M12 10.9", False),
        ("600", "N·m", "M12 10.9", True), ("9", "N·m", "M12 10.9", True), ("600", "N·m", "M12x1.5 10.9", False),
        ("600", "N·m", "M12 nut", False),
    ],
)  # fmt: skip
def test_torque_against_the_bolt(value: str, unit: str, detail: str, asked: bool) -> None:
    """Proof loads of ISO 898-1 (PUB-C) and T = K F d (Shigley, PUB-B)."""
    job = of(**TORQUE | {"value": value, "unit": unit, "detail": detail, "on": date(2026, 3, 20)})
    assert [c for c in f.codes(raised(job)) if c == "readings.torque-implausible"] == ["readings.torque-implausible"] * asked


def test_odometer_rows_agree_with_the_head() -> None:
    row = {"kind": "odometer", "zone": "instruments", "instrument": "", "unit": "km", "value": "61200"}
    assert raised(f.job(readings=rows(row))) == []
    assert only(f.job(readings=rows(row | {"value": "61210"})), "readings.odometer-differs").place.row == 2
    # 1 mi = 1.609344 km exactly: 38,027.9 miles are 61,200 km; tenths are dropped.
    assert raised(f.job(readings=rows(row | {"value": "38027.9", "unit": "mi"}))) == []
