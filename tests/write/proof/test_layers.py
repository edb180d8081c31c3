"""Ink layers: what is packed is what was read, in the room there is."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.main_job import prepare
from imposer.write.proof.layers import RESOLUTIONS, pack, page_tones, resolution_for, room_for
from tests.folders import page_tones as drawn_tones
from tests.folders import write_png
from tests.write.proof.jobs import HIGH, PPI, WIDE, bare, grain, job_of, kiss_fit


def read(data):
    return 255 - np.asarray(Image.open(io.BytesIO(data)))


@pytest.mark.parametrize("tones", [bare(), kiss_fit()[0], drawn_tones(3, ppi=PPI)], ids=["bare", "square", "drawing"])
def test_line_art_is_packed_without_loss(tones):
    data, kind = pack(tones)
    assert kind == "png"
    assert np.array_equal(read(data), tones)


def test_a_photograph_may_become_a_jpeg_that_shows_the_same_tones():
    rows, columns = np.mgrid[0:600, 0:400]
    dice = np.random.default_rng(1)
    soft = 128 + 60 * np.sin(rows / 40) + 50 * np.cos(columns / 33) + dice.normal(0, 1.5, (600, 400))
    tones = np.clip(soft, 0, 255).astype(np.uint8)
    data, kind = pack(tones)
    assert kind == "jpeg"
    apart = np.abs(read(data).astype(int) - tones)
    assert np.count_nonzero(apart > 8) <= tones.size / 1000


def test_noise_that_no_jpeg_would_keep_stays_a_png():
    tones = np.random.default_rng(2).integers(0, 256, (300, 300), dtype=np.uint8)
    assert pack(tones)[1] == "png"


@given(st.lists(st.integers(100, 200_000), min_size=1, max_size=600), st.floats(50, 900))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_more_pages_never_ask_for_finer_layers(previews, side):
    room = room_for(len(previews))
    chosen = resolution_for(previews, room, side)
    assert chosen in RESOLUTIONS or chosen < RESOLUTIONS[-1]
    assert resolution_for(previews + previews, room, side) <= chosen
    assert chosen * side / 25.4 <= 3001


def test_a_page_on_the_layers_grid_is_taken_pixel_by_pixel(tmp_path):
    art = grain(1)
    (part,) = prepare(job_of(tmp_path, {"k": [art]})).parts
    cell = part.table.cells[1, "lamp black"]
    assert np.array_equal(page_tones(cell, part.job.page, PPI), art)
    half = page_tones(cell, part.job.page, PPI / 2)
    assert half.shape == (HIGH // 2, WIDE // 2)
    assert np.abs(half.astype(int) - art.reshape(HIGH // 2, 2, WIDE // 2, 2).mean(axis=(1, 3))).max() <= 1


def test_smaller_art_lies_in_the_middle_of_its_page_and_larger_is_cut(tmp_path):
    """Centred by 20 × 30 pixels each way, whole ones, so that nothing is resampled."""
    small, large = grain(2)[30:-30, 20:-20], np.pad(grain(3), ((30, 30), (20, 20)))
    folder = job_of(tmp_path, {"k": [bare(), bare()]})
    text = (folder / "job.toml").read_text(encoding="utf-8").replace("[page]", '[page]\nfit = "centre"')
    (folder / "job.toml").write_text(text, encoding="utf-8")
    write_png(folder / "k" / "001.png", 255 - small, PPI)
    write_png(folder / "k" / "002.png", 255 - large, PPI)
    (part,) = prepare(folder).parts
    first, second = (page_tones(part.table.cells[n, "lamp black"], part.job.page, PPI) for n in (1, 2))
    expected = np.zeros_like(first)
    expected[30:-30, 20:-20] = small
    # The file states its resolution in whole pixels a metre: 5906 is not quite 150 an inch.
    assert np.abs(first.astype(int) - expected)[32:-32, 22:-22].max() <= 6
    assert not first[:28].any()
    assert np.abs(second.astype(int) - grain(3)).max() <= 6
