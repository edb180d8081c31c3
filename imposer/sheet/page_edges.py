"""Which edge of an upright page lies at the fold, and how deep in its nest a page's leaf lies.

A module of its own because art is looked at page by page, and the fold knows only panels on a flat piece.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from imposer.fold.model import Booklet, Compass, Leaf
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
    """

    spine: Edge
    fore: Edge
    depth: int
    other: int | None


def page_leaves(booklet: Booklet) -> Mapping[int, PageLeaf]:
    """Return how every page is bound."""
    found = {}
    for piece in booklet.pieces:
        for leaf in piece.leaves:
            # Clockwise from the head to the spine; seen from behind it is the other way round.
            steps = (_AROUND.index(leaf.spine) - _AROUND.index(leaf.head)) % 4
            for page, other, way in ((leaf.front, leaf.back, steps), (leaf.back, leaf.front, -steps % 4)):
                if page is not None:
                    found[page] = _bound(leaf, other, way)
    return found


def _bound(leaf: Leaf, other: int | None, way: int) -> PageLeaf:
    return PageLeaf(spine=_EDGES[way], fore=_EDGES[(way + 2) % 4], depth=leaf.depth, other=other)
