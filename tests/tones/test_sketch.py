"""Sketches of pages against sums done the long way, and against art moved by a known way."""

from __future__ import annotations

import numpy as np
import pytest

from imposer.geometry import Box, Size
from imposer.tones.sketch import agree, area_means, cells_of, ranges, seen_cells, sketch_of


def long_way(tones, window, columns, rows):
    """Every cell's mean by products of weights: how much of each pixel lies in it."""

    def weights(first, last, cells, pixels):
        edges = np.linspace(first, last, cells + 1)
        starts = np.arange(pixels)
        shared = np.minimum(starts + 1, edges[1:, None]) - np.maximum(starts, edges[:-1, None])
        return shared.clip(0) * cells / (last - first)

    left, top, right, bottom = window
    return weights(top, bottom, rows, tones.shape[0]) @ tones @ weights(left, right, columns, tones.shape[1]).T


@pytest.mark.parametrize(
    "window", [(0, 0, 70, 90), (10.3, 20.7, 60.2, 80.9), (-5.5, -7.2, 50.1, 96.3), (3.2, 4.1, 7.7, 9.9)]
)
def test_means_of_cells_are_exact_to_parts_of_pixels(window):
    tones = np.random.default_rng(1).integers(0, 256, (90, 70)).astype(np.uint8)
    assert np.allclose(area_means(tones, window, 24, 30), long_way(tones.astype(float), window, 24, 30), atol=0.01)


def test_a_page_agrees_with_itself_and_not_with_one_moved_by_half_a_cell():
    tones = np.zeros((840, 592), np.uint8)
    tones[100:140, 80:400] = tones[300:700, 200:230] = 255
    trim = Size(148, 210)
    columns, rows = cells_of(trim)
    page = sketch_of(tones, trim).means
    everywhere = np.ones((rows, columns), bool)
    assert agree(page, sketch_of(tones, trim).means, everywhere)
    # A cell is 2 mm, 8 pixels here.
    assert not agree(page, sketch_of(np.roll(tones, 4, axis=1), trim).means, everywhere)
    assert not agree(page, sketch_of(np.roll(tones, -4, axis=0), trim).means, everywhere)
    assert not agree(page, sketch_of(tones[::-1], trim).means, everywhere)


def test_the_range_around_a_cell_is_that_of_its_eight_neighbours():
    cells = np.random.default_rng(2).integers(0, 256, (7, 5)).astype(np.float32)
    padded = np.pad(cells, 1, mode="edge")
    wanted = [[np.ptp(padded[r : r + 3, c : c + 3]) for c in range(5)] for r in range(7)]
    assert np.array_equal(ranges(cells), wanted)


def test_what_a_neighbour_covers_is_not_looked_at():
    """A page of 24 cells of 1 mm that lies 2 mm beyond its fold at the right, upright and turned."""
    upright = seen_cells((24, 24), Box(0, 0, 24, 24), Box(0, 0, 22, 24), 0, 0.0)
    assert upright.sum() == 22 * 24
    assert not upright[:, 22:].any()
    # The sheet's right is the page's foot when the page is turned a quarter counter-clockwise.
    turned = seen_cells((24, 24), Box(0, 0, 24, 24), Box(0, 0, 22, 24), 90, 0.0)
    assert not turned[22:].any()
    assert turned[:22].all()
