"""The demo: a zine that a studio could print, and that takes the program through its paces."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from imposer.job import load_job
from imposer.pages.find import find_pages
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.impose import impose
from tests.artwork import art_files, drawn_again, far_apart, not_gray, size_of, tones

DEMO = Path(__file__).parents[1] / "demo_zine"
#: Pages whose drawing runs over the fold: the cover and the middle spread.
OVER_THE_FOLD = {1, 16, 8, 9}


@cache
def job():
    return load_job(DEMO)


@cache
def table():
    return find_pages(job())


@cache
def dots(page, ink):
    """The page's dots, left to right and top to bottom; 0 = full tone. None where the ink has no art."""
    art = table().art(page, ink)
    return None if art is None else tones(art.source.file, art.source.index)


@cache
def prints():
    cells = {cell: dots(*cell) for cell in table().cells}
    return {cell: bool((found < 250).any()) for cell, found in cells.items()}


def test_sixteen_pages_in_three_inks():
    assert (table().pages, table().inks) == (16, ("lamp black", "marigold", "harbour"))
    assert (job().title, job().copies, job().sheet.paper.name) == ("Moth Hours", 120, "cream 90")
    assert table().findings == ()


def test_one_ink_goes_by_another_of_its_names():
    written = tomllib.loads((DEMO / "job.toml").read_text(encoding="utf-8"))
    assert "harbour" not in [ink["name"] for ink in written["ink"]]


def test_black_is_images_and_the_others_are_pdfs():
    kinds = {ink: {art.source.kind for (_, of), art in table().cells.items() if of == ink} for ink in table().inks}
    assert kinds == {"lamp black": {"image"}, "marigold": {"pdf"}, "harbour": {"pdf"}}


def test_it_is_small_enough_to_carry_about():
    assert size_of(DEMO) < 3_000_000


@pytest.mark.parametrize("file", art_files(DEMO), ids=lambda file: file.name)
def test_its_art_is_gray_alone(file):
    assert not_gray(file) == []


def test_line_work_has_six_hundred_dots_to_the_inch_and_the_photograph_three():
    wide = {page: round(dots(page, "lamp black").shape[1] / 140 * 25.4) for page in range(1, 17)}
    assert [page for page, ppi in wide.items() if ppi != 600] == [6]
    assert wide[6] == 300


def test_the_photograph_has_the_tones_of_one():
    held, counts = np.unique(dots(6, "lamp black"), return_counts=True)
    assert (counts > 500).sum() > 15
    # Common practice, no source: highlights over 5 %, shadows under 90 %, so that the screen neither drops nor fills.
    picture = held[held < 255]
    assert picture.max() <= 255 * 0.951
    assert picture.min() >= 255 * 0.095


@pytest.mark.parametrize("ink", ["lamp black", "marigold", "harbour"])
def test_ink_stays_five_millimetres_from_the_trim(ink):
    """There is no bleed, so a cut that wanders must meet paper; the fold alone may be drawn over."""
    near = {}
    for page in range(1, 17):
        found = dots(page, ink)
        if found is None or not (found < 250).any():
            continue
        dot = 140 / found.shape[1]
        rows, columns = np.nonzero(found < 250)
        head, foot = rows.min() * dot, 200 - (rows.max() + 1) * dot
        left, right = columns.min() * dot, 140 - (columns.max() + 1) * dot
        sides = [head, foot, right if page % 2 else left]
        if page not in OVER_THE_FOLD:
            sides.append(left if page % 2 else right)
        near[page] = round(min(sides), 2)
    assert {page: gap for page, gap in near.items() if gap < 4.9} == {}


@pytest.mark.parametrize("page", sorted(OVER_THE_FOLD))
def test_what_runs_over_the_fold_reaches_it(page):
    at_the_fold = dots(page, "harbour")[:, 0 if page % 2 else -1]
    assert (at_the_fold < 250).mean() > 0.5


def test_no_colour_lies_heavy():
    """A large solid is held to 70–80 % tone (common practice, no source): it sticks, smears and sets off."""
    for page in range(1, 17):
        for ink in ("marigold", "harbour"):
            found = dots(page, ink)
            if found is not None:
                assert (found < 255 * 0.2).mean() < 0.05, (page, ink)
                assert 1 - found.mean() / 255 < 0.6, (page, ink)


def test_the_third_ink_makes_no_master_on_half_of_the_sides():
    """The cover lies on one side of the outermost piece, the middle spread on the other side of the innermost."""
    imposition = impose(job(), table().pages)
    assert (len(imposition.sheets), len(imposition.layout.slots)) == (2, 2)
    assert imposition.creep == pytest.approx(3 * 0.11)
    inked = inked_sides(imposition, prints())
    assert sorted(side for (_, side), inks in inked.items() if "harbour" in inks) == ["back", "front"]
    plan = plan_passes(job(), imposition, inked)
    assert [run.side for run in plan.passes] == ["front", "front", "back", "back"]
    # By hand: black and marigold on all four sides, blue on two.
    assert plan.counts.masters == 4 + 4 + 2


def test_some_pages_are_blank_in_marigold():
    assert [page for page in range(1, 17) if not prints()[page, "marigold"]] == [6, 15]


def test_the_script_draws_what_is_here(tmp_path):
    again = drawn_again(DEMO / "draw.py", tmp_path, "--pages", "4,15,16")
    for page in (4, 15, 16):
        name = f"black/page-{page:02}.png"
        assert far_apart(tones(DEMO / name), tones(again / name)) == "", name
        assert far_apart(*(tones(f / "marigold.pdf", page - 1, 144) for f in (DEMO, again))) == "", page
    assert far_apart(*(tones(f / "blue" / "page-16.pdf", 0, 144) for f in (DEMO, again))) == ""


def test_the_script_draws_the_same_bytes_each_time(tmp_path):
    one, other = (drawn_again(DEMO / "draw.py", tmp_path / name, "--pages", "15,16") for name in ("one", "other"))
    files = art_files(one)
    assert len(files) == 4
    assert [file.read_bytes() for file in files] == [file.read_bytes() for file in art_files(other)]
