"""How inks shift against one another from sheet to sheet: standard deviations, and shifts drawn from them.

Two drums of one pass shift little; two passes shift more, because the sheet goes in anew. Every pass has a shift of its
own and every drum a small one on top; both are normal and independent. What shows is how inks lie against one another,
so the first ink is the frame and stays.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

#: Draws are held to this many standard deviations: one in 16 000 is beyond, and planes need a margin for them.
FURTHEST = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """Standard deviations of how two inks shift against one another, along each axis.

    A tolerance such as "± 0.5 mm, nearly always" is two of them.

    Attributes:
        same_pass: Two inks of one pass, mm.
        between_passes: Two inks of different passes, mm; no less than the other.
        turn: How two passes turn against one another about the page's middle, radians.
    """

    same_pass: float
    between_passes: float
    turn: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.same_pass <= self.between_passes or self.turn < 0:
            raise ValueError(f"{self} does not grow from one pass to several")

    def shift(self, first_pass: int, second_pass: int) -> float:
        """Return the standard deviation of the shift between inks of two passes, mm."""
        return self.same_pass if first_pass == second_pass else self.between_passes

    def turning(self, first_pass: int, second_pass: int) -> float:
        """Return the standard deviation of the turn between inks of two passes, radians."""
        return 0.0 if first_pass == second_pass else self.turn


def draw_shifts(drift: Drift, passes: Sequence[int], trials: int, rng: np.random.Generator) -> npt.NDArray[np.float64]:
    """Draw shifts of the inks of a page against its first ink.

    Args:
        drift: The machine's drift.
        passes: The pass that prints each ink.
        trials: How many sheets.
        rng: Where the numbers come from.

    Returns:
        Right, up (mm) and turn counter-clockwise (radians); shape (trials, inks, 3).
    """
    numbers = sorted(set(passes))
    own = np.array([numbers.index(number) for number in passes])
    by_drum = drift.same_pass / math.sqrt(2)
    by_pass = math.sqrt((drift.between_passes**2 - drift.same_pass**2) / 2)
    spread = np.array((by_pass, by_pass, drift.turn / math.sqrt(2)))
    of_passes = _normal(rng, (trials, len(numbers), 3)) * spread
    shifts = of_passes[:, own] + _normal(rng, (trials, len(own), 3)) * np.array((by_drum, by_drum, 0.0))
    against_first: npt.NDArray[np.float64] = shifts - shifts[:, :1]
    return against_first


def _normal(rng: np.random.Generator, shape: tuple[int, ...]) -> npt.NDArray[np.float64]:
    # Two draws are subtracted from two; each held to this keeps their difference within the furthest.
    return np.clip(rng.standard_normal(shape), -FURTHEST / math.sqrt(2), FURTHEST / math.sqrt(2))
