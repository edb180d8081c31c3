"""How wide a stroke is at a point, from the grey of its edges.

An opening at true size says which pixels are thin to within a pixel. These probes look at some of them closely. The
width is the sum of the tones across the stroke, which an edge drawn in grey does not change, averaged along a few rows
and corrected by the stroke's slope. All points are looked at together, whichever way their strokes run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Tones

Whole = npt.NDArray[np.intp]
Numbers = npt.NDArray[np.float64]
Truths = npt.NDArray[np.bool_]

#: Rows that a probe follows a stroke to either side.
_FOLLOW = 5
#: Along these a stroke's width changes by no more than this part of it and a pixel; at a corner or a tip it does.
_STEADY = 0.35
#: Beyond its grey edge a stroke's surroundings have at most this part of its tone, or it is no stroke but a picture.
_SURROUNDINGS = 0.35
#: From here on a stroke's darkest pixel is taken for solid.
_PLAINLY_SOLID = 217


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Runs:
    """Stretches of marked pixels through points.

    Attributes:
        pixels: How many they are.
        width: The width that their tone makes, pixels.
        middle: The place of their middle on the axis that they are looked at along, pixels.
        ends: Whether both ends are clear.
    """

    pixels: Whole
    width: Numbers
    middle: Numbers
    ends: Truths

    def part(self, some: slice) -> _Runs:
        """Return those of some points."""
        return _Runs(pixels=self.pixels[some], width=self.width[some], middle=self.middle[some], ends=self.ends[some])


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

    def glance(self, rows: Whole, columns: Whole) -> tuple[Truths, Truths]:
        """Tell which points lie on something narrow, and whether it is narrower across than down."""
        across = np.arange(2 * len(rows)) < len(rows)
        runs = self._runs(np.tile(rows, 2), np.tile(columns, 2), across)
        wide, high = np.where(runs.ends, runs.width, np.inf).reshape(2, -1)
        return np.minimum(wide, high) < self._widest, wide <= high

    def probe(self, rows: Whole, columns: Whole, across: Truths) -> Probed:
        """Return the widths of the strokes that run through points, which are narrower across or down."""
        if not len(rows):
            nothing = np.empty(0)
            return Probed(nothing, nothing, nothing)
        # Followed both ways from where they are darkest.
        found = [self._step(rows, columns, across)]
        both, way = np.tile(across, 2), np.repeat((1, -1), len(rows))
        rows, columns = (np.tile(at, 2) for at in self._onto(found[0], rows, columns, across))
        ways: list[_Runs] = []
        for _ in range(_FOLLOW):
            rows, columns = np.where(both, rows + way, rows), np.where(both, columns, columns + way)
            ways.append(self._step(rows, columns, both))
            rows, columns = self._onto(ways[-1], rows, columns, both)
        before, after = ([one.part(half) for one in ways] for half in (slice(len(across), None), slice(len(across))))
        return _summarise([*before[::-1], *found, *after])

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

    def _step(self, rows: Whole, columns: Whole, across: Truths) -> _Runs:
        """Weigh the runs at points, each moved to the most marked of three neighbours across its stroke."""
        side = np.array((0, -1, 1))[:, None]
        around = (rows + side * ~across, columns + side * across)
        tones = self._tones[self._inside(*around)]
        best = tones.argmin(axis=0) if self._inverted else tones.argmax(axis=0)
        by = side[best, 0]
        return self._runs(*self._inside(rows + by * ~across, columns + by * across), across)

    def _onto(self, runs: _Runs, rows: Whole, columns: Whole, across: Truths) -> tuple[Whole, Whole]:
        """Move points to the middle of the runs that were found at them, across their strokes."""
        middle = np.floor(runs.middle + 0.5).astype(np.intp)
        return self._inside(np.where(runs.ends & ~across, middle, rows), np.where(runs.ends & across, middle, columns))

    def _inside(self, rows: Whole, columns: Whole) -> tuple[Whole, Whole]:
        """Return places that lie on the plane, the nearest for those beyond."""
        height, width = self._tones.shape
        return np.minimum(np.maximum(rows, 0), height - 1), np.minimum(np.maximum(columns, 0), width - 1)

    def _runs(self, rows: Whole, columns: Whole, across: Truths) -> _Runs:
        """Look through each point along one axis."""
        reach = self._reach
        steps = np.arange(-reach, reach + 1)
        line = self._tones[
            self._inside(rows[:, None] + steps * ~across[:, None], columns[:, None] + steps * across[:, None])
        ]
        if self._inverted:
            line = np.invert(line)
        marked = line >= self._least
        # A run that goes on to the end of what is looked at does not end: there it is cut, and told by its length.
        marked[:, 0] = marked[:, -1] = False
        after, before = marked[:, reach:].argmin(axis=1), marked[:, reach::-1].argmin(axis=1)
        first, last = reach - before + 1, reach + after - 1
        inside = (before > 0) & (first >= 2) & (last <= 2 * reach - 2)
        first, last = (np.minimum(np.maximum(at, 2), 2 * reach - 2) for at in (first, last))
        return self._measure(line, first, last, inside, np.where(across, columns, rows))

    def _measure(self, line: Tones, first: Whole, last: Whole, inside: Truths, at: Whole) -> _Runs:
        """Weigh runs first … last of lines of tones whose middles lie at given places."""
        each = np.arange(len(line))
        pixels = np.maximum(last - first + 1, 1)
        places = np.arange(line.shape[1])
        within = (places >= first[:, None]) & (places <= last[:, None])
        own = line * within
        darkest = own.max(axis=1)
        plateau = self._plateau(own, pixels, darkest)
        # The ground is no part of the stroke: a gap in a solid held to 70 % has sides that are not wholly dark.
        fringe = line[each, first - 1].astype(np.int32) + line[each, last + 1]
        one, other = line[each, first - 2], line[each, last + 2]
        beyond = np.maximum(one, other)
        ground = (one.astype(np.float64) + other) / 2
        weight = own.sum(axis=1, dtype=np.int32) + fringe - ground * (pixels + 2)
        return _Runs(
            pixels=pixels,
            width=weight / np.maximum(plateau - ground, 1),
            middle=at + (first + last) / 2 - self._reach,
            ends=inside & (beyond <= _SURROUNDINGS * darkest),
        )

    def _plateau(self, own: Tones, pixels: Whole, darkest: Tones) -> Numbers:
        """Return the tone that a stroke has where it covers a pixel wholly; `own` holds the tones of the run alone.

        That is its own tone if that is plainly a tint's, two neighbours being alike. A hair's tone is grey because it
        covers no pixel wholly, so it is weighed as solid.
        """
        plateau = np.full(len(own), 255.0)
        maybe = np.flatnonzero((darkest < _PLAINLY_SOLID) & (pixels >= 3))
        if len(maybe):
            tone = np.maximum(darkest[maybe], 1)
            tint = (own[maybe] >= 0.9 * tone[:, None]).sum(axis=1) >= 2
            plateau[maybe[tint]] = tone[tint]
        return plateau


def _summarise(followed: list[_Runs]) -> Probed:
    """Return mean width corrected by slope, mean crossing and pixels, of runs found side by side along strokes."""
    widths, pixels, middles, valid = (
        np.array([getattr(runs, name) for runs in followed]) for name in ("width", "pixels", "middle", "ends")
    )
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
    return Probed(np.where(steady, width / np.hypot(1, slope), np.inf), width, across)
