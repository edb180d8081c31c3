import numpy as np
import pytest

from imposer.geometry import Box
from imposer.tones.coverage import ink_outside, inked_box, mean_tone, worst_sum, worst_window
from tests.tones.drawings import blank, fill, near, plane

PPI = 300
PIXEL = 25.4 / PPI


# Height, width, inked rows and columns, tone, and the mean in percent by plain division.
@pytest.mark.parametrize(
    ("height", "width", "rows", "columns", "tone", "percent"),
    [
        (300, 100, 0, 0, 255, 0.0),
        (300, 100, 300, 1, 255, 1.0),
        (100, 100, 50, 50, 255, 25.0),
        (100, 100, 100, 100, 128, 50.2),
        (100, 100, 100, 100, 255, 100.0),
    ],
)
def test_coverage_of_plates(height, width, rows, columns, tone, percent):
    tones = np.zeros((height, width), dtype=np.uint8)
    tones[:rows, :columns] = tone
    assert 100 * mean_tone(plane(tones)) == pytest.approx(percent, abs=0.03)


@pytest.mark.parametrize("ppi", [72, 150, 300, 600])
def test_the_mean_of_a_picture_is_that_of_its_pixels(ppi):
    tones = np.random.default_rng(3).integers(0, 256, (517, 389), dtype=np.uint8)
    assert mean_tone(plane(tones, ppi)) == pytest.approx(tones.mean() / 255, abs=0.0005)


def test_the_mean_of_a_box_counts_what_lies_in_it():
    tones = blank(100, 80, PPI)
    drawn = fill(tones, PPI, Box(10, 10, 40, 30), 0.6)
    page = plane(tones, PPI)
    assert mean_tone(page, Box(12, 12, 30, 28)) == pytest.approx(0.6, abs=0.002)
    # Half of this box lies on the tint.
    assert mean_tone(page, Box(drawn.x0 - 10, 15, drawn.x0 + 10, 25)) == pytest.approx(0.3, abs=0.005)
    assert mean_tone(page, Box(50, 40, 90, 70)) == 0
    assert mean_tone(page, Box(150, 0, 160, 10)) == 0


def test_the_worst_window_lies_on_the_darkest_place():
    tones = blank(100, 100, PPI)
    fill(tones, PPI, Box(5, 5, 60, 60), 0.5)
    fill(tones, PPI, Box(70, 70, 90, 90), 0.9)
    window = worst_window(plane(tones, PPI), 20)
    assert near(window.box, Box(70, 70, 90, 90), 0.4)
    assert window.tone == pytest.approx(0.9, abs=0.01)


def test_a_window_larger_than_the_dark_place_holds_its_share():
    tones = blank(100, 100, PPI)
    fill(tones, PPI, Box(40, 40, 50, 50))
    assert worst_window(plane(tones, PPI), 20).tone == pytest.approx(0.25, abs=0.01)


def test_the_worst_window_can_be_kept_within_a_box():
    tones = blank(100, 100, PPI)
    fill(tones, PPI, Box(70, 70, 95, 95))
    fill(tones, PPI, Box(0, 0, 50, 50), 0.3)
    window = worst_window(plane(tones, PPI), 20, Box(0, 0, 60, 60))
    assert Box(0, 0, 60, 60).grown(0.4).contains(window.box)
    assert window.tone == pytest.approx(0.3, abs=0.01)


def test_a_window_is_cut_to_a_small_page():
    tones = np.full((60, 60), 128, dtype=np.uint8)
    window = worst_window(plane(tones, 300), 20)
    assert window.tone == pytest.approx(128 / 255, abs=0.002)
    assert near(window.box, Box(0, 0, 5.08, 5.08), 0.01)


@pytest.mark.parametrize("other_ppi", [300, 150])
def test_two_inks_of_60_and_70_percent_sum_to_130(other_ppi):
    first, second = blank(80, 80, PPI), blank(80, 80, other_ppi)
    fill(first, PPI, Box(10, 10, 50, 50), 0.6)
    fill(second, other_ppi, Box(40, 40, 70, 70), 0.7)
    worst = worst_sum([plane(first, PPI), plane(second, other_ppi)], 5)
    assert worst.total == pytest.approx(1.30, abs=0.02)
    assert Box(40, 40, 50, 50).grown(0.4).contains(worst.box)
    assert worst.tones == pytest.approx((0.6, 0.7), abs=0.02)


def test_inks_beside_one_another_sum_to_no_more_than_one():
    first, second = blank(80, 80, PPI), blank(80, 80, PPI)
    fill(first, PPI, Box(10, 10, 30, 50), 0.6)
    fill(second, PPI, Box(50, 10, 70, 50), 0.7)
    assert worst_sum([plane(first, PPI), plane(second, PPI)], 5).total == pytest.approx(0.7, abs=0.02)


def test_the_box_of_all_ink_is_exact_to_the_pixel():
    tones = blank(100, 80, 600)
    drawn = fill(tones, 600, Box(12.3, 20.7, 33.3, 44.1))
    found = inked_box(plane(tones, 600))
    assert near(found, drawn, 0.001)


def test_bare_paper_has_no_inked_box_and_neither_has_rounding():
    assert inked_box(plane(blank(30, 30))) is None
    assert inked_box(plane(np.full((100, 100), 2, dtype=np.uint8))) is None
    assert inked_box(plane(np.full((100, 100), 3, dtype=np.uint8))) is not None


def test_ink_beyond_a_box_is_told_by_edge_and_share():
    tones = blank(100, 80, 600)
    drawn = fill(tones, 600, Box(2, 10, 42, 30))
    safe = Box(5, 5, 95, 75)
    outside = ink_outside(plane(tones, 600), safe)
    assert outside.left == pytest.approx(3, abs=0.05)
    assert (outside.right, outside.bottom, outside.top) == (0, 0, 0)
    assert outside.share == pytest.approx((5 - drawn.x0) / drawn.width, abs=0.002)
    assert outside.furthest == outside.left


def test_each_edge_is_told_for_itself():
    tones = blank(100, 80, 300)
    fill(tones, 300, Box(1, 2, 98, 76.5))
    outside = ink_outside(plane(tones, 300), Box(5, 5, 95, 75))
    assert (outside.left, outside.bottom, outside.right, outside.top) == pytest.approx((4, 3, 3, 1.5), abs=0.09)
    inside = 90 * 70 / (97 * 74.5)
    assert outside.share == pytest.approx(1 - inside, abs=0.003)


def test_ink_up_to_the_very_edge_of_a_box_is_inside():
    tones = blank(100, 80, 600)
    drawn = fill(tones, 600, Box(5, 5, 95, 75))
    outside = ink_outside(plane(tones, 600), drawn)
    assert outside.share == 0
    assert outside.furthest == 0
    page = plane(tones, 600)
    nearly = Box(drawn.x0 + page.pitch, drawn.y0, drawn.x1, drawn.y1)
    assert ink_outside(page, nearly).left == pytest.approx(page.pitch)


def test_bare_paper_has_nothing_outside():
    assert ink_outside(plane(blank(50, 50)), Box(5, 5, 45, 45)).share == 0
