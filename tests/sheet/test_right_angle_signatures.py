"""Signatures folded at right angles: 8 to 32 pages from one piece, their closed edges known and marked."""

from dataclasses import replace

import pytest

from imposer.fold.booklet import read_booklet
from imposer.job.binding import fold_by_creases, fold_by_id
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.sheet.layout import TRIM_OPEN
from imposer.sheet.model import Stroke
from imposer.sheet.page_edges import page_leaves
from tests.jobs import a_job

#: Pages of one piece, by the catalogue (XJDF 2.2, App. A.3.8) or by creases in the job, and what is closed beside the
#: spine: derived, every inner border that is not the last fold's.
SIGNATURES = [
    ("F8-7", 8, {"top"}),
    ("F12-7", 12, {"top", "bottom"}),
    ("F16-6", 16, {"bottom", "right", "left"}),
    ("F24-1", 24, {"bottom", "right", "left"}),
    ("F32-4", 32, {"top", "bottom", "right", "left"}),
]


def signature(scheme, trim=(30, 40), **job):
    made = a_job(trim=trim, marks=frozenset({"crop", "fold", "cut"}), **job)
    return replace(made, binding=replace(made.binding, scheme=scheme))


@pytest.mark.parametrize(("name", "pages", "closed"), SIGNATURES, ids=[name for name, *_ in SIGNATURES])
@pytest.mark.parametrize("reading", ["left-to-right", "right-to-left"])
def test_one_piece_of_every_usual_size(name, pages, closed, reading):
    scheme = fold_by_id(name)
    assert scheme.pages == pages
    imposition = impose(signature(scheme, reading=reading), 2 * pages)
    booklet = imposition.booklet
    read = read_booklet(booklet.pieces, scheme, right_to_left=reading == "right-to-left")
    assert read == tuple(range(1, 2 * pages + 1))
    leaves = page_leaves(booklet)
    assert {edge for leaf in leaves.values() for edge in leaf.closed} <= closed
    for page, leaf in leaves.items():
        assert leaf.spine not in leaf.closed
        other = leaves[page + 1 if page % 2 else page - 1]
        # The two pages of a leaf share its edges; left and right change hands.
        swap = {"left": "right", "right": "left"}
        assert {swap.get(edge, edge) for edge in other.closed} == set(leaf.closed)


def test_a_list_of_creases_in_the_job_does_the_same():
    listed, named = fold_by_creases(("V1/2U", "H1/2U", "V1/4D")), fold_by_id("F16-6")
    assert page_leaves(impose(signature(listed), 16).booklet) == page_leaves(impose(signature(named), 16).booklet)


def test_the_strip_that_is_trimmed_away_lies_between_and_is_marked():
    """Common practice of binderies: 1/8 in at head, foot and face; so two of them lie between two panels."""
    job = signature(fold_by_id("F16-6"), trim=(50, 70))
    imposition = impose(job, 16)
    front = imposition.sheets[0].front
    upright = sorted({line.x0 for line in front.trims if line.x0 == line.x1})
    level = sorted({line.y0 for line in front.trims if line.y0 == line.y1})
    gaps = [b - a for a, b in zip(upright[::2], upright[1::2], strict=True)]
    gaps += [b - a for a, b in zip(level[::2], level[1::2], strict=True)]
    assert gaps
    assert all(gap == pytest.approx(2 * TRIM_OPEN) for gap in gaps)
    marks = draw_frames(job, imposition).sides[1, "front"].marks
    crops = [mark for mark in marks if isinstance(mark, Stroke) and mark.kind == "crop"]
    for x in upright:
        assert sum(mark.x0 == mark.x1 == pytest.approx(x) for mark in crops) == 2, "a mark at either end"
    for y in level:
        assert sum(mark.y0 == mark.y1 == pytest.approx(y) for mark in crops) == 2, "a mark at either end"


def test_a_booklet_folded_once_has_nothing_to_open():
    imposition = impose(a_job(), 16)
    assert imposition.sheets[0].front.trims == ()
    assert not any(leaf.closed for leaf in page_leaves(imposition.booklet).values())
