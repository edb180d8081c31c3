"""One film on another: worked values, and what happens at the floor."""

from __future__ import annotations

import coloraide
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.ink.colour import encode_srgb, lab_from_rec2020, lab_from_xyz
from imposer.ink.defaults import UNCOATED_FLOOR
from imposer.ink.difference import delta_e
from imposer.ink.film import film_of, lay
from tests.ink import other_models
from tests.ink.laws import law
from tests.ink.printed_charts import chosen_chart

# Linear sRGB.
PAPER, ROSE, BLUE = np.array([0.80, 0.76, 0.62]), np.array([0.78, 0.16, 0.12]), np.array([0.10, 0.20, 0.42])

lights = st.tuples(*[st.floats(0, 1)] * 3).map(np.array)


def overprinted(paper, *solids, floor=UNCOATED_FLOOR):
    colour = paper
    for solid in solids:
        colour = lay(film_of(solid, paper, floor=floor), colour)
    return colour


def lab65(linear_srgb):
    return coloraide.Color("srgb-linear", list(linear_srgb)).convert("lab-d65").coords()


def test_two_inks_by_hand():
    # Worked by hand from the formula: 0.055 + 0.745 · (0.725 / 0.745) · (0.045 / 0.745) = 0.098792, and so on.
    film = overprinted(PAPER, ROSE, BLUE)
    assert film == pytest.approx([0.098792, 0.076596, 0.096991], abs=5e-7)
    assert np.round(encode_srgb(film) * 255).tolist() == [89, 78, 88]
    assert lab65(film) == pytest.approx([34.557, 6.235, -4.024], abs=5e-3)


def test_multiplying_is_far_darker():
    # Worked by hand: 0.78 · 0.10 / 0.80 = 0.0975, and so on. The difference is by two colour libraries.
    product = other_models.multiplied(PAPER, ROSE, BLUE)
    assert product == pytest.approx([0.0975, 0.042105, 0.081290], abs=5e-7)
    assert np.round(encode_srgb(product) * 255).tolist() == [88, 58, 81]
    assert lab65(product) == pytest.approx([28.568, 17.418, -8.351], abs=5e-3)
    assert delta_e(lab65(product), lab65(overprinted(PAPER, ROSE, BLUE))) == pytest.approx(10.364, abs=5e-3)


def test_kubelka_munk_by_hand():
    # Worked by hand: (1 - 0.5)² / 1 = 0.25; 0.064286 + 0.45 = 0.514286 gives 0.377157.
    assert other_models.absorption_over_scattering(0.5) == pytest.approx(0.25)
    assert other_models.reflectance(0.25) == pytest.approx(0.5)
    both = other_models.absorption_over_scattering(0.7) + other_models.absorption_over_scattering(0.4)
    assert other_models.reflectance(both) == pytest.approx(0.377157, abs=5e-7)


@law
@given(lights, lights)
def test_without_a_floor_films_multiply(first, second):
    paper = np.array([0.9, 0.8, 0.7])
    first, second = first * paper, second * paper
    assert overprinted(paper, first, second, floor=0) == pytest.approx(other_models.multiplied(paper, first, second))


@law
@given(lights)
def test_a_film_on_its_own_paper_is_its_own_colour(solid):
    paper = np.array([0.95, 0.9, 0.8])
    assert overprinted(paper, solid) == pytest.approx(solid, abs=1e-12)


@law
@given(lights, lights, lights)
def test_clear_films_go_in_any_order_and_only_darken(under, first, second):
    films = [film_of(solid, np.ones(3), floor=UNCOATED_FLOOR) for solid in (first, second)]
    one_way = lay(films[1], lay(films[0], under))
    other_way = lay(films[0], lay(films[1], under))
    assert one_way == pytest.approx(other_way, abs=1e-12)
    assert np.all(one_way <= lay(films[0], under) + 1e-12)
    assert np.all(lay(films[0], under) <= under + 1e-12)
    assert np.all(one_way >= 0)


def test_a_black_below_the_floor_stays_the_darkest():
    black, yellow = np.array([0.01, 0.01, 0.01]), np.array([0.9, 0.8, 0.1])
    assert overprinted(np.ones(3), black) == pytest.approx(black)
    assert overprinted(np.ones(3), black, yellow) == pytest.approx(black)
    assert overprinted(np.ones(3), yellow, black) == pytest.approx(black)


def test_a_paper_as_dark_as_the_floor_is_left_as_it_is():
    # A deep red paper whose blue reflects less than the floor: nothing lighter comes of a film on it.
    paper = np.array([0.4, 0.06, 0.02])
    blue = film_of(np.array([0.1, 0.3, 0.6]), np.ones(3), floor=UNCOATED_FLOOR)
    laid = lay(blue, paper)
    assert np.all(laid <= paper)
    assert laid[2] == paper[2]


def test_an_ink_that_hides_shows_its_own_colour_on_any_paper():
    white = film_of(np.array([0.9, 0.9, 0.9]), np.ones(3), floor=UNCOATED_FLOOR, opacity=1.0)
    half = film_of(np.array([0.9, 0.9, 0.9]), np.ones(3), floor=UNCOATED_FLOOR, opacity=0.5)
    kraft = np.array([0.4, 0.3, 0.2])
    assert lay(white, kraft) == pytest.approx([0.9, 0.9, 0.9])
    clear = UNCOATED_FLOOR + (kraft - UNCOATED_FLOOR) * (0.9 - UNCOATED_FLOOR) / (1 - UNCOATED_FLOOR)
    assert lay(half, kraft) == pytest.approx(0.45 + clear / 2)


@pytest.mark.parametrize(
    ("other", "most", "without"),
    [("fogra30", 1.7, 2.3), ("tr002", 3.7, 6.0)],
)
def test_colours_printed_on_white_carry_to_another_paper(other, most, without):
    """The same patches on two papers (see charts/SOURCES.txt): carried by the film law, and left as they were."""
    white, paper = chosen_chart("fogra29"), chosen_chart(other)
    pairs = _same_patches(white, paper)
    here = np.array([white.xyz[i] for i, _ in pairs])
    there = lab_from_xyz(np.array([paper.xyz[j] for _, j in pairs]))
    start, goal = (np.array(chart.paper.rec2020) for chart in (white, paper))
    carried = [lay(film_of(white.light[i], start, floor=UNCOATED_FLOOR), goal) for i, _ in pairs]
    assert len(pairs) >= 30
    assert delta_e(lab_from_rec2020(np.array(carried)), there).mean() < most
    assert delta_e(lab_from_xyz(here), there).mean() > without


def _same_patches(first, second):
    places = {tuple(tones): place for place, tones in enumerate(second.tones)}
    return [(i, places[tuple(tones)]) for i, tones in enumerate(first.tones) if tuple(tones) in places]
