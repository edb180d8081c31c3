import numpy as np
import pytest

from imposer.geometry import Box
from imposer.tones.ink_areas import ink_areas
from imposer.tones.plane import Plane
from tests.tones.drawings import blank, fill, near, plane, stroke


def test_ink_is_where_the_tone_is_a_quarter_or_more():
    tones = blank(40, 40, 300)
    fill(tones, 300, Box(5, 5, 15, 35), 0.20)
    drawn = fill(tones, 300, Box(20, 5, 35, 35), 0.26)
    (mask,) = ink_areas([plane(tones)], 150).masks
    assert mask.mean() == pytest.approx(drawn.width * drawn.height / 1600, rel=0.03)


@pytest.mark.parametrize("degrees", [0, 20, 45])
def test_an_edge_that_two_inks_share_in_grey_is_each_pixel_of_one(degrees):
    tones = stroke(120, degrees)
    one, other = ink_areas([plane(tones, 600), plane(255 - tones, 600)], 600).masks
    # Where both are half grey neither has more than half of the darkest.
    assert not (one & other).any()
    assert (~one & ~other).mean() < 0.005


def test_cells_are_taken_and_not_averaged():
    tones = np.random.default_rng(1).choice(np.array([0, 255], dtype=np.uint8), (120, 200))
    (mask,) = ink_areas([Plane(tones, 600)], 150).masks
    assert np.array_equal(mask, tones[2::4, 2::4] == 255)


def test_inks_of_different_scales_share_one_grid():
    fine, coarse = blank(40, 30, 600), blank(40, 30, 300)
    fill(fine, 600, Box(10, 10, 30, 20))
    fill(coarse, 300, Box(10, 10, 30, 20))
    areas = ink_areas([plane(fine, 600), plane(coarse, 300)], 150)
    assert areas.pitch == pytest.approx(25.4 / 150)
    assert (areas.masks[0] != areas.masks[1]).mean() < 0.02
    assert set(np.unique(areas.states)) <= {0, 1, 2, 3}


def test_inks_of_different_sizes_are_a_mistake():
    with pytest.raises(ValueError, match="of one size"):
        ink_areas([plane(blank(40, 30)), plane(blank(30, 40))], 150)


def test_the_worst_place_is_where_the_weights_add_up():
    areas = ink_areas([plane(blank(60, 40, 254), 254)], 254)
    # Cells of 0.1 mm; weights round (42, 12) mm and a lone heavier one elsewhere.
    columns, rows = np.array([420, 415, 425, 50]), np.array([280, 285, 275, 50])
    spot = areas.worst_place(rows, columns, np.array([1.0, 1.0, 1.0, 2.5]))
    assert spot.amount == 3
    assert (spot.box.width, spot.box.height) == pytest.approx((5, 5))
    assert spot.box.grown(0.01).contains(Box(41.5, 11.5, 42.5, 12.5))
    assert areas.worst_place(rows[:0], columns[:0], np.zeros(0)) is None
    assert areas.worst_place(rows, columns, np.zeros(4)) is None


def test_the_worst_place_of_a_tiny_page_is_the_page():
    areas = ink_areas([plane(blank(3, 2, 254), 254)], 254)
    spot = areas.worst_place(np.array([3]), np.array([4]), np.array([1.0]))
    assert near(spot.box, Box(0, 0, 3, 2), 0.01)
