"""The numbers for a browser: worked as the browser works them, they give the library's colours."""

from __future__ import annotations

import numpy as np
import pytest

from imposer.ink.colour import (
    REC2020_FROM_SRGB,
    Colour,
    decode_srgb,
    lab_from_rec2020,
    lab_from_xyz,
    rec2020_from_srgb8,
    srgb8_from_rec2020,
)
from imposer.ink.difference import delta_e
from imposer.ink.overprint import predict
from imposer.ink.page import layer_constants, shader_constants
from tests.ink.printed_charts import chosen_chart
from tests.ink.test_raster import model_of, noise


def shaded(constants, tones):
    """What the fragment shader does, in its 32-bit floats. Tones (count, k) to sRGB codes."""
    half = np.float32
    t, g = tones.astype(half), np.array(constants.gains, half)
    a = np.clip(t + half(4) * g * t * (half(1) - t), half(0), half(1))
    q = np.broadcast_to(np.array(constants.roots, half), (len(t), len(constants.roots), 3))
    for ink in range(len(constants.inks)):
        share = a[:, ink, None, None]
        q = q[:, 0::2] * (half(1) - share) + q[:, 1::2] * share
    light = q[:, 0] ** half(constants.n) @ np.array(constants.to_srgb, half).T
    light = np.clip(light, half(0), half(1))
    encoded = np.where(
        light <= half(0.0031308), half(12.92) * light, half(1.055) * light ** half(1 / 2.4) - half(0.055)
    )
    return np.floor(encoded * 255 + 0.5).astype(int)


def layered(constants, model, tones):
    """What a canvas does: fill, multiply layer by layer, add the floor; 8 bits at every step. Tones to sRGB codes."""
    gains = np.array(model.gains)
    covered = np.clip(tones + 4 * gains * tones * (1 - tones), 0, 1)
    canvas = np.broadcast_to(np.round(np.array(constants.base) * 255), (len(tones), 3))
    for ink, film in enumerate(constants.films):
        a = covered[:, ink, None]
        canvas = np.round(canvas * np.round(255 * (1 - a + a * np.array(film))) / 255)
    return np.clip(canvas + np.round(np.array(constants.floor) * 255), 0, 255)


@pytest.mark.parametrize("ink_count", [1, 2, 3, 4, 6])
def test_the_shader_agrees_within_one_code(ink_count):
    model = model_of(ink_count)
    tones = noise(ink_count, 50, 40).reshape(ink_count, -1).T / 255
    shader, library = shaded(shader_constants(model), tones), srgb8_from_rec2020(predict(model, tones)).astype(int)
    assert np.abs(shader - library).max() <= 1
    difference = delta_e(*(lab_from_rec2020(rec2020_from_srgb8(codes)) for codes in (shader, library)))
    assert difference.max() < 1.5


def test_constants_are_plain_numbers():
    constants = shader_constants(model_of(3))
    assert constants.inks == ("ink 0", "ink 1", "ink 2")
    assert len(constants.roots) == 8
    assert all(type(value) is float for row in (*constants.roots, *constants.to_srgb) for value in row)
    assert np.array(constants.to_srgb).sum(axis=1) == pytest.approx([1, 1, 1])


@pytest.mark.parametrize(("name", "mean"), [("fogra29", 4.0), ("fogra30", 4.0), ("tr002", 2.8)])
def test_layers_come_near_real_prints(name, mean):
    """Mean CIEDE2000 of every patch of two and more inks (charts/SOURCES.txt); without the floor it is above 7."""
    chart = chosen_chart(name)
    model, patches = chart.model(), chart.ink_counts >= 2
    measured = lab_from_xyz(chart.xyz[patches])

    def error(constants):
        codes = layered(constants, model, chart.tones[patches])
        return delta_e(lab_from_rec2020(decode_srgb(codes / 255) @ REC2020_FROM_SRGB.T), measured).mean()

    assert error(layer_constants(model)) < mean
    assert error(layer_constants(model, floor=0.0)) > 7


def test_layers_keep_paper_and_full_inks():
    model = model_of(5)
    constants = layer_constants(model)
    corners = np.vstack([np.zeros(5), np.eye(5)])
    wanted = srgb8_from_rec2020(predict(model, corners)).astype(int)
    found = layered(constants, model, corners)
    # An ink darker than the floor cannot be reached; it is shown as the floor.
    reachable = wanted >= round(255 * max(constants.floor))
    assert np.abs(found - wanted)[reachable].max() <= 1


def test_on_dark_paper_the_paper_is_the_floor():
    constants = layer_constants(model_of(2, Colour.from_hex("#400808")))
    assert constants.base == (0, 0, 0)
    assert constants.floor == pytest.approx((0x40 / 255, 8 / 255, 8 / 255))
    assert constants.films == ((1, 1, 1), (1, 1, 1))
