"""Edges of folded leaves: which catalogue folds make a signature that can be trimmed and bound."""

import pytest

from imposer.data.folds import catalogue_folds
from imposer.fold.creases import creased_edges, scheme
from imposer.fold.edges import leaf_edges, loose_pages
from tests.fold.test_creases import CATALOGUE


def test_the_shipped_table_is_the_catalogue():
    shipped = {name: (str(row.columns), str(row.rows), row.folds) for name, row in catalogue_folds().items()}
    assert shipped == {name: tuple(row[1:4]) for name, row in CATALOGUE.items()}


@pytest.mark.parametrize(
    "name", ["F4-2", "F8-7", "F16-6", "F16-7", "F16-8", "F16-9", "F16-13", "F32-4", "F32-9", "F24-11"]
)
def test_right_angle_signatures_hold_every_leaf(name):
    row = catalogue_folds()[name]
    assert loose_pages(scheme(row.columns, row.rows, row.folds)) == ()


@pytest.mark.parametrize("name", ["F6-1", "F10-1", "F18-5"])
def test_strip_folds_do_not(name):
    """Common practice, no source: a letter or zigzag fold is no signature; trimmed at its folds it falls apart."""
    row = catalogue_folds()[name]
    assert loose_pages(scheme(row.columns, row.rows, row.folds))


def test_closed_edges_are_creases_that_are_not_the_spine():
    row = catalogue_folds()["F16-6"]
    made = scheme(row.columns, row.rows, row.folds)
    creases = {(e.column, e.row, e.edge) for e in creased_edges(made)}
    for leaf in leaf_edges(made):
        for side in (*leaf.closed, leaf.spine):
            where = {
                "N": (leaf.column, leaf.row, "N"),
                "S": (leaf.column, leaf.row - 1, "N"),
                "E": (leaf.column, leaf.row, "E"),
                "W": (leaf.column - 1, leaf.row, "E"),
            }[side]
            assert where in creases
    # A 16-page right-angle signature: every leaf is closed at its foot here, and half of them at the fore edge.
    assert sum("N" in leaf.closed or "S" in leaf.closed for leaf in leaf_edges(made)) == 8
    assert sum("E" in leaf.closed or "W" in leaf.closed for leaf in leaf_edges(made)) == 4
