import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

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


@pytest.mark.parametrize("factor", [4.17, 6])
def test_a_picture_drawn_up_is_found_in_a_white_border_too(factor):
    """The edge of the picture is as sharp as the paper round it makes it, and says nothing of the picture."""
    wide, high = 1500, 1900
    small = photo(round(wide / factor), round(high / factor), seed=7)
    page = np.zeros((HEIGHT, WIDTH), dtype=np.uint8)
    page[250 : 250 + high, 120 : 120 + wide] = resized(small, (wide, high), Image.Resampling.BILINEAR)
    found = find_enlargement(plane(page, 600))
    assert found is not None
    assert found.ppi == pytest.approx(600 / factor, rel=0.015)


@pytest.mark.parametrize("seed", range(3))
def test_a_picture_of_its_own_resolution_in_a_white_border_is_none(seed):
    page = np.zeros((HEIGHT, WIDTH), dtype=np.uint8)
    page[250:2150, 120:1620] = photo(1500, 1900, seed=seed)
    assert find_enlargement(plane(page, 600)) is None


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


def _soft(width: int, height: int) -> np.ndarray:
    """Large soft shapes with grain and a bare rim: hardly an edge."""
    rng = np.random.default_rng(1)
    y, x = (np.mgrid[:height, :width] + 0.5) * (100 / width)
    tones = np.zeros((height, width))
    for _ in range(30):
        left, top, wide, deep = rng.uniform(0, 100), rng.uniform(0, 140), rng.uniform(4, 25), rng.uniform(-1, 1)
        tones += deep * np.exp(-((x - left) ** 2 + (y - top) ** 2) / (2 * wide**2))
    tones += rng.normal(0, 0.05, tones.shape)
    tones = 0.12 + 0.72 * (tones - tones.min()) / np.ptp(tones)
    tones[(x < 6) | (x > 94) | (y < 6) | (y > 134)] = 0
    return (255 * tones).astype(np.uint8)


@pytest.mark.parametrize(
    ("ppi", "way"), [(75, Image.Resampling.BICUBIC), (100, Image.Resampling.LANCZOS), (120, Image.Resampling.BICUBIC)]
)
def test_soft_pictures_drawn_up_to_600_are_found(ppi, way):
    small = _soft(round(100 / 25.4 * ppi), round(140 / 25.4 * ppi))
    found = find_enlargement(plane(resized(small, (2362, 3307), way), 600))
    # At 75, eight times: the grid of 8.01 pixels is not that of a compressed picture's blocks.
    assert found.ppi == pytest.approx(ppi, rel=0.01)


def test_a_soft_picture_at_its_own_resolution_is_not_found():
    assert find_enlargement(plane(_soft(1181, 1654), 300)) is None


def _pattern(kind: str, unit: float) -> np.ndarray:
    """A pattern drawn at 600 pixels an inch, edges where they fall: a unit is so many mm."""
    picture = Image.new("L", (2362, 3307), 0)
    draw = ImageDraw.Draw(picture)
    mm = 600 / 25.4

    def bar(left: float, top: float, width: float, height: float, tone: int = 255) -> None:
        draw.rectangle(
            (round(left * mm), round(top * mm), round((left + width) * mm) - 1, round((top + height) * mm) - 1),
            fill=tone,
        )

    columns, rows = int(70 / unit), int(100 / unit)
    if kind == "dots":
        for left, top in ((15 + i * unit, 20 + j * unit) for i in range(columns) for j in range(rows)):
            draw.ellipse(
                (round(left * mm), round(top * mm), round((left + 0.64 * unit) * mm), round((top + 0.64 * unit) * mm)),
                fill=255,
            )
    elif kind == "squares":
        for left, top in ((15 + i * unit, 20 + j * unit) for i in range(columns) for j in range(rows)):
            bar(left, top, unit / 2, unit / 2)
    elif kind == "checks":
        for i, j in ((i, j) for i in range(columns) for j in range(rows) if (i + j) % 2):
            bar(15 + i * unit, 20 + j * unit, unit, unit)
    else:
        wide, tone = (unit / 2, 153) if kind == "tartan" else (0.3, 255)
        for i in range(columns):
            bar(15 + i * unit, 20, wide, 100, tone)
        for j in range(rows):
            bar(15, 20 + j * unit, 70, wide, tone)
    return np.asarray(picture)


@pytest.mark.parametrize(
    ("kind", "unit"),
    [
        *(("dots", unit) for unit in (2, 2.5, 3, 4)),
        *(("squares", unit) for unit in (1.5, 2, 3, 4)),
        *(("checks", unit) for unit in (0.5, 0.8, 1, 2)),
        *(("tartan", unit) for unit in (2, 3, 5)),
        *(("grid paper", unit) for unit in (2, 4, 5, 6)),
    ],
)
def test_a_pattern_drawn_at_its_own_resolution_is_no_enlargement(kind, unit):
    assert find_enlargement(plane(_pattern(kind, unit), 600)) is None


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("unit", [0.5, 1, 2])
def test_boxes_laid_out_in_whole_millimetres_are_no_blocks(unit, seed):
    rng = np.random.default_rng(seed)
    picture = Image.new("L", (2362, 3307), 0)
    draw = ImageDraw.Draw(picture)
    for _ in range(60):
        left, top = rng.integers(5, 80 / unit), rng.integers(5, 110 / unit)
        edges = left, top, left + rng.integers(2, 14 / unit), top + rng.integers(2, 14 / unit)
        x0, y0, x1, y1 = (round(float(edge) * unit * 600 / 25.4) for edge in edges)
        draw.rectangle((x0, y0, x1 - 1, y1 - 1), fill=int(rng.integers(0, 3)) * 120)
    assert find_enlargement(plane(np.asarray(picture), 600)) is None


@pytest.mark.parametrize("factor", [3, 6])
def test_a_pattern_that_was_drawn_up_is_still_one(factor):
    small = typed(2362 // factor, 3307 // factor, size=3307 / factor * 0.05, grey=False).copy()
    # Dots of a few old pixels each beside lines of type.
    y, x = np.mgrid[: small.shape[0], : small.shape[1]]
    dots = ((y % 8 - 3) ** 2 + (x % 8 - 3) ** 2 < 6) & (y > small.shape[0] // 2)
    small[dots] = 255
    art = resized(small, (small.shape[1] * factor, small.shape[0] * factor), Image.Resampling.NEAREST)
    found = find_enlargement(plane(art, 600))
    assert (found.way, found.ppi) == ("blocks", pytest.approx(600 / factor, rel=0.01))


def test_a_single_line_says_nothing_about_pixels():
    assert find_enlargement(plane(stroke(4, 30), 600)) is None
    assert find_enlargement(plane(blank(20, 20, 600), 600)) is None


def test_a_small_plane_says_nothing_either():
    assert find_enlargement(plane(photo(40, 40), 600)) is None
    assert find_enlargement(plane(np.full((1, 1), 9, dtype=np.uint8), 600)) is None
