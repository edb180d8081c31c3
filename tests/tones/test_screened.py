import numpy as np
import pytest
from PIL import Image

from imposer.tones.screened import find_screen
from tests.tones.drawings import blank, photo, plane, resized, screened, typed


def _turned(one: float, other: float) -> float:
    """The turn between two square lattices, degrees."""
    turn = abs(one - other) % 90
    return min(turn, 90 - turn)


@pytest.mark.parametrize(
    ("ruling", "degrees"), [(38, 45), (53, 75), (71, 45), (85, 15), (106, 22.5), (133, 0), (150, 30)]
)
@pytest.mark.parametrize("what", ["photo", "light tint", "half tint", "dark tint"])
def test_a_screen_is_found_with_ruling_and_angle(what, ruling, degrees):
    tints = {"light tint": 30, "half tint": 128, "dark tint": 217}
    tones = photo(900, 900) if what == "photo" else np.full((900, 900), tints[what], dtype=np.uint8)
    found = find_screen(plane(screened(tones, 600, ruling, degrees), 600))
    assert found is not None
    assert found.ruling == pytest.approx(ruling, rel=0.01)
    assert _turned(found.angle, degrees) < 0.5
    assert found.share > 0.9


@pytest.mark.parametrize(("ruling", "degrees"), [(53, 75), (85, 15), (106, 45)])
def test_a_screen_is_found_at_300_pixels_an_inch(ruling, degrees):
    found = find_screen(plane(screened(photo(900, 900), 300, ruling, degrees), 300))
    assert found.ruling == pytest.approx(ruling, rel=0.01)
    assert _turned(found.angle, degrees) < 0.5


def test_a_screen_is_found_where_it_lies():
    page = typed(2400, 2400, size=70).copy()
    page[900:1900, 500:1700] = screened(photo(1200, 1000), 600, 71, 45)
    art = plane(page, 600)
    found = find_screen(art)
    assert found.ruling == pytest.approx(71, rel=0.01)
    mm = 25.4 / 600
    covered = np.zeros(page.shape, dtype=int)
    for box in found.boxes:
        covered[art.pixels.cells(box)] += 1
    assert covered.max() == 1
    assert covered[900:1900, 500:1700].mean() > 0.95
    outside = covered.sum() - covered[900:1900, 500:1700].sum()
    # Patches of 128 pixels stand out round it.
    assert outside < 4 * 128 * (1200 + 1000) / 2
    assert found.share == pytest.approx(covered.mean(), abs=0.001)
    assert mm * 128 == pytest.approx(5.4, abs=0.1)


@pytest.mark.parametrize(("width", "height"), [(354, 378), (425, 425), (700, 230)])
def test_a_small_screens_area_is_its_own_and_not_that_of_the_patches(width, height):
    page = typed(2400, 2400, size=70).copy()
    page[:, :1400] = 0
    page[500 : 500 + height, 470 : 470 + width] = screened(photo(width, height), 600, 70, 45)
    found = find_screen(plane(page, 600))
    assert found.ruling == pytest.approx(70, rel=0.01)
    assert found.share == pytest.approx(width * height / 2400**2, rel=0.05)


@pytest.mark.parametrize("size", [10, 14, 22])
@pytest.mark.parametrize("factor", [2.78, 4, 6])
@pytest.mark.parametrize("way", [Image.Resampling.BILINEAR, Image.Resampling.LANCZOS])
def test_type_drawn_up_smoothly_is_no_screen(way, factor, size):
    small = typed(round(2000 / factor), round(2400 / factor), size=size, seed=size)
    assert find_screen(plane(resized(small, (2000, 2400), way), 600)) is None


def _hatching(degrees: float, pitch: float, *, side: int = 1200) -> np.ndarray:
    y, x = np.mgrid[:side, :side]
    across = x * np.cos(np.radians(degrees)) + y * np.sin(np.radians(degrees))
    return np.where(across % pitch < pitch * 0.4, 255, 0).astype(np.uint8)


@pytest.mark.parametrize("degrees", [0, 30, 45, 90])
def test_hatching_is_no_screen(degrees):
    assert find_screen(plane(_hatching(degrees, 9), 600)) is None


@pytest.mark.parametrize("size", [24, 40, 70, 120])
def test_type_is_no_screen(size):
    for tones in (typed(1500, 1500, size=size), 255 - typed(1500, 1500, size=size, grey=False)):
        assert find_screen(plane(tones, 600)) is None


def test_tones_and_grain_are_no_screen():
    assert find_screen(plane(photo(900, 900), 600)) is None
    rng = np.random.default_rng(5)
    grain = np.where(rng.integers(0, 256, (900, 900)) < photo(900, 900), 255, 0).astype(np.uint8)
    assert find_screen(plane(grain, 600)) is None


def test_a_coarse_pattern_of_dots_is_a_drawing():
    y, x = np.mgrid[:1500, :1500]
    dots = ((y % 60 - 30) ** 2 + (x % 60 - 30) ** 2 < 300).astype(np.uint8) * 255
    # Ten dots an inch.
    assert find_screen(plane(dots, 600)) is None


def test_a_page_smaller_than_a_patch_tells_nothing():
    assert find_screen(plane(blank(3, 3, 600), 600)) is None
    assert find_screen(plane(blank(60, 60, 600), 600)) is None
