"""Which edge of an upright page lies at the fold, and how deep in its nest a page's leaf lies.

A module of its own because art is looked at page by page, and the fold knows only panels on a flat piece.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from imposer.fold.model import Booklet, Compass, Leaf, Piece
from imposer.geometry import Edge

_AROUND: tuple[Compass, ...] = ("N", "E", "S", "W")
_EDGES: tuple[Edge, ...] = ("top", "right", "bottom", "left")


@dataclass(frozen=True, slots=True)
class PageLeaf:
    """Where a page is bound.

    Attributes:
        spine: Its edge at the spine, upright.
        fore: The edge opposite.
        depth: How many leaves of its signature lie outside its own.
        other: The page on the other side of the leaf, None beyond the booklet.
        meets: Its edges at which another page begins with nothing to trim between: the spine; any panel of a leaflet.
        closed: Its edges closed by a fold that is no spine: trimmed open after folding.
    """

    spine: Edge
    fore: Edge
    depth: int
    other: int | None
    meets: tuple[Edge, ...] = ()
    closed: tuple[Edge, ...] = ()


def page_leaves(booklet: Booklet) -> Mapping[int, PageLeaf]:
    """Return how every page is bound."""
    found = {}
    for piece in booklet.pieces:
        for leaf in piece.leaves:
            inner = _inner(leaf, piece, booklet)
            meets = inner if booklet.scheme.leaflet else (leaf.spine,)
            closed = tuple(side for side in inner if side not in meets)
            for page, other, behind in ((leaf.front, leaf.back, False), (leaf.back, leaf.front, True)):
                if page is not None:
                    found[page] = _bound(leaf, other, meets, closed, behind=behind)
    return found


def _inner(leaf: Leaf, piece: Piece, booklet: Booklet) -> tuple[Compass, ...]:
    """Return the sides of a cell beyond which another cell of the piece lies."""
    scheme = booklet.scheme
    column = leaf.column + piece.first_column
    inner = {
        "N": leaf.row + 1 < scheme.rows,
        "E": column + 1 < scheme.columns,
        "S": leaf.row > 0,
        "W": column > 0,
    }
    return tuple(side for side in _AROUND if inner[side])


def _bound(
    leaf: Leaf, other: int | None, meets: tuple[Compass, ...], closed: tuple[Compass, ...], *, behind: bool
) -> PageLeaf:
    def edge(side: Compass) -> Edge:
        # Clockwise from the head; seen from behind it is the other way round.
        steps = (_AROUND.index(side) - _AROUND.index(leaf.head)) % 4
        return _EDGES[-steps % 4 if behind else steps]

    spine = edge(leaf.spine)
    fore = _EDGES[(_EDGES.index(spine) + 2) % 4]
    return PageLeaf(
        spine=spine,
        fore=fore,
        depth=leaf.depth,
        other=other,
        meets=tuple(map(edge, meets)),
        closed=tuple(map(edge, closed)),
    )
