"""Ink in the margin that a side stitch or stab binding takes: found on the right pages, on the right side."""

from types import SimpleNamespace

import pytest

from imposer.check.binding_margin import RULE
from imposer.geometry import Box
from imposer.job.model import StitchSpec
from imposer.pages.model import Measured
from imposer.pages.previews import keep
from imposer.sheet.impose import impose
from tests.jobs import a_job


def findings(inked, pages=8, ink="lamp black", **asked):
    """What the rule finds where each page's ink fills a box (140 × 200 mm pages)."""
    job = a_job(inks=(ink,), **asked)
    measured = {
        (page, ink): Measured(coverage=0.1, darkest=1.0, inked=box, kept=keep(b"")) for page, box in inked.items()
    }
    return RULE.find(SimpleNamespace(job=job, measured=measured, imposition=impose(job, pages)))


def gathered(kind=None, **spec):
    return {"style": "gathered", "per_signature": 1, "binding": {"stitching": StitchSpec(kind=kind, **spec)}}


#: 11 mm free at the left, 30 mm at the right.
NEAR_LEFT = Box(11, 20, 110, 180)


def test_left_is_the_spine_of_odd_pages_only():
    found = findings({1: NEAR_LEFT, 2: NEAR_LEFT}, **gathered("side"))
    assert [(f.page, f.level, f.measured, f.limit) for f in found] == [(1, "warning", "11 mm", "12 mm")]
    assert found[0].message == "ink 11 mm from the spine stands in the 12 mm that the binding takes"
    assert found[0].box == Box(11, 20, 12, 180)


def test_read_from_the_right_it_is_that_of_even_pages():
    found = findings({1: NEAR_LEFT, 2: NEAR_LEFT}, reading="right-to-left", **gathered("side"))
    assert [(f.page, f.box) for f in found] == [(2, Box(11, 20, 12, 180))]


def test_the_place_is_marked_at_the_spine_of_a_left_hand_page():
    (found,) = findings({2: Box(10, 20, 130, 180)}, **gathered("side"))
    assert found.box == Box(128, 20, 130, 180)


@pytest.mark.parametrize(("kind", "margin"), [("side", 12), ("stab", 20)])
def test_art_beyond_the_margin_is_well(kind, margin):
    clear = {1: Box(margin, 0, 140, 200), 2: Box(0, 0, 140 - margin, 200)}
    assert findings(clear, **gathered(kind)) == ()
    off = {1: Box(margin - 0.1, 0, 140, 200), 2: Box(0, 0, 140 - margin + 0.1, 200)}
    assert [f.page for f in findings(off, **gathered(kind))] == [1, 2]


def test_bleed_over_the_spine_counts_as_nought():
    (found,) = findings({3: Box(-3, -3, 143, 203)}, **gathered("stab", margin=25.0))
    assert (found.measured, found.limit) == ("0 mm", "25 mm")


@pytest.mark.parametrize("kind", ["sewn", "saddle"])
def test_what_opens_flat_needs_no_margin(kind):
    asked = gathered("sewn") if kind == "sewn" else {}
    assert findings({1: Box(0, 0, 140, 200)}, **asked) == ()


def test_a_job_that_names_no_stitch_gets_one_note():
    (found,) = findings({1: NEAR_LEFT, 3: NEAR_LEFT, 4: NEAR_LEFT}, **gathered())
    assert (found.level, found.page) == ("note", None)
    assert "pages 1, 3" in found.message
    (found,) = findings({1: NEAR_LEFT}, **gathered())
    assert found.message.endswith(": page 1")


def test_margin_of_half_the_page_is_an_error():
    (found,) = findings({}, **gathered("stab", margin=70.0))
    assert (found.level, found.limit) == ("error", "70 mm")
    assert "takes half of a page 140 mm wide" in found.message
