"""Leaflets against the fold catalogue, and folded back: whatever the form, it reads 1 … N from the cover on."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.booklet import read_booklet
from imposer.fold.creases import creased_edges, fold
from imposer.fold.leaflets import FORMS, WrongCountError, fold_leaflet, joined_strip, leaflet_scheme
from tests.fold.test_creases import CATALOGUE


def faces(booklet):
    """The rows of the front, and of the back turned about its upright middle, top row first."""
    scheme = booklet.scheme
    at = {(leaf.column + piece.first_column, leaf.row): leaf for piece in booklet.pieces for leaf in piece.leaves}
    rows, columns = range(scheme.rows - 1, -1, -1), range(scheme.columns)
    front = " / ".join(" ".join(str(at[c, r].front) for c in columns) for r in rows)
    back = " / ".join(" ".join(str(at[c, r].back) for c in reversed(columns)) for r in rows)
    return front, back


def from_the_other_end(row, pages):
    """A catalogue row as it is paged from the other face: each page counted from the back, left and right changed."""
    return " ".join(str(pages + 1 - int(page)) for page in reversed(row.split()))


@pytest.mark.parametrize(
    "name", ["F6-1", "F8-3", "F10-1", "F12-6", "F14-1", "F16-5", "F18-1"], ids=lambda name: f"accordion {name}"
)
def test_an_accordion_is_the_catalogues(name):
    """CIP4, XJDF 2.2, App. A.3.8: parallel folds that alternate; the cover is on one side or the other."""
    row = CATALOGUE[name]
    booklet = fold_leaflet("accordion", int(row[1]) * 2)
    assert set(faces(booklet)) == {row[5], row[6]}
    assert "1" in faces(booklet)[0].split()


@pytest.mark.parametrize(
    ("style", "pages", "name"), [("double-gate", 8, "F8-4"), ("double-parallel", 8, "F8-2")], ids=lambda v: str(v)
)
def test_gates_and_double_folds_are_the_catalogues_outside_up(style, pages, name):
    assert faces(fold_leaflet(style, pages)) == (CATALOGUE[name][6], CATALOGUE[name][5])


@pytest.mark.parametrize(("style", "pages", "name"), [("letter", 6, "F6-4"), ("roll", 8, "F8-5")])
def test_rolls_are_the_catalogues_read_from_their_cover(style, pages, name):
    """The catalogue begins at the face that ends on top; a roll's cover is the panel that closes it, underneath."""
    row = CATALOGUE[name]
    assert faces(fold_leaflet(style, pages)) == (
        from_the_other_end(row[6], pages),
        from_the_other_end(row[5], pages),
    )


def test_a_french_fold_is_a_card_with_its_folds_at_head_and_spine():
    """Common practice, no source: cover lower right, the two pages inside upside down in the upper row."""
    booklet = fold_leaflet("french", 4)
    assert faces(booklet) == ("3 2 / 4 1", "None None / None None")
    heads = {leaf.front: leaf.head for leaf in booklet.pieces[0].leaves}
    assert heads == {1: "N", 2: "S", 3: "S", 4: "N"}


@pytest.mark.parametrize("reading", ["left-to-right", "right-to-left"])
@pytest.mark.parametrize("panels", [3, 4, 7])
def test_on_one_side_an_accordions_pages_run_along_the_strip(panels, reading):
    right_to_left = reading == "right-to-left"
    booklet = fold_leaflet("accordion", panels, sides=1, right_to_left=right_to_left)
    row = " ".join(map(str, range(panels, 0, -1) if right_to_left else range(1, panels + 1)))
    assert faces(booklet)[0] == row
    assert creased_edges(booklet.scheme)[-1].valley is False, "the first page's fold is a mountain: it is the cover"


@settings(deadline=None, derandomize=True, max_examples=120)
@given(
    style=st.sampled_from(sorted(FORMS)),
    panels=st.integers(2, 12),
    sides=st.sampled_from([1, 2]),
    poster=st.booleans(),
    right_to_left=st.booleans(),
    short=st.integers(0, 3),
)
def test_folded_and_read_it_is_one_to_n(style, panels, sides, poster, right_to_left, short):
    form = FORMS[style]
    poster = poster and style != "flat"
    sides = 1 if poster or form.one_sided else sides
    count = form.panels or min(max(panels, form.least), form.most)
    pages = count * sides + poster if poster else max(1, count * sides - short)
    booklet = fold_leaflet(
        style,
        pages,
        panels=None if form.panels else count,
        sides=sides,
        poster=poster,
        right_to_left=right_to_left,
    )
    read = read_booklet(booklet.pieces, booklet.scheme, right_to_left=booklet.right_to_left)
    assert read == tuple(range(1, booklet.pages + 1))
    assert booklet.blanks == tuple(range(pages + 1, booklet.pages + 1))
    for piece in booklet.pieces:
        assert len({leaf.head in "NS" for leaf in piece.leaves}) == 1
        for leaf in piece.leaves:
            if sides == 2:
                assert {leaf.front, leaf.back} in [{p, p + 1} for p in range(1, booklet.pages, 2)]
            else:
                assert leaf.back is None


@pytest.mark.parametrize("style", ["letter", "roll", "gate", "double-gate", "double-parallel", "accordion", "french"])
@pytest.mark.parametrize("right_to_left", [False, True])
def test_the_cover_opens_like_a_book(style, right_to_left):
    """With heads up, the fold of page 1 is at the left of a piece read from left to right, else at the right."""
    scheme = leaflet_scheme(style, FORMS[style].panels or 5, right_to_left=right_to_left)
    top = fold(scheme)[0]
    assert (top.front_up, top.head) == (True, "N"), "the outside is on the front"
    assert top.spine == ("E" if right_to_left else "W")


@settings(deadline=None, derandomize=True, max_examples=60)
@given(panels=st.integers(2, 24), columns=st.integers(1, 9), sides=st.sampled_from([1, 2]), rtl=st.booleans())
def test_a_strip_cut_in_pieces_and_glued_reads_as_before(panels, columns, sides, rtl):
    whole = fold_leaflet("accordion", panels * sides, sides=sides, right_to_left=rtl)
    joined = joined_strip(whole, columns)
    assert len(joined.pieces) == -(-panels // columns)
    assert read_booklet(joined.pieces, joined.scheme) == read_booklet(whole.pieces, whole.scheme)
    shuffled = joined.pieces[::-1]
    assert read_booklet(shuffled, joined.scheme) == tuple(range(1, whole.pages + 1))


def test_a_misplaced_panel_is_read_as_it_lies():
    booklet = fold_leaflet("letter", 6)
    (piece,) = booklet.pieces
    first, second, third = piece.leaves
    swapped = (
        type(first)(second.column, 0, "N", "W", first.front, first.back, 0),
        type(first)(first.column, 0, "N", "W", second.front, second.back, 0),
    )
    wrong = type(piece)(1, 1, 0, (*swapped, third))
    assert read_booklet([wrong], booklet.scheme) != (1, 2, 3, 4, 5, 6)


@pytest.mark.parametrize(
    ("style", "pages", "options", "why"),
    [
        ("mini", 10, {}, "a mini zine has 8 pages, one on each of its 8 panels, on the front alone; there are 10"),
        ("mini", 8, {"poster": True}, "page 9 is the poster on the back of a mini zine, but the last page is 8"),
        ("letter", 7, {}, "a letter fold has 6 pages, two on each of its 3 panels; there are 7"),
        ("accordion", 9, {"panels": 4}, "an accordion of 4 panels has 8 pages"),
        ("roll", 18, {}, "a roll fold has 3 to 8 panels, but 18 pages would make 9 panels"),
        ("gate", 9, {"poster": True}, "has 3 pages, one on each of its 3 panels, on the front alone and page 4"),
    ],
)
def test_what_has_no_room_says_why(style, pages, options, why):
    with pytest.raises(WrongCountError, match=why):
        fold_leaflet(style, pages, **options)
