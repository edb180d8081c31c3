"""The one-sheet mini zine: a ring of eight panels around a slit, against a search over every arrangement there is."""

from itertools import permutations

import pytest

from imposer.fold.creases import creased_edges
from imposer.fold.leaflets import fold_leaflet, leaflet_scheme
from imposer.fold.ring import walk_ring

#: Panels of the sheet, print up: T the top row, B the bottom row, 1 … 4 from the left.
PANELS = ("T1", "T2", "T3", "T4", "B1", "B2", "B3", "B4")
#: Common practice, no source: what is back to back once the ring is laid flat, and what opens like a book. The top row
#: stands on its head, so its openings are read from right to left.
LEAVES = (("T2", "T3"), ("T4", "B4"), ("B3", "B2"), ("B1", "T1"))
OPENINGS = (("T2", "T1"), ("T4", "T3"), ("B3", "B4"), ("B1", "B2"))


def readable(pages):
    """Whether a sheet with these pages, in the order of PANELS, makes a booklet that reads 1 … 8."""
    on = dict(zip(PANELS, pages, strict=True))
    if {frozenset((on[a], on[b])) for a, b in LEAVES} != {frozenset(p) for p in ((1, 2), (3, 4), (5, 6), (7, 8))}:
        return False
    return all(on[right] == on[left] % 8 + 1 for left, right in OPENINGS)


def layout(reading="left-to-right"):
    """Our own mini zine as (top row, bottom row)."""
    (piece,) = fold_leaflet("mini", 8, right_to_left=reading == "right-to-left").pieces
    at = {(leaf.column, leaf.row): leaf.front for leaf in piece.leaves}
    return tuple(tuple(at[column, row] for column in range(4)) for row in (1, 0))


def test_of_all_forty_thousand_arrangements_four_read_right_and_ours_is_one():
    """All 8! = 40,320 arrangements of eight pages on the panels."""
    found = [(pages[:4], pages[4:]) for pages in permutations(range(1, 9)) if readable(pages)]
    assert sorted(found) == sorted(
        [
            ((5, 4, 3, 2), (6, 7, 8, 1)),
            ((3, 2, 1, 8), (4, 5, 6, 7)),
            ((1, 8, 7, 6), (2, 3, 4, 5)),
            ((7, 6, 5, 4), (8, 1, 2, 3)),
        ]
    )
    assert layout() in found
    assert layout() == ((5, 4, 3, 2), (6, 7, 8, 1))


def test_read_from_right_to_left_the_columns_are_mirrored():
    assert layout("right-to-left") == tuple(row[::-1] for row in layout())


def test_heads_meet_at_the_slit():
    (piece,) = fold_leaflet("mini", 8).pieces
    assert {leaf.head for leaf in piece.leaves if leaf.row == 1} == {"S"}
    assert {leaf.head for leaf in piece.leaves if leaf.row == 0} == {"N"}


@pytest.mark.parametrize("columns", [3, 4, 5, 6, 8])
@pytest.mark.parametrize("start", [0, -1])
def test_the_ring_goes_round_the_slit_once(columns, start):
    ring = walk_ring(columns, start % columns)
    assert len(ring) == len(set(ring)) == 2 * columns
    for one, other in zip(ring, ring[1:] + ring[:1], strict=True):
        (c, r), (d, s) = one, other
        assert abs(c - d) + abs(r - s) == 1
        assert r == s or c in (0, columns - 1), "the walk leaps over the slit"


def test_the_ring_bends_at_every_border_but_the_slit_and_leaves_are_mountains():
    """Two panels of a leaf lie back to back, print outside: a mountain; where leaves meet the book opens: a valley."""
    edges = {(e.column, e.row, e.edge): e.valley for e in creased_edges(leaflet_scheme("mini", 8))}
    names = {(c, r): f"{'BT'[r]}{c + 1}" for c in range(4) for r in range(2)}
    by_name = {}
    for (column, row, edge), valley in edges.items():
        beyond = (column + 1, row) if edge == "E" else (column, row + 1)
        by_name[frozenset((names[column, row], names[beyond]))] = valley
    assert by_name == {frozenset(pair): False for pair in LEAVES} | {frozenset(pair): True for pair in OPENINGS}
