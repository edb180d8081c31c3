import numpy as np
import pytest

from imposer.geometry import Box
from imposer.tones.levels import measure_levels
from tests.tones.drawings import blank, fill, photo, plane, typed

PPI = 300


PLACE = Box(10, 20, 40, 50)


def _tinted(tone: float, box: Box = PLACE) -> np.ndarray:
    tones = blank(60, 80, PPI)
    fill(tones, PPI, box, tone)
    return tones


SHARE = 30 * 30 / (60 * 80)


@pytest.mark.parametrize("tone", [0.02, 0.05, 0.09])
def test_a_tint_under_ten_percent_is_too_light(tone):
    levels = measure_levels(plane(_tinted(tone)))
    assert levels.light == pytest.approx(SHARE, rel=0.04)
    assert PLACE.grown(0.4).contains(levels.light_box)


@pytest.mark.parametrize("tone", [0.0, 0.10, 0.12, 1.0])
def test_bare_paper_and_a_tint_of_ten_percent_are_not(tone):
    levels = measure_levels(plane(_tinted(tone)))
    assert levels.light == 0
    assert levels.light_box is None


def test_the_limit_is_a_setting():
    assert measure_levels(plane(_tinted(0.12)), lightest=0.15).light == pytest.approx(SHARE, rel=0.04)


def test_the_grey_edges_of_type_are_no_light_tone():
    levels = measure_levels(plane(typed(1200, 1200, size=50), 600))
    assert levels.light < 0.0005
    assert levels.filling < 0.0005
    assert levels.bare > 0.5


@pytest.mark.parametrize("tone", [0.92, 0.95, 0.97])
def test_shadows_above_ninety_percent_fill_in(tone):
    levels = measure_levels(plane(_tinted(tone)))
    assert levels.filling == pytest.approx(SHARE, rel=0.04)
    assert PLACE.grown(0.4).contains(levels.filling_box)


@pytest.mark.parametrize("tone", [0.5, 0.89, 1.0])
def test_solid_and_open_tones_do_not(tone):
    assert measure_levels(plane(_tinted(tone))).filling == 0


def test_solid_and_bare_shares_are_those_drawn():
    levels = measure_levels(plane(_tinted(1.0)))
    assert levels.solid == pytest.approx(SHARE, rel=0.04)
    assert levels.bare == pytest.approx(1 - SHARE, rel=0.04)


def test_the_grey_of_a_scanned_paper_is_a_ground():
    rng = np.random.default_rng(1)
    tones = np.clip(rng.normal(0.06 * 255, 3, (900, 700)), 0, 255).astype(np.uint8)
    tones[200:600, 100:500] = 255
    levels = measure_levels(plane(tones))
    assert levels.ground == pytest.approx(0.06, abs=0.01)
    assert levels.ground_share == pytest.approx(1 - 400 * 400 / (900 * 700), abs=0.03)


@pytest.mark.parametrize("gray", [8, 14, 20, 31])
def test_a_ground_is_read_as_it_is_beside_type(gray):
    """The edges of type add to the tones just above the paper's own, and none just below it."""
    tones = np.maximum(typed(1000, 1400, size=42), gray)
    assert measure_levels(plane(tones, 600)).ground == pytest.approx(gray / 255, abs=0.0015)


def test_clean_paper_has_no_ground():
    tones = typed(900, 700, size=40)
    levels = measure_levels(plane(tones))
    assert levels.ground_share < 0.03


def test_a_negative_is_told_from_its_positive():
    positive = typed(900, 1200, size=40)
    assert measure_levels(plane(255 - positive)).negative
    assert not measure_levels(plane(positive)).negative


def test_a_solid_with_a_bare_rim_is_no_negative():
    assert not measure_levels(plane(_tinted(1.0, Box(5, 5, 55, 75)))).negative
    assert measure_levels(plane(_tinted(1.0, Box(0, 0, 60, 80)))).negative


def test_the_rim_is_the_outermost_three_millimetres():
    tones = blank(60, 80, PPI)
    tones[:] = 255
    fill(tones, PPI, Box(3, 3, 57, 77), 0)
    assert measure_levels(plane(tones)).rim == pytest.approx(1.0, abs=0.04)
    tones[:] = 0
    fill(tones, PPI, Box(3, 3, 57, 77))
    assert measure_levels(plane(tones)).rim == pytest.approx(0.0, abs=0.04)


def test_a_picture_has_all_levels_but_is_no_negative():
    levels = measure_levels(plane(photo(700, 900)))
    assert not levels.negative
    assert levels.light + levels.bare + levels.filling + levels.solid < 0.6
