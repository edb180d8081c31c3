"""Folding masters back beside rendering them once, both in the same run: only the ratio is judged.

Time is processor time of this process and of its renderers, which are ended after every round so that theirs is known;
both sides pay for starting them. See the figures: `pytest tests/bench/test_fold_back_speed.py -s`.
"""

from __future__ import annotations

import os
import shutil
import tracemalloc
from dataclasses import replace

from imposer.fold_back.artwork import artwork_of
from imposer.fold_back.compose import compose_records
from imposer.fold_back.folded import fold_back
from imposer.fold_back.pictures import SheetPictures
from imposer.fold_back.printed import PPI
from imposer.fold_back.survey import survey_masters
from imposer.limits import LIMITS
from imposer.pages.measure import measure_page
from imposer.pages.render import end_workers, render_tones
from imposer.plan.passes import inked_sides, plan_passes
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.write.fold_page import fold_page
from imposer.write.masters import write_masters
from tests.bench.art import gray_pages, vector_pdf
from tests.jobs import a_job
from tests.write.works import a_work

PAGES, ROUNDS = 64, 2
INKS = ("lamp black", "marigold")
TWO_UP = {"sheet": "A3", "pieces": 1}


def prepared(files):
    """The job up to what masters are made from, measured as a build measures it."""
    work = a_work(files, pages=PAGES, **TWO_UP)
    trim = next(iter(work.table.cells.values())).size
    job = a_job(trim=(trim.width, trim.height), inks=INKS, creep="none", **TWO_UP)
    measured = {cell: measure_page(art, job.page) for cell, art in work.table.cells.items()}
    imposition = impose(job, PAGES)
    part = PreparedPart(
        job=job,
        pages=tuple(range(1, PAGES + 1)),
        table=work.table,
        measured=measured,
        imposition=imposition,
        frames=draw_frames(job, imposition).sides,
        plan=plan_passes(
            job, imposition, inked_sides(imposition, {cell: found.prints for cell, found in measured.items()})
        ),
        findings=(),
    )
    return Prepared(job=job, parts=(part,), findings=())


def masters(made, folder):
    (part,) = made.parts
    folder.mkdir()
    title, records = made.job.title, compose_records(made)
    write_masters(folder, part.plan, part.frames, part.table, part.imposition, title, records=records)
    return folder


def processor_seconds(work):
    best = float("inf")
    for _ in range(ROUNDS):
        end_workers()
        before = sum(os.times()[:4])
        work()
        end_workers()
        best = min(best, sum(os.times()[:4]) - before)
    return best


def ratios(made, out):
    pages = [(page.file, page.index, page.size) for page in survey_masters(out)]

    def render():
        for file, index, size in pages:
            render_tones(file, index, size, PPI, annotations=True, limits=LIMITS)

    def alone():
        assert not fold_back(out).faults

    def in_a_build():
        pictures = SheetPictures()
        folded = fold_back(out, look=artwork_of(made), on_printed=pictures.add)
        pictures.done()
        assert not folded.faults
        fold_page(folded, pictures)

    floor, bare, whole = map(processor_seconds, (render, alone, in_a_build))
    print(f"\n{len(pages)} masters of {PAGES} pages in two inks, rendered once: {floor:.2f} s")
    print(f"  folded back from the masters alone     {bare:.2f} s  {bare / floor:.2f}")
    print(f"  with the artwork's pixels and fold.html {whole:.2f} s  {whole / floor:.2f}")
    return bare / floor, whole / floor


def test_folding_vector_pages_back(tmp_path):
    """The hardest case: pages of type that are quick to render."""
    file = vector_pdf(tmp_path / "pages.pdf", PAGES)
    made = prepared(dict.fromkeys(INKS, file))
    bare, whole = ratios(made, masters(made, tmp_path / "out"))
    assert bare <= 2
    assert whole <= 2


def test_folding_gray_pictures_back(tmp_path):
    """Pages of 600 ppi, whose rendering is what takes the time."""
    made = prepared(gray_pages(tmp_path, INKS, PAGES))
    bare, whole = ratios(made, masters(made, tmp_path / "out"))
    shutil.rmtree(tmp_path)
    assert bare <= 2
    assert whole <= 2


def test_the_memory_of_folding_back_does_not_grow_with_the_sheets(tmp_path):
    """What is kept of a page is its sketch and its pictures: a hundredth of its pixels, and no page waits for long."""
    made = prepared(dict.fromkeys(INKS, vector_pdf(tmp_path / "pages.pdf", PAGES)))
    (part,) = made.parts
    peaks = {}
    for sheets in (4, 16):
        passes = tuple(
            replace(run, masters=tuple(replace(m, sheets=m.sheets[:sheets]) for m in run.masters))
            for run in part.plan.passes
        )
        fewer = replace(made, parts=(replace(part, plan=replace(part.plan, passes=passes)),))
        out = masters(fewer, tmp_path / f"out {sheets}")
        tracemalloc.start()
        fold_back(out)
        peaks[sheets] = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
    print("\npeak of what is held: " + ", ".join(f"{n} sheets {p:.1f} MB" for n, p in peaks.items()))
    assert peaks[16] <= 1.5 * peaks[4]
