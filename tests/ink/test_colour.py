"""Colour conversions against published values and a colour library."""

from __future__ import annotations

import coloraide
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.ink.colour import (
    D65,
    REC2020_FROM_SRGB,
    WHITE,
    Colour,
    decode_srgb,
    encode_srgb,
    lab_from_rec2020,
    lab_from_xyz,
    rec2020_from_srgb8,
    srgb8_from_rec2020,
    xyz_from_lab,
)
from tests.ink.laws import law

codes = st.integers(0, 255)

# Worked from the curve of IEC 61966-2-1; L* of the grey from CIE 15.
GREYS = {
    0: (0.0, 0.0),
    1: (0.000304, 0.2742),
    5: (0.001518, 1.3709),
    10: (0.003035, 2.7417),
    11: (0.003347, 3.0229),
    32: (0.014444, 12.25),
    55: (0.038204, 23.0687),
    64: (0.051269, 27.0934),
    96: (0.116971, 40.7305),
    119: (0.184475, 50.0344),
    128: (0.215861, 53.5850),
    188: (0.502886, 76.2461),
    224: (0.745404, 89.1773),
    254: (0.991102, 99.6549),
    255: (1.0, 100.0),
}

# Lab under D65 of coloraide 8.13.1, which scikit-image and colour-science match within 0.03.
LAB_D65 = {
    "#ffffff": (100.0, 0.0, 0.0),
    "#000000": (0.0, 0.0, 0.0),
    "#ff0000": (53.237, 80.090, 67.203),
    "#00ff00": (87.736, -86.182, 83.187),
    "#0000ff": (32.301, 79.195, -107.855),
    "#808080": (53.585, 0.0, 0.0),
    "#bcbcbc": (76.246, 0.0, 0.0),
    "#e04080": (53.032, 65.779, 0.664),
    "#2060c0": (41.966, 16.029, -55.903),
    "#f0d000": (83.777, -4.784, 84.265),
    "#209050": (52.765, -45.454, 25.483),
}


@pytest.mark.parametrize("code", GREYS)
def test_greys_have_the_light_of_the_standards_curve(code):
    light, lightness = GREYS[code]
    assert decode_srgb(code / 255) == pytest.approx(light, abs=6e-7)
    assert encode_srgb(light) * 255 == pytest.approx(code, abs=0.005)
    assert lab_from_rec2020(rec2020_from_srgb8([code] * 3)) == pytest.approx([lightness, 0, 0], abs=2e-3)


@pytest.mark.parametrize("code", LAB_D65)
def test_lab_under_the_screens_own_white(code):
    xyz = coloraide.Color(code).convert("xyz-d65").coords()
    assert lab_from_xyz(xyz, D65) == pytest.approx(LAB_D65[code], abs=0.03)


def test_the_matrix_between_the_two_spaces_is_the_published_one():
    # ITU-R BT.2087-0, linear BT.709 (the primaries of sRGB) to linear BT.2020; its four decimals are from memory.
    published = [[0.6274, 0.3293, 0.0433], [0.0691, 0.9195, 0.0114], [0.0164, 0.0880, 0.8956]]
    assert pytest.approx(np.array(published), abs=5.1e-5) == REC2020_FROM_SRGB


@law
@given(st.tuples(*[st.floats(0, 1)] * 3))
def test_measured_xyz_agrees_with_the_library(xyz):
    theirs = coloraide.Color("xyz-d50", list(xyz)).convert("rec2020-linear").coords()
    # Their D50, 0.96430 and 0.82510, has other last decimals than the one of ICC.1.
    assert Colour.from_xyz(xyz).rec2020 == pytest.approx(theirs, abs=6e-4)


@law
@given(codes, codes, codes)
def test_codes_come_back_and_agree_with_the_library(red, green, blue):
    ours = rec2020_from_srgb8([red, green, blue])
    assert srgb8_from_rec2020(ours).tolist() == [red, green, blue]
    theirs = coloraide.Color("srgb", [red / 255, green / 255, blue / 255])
    assert ours == pytest.approx(theirs.convert("rec2020-linear").coords(), abs=1e-6)
    # Their D50 has more decimals than the one of ICC.1.
    assert lab_from_rec2020(ours) == pytest.approx(theirs.convert("lab").coords(), abs=0.02)


@law
@given(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100))
def test_lab_comes_back(lightness, a, b):
    assert lab_from_xyz(xyz_from_lab([lightness, a, b])) == pytest.approx([lightness, a, b], abs=1e-8)


@law
@given(codes, codes, codes)
def test_a_hex_code_comes_back_and_is_on_screen(red, green, blue):
    code = f"#{red:02x}{green:02x}{blue:02x}"
    colour = Colour.from_hex(code)
    assert colour.hex == code
    assert colour.on_screen


@law
@given(codes, codes, codes)
def test_the_same_colour_given_as_lab_is_on_screen_too(red, green, blue):
    colour = Colour(tuple(rec2020_from_srgb8([red, green, blue]).tolist()))
    again = Colour.from_lab(lab_from_rec2020(colour.rec2020))
    assert again.on_screen
    assert again.hex == colour.hex


@pytest.mark.parametrize("text", ["", "#", "e04080", "#e0408", "#e04080f", "#e0408g", "#e 0408", "red", "#+04080"])
def test_what_is_no_hex_code_is_refused(text):
    with pytest.raises(ValueError, match="is not a colour such as #e04080"):
        Colour.from_hex(text)


def test_a_colour_is_three_finite_numbers():
    with pytest.raises(ValueError, match="three numbers"):
        Colour.from_xyz([float("nan"), 0.5, 0.5])
    with pytest.raises(ValueError, match="three numbers"):
        Colour.from_xyz([[0.1, 0.2, 0.3]])


@pytest.mark.parametrize(
    ("lab", "shown"),
    [
        ((100, 0, 0), True),
        ((0, 0, 0), True),
        ((50, 0, 0), True),
        ((54.3, 80.8, 69.9), True),  # sRGB red, Lab D50
        ((54.3, 86, 75), False),  # a little purer
        ((50, -60, -50), False),  # a cyan beyond any screen
        ((105, 30, -20), False),  # a fluorescent pink: it returns more light than white paper
    ],
)
def test_colours_that_no_screen_holds_are_known(lab, shown):
    # Expectations agree with the gamut test of the colour library.
    assert Colour.from_lab(lab).on_screen is shown
    assert coloraide.Color("lab", list(lab)).in_gamut("srgb", tolerance=0.002) is shown


def test_white_is_one():
    assert WHITE.rec2020 == pytest.approx((1, 1, 1), abs=1e-12)
