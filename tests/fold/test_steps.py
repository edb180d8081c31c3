"""The folding sequence held against the crease maps, the folded stack, and what is known of single folds."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings

from imposer.fold.creases import SINGLE_FOLD, creased_edges, fold, scheme
from imposer.fold.steps import easier_side, folding_steps, points_to
from tests.fold.test_creases import CATALOGUE, made, random_schemes

SIDES = ("front", "back")


@pytest.mark.parametrize("row", CATALOGUE.values(), ids=CATALOGUE)
def test_last_state_is_the_folded_stack(row):
    sheet = made(row)
    (front,) = folding_steps(sheet)[-1].places
    (back,) = folding_steps(sheet, "back")[-1].places
    layers = fold(sheet)
    assert [(c.column, c.row, c.front_up) for c in front.layers] == [(y.column, y.row, y.front_up) for y in layers]
    assert [(c.column, c.row) for c in back.layers] == [(y.column, y.row) for y in reversed(layers)]
    # By the program's convention heads point up in a stack folded last at an upright line, left in the others.
    toward = "W" if sheet.creases and sheet.creases[-1].axis == "H" else "N"
    assert {points_to(c, y.head) for c, y in zip(front.layers, layers, strict=True)} == {toward}


@settings(max_examples=60, deadline=None, derandomize=True)
@given(random_schemes())
def test_every_state_holds_every_cell_once(sheet):
    for side in SIDES:
        for state in folding_steps(sheet, side):
            cells = [(c.column, c.row) for place in state.places for c in place.layers]
            assert sorted(cells) == sorted((c, r) for c in range(sheet.columns) for r in range(sheet.rows))
            assert len(state.places) == state.columns * state.rows


@settings(max_examples=60, deadline=None, derandomize=True)
@given(random_schemes())
def test_the_fold_crosses_exactly_the_borders_it_creases(sheet):
    """Neighbours on the flat sheet that lie on both sides of a fold are the creased edges of that fold."""
    creased = {}
    for edge in creased_edges(sheet):
        creased.setdefault(edge.fold, set()).add((edge.column, edge.row, edge.edge))
    for side in SIDES:
        steps = folding_steps(sheet, side)
        for before, after in pairwise(steps):
            line = after.made.at
            along = (lambda p: p.x) if after.made.axis == "V" else (lambda p: p.y)
            across = (lambda p: p.y) if after.made.axis == "V" else (lambda p: p.x)
            found = set()
            for one in (p for p in before.places if along(p) == line - 1):
                other = next(p for p in before.places if along(p) == line and across(p) == across(one))
                cells = {(c.column, c.row) for c in other.layers}
                for c in one.layers:
                    for dx, dy, edge in ((1, 0, "E"), (0, 1, "N")):
                        if (c.column + dx, c.row + dy) in cells:
                            found.add((c.column, c.row, edge))
                        if (c.column - dx, c.row - dy) in cells:
                            found.add((c.column - dx, c.row - dy, edge))
            assert found == creased[after.number]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(random_schemes())
def test_from_the_back_every_fold_goes_the_other_way(sheet):
    front, back = folding_steps(sheet), folding_steps(sheet, "back")
    for one, other in zip(front[1:], back[1:], strict=True):
        assert one.made.over != other.made.over
        assert {one.made.moves, other.made.moves} in ({"left", "right"}, {"bottom"})
    assert all(place.top.front_up for place in front[0].places)
    assert not any(place.top.front_up for place in back[0].places)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(random_schemes())
def test_neighbours_in_the_view_are_neighbours_on_the_sheet_or_a_fold_apart(sheet):
    """Where two cells of the flat sheet still lie side by side, they touch along the edge they share."""
    steps = {"E": (1, 0), "W": (-1, 0), "N": (0, 1), "S": (0, -1)}
    for state in folding_steps(sheet):
        at = {(c.column, c.row): (p.x, p.y, c) for p in state.places for c in p.layers}
        for (column, row), (x, y, cell) in at.items():
            for edge, (dx, dy) in steps.items():
                beside = at.get((column + dx, row + dy))
                if beside and (beside[0], beside[1]) != (x, y):
                    toward = steps[points_to(cell, edge)]
                    assert (beside[0] - x, beside[1] - y) == toward


def test_quarto_by_hand():
    """Fold a sheet of paper in half twice: left over right, bottom over top; the front's lower right page hides."""
    flat, half, quarter = folding_steps(scheme(2, 2, "V1/2U H1/2U"))
    assert [(p.top.column, p.top.row) for p in flat.places] == [(0, 0), (1, 0), (0, 1), (1, 1)]
    # Left over right: the back of the left column is seen.
    assert [(p.x, p.y, p.top.column, p.top.row, p.top.front_up) for p in half.places] == [
        (0, 0, 0, 0, False),
        (0, 1, 0, 1, False),
    ]
    assert half.made.lies == "W"
    assert quarter.made.lies == "S"
    # Bottom over top: the back's back of the lower right cell, upside down.
    assert (quarter.places[0].top.column, quarter.places[0].top.row) == (1, 0)
    assert [len(p.layers) for p in quarter.places] == [4]
    assert quarter.thickest == 4


def test_a_sheet_folded_once_is_folded_inside_up():
    assert easier_side(SINGLE_FOLD) == "back"
    (_, folded) = folding_steps(SINGLE_FOLD, easier_side(SINGLE_FOLD))
    assert (folded.made.over, folded.made.moves, folded.made.at) == (True, "right", 1)


def test_a_part_wider_than_the_rest_hangs_over():
    """F6-5, V2/3U: two of three columns go over the one that stays."""
    row = CATALOGUE["F6-5"]
    flat, first, _ = folding_steps(made(row))
    assert first.made.at == 2
    assert (flat.columns, first.columns) == (3, 2)
    assert [len(p.layers) for p in first.places] == [2, 1]
    assert made(row).creases[0].part == Fraction(2, 3)
