"""A page of A3 at 600 ppi on its way to a master: processor time and memory beside copying the file.

Each way in processes of its own, the best of several. The picture is carried over as it stands, so its master costs
what a copy of the file does and hardly any memory; the whole main job decodes it too, to measure it, and is shown for
comparison. See the figures: `pytest tests/bench/test_one_picture.py -s`.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

A3_DOTS = (7016, 9921)
ROUNDS = 3
#: What the page may cost: seconds of processor time, and MB beyond a process that copies the file.
SECONDS, MEMORY = 0.3, 60

JOB = """title = "One picture"
copies = 40
[page]
trim = "A5"
fit = "scale"
[[ink]]
name = "lamp black"
pages = "art/*.png"
"""


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    folder = tmp_path_factory.mktemp("picture")
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    (folder / "art").mkdir()
    wide, high = A3_DOTS
    tones, dice = np.empty((high, wide), np.uint8), np.random.default_rng(0)
    for top in range(0, high, 500):
        rows, columns = np.mgrid[top : min(top + 500, high), 0:wide]
        soft = 128 + 60 * np.sin(rows / 300) + 50 * np.cos(columns / 200)
        tones[top : top + 500] = soft + dice.integers(-8, 9, soft.shape)
    Image.fromarray(tones).save(folder / "art" / "1.png", dpi=(600, 600), compress_level=1)
    yield folder
    shutil.rmtree(folder)


def test_a_page_of_a3_reaches_its_master(job):
    best = {}
    for _ in range(ROUNDS):
        for way in ("build", "copy", "masters"):
            told = in_a_process(way, job)
            best[way] = {key: min(told[key], best.get(way, told)[key]) for key in told}
    (master,) = (job / "masters").rglob("*.pdf")
    picture = (job / "art" / "1.png").stat().st_size
    shown = ", ".join(f"{way} {told['seconds']:.3f} s, peak {told['peak']:.0f} MB" for way, told in best.items())
    print(f"\nA3 at 600 ppi, a PNG of {picture / 1e6:.1f} MB: {shown}")
    assert picture - 100_000 < master.stat().st_size < picture + 100_000
    assert best["masters"]["seconds"] <= SECONDS
    assert best["masters"]["peak"] - best["copy"]["peak"] <= MEMORY


def in_a_process(way, folder):
    for made in ("masters", "out"):
        shutil.rmtree(folder / made, ignore_errors=True)
    root = Path(__file__).parents[2]
    command = [sys.executable, "-m", "tests.bench.one_picture", way, str(folder)]
    told = subprocess.run(command, capture_output=True, text=True, check=True, cwd=root)
    return json.loads(told.stdout)
