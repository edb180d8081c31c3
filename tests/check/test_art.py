"""The art of one ink: edges, resolution, tones, lines, negatives, screens; each against art drawn to that measure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from imposer.check import (
    dirty_ground,
    drawn_up,
    faint_tones,
    filling_tones,
    near_edge,
    negative_layer,
    no_bleed,
    resolution,
    screened_already,
    thin_gaps,
    thin_lines,
)
from imposer.job.model import PageSpec
from tests.check.pages import TRIM, a_small_job, draw, facts_of, inside, limited, number, paper
from tests.tones.drawings import photo, resized, screened, stroke, typed

MM = 25.4


def found(rule, facts):
    return rule.RULE.find(facts)


# --- edges of the page ----------------------------------------------------------------------------------------------


def letter(x, y, size=2.0):
    """A small thing to stand for a letter."""
    return draw(paper(), (x, y, x + size, y + size))


@pytest.mark.parametrize(
    ("page", "x", "y", "edge"),
    [(1, 55, 40, "the trim, right"), (1, 30, 3, "the trim, bottom"), (2, 55, 40, "the fold")],
)
def test_a_letter_too_near_an_edge_is_told_with_its_distance(page, x, y, edge):
    (one,) = found(near_edge, facts_of({page: letter(x, y)}, pages=4))
    assert edge in one.message
    assert number(one.measured) == pytest.approx(min(60 - x - 2, y), abs=0.4)
    assert inside(one.box, (x, y, x + 2, y + 2))
    assert one.level == "warning"


def test_a_letter_far_enough_and_a_shape_that_runs_off_are_fine():
    assert found(near_edge, facts_of({1: letter(52, 40)}, pages=4)) == ()
    assert found(near_edge, facts_of({1: draw(paper(), (40, 20, 60, 60))}, pages=4)) == ()


def test_creep_brings_art_nearer_to_the_fore_edge_where_it_is_left_out_and_to_the_fold_where_it_is_not():
    """Four pieces of 0.5 mm nest: the innermost leaves stand out by 1.5 mm, three calipers."""
    at_fore, at_fold = letter(52, 40), letter(6, 40)
    left_out = a_small_job(creep="none", caliper=0.5)
    taken = a_small_job(creep="flat", caliper=0.5)
    (fore,) = found(near_edge, facts_of({7: at_fore}, job=left_out, pages=16))
    assert number(fore.measured) == pytest.approx(6 - 1.5, abs=0.4)
    assert found(near_edge, facts_of({7: at_fore}, job=taken, pages=16)) == ()
    (fold,) = found(near_edge, facts_of({7: at_fold}, job=taken, pages=16))
    assert number(fold.measured) == pytest.approx(6 - 1.5, abs=0.4)
    assert "the fold" in fold.message
    assert found(near_edge, facts_of({7: at_fold}, job=left_out, pages=16)) == ()


def test_what_stands_by_the_fold_in_art_that_crosses_it_is_a_note():
    crossing = draw(letter(2, 60), (0, 20, 30, 40))
    (one,) = found(near_edge, facts_of({1: crossing}, pages=4))
    assert one.level == "note"


@pytest.mark.parametrize(("letter_at", "level"), [(33, "note"), (55, "warning")])
def test_a_stroke_among_strokes_that_run_over_the_trim_is_a_note(letter_at, level):
    """Six strokes run over the right trim, from 15 to 31 mm up; a short one beside them ends inside, or one far off."""
    page = draw(paper(), (57, letter_at, 58, letter_at + 1))
    for up in range(15, 33, 3):
        draw(page, (55, up, 60, up + 1))
    (one,) = found(near_edge, facts_of({1: page}, pages=4))
    assert (one.level, bool(one.mend)) == (level, level == "warning")
    assert number(one.measured) == pytest.approx(2, abs=0.4)


def test_ink_that_ends_at_the_trim_leaves_a_white_rim():
    facts = facts_of({1: draw(paper(), (40, 20, 60, 55))}, pages=4)
    (one,) = found(no_bleed, facts)
    assert number(one.measured) == pytest.approx(35, abs=0.2)
    assert one.box.x1 == 60


def test_ink_at_the_fold_or_for_a_short_way_or_over_the_bleed_is_fine():
    assert found(no_bleed, facts_of({1: draw(paper(), (0, 20, 30, 55))}, pages=4)) == ()
    assert found(no_bleed, facts_of({1: draw(paper(), (40, 20, 60, 29))}, pages=4)) == ()
    job = a_small_job(bleed=3)
    over = draw(paper(bleed=3), (40, 20, 63, 55), bleed=3)
    assert found(no_bleed, facts_of({1: over}, job=job, pages=4)) == ()
    short = draw(paper(bleed=3), (40, 20, 61, 55), bleed=3)
    (one,) = found(no_bleed, facts_of({1: short}, job=job, pages=4))
    assert number(one.measured) == pytest.approx(35, abs=0.2)
    assert "over the 3 mm of bleed" in one.mend


def hatched(slope, bleed=3.0, reach=3.0):
    """Lines of half a millimetre, two apart, over a page and as much of its bleed as `reach`; slope as across to up."""
    page = paper(bleed=bleed)
    rows, columns = np.indices(page.shape)
    page[((columns + slope * rows) * MM / 254) % 2 < 0.5] = 255
    cut = round((bleed - reach) * 10)
    if cut:
        page[:cut], page[-cut:], page[:, :cut], page[:, -cut:] = 0, 0, 0, 0
    return page


@pytest.mark.parametrize("slope", [1.0, -1.0, 0.6, 2.3])
def test_hatching_that_goes_on_over_the_bleed_is_fine(slope):
    job = a_small_job(bleed=3)
    assert found(no_bleed, facts_of({1: hatched(slope)}, job=job, pages=4)) == ()
    for reach in (0.0, 1.5):
        told = found(no_bleed, facts_of({1: hatched(slope, reach=reach)}, job=job, pages=4))
        assert {one.message.split("trim, ")[1].split(",")[0] for one in told} == {"right", "top", "bottom"}


@pytest.mark.parametrize("edge", ["right", "top", "bottom"])
def test_hatching_that_ends_at_one_edge_is_told_of_that_edge(edge):
    page = hatched(1.0)
    cut = {"right": np.s_[:, -30:], "top": np.s_[:30], "bottom": np.s_[-30:]}[edge]
    page[cut] = 0
    told = found(no_bleed, facts_of({1: page}, job=a_small_job(bleed=3), pages=4))
    assert [one.message.split("trim, ")[1].split(",")[0] for one in told] == [edge]


def test_a_block_that_ends_at_the_trim_beside_hatching_that_goes_on_is_told():
    page = hatched(1.0)
    page[300:600, 620:] = 0
    page[300:600, 400:630] = 255
    told = found(no_bleed, facts_of({1: page}, job=a_small_job(bleed=3), pages=4))
    assert [one.message.split("trim, ")[1].split(",")[0] for one in told] == ["right"]


# --- pixels ---------------------------------------------------------------------------------------------------------


def a_photo(ppi, trim=TRIM):
    wide, high = (round(side * ppi / MM) for side in trim)
    return photo(wide, high)


@pytest.mark.parametrize(("ppi", "level"), [(600, None), (400, "note"), (250, "warning"), (120, "warning")])
def test_line_art_wants_the_press_resolution(ppi, level):
    tones = draw(paper(ppi=ppi), (10, 20, 40, 21), ppi=ppi)
    told = found(resolution, facts_of({1: tones}, ppi=ppi))
    assert [one.level for one in told] == ([level] if level else [])
    assert all(number(one.measured) == ppi and one.limit == "600 ppi" for one in told)


@pytest.mark.parametrize(("ppi", "level"), [(300, None), (298, None), (240, "warning"), (140, "warning")])
def test_pictures_want_half_of_it(ppi, level):
    told = found(resolution, facts_of({1: a_photo(ppi)}, ppi=ppi))
    assert [one.level for one in told] == ([level] if level else [])
    assert all(one.limit == "300 ppi" for one in told)


def test_vectors_have_no_resolution():
    tones = draw(paper(ppi=150), (10, 20, 40, 21), ppi=150)
    assert found(resolution, facts_of({1: tones}, ppi=150, kind="pdf")) == ()


def test_a_bitmap_drawn_up_is_told_by_what_it_really_has():
    wide, high = (round(side * 600 / MM) for side in TRIM)
    small = photo(round(wide / 4), round(high / 4))
    up = resized(small, (wide, high), Image.Resampling.NEAREST)
    (one,) = found(drawn_up, facts_of({1: up}, ppi=600))
    assert number(one.measured) == pytest.approx(150, abs=2)
    assert found(resolution, facts_of({1: up}, ppi=600)) == ()
    half = resized(photo(round(wide / 2), round(high / 2)), (wide, high), Image.Resampling.NEAREST)
    assert found(drawn_up, facts_of({1: half}, ppi=600)) == ()


# --- tones ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("box", "tone", "told"),
    [((5, 5, 35, 35), 0.08, True), ((5, 5, 35, 35), 0.12, False), ((5, 5, 17, 17), 0.08, False)],
)
def test_tones_too_light_to_hold(box, tone, told):
    findings = found(faint_tones, facts_of({1: draw(draw(paper(), box, tone), (40, 60, 50, 70))}))
    assert bool(findings) == told
    for one in findings:
        assert number(one.measured) == pytest.approx(100 * 30 * 30 / (60 * 80), abs=1)
        assert inside(one.box, box, by=25)


def test_noise_of_white_paper_is_no_tone():
    noise = np.random.default_rng(6).normal(0, 5, paper().shape).clip(0, 255).astype(np.uint8)
    page = draw(noise, (20, 40, 40, 60))
    facts = facts_of({1: page})
    # Single pixels are dark enough to be looked at; the paper is not.
    assert facts.tones[1].inks["lamp black"].levels.light > 0.3
    assert found(faint_tones, facts) == ()
    (one,) = found(faint_tones, facts_of({1: draw(noise, (20, 10, 50, 30), 0.06)}))
    assert inside(one.box, (20, 10, 50, 30), by=25)


@pytest.mark.parametrize(("tone", "told"), [(0.95, True), (0.88, False), (1.0, False)])
def test_tones_that_fill_in(tone, told):
    findings = found(filling_tones, facts_of({1: draw(paper(), (5, 5, 35, 35), tone)}))
    assert bool(findings) == told
    assert all(number(one.measured) == pytest.approx(18.75, abs=1) for one in findings)


def scanned(tone):
    """A page on grey paper that is lit from one side, with the grain of a scanner."""
    page = draw(draw(paper(), (0, 0, 60, 80), tone), (10, 20, 50, 40))
    light = np.linspace(-2.5, 2.5, page.shape[1]) + np.random.default_rng(4).normal(0, 2, page.shape)
    return np.where(page == 255, 255, np.clip(page + light, 0, 255)).astype(np.uint8)


@pytest.mark.parametrize(("tone", "told"), [(0.04, True), (0.12, True), (0.2, False)])
def test_the_grey_paper_of_a_scan(tone, told):
    page = scanned(tone)
    findings = found(dirty_ground, facts_of({1: page}))
    assert bool(findings) == told
    assert all(number(one.measured) == pytest.approx(100 * (1 - 40 * 20 / (60 * 80)), abs=2) for one in findings)
    # Told once, as what it is.
    assert found(faint_tones, facts_of({1: page})) == ()


@pytest.mark.parametrize(("tone", "told"), [(0.08, True), (0.1, False), (0.12, False)])
def test_an_even_tint_that_prints_is_no_dirty_ground(tone, told):
    page = draw(paper(), (0, 0, 60, 80), tone)
    page[typed(*page.shape[::-1], size=40) > 128] = 255
    facts = facts_of({1: page})
    assert bool(found(dirty_ground, facts)) == told
    assert found(faint_tones, facts) == ()


def test_a_tint_of_half_a_page_is_no_dirty_ground():
    assert found(dirty_ground, facts_of({1: draw(paper(), (0, 0, 60, 50), 0.12)})) == ()


def test_a_negative_is_told_and_a_page_with_a_large_solid_is_not():
    negative = 255 - draw(paper(), (20, 20, 40, 60))
    (one,) = found(negative_layer, facts_of({1: negative}))
    assert number(one.measured) == pytest.approx(100 * (1 - 20 * 40 / (60 * 80)), abs=1)
    assert found(negative_layer, facts_of({1: draw(paper(), (8, 8, 55, 75))})) == ()


# --- lines ----------------------------------------------------------------------------------------------------------


def lines_of(width_px, *, solid=None, ppi=600):
    """A page with strokes of so many pixels, and a solid so that they are a known part of its ink."""
    tones = paper((40, 40), ppi)
    tones[100:500, 100:500] = stroke(width_px, 30)
    if solid:
        draw(tones, solid, ppi=ppi)
    return tones


def a_square_job(**changed):
    return a_small_job(trim=(40, 40), **changed)


def test_a_line_thinner_than_half_a_point_is_told_with_its_width():
    (one,) = found(thin_lines, facts_of({1: lines_of(3)}, job=a_square_job(), ppi=600))
    assert number(one.measured) == pytest.approx(3 * MM / 600, abs=0.012)
    assert one.level == "warning"


def test_a_hair_beside_much_ink_is_a_note():
    (one,) = found(thin_lines, facts_of({1: lines_of(3, solid=(2, 2, 20, 20))}, job=a_square_job(), ppi=600))
    assert one.level == "note"
    assert one.mend == "draw those heavier that must not break"


def test_a_share_of_next_to_nothing_is_left_out():
    """A hair of 0.13 × 5 mm is two thirds of a square millimetre: under 0.05 % of a page that is nearly all ink."""
    tones = paper(ppi=600)
    draw(tones, (1, 1, 40, 79), ppi=600)
    draw(tones, (45, 1, 59, 40), ppi=600)
    tones[100:218, 1100:1103] = 255
    (one,) = found(thin_lines, facts_of({1: tones}, ppi=600))
    assert one.message == f"lines down to {one.measured} may break up or vanish"
    tones[400:930, 1200:1203] = 255
    (one,) = found(thin_lines, facts_of({1: tones}, ppi=600))
    assert "0.1 % of the page's ink in all" in one.message


def test_a_line_of_half_a_point_is_fine():
    assert found(thin_lines, facts_of({1: lines_of(4.6)}, job=a_square_job(), ppi=600)) == ()


@pytest.mark.parametrize(("width", "told"), [(5, True), (9.2, False)])
def test_a_gap_in_a_solid(width, told):
    tones = 255 - lines_of(width)
    findings = found(thin_gaps, facts_of({1: tones}, job=a_square_job(), ppi=600))
    assert bool(findings) == told
    assert all(number(one.measured) == pytest.approx(width * MM / 600, abs=0.015) for one in findings)


def test_a_shop_that_holds_finer_lines():
    job = limited(a_square_job(), line=0.1)
    assert found(thin_lines, facts_of({1: lines_of(3)}, job=job, ppi=600)) == ()


# --- screens --------------------------------------------------------------------------------------------------------


def test_art_screened_already():
    wide, high = (round(side * 600 / MM) for side in (40, 40))
    tones = np.zeros((high, wide), dtype=np.uint8)
    tones[100:740, 100:740] = screened(photo(640, 640), 600, 71, 45)
    (one,) = found(screened_already, facts_of({1: tones}, job=a_square_job(), ppi=600))
    assert "71 lines an inch at 45°" in one.message
    # Patches of 128 pixels stand out round it.
    assert 100 * (640 / wide) ** 2 - 1 <= number(one.measured) <= 100 * ((640 + 2 * 128) / wide) ** 2
    assert found(thin_lines, facts_of({1: tones}, job=a_square_job(), ppi=600)) == ()


def test_type_is_no_screen():
    wide, high = (round(side * 600 / MM) for side in (40, 40))
    assert found(screened_already, facts_of({1: typed(wide, high, size=70)}, job=a_square_job(), ppi=600)) == ()


def test_pages_of_another_spec_are_measured_by_their_own():
    """A job with bleed measures trim and bleed: boxes come back in page space."""
    job = replace(a_small_job(), page=PageSpec(trim=a_small_job().page.trim, bleed=3))
    tones = draw(paper(bleed=3), (10, 20, 40, 21), bleed=3)
    (one,) = found(resolution, facts_of({1: tones}, job=job))
    assert one.file == "lamp black/1.png"
