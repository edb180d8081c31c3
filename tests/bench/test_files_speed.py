"""A file for each page beside one file of all pages: found, read and placed in masters, in the same run.

Pages of type, curves, a picture of their own and an ornament that all share; the single files are the same pages, split
by another library, each with fonts and ornament of its own. Processor time, the best of several rounds in turn. See
the figures: `pytest tests/bench/test_files_speed.py -s`.
"""

from __future__ import annotations

import shutil
import time

import pytest

from imposer.job import load_job
from imposer.pages.find import find_pages
from imposer.pages.pdf_source import close_sources
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.write.masters import write_masters
from tests.bench.art import PAGE, single_pages, vector_pdf

PAGES = 64
ROUNDS = 9


@pytest.fixture(scope="module")
def jobs(tmp_path_factory):
    """Two job folders with the same pages: in one file, and in a file for each."""
    folder = tmp_path_factory.mktemp("files")
    found = {}
    for name in ("one", "many"):
        found[name] = folder / name
        found[name].mkdir()
        size = ", ".join(f'"{side} pt"' for side in PAGE)
        (found[name] / "job.toml").write_text(
            f'title = "Bench"\ncopies = 40\n[page]\ntrim = [{size}]\n'
            '[binding]\nstyle = "gathered"\npieces_per_signature = 4\n'
            '[[ink]]\nname = "lamp black"\npages = "art/*.pdf"\n',
            encoding="utf-8",
        )
    (found["one"] / "art").mkdir()
    single_pages(vector_pdf(found["one"] / "art" / "pages.pdf", PAGES, full=True), found["many"] / "art")
    return found


def placed(folder, out):
    """Find the pages of a job and write its masters, as the main job does, with every file opened anew."""
    close_sources()
    job = load_job(folder)
    table = find_pages(job)
    assert table.pages == PAGES
    imposition = impose(job, table.pages)
    frames = draw_frames(job, imposition)
    plan = plan_passes(job, imposition, inked_sides(imposition, dict.fromkeys(table.cells, True)))
    out.mkdir()
    write_masters(out, plan, frames.sides, table, imposition, job.title)
    return sum(file.stat().st_size for file in out.rglob("*.pdf"))


def test_a_file_a_page_costs_little_more_than_one_file(jobs, tmp_path):
    best, sizes = dict.fromkeys(jobs, float("inf")), {}
    for _ in range(ROUNDS):
        for name, folder in jobs.items():
            start = time.process_time()
            sizes[name] = placed(folder, tmp_path / name)
            best[name] = min(best[name], time.process_time() - start)
            shutil.rmtree(tmp_path / name)
    ratio = best["many"] / best["one"]
    given = {name: sum(file.stat().st_size for file in (folder / "art").iterdir()) for name, folder in jobs.items()}
    for name in jobs:
        print(
            f"\n{PAGES} pages in {name}: {given[name] / 1e6:.1f} MB found and placed in {best[name]:.3f} s, "
            f"masters of {sizes[name] / 1e6:.1f} MB",
            end="",
        )
    print(f"; {ratio:.2f} times the time")
    # Fonts and ornament are there once, whether they came in one file or in all of them.
    assert sizes["many"] <= 1.02 * sizes["one"]
    assert ratio <= 1.5
