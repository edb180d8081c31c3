"""What a stroke is like at a point: how wide, from the grey of its edges, and how far it runs.

An opening at true size says which pixels are thin to within a pixel. These probes look at some of them closely. The
width is the sum of the tones across the stroke, which an edge drawn in grey does not change, averaged along a few rows
and corrected by the stroke's slope. The extent is found by flooding a window of 64 × 64 bits: a dot or a corner ends
within it, a stroke does not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.tones.packed import WORD, Packed
from imposer.tones.plane import Tones

Whole = npt.NDArray[np.intp]
Numbers = npt.NDArray[np.float64]

#: Rows that a probe follows a stroke to either side.
_FOLLOW = 5
#: Along these a stroke's width changes by no more than this part of it and a pixel; at a corner or a tip it does.
_STEADY = 0.35
#: Beyond its grey edge a stroke's surroundings have at most this part of its tone, or it is no stroke but a picture.
_SURROUNDINGS = 0.35
#: From here on a stroke's darkest pixel is taken for solid.
_PLAINLY_SOLID = 217
#: Half the window of a flood, pixels.
HALF_WINDOW = WORD // 2 - 1


@dataclass(frozen=True, slots=True, eq=False)
class Probed:
    """Widths at points.

    Attributes:
        width: Width of the stroke, pixels; infinite where the point lies on none that is narrow and steady.
        crossing: The same straight across or down, whichever the probe went.
        pixels: The marked pixels that were counted for it.
    """

    width: Numbers
    crossing: Numbers
    pixels: Numbers


@dataclass(frozen=True, slots=True, eq=False)
class _Runs:
    """Stretches of marked pixels through points: count, the tone's width, the middle, whether both ends are clear."""

    pixels: Whole
    width: Numbers
    middle: Numbers
    ends: npt.NDArray[np.bool_]


class Prober:
    """Measures widths on one plane.

    Args:
        tones: The tones; a plane whose gaps are to be measured is turned over by `inverted`.
        least: From which tone on a pixel is marked (after the turning).
        limit: Strokes wider than this need not be measured, pixels.
        inverted: Measure the light between the dark.
    """

    def __init__(self, tones: Tones, least: int, limit: float, *, inverted: bool) -> None:
        self._tones, self._least, self._inverted = tones, least, inverted
        # Across its narrower axis a sloping stroke looks wider by at most the diagonal of a square.
        self._widest = math.sqrt(2) * (limit + 1)
        self._reach = math.ceil(self._widest) + 3

    def glance(self, rows: Whole, columns: Whole) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
        """Tell which points lie on something narrow, and whether it is narrower across than down."""
        wide, high = (
            np.where(runs.ends, runs.width, np.inf)
            for runs in (self._runs(rows, columns, across=True), self._runs(rows, columns, across=False))
        )
        return np.minimum(wide, high) < self._widest, wide <= high

    def probe(self, rows: Whole, columns: Whole, across: npt.NDArray[np.bool_]) -> Probed:
        """Return the widths of the strokes that run through points, which are narrower across or down."""
        found = np.full((3, len(rows)), np.inf)
        for along in (True, False):
            chosen = np.flatnonzero(across == along)
            if len(chosen):
                found[:, chosen] = self._follow(rows[chosen], columns[chosen], across=along)
        return Probed(*found)

    def most_marked(self, rows: Whole, columns: Whole) -> tuple[Whole, Whole]:
        """Return of squares of 2 × 2 pixels, given by their first, the one that is marked most."""
        height, width = self._tones.shape
        down, across = (
            np.minimum(at[:, None] + step, last)
            for at, step, last in (
                (rows, np.array((0, 0, 1, 1)), height - 1),
                (columns, np.array((0, 1, 0, 1)), width - 1),
            )
        )
        tones = self._tones[down, across]
        best = (tones.argmin(axis=1) if self._inverted else tones.argmax(axis=1))[:, None]
        return np.take_along_axis(down, best, 1)[:, 0], np.take_along_axis(across, best, 1)[:, 0]

    def _runs(self, rows: Whole, columns: Whole, *, across: bool) -> _Runs:
        """Look along one axis through each point."""
        reach, (height, width) = self._reach, self._tones.shape
        steps = np.arange(-reach, reach + 1)
        if across:
            line = self._tones[rows[:, None], np.clip(columns[:, None] + steps, 0, width - 1)]
        else:
            line = self._tones[np.clip(rows[:, None] + steps, 0, height - 1), columns[:, None]]
        if self._inverted:
            line = 255 - line
        marked = line >= self._least
        after = np.logical_and.accumulate(marked[:, reach:], axis=1).sum(axis=1)
        before = np.logical_and.accumulate(marked[:, reach::-1], axis=1).sum(axis=1)
        first, last = reach - before + 1, reach + after - 1
        inside = (before > 0) & (first >= 2) & (last <= 2 * reach - 2)
        first, last = np.clip(first, 2, 2 * reach - 2), np.clip(last, 2, 2 * reach - 2)
        return self._measure(line, first, last, inside)

    def _measure(self, line: Tones, first: Whole, last: Whole, inside: npt.NDArray[np.bool_]) -> _Runs:
        """Weigh runs first … last of lines of tones."""
        each = np.arange(len(line))
        sums = np.zeros((len(line), line.shape[1] + 1), dtype=np.int32)
        np.cumsum(line, axis=1, out=sums[:, 1:])
        pixels = np.maximum(last - first + 1, 1)
        places = np.arange(line.shape[1])
        within = (places >= first[:, None]) & (places <= last[:, None])
        darkest = np.where(within, line, 0).max(axis=1)
        plateau = self._plateau(within, line, darkest)
        # The ground is no part of the stroke: a gap in a solid held to 70 % has sides that are not wholly dark.
        one, other = line[each, first - 2], line[each, last + 2]
        beyond = np.maximum(one, other)
        ground = (one.astype(np.float64) + other) / 2
        weight = sums[each, last + 2] - sums[each, first - 1] - ground * (pixels + 2)
        return _Runs(
            pixels=pixels,
            width=weight / np.maximum(plateau - ground, 1),
            middle=(first + last) / 2 - self._reach,
            ends=inside & (beyond <= _SURROUNDINGS * darkest),
        )

    def _plateau(self, within: npt.NDArray[np.bool_], line: Tones, darkest: Tones) -> Numbers:
        """Return the tone that a stroke has where it covers a pixel wholly.

        That is its own tone if that is plainly a tint's, two neighbours being alike. A hair's tone is grey because it
        covers no pixel wholly, so it is weighed as solid.
        """
        alike = (within & (line >= 0.9 * darkest[:, None])).sum(axis=1)
        tint = (alike >= 2) & (within.sum(axis=1) >= 3) & (darkest < _PLAINLY_SOLID)
        return np.where(tint, np.maximum(darkest, 1), 255).astype(np.float64)

    def _centred(self, rows: Whole, columns: Whole, *, across: bool) -> tuple[Whole, Whole]:
        """Move points to the most marked of three neighbours across the stroke."""
        steps = np.array((0, -1, 1))
        height, width = self._tones.shape
        if across:
            columns = np.clip(columns[:, None] + steps, 0, width - 1)
            rows = np.broadcast_to(rows[:, None], columns.shape)
        else:
            rows = np.clip(rows[:, None] + steps, 0, height - 1)
            columns = np.broadcast_to(columns[:, None], rows.shape)
        tones = self._tones[rows, columns]
        best = (tones.argmin(axis=1) if self._inverted else tones.argmax(axis=1))[:, None]
        return np.take_along_axis(rows, best, 1)[:, 0], np.take_along_axis(columns, best, 1)[:, 0]

    def _follow(self, rows: Whole, columns: Whole, *, across: bool) -> tuple[Numbers, Numbers, Numbers]:
        """Return mean width, crossing and pixels along strokes that are narrowest along one axis."""
        found = []
        along, across_them = (rows, columns) if across else (columns, rows)
        height, width = self._tones.shape
        last_along, last_across = (height - 1, width - 1) if across else (width - 1, height - 1)
        for direction in (-1, 1):
            at = across_them
            for step in range(0 if direction > 0 else 1, _FOLLOW + 1):
                line = np.clip(along + direction * step, 0, last_along)
                if across:
                    _, at = self._centred(line, at, across=True)
                    runs = self._runs(line, at, across=True)
                else:
                    at, _ = self._centred(at, line, across=False)
                    runs = self._runs(at, line, across=False)
                found.append((direction * step, runs.width, runs.pixels, at + runs.middle, runs.ends))
                at = np.where(runs.ends, np.clip(np.floor(at + runs.middle + 0.5).astype(np.intp), 0, last_across), at)
        found.sort(key=lambda one: one[0])
        _, widths, pixels, middles, valid = zip(*found, strict=True)
        return _summarise(np.array(widths), np.array(pixels), np.array(middles), np.array(valid))


def _summarise(
    widths: Numbers, pixels: Numbers, middles: Numbers, valid: npt.NDArray[np.bool_]
) -> tuple[Numbers, Numbers, Numbers]:
    """Return mean width corrected by slope, mean crossing and pixels; arrays are (rows followed, points)."""
    steps = np.arange(-_FOLLOW, _FOLLOW + 1)[:, None] * np.ones_like(widths)
    count = np.maximum(valid.sum(axis=0), 1)
    mean_step, mean_middle, width, across = (
        np.where(valid, v, 0).sum(axis=0) / count for v in (steps, middles, widths, pixels)
    )
    spread = np.where(valid, (steps - mean_step) ** 2, 0).sum(axis=0)
    lean = np.where(valid, (steps - mean_step) * (middles - mean_middle), 0).sum(axis=0)
    slope = lean / np.maximum(spread, 1)
    change = np.where(valid, widths, 0).max(axis=0) - np.where(valid, widths, np.inf).min(axis=0)
    # Two rows may be missing to either side: a hairline's grey has breaks, and other strokes cross it.
    steady = (valid[:_FOLLOW].sum(axis=0) >= _FOLLOW - 2) & (valid[_FOLLOW + 1 :].sum(axis=0) >= _FOLLOW - 2)
    steady &= change <= _STEADY * width + 1
    return np.where(steady, width / np.hypot(1, slope), np.inf), width, across


def extents(marks: Packed, rows: Whole, columns: Whole) -> npt.NDArray[np.intp]:
    """Return the connected extent of the marks round points: first row, first column, last row, last column.

    Flooded within 31 pixels of the point; the margin must be that high, and the marks clear in it.
    """
    window = _windows(marks.words, rows + marks.margin, columns + WORD)
    flood = np.zeros_like(window)
    flood[:, HALF_WINDOW] = window[:, HALF_WINDOW] & (np.uint64(1) << np.uint64(HALF_WINDOW))
    while True:
        grown = flood | (flood << np.uint64(1)) | (flood >> np.uint64(1))
        grown[:, 1:] |= grown[:, :-1].copy()
        grown[:, :-1] |= grown[:, 1:].copy()
        grown &= window
        if np.array_equal(grown, flood):
            break
        flood = grown
    has_row = flood != 0
    joined = np.bitwise_or.reduce(flood, axis=1)
    has_column = np.unpackbits(joined.astype("<u8")[:, None].view(np.uint8), axis=1, bitorder="little") != 0
    sides = [(has_row, rows), (has_column, columns)]
    firsts = [at - HALF_WINDOW + has.argmax(axis=1) for has, at in sides]
    lasts = [at - HALF_WINDOW + has.shape[1] - 1 - has[:, ::-1].argmax(axis=1) for has, at in sides]
    return np.stack((*firsts, *lasts))


def _windows(words: npt.NDArray[np.uint64], rows: Whole, columns: Whole) -> npt.NDArray[np.uint64]:
    """Return 63 rows of 64 bits round points, the point at bit 31 of row 31."""
    flat, stride = words.reshape(-1), words.shape[1]
    at = (rows[:, None] + np.arange(-HALF_WINDOW, HALF_WINDOW + 1)) * stride * WORD + (columns - HALF_WINDOW)[:, None]
    whole, part = np.divmod(at, WORD)
    low = flat[whole] >> part.astype(np.uint64)
    high = flat[np.minimum(whole + 1, len(flat) - 1)] << ((WORD - part) % WORD).astype(np.uint64)
    windows: npt.NDArray[np.uint64] = np.where(part == 0, low, low | high)
    return windows
