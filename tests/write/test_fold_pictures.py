"""Folding sequences as shapes: measured against folded strips and the catalogue's crease maps."""

import pytest
from hypothesis import given, settings

from imposer.fold.creases import creased_edges, scheme
from imposer.fold.edges import leaf_edges
from imposer.fold.steps import folding_steps, points_to
from imposer.geometry import Box
from imposer.write.fold_pictures import closed_sides, crease_map, fold_pictures
from tests.fold.test_creases import CATALOGUE, made, random_schemes


def even(count, length=10.0):
    return [i * length for i in range(count + 1)]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(random_schemes())
def test_equal_cells_always_lie_on_whole_places(sheet):
    """With all cells alike, every cell of a place lies exactly where the place is."""
    for up in ("front", "back"):
        for picture in fold_pictures(sheet, even(sheet.columns), even(sheet.rows, 7.0), up):
            x0, y0 = picture.outline.x0, picture.outline.y0
            at = {(c.column, c.row): place for place in picture.state.places for c in place.layers}
            for seen in picture.cells:
                place = at[seen.cell.column, seen.cell.row]
                assert (seen.box.x0 - x0, seen.box.y0 - y0) == pytest.approx((place.x * 10, place.y * 7))
            assert picture.outline.width == pytest.approx(picture.state.columns * 10)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(random_schemes())
def test_what_is_drawn_last_is_what_is_seen(sheet):
    for picture in fold_pictures(sheet, even(sheet.columns), even(sheet.rows)):
        last = {}
        for seen in picture.cells:
            last[seen.box.centre] = seen
        tops = [seen for seen in picture.cells if seen.on_top]
        assert sorted(last) == sorted(seen.box.centre for seen in tops)
        assert all(last[seen.box.centre] is seen for seen in tops)


def test_letter_fold_by_hand():
    """A 297 mm strip, panels 97, 100 and 100, tucked panel first: it lies 3 mm short of the fold it tucks into."""
    letter = scheme(3, 1, "V1/3U V1/3D")
    flat, tucked, _ = fold_pictures(letter, [0, 97, 197, 297], [0, 210])
    assert flat.next is not None
    assert flat.next.x0 == 97
    assert flat.moving == Box(0, 0, 97, 210)
    over = next(seen for seen in tucked.cells if seen.cell.column == 0)
    assert (over.box.x0, over.box.x1) == (97, 194)
    assert tucked.next.x0 == 197


def test_signature_with_a_strip_to_trim_open():
    """F16-6 with 6 mm at the fold between the fore edges: leaves that are cut at the sheet's edge are 3 mm shorter."""
    sheet = made(CATALOGUE["F16-6"])
    pictures = fold_pictures(sheet, [0, 100, 203, 306, 406], [0, 143, 286])
    (final,) = pictures[-1:]
    assert final.outline.size.width == pytest.approx(103)
    assert final.outline.size.height == pytest.approx(143)
    assert {round(seen.box.width) for seen in final.cells} == {100, 103}
    # The last crease lies at a spine, all leaves are held there.
    assert {seen.box.x0 for seen in final.cells} == {final.outline.x0}


@pytest.mark.parametrize("name", ["F8-7", "F12-7", "F16-6", "F24-1", "F32-4"])
@pytest.mark.parametrize("up", ["front", "back"])
def test_crease_map_holds_every_border_once(name, up):
    sheet = made(CATALOGUE[name])
    lines = crease_map(sheet, even(sheet.columns), even(sheet.rows), up)
    borders = sum((line.x1 - line.x0 + line.y1 - line.y0) / 10 for line in lines)
    assert borders == len(creased_edges(sheet))
    assert {line.number for line in lines} == set(range(1, len(sheet.creases) + 1))


def test_crease_map_of_a_quarto():
    """F8-7: one upright valley over both rows; the level fold is a mountain on the left, a valley on the right."""
    sheet = made(CATALOGUE["F8-7"])
    found = {(c.x0, c.y0, c.x1, c.y1): (c.number, c.valley) for c in crease_map(sheet, even(2), even(2))}
    assert found == {(10, 0, 10, 20): (1, True), (0, 10, 10, 10): (2, False), (10, 10, 20, 10): (2, True)}
    back = {(c.x0, c.y0, c.x1, c.y1): (c.number, c.valley) for c in crease_map(sheet, even(2), even(2), "back")}
    assert back == {(10, 0, 10, 20): (1, False), (0, 10, 10, 10): (2, False), (10, 10, 20, 10): (2, True)}


@pytest.mark.parametrize("name", ["F8-7", "F16-6", "F16-9", "F24-11", "F32-9"])
def test_closed_sides_are_those_of_the_leaves(name):
    """Each crease joins two leaves: at every side twice as many leaf edges are closed as there are creases."""
    sheet = made(CATALOGUE[name])
    (place,) = folding_steps(sheet)[-1].places
    cells = {(c.column, c.row): c for c in place.layers}
    counted = {}
    for leaf in leaf_edges(sheet):
        for side in (*leaf.closed, *([leaf.spine] if leaf.bound else [])):
            toward = points_to(cells[leaf.column, leaf.row], side)
            counted[toward] = counted.get(toward, 0) + 1
    assert {side: 2 * n for side, n in closed_sides(sheet).items()} == counted


def test_lines_must_fit_the_grid():
    with pytest.raises(ValueError, match="one edge more"):
        fold_pictures(scheme(2, 1, "V1/2U"), [0, 10], [0, 10])
