"""Sheets that the pieces fill: folded as they are printed, cut at most from edge to edge between equal parts.

ISO 216 sizes halve: A5 spreads are A4, so A4 takes one and A3 two of them; sizes are rounded down to whole millimetres.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from imposer.errors import ImposerError
from imposer.sheet.impose import impose
from imposer.write.guide.cut_order import cut_order
from tests.jobs import a_job


def untrimmed(trim, sheet, pieces=None, **job):
    made = a_job(trim=trim, sheet=sheet, pieces=pieces, inks=("lamp black",), **job)
    return replace(made, sheet=replace(made.sheet, untrimmed=True))


@pytest.mark.parametrize(
    ("trim", "sheet", "parts", "cuts"),
    [
        ((148, 210), "A4", (1, 1), []),
        ((148, 210), "A3", (2, 1), [("x", 210)]),
        ((105, 148), "A3", (2, 2), [("x", 210), ("y", 148.5)]),
        ((5.5 * 25.4, 8.5 * 25.4), "letter", (1, 1), []),
        ((5.5 * 25.4, 8.5 * 25.4), "tabloid", (2, 1), [("x", 8.5 * 25.4)]),
    ],
)
def test_booklets_whose_pieces_are_equal_parts_of_the_sheet(trim, sheet, parts, cuts):
    layout = impose(untrimmed(trim, sheet), 8).layout
    assert (layout.columns, layout.rows) == parts
    assert [(cut.axis, cut.at) for cut in cut_order(layout)] == [(axis, pytest.approx(at)) for axis, at in cuts]
    assert layout.cuts_x[0] == layout.cuts_y[0] == 0
    assert (layout.cuts_x[-1], layout.cuts_y[-1]) == (layout.size.width, layout.size.height)


def test_a_cut_between_parts_is_measured_from_the_sheets_own_edge():
    (cut,) = cut_order(impose(untrimmed((148, 210), "A3"), 8).layout)
    assert (cut.against, cut.gauge, cut.gives) == ("the tail edge", 210, "stack A; stack B stays")


def test_every_page_lies_whole_on_one_part_of_the_sheet_and_prints_inside_the_margins():
    imposition = impose(untrimmed((105, 148), "A3"), 16)
    layout = imposition.layout
    for sheet in imposition.sheets:
        for panel in (*sheet.front.panels, *sheet.back.panels):
            assert any(slot.contains(panel.trim) for slot in layout.slots)
            assert layout.safe.contains(panel.clip)


def test_pieces_that_are_stated_are_kept_or_refused_with_the_trim_that_fills():
    assert impose(untrimmed((148, 210), "A3", pieces=2), 8).layout.columns == 2
    with pytest.raises(ImposerError, match=r"4 pieces must fill the whole sheet, but each is 296 × 210 mm and A3"):
        impose(untrimmed((148, 210), "A3", pieces=4), 8)


def test_a_page_that_only_lacks_room_to_be_trimmed_is_offered_the_whole_sheet():
    with pytest.raises(ImposerError, match=r"these fit: sheet.untrimmed = true"):
        impose(a_job(trim=(148, 210), sheet="A4"), 8)
    with pytest.raises(ImposerError) as refused:
        impose(a_job(trim=(148, 220), sheet="A4"), 8)
    assert "untrimmed" not in str(refused.value)
