import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.tones.packed import dilated, disc_moves, eroded, opened, pack, shifted


def _mask(height: int, width: int, share: float, seed: int) -> np.ndarray:
    return np.random.default_rng(seed).random((height, width)) < share


def _disc(diameter: int) -> list[tuple[int, int]]:
    middle = (diameter - 1) / 2
    return [
        (row, column)
        for row in range(diameter)
        for column in range(diameter)
        if (row - middle) ** 2 + (column - middle) ** 2 <= diameter**2 / 4
    ]


def _opened_pixel_by_pixel(mask: np.ndarray, diameter: int) -> np.ndarray:
    """Lay the disc on every place of a plane that goes on outside; keep what it covers where it fits."""
    around = 2 * diameter
    large = np.pad(mask, around, constant_values=True)
    kept = np.zeros_like(large)
    for top in range(large.shape[0] - diameter + 1):
        for left in range(large.shape[1] - diameter + 1):
            places = [(top + row, left + column) for row, column in _disc(diameter)]
            if all(large[place] for place in places):
                for place in places:
                    kept[place] = True
    return kept[around:-around, around:-around]


@given(st.integers(1, 30), st.integers(1, 140), st.integers(1, 6), st.integers(0, 2**32 - 1))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_opening_keeps_what_a_disc_can_reach(height, width, diameter, seed):
    mask = _mask(height, width, 0.85, seed)
    packed = pack(mask.view(np.uint8), margin=2 * diameter, outside=True)
    assert np.array_equal(opened(packed, diameter).unpacked(), _opened_pixel_by_pixel(mask, diameter))


@pytest.mark.parametrize("diameter", range(1, 33))
def test_moves_make_the_disc(diameter):
    covered = {(0, 0)}
    for right, down in disc_moves(diameter):
        covered |= {(row + down, column + right) for row, column in covered}
    left = min(column for _, column in covered)
    differing = {(row, column - left) for row, column in covered} ^ set(_disc(diameter))
    if diameter <= 21:
        assert not differing
    else:
        # Eight pixels of the outline, of a disc of hundreds.
        assert len(differing) in (0, 8)


@given(st.integers(1, 6), st.integers(0, 2**32 - 1))
@settings(max_examples=20, deadline=None, derandomize=True)
def test_dilating_reaches_as_far_as_the_radius_and_eroding_takes_as_much(radius, seed):
    mask = _mask(40, 90, 0.03, seed)
    rows, columns = np.nonzero(mask)
    y, x = np.mgrid[:40, :90]
    near = np.zeros(mask.shape, dtype=bool)
    for row, column in zip(rows, columns, strict=True):
        near |= (y - row) ** 2 + (x - column) ** 2 <= (radius + 0.5) ** 2
    margin = 2 * radius + 2
    assert np.array_equal(dilated(pack(mask.view(np.uint8), margin=margin), radius).unpacked(), near)
    clear = pack((~mask).view(np.uint8), margin=margin, outside=True)
    assert np.array_equal(eroded(clear, radius).unpacked(), ~near)


def test_a_page_higher_than_a_band_is_worked_without_a_seam():
    mask = _mask(1400, 70, 0.9, 5)
    whole = opened(pack(mask.view(np.uint8), margin=8, outside=True), 4).unpacked()
    for seam in (256, 632, 640, 1272, 1280):
        part = opened(pack(mask[seam - 60 : seam + 60].view(np.uint8), margin=8, outside=True), 4).unpacked()
        assert np.array_equal(whole[seam - 50 : seam + 50], part[10:110])


@given(st.integers(-70, 70), st.integers(-20, 20) | st.integers(-90, 90))
@settings(max_examples=100, deadline=None, derandomize=True)
def test_shifting_moves_every_pixel(dx, dy):
    # Within the margins on all sides, as whoever shifts must see to.
    dx = max(min(dx, 63), -63)
    mask = _mask(30, 100, 0.3, 7)
    packed = pack(mask.view(np.uint8), margin=20)
    moved = packed.with_words(shifted(packed.words, dx, dy)).unpacked()
    expected = np.zeros_like(mask)
    for row, column in zip(*np.nonzero(mask), strict=True):
        if 0 <= row - dy < 30 and 0 <= column - dx < 100:
            expected[row - dy, column - dx] = True
    assert np.array_equal(moved, expected)


def test_packing_tells_tones_from_a_value_on_and_below_it():
    tones = np.arange(256, dtype=np.uint8).reshape(2, 128)
    assert np.array_equal(pack(tones, 51).unpacked(), tones >= 51)
    assert np.array_equal(pack(tones, 153, below=True).unpacked(), tones < 153)


def test_clearing_the_margin_leaves_the_mask():
    mask = _mask(33, 65, 0.4, 3)
    inside = pack(mask.view(np.uint8), margin=5, outside=True).inside()
    assert np.array_equal(inside.unpacked(), mask)
    assert np.bitwise_count(inside.words).sum() == mask.sum()


def test_a_disc_that_the_margin_cannot_hold_is_refused():
    packed = pack(np.ones((9, 9), dtype=np.uint8), margin=4)
    with pytest.raises(ValueError, match="needs 6 rows"):
        opened(packed, 3)
    with pytest.raises(ValueError, match="does not fit"):
        opened(packed, 40)
