import numpy as np
import pytest
from PIL import Image

from imposer.tones.likeness import compare_tones, match_layers
from tests.tones.drawings import moved, photo, plane, resized, typed

PPI = 300


def _page(seed: int = 0) -> np.ndarray:
    """A page with something in every quarter and no two alike."""
    tones = typed(1200, 1700, size=44, seed=seed).copy()
    tones[900:, :] = 0
    tones[950:1500, 150:700] = 255
    tones[1000:1400, 800:1050] = photo(250, 400)
    y, x = np.mgrid[:1700, :1200]
    tones[(y - 1250) ** 2 + (x - 400) ** 2 < 150**2] = 0
    return tones


def _other_layer(tones: np.ndarray) -> np.ndarray:
    """Another ink of the same page: lighter, its type gone, a frame of its own."""
    other = (tones * 0.6).astype(np.uint8)
    other[:880] = 0
    other[60:70, 100:1100] = other[200:210, 100:500] = 255
    return other


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_layer_turned_or_mirrored_is_told_with_how_to_lay_it_back(turn, mirrored):
    page = _page()
    wrong = _other_layer(page)
    # Undo turn after mirror: turn back first, then mirror.
    wrong = np.rot90(wrong, -turn // 90)
    wrong = wrong[:, ::-1] if mirrored else wrong
    match = match_layers(plane(page, PPI), plane(wrong, PPI))
    assert (match.turn, match.mirrored) == (turn, mirrored)
    assert (match.dx, match.dy) == pytest.approx((0, 0), abs=0.15)
    assert match.score > 0.2
    if turn or mirrored:
        assert match.score > match.as_is + 0.1
    else:
        assert match.score == match.as_is


@pytest.mark.parametrize(("right", "down"), [(0, 0), (12, 0), (30, -40), (-59, 28), (100, 120), (-3, 5)])
def test_a_layer_moved_is_told_with_how_far(right, down):
    page = _page()
    match = match_layers(plane(page, PPI), plane(moved(_other_layer(page), right, down), PPI))
    assert (match.turn, match.mirrored, match.scale) == (0, False, 1.0)
    mm = 25.4 / PPI
    # To lay it back it must go the other way; up is against the rows.
    assert match.dx == pytest.approx(-right * mm, abs=0.12)
    assert match.dy == pytest.approx(down * mm, abs=0.12)


@pytest.mark.parametrize("scale", [0.9, 1.06, 0.5**0.5])
def test_a_layer_scaled_is_told_with_its_factor(scale):
    page = _page()
    size = round(1200 * scale), round(1700 * scale)
    match = match_layers(plane(page, PPI), plane(resized(page, size, Image.Resampling.BICUBIC), PPI))
    assert match.scale == pytest.approx(1 / scale, rel=0.01)
    assert match.score > 0.8
    assert match.score > match.as_is + 0.3


def test_a_layer_of_another_resolution_matches_as_it_lies():
    page = _page()
    match = match_layers(plane(page, 600), plane(resized(page, (600, 850), Image.Resampling.BOX), 300))
    assert (match.turn, match.mirrored, match.scale) == (0, False, 1.0)
    assert (match.dx, match.dy) == pytest.approx((0, 0), abs=0.1)
    assert match.as_is > 0.95


def test_layers_that_shun_one_another_match_by_their_outlines():
    page = _page()
    match = match_layers(plane(page, PPI), plane(255 - page, PPI))
    assert (match.turn, match.mirrored) == (0, False)
    assert match.as_is > 0.9


def test_layers_with_nothing_in_common_match_no_way_well():
    match = match_layers(plane(typed(1200, 1700, size=44), PPI), plane(photo(1200, 1700, seed=9), PPI))
    assert match.score < match.as_is + 0.15


def test_a_blank_layer_matches_as_it_lies_with_no_score():
    match = match_layers(plane(_page(), PPI), plane(np.zeros((1700, 1200), dtype=np.uint8), PPI))
    assert (match.turn, match.mirrored, match.scale, match.score, match.as_is) == (0, False, 1.0, 0.0, 0.0)


def test_the_same_art_in_two_inks_is_alike():
    page = _page()
    assert compare_tones(plane(page, PPI), plane(page, PPI)).correlation == pytest.approx(1)
    assert compare_tones(plane(page, PPI), plane(page, PPI)).differing == 0
    lighter = compare_tones(plane(page, PPI), plane((page * 0.8).astype(np.uint8), PPI))
    assert lighter.correlation > 0.999
    assert lighter.differing > 0.05
    # Made as dark as each other they are one, whichever is the paler.
    assert lighter.unlike == 0
    assert compare_tones(plane((page * 0.5).astype(np.uint8), PPI), plane(page, PPI)).unlike == 0
    assert compare_tones(plane(page, PPI), plane(_page()[::-1], PPI)).unlike > 0.1


def test_art_with_one_word_more_is_nearly_the_same_and_other_art_is_not():
    page = _page()
    more = page.copy()
    more[1600:1640, 200:500] = 255
    assert 0.97 < compare_tones(plane(page, PPI), plane(more, PPI)).correlation < 0.999
    assert compare_tones(plane(page, PPI), plane(more, PPI)).differing == pytest.approx(
        40 * 300 / (1200 * 1700), rel=0.1
    )
    assert compare_tones(plane(page, PPI), plane(_page()[::-1], PPI)).correlation < 0.5


def test_even_planes_differ_by_their_tones_alone():
    bare, tint = np.zeros((200, 200), dtype=np.uint8), np.full((200, 200), 128, dtype=np.uint8)
    assert compare_tones(plane(bare), plane(bare)).differing == 0
    assert compare_tones(plane(bare), plane(tint)).differing == 1
    assert compare_tones(plane(bare), plane(tint)).correlation == 0
