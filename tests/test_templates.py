"""The templates: every one builds as it comes, and is easy to carry."""

from __future__ import annotations

import pytest

from imposer.data.templates import templates_folder
from imposer.job import load_job, load_shop
from imposer.job.templates import templates
from imposer.pages.find import find_pages
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.impose import impose
from imposer.units import TOLERANCE
from tests.artwork import art_files, drawn_again, far_apart, not_gray, size_of, tones

FOLDER = templates_folder()
ALL = templates()


def each(values=ALL):
    return pytest.mark.parametrize("template", values, ids=lambda template: template.name)


def planned(template):
    """The job, its imposition and its passes, from files to plan."""
    job = load_job(template.folder)
    table = find_pages(job)
    imposition = impose(job, table.pages)
    prints = {cell: bool((tones(art.source.file, art.source.index) < 250).any()) for cell, art in table.cells.items()}
    return job, table, imposition, plan_passes(job, imposition, inked_sides(imposition, prints))


def test_there_is_one_for_each_usual_sheet():
    wanted = {"a5-on-a3", "a6-on-a4", "a6-on-a3", "half-letter-on-tabloid", "gathered-side-stitched", "mini-a7-on-a4"}
    assert {template.name for template in ALL} == wanted


def test_they_are_small():
    assert size_of(FOLDER) < 600_000


@each()
def test_each_says_in_one_line_what_it_is(template):
    assert 40 < len(template.about) < 120
    assert (template.folder / "job.toml").read_text(encoding="utf-8").startswith("# ")


#: Name: pages, pieces a side, press sheets, masters. Worked by hand: masters are sides × inks that print there.
BY_HAND = {
    "a5-on-a3": (8, 2, 1, 4),
    # Rose lies on pages 1, 3, 6 and 8, which fall on one side.
    "a6-on-a4": (8, 2, 1, 3),
    # Marigold on 1 and 16 (front of the outermost piece), 8 and 9 (back of the innermost).
    "a6-on-a3": (16, 4, 1, 4),
    "half-letter-on-tabloid": (8, 2, 1, 4),
    # All eight pages lie on one side.
    "mini-a7-on-a4": (8, 1, 1, 1),
    # Six pieces; fern on page 1 alone in the first signature and 24 alone in the last, both on fronts of a piece.
    "gathered-side-stitched": (24, 2, 3, 8),
}


@each()
def test_each_is_planned_as_it_comes(template):
    _, table, imposition, plan = planned(template)
    assert (table.findings, [f.rule for f in imposition.findings if f.rule != "untrimmed"]) == ((), [])
    found = (table.pages, len(imposition.layout.slots), len(imposition.sheets), plan.counts.masters)
    assert found == BY_HAND[template.name]


@each([template for template in ALL if not load_job(template.folder).sheet.untrimmed])
def test_pieces_leave_two_millimetres_for_crop_marks(template):
    _, _, imposition, _ = planned(template)
    safe = imposition.layout.safe
    for sheet in imposition.sheets:
        trims = [panel.trim for side in ("front", "back") for panel in sheet.face(side).panels]
        assert min(box.x0 for box in trims) - safe.x0 >= 2 - TOLERANCE
        assert min(box.y0 for box in trims) - safe.y0 >= 2 - TOLERANCE
        assert safe.x1 - max(box.x1 for box in trims) >= 2 - TOLERANCE
        assert safe.y1 - max(box.y1 for box in trims) >= 2 - TOLERANCE


@each()
def test_each_has_a_studio_of_its_own_that_agrees_with_the_example(template):
    example, shop = load_shop(), load_job(template.folder).shop
    assert shop.file.parent == template.folder
    same_inks = {ink.name: ink for ink in example.inks}
    assert [ink for ink in shop.inks if same_inks.get(ink.name) != ink] == []
    papers = {paper.name: (paper.weight, paper.caliper, paper.colour) for paper in example.papers}
    for paper in shop.papers:
        assert papers.get(paper.name, (paper.weight, paper.caliper, paper.colour)) == (
            paper.weight,
            paper.caliper,
            paper.colour,
        )


@each()
def test_the_art_is_gray_alone(template):
    assert {file.name: not_gray(file) for file in art_files(template.folder) if not_gray(file)} == {}


@each([template for template in ALL if template.name in ("a6-on-a4", "half-letter-on-tabloid")])
def test_the_script_draws_what_is_here(template, tmp_path):
    again = drawn_again(FOLDER / "draw_placeholders.py", tmp_path, template.name) / template.name
    files = art_files(template.folder)
    assert [file.relative_to(again) for file in art_files(again)] == [
        file.relative_to(template.folder) for file in files
    ]
    for file in files:
        assert far_apart(tones(file), tones(again / file.relative_to(template.folder))) == "", file.name
