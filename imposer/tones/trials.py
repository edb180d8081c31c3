"""What drift will show on paper, tried sheet by sheet: the figure to show to people.

Each trial shifts the inks as the machine might and looks for *novel local states*. A state is the set of inks in a
place. Before anything is shifted, it is noted for every place which states occur within three standard deviations. A
state that was there before costs nothing: that is how the edge of a lone shape may move freely. White or overlap that
was not there costs its colour difference to the nearest state that was. This judges overprints, traps, outlines and
edges under a third ink alike, which the closed form of `slivers` cannot.

Planes are packed, 64 cells a word, so that a shift costs less than copying the bytes; only the few cells found to be
novel are looked at one by one. Within three standard deviations of the plane's edge nothing is judged, for what lies
beyond it is not known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.tones.drift import FURTHEST, Drift, draw_shifts
from imposer.tones.ink_areas import InkAreas, Spot, ink_areas
from imposer.tones.packed import WIDEST_DISC, WORD, Packed, Words, dilated, eroded, pack, shifted
from imposer.tones.plane import MM_PER_INCH, Mask, Plane
from imposer.tones.slivers import check_differences

Numbers = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]

#: States that occur within this many standard deviations are not new.
_LOCAL = 3.0
#: Cells an inch: a sixth of a millimetre.
_PPI = 150.0
#: Where the default numbers come from; the same job gives the same figures.
_SEED = 20_260
#: More inks have more states than a word of 16 bits tells apart.
MOST_INKS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Trials:
    """What so many sheets would show, as means.

    Attributes:
        score: Colour difference of what is new over the page's area, ΔE: the page's figure.
        spread: Standard deviation of the score from sheet to sheet.
        white: New bare paper, mm².
        overlap: New meetings of two inks or more, mm².
        worst: The 5 mm where most of it is, and how much, ΔE · mm² a sheet; None if nothing is new.
    """

    score: float
    spread: float
    white: float
    overlap: float
    worst: Spot | None


def try_registration(
    planes: Sequence[Plane],
    passes: Sequence[int],
    drift: Drift,
    differences: npt.ArrayLike,
    *,
    trials: int = 30,
    rng: np.random.Generator | None = None,
) -> Trials:
    """Return what drift will show on a page.

    Args:
        planes: One plane an ink, of one size; at most four.
        passes: The pass that prints each ink.
        drift: The machine's drift.
        differences: Colour differences between sets of inks, shape (2^k, 2^k); bit i of a place stands for ink i.
        trials: How many sheets to try.
        rng: Where the shifts come from; left out, always the same ones.

    Raises:
        ValueError: the planes, passes and differences do not fit one another.
    """
    if len(planes) > MOST_INKS:
        raise ValueError(f"{len(planes)} inks are more than the {MOST_INKS} that can be tried together")
    table = check_differences(differences, len(planes), len(passes))
    corner = math.hypot(planes[0].size.width, planes[0].size.height) / 2
    pairs = [(one, other) for one in passes for other in passes]
    spread = max(math.hypot(drift.shift(*pair), drift.turning(*pair) * corner) for pair in pairs)
    # Discs of the local reach, and shifts, must fit the margin of packed masks.
    areas = ink_areas(planes, min(_PPI, (WIDEST_DISC // 2 - 1) * 2 * MM_PER_INCH / (_LOCAL * spread)))
    page = _Page(areas, _LOCAL * spread, table)
    shifts = draw_shifts(drift, passes, trials, rng or np.random.default_rng(_SEED))
    return page.summed([page.look(shift) for shift in shifts])


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """The novel cells of one trial: places, states and costs."""

    rows: Whole
    columns: Whole
    states: Whole
    costs: Numbers


class _Page:
    """A page made ready for trials: its inks packed, what occurs where, and what a novelty costs."""

    def __init__(self, areas: InkAreas, reach: float, table: Numbers) -> None:
        self._areas = areas
        radius = max(math.ceil(reach / areas.pitch), 1)
        self._margin = max(2 * radius + 2, math.ceil(2 * FURTHEST / _LOCAL * radius) + 1)
        self._inks = [pack(mask.view(np.uint8), margin=self._margin) for mask in areas.masks]
        self._stay = [~packed.words for packed in self._inks]
        self._costs = _costs(table)
        self._local, self._new = self._look_round(radius)

    def _look_round(self, radius: int) -> tuple[npt.NDArray[np.uint16], list[Words]]:
        """Return which states occur round every cell, a bit a state, and for each state where it would be new."""
        states = self._areas.states
        local = np.zeros(states.shape, dtype=np.uint16)
        judged = eroded(pack(np.ones(states.shape, dtype=np.uint8), margin=self._margin), radius)
        new = []
        for state in range(1 << len(self._inks)):
            near = dilated(pack(_not_alone(states == state).view(np.uint8), margin=self._margin), radius)
            local |= near.unpacked().astype(np.uint16) << np.uint16(state)
            new.append(judged.words & ~near.words)
        return local, new

    def look(self, shifts: Numbers) -> _Seen:
        """Shift the inks and return what is novel."""
        moved = [
            packed.words if not shift.any() else self._moved(packed, shift)
            for packed, shift in zip(self._inks, shifts, strict=True)
        ]
        missing = [~words for words in moved]
        found = []
        for state, new in enumerate(self._new):
            hits = new.copy()
            for ink, (there, gone) in enumerate(zip(moved, missing, strict=True)):
                hits &= there if state >> ink & 1 else gone
            found.append(self._cells(hits.reshape(-1), state))
        rows, columns, states = (np.concatenate(column) for column in zip(*found, strict=True))
        return _Seen(rows, columns, states, self._costs[states, self._local[rows, columns]])

    def _cells(self, hits: Words, state: int) -> tuple[Whole, Whole, Whole]:
        """Return rows, columns and state of the cells that are set."""
        places = np.flatnonzero(hits)
        bits = np.unpackbits(hits[places].astype("<u8")[:, None].view(np.uint8), axis=1, bitorder="little")
        which, bit = np.nonzero(bits)
        rows, columns = self._inks[0].positions(places[which], bit)
        return rows, columns, np.full(len(rows), state)

    def _moved(self, packed: Packed, shift: Numbers) -> Words:
        """Return an ink shifted right and up (mm) and turned (radians)."""
        right, up, turn = (float(value) for value in shift)
        pitch = self._areas.pitch
        if turn == 0:
            return shifted(packed.words, -round(right / pitch), round(up / pitch))
        rows, words = packed.words.shape
        # A small turn is two slides: rows to the side by their height, columns up by their distance from the middle.
        y = self._areas.size.height / 2 - (np.arange(rows) - packed.margin + 0.5) * pitch
        x = (np.arange(words) - 0.5) * WORD * pitch - self._areas.size.width / 2
        aside = np.round((right - turn * y) / pitch).astype(np.intp)
        risen = np.round((up + turn * x) / pitch).astype(np.intp)
        return _slid_up(_slid_aside(packed.words, aside), risen)

    def summed(self, seen: list[_Seen]) -> Trials:
        """Return the means over all trials."""
        cell, page = self._areas.pitch**2, self._areas.size.width * self._areas.size.height
        scores = np.array([one.costs.sum() for one in seen]) * cell / page
        states = np.concatenate([one.states for one in seen])
        share = cell / len(seen)
        return Trials(
            score=float(scores.mean()),
            spread=float(scores.std()),
            white=float((states == 0).sum()) * share,
            overlap=float((np.bitwise_count(states) >= 2).sum()) * share,
            worst=self._areas.worst_place(
                np.concatenate([one.rows for one in seen]),
                np.concatenate([one.columns for one in seen]),
                np.concatenate([one.costs for one in seen]) * share,
            ),
        )


def _not_alone(mask: Mask) -> Mask:
    """Return the cells with a neighbour above, below or beside: a lone cell is the grain of an edge, not a state."""
    padded = np.pad(mask, 1)
    kept: Mask = mask & (padded[:-2, 1:-1] | padded[2:, 1:-1] | padded[1:-1, :-2] | padded[1:-1, 2:])
    return kept


def _costs(table: Numbers) -> Numbers:
    """Return the least difference of every state to those in every set of states; nothing costs nothing."""
    states = len(table)
    costs = np.full((states, 1 << states), np.inf)
    for other in range(states):
        # Sets whose highest state is `other`: those without it, and it.
        bit = 1 << other
        costs[:, bit : 2 * bit] = np.minimum(costs[:, :bit], table[:, other : other + 1])
    costs[:, 0] = 0
    return costs


def _slid_aside(words: Words, right: Whole) -> Words:
    """Return rows of bits moved to the right, each by its own count; zeros run in."""
    whole, part = np.divmod(-right, WORD)
    padded = np.pad(words, ((0, 0), (2, 3)))
    place = np.clip(np.arange(words.shape[1]) + 2 + whole[:, None], 0, padded.shape[1] - 2)
    low = np.take_along_axis(padded, place, 1) >> part[:, None].astype(np.uint64)
    high = np.take_along_axis(padded, place + 1, 1) << ((WORD - part) % WORD)[:, None].astype(np.uint64)
    return np.where(part[:, None] == 0, low, low | high)


def _slid_up(words: Words, up: Whole) -> Words:
    """Return columns of words moved up, each by its own count; zeros run in."""
    rows = np.arange(len(words))[:, None] + up
    inside = (rows >= 0) & (rows < len(words))
    return np.where(inside, np.take_along_axis(words, np.clip(rows, 0, len(words) - 1), 0), np.uint64(0))
