"""Nested and gathered booklets: against printers' handbooks, and folded back by hand and by machine."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.booklet import fold_booklet, read_booklet, signature_sizes
from imposer.fold.creases import SINGLE_FOLD, scheme


def faces(piece):
    """Front left, front right, back left, back right of a piece folded once."""
    left, right = sorted(piece.leaves, key=lambda leaf: leaf.column)
    return left.front, right.front, right.back, left.back


@pytest.mark.parametrize("pages", [4, 8, 12, 16, 20, 24, 28, 32])
def test_saddle_sheets_follow_the_quire_rule(pages):
    """Sheet k from outside: N-2k+2 | 2k-1, back 2k | N-2k+1 (agrees with Cowie's Printer's Pocket-Book, p. 31)."""
    booklet = fold_booklet(pages)
    for k, piece in enumerate(booklet.pieces, 1):
        assert faces(piece) == (pages - 2 * k + 2, 2 * k - 1, 2 * k, pages - 2 * k + 1)


def test_two_sheets_quired_as_the_handbook_has_them():
    """Cowie's Printer's Pocket-Book and Manual (1830s), p. 31: outer 8 1 / 2 7, inner 6 3 / 4 5."""
    assert [faces(piece) for piece in fold_booklet(8).pieces] == [(8, 1, 2, 7), (6, 3, 4, 5)]


@pytest.mark.parametrize("pages", range(4, 65, 4))
def test_pages_across_a_spine_sum_to_one_more_than_the_pages(pages):
    """The N+1 rule: 'adjoining folios sum to one more than the pages in the sheet' (Savage, Dictionary of Printing)."""
    for piece in fold_booklet(pages).pieces:
        front_left, front_right, back_left, back_right = faces(piece)
        assert front_left + front_right == back_left + back_right == pages + 1


def test_gathered_and_collected_signatures_of_eight():
    """XJDF 2.2, 5.4.22.1: gathered 1-8 and 9-16; collected the outer holds 1-4 and 13-16, the inner 5-12."""
    gathered = fold_booklet(16, pieces_per_signature=2)
    by_signature = {
        s: sorted(p for piece in gathered.pieces if piece.signature == s for p in piece.pages) for s in (1, 2)
    }
    assert by_signature == {1: list(range(1, 9)), 2: list(range(9, 17))}
    eight = scheme(2, 2, "V1/2U H1/2U")
    outer, inner = fold_booklet(16, scheme=eight).pieces
    assert outer.pages == (1, 2, 3, 4, 13, 14, 15, 16)
    assert inner.pages == tuple(range(5, 13))


@settings(deadline=None, derandomize=True)
@given(
    pages=st.integers(1, 200),
    per_signature=st.none() | st.integers(1, 8),
    right_to_left=st.booleans(),
    sheet=st.sampled_from(
        [SINGLE_FOLD, scheme(2, 1, "V1/2U"), scheme(2, 2, "V1/2U H1/2U"), scheme(4, 2, "V1/2U H1/2U V1/4D")]
    ),
)
def test_folded_and_read_it_is_one_to_n(pages, per_signature, right_to_left, sheet):
    booklet = fold_booklet(pages, scheme=sheet, pieces_per_signature=per_signature, right_to_left=right_to_left)
    read = read_booklet(booklet.pieces, booklet.scheme, right_to_left=right_to_left)
    assert read == tuple(range(1, booklet.pages + 1))
    assert booklet.blanks == tuple(range(pages + 1, booklet.pages + 1))
    assert booklet.pages - pages < sheet.pages
    assert [piece.number for piece in booklet.pieces] == list(range(1, len(booklet.pieces) + 1))
    for piece in booklet.pieces:
        heads = {leaf.head for leaf in piece.leaves}
        assert heads <= {"N", "S"} or heads <= {"E", "W"}
        for leaf in piece.leaves:
            assert {leaf.front, leaf.back} in [{p, p + 1} for p in range(1, booklet.pages)]


def test_a_misplaced_piece_is_read_as_it_lies():
    """The reader looks at the panels, not at the numbers: nest a booklet inside out and it reads wrong."""
    booklet = fold_booklet(8)
    outer, inner = booklet.pieces
    swapped = [type(outer)(1, 1, 1, outer.leaves), type(outer)(2, 1, 0, inner.leaves)]
    assert read_booklet(swapped, booklet.scheme) == (3, 4, 1, 2, 7, 8, 5, 6)


def test_right_to_left_opens_at_the_other_side():
    """The front of the outer piece of a right-bound booklet carries page 1 at the left."""
    assert faces(fold_booklet(8, right_to_left=True).pieces[0]) == (1, 8, 7, 2)


def test_depth_grows_inward_leaf_by_leaf():
    booklet = fold_booklet(16)
    assert [{leaf.depth for leaf in piece.leaves} for piece in booklet.pieces] == [{0}, {1}, {2}, {3}]
    sixteen = fold_booklet(32, scheme=scheme(4, 2, "V1/2U H1/2U V1/4D"))
    assert max(leaf.depth for piece in sixteen.pieces for leaf in piece.leaves) == 7


def test_signatures_share_the_pieces():
    assert signature_sizes(7, 3) == (3, 3, 1)
    assert signature_sizes(6, 3) == (3, 3)


def test_what_cannot_be_folded_says_so():
    with pytest.raises(ValueError, match="counted from 1"):
        fold_booklet(0)
    with pytest.raises(ValueError, match="cannot nest"):
        fold_booklet(12, scheme=scheme(3, 1, "V1/3U V1/3D"))
