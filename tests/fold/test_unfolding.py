"""Paper folded and opened again: a test's own unfolding, which undoes crease after crease, against the folder."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.booklet import fold_booklet, read_booklet
from imposer.fold.creases import creased_edges, fold, front_and_back, stages
from imposer.fold.model import Scheme
from imposer.fold.steps import folding_steps
from tests.fold.test_creases import random_schemes


def unfold(stack, sheet):
    """Open a stack of (upper face, lower face) from the top, crease by crease from the last to the first.

    Returns the flat sheet: place → (front, back). How many layers lay where before each fold is all it is told.
    """
    heights = [{place: len(layers) for place, layers in stacks.items()} for stacks in stages(sheet)]
    lying = {(0, 0): list(stack)}
    for crease, before in zip(reversed(sheet.creases), reversed(heights[:-1]), strict=True):
        along = 0 if crease.axis == "V" else 1
        k = int(crease.part * (sheet.columns if crease.axis == "V" else sheet.rows))
        opened = {}
        for place, layers in lying.items():
            beyond, moved = list(place), list(place)
            beyond[along], moved[along] = place[along] + k, k - 1 - place[along]
            took = before.get(tuple(moved), 0) if moved[along] >= 0 else 0
            flap, rest = (layers[:took], layers[took:]) if crease.over else (layers[-took:] if took else [], layers)
            rest = rest if crease.over or not took else layers[:-took]
            if took:
                opened[tuple(moved)] = [(down, up) for up, down in reversed(flap)]
            if rest:
                opened[tuple(beyond)] = rest
        lying = opened
    return {place: layers[0] for place, layers in lying.items() if len(layers) == 1}


@settings(deadline=None, derandomize=True, max_examples=150)
@given(random_schemes())
def test_fold_of_unfold_is_the_identity(sheet):
    """Number a folded blank as a reader meets its faces, open it, and find the pages where the folder puts them."""
    cells = sheet.columns * sheet.rows
    flat = unfold([(2 * i + 1, 2 * i + 2) for i in range(cells)], sheet)
    assert flat == front_and_back(sheet)


def mirrored_x(side):
    return {"E": "W", "W": "E"}.get(side, side)


@settings(deadline=None, derandomize=True, max_examples=80)
@given(random_schemes())
def test_folded_as_in_a_mirror_everything_lies_as_in_a_mirror(sheet):
    other = replace(sheet, mirrored=True)
    assert [
        (sheet.columns - 1 - a.column, a.row, a.front_up, mirrored_x(a.head), mirrored_x(a.spine)) for a in fold(sheet)
    ] == [(b.column, b.row, b.front_up, b.head, b.spine) for b in fold(other)]
    creased = {(e.column, e.row, e.edge): (e.fold, e.valley) for e in creased_edges(other)}
    for e in creased_edges(sheet):
        column = sheet.columns - 1 - e.column - (e.edge == "E")
        assert creased[column, e.row, e.edge] == (e.fold, e.valley)


@settings(deadline=None, derandomize=True, max_examples=80)
@given(random_schemes(), st.booleans())
def test_from_the_top_rows_change_and_heads_stay_up(sheet, mirrored):
    """The same folding with the top part moving: rows change places; faces and reading order do not."""
    base = replace(sheet, mirrored=mirrored)
    other = replace(base, from_top=True)
    plain, turned = fold(base), fold(other)
    assert [(a.column, sheet.rows - 1 - a.row, a.front_up) for a in plain] == [
        (b.column, b.row, b.front_up) for b in turned
    ]
    for layer in turned:
        # The last fold is the spine, and with heads up it is at the left; at the right of a mirrored piece.
        around = "NESW"
        quarter = (around.index(layer.spine) - around.index(layer.head)) % 4
        assert quarter == ((3 if not mirrored else 1) if layer.front_up else (1 if not mirrored else 3))


@settings(deadline=None, derandomize=True, max_examples=60)
@given(random_schemes(), st.booleans(), st.booleans(), st.sampled_from(["front", "back"]))
def test_the_steps_end_as_the_folder_says(sheet, mirrored, from_top, up):
    """What is seen on top after the last fold is the stack's top or, seen from the back, its bottom."""
    made = replace(sheet, mirrored=mirrored, from_top=from_top)
    last = folding_steps(made, up)[-1]
    (place,) = last.places
    layers = fold(made)
    cells = [(layer.column, layer.row) for layer in (layers if up == "front" else layers[::-1])]
    assert [(cell.column, cell.row) for cell in place.layers] == cells


@settings(deadline=None, derandomize=True, max_examples=80)
@given(
    random_schemes().filter(lambda sheet: sheet.pages % 4 == 0),
    st.integers(1, 90),
    st.none() | st.integers(1, 4),
    st.booleans(),
)
def test_any_creases_any_nesting_either_direction_read_one_to_n(sheet, pages, per_signature, right_to_left):
    booklet = fold_booklet(pages, scheme=sheet, pieces_per_signature=per_signature, right_to_left=right_to_left)
    assert read_booklet(booklet.pieces, sheet, right_to_left=right_to_left) == tuple(range(1, booklet.pages + 1))
    for piece in booklet.pieces:
        heads = {leaf.head for leaf in piece.leaves}
        assert heads <= {"N", "S"} or heads <= {"E", "W"}
        for leaf in piece.leaves:
            assert {leaf.front, leaf.back} in [{p, p + 1} for p in range(1, booklet.pages, 2)]


def test_a_card_is_folded_once_at_most():
    assert fold(Scheme(1, 1, ()))[0].head == "N"
    with pytest.raises(ValueError, match="stacks are left"):
        fold(Scheme(2, 1, ()))
