"""How far every pixel lies from the nearest pixel of a mask, exact up to a reach.

A distance beyond the reach is not wanted here, because a shift that far does not happen; so two passes with a bounded
number of steps do what a full distance transform would: first along the columns, then the parabolas of a row.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Mask

#: Squares of distances are kept in 16 bits.
LONGEST_REACH = 180
_FAR = np.uint16(65535)


def squared_distance(mask: Mask, reach: int) -> npt.NDArray[np.uint16]:
    """Return the square of the distance, in pixels, from pixel to pixel; 65535 where it is more than `reach`.

    >>> squared_distance(np.array([[1, 0, 0, 0, 0]], dtype=bool), 3).tolist()
    [[0, 1, 4, 9, 65535]]

    Raises:
        ValueError: the reach is beyond what 16 bits hold.
    """
    if not 0 <= reach <= LONGEST_REACH:
        raise ValueError(f"a reach of {reach} pixels is not within 0 … {LONGEST_REACH}")
    along = _along_columns(mask, reach)
    nearest = along.copy()
    width = mask.shape[1]
    sums = np.empty_like(along)
    for step in range(1, min(reach, width - 1) + 1):
        part = sums[:, step:]
        np.add(along[:, : width - step], np.uint16(step * step), out=part)
        np.minimum(nearest[:, step:], part, out=nearest[:, step:])
        np.add(along[:, step:], np.uint16(step * step), out=part)
        np.minimum(nearest[:, : width - step], part, out=nearest[:, : width - step])
    nearest[nearest > reach * reach] = _FAR
    return nearest


def _along_columns(mask: Mask, reach: int) -> npt.NDArray[np.uint16]:
    """Return the squared distance within the column; beyond the reach a square that no sum can bring back."""
    rows = np.arange(len(mask), dtype=np.int32)[:, None]
    beyond = np.int32(len(mask) + reach + 1)
    above = np.maximum.accumulate(np.where(mask, rows, -beyond), axis=0)
    below = np.minimum.accumulate(np.where(mask, rows, len(mask) + beyond)[::-1], axis=0)[::-1]
    near = np.minimum(np.minimum(rows - above, below - rows), reach + 1)
    return (near * near).astype(np.uint16)
