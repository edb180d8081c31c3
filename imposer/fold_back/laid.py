"""Pieces as they lie on a sheet: where each is, the edges of its columns and rows, what each cell carries.

For pictures of folding: the shapes of `write.fold_pictures` want a scheme and where its folds lie.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from imposer.fold_back.paper import Face, slots_of
from imposer.fold_back.record import PartRecord
from imposer.geometry import Box, Transform
from imposer.sheet.safe_area import mirrors_x


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """A piece on the front of its sheet."""

    slot: Box
    #: From the flat piece to the front of the sheet, mm.
    to_sheet: Transform
    #: The edges of the columns from the left and of the rows from the bottom, on the flat piece.
    lines_x: tuple[float, ...]
    lines_y: tuple[float, ...]
    #: What lies on the front and the back of every cell (column, row from the bottom).
    front: dict[tuple[int, int], Face]
    back: dict[tuple[int, int], Face]

    @property
    def number(self) -> int:
        """The piece's number."""
        return next(iter((self.front or self.back).values())).panel.piece


def laid_pieces(part: PartRecord, front: Sequence[Face], back: Sequence[Face]) -> tuple[LaidPiece, ...]:
    """Return the pieces of a sheet whose panels make the part's grid, slot by slot."""
    fronts = [(face, face.panel.trim) for face in front if face.panel.piece]
    backs = [(face, seen_through(part, face.panel.trim)) for face in back if face.panel.piece]
    pieces = []
    for slot in slots_of(part):
        piece = _piece(part, slot, _in(slot, fronts), _in(slot, backs))
        if piece:
            pieces.append(piece)
    return tuple(pieces)


def seen_through(part: PartRecord, box: Box) -> Box:
    """Return a box of one side as it is seen through the paper from the other."""
    if mirrors_x(part.lead, part.flip):
        return box.mirrored_x(part.size.width)
    return box.mirrored_y(part.size.height)


_Placed = tuple[Face, Box]


def _in(slot: Box, faces: Iterable[_Placed]) -> list[_Placed]:
    """Return the faces in a slot, but none that fills all of it beside others: a poster folds with the piece."""
    inside = [(f, b) for f, b in faces if slot.x0 < b.centre[0] < slot.x1 and slot.y0 < b.centre[1] < slot.y1]
    return inside if len(inside) > 1 else [(f, b) for f, b in inside if b.width < 0.9 * slot.width or _alone(b, slot)]


def _alone(box: Box, slot: Box) -> bool:
    return box.width >= 0.9 * slot.width and box.height >= 0.9 * slot.height


def _piece(part: PartRecord, slot: Box, front: list[_Placed], back: list[_Placed]) -> LaidPiece | None:
    turn = part.piece_turn
    flat = slot.size if turn in (0, 180) else slot.size.turned
    to_sheet = Transform.quarter_turn(turn, flat).then(Transform.shift(slot.x0, slot.y0))
    from_sheet = to_sheet.inverse()
    on_flat = [[(face, from_sheet.apply_box(box)) for face, box in side] for side in (front, back)]
    boxes = [box for side in on_flat for _, box in side]
    if not boxes:
        return None
    columns, rows = _spans([(b.x0, b.x1) for b in boxes]), _spans([(b.y0, b.y1) for b in boxes])
    if (len(columns), len(rows)) != (part.columns, part.rows):
        return None
    cells = [{(_index(columns, b.x0, b.x1), _index(rows, b.y0, b.y1)): face for face, b in side} for side in on_flat]
    return LaidPiece(slot, to_sheet, _lines(columns, flat.width), _lines(rows, flat.height), cells[0], cells[1])


def _spans(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the distinct spans in order; creep moves those of one column by far less than half of it."""
    found: list[tuple[float, float]] = []
    near = min(b - a for a, b in spans) / 2
    for a, b in sorted(spans, key=sum):
        if not found or (a + b) / 2 - sum(found[-1]) / 2 > near:
            found.append((a, b))
    return found


def _index(spans: list[tuple[float, float]], a: float, b: float) -> int:
    return min(range(len(spans)), key=lambda i: abs(sum(spans[i]) - a - b))


def _lines(spans: list[tuple[float, float]], length: float) -> tuple[float, ...]:
    """Return the piece's edge, every fold midway between two panels, the other edge."""
    folds = [(one[1] + other[0]) / 2 for one, other in pairwise(spans)]
    return (0.0, *folds, length)
