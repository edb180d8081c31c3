"""The white and the overlap that drift is expected to show, in closed form: quick, and exact for straight edges.

A shift s of standard deviation σ across an edge lays bare, or covers twice, what lies further than the design allows:
the mean of the positive part of s - d is E(d) = σ φ(d/σ) - d Φ(-d/σ), with d the trap (for white) or the gap (for
overlap) and φ, Φ the normal density and distribution. Summed along all edges of two inks, half from each one's edges,
that is an area. It looks at two inks at a time, so an edge that a third ink hides is not told from an open one: it is
for ranking, and `trials` judges the page as it looks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from imposer.tones.distance import LONGEST_REACH, Squares, squared_distance
from imposer.tones.drift import Drift
from imposer.tones.ink_areas import InkAreas, Spot, ink_areas
from imposer.tones.plane import MM_PER_INCH, Mask, Plane

Numbers = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]

#: Beyond this many standard deviations an edge adds less than two ten-thousandths of what it would at none.
_REACH = 3.5
#: Cells across a standard deviation, and the bounds of their fineness an inch.
_CELLS, _COARSEST, _FINEST = 2.5, 75.0, 150.0
#: Inks meet edge to edge if neither trap nor gap is wider than this, mm: an own choice, under any useful trap.
KISS = 0.15
#: Half the side of the square that an edge's direction is taken from, cells.
_SMOOTH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Slivers:
    """What drift is expected to show between two inks, as a mean over sheets.

    Attributes:
        first: Place of one ink among the planes.
        second: Place of the other.
        white: Paper laid bare where the inks met or overlapped, mm².
        overlap: Both inks where only one was, at edges where they met or stood close, mm².
        kiss: Length of the edges where they meet without trap or gap, mm.
        visible: White and overlap weighed by how much the colour differs from the nearer neighbour's, ΔE · mm².
        worst: The 5 mm where that is most, and how much; None if nothing shows.
    """

    first: int
    second: int
    white: float
    overlap: float
    kiss: float
    visible: float
    worst: Spot | None


def expected_slivers(
    planes: Sequence[Plane], passes: Sequence[int], drift: Drift, differences: npt.ArrayLike
) -> tuple[Slivers, ...]:
    """Return what drift is expected to show between every two inks of a page.

    Args:
        planes: One plane an ink, of one size.
        passes: The pass that prints each ink.
        drift: The machine's drift.
        differences: Colour differences between sets of inks, shape (2^k, 2^k); bit i of a place stands for ink i.

    Raises:
        ValueError: the planes, passes and differences do not fit one another.
    """
    table = check_differences(differences, len(planes), len(passes))
    found = []
    for first, second in combinations(range(len(planes)), 2):
        sigma = drift.shift(passes[first], passes[second])
        turn = drift.turning(passes[first], passes[second])
        fineness = min(max(_CELLS * MM_PER_INCH / sigma, _COARSEST), _FINEST)
        areas = ink_areas(planes, fineness)
        edges = [_edges_of(areas, one, other, sigma, turn) for one, other in ((first, second), (second, first))]
        found.append(_summed(areas, first, second, edges, table))
    return tuple(found)


def visible_share(slivers: Sequence[Slivers], plane: Plane) -> float:
    """Return one number for a page: visible slivers of all pairs over the page's area, ΔE."""
    return sum(pair.visible for pair in slivers) / (plane.size.width * plane.size.height)


def check_differences(differences: npt.ArrayLike, inks: int, passes: int) -> Numbers:
    """Return the table of differences as an array.

    Raises:
        ValueError: it does not fit the number of inks, or their passes are not as many.
    """
    table = np.asarray(differences, dtype=np.float64)
    if inks != passes or table.shape != (2**inks, 2**inks):
        raise ValueError(f"{inks} inks need as many passes and a table of {2**inks} sets, not {passes}, {table.shape}")
    return table


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """Edges of one ink towards another: cells, expected areas (mm², halved) and length of those that kiss (halved)."""

    rows: Whole
    columns: Whole
    white: Numbers
    overlap: Numbers
    kiss: float


def _edges_of(areas: InkAreas, one: int, other: int, sigma: float, turn: float) -> _Edges:
    """Look along the edges of one ink, where the other is near."""
    half = math.hypot(areas.size.width, areas.size.height) / 2
    reach = min(math.ceil(_REACH * math.hypot(sigma, turn * half) / areas.pitch) + 1, LONGEST_REACH)
    rows, columns = _shared_part(areas.masks[one], areas.masks[other], reach)
    mine, theirs = (np.ascontiguousarray(areas.masks[ink][rows, columns]) for ink in (one, other))
    to_mine = squared_distance(mine & ~theirs, reach)
    to_theirs = squared_distance(theirs & ~mine, reach)
    smooth = _smooth(mine)
    parts = []
    for side, at in _sides(mine):
        here, beyond = at, at + side[0] * mine.shape[1] + side[1]
        trap, gap = _length(to_mine, here, 0) * areas.pitch, _length(to_theirs, here, 1) * areas.pitch
        trap[~theirs.reshape(-1)[beyond]] = np.inf
        gap[theirs.reshape(-1)[here]] = np.inf
        near = np.flatnonzero(np.isfinite(np.minimum(trap, gap)))
        at, trap, gap = at[near], trap[near], gap[near]
        edge_rows, edge_columns = np.divmod(at, mine.shape[1])
        normal, length = _normals(smooth, edge_rows, edge_columns, side)
        edge_rows, edge_columns = edge_rows + rows.start, edge_columns + columns.start
        spread = _spreads(areas, edge_rows, edge_columns, normal, sigma, turn)
        length = length * areas.pitch / 2
        white, overlap = _mean_beyond(trap, spread) * length, _mean_beyond(gap, spread) * length
        parts.append((edge_rows, edge_columns, white, overlap, np.where(np.minimum(trap, gap) <= KISS, length, 0)))
    found = [np.concatenate(column) for column in zip(*parts, strict=True)]
    return _Edges(found[0], found[1], found[2], found[3], float(found[4].sum()))


def _shared_part(mine: Mask, theirs: Mask, reach: int) -> tuple[slice, slice]:
    """Return the rows and columns in which both masks are near: nothing can happen in the rest."""
    found = []
    for axis in (1, 0):
        count = mine.shape[1 - axis]
        first, last = 0, count
        for mask in (mine, theirs):
            set_here = np.flatnonzero(mask.any(axis=axis))
            first = max(first, int(set_here[0]) - reach - 1 if len(set_here) else count)
            last = min(last, int(set_here[-1]) + reach + 2 if len(set_here) else 0)
        # A cell at least, so that there is a plane to look at.
        first = min(first, count - 1)
        found.append(slice(first, max(last, first + 1)))
    return found[0], found[1]


def _sides(mask: Mask) -> Iterator[tuple[tuple[int, int], Whole]]:
    """Return the set cells with a clear neighbour, by the side (down, across) it lies on; cells counted through rows.

    At the end of the plane there is no edge: what lies beyond is not known.
    """
    width = mask.shape[1]
    below = np.flatnonzero(mask[1:] != mask[:-1])
    yield (1, 0), below[mask.reshape(-1)[below]]
    yield (-1, 0), (below + width)[~mask.reshape(-1)[below]]
    row, column = np.divmod(np.flatnonzero(mask[:, 1:] != mask[:, :-1]), max(width - 1, 1))
    beside = row * width + column
    yield (0, 1), beside[mask.reshape(-1)[beside]]
    yield (0, -1), (beside + 1)[~mask.reshape(-1)[beside]]


def _smooth(mask: Mask) -> npt.NDArray[np.int8]:
    """Return how many cells of the square round every cell are set; one more row and column all round."""
    padded = np.pad(mask, _SMOOTH + 1, mode="edge").view(np.int8)
    width = 2 * _SMOOTH + 1
    return np.ascontiguousarray(_windows(_windows(padded, width, 0), width, 1))


def _windows(values: npt.NDArray[np.int8], width: int, axis: int) -> npt.NDArray[np.int8]:
    """Return the sums of so many neighbours along an axis; 49 cells of 1 fit 8 bits."""
    lines = np.moveaxis(values, axis, 0)
    count = len(lines) - width + 1
    sums = lines[:count].copy()
    for step in range(1, width):
        sums += lines[step : step + count]
    return np.moveaxis(sums, 0, axis)


def _normals(
    smooth: npt.NDArray[np.int8], rows: Whole, columns: Whole, side: tuple[int, int]
) -> tuple[tuple[Numbers, Numbers], Numbers]:
    """Return the outward normals (right, up) at cells, and the length of edge each one's side stands for, in cells.

    The sides of cells that face right or left along an edge of length L and normal n are L·|nx| long together, those
    that face up or down L·|ny|. Counted with |nx| and |ny| once more, they give L back.
    """
    down = smooth[rows + 2, columns + 1].astype(np.float64) - smooth[rows, columns + 1]
    across = smooth[rows + 1, columns + 2].astype(np.float64) - smooth[rows + 1, columns]
    strength = np.hypot(down, across)
    flat = strength == 0
    strength[flat] = 1
    # Outwards is where the mask shrinks; rows count downwards.
    right = np.where(flat, side[1], -across / strength)
    up = np.where(flat, -side[0], down / strength)
    return (right, up), np.abs(up if side[0] else right)


def _spreads(
    areas: InkAreas, rows: Whole, columns: Whole, normal: tuple[Numbers, Numbers], sigma: float, turn: float
) -> Numbers:
    """Return the standard deviation of the shift across the edge at cells, mm."""
    if not turn:
        return np.full(len(rows), sigma)
    right, up = normal
    x = (columns + 0.5) * areas.pitch - areas.size.width / 2
    y = areas.size.height / 2 - (rows + 0.5) * areas.pitch
    return np.hypot(sigma, turn * (up * x - right * y))


def _length(squared: Squares, at: Whole, less: int) -> Numbers:
    """Return the distances at cells, less one cell or none; infinite beyond the reach."""
    found = squared.reshape(-1)[at]
    return np.where(
        found == np.iinfo(squared.dtype).max, np.inf, np.maximum(np.sqrt(found.astype(np.float64)) - less, 0)
    )


def _mean_beyond(distance: Numbers, spread: Numbers) -> Numbers:
    """Return E(d), the mean of the positive part of a normal shift of that spread less a distance, mm."""
    at = np.minimum(distance / spread, _REACH)
    mean: Numbers = np.interp(at, _AT, _BEYOND) * spread
    return mean


#: E(z) of the standard normal at even steps; read between them it is good to a millionth.
_AT = np.linspace(0, _REACH, 1025)
_BEYOND = np.array(
    [math.exp(-z * z / 2) / math.sqrt(2 * math.pi) - z * math.erfc(z / math.sqrt(2)) / 2 for z in _AT[:-1]] + [0.0]
)


def _summed(areas: InkAreas, first: int, second: int, edges: list[_Edges], table: Numbers) -> Slivers:
    """Add up both inks' edges and weigh them by what they look like among the other inks there."""
    rows, columns, white, overlap = (
        np.concatenate([getattr(edge, name) for edge in edges]) for name in ("rows", "columns", "white", "overlap")
    )
    one, other = 1 << first, 1 << second
    around = areas.states[rows, columns].astype(np.intp) & ~(one | other)
    bare = np.minimum(table[around, around | one], table[around, around | other])
    both = np.minimum(table[around | one | other, around | one], table[around | one | other, around | other])
    visible = white * bare + overlap * both
    return Slivers(
        first=first,
        second=second,
        white=float(white.sum()),
        overlap=float(overlap.sum()),
        kiss=sum(edge.kiss for edge in edges),
        visible=float(visible.sum()),
        worst=areas.worst_place(rows, columns, visible),
    )
