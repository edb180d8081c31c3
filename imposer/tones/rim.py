"""Where ink lies beyond the edges of a box: one place for every stretch of an edge, and each bit of ink in one of them.

A corner belongs to two edges; it goes to the one beyond which more ink lies, so that a spot in a corner is one place
and a frame round a page is four.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from imposer.geometry import Box, Edge
from imposer.tones.plane import Mask, Raster

#: Ink along an edge that is interrupted for no more than this is one stretch, mm; a working value of our own.
ONE_STRETCH = 20.0

_EDGES: tuple[Edge, ...] = ("left", "right", "bottom", "top")
_Part = tuple[slice, slice]


@dataclass(frozen=True, slots=True)
class Beyond:
    """Ink beyond one stretch of an edge.

    Attributes:
        edge: The edge.
        box: The smallest box that holds it, mm.
        area: How much of the box has ink, mm².
        laid: Tone × area of all in the box, mm².
    """

    edge: Edge
    box: Box
    area: float
    laid: float

    def reach(self, box: Box) -> float:
        """Return how far it goes beyond the edge of that box, mm."""
        match self.edge:
            case "left":
                return box.x0 - self.box.x0
            case "right":
                return self.box.x1 - box.x1
            case "bottom":
                return box.y0 - self.box.y0
            case "top":
                return self.box.y1 - box.y1


def ink_beyond(raster: Raster, box: Box, least: int, within: Box | None = None) -> tuple[Beyond, ...]:
    """Return where cells of at least `least` (of 255) lie outside a box (mm), by edge and stretch.

    A cell lies where its middle lies; of cells outside `within`, if that is given, nothing is said.
    """
    whole = tuple(slice(0, side) for side in raster.values.shape) if within is None else raster.cells(within)
    rows, columns = (
        slice(max(part.start, all_of.start), min(part.stop, all_of.stop))
        for part, all_of in zip(raster.cells(box), whole, strict=True)
    )

    def strip(edge: Edge, taken: Sequence[Edge]) -> _Part:
        """Return what lies beyond an edge, without the corners that other edges have taken."""
        down = slice((rows if "top" in taken else whole[0]).start, (rows if "bottom" in taken else whole[0]).stop)
        across = slice(
            (columns if "left" in taken else whole[1]).start, (columns if "right" in taken else whole[1]).stop
        )
        match edge:
            case "left":
                return down, slice(whole[1].start, columns.start)
            case "right":
                return down, slice(columns.stop, whole[1].stop)
            case "bottom":
                return slice(rows.stop, whole[0].stop), across
            case "top":
                return slice(whole[0].start, rows.start), across

    inked = {edge: int(np.count_nonzero(raster.values[strip(edge, ())] >= least)) for edge in _EDGES}
    order = sorted((edge for edge in _EDGES if inked[edge]), key=lambda edge: -inked[edge])
    return tuple(
        place for at, edge in enumerate(order) for place in _places(raster, edge, strip(edge, order[:at]), least)
    )


def _places(raster: Raster, edge: Edge, part: _Part, least: int) -> Iterator[Beyond]:
    """Yield the stretches of one strip that have ink."""
    values = raster.values[part]
    inked: Mask = values >= least
    along: Mask = np.logical_or.reduce(inked, axis=0 if edge in ("top", "bottom") else 1)
    cell = raster.pitch**2
    for start, stop in stretches(along, ONE_STRETCH / raster.pitch):
        cut = np.s_[:, start:stop] if edge in ("top", "bottom") else np.s_[start:stop, :]
        down, across = np.flatnonzero(inked[cut].any(axis=1)), np.flatnonzero(inked[cut].any(axis=0))
        top, left = part[0].start + (cut[0].start or 0), part[1].start + (cut[1].start or 0)
        yield Beyond(
            edge,
            raster.box(top + down[0], left + across[0], top + down[-1] + 1, left + across[-1] + 1),
            int(np.count_nonzero(inked[cut])) * cell,
            int(values[cut].sum(dtype=np.uint64)) / 255 * cell,
        )


def stretches(along: Mask, apart: float) -> Iterator[tuple[int, int]]:
    """Yield first and last + 1 of every stretch of marked cells, those no more than so many cells apart as one.

    >>> list(stretches(np.array([1, 1, 0, 1, 0, 0, 0, 1], dtype=bool), 2))
    [(0, 4), (7, 8)]
    """
    marked = np.flatnonzero(along)
    if not len(marked):
        return
    breaks = np.flatnonzero(np.diff(marked) - 1 > apart)
    for first, last in zip([0, *(breaks + 1)], [*breaks, len(marked) - 1], strict=True):
        yield int(marked[first]), int(marked[last]) + 1
