"""A slit sheet opened into a ring: how eight panels on one side become a booklet without a stitch.

The sheet is folded along its long centre line, print outside, and slit there over all columns but the outer two. Pushed
together from both ends the slit opens, and what lies around it is one ring of cells. The ring folds flat with its
cells in pairs back to back, each pair a leaf. No order of pages is written down here: the ring is walked.
"""

from __future__ import annotations

from typing import Literal

from imposer.fold.model import Compass, Layer, Scheme

_Cell = tuple[int, int]
_Border = tuple[int, int, Literal["E", "N"]]


def ring_layers(scheme: Scheme) -> tuple[Layer, ...]:
    """Return the layers of the finished ring from the top: page 1's face up, then the one behind it, and so on.

    Page 1 lies at the lower right of the front, the usual place for it (at the lower left of a mirrored piece); heads
    point to the slit, so the fold that is left of the centre line lies at the head.
    """
    ring = walk_ring(scheme.columns, 0 if scheme.mirrored else scheme.columns - 1)
    layers = []
    for i, (column, row) in enumerate(ring):
        # Page and next page of a leaf lie back to back; it hangs where it meets the leaf before or after it.
        beside = ring[i - 1] if i % 2 == 0 else ring[(i + 1) % len(ring)]
        layers.append(Layer(column, row, i % 2 == 0, "N" if row == 0 else "S", _toward((column, row), beside)))
    return tuple(layers)


def ring_valleys(scheme: Scheme) -> dict[_Border, bool]:
    """Return the borders at which the finished ring bends; whether each is a valley seen from the front.

    Two cells of one leaf lie back to back, print outside: a mountain. Two leaves that meet open like a book: a valley.
    """
    ring = walk_ring(scheme.columns, 0 if scheme.mirrored else scheme.columns - 1)
    bends: dict[_Border, bool] = {}
    for i, cell in enumerate(ring):
        following = ring[(i + 1) % len(ring)]
        column, row = min(cell, following)
        bends[column, row, "E" if cell[1] == following[1] else "N"] = i % 2 == 1
    return bends


def walk_ring(columns: int, start: int) -> tuple[_Cell, ...]:
    """Return the cells (column, row from the bottom) around the slit of a sheet of two rows, each once.

    The walk begins in the bottom row at column `start` and goes to the upper row first, if the sheet is whole there.

    >>> walk_ring(4, 3)
    ((3, 0), (3, 1), (2, 1), (1, 1), (0, 1), (0, 0), (1, 0), (2, 0))
    """
    ring: list[_Cell] = [(start, 0)]
    while True:
        column, row = ring[-1]
        whole = column in (0, columns - 1)
        beside = [(column, 1 - row)] if whole else []
        beside += [(column + step, row) for step in (1, -1) if 0 <= column + step < columns]
        onward = next((cell for cell in beside if cell not in ring), None)
        if onward is None:
            return tuple(ring)
        ring.append(onward)


def _toward(cell: _Cell, other: _Cell) -> Compass:
    if cell[0] != other[0]:
        return "E" if other[0] > cell[0] else "W"
    return "N" if other[1] > cell[1] else "S"
