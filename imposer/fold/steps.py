"""How a piece lies after every fold: a scheme in, what is seen from above after each crease out.

Whole numbers, no lengths and no pages: who draws the steps (guide, dummy, proof) knows how wide a cell is and which
page it carries. It is a module of its own because all of them draw the same sequence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from imposer.findings import Side
from imposer.fold.creases import LyingCell, stages
from imposer.fold.model import Compass, Crease, Scheme

#: The part of the piece that moves, as seen by who folds.
Moving = Literal["left", "right", "bottom", "top"]

_OPPOSITE: dict[Compass, Compass] = {"N": "S", "S": "N", "E": "W", "W": "E"}
_FOLD_LIES: dict[Moving, Compass] = {"left": "W", "right": "E", "bottom": "S", "top": "N"}


@dataclass(frozen=True, slots=True)
class LyingPlace:
    """One place of the piece as it is now, with the cells that lie there on top of one another."""

    #: Counted from the left and from the bottom, from 0.
    x: int
    y: int
    #: From the top.
    layers: tuple[LyingCell, ...]

    @property
    def top(self) -> LyingCell:
        """The cell that is seen."""
        return self.layers[0]


@dataclass(frozen=True, slots=True)
class FoldMade:
    """A crease as who folds sees it."""

    axis: Literal["V", "H"]
    #: How many places of the piece before the fold lie left of it (axis V) or below it (axis H).
    at: int
    moves: Moving
    #: The part goes over the rest: a valley. Else it goes under: a mountain.
    over: bool

    @property
    def lies(self) -> Compass:
        """At which edge of the rest the fold is once it is made."""
        return _FOLD_LIES[self.moves]


@dataclass(frozen=True, slots=True)
class FoldState:
    """A piece after some of its folds, as seen from above."""

    #: How many folds were made; 0 is the flat piece.
    number: int
    #: The fold that led here; None for the flat piece.
    made: FoldMade | None
    #: Places across and up.
    columns: int
    rows: int
    #: By row from the bottom, each from the left.
    places: tuple[LyingPlace, ...]

    @property
    def thickest(self) -> int:
        """How many cells lie on top of one another at most."""
        return max(len(place.layers) for place in self.places)


def folding_steps(scheme: Scheme, up: Side = "front") -> tuple[FoldState, ...]:
    """Return the flat piece and how it lies after every fold.

    Args:
        scheme: grid and creases.
        up: which side of the flat piece looks up. Its back is seen as after a turn about an upright line: heads that
            point up stay up, left and right change, and what goes over from the front goes under from the back.

    >>> from imposer.fold.creases import scheme as folded
    >>> flat, half, page = folding_steps(folded(2, 2, "V1/2U H1/2U"))
    >>> (half.columns, half.rows, half.made.moves, half.made.over), (page.columns, page.rows, page.made.moves)
    ((1, 2, 'left', True), (1, 1, 'bottom'))

    Raises:
        ValueError: a fold does not fall between two cells.
    """
    states: list[FoldState] = []
    for number, stacks in enumerate(stages(scheme)):
        columns, rows = (1 + max(place[axis] for place in stacks) for axis in (0, 1))
        made = None
        if number:
            before = states[-1].columns if scheme.creases[number - 1].axis == "V" else states[-1].rows
            made = _made(scheme.creases[number - 1], scheme, before, up)
        states.append(FoldState(number, made, columns, rows, _places(stacks, columns, up)))
    return tuple(states)


def easier_side(scheme: Scheme) -> Side:
    """Return which side looks up for most folds to go over the rest; the front if both are alike.

    >>> from imposer.fold.creases import SINGLE_FOLD
    >>> easier_side(SINGLE_FOLD)
    'back'
    """
    under = sum(not crease.over for crease in scheme.creases)
    return "back" if under > len(scheme.creases) - under else "front"


def points_to(cell: LyingCell, edge: Compass) -> Compass:
    """Return where an edge of a flat cell points in the view, as the cell lies now.

    >>> points_to(LyingCell(0, 0, front_up=False, up="N"), "E")
    'W'
    """
    if edge in ("N", "S"):
        return "N" if edge == cell.up else "S"
    # Turned over about an upright line, or about a level one and half round: left and right change in both.
    kept = cell.front_up == (cell.up == "N")
    return edge if kept else _OPPOSITE[edge]


def _made(crease: Crease, scheme: Scheme, before: int, up: Side) -> FoldMade:
    cells = int(crease.part * (scheme.columns if crease.axis == "V" else scheme.rows))
    over = crease.over == (up == "front")
    if crease.axis == "H":
        return FoldMade("H", before - cells, "top", over) if scheme.from_top else FoldMade("H", cells, "bottom", over)
    if scheme.mirrored == (up == "front"):
        return FoldMade("V", before - cells, "right", over)
    return FoldMade("V", cells, "left", over)


def _places(stacks: Mapping[tuple[int, int], tuple[LyingCell, ...]], columns: int, up: Side) -> tuple[LyingPlace, ...]:
    places = []
    for (x, y), layers in stacks.items():
        if up == "front":
            places.append(LyingPlace(x, y, layers))
        else:
            turned = tuple(LyingCell(c.column, c.row, not c.front_up, c.up) for c in reversed(layers))
            places.append(LyingPlace(columns - 1 - x, y, turned))
    return tuple(sorted(places, key=lambda place: (place.y, place.x)))
