"""Speed and memory of the check beside the least that has to be done: decoding the same files with Pillow.

Pages of A5 at 600 ppi, gray, in two inks; every page measured and every rule run, but the Monte-Carlo of registration,
which is held against bare shifts of the same planes instead. Both sides work on two threads. Processor time is taken,
so that a busy machine troubles both alike, and the time by the clock is printed beside it. Memory is the peak of a
process of its own. Only ratios are judged. See the figures: `pytest tests/bench/test_check_speed.py -s`.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from imposer.check import run_checks
from imposer.check.facts import Facts
from imposer.job import load_job
from imposer.look_over import survey, try_drift
from imposer.pages.find import find_pages
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.impose import impose
from imposer.sheet.places import page_places
from imposer.tones.drift import draw_shifts
from imposer.tones.plane import Plane
from imposer.tones.trials import try_registration
from tests.bench.test_tones_speed import DRIFT, TRIALS, line_art, picture, shifted_bytes
from tests.tones.registration import differences

PPI, PAGES, ROUNDS = 600, 4, 3
JOB = """title = "Bench"
copies = 10
[page]
trim = "A5"
[sheet]
size = "A3"
[[ink]]
name = "k"
pages = "black/*.png"
[[ink]]
name = "marigold"
pages = "marigold/*.png"
"""


@pytest.fixture(scope="module")
def art(tmp_path_factory):
    """A job folder of line art in black and pictures in marigold, four pages."""
    return drawn(tmp_path_factory.mktemp("check"), line_art, picture)


def drawn(folder, black, marigold):
    """A job folder whose inks are drawn so."""
    for ink, drawing in (("black", black), ("marigold", marigold)):
        (folder / ink).mkdir()
        for page in range(1, PAGES + 1):
            # Stored as artists' programs do, black for ink.
            Image.fromarray(255 - drawing(page)).save(folder / ink / f"{page}.png", dpi=(PPI, PPI))
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    return folder


def butting(page):
    """A ground under the lower half of the line art, from which solids and lines are knocked out."""
    ground = np.zeros_like(line_art(page))
    ground[2700:] = 255 - line_art(page)[2700:]
    return ground


def checked(folder):
    """Everything from the art to the findings, but the trials."""
    job = load_job(folder)
    table = find_pages(job)
    imposition = impose(job, table.pages)
    places = page_places(imposition, job.shop.machine)
    surveyed = survey(job, table, places)
    printing = {cell: one.prints for cell, one in surveyed.measured.items()}
    plan = plan_passes(job, imposition, inked_sides(imposition, printing))
    facts = Facts(
        job=job,
        table=table,
        measured=surveyed.measured,
        imposition=imposition,
        plan=plan,
        seen=table.findings,
        tones=surveyed.pages,
        places=places,
    )
    return run_checks(facts), surveyed, plan, places, job


def decoded(folder):
    """Pillow, on two threads."""
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(_load, sorted(folder.glob("*/*.png"))))


def _load(file):
    with Image.open(file) as image:
        image.load()


def best(**ways):
    """The least processor time and time by the clock of several rounds of each, taken in turn."""
    seconds = {name: (float("inf"), float("inf")) for name in ways}
    for _ in range(ROUNDS):
        for name, way in ways.items():
            start = time.process_time(), time.perf_counter()
            way()
            used = time.process_time() - start[0], time.perf_counter() - start[1]
            seconds[name] = tuple(map(min, seconds[name], used))
    return seconds


@pytest.mark.parametrize(
    ("kind", "drawings"),
    [
        ("line art and pictures", (line_art, picture)),
        ("pictures", (picture, picture)),
        # Line art decodes in no time, but is full of edges to be looked at.
        ("line art", (line_art, line_art)),
    ],
)
def test_all_rules_but_the_trials(kind, drawings, tmp_path):
    black, marigold = drawings
    art = drawn(tmp_path, black, lambda page: marigold(page + PAGES))
    seconds = best(decode=lambda: decoded(art), check=lambda: checked(art))
    cpu, clock = (seconds["check"][k] / seconds["decode"][k] for k in (0, 1))
    print(f"\n{PAGES} pages of {kind}: decoded in {seconds['decode'][0]:.2f} s of processor time,", end=" ")
    print(f"checked in {cpu:.2f} times that ({clock:.2f} times by the clock)")
    assert cpu <= 4


def test_the_trials_beside_bare_shifts_of_the_same_planes(tmp_path):
    """From the masks that the survey keeps, as the check does it, and from the planes themselves; the inks butt."""
    _, surveyed, plan, places, job = checked(drawn(tmp_path, line_art, butting))
    (page,) = list(surveyed.pages)[:1]
    assert surveyed.pages[page].masks is not None
    planes = [line_art(page), butting(page)]
    shifts = draw_shifts(DRIFT, (1, 1), TRIALS, np.random.default_rng(1))
    whole = [Plane(one, PPI) for one in planes]
    kept = {page: surveyed.pages[page]}
    seconds = best(
        bare=lambda: shifted_bytes(planes, shifts, PPI),
        planes=lambda: try_registration(whole, (1, 1), DRIFT, differences(2), trials=TRIALS),
        check=lambda: try_drift(job, kept, places, plan),
    )
    ratios = {name: value[0] / seconds["bare"][0] for name, value in seconds.items()}
    print(f"\n{TRIALS} trials of a page, in bare shifts: " + ", ".join(f"{n} {r:.2f}" for n, r in ratios.items()))
    assert ratios["planes"] <= 2
    assert ratios["check"] <= 2


def test_memory_does_not_grow_with_the_booklet(art):
    peaks = {pages: peak_of_a_check(art, pages) for pages in (16, 160)}
    print("\nchecking: peak " + ", ".join(f"{pages} pages {peak:.0f} MB" for pages, peak in peaks.items()))
    assert peaks[160] <= 1.1 * peaks[16]


def peak_of_a_check(folder, pages):
    """The peak memory, MB, of a process that checks so many pages, the same four over and over."""
    job = folder / f"of-{pages}"
    job.mkdir(exist_ok=True)
    for ink in ("black", "marigold"):
        (job / ink).mkdir(exist_ok=True)
        for page in range(1, pages + 1):
            link = job / ink / f"{page}.png"
            if not link.exists():
                link.hardlink_to(folder / ink / f"{(page - 1) % PAGES + 1}.png")
    (job / "job.toml").write_text(JOB, encoding="utf-8")
    command = [sys.executable, "-m", "tests.bench.check_peak", str(job)]
    told = subprocess.run(command, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2])
    return float(json.loads(told.stdout))
