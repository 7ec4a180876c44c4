"""The palette against published formulas."""

from __future__ import annotations

import itertools

import pytest

from buildbook.render.pdf import style

_TEXT = {
    "ink": style.INK,
    "quiet": style.QUIET,
    "accent": style.ACCENT,
    "good": style.GOOD,
    "warn": style.WARN,
    "bad": style.BAD,
}


def _linear(colour: str) -> list[float]:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    return [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]


def _luminance(colour: str) -> float:
    red, green, blue = _linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.1 (W3C Recommendation), "contrast ratio" and "relative luminance"."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_formula_at_its_published_ends() -> None:
    """WCAG 2.1: ratios range from 1 to 21; #767676 on white is the well-known 4.54 (from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", _TEXT)
@pytest.mark.parametrize("ground", [style.WHITE, style.PAPER])
def test_text_has_the_contrast_wcag_asks(name: str, ground: str) -> None:
    """WCAG 2.1, success criterion 1.4.3: 4.5:1 for text."""
    assert contrast(_TEXT[name], ground) >= 4.5


# Deuteranopia and protanopia in linear RGB: Viénot, Brettel and Mollon 1999, matrices as commonly printed (from memory).
_DEUTAN = ((0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0))
_PROTAN = ((0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0))


def _lab(linear: list[float]) -> tuple[float, float, float]:
    red, green, blue = (min(max(part, 0.0), 1.0) for part in linear)
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089

    def curve(value: float) -> float:
        return value ** (1 / 3) if value > 216 / 24389 else (24389 / 27 * value + 16) / 116

    return 116 * curve(y) - 16, 500 * (curve(x) - curve(y)), 200 * (curve(y) - curve(z))


@pytest.mark.parametrize("matrix", [_DEUTAN, _PROTAN])
def test_good_warn_and_bad_stay_apart_for_the_colour_blind(matrix: tuple[tuple[float, ...], ...]) -> None:
    """Any two of the three tones by at least 20 units of the CIE 1976 colour difference."""
    seen = {}
    for name in ("good", "warn", "bad"):
        linear = _linear(_TEXT[name])
        seen[name] = _lab([sum(factor * part for factor, part in zip(row, linear, strict=True)) for row in matrix])
    for one, other in itertools.combinations(seen, 2):
        apart = sum((a - b) ** 2 for a, b in zip(seen[one], seen[other], strict=True)) ** 0.5
        assert apart >= 20, (one, other, apart)
