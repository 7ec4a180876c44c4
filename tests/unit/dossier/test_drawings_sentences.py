"""Sentences: numbers to the same decimals, the word of the rule, and no more than was measured."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from buildbook.dossier.drawings import sentences as say
from buildbook.dossier.drawings.numbers import amount, fixed, pair
from buildbook.trade.climate import LEAST_MARGIN, check_dew_point
from buildbook.trade.curing import check_cure
from buildbook.trade.engine import compare_cylinders
from buildbook.trade.film import accept_80_20, judge_removal, removal, signs_of_repair
from buildbook.trade.gloss import gloss_change
from buildbook.trade.statistics import Summary, summarise
from buildbook.trade.tyres import age_on, age_word, parse_date_code

D = Decimal


def flat(text):
    return text.replace("\u00a0", " ").replace("\u2212", "-")


@pytest.mark.parametrize(
    ("value", "uncertainty", "shown"),
    [
        # JCGM 100:2008 (GUM), 7.2.4: m = (100.021 47 ± 0.000 79) g (PUB-A, quoted from memory).
        ("100.02147", "0.00079", ("100.02147", "0.00079")),
        ("3.4", "1.93", ("3.4", "1.9")),
        ("2.9", "0.1", ("2.9", "0.1")),
        ("10.152", "0.004", ("10.152", "0.004")),
        ("145.27", "12.34", ("145", "12")),
        ("1234.5", "60", ("1,234", "60")),  # 1234.5 is half way: to even
        ("-3.24", "1.93", ("−3.2", "1.9")),
        # GUM 7.2.6 lets an uncertainty be rounded up (MEM); we go up where rounding down would lose over 5 %.
        ("1", "0.0147", ("1.000", "0.015")),
    ],
)
def test_value_and_uncertainty_to_the_same_decimals(value, uncertainty, shown):
    assert pair(D(value), D(uncertainty)) == shown


def test_numbers_without_uncertainty_stay_as_written():
    assert amount(D("12.700"), None, "mm") == "12.700\u00a0mm"
    assert fixed(D("-0.04"), 1) == "0.0"
    assert pair(D(5), None) == ("5", "")


def summary(n, mean, s):
    return Summary(n, D(mean), D(mean), D(mean), D(s), D(s) / D(n).sqrt())


def test_polishing_in_one_sentence():
    """Worked example of check_values 1.5 (OWN): 118.2 to 114.8, s 2.1 and 2.0, n 9; U 1.93; limit 0.3 mil."""
    found = removal(summary(9, "118.2", "2.1"), summary(9, "114.8", "2.0"))
    said = flat(say.removal_sentence("bonnet", found, judge_removal(found, D("7.62")), 9))
    assert said == "Polishing took 3.4 ± 1.9 µm off the bonnet (9 points); limit 7.62 µm: pass."
    assert flat(say.removal_sentence("bonnet", found, None, 1)).endswith("(1 point); no limit on record.")


def test_polishing_that_adds_film_is_said_to_be_impossible():
    found = removal(summary(9, "114.8", "2.0"), summary(9, "118.2", "2.1"))
    said = flat(say.removal_sentence("wing-front-left", found, None, 9))
    assert "the left front wing reads 3.4 ± 1.9 µm thicker than before" in said
    assert "cannot" in said


def test_signs_of_repair_are_never_a_fact():
    panels = {name: [D(v)] * 3 for name, v in (("bonnet", 120), ("roof", 118), ("sill-left", 122), ("wing-rear-right", 230))}
    (panel,) = signs_of_repair(panels)
    said = flat(say.signs_sentence(panel))
    assert said.startswith("The right rear wing: 230 µm (n = 3), thicker than this car's own median by 109 µm;")
    assert "consistent with" in said
    assert "cannot prove" in said
    assert "was repainted" not in said


def test_acceptance_names_rule_and_reasons():
    """Panels 1 and 2 of check_values 1.2 (OWN)."""
    good = accept_80_20([D(v) for v in (125, 131, 118, 122, 126, 127, 121, 133, 120, 124)], D(120))
    bad = accept_80_20([D(v) for v in (125, 131, 118, 122, 97, 127, 121, 133, 120, 124)], D(120))
    assert "mean 124.7 µm, least 118 µm, n = 10" in flat(say.acceptance_sentence("bonnet", good, D(120)))
    assert ": accepted; a rule for steel structures, borrowed." in flat(say.acceptance_sentence("bonnet", good, D(120)))
    assert "not accepted (too large a share of low readings)" in flat(say.acceptance_sentence("bonnet", bad, D(120)))


def test_gloss_gain_and_loss():
    gain = flat(say.gloss_sentence("roof", gloss_change(20, D("16.13"), 20, D("80.47")), D("0.93")))
    assert gain == "Gloss at 20° on the roof went from 16.1 to 80.5 GU: a gain of 64.3 ± 0.9 GU."
    assert "a loss of 4.0 GU" in flat(say.gloss_sentence("roof", gloss_change(60, D(84), 60, D(80)), None))


def test_colour_needs_a_limit_for_a_word():
    said = flat(say.colour_sentence("bonnet", "centre", D("0.4382"), "door-front-left", "pass", D(1)))
    assert said == (
        "Colour of the bonnet, centre, differs by ΔE00 0.44 from the left front door; limit at most 1: pass."
    )
    assert flat(say.colour_sentence("bonnet", "", D("0.44"), "roof", "", None)).endswith("; no limit on record.")


def test_dew_point_and_cure():
    found = check_dew_point(D("19.6"), D("20.4"), D(51))
    said = flat(say.dew_sentence("Before epoxy primer", D("19.6"), found, LEAST_MARGIN))
    assert said.endswith("at least 3 °C asked for: pass.")
    start = datetime(2026, 3, 26, 10, 0, tzinfo=UTC)
    # The log of check_values 9 (OWN): 30 min in all, 15 min unbroken.
    log = [(start + timedelta(minutes=m), D(t)) for m, t in ((0, 55), (5, 60), (15, 62), (20, 58), (25, 61), (40, 61))]
    cure = check_cure(log, D(60), timedelta(minutes=20), measured="metal")
    assert flat(say.cure_sentence("bonnet", cure, D(60))) == (
        "Metal of the bonnet at or above 60 °C for 30 min in all; 20 min asked for: reached."
    )
    unbroken = check_cure(log, D(60), timedelta(minutes=20), measured="metal", unbroken=True)
    assert flat(say.cure_sentence("bonnet", unbroken, D(60))).endswith("for 15 min in one stretch; 20 min asked for: not reached.")


def test_tyre_age_is_a_range():
    code = parse_date_code("2209")
    day = datetime(2026, 4, 24, tzinfo=UTC).date()
    age = age_on(code, day)
    said = flat(say.age_sentence(["tyre-front-left", "tyre-front-right"], code, age, "24 April 2026", age_word(age), 10))
    assert said == (
        "The left front tyre and the right front tyre: date code 2209, week 22 of 2009; 16 whole years old on 24 April "
        "2026, over 10 years."
    )


def test_compression_by_cylinder():
    found = compare_cylinders({"1": D("10.8"), "2": D("10.9"), "3": D("10.6"), "4": D("10.8")}, minimum=D(9))
    said = flat(say.compression_sentence("handover", found, "bar"))
    assert "10.6 bar (3) to 10.9 bar (2); spread 2.8 % of the highest" in said
    assert said.endswith("lowest against 9 bar: pass.")


def test_discs_and_the_reading_that_decides():
    from buildbook.trade.brakes import judge_disc, thickness_variation

    values = [D("10.152"), D("10.214"), D("10.181"), D("10.197")]
    said = flat(say.disc_sentence("brake-front-left", "before the work", summarise(values), judge_disc(values, D("10.5")),
                                  thickness_variation(values), "mm"))  # fmt: skip
    assert said == (
        "Disc of the left front brake, before the work: thinnest of 4 points 10.152 mm; minimum 10.5 mm: fail. "
        "Thickness variation 0.062 mm."
    )
    worst = flat(say.worst_sentence("Tread", "the left front tyre", D("2.9"), D("0.1"), "mm", "pass", D("1.6"), None, 3))
    assert worst == "Tread, the left front tyre: 2.9 ± 0.1 mm (decides among 3); limit at least 1.6 mm: pass."


@pytest.mark.parametrize(
    ("zone", "words"),
    [("bonnet", "the bonnet"), ("wing-front-left", "the left front wing"), ("our-own-zone", "our-own-zone"),
     ("", "a place not recorded"), ("side-cover-right", "the right side cover")],
)  # fmt: skip
def test_zones_within_a_sentence(zone, words):
    assert say.the(zone) == words


def test_lists_are_counted_when_long():
    assert say.listed(["a"]) == "a"
    assert say.listed(["a", "b", "c"]) == "a, b and c"
    assert say.listed([str(n) for n in range(9)], most=4) == "0, 1, 2 and 6 more"
