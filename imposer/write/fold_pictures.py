"""A folding sequence as plain shapes in mm: a scheme and where its folds lie in, a picture of every state out.

The steps are those of `fold.steps`; here they get lengths. Every cell is carried along by its own mirroring about the
crease, so columns of unequal width hang over or fall short as paper does. Guide, dummy and proof draw these shapes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from imposer.findings import Side
from imposer.fold.creases import LyingCell, creased_edges
from imposer.fold.model import Compass, Scheme
from imposer.fold.steps import FoldMade, FoldState, folding_steps, points_to
from imposer.geometry import Box

_Boxes = dict[tuple[int, int], Box]


@dataclass(frozen=True, slots=True)
class SeenCell:
    """A cell where it lies."""

    box: Box
    cell: LyingCell
    #: Nothing lies on it.
    on_top: bool


@dataclass(frozen=True, slots=True)
class CreaseLine:
    """A crease of the flat piece, or the next one of a folded piece, as seen in the view: upright or level."""

    x0: float
    y0: float
    x1: float
    y1: float
    #: Which fold makes it, from 1.
    number: int
    valley: bool

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of the line."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2


@dataclass(frozen=True, slots=True)
class FoldPicture:
    """A piece after some of its folds, seen from above. The paper that does not move stays where it is."""

    state: FoldState
    #: From the bottom of the stack to its top: drawn in this order, what is seen is seen.
    cells: tuple[SeenCell, ...]
    #: The fold that comes next, across the whole piece, and the part that it moves; None once all are made.
    next: CreaseLine | None
    move: FoldMade | None
    moving: Box | None

    @property
    def outline(self) -> Box:
        """The box around all of it."""
        return _around(seen.box for seen in self.cells)


def fold_pictures(
    scheme: Scheme, lines_x: Sequence[float], lines_y: Sequence[float], up: Side = "front"
) -> tuple[FoldPicture, ...]:
    """Return the flat piece and the piece after every fold.

    Args:
        scheme: grid and creases.
        lines_x: the edges of the columns from the left as seen from the front: the piece's edge, every fold, its edge.
        lines_y: the same for the rows, from the bottom.
        up: which side of the flat piece looks up.

    Raises:
        ValueError: a fold does not fall between two cells.
    """
    states = folding_steps(scheme, up)
    boxes = _flat_boxes(scheme, lines_x, lines_y, up)
    pictures = []
    for i, state in enumerate(states):
        if i + 1 == len(states):
            pictures.append(FoldPicture(state, _cells(state, boxes), None, None, None))
            break
        made = states[i + 1].made
        assert made is not None, "every state but the flat one was led to by a fold"
        at = _place_of_fold(state, made, boxes)
        moving = _moving(state, made)
        outline = _around(boxes.values())
        ends = (at, outline.y0, at, outline.y1) if made.axis == "V" else (outline.x0, at, outline.x1, at)
        pictures.append(
            FoldPicture(
                state,
                _cells(state, boxes),
                CreaseLine(*ends, i + 1, made.over),
                made,
                _around(boxes[cell] for cell in moving),
            )
        )
        boxes = {cell: _folded(box, made, at) if cell in moving else box for cell, box in boxes.items()}
    return tuple(pictures)


def crease_map(
    scheme: Scheme, lines_x: Sequence[float], lines_y: Sequence[float], up: Side = "front"
) -> tuple[CreaseLine, ...]:
    """Return every crease of the flat piece, numbered in folding order; neighbours that are alike are one line."""
    boxes = _flat_boxes(scheme, lines_x, lines_y, up)
    lines = []
    for edge in creased_edges(scheme):
        one = boxes[edge.column, edge.row]
        other = boxes[(edge.column + 1, edge.row) if edge.edge == "E" else (edge.column, edge.row + 1)]
        valley = edge.valley == (up == "front")
        if edge.edge == "E":
            x = max(one.x0, other.x0)
            lines.append(CreaseLine(x, one.y0, x, one.y1, edge.fold, valley))
        else:
            lines.append(CreaseLine(one.x0, other.y0, one.x1, other.y0, edge.fold, valley))
    return tuple(_joined(lines))


def closed_sides(scheme: Scheme, up: Side = "front") -> dict[Compass, int]:
    """Return the sides of the folded piece, as it lies after the last fold, at which folds close leaves: how many.

    >>> from imposer.fold.creases import scheme as folded
    >>> closed_sides(folded(2, 2, "V1/2U H1/2U"))
    {'W': 2, 'S': 2}
    """
    (place,) = folding_steps(scheme, up)[-1].places
    cells = {(cell.column, cell.row): cell for cell in place.layers}
    found: dict[Compass, int] = {}
    for edge in creased_edges(scheme):
        toward = points_to(cells[edge.column, edge.row], edge.edge)
        found[toward] = found.get(toward, 0) + 1
    return found


def _flat_boxes(scheme: Scheme, lines_x: Sequence[float], lines_y: Sequence[float], up: Side) -> _Boxes:
    if len(lines_x) != scheme.columns + 1 or len(lines_y) != scheme.rows + 1:
        raise ValueError(f"{scheme.columns} × {scheme.rows} cells have one edge more each way")
    boxes = {
        (c, r): Box(lines_x[c], lines_y[r], lines_x[c + 1], lines_y[r + 1])
        for c in range(scheme.columns)
        for r in range(scheme.rows)
    }
    if up == "front":
        return boxes
    width = lines_x[0] + lines_x[-1]
    return {cell: box.mirrored_x(width) for cell, box in boxes.items()}


def _cells(state: FoldState, boxes: Mapping[tuple[int, int], Box]) -> tuple[SeenCell, ...]:
    return tuple(
        SeenCell(boxes[cell.column, cell.row], cell, on_top=cell is place.top)
        for depth in reversed(range(state.thickest))
        for place in state.places
        for cell in place.layers[depth : depth + 1]
    )


def _place_of_fold(state: FoldState, made: FoldMade, boxes: Mapping[tuple[int, int], Box]) -> float:
    """Return the x of an upright fold or the y of a level one: where two neighbours of the flat sheet meet on it."""
    before, beyond = (
        [cell for place in state.places if (place.x if made.axis == "V" else place.y) == at for cell in place.layers]
        for at in (made.at - 1, made.at)
    )
    for cell in before:
        for other in beyond:
            if abs(cell.column - other.column) + abs(cell.row - other.row) == 1:
                box = boxes[cell.column, cell.row]
                return box.x1 if made.axis == "V" else box.y1
    raise ValueError("no paper crosses this fold")


def _moving(state: FoldState, made: FoldMade) -> set[tuple[int, int]]:
    before = made.moves in ("left", "bottom")
    return {
        (cell.column, cell.row)
        for place in state.places
        for cell in place.layers
        if ((place.x if made.axis == "V" else place.y) < made.at) == before
    }


def _folded(box: Box, made: FoldMade, at: float) -> Box:
    return box.mirrored_x(2 * at) if made.axis == "V" else box.mirrored_y(2 * at)


def _around(boxes: Iterable[Box]) -> Box:
    found = list(boxes)
    return Box(min(b.x0 for b in found), min(b.y0 for b in found), max(b.x1 for b in found), max(b.y1 for b in found))


def _joined(lines: Sequence[CreaseLine]) -> list[CreaseLine]:
    """Join lines end to end that belong to one fold and go the same way."""
    joined: list[CreaseLine] = []
    for line in sorted(lines, key=lambda c: (c.x0 != c.x1, c.x0 if c.x0 == c.x1 else c.y0, min(c.x0, c.x1), c.y0)):
        last = joined[-1] if joined else None
        if (
            last
            and (last.number, last.valley) == (line.number, line.valley)
            and (last.x1, last.y1) == (line.x0, line.y0)
            and (last.x0 == last.x1) == (line.x0 == line.x1)
        ):
            joined[-1] = CreaseLine(last.x0, last.y0, line.x1, line.y1, line.number, line.valley)
        else:
            joined.append(line)
    return joined
