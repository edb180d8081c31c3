"""The comparison of two renderings of the same art: same place, same turn, same tone.

A renderer snaps glyphs and lines to whole pixels, and not the same way on a turned page, so such renderings are never
equal pixel by pixel. But art that lies where it should is never further off than a neighbouring pixel: each pixel lies
between the least and the greatest of the 3 × 3 pixels around it in the other picture. A wrong page, a shift by a pixel
and a half or a wrong tone fails for some per cent of the pixels; the right one for less than one in ten thousand.
"""

from __future__ import annotations

import numpy as np

#: The share of pixels that may lie outside.
SHARE = 1e-4


def matches(source, placed, slack=24, border=0):
    """Return the share of pixels of either picture, (height, width) uint8, that the other does not explain.

    `border` pixels at the edges are not judged, where a cut or a neighbour's art may run through them.
    """
    assert source.shape == placed.shape, f"{source.shape} and {placed.shape}"
    return max(_outside(source, placed, slack, border), _outside(placed, source, slack, border))


def _outside(picture, around, slack, border):
    low, high = _local(around, np.minimum), _local(around, np.maximum)
    values = picture.astype(np.int16)
    wrong = (values < low.astype(np.int16) - slack) | (values > high.astype(np.int16) + slack)
    return float(wrong[border : wrong.shape[0] - border, border : wrong.shape[1] - border].mean())


def _local(picture, choose):
    """Return the least or greatest of the 3 × 3 pixels around each pixel; the edge counts twice."""
    rows = np.pad(picture, ((1, 1), (0, 0)), mode="edge")
    rows = choose(choose(rows[:-2], rows[1:-1]), rows[2:])
    columns = np.pad(rows, ((0, 0), (1, 1)), mode="edge")
    return choose(choose(columns[:, :-2], columns[:, 1:-1]), columns[:, 2:])
