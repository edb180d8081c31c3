"""Panel widths of leaflets against worked values."""

from dataclasses import replace
from pathlib import Path

import pytest

from imposer.fold.leaflets import leaflet_scheme
from imposer.geometry import Size
from imposer.job.model import BindingSpec, FormSpec, PageSpec, Paper
from imposer.job.page_sizes import own_sizes
from imposer.job.panel_widths import column_widths
from tests.jobs import a_job

INCH = 25.4
TEXT = Paper(name="text", weight=90, caliper=0.11, colour="#ffffff", stocks=())


def widths(style, panels, full, *, tuck=None, paper=TEXT, rtl=False):
    """The widths of the columns from the cover inward, mm: the cover of a left-to-right piece is its last column."""
    scheme = leaflet_scheme(style, panels, right_to_left=rtl)
    found = column_widths(BindingSpec(style=style, form=FormSpec(tuck=tuck)), scheme, full, paper)
    return found if rtl else found[::-1]


def inches(found):
    return [width / INCH for width in found]


def test_letter_fold_of_11_inches():
    """A folder maker's guide to letter folds: 11 in open has panels of 3.6875, 3.6875 and 3.625 in."""
    found = inches(widths("letter", 3, 3.6875 * INCH))
    assert found == pytest.approx([3.6875, 3.6875, 3.625])
    assert sum(found) == pytest.approx(11)


@pytest.mark.parametrize(("tuck", "full", "inner"), [(2, 299 / 3, 97.6667), (3, 100, 97)])
def test_letter_fold_of_a4(tuck, full, inner):
    """Derived: 2 p + (p - tuck) = 297."""
    found = widths("letter", 3, full, tuck=tuck)
    assert found == pytest.approx([full, full, inner], abs=1e-3)
    assert sum(found) == pytest.approx(297)


def test_gate_fold_of_17_inches():
    """A bindery's guide: a gap of 0.25 in in all, each closing panel 0.125 in under half the centre."""
    found = inches(widths("gate", 3, 8.625 * INCH))
    assert found == pytest.approx([4.1875, 8.625, 4.1875])
    assert sum(found) == pytest.approx(17)


def test_gate_fold_of_a3_with_a_gap_of_6_mm():
    """Derived: sides (c - 6) / 2 and 2 c - 6 = 420."""
    assert widths("gate", 3, 213, tuck=6) == pytest.approx([103.5, 213, 103.5])


def test_roll_fold_of_8_pages_from_17_inches():
    """A bindery's guide: steps of 3/32 in, the last 1/16 in (widths p, p, p - 3/32, p - 3/32 - 1/16)."""
    found = inches(widths("roll", 4, 4.3125 * INCH))
    assert found == pytest.approx([4.3125, 4.3125, 4.21875, 4.15625])
    assert sum(found) == pytest.approx(17)


def test_roll_fold_of_cover_weight_takes_an_eighth():
    """The same guide: 1/8 in for each further inner panel of cover weight."""
    cover = replace(TEXT, weight=200)
    assert inches(widths("roll", 5, 4 * INCH, paper=cover)) == pytest.approx([4, 4, 3.875, 3.75, 3.6875])


def test_accordion_and_double_parallel_panels_are_equal():
    """Derived, and XJDF 2.2, Table E.5 (quarters): an accordion of 8 pages from 17 in has four panels of 4.25 in."""
    assert inches(widths("accordion", 4, 4.25 * INCH)) == pytest.approx([4.25] * 4)
    assert widths("double-parallel", 4, 66) == pytest.approx([66] * 4)
    assert widths("double-parallel", 4, 66, tuck=1) == pytest.approx([66, 66, 65, 65])


def test_the_closing_panels_of_a_double_gate_do_not_reach_its_middle():
    assert widths("double-gate", 4, 100) == pytest.approx([100 - INCH / 8, 100, 100, 100 - INCH / 8])


@pytest.mark.parametrize("style", ["letter", "roll"])
def test_a_mirrored_piece_has_its_cover_at_the_other_end(style):
    assert widths(style, 3, 100, rtl=True) == widths(style, 3, 100)


def leaflet(style, trim, **form):
    job = a_job(trim=trim)
    return replace(
        job, page=PageSpec(trim=Size(*trim)), binding=BindingSpec(style=style, form=FormSpec(**form)), file=Path("j")
    )


def test_pages_of_a_tucked_panel_are_narrower_and_cut_at_its_free_edge():
    """Letter fold, outside up: flap | back | cover. The flap's free edge is left, seen from inside right."""
    own = own_sizes(leaflet("letter", (100, 210), tuck=3), 6)
    assert {page: (size.spec.trim.width, size.cut_at) for page, size in own.items()} == {
        3: (97, "left"),
        4: (97, "right"),
    }


def test_a_poster_is_as_large_as_the_whole_back():
    """Derived: 4 w × 2 h of a mini zine; an A7 class page makes an A4 class poster."""
    own = own_sizes(leaflet("mini", (74, 105), poster=True), 9)
    assert {page: size.spec.trim for page, size in own.items()} == {9: Size(296, 210)}
    letter = own_sizes(leaflet("letter", (100, 210), tuck=3, poster=True), 4)
    assert letter[4].spec.trim == Size(297, 210)


def test_pages_of_booklets_are_all_alike():
    assert own_sizes(a_job(), 16) == {}
    assert own_sizes(leaflet("accordion", (60, 80)), 0) == {}
