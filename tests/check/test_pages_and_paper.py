"""The table of page × ink, and the paper: what is there, what is missing, what the fold and the staple do with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from imposer.check import (
    blank_page,
    grain_across,
    paper_weight,
    rules,
    show_through,
    table_hole,
    too_thick,
    unlike_pages,
)
from imposer.geometry import Size
from imposer.job.check_limits import USUAL_LIMITS
from imposer.sheet.page_edges import page_leaves
from tests.check.pages import a_small_job, draw, facts_of, paper


def found(rule, facts):
    return rule.RULE.find(facts)


def something(tone=1.0, box=(20, 20, 30, 30)):
    return draw(paper(ppi=100), box, tone, 100)


def small_facts(art, **given):
    return facts_of(art, ppi=100, **given)


def test_every_rule_says_what_it_looks_for_and_knows_its_limit():
    names = [rule.name for rule in rules()]
    assert names == sorted(set(names))
    for rule in rules():
        assert rule.looks_for
        assert rule.limit_in(USUAL_LIMITS) is None or rule.limit_in(USUAL_LIMITS)


def with_paper(job, **changed):
    return replace(job, sheet=replace(job.sheet, paper=replace(job.sheet.paper, **changed)))


# --- the table ------------------------------------------------------------------------------------------------------


def test_a_page_missing_in_an_ink_that_has_all_others():
    inks = {page: {"lamp black": something(), "marigold": something(0.5)} for page in range(1, 13)}
    del inks[7]["marigold"]
    (one,) = found(table_hole, small_facts(inks))
    assert (one.page, one.ink, one.measured, one.limit) == (7, "marigold", "11 pages", "12 pages")


@pytest.mark.parametrize(("pages", "lacking", "holes"), [(12, 2, 0), (8, 1, 1), (8, 2, 0), (14, 2, 2), (4, 1, 0)])
def test_an_ink_on_fewer_pages_than_six_in_seven_has_no_holes(pages, lacking, holes):
    inks = {page: {"lamp black": something(), "marigold": something(0.5)} for page in range(1, pages + 1)}
    for page in range(2, 2 + lacking):
        del inks[page]["marigold"]
    assert len(found(table_hole, small_facts(inks))) == holes


def test_blank_pages_between_others_are_named():
    art = {page: something() for page in range(1, 9)}
    art[3] = art[4] = paper(ppi=100)
    (one,) = found(blank_page, small_facts(art))
    assert one.message == "no ink prints on pages 3–4"
    assert one.level == "note"
    assert found(blank_page, small_facts({page: something() for page in range(1, 9)})) == ()


def test_pages_of_another_size_are_told_where_the_job_scales_them():
    job = a_small_job()
    facts = small_facts({page: something() for page in range(1, 5)}, job=job)
    cells = {cell: replace(art, size=Size(60, 80)) for cell, art in facts.table.cells.items()}
    lying = cells[2, "lamp black"]
    cells[2, "lamp black"] = replace(lying, size=Size(80, 60), source=replace(lying.source, size=Size(80, 60)))
    scaled = replace(job, page=replace(job.page, fit="scale"))
    odd = replace(facts, job=scaled, table=replace(facts.table, cells=cells))
    (one,) = found(unlike_pages, odd)
    assert (one.page, one.measured, one.limit) == (2, "80 × 60 mm", "60 × 80 mm")
    assert "it lies on its side" in one.message
    cells[2, "lamp black"] = replace(lying, size=Size(60.3, 80))
    assert found(unlike_pages, replace(odd, table=replace(facts.table, cells=cells))) == ()


# --- the paper ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weight", "caliper", "told"),
    [(90, 0.11, []), (46, 0.1, []), (45, 0.1, ["45 g/m²"]), (240, 0.28, ["240 g/m²", "0.28 mm"]), (210, 0.26, [])],
)
def test_paper_that_the_machine_does_not_feed(weight, caliper, told):
    job = with_paper(a_small_job(), weight=weight, caliper=caliper)
    assert [one.measured for one in found(paper_weight, small_facts({1: something()}, job=job))] == told


def test_grain_across_the_fold_of_an_a4_zine_on_a3_but_along_that_of_an_a5_one():
    """The trade's trap: one halving of a long-grain sheet folds across the grain, two fold along it."""
    large = a_small_job(trim=(190, 270), sheet="A3", marks=())
    small = a_small_job(trim=(140, 200), sheet="A3", marks=())
    for job, trim, across in ((large, (190, 270), True), (small, (140, 200), False)):
        art = {1: draw(paper(trim, 50), (20, 20, 40, 40), 1.0, 50)}
        for grain, told in (("long edge", across), ("short edge", not across), (None, False)):
            facts = facts_of(art, job=with_paper(job, grain=grain), ppi=50, pages=4)
            assert bool(found(grain_across, facts)) == told, (trim, grain)


def test_a_booklet_too_thick_for_the_stapler():
    """21 pieces of 0.1 mm are 2.1 mm."""
    thick = with_paper(a_small_job(), caliper=0.1)
    (one,) = found(too_thick, small_facts({1: something()}, job=thick, pages=84))
    assert one.measured == "2.1 mm"
    assert found(too_thick, small_facts({1: something()}, job=thick, pages=80)) == ()


def test_a_side_stitch_goes_through_every_leaf():
    gathered = with_paper(a_small_job(style="gathered", per_signature=1), caliper=0.1)
    (one,) = found(too_thick, small_facts({1: something()}, job=gathered, pages=44))
    assert one.measured == "2.2 mm"


@pytest.mark.parametrize(("weight", "tone", "told"), [(70, 0.35, True), (70, 0.25, False), (80, 0.35, False)])
def test_thin_paper_shows_the_other_side(weight, tone, told):
    job = with_paper(a_small_job(), weight=weight)
    page = something(tone, (0, 0, 60, 80))
    findings = found(show_through, small_facts({1: page, 2: page}, job=job, pages=4))
    assert bool(findings) == told
    assert all((one.page, one.measured) == (1, "35 %") for one in findings)


def test_one_heavy_side_alone_shows_nothing():
    job = with_paper(a_small_job(), weight=60)
    assert found(show_through, small_facts({1: something(0.5, (0, 0, 60, 80)), 2: something()}, job=job, pages=4)) == ()


# --- how pages are bound --------------------------------------------------------------------------------------------


def test_the_spine_of_a_right_hand_page_is_at_its_left():
    leaves = page_leaves(small_facts({1: something()}, pages=8).imposition.booklet)
    assert {page: leaf.spine for page, leaf in leaves.items()} == {
        page: "left" if page % 2 else "right" for page in range(1, 9)
    }
    assert all(leaf.other == (page + 1 if page % 2 else page - 1) for page, leaf in leaves.items())
    assert [leaves[page].depth for page in (1, 3, 5, 7)] == [0, 1, 1, 0]


def test_read_from_right_to_left_it_is_the_other_way_round():
    job = a_small_job(reading="right-to-left")
    leaves = page_leaves(small_facts({1: something()}, job=job, pages=4).imposition.booklet)
    assert leaves[1].spine == "right"
