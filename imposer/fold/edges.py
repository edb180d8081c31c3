"""What the edges of every leaf are once a piece is folded: spine, closed by a fold, or open.

A closed edge that is no spine must be trimmed open; a leaf whose spine is no fold would fall out of the booklet.
"""

from __future__ import annotations

from dataclasses import dataclass

from imposer.fold.creases import fold
from imposer.fold.model import Compass, Scheme

_BESIDE: dict[Compass, tuple[int, int]] = {"N": (0, 1), "E": (1, 0), "S": (0, -1), "W": (-1, 0)}


@dataclass(frozen=True, slots=True)
class LeafEdges:
    """The four edges of one cell, as seen from the front of the flat piece."""

    column: int
    row: int
    spine: Compass
    #: Edges closed by a fold that is not the spine: trimmed open after folding.
    closed: tuple[Compass, ...]
    #: Whether the spine is a fold; else the leaf hangs on nothing once the others are trimmed.
    bound: bool


def leaf_edges(scheme: Scheme) -> tuple[LeafEdges, ...]:
    """Return the edges of every leaf, in the order of the folded stack.

    Every border between two cells of a folded grid is a crease, so an edge is closed if another cell lies beyond it.
    """
    edges = []
    for layer in fold(scheme):
        inner = [side for side, (dx, dy) in _BESIDE.items() if _inside(scheme, layer.column + dx, layer.row + dy)]
        edges.append(
            LeafEdges(
                layer.column,
                layer.row,
                layer.spine,
                tuple(side for side in inner if side != layer.spine),
                layer.spine in inner,
            )
        )
    return tuple(edges)


def loose_pages(scheme: Scheme) -> tuple[int, ...]:
    """Return the pages (1 … of one piece) of the leaves that no spine holds.

    >>> from imposer.fold.creases import scheme as folded
    >>> loose_pages(folded(4, 2, "V1/2U H1/2U V1/4D")), loose_pages(folded(3, 1, "V1/3U V1/3D"))
    ((), (5, 6))
    """
    return tuple(
        page for i, edges in enumerate(leaf_edges(scheme)) if not edges.bound for page in (2 * i + 1, 2 * i + 2)
    )


def _inside(scheme: Scheme, column: int, row: int) -> bool:
    return 0 <= column < scheme.columns and 0 <= row < scheme.rows
