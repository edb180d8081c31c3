"""Which pages lie against each other once all is folded, bound and wrapped; worked out by hand on paper."""

from __future__ import annotations

from dataclasses import replace

import pytest

from imposer.geometry import Box
from imposer.job.model import FormSpec
from imposer.sheet.facing import BoundPart, facing_pages
from imposer.sheet.impose import impose
from imposer.sheet.numbering import numbered_in_job
from tests.jobs import a_job


def a_part(pages, style="saddle", *, extra=False, trim=(40, 50), **form):
    """A part that carries these pages of the reader's, blanks included."""
    job = a_job(style=style, trim=trim, creep="none")
    job = replace(job, binding=replace(job.binding, form=FormSpec(**form)))
    imposition = numbered_in_job(impose(job, len(pages)), pages, 0)
    return BoundPart(imposition=imposition, style=style, extra=extra)


def pairs(*parts):
    found = facing_pages(parts)
    both_ways = {(page, each.page) for page, facing in found.items() for each in facing}
    assert both_ways == {(other, page) for page, other in both_ways}
    return sorted((page, other) for page, other in both_ways if page < other)


def test_in_a_booklet_every_even_page_faces_the_next():
    assert pairs(a_part(range(1, 9))) == [(2, 3), (4, 5), (6, 7)]


def test_the_inside_of_a_cover_faces_the_first_and_the_last_page_of_the_body():
    assert pairs(a_part((1, 2, 15, 16)), a_part(range(3, 15))) == [(n, n + 1) for n in range(2, 16, 2)]
    assert pairs(a_part((1, 2, 11, 12)), a_part(range(3, 11), "gathered"))[0] == (2, 3)


def test_an_insert_faces_the_body_on_both_sides():
    body = a_part((1, 2, 3, 4, 9, 10, 11, 12))
    assert pairs(body, a_part(range(5, 9)))[1:4] == [(4, 5), (6, 7), (8, 9)]
    # A leaf bound in, printed on its front alone; its bare back has no number.
    card = a_part((5,), "flat", sides=1)
    after = a_part((1, 2, 3, 4, 6, 7, 8, 9))
    assert pairs(card, after) == [(2, 3), (4, 5), (7, 8)]


def test_what_is_laid_in_faces_none_of_the_readers_pages():
    band, folder = a_part((9,), "flat", extra=True, sides=1), a_part(range(10, 14), extra=True)
    assert pairs(a_part(range(1, 9)), band, folder) == [(2, 3), (4, 5), (6, 7), (11, 12)]


def test_cards_face_no_other_card():
    assert pairs(a_part(range(1, 5), "flat")) == []
    assert pairs(a_part(range(1, 3), "flat"), a_part(range(3, 5), "flat")) == []


@pytest.mark.parametrize(
    ("pages", "style", "form", "facing"),
    [
        (8, "mini", {}, [(2, 3), (4, 5), (6, 7)]),
        (9, "mini", {"poster": True}, [(2, 3), (4, 5), (6, 7)]),
        (6, "letter", {}, [(2, 3), (4, 5)]),
        # Printed outside alone, the flap and the cover show their bare insides to each other and to the middle.
        (3, "letter", {"sides": 1}, []),
        (6, "gate", {}, [(2, 5), (4, 5)]),
        (3, "gate", {"sides": 1}, []),
        (8, "double-gate", {}, [(2, 3), (4, 5), (6, 7)]),
        (4, "french", {}, [(2, 3)]),
    ],
)
def test_faces_of_a_leaflet_meet_as_it_is_folded(pages, style, form, facing):
    assert pairs(a_part(range(1, pages + 1), style, **form)) == facing


def test_a_spot_meets_its_mirror_image():
    """6 mm from the spine on one page is 6 mm from the spine on the other."""
    facing = facing_pages([a_part(range(1, 9))])
    at_spine = Box(40 - 6, 10, 40 - 1, 15)
    assert facing[2][0].laid(at_spine) == Box(1, 10, 6, 15)
    assert facing[3][0].laid(Box(1, 10, 6, 15)) == at_spine


def test_pages_of_unlike_width_meet_at_the_spine():
    cover, body = a_part((1, 2, 7, 8), trim=(44, 50)), a_part(range(3, 7))
    facing = facing_pages([cover, body])
    # The cover's inside is a left page: its spine is at x = 44. What lies 2 mm from its fore edge meets no paper.
    assert facing[2][0].laid(Box(34, 0, 44, 10)) == Box(0, 0, 10, 10)
    assert facing[2][0].laid(Box(0, 0, 2, 10)).x0 > facing[2][0].size.width
    assert facing[3][0].laid(Box(0, 0, 10, 10)) == Box(34, 0, 44, 10)
    # At the end of the book it is the other way round.
    assert facing[7][0].laid(Box(0, 0, 10, 10)) == Box(30, 0, 40, 10)


def test_the_wings_of_a_gate_lie_on_their_own_halves_of_the_middle():
    """A middle of 40 mm, its wings hinged at its left and at its right edge."""
    facing = facing_pages([a_part(range(1, 7), "gate")])
    (near,), (far,) = facing[2], facing[4]
    wing = facing[5][0].size.width
    assert near.laid(Box(wing - 5, 0, wing, 5)).x0 == pytest.approx(0)
    assert far.laid(Box(0, 0, 5, 5)).x1 == pytest.approx(40)
    assert [each.page for each in facing[5]] == [2, 4]
    assert facing[5][1].laid(Box(35, 0, 40, 5)).x0 == pytest.approx(0)
