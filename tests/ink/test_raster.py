"""Whole pages: the same colours as the plain prediction, in strips, in bounded memory."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.ink import raster
from imposer.ink.colour import WHITE, Colour, lab_from_rec2020, rec2020_from_srgb8, srgb8_from_rec2020
from imposer.ink.overprint import overprint_model, predict
from imposer.ink.raster import predict_srgb8
from imposer.ink.solids import InkAppearance
from tests.ink.laws import law

COLOURS = ("#e04080", "#2060c0", "#f0d000", "#2a2a2e", "#209050", "#c06020", "#703090", "#000000")
CREAM = Colour.from_hex("#f4ecd8")


def model_of(ink_count, paper=CREAM, gains=(0.12, 0.05, 0.2, 0.35, -0.1, -0.3, 0.0, 0.25), **options):
    inks = [
        InkAppearance(name=f"ink {i}", colour=Colour.from_hex(COLOURS[i]), gain=gains[i], opacity=0.5 * (i == 5))
        for i in range(ink_count)
    ]
    return overprint_model(paper, inks, **options)


def noise(ink_count, height, width, key=7):
    return np.random.default_rng(key).integers(0, 256, (ink_count, height, width), dtype=np.uint8)


def plainly(model, planes):
    return srgb8_from_rec2020(predict(model, np.moveaxis(planes, 0, -1) / 255))


@pytest.mark.parametrize("n", [1.0, 1.7, 2.0, 3.0])
@pytest.mark.parametrize("ink_count", range(1, 9))
def test_pixels_are_the_prediction_within_one_code(ink_count, n):
    model, planes = model_of(ink_count, n=n), noise(ink_count, 40, 50)
    ours, plain = predict_srgb8(model, planes).astype(int), plainly(model, planes).astype(int)
    assert np.abs(ours - plain).max() <= 1
    # What is left is the rounding of light to its steps.
    assert (ours != plain).mean() < (0.003 if ink_count <= 4 else 0.015)


def test_many_strips_are_one_picture(monkeypatch):
    model, planes = model_of(4), noise(4, 61, 37)
    at_once = predict_srgb8(model, planes)
    monkeypatch.setattr(raster, "_STRIP_PIXELS", 100)
    assert np.array_equal(predict_srgb8(model, planes), at_once)


@law
@given(st.lists(st.sampled_from([0, 1, 128, 255, None]), min_size=4, max_size=4))
def test_planes_of_one_tone_give_the_same_pixels(even):
    model, planes = model_of(4), noise(4, 8, 9)
    for plane, tone in zip(planes, even, strict=True):
        if tone is not None:
            plane[:] = tone
    assert np.abs(predict_srgb8(model, planes).astype(int) - plainly(model, planes)).max() <= 1


@pytest.mark.parametrize("key", range(3))
def test_pixels_do_not_depend_on_their_neighbours(key):
    model, planes = model_of(5), noise(5, 6, 5, key)
    whole = predict_srgb8(model, planes)
    alone = [predict_srgb8(model, planes[:, y : y + 1, x : x + 1])[0, 0] for y in range(6) for x in range(5)]
    assert np.abs(whole.reshape(-1, 3).astype(int) - np.array(alone)).max() <= 1


@pytest.mark.parametrize("paper", ["#ffffff", "#f4ecd8", "#7a1010", "#000000"])
def test_bare_paper_and_full_inks_are_exact(paper):
    # Tones drawn at random beside them, so that no plane is even throughout.
    planes = noise(4, 5, 30)
    planes[:, 0] = 0
    for ink in range(4):
        planes[:, ink + 1, :10] = 0
        planes[ink, ink + 1, :10] = 255
    model = model_of(4, Colour.from_hex(paper))
    pixels = predict_srgb8(model, planes)
    assert np.all(pixels[0] == list(bytes.fromhex(paper[1:])))
    for ink in range(4):
        wanted = srgb8_from_rec2020(model.solids[2**ink])
        assert np.all(pixels[ink + 1, :10] == wanted)
        if paper == "#ffffff":
            assert wanted.tolist() == list(bytes.fromhex(COLOURS[ink][1:]))


@pytest.mark.parametrize("ink_count", [1, 2, 3, 4])
def test_more_tone_is_never_lighter_on_the_screen(ink_count):
    """Lightness of the pixels along every ramp; a rounded code may stand up by less than half a step of L*."""
    model = model_of(ink_count, WHITE)
    under = np.random.default_rng(1).integers(0, 256, (ink_count, 200, 1), dtype=np.uint8)
    for ink in range(ink_count):
        planes = np.repeat(under, 256, axis=2)
        planes[ink] = np.arange(256, dtype=np.uint8)
        lightness = lab_from_rec2020(rec2020_from_srgb8(predict_srgb8(model, planes)))[..., 0]
        assert np.diff(lightness, axis=1).max() < 0.5
        assert np.all(lightness[:, -1] <= lightness[:, 0] + 0.25)


@pytest.mark.parametrize("n", [1.7, 3.0])
def test_black_on_black_is_black(n):
    """Rounding may leave the root of a black a hair below nothing, of which no power can be taken."""
    inks = [InkAppearance(name=f"black {i}", colour=Colour.from_hex("#000000")) for i in range(4)]
    planes = np.maximum(noise(4, 100, 100), 250)
    assert predict_srgb8(overprint_model(CREAM, inks, n=n), planes).max() <= 12


def test_memory_stays_bounded():
    model, planes = model_of(4), noise(4, 1500, 2000)
    predict_srgb8(model, planes[:, :2])
    tracemalloc.start()
    predict_srgb8(model, planes)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak - 1500 * 2000 * 3 < 8e6


def test_planes_cut_from_a_larger_picture():
    model, planes = model_of(3), noise(3, 40, 60)
    assert np.array_equal(
        predict_srgb8(model, planes[:, 3:30, 5:40]), predict_srgb8(model, planes[:, 3:30, 5:40].copy())
    )


def test_a_side_without_ink_is_paper():
    model = overprint_model(CREAM, [])
    assert np.all(predict_srgb8(model, np.empty((0, 4, 5), np.uint8)) == list(bytes.fromhex("f4ecd8")))
    assert predict_srgb8(model_of(2), np.empty((2, 0, 5), np.uint8)).shape == (0, 5, 3)
    assert predict_srgb8(model_of(2), np.empty((2, 5, 0), np.uint8)).shape == (5, 0, 3)


@pytest.mark.parametrize(
    "planes",
    [np.zeros((2, 4, 4), np.uint8), np.zeros((3, 4), np.uint8), np.zeros((3, 4, 4))],
    ids=["too few", "no width", "floats"],
)
def test_planes_that_do_not_fit_are_refused(planes):
    with pytest.raises(ValueError, match="3 inks need as many 8-bit planes"):
        predict_srgb8(model_of(3), planes)
