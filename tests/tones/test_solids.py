import math

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from imposer.data import FOLDER
from imposer.geometry import Box
from imposer.tones.solids import find_solids
from tests.tones.drawings import blank, fill, near, plane, typed

PPI = 600
CELL = 25.4 / 75


def _perimeter_error(box: Box) -> float:
    return 2 * (box.width + box.height) * CELL / 2


@pytest.mark.parametrize("box", [Box(10, 10, 40, 30), Box(5.13, 22.7, 17.9, 55.5), Box(0, 0, 30, 60)])
def test_a_solid_is_found_with_its_box_and_area(box):
    tones = blank(60, 60, PPI)
    drawn = fill(tones, PPI, box)
    (solid,) = find_solids(plane(tones, PPI))
    assert near(solid.box, drawn, CELL)
    assert solid.area == pytest.approx(drawn.width * drawn.height, abs=_perimeter_error(drawn))
    assert solid.tone == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("ppi", [150, 300, 600, 720])
@pytest.mark.parametrize(
    ("box", "tone"),
    [
        (Box(20, 20, 53, 50), 1.0),
        (Box(20, 20, 54, 54), 0.86),
        (Box(10.1, 10.2, 41.9, 41.7), 1.0),
        (Box(10.1, 10.2, 41.9, 41.7), 0.9),
        (Box(30, 10, 60, 42.3), 1.0),
        (Box(0, 0, 33, 30), 0.95),
    ],
)
def test_an_area_is_not_rounded_up(box, tone, ppi):
    tones = blank(60, 60, ppi)
    fill(tones, ppi, box, tone)
    true = float((tones > 128).sum()) * (25.4 / ppi) ** 2
    (solid,) = find_solids(plane(tones, ppi))
    assert solid.area == pytest.approx(true, rel=0.002)
    assert solid.tone == pytest.approx(tone, abs=0.004)


@pytest.mark.parametrize("ground", [0.2, 0.5])
def test_a_tint_round_a_solid_is_not_counted_in(ground):
    tones = blank(60, 60, PPI)
    fill(tones, PPI, Box(0, 0, 60, 60), ground)
    drawn = fill(tones, PPI, Box(20, 20, 53, 50))
    (solid,) = find_solids(plane(tones, PPI))
    assert solid.area == pytest.approx(drawn.width * drawn.height, rel=0.003)


def test_small_holes_in_a_solid_are_left_out_by_their_size():
    tones = blank(60, 60, PPI)
    fill(tones, PPI, Box(10, 10, 45, 45))
    for x, y in ((20, 20), (30.1, 27.2)):
        fill(tones, PPI, Box(x, y, x + 0.5, y + 2), 0)
    (solid,) = find_solids(plane(tones, PPI))
    assert solid.area == pytest.approx(float((tones > 128).sum()) * (25.4 / PPI) ** 2, rel=0.002)


def test_a_disc_has_the_area_of_a_disc():
    picture = Image.new("L", (1400, 1400), 0)
    ImageDraw.Draw(picture).ellipse((200, 200, 1200, 1200), fill=255)
    (solid,) = find_solids(plane(np.asarray(picture), PPI))
    diameter = 1001 * 25.4 / PPI
    assert solid.area == pytest.approx(math.pi * diameter**2 / 4, rel=0.003)


@pytest.mark.parametrize(("wide", "found"), [(5.0, False), (5.6, False), (6.5, True), (8.0, True)])
def test_a_bar_counts_from_the_width_asked_for(wide, found):
    tones = blank(60, 60, PPI)
    fill(tones, PPI, Box(10, 5, 10 + wide, 55))
    assert bool(find_solids(plane(tones, PPI), width=6)) is found


@pytest.mark.parametrize(("tone", "found"), [(0.83, False), (0.84, False), (0.86, True), (1.0, True)])
def test_a_tint_counts_from_the_tone_asked_for(tone, found):
    tones = blank(60, 60, PPI)
    fill(tones, PPI, Box(10, 10, 50, 50), tone)
    assert bool(find_solids(plane(tones, PPI), tone=0.85)) is found


@pytest.mark.parametrize(("side", "found"), [(19.0, False), (21.0, True)])
def test_a_square_counts_from_the_area_asked_for(side, found):
    tones = blank(60, 60, PPI)
    fill(tones, PPI, Box(10, 10, 10 + side, 10 + side))
    assert bool(find_solids(plane(tones, PPI), area=400)) is found


def test_heavy_type_is_no_solid():
    assert find_solids(plane(typed(1400, 1400, size=180), PPI)) == ()


def test_a_stalk_does_not_join_two_solids_nor_add_to_them():
    tones = blank(80, 40, PPI)
    one, other = fill(tones, PPI, Box(5, 10, 25, 30)), fill(tones, PPI, Box(50, 5, 75, 35))
    fill(tones, PPI, Box(20, 19, 55, 21))
    large, small = find_solids(plane(tones, PPI))
    assert large.area == pytest.approx(other.width * other.height, rel=0.04)
    assert small.area == pytest.approx(one.width * one.height, rel=0.04)
    assert other.grown(4).contains(large.box)


@pytest.mark.parametrize(("gap", "pieces"), [(1.5, 1), (3.0, 2)])
def test_pieces_close_together_are_one_solid(gap, pieces):
    tones = blank(80, 40, PPI)
    one, other = fill(tones, PPI, Box(5, 10, 25, 30)), fill(tones, PPI, Box(25 + gap, 10, 45 + gap, 30))
    found = find_solids(plane(tones, PPI))
    assert len(found) == pieces
    drawn = one.width * one.height + other.width * other.height
    assert sum(solid.area for solid in found) == pytest.approx(drawn, rel=0.003)
    if pieces == 1:
        assert near(found[0].box, Box(one.x0, one.y0, other.x1, other.y1), CELL)


def test_large_type_left_bare_does_not_break_a_solid_up():
    side = round(40 / 25.4 * PPI)
    picture = Image.new("L", (side + 400, side + 400), 0)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((200, 200, 199 + side, 199 + side), fill=255)
    font = ImageFont.truetype(str(FOLDER / "fonts" / "sans.ttf"), round(30 * PPI / 72))
    draw.text((200 + side / 2, 200 + side / 2), "MOTH", fill=0, font=font, anchor="mm")
    tones = np.asarray(picture)
    (solid,) = find_solids(plane(tones, PPI))
    inked = float(np.count_nonzero(tones > 127)) * (25.4 / PPI) ** 2
    # What is left between letters is narrower than a solid is.
    assert 0.93 * inked < solid.area <= inked


def test_a_solid_with_a_fine_grain_is_one_solid():
    rng = np.random.default_rng(2)
    tones = blank(60, 60, PPI)
    tones[200:1200, 200:1200] = np.where(rng.random((1000, 1000)) < 0.05, 0, 255)
    (solid,) = find_solids(plane(tones, PPI))
    assert solid.area == pytest.approx((1000 * 25.4 / PPI) ** 2, rel=0.03)
    assert solid.tone == pytest.approx(0.95, abs=0.01)


def test_bare_paper_has_none():
    assert find_solids(plane(blank(40, 40, PPI), PPI)) == ()
