import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Box, Size
from imposer.tones.plane import Plane, fold
from tests.tones.drawings import near


def _random(height: int, width: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).integers(0, 256, (height, width), dtype=np.uint8)


def _cells(tones: np.ndarray, factor: int):
    for top in range(0, tones.shape[0], factor):
        for left in range(0, tones.shape[1], factor):
            yield top // factor, left // factor, tones[top : top + factor, left : left + factor]


@pytest.mark.parametrize(
    ("ppi", "means", "extremes"), [(600, 8, 4), (300, 4, 2), (150, 2, 1), (75, 1, 1), (1200, 16, 8)]
)
def test_the_smaller_planes_hold_mean_least_and_most_of_their_cells(ppi, means, extremes):
    tones = _random(131, 97)
    plane = Plane(tones, ppi)
    for row, column, cell in _cells(tones, means):
        # Rounded once for the fine cells, and once more where those are joined.
        assert abs(float(plane.means.values[row, column]) - cell.mean()) <= 1.01
    for row, column, cell in _cells(tones, extremes):
        assert plane.least.values[row, column] == cell.min()
        assert plane.most.values[row, column] == cell.max()
    assert plane.means.pitch == pytest.approx(means * 25.4 / ppi)


def test_each_smaller_plane_is_made_once():
    plane = Plane(_random(50, 50), 600)
    assert plane.means is plane.means
    assert plane.least is plane.least


def test_darkest_of_rows_and_columns():
    tones = _random(40, 30)
    plane = Plane(tones, 300)
    assert plane.row_most.tolist() == [int(row.max()) for row in tones]
    assert plane.column_most.tolist() == [int(column.max()) for column in tones.T]


def test_a_plane_is_measured_from_its_lower_left_corner():
    # 20 x 10 mm at 254 pixels an inch: ten pixels a mm.
    plane = Plane(np.zeros((100, 200), dtype=np.uint8), 254)
    assert plane.size == Size(20, 10)
    assert near(plane.pixels.box(0, 0, 10, 20), Box(0, 9, 2, 10), 1e-9)
    assert plane.pixels.cells(Box(0, 9, 2, 10)) == (slice(0, 10), slice(0, 20))


def test_a_box_beyond_the_plane_is_cut_to_it():
    plane = Plane(np.zeros((100, 200), dtype=np.uint8), 254)
    assert plane.pixels.cells(Box(-5, -5, 50, 50)) == (slice(0, 100), slice(0, 200))
    assert plane.pixels.cells(Box(30, 20, 40, 40)) == (slice(0, 0), slice(200, 200))
    assert near(plane.pixels.box(90, 190, 120, 220), Box(19, 0, 20, 1), 1e-9)


@given(st.integers(1, 40), st.integers(1, 40), st.integers(1, 7), st.sampled_from([0, 1]), st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_folding_joins_neighbours_and_what_is_left_over(height, width, factor, axis, seed):
    values = _random(height, width, seed)
    folded = fold(values, factor, axis, np.maximum)
    lines = values if axis == 0 else values.T
    expected = [lines[at : at + factor].max(axis=0) for at in range(0, len(lines), factor)]
    assert np.array_equal(folded if axis == 0 else folded.T, expected)


@pytest.mark.parametrize(
    "tones", [np.zeros((3, 3)), np.zeros((3, 3, 1), dtype=np.uint8), np.zeros((0, 3), dtype=np.uint8)]
)
def test_only_eight_bit_planes_are_taken(tones):
    with pytest.raises(ValueError, match="8 bits"):
        Plane(tones, 300)


def test_a_plane_needs_a_scale():
    with pytest.raises(ValueError, match="no scale"):
        Plane(np.zeros((3, 3), dtype=np.uint8), 0)
