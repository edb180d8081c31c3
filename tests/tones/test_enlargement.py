import numpy as np
import pytest
from PIL import Image, ImageFilter

from imposer.tones.enlargement import find_enlargement
from tests.tones.drawings import blank, compressed, photo, plane, resized, stroke, typed

WIDTH, HEIGHT = 1748, 2480


def _drawn(kind: str, width: int, height: int) -> np.ndarray:
    if kind == "photo":
        return photo(width, height, seed=7)
    return typed(width, height, size=height * 0.04, grey=kind == "grey type")


KINDS = ("photo", "grey type", "bilevel type")


@pytest.mark.parametrize("factor", [2, 4, 4.17, 8, 8.33])
@pytest.mark.parametrize("kind", KINDS)
def test_art_drawn_up_in_blocks_is_found_with_its_own_resolution(kind, factor):
    small = _drawn(kind, round(WIDTH / factor), round(HEIGHT / factor))
    found = find_enlargement(plane(resized(small, (WIDTH, HEIGHT), Image.Resampling.NEAREST), 600))
    assert found is not None
    assert found.way == "blocks"
    assert found.ppi == pytest.approx(600 / factor, rel=0.01)
    assert found.factor == pytest.approx(factor, rel=0.01)


@pytest.mark.parametrize("way", [Image.Resampling.BILINEAR, Image.Resampling.BICUBIC, Image.Resampling.LANCZOS])
@pytest.mark.parametrize("factor", [2.78, 4.17, 8.33])
@pytest.mark.parametrize("kind", KINDS)
def test_art_drawn_up_smoothly_is_found_with_its_own_resolution(kind, factor, way):
    small = _drawn(kind, round(WIDTH / factor), round(HEIGHT / factor))
    found = find_enlargement(plane(resized(small, (WIDTH, HEIGHT), way), 600))
    assert found is not None
    assert found.way == "smooth"
    assert found.ppi == pytest.approx(600 / factor, rel=0.015)


def test_smooth_enlargements_survive_compression():
    small = photo(round(WIDTH / 4.17), round(HEIGHT / 4.17), seed=7)
    large = compressed(resized(small, (WIDTH, HEIGHT), Image.Resampling.BICUBIC), 85)
    assert find_enlargement(plane(large, 600)).ppi == pytest.approx(600 / 4.17, rel=0.015)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("quality", [None, 90, 60, 25])
@pytest.mark.parametrize("kind", KINDS)
def test_art_at_its_own_resolution_is_not_taken_for_an_enlargement(kind, quality, seed):
    tones = (
        photo(1240, 1240, seed=seed) if kind == "photo" else typed(1240, 1240, size=50, grey="grey" in kind, seed=seed)
    )
    tones = tones if quality is None else compressed(tones, quality)
    assert find_enlargement(plane(tones, 600)) is None


@pytest.mark.parametrize("seed", range(3))
def test_soft_art_is_not_taken_for_an_enlargement(seed):
    soft = Image.fromarray(photo(1240, 1240, seed=seed)).filter(ImageFilter.GaussianBlur(1.5))
    assert find_enlargement(plane(np.asarray(soft), 600)) is None
    assert find_enlargement(plane(compressed(np.asarray(soft), 80), 600)) is None


def test_a_reduction_is_no_enlargement():
    small = resized(photo(2400, 2400), (1000, 1000), Image.Resampling.LANCZOS)
    assert find_enlargement(plane(small, 600)) is None


def test_a_single_line_says_nothing_about_pixels():
    assert find_enlargement(plane(stroke(4, 30), 600)) is None
    assert find_enlargement(plane(blank(20, 20, 600), 600)) is None


def test_a_small_plane_says_nothing_either():
    assert find_enlargement(plane(photo(40, 40), 600)) is None
    assert find_enlargement(plane(np.full((1, 1), 9, dtype=np.uint8), 600)) is None
