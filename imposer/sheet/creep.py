"""Creep: how far the inner leaves of a nest push out, and so how far their art moves toward the spine. mm.

Both models are geometry, not a published table. *Flat*: a pressed fold; every leaf wrapped around the ones inside adds
one caliper, so leaf d (0 = outermost) stands out by d·t. *Round*: the folds are half circles about one centre; a
leaf loses π·r/2 in its bend and the radii differ by t, so it stands out by d·t·π/2. Measured folds lie between the two.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

from imposer.fold.model import Booklet
from imposer.units import TOLERANCE

#: Under this in all, creep is left out: it is finer than the machine's register.
NEGLIGIBLE = 0.05

CreepModel = Literal["flat", "round", "none"] | float


@dataclass(frozen=True, slots=True)
class Creep:
    """How far each leaf is moved toward the spine, mm."""

    #: The leaf that nothing of its own part lies around: what other parts around it push it out.
    outermost: float = 0.0
    #: Each leaf more than the one around it.
    step: float = 0.0

    def of(self, depth: int) -> float:
        """Return the creep of a leaf with so many of its own part around it."""
        return self.outermost + depth * self.step


def creep_of(model: CreepModel, caliper: float, deepest: int, outside: float = 0.0) -> Creep:
    """Return the creep of a part of a booklet; for its first arguments see `creep_step`.

    A total that the job states is for the whole part, whatever lies around it.

    Args:
        model: as `creep_step` has it.
        caliper: thickness of the part's paper, mm.
        deepest: depth of its innermost leaf.
        outside: thickness of the leaves of other parts that lie around it, mm.

    >>> creep_of("flat", 0.1, 3, outside=0.25)
    Creep(outermost=0.25, step=0.1)
    """
    match model:
        case "flat":
            outermost = outside
        case "round":
            outermost = outside * pi / 2
        case _:
            outermost = 0.0
    return Creep(outermost, creep_step(model, caliper, deepest))


def creep_step(model: CreepModel, caliper: float, deepest: int) -> float:
    """Return how far each leaf stands out beyond the one around it, mm.

    Args:
        model: "flat", "round", "none", or the total of the innermost leaf in mm.
        caliper: thickness of the paper, mm.
        deepest: depth of the innermost leaf (0 = nothing nests).

    >>> round(creep_step("flat", 0.13, 7) * 7, 3), round(creep_step("round", 0.1, 3) * 3, 4), creep_step(0.7, 0.1, 7)
    (0.91, 0.4712, 0.09999999999999999)
    """
    if deepest == 0 or model == "none":
        return 0.0
    match model:
        case "flat":
            return caliper
        case "round":
            return caliper * pi / 2
        case _:
            return float(model) / deepest


def deepest_leaf(booklet: Booklet) -> int:
    """Return the depth of the innermost leaf of the thickest signature."""
    return max(leaf.depth for piece in booklet.pieces for leaf in piece.leaves)


def worth_it(total: float) -> bool:
    """Tell whether a total creep is large enough to be compensated."""
    return total >= NEGLIGIBLE - TOLERANCE
