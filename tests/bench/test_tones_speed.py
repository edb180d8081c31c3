"""Speed of the measurements on tone planes beside decoding the same pages, both in the same run and on one thread each.

Two pages of A5 at 600 ppi, 3496 × 4961 pixels, as PNG. Processor time is taken, so that a busy machine troubles both
alike. Only ratios are judged. See the figures: `pytest tests/bench/test_tones_speed.py -s`.
"""

from __future__ import annotations

import io
import time
from collections import defaultdict

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from imposer.data import FOLDER
from imposer.geometry import Box
from imposer.tones.content import describe_content
from imposer.tones.coverage import ink_outside, inked_box, mean_tone, worst_sum, worst_window
from imposer.tones.drift import Drift, draw_shifts
from imposer.tones.enlargement import find_enlargement
from imposer.tones.levels import measure_levels
from imposer.tones.likeness import compare_tones, match_layers
from imposer.tones.plane import Plane
from imposer.tones.screened import find_screen
from imposer.tones.slivers import expected_slivers
from imposer.tones.solids import find_solids
from imposer.tones.strokes import thin_gaps, thin_lines
from imposer.tones.trials import try_registration
from tests.tones.drawings import WORDS
from tests.tones.registration import differences

WIDTH, HEIGHT, PPI = 3496, 4961, 600
ROUNDS, TRIALS = 5, 30
DRIFT = Drift(same_pass=0.25, between_passes=0.5, turn=0.001)
SAFE = Box(5, 5, 143, 205)


@pytest.mark.parametrize(
    ("inks", "limit"),
    # Line art decodes the fastest of all and has the most outlines to look along; pictures are the other way round.
    [(("line art", "picture"), 2.0), (("picture", "picture"), 1.5), (("line art", "line art"), 2.5)],
)
def test_all_measurements_but_the_trials(inks, limit):
    files = [_png({"line art": line_art, "picture": picture}[ink](seed)) for seed, ink in enumerate(inks)]
    tones = [np.asarray(Image.open(io.BytesIO(file))) for file in files]
    parts: dict[str, float] = {}
    seconds = fastest(decode=lambda: [_decoded(file) for file in files], measure=lambda: measured(tones, parts))
    ratio = seconds["measure"] / seconds["decode"]
    print(f"\n{' and '.join(inks)}: decoded in {seconds['decode']:.3f} s, measured in {ratio:.2f} times that")
    print(", ".join(f"{name} {1000 * value:.0f} ms" for name, value in parts.items()))
    assert ratio <= limit


@pytest.mark.parametrize("passes", [(1, 1), (1, 2)])
def test_the_trials_beside_bare_shifts(passes):
    tones = [line_art(0), picture(1)]
    planes = [Plane(one, PPI) for one in tones]
    shifts = draw_shifts(DRIFT, passes, TRIALS, np.random.default_rng(1))
    coarse = [np.ascontiguousarray(one[2::4, 2::4]) for one in tones]
    seconds = fastest(
        bare=lambda: shifted_bytes(tones, shifts, PPI),
        bare_150=lambda: shifted_bytes(coarse, shifts, 150),
        trials=lambda: try_registration(planes, passes, DRIFT, differences(2), trials=TRIALS),
    )
    print(f"\n{TRIALS} trials in passes {passes}: {1000 * seconds['trials']:.0f} ms", end=", ")
    print(f"{seconds['trials'] / seconds['bare']:.2f} times bare shifts of the pages", end=", ")
    print(f"{seconds['trials'] / seconds['bare_150']:.1f} times those of every fourth pixel")
    assert seconds["trials"] <= 2 * seconds["bare"]


def fastest(**ways):
    """The best of several rounds of each, taken in turn so that a busy machine troubles all alike."""
    best = dict.fromkeys(ways, float("inf"))
    for _ in range(ROUNDS):
        for name, way in ways.items():
            start = time.process_time()
            way()
            best[name] = min(best[name], time.process_time() - start)
    return best


def measured(tones, parts):
    """Everything that the rules ask of a page in two inks, from planes that nothing is known of yet."""
    found: dict[str, float] = defaultdict(float)

    def timed(name, way):
        start = time.process_time()
        result = way()
        found[name] += time.process_time() - start
        return result

    planes = [Plane(one, PPI) for one in tones]
    for plane in planes:
        timed("reduce", lambda p=plane: (p.means, p.least, p.most, p.row_most, p.column_most))
        timed("cover", lambda p=plane: (mean_tone(p), mean_tone(p, SAFE), worst_window(p), inked_box(p)))
        timed("outside", lambda p=plane: ink_outside(p, SAFE))
        timed("levels", lambda p=plane: measure_levels(p))
        timed("solids", lambda p=plane: find_solids(p))
        timed("content", lambda p=plane: describe_content(p))
        screen = timed("screen", lambda p=plane: find_screen(p))
        without = screen.boxes if screen else ()
        timed("enlarged", lambda p=plane: find_enlargement(p))
        timed("lines", lambda p=plane, w=without: thin_lines(p, 0.1764, w))
        timed("gaps", lambda p=plane, w=without: thin_gaps(p, 0.3528, w))
    timed("sum", lambda: worst_sum(planes))
    timed("likeness", lambda: (match_layers(*planes), compare_tones(*planes)))
    timed("slivers", lambda: expected_slivers(planes, (1, 1), DRIFT, differences(2)))
    parts.update(found)


def shifted_bytes(tones, shifts, ppi):
    """Move every ink of every trial by whole pixels into a plane of its own, and do nothing else."""
    for trial in shifts:
        for one, (right, up, _) in zip(tones, trial, strict=True):
            across, down = round(right * ppi / 25.4), round(-up * ppi / 25.4)
            height, width = one.shape
            moved = np.zeros_like(one)
            moved[max(down, 0) : height + min(down, 0), max(across, 0) : width + min(across, 0)] = one[
                max(-down, 0) : height + min(-down, 0), max(-across, 0) : width + min(-across, 0)
            ]


def line_art(seed):
    """Half a page of type, solids and a tangle of lines from 3 to 13 pixels."""
    dice = np.random.default_rng(seed)
    page = Image.new("L", (WIDTH, HEIGHT), 0)
    draw = ImageDraw.Draw(page)
    font = ImageFont.truetype(str(FOLDER / "fonts" / "sans.ttf"), 75)
    for y in range(300, 2600, 115):
        draw.text((300, y), " ".join(WORDS[i] for i in dice.integers(0, len(WORDS), 12)), fill=255, font=font)
    draw.ellipse((500, 2800, 1500, 3800), fill=255)
    draw.rectangle((1700, 2800, 3000, 3600), fill=255)
    for _ in range(60):
        points = dice.integers(0, 1000, (6, 2)) + np.array((1800, 3750))
        draw.line([(int(x), int(y)) for x, y in points], fill=255, width=int(dice.integers(3, 14)))
    return np.asarray(page)


def picture(seed):
    """A picture with detail of four sizes and grain, in a bare margin."""
    dice = np.random.default_rng(seed)
    light = np.zeros((HEIGHT, WIDTH), np.float32)
    for size in (8, 32, 128, 512):
        coarse = dice.normal(0, 1, (HEIGHT // size + 2, WIDTH // size + 2)).astype(np.float32)
        light += np.asarray(Image.fromarray(coarse).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)) * size**0.5
    light = (light - light.min()) / (light.max() - light.min()) * 255 + dice.normal(0, 4, light.shape)
    page = np.zeros((HEIGHT, WIDTH), np.uint8)
    page[300:-300, 300:-300] = np.clip(light, 0, 255)[300:-300, 300:-300]
    return page


def _png(tones):
    file = io.BytesIO()
    Image.fromarray(tones).save(file, "PNG", dpi=(PPI, PPI))
    return file.getvalue()


def _decoded(file):
    image = Image.open(io.BytesIO(file))
    image.load()
    return image
