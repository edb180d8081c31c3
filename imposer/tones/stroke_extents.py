"""How far marks run from a point: a dot or a corner ends within a few pixels of it, a stroke does not.

Windows of 64 bits a row are cut out round the points and flooded from their middles, all at once.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from imposer.tones.packed import WORD, Packed, Words

Whole = npt.NDArray[np.intp]

#: Half the window of a flood, pixels.
HALF_WINDOW = WORD // 2 - 1
#: A flood that runs to its end is looked at after every so many steps.
_STEPS = 8
_ONE = np.uint64(1)


def are_long(marks: Packed, rows: Whole, columns: Whole, length: float) -> npt.NDArray[np.bool_]:
    """Tell round which points the marks run that far, in pixels from corner to corner of the box that holds them.

    Args:
        marks: The marks; the margin must be 32 rows high, and clear.
        rows: Row of each point.
        columns: Column of each.
        length: How far; not more than the window has on one side.
    """
    half = min(math.ceil(length), HALF_WINDOW)
    window = _windows(marks, rows, columns, half)
    flood, before = _flooded(window, _middles(window), half)
    long = _lengths(_sides(flood)) >= length
    # What winds still grows after so many steps, and is not long yet.
    winding = np.flatnonzero(~long & (flood != before).any(axis=0))
    if len(winding):
        long[winding] = _lengths(extents(marks, rows[winding], columns[winding])) >= length
    return long


def extents(marks: Packed, rows: Whole, columns: Whole) -> npt.NDArray[np.intp]:
    """Return the connected extent of the marks round points: first row, first column, last row, last column.

    Flooded within 31 pixels of the point; the margin must be that high, and the marks clear in it.
    """
    window = _windows(marks, rows, columns, HALF_WINDOW)
    before, flood = window, _middles(window)
    while not np.array_equal(before, flood):
        before = flood
        flood, _ = _flooded(window, flood, _STEPS)
    return _sides(flood) + np.stack((rows, columns, rows, columns))


def _lengths(sides: npt.NDArray[np.intp]) -> npt.NDArray[np.float64]:
    """Return the lengths of boxes, corner to corner."""
    top, left, bottom, right = sides
    lengths: npt.NDArray[np.float64] = np.hypot(bottom - top + 1, right - left + 1)
    return lengths


def _windows(marks: Packed, rows: Whole, columns: Whole, half: int) -> Words:
    """Return rows of 64 bits round points, so many above and below: shape (rows, points), the point at bit 31."""
    flat, stride = marks.words.reshape(-1), marks.words.shape[1]
    above = np.arange(-half, half + 1)[:, None] + marks.margin
    whole, part = np.divmod((rows + above) * stride * WORD + (columns + WORD - HALF_WINDOW), WORD)
    low = flat[whole] >> part.astype(np.uint64)
    high = flat[np.minimum(whole + 1, len(flat) - 1)] << ((WORD - part) % WORD).astype(np.uint64)
    windows: Words = np.where(part == 0, low, low | high)
    return windows


def _middles(window: Words) -> Words:
    """Return the points alone, where they are marked."""
    points = np.zeros_like(window)
    middle = len(window) // 2
    points[middle] = window[middle] & (_ONE << np.uint64(HALF_WINDOW))
    return points


def _flooded(window: Words, flood: Words, steps: int) -> tuple[Words, Words]:
    """Return what floods reach within the marks in so many steps, and in one less."""
    before = flood
    for _ in range(steps):
        before = flood
        wide = flood << _ONE
        wide |= flood >> _ONE
        wide |= flood
        flood = wide.copy()
        flood[1:] |= wide[:-1]
        flood[:-1] |= wide[1:]
        flood &= window
    return flood, before


def _sides(flood: Words) -> npt.NDArray[np.intp]:
    """Return the first row, first column, last row and last column of floods, counted from their middles."""
    has_row = np.ascontiguousarray((flood != 0).T)
    joined = np.bitwise_or.reduce(flood, axis=0)
    has_column = np.unpackbits(joined.astype("<u8")[:, None].view(np.uint8), axis=1, bitorder="little") != 0
    sides = ((has_row, len(flood) // 2), (has_column, HALF_WINDOW))
    firsts = [has.argmax(axis=1) - middle for has, middle in sides]
    lasts = [has.shape[1] - 1 - has[:, ::-1].argmax(axis=1) - middle for has, middle in sides]
    return np.stack((*firsts, *lasts))
