"""The scale of film thickness: even in lightness, apart for everybody, readable under text."""

from itertools import pairwise

import pytest
from coloraide import Color

from buildbook.dossier.drawings.palette import MOST_CLASSES, contrast, luminance, scale, text_on

CLASSES = range(2, MOST_CLASSES + 1)
# Neighbouring classes differ by at least this much, for normal and for simulated vision. Between panels of a plan,
# parted by outlines, differences of some 3 units are seen (common practice, no source); we ask twice that.
LEAST_DIFFERENCE = 6.0
# Machado, Oliveira, Fernandes: A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE TVCG 15
# (2009), severity 1.0, on linear RGB. Figures from memory, held against coloraide's below.
MACHADO = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}


def seen(colour, deficiency):
    linear = Color(colour).convert("srgb-linear")
    mixed = [sum(m * c for m, c in zip(row, linear[:3], strict=True)) for row in MACHADO[deficiency]]
    return Color("srgb-linear", [min(max(v, 0.0), 1.0) for v in mixed])


@pytest.mark.parametrize("classes", CLASSES)
def test_lightness_falls_evenly(classes):
    steps = [a - b for a, b in pairwise(Color(c).convert("oklch")[0] for c in scale(classes))]
    assert min(steps) > 0
    assert max(steps) - min(steps) < 0.012


@pytest.mark.parametrize("classes", CLASSES)
def test_grey_prints_keep_the_order(classes):
    grey = [luminance(c) for c in scale(classes)]
    assert grey == sorted(grey, reverse=True)
    lightness = [Color(c).convert("lab-d65")[0] for c in scale(classes)]
    assert min(a - b for a, b in pairwise(lightness)) > 9  # CIE L*, of 100


@pytest.mark.parametrize("classes", CLASSES)
@pytest.mark.parametrize("deficiency", [None, *MACHADO])
def test_neighbours_stay_apart(classes, deficiency):
    colours = [Color(c) if deficiency is None else seen(c, deficiency) for c in scale(classes)]
    assert min(a.delta_e(b, method="2000") for a, b in pairwise(colours)) >= LEAST_DIFFERENCE


@pytest.mark.parametrize("deficiency", list(MACHADO))
def test_the_simulation_agrees_with_a_reference_library(deficiency):
    for colour in scale(MOST_CLASSES):
        ours, theirs = seen(colour, deficiency), Color(colour).filter(deficiency, method="machado")
        assert ours.delta_e(theirs.clip(), method="2000") < 0.5


@pytest.mark.parametrize("classes", CLASSES)
def test_text_on_every_class_is_readable(classes):
    """WCAG 2.1, success criterion 1.4.3: at least 4.5:1."""
    for colour in scale(classes):
        assert contrast(text_on(colour), colour) >= 4.5


@pytest.mark.parametrize("grey", [f"#{v:02x}{v:02x}{v:02x}" for v in range(0, 256, 5)])
def test_there_is_a_readable_colour_for_any_fill(grey):
    assert contrast(text_on(grey), grey) >= 4.5


def test_contrast_against_published_values():
    """WCAG 2.1: black on white is 21:1; #767676 on white is the lightest grey at 4.54:1 (understanding document, MEM)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_a_scale_of_one_class_is_refused():
    with pytest.raises(ValueError, match="2 to 8"):
        scale(1)
