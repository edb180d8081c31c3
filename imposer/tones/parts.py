"""Connected parts of a mask: how many pixels each has and the box that holds it.

Worked on runs and not on pixels: each row's stretches of set pixels are found at once, those of neighbouring rows that
touch are joined, and the least label travels over the joints in a few rounds. Meant for reduced planes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Mask

Whole = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """The connected parts of a mask, in the order of their first pixel from the top; a diagonal touch joins.

    Attributes:
        pixels: Pixels of each part.
        top: First row of each.
        left: First column.
        bottom: Row after the last.
        right: Column after the last.
        labels: Which part every pixel belongs to, counted from 0; -1 where the mask is clear. Shape of the mask, int32.
    """

    pixels: Whole
    top: Whole
    left: Whole
    bottom: Whole
    right: Whole
    labels: npt.NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.pixels)


def find_parts(mask: Mask) -> Parts:
    """Return the connected parts of a mask, shape (height, width).

    >>> parts = find_parts(np.array([[1, 1, 0], [0, 0, 0], [0, 1, 1]], dtype=bool))
    >>> parts.pixels.tolist(), parts.left.tolist(), parts.right.tolist()
    ([2, 2], [0, 1], [2, 3])
    """
    row, start, stop = _runs(mask)
    root = _join(len(row), *_touching(row, start, stop))
    _, part = np.unique(root, return_inverse=True)
    count = int(part.max(initial=-1)) + 1
    top, left = np.full(count, mask.shape[0]), np.full(count, mask.shape[1])
    bottom, right = np.zeros(count, dtype=np.intp), np.zeros(count, dtype=np.intp)
    np.minimum.at(top, part, row)
    np.minimum.at(left, part, start)
    np.maximum.at(bottom, part, row + 1)
    np.maximum.at(right, part, stop)
    pixels = np.bincount(part, weights=stop - start, minlength=count).astype(np.intp)
    labels = np.full(mask.shape, -1, dtype=np.int32)
    labels[mask] = np.repeat(part, stop - start)
    return Parts(pixels, top, left, bottom, right, labels)


def _runs(mask: Mask) -> tuple[Whole, Whole, Whole]:
    """Return row, first column and column after the last of every stretch of set pixels, row by row."""
    height, width = mask.shape
    # All rows as one, with a clear pixel before each and one behind the last: every other change begins a stretch.
    padded = np.zeros(height * (width + 1) + 1, dtype=np.bool_)
    padded[1:].reshape(height, width + 1)[:, :width] = mask
    change = np.flatnonzero(padded[1:] != padded[:-1])
    row, start = np.divmod(change[::2], width + 1)
    return row, start, change[1::2] - row * (width + 1)


def _touching(row: Whole, start: Whole, stop: Whole) -> tuple[Whole, Whole]:
    """Return the pairs of runs in neighbouring rows that touch, corners included."""
    if not len(row):
        return row, row
    # Runs are sorted by row and column, so by one number; in the row below those that touch follow one another.
    stride = int(stop.max()) + 2
    below_first = np.searchsorted(row * stride + stop, (row + 1) * stride + start, side="left")
    below_last = np.searchsorted(row * stride + start, (row + 1) * stride + stop, side="right")
    count = np.maximum(below_last - below_first, 0)
    above = np.repeat(np.arange(len(row)), count)
    within = np.arange(len(above)) - np.repeat(np.cumsum(count) - count, count)
    return above, np.repeat(below_first, count) + within


def _join(count: int, above: Whole, below: Whole) -> Whole:
    """Return for every run the least run of its part."""
    root = np.arange(count)
    while True:
        high, low = np.maximum(root[above], root[below]), np.minimum(root[above], root[below])
        apart = high != low
        if not apart.any():
            return root
        np.minimum.at(root, high[apart], low[apart])
        while not np.array_equal(root, root[root]):
            root = root[root]
