"""The preview table: exact for two inks, near enough for four."""

from __future__ import annotations

import numpy as np
import pytest

from imposer.ink import table as table_module
from imposer.ink.colour import Colour, lab_from_rec2020, rec2020_from_srgb8, srgb8_from_rec2020
from imposer.ink.difference import delta_e
from imposer.ink.overprint import overprint_model
from imposer.ink.raster import predict_srgb8
from imposer.ink.table import preview_srgb8, preview_table
from tests.ink.test_raster import CREAM, model_of, noise


def both_ways(ink_count, planes):
    model = model_of(ink_count)
    return preview_srgb8(preview_table(model), planes), predict_srgb8(model, planes)


@pytest.mark.parametrize("ink_count", [1, 2])
def test_two_inks_are_exact(ink_count):
    preview, exact = both_ways(ink_count, noise(ink_count, 90, 70))
    # A column of one tone is worked in other steps, so a rounded code may fall to the other side.
    assert np.abs(preview.astype(int) - exact).max() <= 1
    assert (preview != exact).mean() < 1e-3


@pytest.mark.parametrize(("ink_count", "mean", "most"), [(3, 0.5, 2.5), (4, 0.8, 4.5)])
def test_more_inks_come_near(ink_count, mean, most):
    """CIEDE2000 over tones drawn evenly from all there are."""
    preview, exact = (
        lab_from_rec2020(rec2020_from_srgb8(way)) for way in both_ways(ink_count, noise(ink_count, 200, 200))
    )
    differences = delta_e(preview, exact)
    assert differences.mean() < mean
    assert differences.max() < most


@pytest.mark.parametrize("ink_count", [1, 2, 3, 4])
def test_paper_and_full_tones_are_exact(ink_count):
    corners = np.array([[255 * (number >> ink & 1) for number in range(2**ink_count)] for ink in range(ink_count)])
    planes = corners.astype(np.uint8)[:, None, :]
    model = model_of(ink_count)
    preview = preview_srgb8(preview_table(model), planes)
    assert np.array_equal(preview[0], srgb8_from_rec2020(model.solids))


def test_levels_are_the_nearest():
    for levels in (32, 64):
        nearest = table_module._nearest_level(np.arange(256, dtype=np.uint8), levels)
        assert np.abs(nearest * 255 / (levels - 1) - np.arange(256)).max() <= 255 / (levels - 1) / 2
        assert (nearest[0], nearest[-1]) == (0, levels - 1)


def test_many_strips_are_one_picture(monkeypatch):
    table, planes = preview_table(model_of(3)), noise(3, 31, 23)
    at_once = preview_srgb8(table, planes)
    monkeypatch.setattr(table_module, "_STRIP_PIXELS", 50)
    assert np.array_equal(preview_srgb8(table, planes), at_once)


def test_a_side_without_ink_is_paper():
    table = preview_table(overprint_model(CREAM, []))
    assert Colour(table.model.paper).hex == "#f4ecd8"
    assert np.all(preview_srgb8(table, np.empty((0, 4, 5), np.uint8)) == list(bytes.fromhex("f4ecd8")))
    assert preview_srgb8(table, np.empty((0, 0, 5), np.uint8)).shape == (0, 5, 3)


def test_the_table_is_small():
    assert preview_table(model_of(4)).colours.nbytes == 4 * 32**4


def test_more_inks_than_a_table_holds_are_refused():
    with pytest.raises(ValueError, match="5 inks are too many for a preview table, which holds 4"):
        preview_table(model_of(5))


def test_planes_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="2 inks need as many 8-bit planes"):
        preview_srgb8(preview_table(model_of(2)), noise(3, 4, 4))
