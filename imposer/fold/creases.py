"""The crease simulator: a flat grid of cells and a list of folds in, the folded stack out.

The sheet is folded in memory, fold by fold, and the stack is read from the top. So the program holds no tables of page
orders: where a page lies and which way up it stands follows from the folds alone. Notation and the rules of a fold are
those of the fold catalogue of CIP4, XJDF 2.2, App. A.3.8 and Table E.5: the upper right corner stays put; the left or
the bottom part moves over or under the rest.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from imposer.fold.model import Compass, Crease, Layer, Scheme
from imposer.fold.ring import ring_layers, ring_valleys

_CREASE = re.compile(r"([VH])([0-9]+)/([0-9]+)([UD])")

_TURNED: dict[str, dict[Compass, Compass]] = {
    "V": {"N": "N", "S": "S", "E": "W", "W": "E"},
    "H": {"N": "S", "S": "N", "E": "E", "W": "W"},
}


_OPPOSITE: dict[Compass, Compass] = {"N": "S", "S": "N", "E": "W", "W": "E"}
_STEP: dict[Compass, tuple[int, int]] = {"N": (0, 1), "E": (1, 0), "S": (0, -1), "W": (-1, 0)}


@dataclass(frozen=True, slots=True)
class CreasedEdge:
    """A crease on the border of two neighbouring cells, as seen from the front of the flat sheet."""

    #: The cell to the left of (edge "E") or below (edge "N") the crease.
    column: int
    row: int
    edge: Literal["E", "N"]
    #: Which fold makes it, from 1.
    fold: int
    #: A valley seen from the front; else a mountain.
    valley: bool


@dataclass(frozen=True, slots=True)
class LyingCell:
    """A cell as it lies in the piece as far as it is folded."""

    column: int
    row: int
    front_up: bool
    #: The edge of the flat cell that points up (north) in the view.
    up: Compass


@dataclass(slots=True)
class _Sheetlet:
    """A cell on its way through the folds: which face is up and how often it was turned each way."""

    column: int
    row: int
    front_up: bool = True
    turned_v: bool = False
    turned_h: bool = False

    def turn_over(self, axis: Literal["V", "H"]) -> None:
        self.front_up = not self.front_up
        if axis == "V":
            self.turned_v = not self.turned_v
        else:
            self.turned_h = not self.turned_h

    def on_flat_sheet(self, side: Compass) -> Compass:
        """Return which edge of the flat cell lies at `side` of the folded piece as it is now."""
        side = _TURNED["V"][side] if self.turned_v else side
        return _TURNED["H"][side] if self.turned_h else side


_Stacks = dict[tuple[int, int], list[_Sheetlet]]


def scheme(columns: int, rows: int, folds: str) -> Scheme:
    """Read a scheme from a grid and folds in words such as `"V1/2U H1/2D"`.

    >>> scheme(2, 2, "V1/2U H1/2U").pages
    8

    Raises:
        ValueError: a word is not a fold, or the folds do not make the grid one cell.
    """
    creases = []
    for word in folds.split():
        match = _CREASE.fullmatch(word)
        if not match or match.group(3) == "0":
            raise ValueError(f"{word!r} is not a fold such as V1/2U (axis V or H, part, U over or D under)")
        axis, above, below, way = match.groups()
        creases.append(Crease("V" if axis == "V" else "H", Fraction(int(above), int(below)), way == "U"))
    made = Scheme(columns, rows, tuple(creases))
    fold(made)
    return made


#: One fold across the middle: 4 pages. Seen from the front: 4 | 1, on the back 2 | 3 (catalogue F4-2).
SINGLE_FOLD = Scheme(2, 1, (Crease("V", Fraction(1, 2), over=False),))


def fold(scheme: Scheme) -> tuple[Layer, ...]:
    """Fold a flat piece and return its layers from the top of the stack.

    The first page is the face that is up on the first layer, the second its other face, and so on. The spine is the
    last fold. Heads point north in the folded piece if the last fold is vertical; if it is horizontal they point so
    that the spine is at the left with heads up, or at the right if the folding is mirrored (the convention of this
    program; the catalogue leaves it open).

    Raises:
        ValueError: a fold does not fall between cells, or more than one cell is left at the end.
    """
    if scheme.slit:
        return ring_layers(scheme)
    stacks, _ = _run(scheme)
    last = scheme.creases[-1].axis if scheme.creases else "V"
    head: Compass = "N" if last == "V" else "W"
    spine: Compass = "W" if last == "V" else "S"
    if scheme.from_top:
        head = _OPPOSITE[head]
    (stack,) = stacks.values()
    layers = [Layer(s.column, s.row, s.front_up, s.on_flat_sheet(head), s.on_flat_sheet(spine)) for s in stack]
    return tuple(
        replace(
            layer,
            column=_column(layer.column, scheme),
            row=_row(layer.row, scheme),
            head=_in_mirror(layer.head, scheme),
            spine=_in_mirror(layer.spine, scheme),
        )
        for layer in layers
    )


def creased_edges(scheme: Scheme) -> tuple[CreasedEdge, ...]:
    """Return every crease of the flat sheet, border by border, in the order they are made.

    Of a slit piece these are the creases of the finished ring, all made by the one last step.
    """
    if scheme.slit:
        last = len(scheme.creases) + 1
        return tuple(CreasedEdge(c, r, edge, last, valley) for (c, r, edge), valley in ring_valleys(scheme).items())
    return tuple(
        replace(
            edge,
            column=_column(edge.column, scheme, wide=2 if edge.edge == "E" else 1),
            row=_row(edge.row, scheme, high=2 if edge.edge == "N" else 1),
        )
        for edge in _run(scheme)[1]
    )


def _column(column: int, scheme: Scheme, wide: int = 1) -> int:
    """Return where a column, or two side by side, lies on a piece that is folded as in a mirror."""
    return scheme.columns - wide - column if scheme.mirrored else column


def _row(row: int, scheme: Scheme, high: int = 1) -> int:
    return scheme.rows - high - row if scheme.from_top else row


def _in_mirror(side: Compass, scheme: Scheme) -> Compass:
    turned = scheme.mirrored if side in ("E", "W") else scheme.from_top
    return _OPPOSITE[side] if turned else side


def front_and_back(scheme: Scheme) -> dict[tuple[int, int], tuple[int, int]]:
    """Return the pages on the front and the back of every cell (column, row from the bottom) of one folded piece."""
    return {
        (layer.column, layer.row): (2 * i + 1, 2 * i + 2) if layer.front_up else (2 * i + 2, 2 * i + 1)
        for i, layer in enumerate(fold(scheme))
    }


def stages(scheme: Scheme) -> Iterator[dict[tuple[int, int], tuple[LyingCell, ...]]]:
    """Yield the stacks of the flat piece and of the piece after every fold, by place (column, row from the bottom).

    Every stack is given from its top, as it is seen from where the flat piece's front was seen. Of a slit piece these
    are the folds made before it is slit.
    """
    stacks: _Stacks = {(x, y): [_Sheetlet(x, y)] for x in range(scheme.columns) for y in range(scheme.rows)}
    yield _lying(stacks, scheme)
    for number, crease in enumerate(scheme.creases, 1):
        stacks = _fold_once(stacks, crease, scheme, number, [])
        yield _lying(stacks, scheme)


def _lying(stacks: _Stacks, scheme: Scheme) -> dict[tuple[int, int], tuple[LyingCell, ...]]:
    across, up = (1 + max(place[along] for place in stacks) for along in (0, 1))
    north: Compass = "S" if scheme.from_top else "N"
    seen = {}
    for (x, y), stack in stacks.items():
        place = (across - 1 - x if scheme.mirrored else x, up - 1 - y if scheme.from_top else y)
        seen[place] = tuple(
            LyingCell(
                _column(s.column, scheme),
                _row(s.row, scheme),
                s.front_up,
                _in_mirror(s.on_flat_sheet(north), scheme),
            )
            for s in stack
        )
    return dict(sorted(seen.items()))


def _run(scheme: Scheme) -> tuple[_Stacks, list[CreasedEdge]]:
    stacks: _Stacks = {(x, y): [_Sheetlet(x, y)] for x in range(scheme.columns) for y in range(scheme.rows)}
    edges: list[CreasedEdge] = []
    for number, crease in enumerate(scheme.creases, 1):
        stacks = _fold_once(stacks, crease, scheme, number, edges)
    if len(stacks) != 1:
        raise ValueError(f"after all folds {len(stacks)} stacks are left, not one: folds are missing")
    return stacks, edges


def _fold_once(stacks: _Stacks, crease: Crease, scheme: Scheme, number: int, edges: list[CreasedEdge]) -> _Stacks:
    """Fold all stacks once; positions are counted from the left or bottom of the piece as it is now."""
    along = 0 if crease.axis == "V" else 1
    cells = crease.part * (scheme.columns if crease.axis == "V" else scheme.rows)
    width = 1 + max(place[along] for place in stacks)
    if cells.denominator != 1 or not 0 < cells < width:
        raise ValueError(f"fold {number} ({crease}) does not fall between two cells of the folded piece")
    k = int(cells)
    folded: _Stacks = {}
    for place, stack in stacks.items():
        if place[along] >= k:
            folded[_shifted(place, along, place[along] - k)] = stack
    for place, stack in stacks.items():
        if place[along] >= k:
            continue
        if place[along] == k - 1:
            beyond = {(s.column, s.row) for s in stacks.get(_shifted(place, along, k), [])}
            edges.extend(_creases_between(stack, beyond, crease, number))
        for sheetlet in stack:
            sheetlet.turn_over(crease.axis)
        target = _shifted(place, along, k - 1 - place[along])
        rest = folded.get(target, [])
        folded[target] = stack[::-1] + rest if crease.over else rest + stack[::-1]
    return folded


def _creases_between(
    stack: list[_Sheetlet], beyond: set[tuple[int, int]], crease: Crease, number: int
) -> Iterator[CreasedEdge]:
    """Yield the creases of the layers at the fold whose neighbour on the flat sheet lies on its other side."""
    for sheetlet in stack:
        edge = sheetlet.on_flat_sheet("E" if crease.axis == "V" else "N")
        dx, dy = _STEP[edge]
        if (sheetlet.column + dx, sheetlet.row + dy) not in beyond:
            continue
        column, row = min(sheetlet.column, sheetlet.column + dx), min(sheetlet.row, sheetlet.row + dy)
        yield CreasedEdge(column, row, "E" if dx else "N", number, crease.over == sheetlet.front_up)


def _shifted(place: tuple[int, int], along: int, to: int) -> tuple[int, int]:
    return (to, place[1]) if along == 0 else (place[0], to)
