"""Tints: the textbook laws at worked values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.ink.halftone import apparent_coverage, effective_coverage, fit_gain, mix, yule_nielsen
from tests.ink.laws import law

shares = st.floats(0, 1)


def areas(coverages):
    """What each set of inks covers: the mixture of rows that tell the sets apart."""
    return mix(np.eye(2 ** len(coverages)), coverages)


def test_demichel_of_two_inks():
    # S. Westland, C. Ripamonti, Computational Colour Science Using MATLAB, p. 147, eq. 9.7: c = 0.4, m = 0, y = 0.4
    # gives white 0.36, cyan 0.24, yellow 0.24, green 0.16.
    found = areas([0.4, 0.0, 0.4])
    assert found[[0b000, 0b001, 0b100, 0b101]] == pytest.approx([0.36, 0.24, 0.24, 0.16])
    assert found[[0b010, 0b011, 0b110, 0b111]] == pytest.approx([0, 0, 0, 0])


@pytest.mark.parametrize(
    ("coverages", "wanted"),
    [
        # Worked by hand from the formula; the order is paper, first, second, both.
        ((0, 0), (1, 0, 0, 0)),
        ((1, 0), (0, 1, 0, 0)),
        ((0.5, 0.5), (0.25, 0.25, 0.25, 0.25)),
        ((0.4, 0.3), (0.42, 0.28, 0.18, 0.12)),
        ((0.25, 0.75), (0.1875, 0.0625, 0.5625, 0.1875)),
        ((1, 1), (0, 0, 0, 1)),
        ((0.7152, 0.4008), (0.170652, 0.428548, 0.114148, 0.286652)),
        # Three inks: paper, 1, 2, 12, 3, 13, 23, 123.
        ((0.5, 0.3, 0.2), (0.28, 0.28, 0.12, 0.12, 0.07, 0.07, 0.03, 0.03)),
        ((0.2, 0.5, 0.7), (0.12, 0.03, 0.12, 0.03, 0.28, 0.07, 0.28, 0.07)),
    ],
)
def test_demichel_at_worked_values(coverages, wanted):
    assert areas(coverages) == pytest.approx(wanted, abs=5e-7)


@law
@given(st.lists(shares, min_size=1, max_size=8))
def test_areas_are_products_and_add_up(coverages):
    wanted = [
        np.prod([a if number >> ink & 1 else 1 - a for ink, a in enumerate(coverages)])
        for number in range(2 ** len(coverages))
    ]
    assert areas(coverages) == pytest.approx(wanted, abs=1e-12)
    assert areas(coverages).sum() == pytest.approx(1)


@pytest.mark.parametrize(
    ("n", "reflectance"), [(1, 0.468), (1.5, 0.435830), (1.7, 0.428041), (2, 0.419214), (3, 0.402435)]
)
def test_neugebauer_and_yule_nielsen_of_two_inks(n, reflectance):
    # Worked by hand from the formulas: paper 0.80, inks 0.30 and 0.20, both 0.10; n = 1 is plain Neugebauer.
    solids = [[0.80], [0.30], [0.20], [0.10]]
    assert yule_nielsen(solids, [0.4, 0.3], n) == pytest.approx(reflectance, abs=5e-7)


@pytest.mark.parametrize(("n", "reflectance"), [(1, 0.425), (2, 0.3025), (1e7, 0.18)])
def test_yule_nielsen_goes_from_the_mean_to_the_geometric_mean(n, reflectance):
    # Worked by hand: half of 0.81 and half of 0.04; the geometric mean is sqrt(0.81 · 0.04) = 0.18.
    assert yule_nielsen([[0.81], [0.04]], [0.5], n) == pytest.approx(reflectance, abs=1e-6)


@pytest.mark.parametrize(("n", "coverage"), [(1, 0.659091), (2, 0.5)])
def test_a_tint_tells_its_coverage(n, coverage):
    # Worked by hand: (0.81 - 0.3025) / (0.81 - 0.04), and the half that made 0.3025 above.
    assert apparent_coverage([0.81], [0.04], [0.3025], n) == pytest.approx(coverage, abs=5e-7)


@pytest.mark.parametrize(
    ("tint", "solid", "paper", "n", "coverage"),
    [
        # Murray (1936) in densities, and with n (Yule and Nielsen 1951): a = (1 - 10^-(Dt-Dp)/n) / (1 - 10^-(Ds-Dp)/n),
        # as a reflection densitometer's manual gives it; values worked from the formula.
        (0.3, 1.4, 0, 1, 0.519494),
        (0.3, 1.4, 0, 2, 0.364852),
        (0.5, 1.5, 0.08, 1, 0.644306),
        (0.5, 1.5, 0.08, 1.7, 0.508077),
        (0.18, 1.2, 0.06, 1, 0.260278),
        (0.7, 1.3, 0.1, 1, 0.799240),
        (0.7, 1.3, 0.1, 2, 0.666139),
        (1.4, 1.4, 0.05, 1, 1.0),
        (0.05, 1.4, 0.05, 1, 0.0),
    ],
)
def test_murray_davies_from_densities(tint, solid, paper, n, coverage):
    assert apparent_coverage([10**-paper], [10**-solid], [10**-tint], n) == pytest.approx(coverage, abs=5e-7)


@law
@given(shares, st.floats(1, 5))
def test_a_tint_of_three_channels_comes_back(coverage, n):
    paper, solid = [0.9, 0.85, 0.7], [0.2, 0.5, 0.6]
    tint = yule_nielsen([paper, solid], [coverage], n)
    assert apparent_coverage(paper, solid, tint, n) == pytest.approx(coverage, abs=1e-9)


def test_gain_at_worked_values():
    # t + 4 g t (1 - t) worked by hand: 0.6 + 0.48 · 0.24 = 0.7152; 0.3 + 0.48 · 0.21 = 0.4008.
    assert effective_coverage([0.6, 0.3], 0.12) == pytest.approx([0.7152, 0.4008])
    assert effective_coverage([[0.5, 0.5]], [0.1, -0.2]) == pytest.approx(np.array([[0.6, 0.3]]))


@law
@given(shares, shares, st.floats(-0.5, 0.5))
def test_gain_keeps_the_ends_and_the_order(first, second, gain):
    low, high = effective_coverage(sorted([first, second]), gain)
    assert 0 <= low <= high + 1e-15
    assert high <= 1
    assert effective_coverage([0.0, 1.0], gain).tolist() == [0, 1]


@law
@given(st.floats(-0.25, 0.25))
def test_a_ramp_tells_its_gain(gain):
    tones = np.array([0, 0.1, 0.25, 0.5, 0.8, 1])
    assert fit_gain(tones, effective_coverage(tones, gain)) == pytest.approx(gain, abs=1e-12)


def test_solids_must_match_the_inks():
    with pytest.raises(ValueError, match="2 inks need 4 solids, not 3"):
        mix(np.ones((3, 1)), [0.5, 0.5])
