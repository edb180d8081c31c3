"""Leaflets: one piece, folded or slit into something that needs no stitch; and flat cards, which are not folded at all.

A style and a page count go in; a `Booklet` comes out, with the page of every panel. A scheme is a list of creases and
page orders follow from folding it. The law for all of them is one: page 1 is the face on top of the folded piece, page
2 the next face of paper that is printed, and so on down through the stack. So read, with the outside of the piece on
the front of the sheet, the cover opens at its left (a piece that reads from right to left is folded as in a mirror).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from imposer.fold.creases import fold
from imposer.fold.model import Booklet, Crease, Leaf, Piece, Scheme, Style

#: No strip of paper is folded into more panels.
MOST_PANELS = 48


class WrongCountError(ValueError):
    """So many pages do not make this form: why, and the mend."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.mend = mend


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What is fixed about a form."""

    #: In a sentence: "a mini zine".
    words: str
    #: How many panels it has on a side; None where the job says so or the page count tells.
    panels: int | None
    least: int = 2
    most: int = MOST_PANELS
    #: Pages on one side alone: the other is inside and never seen, or a poster.
    one_sided: bool = False


#: Every form that is neither saddle nor gathered; cards apart, each is one piece.
FORMS: dict[Style, Form] = {
    "mini": Form(words="a mini zine", panels=8, one_sided=True),
    "accordion": Form(words="an accordion", panels=None),
    # More turns of a roll than this will not close, common practice, no source.
    "roll": Form(words="a roll fold", panels=None, least=3, most=8),
    "letter": Form(words="a letter fold", panels=3),
    "gate": Form(words="a gate fold", panels=3),
    "double-gate": Form(words="a double gate fold", panels=4),
    "double-parallel": Form(words="a double parallel fold", panels=4),
    "french": Form(words="a French fold", panels=4, one_sided=True),
    "flat": Form(words="a card", panels=1),
}


def leaflet_scheme(style: Style, panels: int, *, sides: int = 2, right_to_left: bool = False) -> Scheme:
    """Return how a leaflet is folded, the outside of the piece on the front of the sheet.

    Args:
        style: one of `FORMS`.
        panels: how many panels a side has.
        sides: 1 if pages stand on the front alone. An accordion's pages then run along the strip, so it is folded from
            its other end.
        right_to_left: the cover opens at the right.

    >>> [str(crease) for crease in leaflet_scheme("letter", 3).creases]
    ['V1/3D', 'V1/3D']
    """
    columns, rows = (4, 2) if style == "mini" else (2, 2) if style == "french" else (panels, 1)
    mirrored = right_to_left
    match style:
        case "accordion":
            # The last fold goes under, so that the cover is on the front.
            folds = [(Fraction(1, panels), (panels - i) % 2 == 0) for i in range(1, panels)]
            mirrored = right_to_left == (sides == 2)
        case "roll" | "letter" | "gate":
            folds = [(Fraction(1, panels), False)] * (panels - 1)
        case "double-gate":
            folds = [(Fraction(1, 4), False), (Fraction(1, 2), False), (Fraction(1, 4), True)]
        case "double-parallel":
            folds = [(Fraction(1, 2), False), (Fraction(1, 4), False)]
        case "mini":
            folds = [(Fraction(1, 2), False), (Fraction(1, 4), False)]
        case "french":
            folds = [(Fraction(1, 2), False)]
        case _:
            folds = []
    creases = tuple(Crease("V", part, over) for part, over in folds)
    if rows == 2:
        creases = (Crease("H", Fraction(1, 2), over=False), *creases)
    return Scheme(
        columns,
        rows,
        creases,
        mirrored=mirrored,
        from_top=style == "french",
        slit=style == "mini",
        leaflet=True,
    )


def fold_leaflet(
    style: Style,
    pages: int,
    *,
    panels: int | None = None,
    sides: int = 2,
    poster: bool = False,
    right_to_left: bool = False,
) -> Booklet:
    """Fold `pages` pages into a leaflet, or lay them out as cards.

    Args:
        style: one of `FORMS`.
        pages: how many pages there are, the poster included.
        panels: how many panels a side has, where the form leaves it open; None takes as many as the pages fill.
        sides: 1 if the front alone carries pages.
        poster: the last page fills the whole back.
        right_to_left: the cover opens at the right.

    >>> [(leaf.front, leaf.back) for leaf in fold_leaflet("letter", 6).pieces[0].leaves]
    [(1, 2), (3, 4), (6, 5)]

    Raises:
        WrongCountError: the form has not room for so many pages, or the poster has no page.
    """
    form = FORMS[style]
    sides = 1 if poster or form.one_sided else sides
    if style == "flat":
        return _cards(pages, sides, right_to_left=right_to_left)
    count = form.panels or panels or max(form.least, -(-(pages - poster) // sides))
    room = count * sides
    _check(form, count, room, pages, poster=poster, sides=sides)
    scheme = leaflet_scheme(style, count, sides=sides, right_to_left=right_to_left)
    total = room + poster
    piece = Piece(1, 1, 0, _leaves(scheme, sides), poster=total if poster else None)
    return Booklet(scheme, (piece,), total, tuple(range(pages + 1, total + 1)), right_to_left)


def joined_strip(booklet: Booklet, columns: int) -> Booklet:
    """Return a strip as several pieces of so many columns, to be joined end to end; the last may carry fewer."""
    (strip,) = booklet.pieces
    pieces: list[Piece] = []
    for first in range(0, booklet.scheme.columns, columns):
        leaves = tuple(
            replace(leaf, column=leaf.column - first) for leaf in strip.leaves if first <= leaf.column < first + columns
        )
        pieces.append(Piece(len(pieces) + 1, 1, 0, leaves, first_column=first))
    return replace(booklet, pieces=tuple(pieces), joined=columns)


def read_leaflet(pieces: tuple[Piece, ...], scheme: Scheme) -> tuple[int, ...]:
    """Join, fold and read the pieces of a leaflet from the top face of the stack down, the poster last."""
    faces = [face for leaf in stacked_leaves(pieces, scheme) for face in leaf]
    return tuple(page for page in (*faces, *(piece.poster for piece in pieces)) if page is not None)


def stacked_leaves(pieces: tuple[Piece, ...], scheme: Scheme) -> tuple[tuple[int | None, int | None], ...]:
    """Join and fold the pieces of a leaflet; return the upper and lower page of every leaf, from the top down."""
    by_place = {(leaf.column + piece.first_column, leaf.row): leaf for piece in pieces for leaf in piece.leaves}
    found = []
    for layer in fold(scheme):
        leaf = by_place[layer.column, layer.row]
        found.append((leaf.front, leaf.back) if layer.front_up else (leaf.back, leaf.front))
    return tuple(found)


def _leaves(scheme: Scheme, sides: int) -> tuple[Leaf, ...]:
    """Return every cell with its pages: the printed faces of the folded stack, counted from the top."""
    leaves = []
    counted = 0
    for layer in fold(scheme):
        numbers: list[int | None] = []
        for is_front in (layer.front_up, not layer.front_up):
            printed = is_front or sides == 2
            counted += printed
            numbers.append(counted if printed else None)
        front, back = numbers if layer.front_up else numbers[::-1]
        leaves.append(Leaf(layer.column, layer.row, layer.head, layer.spine, front, back, 0))
    return tuple(leaves)


def _cards(pages: int, sides: int, *, right_to_left: bool) -> Booklet:
    scheme = leaflet_scheme("flat", 1)
    count = -(-pages // sides)
    pieces = []
    for number in range(1, count + 1):
        front, back = (number, None) if sides == 1 else (2 * number - 1, 2 * number)
        pieces.append(Piece(number, 1, 0, (Leaf(0, 0, "N", "W", front, back, 0),)))
    total = count * sides
    return Booklet(scheme, tuple(pieces), total, tuple(range(pages + 1, total + 1)), right_to_left)


def _check(form: Form, panels: int, room: int, pages: int, *, poster: bool, sides: int) -> None:
    total = room + poster
    what = f"{form.words} of {panels} panels" if form.panels is None else form.words
    each = f"one on each of its {panels} panels" + ("" if sides == 2 else ", on the front alone")
    each = f"two on each of its {panels} panels" if sides == 2 else each
    if not form.least <= panels <= form.most:
        counted = f"{pages} pages would make {panels} panels"
        raise WrongCountError(
            f"{form.words} has {form.least} to {form.most} panels, but {counted}",
            "print fewer pages, or say panels = …",
        )
    if poster and pages < total:
        raise WrongCountError(
            f"with poster = true page {total} is the poster on the back of {what}, but the last page is {pages}",
            f"add page {total}, or set poster = false",
        )
    if pages > total:
        poster_too = f" and page {total} as a poster" if poster else ""
        raise WrongCountError(
            f"{what} has {room} pages, {each}{poster_too}; there are {pages}",
            "leave pages out, or choose a form with room for them, such as a saddle-stitched booklet",
        )
