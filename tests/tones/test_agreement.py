import numpy as np
import pytest
from PIL import Image, ImageDraw

from imposer.tones.agreement import agreement
from imposer.tones.likeness import match_layers
from tests.tones.drawings import blank, moved, photo, plane, resized, typed

PPI = 300
WIDTH, HEIGHT = 1200, 1700


def _drawing(seed: int, *, count: int = 25) -> np.ndarray:
    """Outlines of ovals, no two alike, strewn over a page."""
    rng = np.random.default_rng(seed)
    picture = Image.new("L", (WIDTH, HEIGHT), 0)
    draw = ImageDraw.Draw(picture)
    for _ in range(count):
        x, y, w, h = rng.integers(150, 800), rng.integers(150, 1300), rng.integers(50, 200), rng.integers(50, 200)
        draw.ellipse((x, y, x + w, y + h), outline=255, width=6)
    return np.asarray(picture)


def _shapes(kind: str, left: int, top: int) -> np.ndarray:
    picture = Image.new("L", (WIDTH, HEIGHT), 0)
    draw = ImageDraw.Draw(picture)
    if kind == "square":
        draw.rectangle((left, top, left + 295, top + 295), fill=255)
    elif kind == "disc":
        draw.ellipse((left, top, left + 140, top + 140), fill=255)
    else:
        draw.ellipse((left, top, left + 700, top + 700), fill=255)
    return np.asarray(picture)


def _agreement(first: np.ndarray, second: np.ndarray):
    one, other = plane(first, PPI), plane(np.ascontiguousarray(second), PPI)
    match = match_layers(one, other)
    return match, agreement(one, other, match)


@pytest.mark.parametrize("art", ["drawing", "photo", "type"])
@pytest.mark.parametrize(
    "change",
    [
        lambda t: t[:, ::-1],
        lambda t: np.rot90(t, 2),
        lambda t: np.rot90(t[:, ::-1]),
        lambda t: moved(t, 71, -47),
        lambda t: resized(np.ascontiguousarray(t), (848, 1202), Image.Resampling.BICUBIC),
    ],
)
def test_the_same_art_laid_wrong_agrees_in_most_of_its_detail(art, change):
    own = {"drawing": _drawing(1), "photo": photo(WIDTH, HEIGHT), "type": typed(WIDTH, HEIGHT, size=44)}[art]
    match, found = _agreement(own, change(own // 2 if art != "photo" else 255 - own))
    assert found.details > 40
    # A scale is good to a cell over the page, which is much for the strokes of small type.
    assert min(found.of_first, found.of_second) > (0.35 if match.scale != 1 else 0.6)
    assert match.score - match.rival > 0.12


@pytest.mark.parametrize("kind", ["square", "disc"])
def test_one_shape_moved_has_next_to_no_detail(kind):
    _, found = _agreement(_shapes(kind, 300, 300), _shapes(kind, 420, 380))
    # A square has four corners; a disc of 12 mm little more.
    assert 1 < found.details < 8


def test_a_wide_disc_has_no_detail_for_all_its_length():
    match, found = _agreement(_shapes("wide disc", 200, 400), _shapes("wide disc", 260, 480))
    assert (match.dx, match.dy) == pytest.approx((-60 * 25.4 / PPI, 80 * 25.4 / PPI), abs=0.2)
    assert found.details < 5


@pytest.mark.parametrize("size", [36, 56, 96])
def test_unlike_words_agree_in_next_to_nothing(size):
    one, other = typed(WIDTH, HEIGHT, size=size, seed=1).copy(), typed(WIDTH, HEIGHT, size=size, seed=2).copy()
    one[700:], other[700:] = 0, 0
    match, found = _agreement(one, moved(other, 15, 110))
    # Their lines do match: that is what the agreement is for.
    assert match.score > 0.5
    assert max(found.of_first, found.of_second) < 0.1


def test_rows_of_blocks_have_rivals():
    one, other = np.zeros((HEIGHT, WIDTH), dtype=np.uint8), np.zeros((HEIGHT, WIDTH), dtype=np.uint8)
    for top in range(150, 1500, 175):
        for left in range(150, 1000, 150):
            one[top : top + 90, left : left + 70] = other[top : top + 90, left + 70 : left + 140] = 255
    match, found = _agreement(one, other)
    assert found.details > 20
    assert 0 < match.score - match.rival < 0.08


def test_symmetrical_art_that_was_moved_is_neither_mirrored_nor_has_it_rivals():
    half = _drawing(4, count=14)
    own = np.maximum(half, half[:, ::-1])
    match, found = _agreement(own, moved(own, 50, 40))
    assert (match.mirrored, match.turn) == (False, 0)
    assert (match.dx, match.dy) == pytest.approx((-50 * 25.4 / PPI, 40 * 25.4 / PPI), abs=0.15)
    assert match.score - match.rival > 0.12
    assert found.details > 20


def test_a_page_smaller_than_a_block_and_a_bare_one_agree_in_nothing():
    tiny = blank(3, 3, PPI)
    tiny[10:20, 10:20] = 255
    for second in (tiny, np.zeros_like(tiny)):
        _, found = _agreement(tiny, second)
        assert found.details <= 1
