"""A sketch of a page: its tones in cells of about 2 mm, small enough to travel in a master, sharp enough to know it by.

Tones go in, a small gray picture comes out; two sketches of one page agree cell by cell, and where they do not, the
turn and the shift that would make them agree are found. Cells are true means over their area, so a shift of half a
millimetre shows in them as plainly as it would in pixels. Arrays, no files.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box, Size, Turn

Tones = npt.NDArray[np.uint8]
Means = npt.NDArray[np.float32]

_Number = TypeVar("_Number", np.float32, np.uint8)

#: Width of a cell, mm; and no page has fewer cells each way than this.
CELL, LEAST_CELLS = 2.0, 24

#: A cell that differs by more than this much of 255, beyond what its neighbours explain, differs.
SLACK = 14.0
#: Part of the range among a cell's neighbours that a hair of misplacement explains: an eighth of a cell.
_EDGE = 0.12
#: So many differing cells are a difference; fewer are the renderer's.
LEAST_DIFFERING = 2
#: No cell darker than this, of 255: bare paper.
_BARE = 3


@dataclass(frozen=True, slots=True)
class Sketch:
    """A small gray picture of a page's trim, upright."""

    columns: int
    rows: int
    #: Mean tones, the top row first: 0 = bare paper, 255 = full tone.
    tones: bytes = field(repr=False)

    @property
    def means(self) -> Means:
        """The cells as (rows, columns)."""
        return np.frombuffer(self.tones, np.uint8).reshape(self.rows, self.columns).astype(np.float32)

    @property
    def bare(self) -> bool:
        """Whether no cell holds any ink to speak of."""
        return max(self.tones, default=0) < _BARE


def cells_of(trim: Size) -> tuple[int, int]:
    """Return the columns and rows of the sketch of a page.

    >>> cells_of(Size(148, 210)), cells_of(Size(10, 14))
    ((74, 105), (24, 24))
    """
    return max(LEAST_CELLS, round(trim.width / CELL)), max(LEAST_CELLS, round(trim.height / CELL))


def sketch_of(tones: Tones, trim: Size) -> Sketch:
    """Return the sketch of a page's tones that fill its trim."""
    columns, rows = cells_of(trim)
    height, width = tones.shape
    means = area_means(tones, (0.0, 0.0, float(width), float(height)), columns, rows)
    return Sketch(columns, rows, np.rint(means).astype(np.uint8).tobytes())


def area_means(tones: Tones, window: tuple[float, float, float, float], columns: int, rows: int) -> Means:
    """Return the means of equal cells of a window, exact to parts of pixels; beyond the tones lies bare paper.

    Args:
        tones: (height, width), the top row first.
        window: left, top, right, bottom in pixels.
        columns: cells across.
        rows: cells down.
    """
    left, top, right, bottom = window
    first_row, first_column = max(0, int(top) - 1), max(0, int(left) - 1)
    part = tones[first_row : max(0, int(bottom) + 2), first_column : max(0, int(right) + 2)]
    lines = _summed(part, top - first_row, bottom - first_row, rows)
    cells = _summed(np.ascontiguousarray(lines.T), left - first_column, right - first_column, columns)
    return np.ascontiguousarray(cells.T) / np.float32((bottom - top) / rows * (right - left) / columns)


def _summed(lines: npt.NDArray[Any], first: float, last: float, parts: int) -> Means:
    """Return the sums of lines over equal parts of first … last; a line that is cut counts by the part that is in.

    Part by part and not by a matrix product: libraries share that out over threads that wait for one another.
    """
    edges = np.linspace(first, last, parts + 1).clip(0, len(lines))
    sums = np.zeros((parts, *lines.shape[1:]), np.float32)
    if not len(lines):
        return sums
    whole = np.minimum(edges.astype(np.intp), len(lines) - 1)
    for part, total in enumerate(sums):
        np.sum(lines[whole[part] : whole[part + 1]], axis=0, dtype=np.float32, out=total)
    cut = lines[whole] * (edges - whole).astype(np.float32)[:, None]
    return sums + np.diff(cut, axis=0)


def differing(one: Means, other: Means, seen: npt.NDArray[np.bool_]) -> int:
    """Return in how many cells two pictures differ by more than a hair of misplacement explains.

    `seen` are the cells that count; the rest may be covered by a neighbour.
    """
    explained = SLACK + _EDGE * np.maximum(ranges(one), ranges(other))
    return int(((np.abs(one - other) > explained) & seen).sum())


def agree(one: Means, other: Means, seen: npt.NDArray[np.bool_]) -> bool:
    """Tell whether two pictures are of one page, as they lie."""
    return differing(one, other, seen) < LEAST_DIFFERING


def misfit(one: Means, other: Means, seen: npt.NDArray[np.bool_]) -> float:
    """Return the sum of squares of the differences over the cells that count."""
    return float((((one - other) ** 2) * seen).sum())


def ranges(cells: npt.NDArray[_Number]) -> npt.NDArray[_Number]:
    """Return the range of values among each cell and its eight neighbours; the edge counts twice."""
    high, low = cells, cells
    for axis in (0, 1):
        high, low = _neighbours(high, axis, np.maximum), _neighbours(low, axis, np.minimum)
    return high - low


def _neighbours(cells: npt.NDArray[_Number], axis: int, choose: np.ufunc) -> npt.NDArray[_Number]:
    lines = cells if axis == 0 else cells.T
    chosen = lines.copy()
    choose(chosen[1:], lines[:-1], out=chosen[1:])
    choose(chosen[:-1], lines[1:], out=chosen[:-1])
    return chosen if axis == 0 else chosen.T


def seen_cells(sketch_size: tuple[int, int], trim: Box, clip: Box, turn: Turn, inset: float) -> npt.NDArray[np.bool_]:
    """Return which cells of an upright page print in full and are nobody else's: inside trim and clip.

    Args:
        sketch_size: columns and rows of the sketch.
        trim: the page's trim on the sheet.
        clip: what of its art may print, on the sheet.
        turn: the page's turn on the sheet.
        inset: how far from the edges of the clip neighbours and marks may reach in, mm.
    """
    columns, rows = sketch_size
    lying = (columns, rows) if turn in (0, 180) else (rows, columns)
    xs = np.linspace(trim.x0, trim.x1, lying[0] + 1)
    ys = np.linspace(trim.y1, trim.y0, lying[1] + 1)
    across = (xs[:-1] >= clip.x0 + inset) & (xs[1:] <= clip.x1 - inset)
    down = (ys[:-1] <= clip.y1 - inset) & (ys[1:] >= clip.y0 + inset)
    seen: npt.NDArray[np.bool_] = np.rot90(down[:, None] & across[None, :], -turn // 90)
    return seen
