"""How far every pixel lies from the nearest pixel of a mask, exact up to a reach.

A distance beyond the reach is not wanted here, because a shift that far does not happen; so two passes with a bounded
number of steps do what a full distance transform would: first along the columns, then the parabolas of a row.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Mask

_Kind = TypeVar("_Kind", np.uint8, np.uint16)
Squares = npt.NDArray[np.uint8] | npt.NDArray[np.uint16]

#: Squares of distances up to here are kept in 8 bits, and up to there in 16.
SHORT_REACH, LONGEST_REACH = 10, 180
#: Rows worked at a time, to stay near the processor.
_BAND = 128


def squared_distance(mask: Mask, reach: int) -> Squares:
    """Return the square of the distance, in pixels, from pixel to pixel.

    Where it is more than `reach` the result is the greatest number of its type, which is uint8 for short reaches.

    >>> squared_distance(np.array([[1, 0, 0, 0, 0]], dtype=bool), 3).tolist()
    [[0, 1, 4, 9, 255]]

    Raises:
        ValueError: the reach is beyond what 16 bits hold.
    """
    if not 0 <= reach <= LONGEST_REACH:
        raise ValueError(f"a reach of {reach} pixels is not within 0 … {LONGEST_REACH}")
    return _squared(mask, reach, np.uint8) if reach <= SHORT_REACH else _squared(mask, reach, np.uint16)


def _squared(mask: Mask, reach: int, kind: type[_Kind]) -> npt.NDArray[_Kind]:
    rows, columns = mask.shape
    # Room beside each row, so that all of them are worked as one: what runs over a row's end is lost there.
    far = np.zeros((rows, columns + reach), dtype=np.bool_)
    far[:, :columns] = mask
    along = _along_columns(far, reach, kind)
    nearest = along.copy()
    for top in range(0, rows, _BAND):
        _spread_along_rows(along[top : top + _BAND].reshape(-1), nearest[top : top + _BAND].reshape(-1), reach, kind)
    found = np.ascontiguousarray(nearest[:, :columns])
    found[found > reach * reach] = np.iinfo(kind).max
    return found


def _spread_along_rows(along: npt.NDArray[_Kind], nearest: npt.NDArray[_Kind], reach: int, kind: type[_Kind]) -> None:
    """Lower `nearest` to the least of all parabolas of a row, each as high as `along` at its own place."""
    count = len(along)
    sums = np.empty_like(along)
    for step in range(1, min(reach, count - 1) + 1):
        np.add(along, kind(step * step), out=sums)
        np.minimum(nearest[step:], sums[: count - step], out=nearest[step:])
        np.minimum(nearest[: count - step], sums[step:], out=nearest[: count - step])


def _along_columns(mask: Mask, reach: int, kind: type[_Kind]) -> npt.NDArray[_Kind]:
    """Return the squared distance within the column; beyond the reach a square that no sum can bring back."""
    near: npt.NDArray[_Kind] = np.where(mask, kind(0), kind(reach + 1))
    step = 1
    # Doubling: after steps of 1, 2, 4 … the least over all distances up to their sum is known.
    while step <= min(reach, len(mask) - 1):
        before = near + kind(step)
        np.minimum(near[step:], before[:-step], out=near[step:])
        np.minimum(near[:-step], before[step:], out=near[:-step])
        step *= 2
    np.minimum(near, kind(reach + 1), out=near)
    return near * near
