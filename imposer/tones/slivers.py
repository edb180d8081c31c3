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
        areas = ink_areas(planes, min(max(_CELLS * MM_PER_INCH / sigma, _COARSEST), _FINEST))
        found.append(_between(areas, first, second, passes, drift, table))
    return tuple(found)


def slivers_of_areas(
    areas: InkAreas, passes: Sequence[int], drift: Drift, differences: npt.ArrayLike
) -> tuple[Slivers, ...]:
    """Return what drift is expected to show between every two inks whose masks there are; see `expected_slivers`.

    Raises:
        ValueError: the masks, passes and differences do not fit one another.
    """
    table = check_differences(differences, len(areas.masks), len(passes))
    pairs = combinations(range(len(areas.masks)), 2)
    return tuple(_between(areas, first, second, passes, drift, table) for first, second in pairs)


def _between(areas: InkAreas, first: int, second: int, passes: Sequence[int], drift: Drift, table: Numbers) -> Slivers:
    """Return what drift is expected to show between two inks."""
    sigma, turn = (of(passes[first], passes[second]) for of in (drift.shift, drift.turning))
    return _summed(areas, first, second, _edges_between(areas, first, second, sigma, turn), table)


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


def _edges_between(areas: InkAreas, first: int, second: int, sigma: float, turn: float) -> list[_Edges]:
    """Look along the edges of each of two inks, where the other is near."""
    half = math.hypot(areas.size.width, areas.size.height) / 2
    reach = min(math.ceil(_REACH * math.hypot(sigma, turn * half) / areas.pitch) + 1, LONGEST_REACH)
    part = _shared_part(areas.masks[first], areas.masks[second], reach)
    one, other = (np.ascontiguousarray(areas.masks[ink][part]) for ink in (first, second))
    to_one, to_other = squared_distance(one & ~other, reach), squared_distance(other & ~one, reach)
    return [
        _edges_of(areas, part, (one, other), (to_one, to_other), sigma, turn),
        _edges_of(areas, part, (other, one), (to_other, to_one), sigma, turn),
    ]


def _edges_of(
    areas: InkAreas,
    part: tuple[slice, slice],
    masks: tuple[Mask, Mask],
    squares: tuple[Squares, Squares],
    sigma: float,
    turn: float,
) -> _Edges:
    """Look along the edges of the first of two inks in a part of the page; how far it is to where each lies alone."""
    (mine, theirs), (to_mine, to_theirs) = masks, squares
    sides = list(_sides(mine))
    at = np.concatenate([cells for _, cells in sides])
    beyond = np.concatenate([cells + down * mine.shape[1] + across for (down, across), cells in sides])
    side = np.repeat(np.arange(len(sides)), [len(cells) for _, cells in sides])
    far = np.iinfo(to_mine.dtype).max
    trap = np.where(theirs.reshape(-1)[beyond], to_mine.reshape(-1)[at], far)
    gap = np.where(theirs.reshape(-1)[at], far, to_theirs.reshape(-1)[at])
    near = np.flatnonzero(np.minimum(trap, gap) != far)
    at, side, trap, gap = at[near], side[near], trap[near], gap[near]
    slopes = _slopes(mine).reshape(-1)[at]
    rows, columns = np.divmod(at, mine.shape[1])
    rows, columns = rows + part[0].start, columns + part[1].start
    spread = _spreads(areas, rows, columns, slopes, side, turn, sigma) if turn else sigma
    length = _LENGTHS[side, slopes] * (areas.pitch / 2)
    traps, gaps = (_distances(far, less) * areas.pitch for less in (0, 1))
    return _Edges(
        rows=rows,
        columns=columns,
        white=_mean_beyond(traps, trap, spread) * length,
        overlap=_mean_beyond(gaps, gap, spread) * length,
        kiss=float(length[(traps <= KISS)[trap] | (gaps <= KISS)[gap]].sum()),
    )


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
    """Return the set cells with a clear neighbour, by the side it lies on; cells counted through rows.

    At the end of the plane there is no edge: what lies beyond is not known.
    """
    width = mask.shape[1]
    below = np.flatnonzero(mask[1:] != mask[:-1])
    row, column = np.divmod(np.flatnonzero(mask[:, 1:] != mask[:, :-1]), max(width - 1, 1))
    beside = row * width + column
    for side, first, step in ((0, below, width), (2, beside, 1)):
        mine = mask.reshape(-1)[first]
        yield _SIDES[side], first[mine]
        yield _SIDES[side + 1], first[~mine] + step


def _slopes(mask: Mask) -> npt.NDArray[np.int16]:
    """Return how the mask thins out round every cell, down and across, as one number: a place in `_LENGTHS`.

    Each is the difference between the counts of set cells in the squares round the two neighbours.
    """
    padded = np.pad(mask, _SMOOTH + 1, mode="edge").view(np.int8)
    counts = _windows(_windows(padded, _WIDE, 0), _WIDE, 1)
    slopes = np.subtract(counts[2:, 1:-1], counts[:-2, 1:-1], dtype=np.int16)
    slopes *= np.int16(_STEPS)
    slopes += counts[1:-1, 2:]
    slopes -= counts[1:-1, :-2]
    slopes += np.int16(_STEPS * _WIDE**2 + _WIDE**2)
    return slopes


def _windows(values: npt.NDArray[np.int8], width: int, axis: int) -> npt.NDArray[np.int8]:
    """Return the sums of so many neighbours along an axis; 49 cells of 1 fit 8 bits."""
    lines = values if axis == 0 else values.T
    count = len(lines) - width + 1
    sums = np.array(lines[:count], order="K")
    for step in range(1, width):
        sums += lines[step : step + count]
    return sums if axis == 0 else sums.T


#: Sides of a cell that an edge may lie on, down and across.
_SIDES = ((1, 0), (-1, 0), (0, 1), (0, -1))
#: Cells along the square that a slope is taken from, and how many slopes along an axis there are.
_WIDE = 2 * _SMOOTH + 1
_STEPS = 2 * _WIDE**2 + 1


def _normals() -> tuple[Numbers, Numbers]:
    """Return the outward normals, right and up, by side and slope; shape (4, slopes).

    Outwards is where the mask shrinks; rows count downwards. Where nothing slopes it is the side's own.
    """
    slopes = np.arange(-(_WIDE**2), _WIDE**2 + 1, dtype=np.float64)
    down, across = np.repeat(slopes, _STEPS), np.tile(slopes, _STEPS)
    strength = np.hypot(down, across)
    flat = strength == 0
    strength[flat] = 1
    right = [np.where(flat, side[1], -across / strength) for side in _SIDES]
    up = [np.where(flat, -side[0], down / strength) for side in _SIDES]
    return np.array(right), np.array(up)


_RIGHT, _UP = _normals()
#: The length of edge that a cell's side stands for, by side and slope, in cells. The sides of cells that face right or
#: left along an edge of length L and normal n are L·|nx| long together, those that face up or down L·|ny|. Counted with
#: |nx| and |ny| once more, they give L back.
_LENGTHS = np.abs(np.concatenate((_UP[:2], _RIGHT[2:])))


def _spreads(
    areas: InkAreas,
    rows: Whole,
    columns: Whole,
    slopes: npt.NDArray[np.int16],
    side: Whole,
    turn: float,
    sigma: float,
) -> Numbers:
    """Return the standard deviation of the shift across the edge at cells, mm."""
    right, up = _RIGHT[side, slopes], _UP[side, slopes]
    x = (columns + 0.5) * areas.pitch - areas.size.width / 2
    y = areas.size.height / 2 - (rows + 0.5) * areas.pitch
    spread: Numbers = np.hypot(sigma, turn * (up * x - right * y))
    return spread


def _distances(far: int, less: int) -> Numbers:
    """Return the distances that squares 0 … far stand for, less one cell or none; infinite for the last."""
    distances: Numbers = np.maximum(np.sqrt(np.arange(far + 1, dtype=np.float64)) - less, 0)
    distances[far] = np.inf
    return distances


def _mean_beyond(distances: Numbers, squares: Whole | Squares, spread: Numbers | float) -> Numbers:
    """Return E(d), the mean of the positive part of a normal shift of that spread less the distance, mm."""
    if isinstance(spread, float):
        # One spread for all: worked out once for every distance that there is.
        mean: Numbers = np.interp(np.minimum(distances / spread, _REACH), _AT, _BEYOND)[squares] * spread
    else:
        mean = np.interp(np.minimum(distances[squares] / spread, _REACH), _AT, _BEYOND) * spread
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
    # By all inks round an edge, worked out once for every set of them.
    around = np.arange(len(table)) & ~(one | other)
    bare = np.minimum(table[around, around | one], table[around, around | other])
    both = np.minimum(table[around | one | other, around | one], table[around | one | other, around | other])
    states = areas.states[rows, columns]
    visible = white * bare[states] + overlap * both[states]
    return Slivers(
        first=first,
        second=second,
        white=float(white.sum()),
        overlap=float(overlap.sum()),
        kiss=sum(edge.kiss for edge in edges),
        visible=float(visible.sum()),
        worst=areas.worst_place(rows, columns, visible),
    )
