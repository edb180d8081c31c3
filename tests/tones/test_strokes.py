import numpy as np
import pytest

from imposer.geometry import Box
from imposer.tones.screened import find_screen
from imposer.tones.strokes import thin_gaps, thin_lines
from tests.tones.drawings import blank, fill, photo, plane, screened, stroke, typed

# A print studio's usual limits, 0.5 pt for lines and 1 pt for reversed lines, in mm.
LINE, GAP = 0.5 * 25.4 / 72, 25.4 / 72
PIXEL = 25.4 / 600
ANGLES = (0, 13, 30, 45, 70, 90)


@pytest.mark.parametrize("degrees", ANGLES)
@pytest.mark.parametrize("pixels", [1.0, 2.0, 3.0, 3.8])
def test_a_line_thinner_than_the_limit_is_found_with_its_width(pixels, degrees):
    found = thin_lines(plane(stroke(pixels, degrees), 600), LINE)
    assert found is not None
    assert found.width == pytest.approx(pixels * PIXEL, abs=0.2 * PIXEL)
    # 0.7 of 400 pixels is its length.
    assert found.area == pytest.approx(pixels * 280 * PIXEL**2, rel=0.15, abs=0.05)
    assert found.share > 0.85


@pytest.mark.parametrize("degrees", ANGLES)
@pytest.mark.parametrize("pixels", [4.3, 5.0, 8.0, 40.0])
def test_a_line_as_wide_as_the_limit_is_not(pixels, degrees):
    # The limit is 4.17 pixels.
    assert thin_lines(plane(stroke(pixels, degrees), 600), LINE) is None


@pytest.mark.parametrize("degrees", ANGLES)
@pytest.mark.parametrize("pixels", [1.0, 2.0, 4.0, 6.0, 7.9])
def test_a_gap_thinner_than_the_limit_is_found_with_its_width(pixels, degrees):
    found = thin_gaps(plane(255 - stroke(pixels, degrees), 600), GAP)
    assert found is not None
    assert found.width == pytest.approx(pixels * PIXEL, abs=0.25 * PIXEL)


@pytest.mark.parametrize("degrees", ANGLES)
@pytest.mark.parametrize("pixels", [8.7, 10.0, 30.0])
def test_a_gap_as_wide_as_the_limit_is_not(pixels, degrees):
    assert thin_gaps(plane(255 - stroke(pixels, degrees), 600), GAP) is None


@pytest.mark.parametrize("degrees", [0, 45, 70])
def test_a_bilevel_line_is_measured_without_grey_edges(degrees):
    thin = thin_lines(plane(stroke(2.0, degrees, grey=False), 600), LINE)
    assert thin is not None
    assert thin.width == pytest.approx(2 * PIXEL, abs=0.7 * PIXEL)
    assert thin_lines(plane(stroke(6.0, degrees, grey=False), 600), LINE) is None


@pytest.mark.parametrize("degrees", [0, 90])
def test_a_hairline_of_half_a_pixel_is_seen(degrees):
    found = thin_lines(plane(stroke(0.5, degrees), 600), LINE)
    assert found is not None
    assert found.width == pytest.approx(0.5 * PIXEL, abs=0.1 * PIXEL)


@pytest.mark.parametrize("ppi", [300, 600, 1200])
def test_the_limit_is_a_length_and_not_a_number_of_pixels(ppi):
    mm = 25.4 / ppi
    thin, wide = (stroke(width / mm, 20) for width in (0.15, 0.21))
    assert thin_lines(plane(thin, ppi), LINE).width == pytest.approx(0.15, abs=0.25 * mm)
    assert thin_lines(plane(wide, ppi), LINE) is None


def test_a_tinted_line_is_as_wide_as_it_was_drawn():
    assert thin_lines(plane(stroke(5.0, 20, tone=150), 600), LINE) is None
    assert thin_lines(plane(stroke(3.5, 20, tone=150), 600), LINE) is not None


def test_gaps_in_a_solid_held_to_seventy_percent_are_seen():
    tones = np.full((600, 600), 179, dtype=np.uint8)
    tones[300:304, 100:500] = 0
    assert thin_gaps(plane(tones, 600), GAP).width == pytest.approx(4 * PIXEL, abs=0.2 * PIXEL)
    tones[300:310, 100:500] = 0
    assert thin_gaps(plane(tones, 600), GAP) is None


def test_the_box_marks_the_thinnest_of_several_lines():
    tones = blank(80, 60, 600)
    fill(tones, 600, Box(10, 10, 70, 10.5))
    fill(tones, 600, Box(10, 20, 70, 20.15))
    drawn = fill(tones, 600, Box(10, 30, 70, 30.06))
    found = thin_lines(plane(tones, 600), LINE)
    assert found.width == pytest.approx(drawn.height, abs=0.2 * PIXEL)
    assert drawn.grown(0.1).contains(found.box)


def test_the_share_is_that_of_the_ink():
    tones = blank(80, 60, 600)
    solid, thin = fill(tones, 600, Box(10, 10, 30, 20)), fill(tones, 600, Box(10, 30, 70, 30.1))
    found = thin_lines(plane(tones, 600), LINE)
    area = thin.width * thin.height
    assert found.area == pytest.approx(area, rel=0.1)
    assert found.share == pytest.approx(area / (area + solid.width * solid.height), rel=0.1)


def test_one_hairline_among_many_corners_is_not_lost():
    tones = typed(2400, 2400, size=140)
    assert thin_lines(plane(tones, 600), 0.12) is None
    tones = tones.copy()
    tones[2350, 200:600] = 255
    found = thin_lines(plane(tones, 600), 0.12)
    assert found.width == pytest.approx(PIXEL, abs=0.2 * PIXEL)


def test_small_type_has_thin_strokes_and_large_type_has_none():
    # Stems of this face are about a twelfth of its size: 36 pixels make 3, and 160 make 13.
    assert thin_lines(plane(typed(1200, 1200, size=36), 600), LINE) is not None
    assert thin_lines(plane(typed(1200, 1200, size=160), 600), LINE) is None
    assert thin_gaps(plane(255 - typed(1200, 1200, size=36), 600), GAP) is not None


def test_corners_and_points_of_large_shapes_are_not_thin():
    y, x = np.mgrid[:800, :800]
    star = (np.abs(x - 400) < (y - 100) * 0.3) & (y < 700)
    assert thin_lines(plane(star.astype(np.uint8) * 255, 600), LINE) is None


def test_dots_are_not_lines():
    tones = np.zeros((800, 800), dtype=np.uint8)
    for row in range(20, 780, 16):
        for column in range(20, 780, 16):
            tones[row : row + 3, column : column + 3] = 255
    assert thin_lines(plane(tones, 600), LINE) is None


def test_the_edge_of_a_photograph_is_not_a_line():
    page = np.zeros((1200, 1200), dtype=np.uint8)
    page[100:1100, 100:1100] = photo(1000, 1000)
    assert thin_lines(plane(page, 600), LINE) is None
    assert thin_gaps(plane(page, 600), GAP) is None


def test_a_line_cut_by_the_edge_of_the_plane_is_judged_by_what_is_there():
    tones = np.zeros((400, 400), dtype=np.uint8)
    tones[200:203] = 255
    assert thin_lines(plane(tones, 600), LINE).width == pytest.approx(3 * PIXEL, abs=0.2 * PIXEL)
    strip = np.zeros((400, 400), dtype=np.uint8)
    strip[:, :3] = 255
    # How far the ink goes on beyond the edge is not known.
    assert thin_lines(plane(strip, 600), LINE) is None


def test_screened_areas_are_left_out_when_they_are_known():
    page = np.zeros((1500, 1500), dtype=np.uint8)
    page[137:1249, 211:1313] = screened(photo(1102, 1112, seed=4), 600, 71, 45)
    art = plane(page, 600)
    assert thin_gaps(art, GAP) is not None
    screen = find_screen(art)
    assert thin_lines(art, LINE, screen.boxes) is None
    assert thin_gaps(art, GAP, screen.boxes) is None


def test_bare_paper_and_solids_have_none():
    for tones in (blank(20, 20, 600), blank(20, 20, 600) + 255):
        assert thin_lines(plane(tones.astype(np.uint8), 600), LINE) is None
        assert thin_gaps(plane(tones.astype(np.uint8), 600), GAP) is None


def test_a_limit_of_too_many_pixels_is_refused():
    with pytest.raises(ValueError, match="more than can be looked for"):
        thin_lines(plane(blank(20, 20, 600), 600), 2.0)
