"""The crease simulator against the fold catalogue and the theorems of flat folding."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.creases import creased_edges, fold, front_and_back, scheme
from imposer.fold.model import Crease, Scheme

HERE = Path(__file__).parent


def table(name):
    lines = (HERE / name).read_text(encoding="utf-8").splitlines()
    return [[cell.strip() for cell in line.split("|")] for line in lines if line and not line.startswith("#")]


CATALOGUE = {row[0]: row for row in table("catalogue.txt")}


def grid(text, kind=int):
    """Rows written top first, as cells by (column, row from the bottom)."""
    rows = [row.split() for row in text.split("/")][::-1]
    return {(c, r): kind(value) for r, row in enumerate(rows) for c, value in enumerate(row)}


def made(row):
    return scheme(int(row[1]), int(row[2]), row[3])


def test_the_catalogue_is_whole():
    assert len(CATALOGUE) == 78


@pytest.mark.parametrize("row", CATALOGUE.values(), ids=CATALOGUE)
def test_catalogue_row_folds_to_its_pages(row):
    """CIP4, XJDF 2.2, App. A.3.8 and Table E.5, with the pagination catalogue's page lists."""
    sheet = made(row)
    pages = front_and_back(sheet)
    assert {cell: both[0] for cell, both in pages.items()} == grid(row[5])
    turned = {(sheet.columns - 1 - c, r): both[1] for (c, r), both in pages.items()}
    assert turned == grid(row[6])


@pytest.mark.parametrize("row", CATALOGUE.values(), ids=CATALOGUE)
def test_catalogue_row_has_its_heads(row):
    """N and S follow from the folds; E and W hold the program's own convention."""
    heads = {(layer.column, layer.row): layer.head for layer in fold(made(row))}
    assert heads == grid(row[7], str)


@pytest.mark.parametrize("row", table("crease_maps.txt"), ids=lambda row: row[0])
def test_crease_map(row):
    sheet = made(CATALOGUE[row[0]])
    edges = {(e.column, e.row, e.edge): f"{e.fold}{'V' if e.valley else 'M'}" for e in creased_edges(sheet)}
    vertical = grid(row[1], str) if row[1] else {}
    horizontal = grid(row[2], str) if row[2] else {}
    assert {(c, r): s for (c, r, edge), s in edges.items() if edge == "E"} == vertical
    assert {(c, r): s for (c, r, edge), s in edges.items() if edge == "N"} == horizontal


@pytest.mark.parametrize("row", CATALOGUE.values(), ids=CATALOGUE)
def test_every_border_is_creased_once_and_vertices_fold_flat(row):
    """Maekawa's theorem (from memory): at a flat-folded vertex valleys and mountains differ by two."""
    sheet = made(row)
    edges = creased_edges(sheet)
    places = [(e.column, e.row, e.edge) for e in edges]
    assert len(set(places)) == len(places) == (sheet.columns - 1) * sheet.rows + sheet.columns * (sheet.rows - 1)
    valley = {place: e.valley for place, e in zip(places, edges, strict=True)}
    for c in range(sheet.columns - 1):
        for r in range(sheet.rows - 1):
            around = [valley[c, r, "E"], valley[c, r + 1, "E"], valley[c, r, "N"], valley[c + 1, r, "N"]]
            assert sum(around) in (1, 3)


def test_the_layers_are_all_there_and_spines_are_closed():
    """Common practice, no source: in a 16-page right-angle signature every leaf hangs on the last fold."""
    layers = fold(made(CATALOGUE["F16-6"]))
    assert {(layer.column, layer.row) for layer in layers} == {(c, r) for c in range(4) for r in range(2)}
    assert all(layer.spine in "EW" for layer in layers)
    inner = {(layer.column, layer.row): layer.spine for layer in layers}
    assert [inner[c, 0] for c in range(4)] == ["E", "W", "E", "W"]


@st.composite
def random_schemes(draw):
    """Random folds until one cell is left."""
    columns, rows = draw(st.integers(1, 6)), draw(st.integers(1, 4))
    width, height, creases = columns, rows, []
    while width > 1 or height > 1:
        axis = draw(st.sampled_from([a for a, n in (("V", width), ("H", height)) if n > 1]))
        open_size, size = (columns, width) if axis == "V" else (rows, height)
        k = draw(st.integers(1, size - 1))
        creases.append(Crease(axis, Fraction(k, open_size), draw(st.booleans())))
        size = max(size - k, k)
        width, height = (size, height) if axis == "V" else (width, size)
    return Scheme(columns, rows, tuple(creases))


@settings(deadline=None, derandomize=True)
@given(random_schemes())
def test_any_folds_make_consecutive_leaves(sheet):
    pages = front_and_back(sheet)
    assert sorted(p for both in pages.values() for p in both) == list(range(1, sheet.pages + 1))
    for front, back in pages.values():
        assert abs(front - back) == 1
        assert (min(front, back)) % 2 == 1


@settings(deadline=None, derandomize=True)
@given(random_schemes())
def test_valley_and_mountain_swap_when_every_fold_goes_the_other_way(sheet):
    """Folding everything under instead of over is the same folding seen from the back."""
    other = Scheme(sheet.columns, sheet.rows, tuple(Crease(c.axis, c.part, not c.over) for c in sheet.creases))
    seen = {(e.column, e.row, e.edge): e.valley for e in creased_edges(sheet)}
    assert {(e.column, e.row, e.edge): not e.valley for e in creased_edges(other)} == seen
    top_down = [(layer.column, layer.row) for layer in fold(sheet)]
    assert [(layer.column, layer.row) for layer in fold(other)] == top_down[::-1]


@pytest.mark.parametrize(
    ("folds", "why"),
    [
        ("V1/3U", "does not fall between two cells"),
        ("V1/1U", "does not fall between two cells"),
        ("", "2 stacks are left"),
        ("V1/2X", "is not a fold such as"),
        ("W1/2U", "is not a fold such as"),
        ("V1/0U", "is not a fold such as"),
    ],
)
def test_folds_that_cannot_be_made(folds, why):
    with pytest.raises(ValueError, match=why):
        scheme(2, 1, folds)
