"""Where every page lies on both sides of a sheet: pieces dropped into slots, turned, flipped, shifted for creep."""

from __future__ import annotations

from dataclasses import astuple, dataclass

from imposer.findings import Side
from imposer.fold.model import Compass, Leaf, Piece
from imposer.geometry import Box, Transform, Turn
from imposer.sheet.creep import Creep
from imposer.sheet.flat_piece import FlatPiece
from imposer.sheet.model import Layout, Panel, Segment, SheetSide
from imposer.sheet.safe_area import mirrors_x

_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
_TURN_OF_HEAD: dict[Compass, Turn] = {"N": 0, "W": 90, "S": 180, "E": 270}
_TOWARD: dict[Compass, tuple[int, int]] = {"N": (0, 1), "E": (1, 0), "S": (0, -1), "W": (-1, 0)}
_MIRROR_X: dict[Compass, Compass] = {"N": "N", "S": "S", "E": "W", "W": "E"}
_MIRROR_Y: dict[Compass, Compass] = {"N": "S", "S": "N", "E": "E", "W": "W"}


def side_of_sheet(
    side: Side, pieces: tuple[tuple[Piece | None, int], ...], layout: Layout, flat: FlatPiece, creep: Creep
) -> SheetSide:
    """Return one face of a press sheet as seen from its printed side.

    Args:
        side: which face.
        pieces: for every slot of the layout the piece that lies there, or None for an empty one, and its copy.
        layout: where the slots are.
        flat: where panels and folds lie on a flat piece.
        creep: how far each leaf is moved toward the spine.
    """
    panels: list[Panel] = []
    folds: set[Segment] = set()
    slits: set[Segment] = set()
    flaps: list[Box] = []
    trims: set[Segment] = set()
    for (piece, copy), slot in zip(pieces, layout.slots, strict=True):
        place = _Place(
            Transform.quarter_turn(layout.piece_turn, flat.size).then(Transform.shift(slot.x0, slot.y0)), side, layout
        )
        folds.update(Segment(*astuple(place.box(line))) for line in flat.fold_lines())
        slits.update(Segment(*astuple(place.box(slit))) for slit in flat.slits)
        trims.update(Segment(*astuple(place.box(line))) for line in flat.trim_lines())
        flaps += [place.box(flat.flap)] if flat.flap else []
        if piece and piece.poster is not None and side == "back":
            panels.append(_poster(piece.poster, piece, copy, flat, place))
        elif piece:
            panels += [_panel(leaf, piece, copy, flat, place, creep) for leaf in piece.leaves]
        else:
            panels += _empty_panels(flat, copy, place)
    return SheetSide(side, tuple(panels), _sorted(folds), _sorted(slits), tuple(sorted(flaps)), _sorted(trims))


def _sorted(segments: set[Segment]) -> tuple[Segment, ...]:
    return tuple(sorted(segments, key=lambda s: (s.x0, s.y0, s.x1, s.y1)))


@dataclass(frozen=True, slots=True)
class _Place:
    """From a flat piece to a side of the sheet: the slot it lies in, and the flip that shows the back."""

    to_sheet: Transform
    side: Side
    layout: Layout

    def box(self, on_piece: Box) -> Box:
        return _seen(self.to_sheet.apply_box(on_piece), self.side, self.layout)

    def direction(self, on_piece: Compass) -> Compass:
        return _direction(on_piece, self.side, self.layout)

    def printed(self, on_piece: Box) -> Box:
        """Return what may print of a box: all, unless the sheet's own edges are the pages'."""
        box = self.box(on_piece)
        return (box.common(self.layout.safe) or box) if self.layout.untrimmed else box


def _panel(leaf: Leaf, piece: Piece, copy: int, flat: FlatPiece, place: _Place, creep: Creep) -> Panel:
    dx, dy = _TOWARD[place.direction(leaf.spine)]
    moved = creep.of(leaf.depth)
    return Panel(
        page=leaf.front if place.side == "front" else leaf.back,
        piece=piece.number,
        signature=piece.signature,
        trim=place.box(flat.panel(leaf.column, leaf.row)).moved(dx * moved, dy * moved),
        rotation=_TURN_OF_HEAD[place.direction(leaf.head)],
        clip=place.printed(flat.printable(leaf.column, leaf.row, place.layout.bleed)),
        copy=copy,
        creep=moved,
    )


def _poster(page: int, piece: Piece, copy: int, flat: FlatPiece, place: _Place) -> Panel:
    """Return the one panel that is the whole back of a piece, its head where the piece's upper edge is."""
    whole = Box(0, 0, flat.size.width, flat.size.height)
    return Panel(
        page=page,
        piece=piece.number,
        signature=piece.signature,
        trim=place.box(whole),
        rotation=_TURN_OF_HEAD[place.direction("N")],
        clip=place.printed(whole.grown(place.layout.bleed)),
        copy=copy,
    )


def _empty_panels(flat: FlatPiece, copy: int, place: _Place) -> list[Panel]:
    """Return the panels of a slot that holds no piece."""
    boxes = [place.box(flat.panel(c, r)) for c in range(len(flat.columns)) for r in range(len(flat.rows))]
    return [Panel(None, 0, 0, box, 0, box, copy) for box in boxes]


def _seen(box: Box, side: Side, layout: Layout) -> Box:
    """Return a box on the front as it is seen on `side`."""
    if side == "front":
        return box
    if mirrors_x(layout.lead, layout.flip):
        return box.mirrored_x(layout.size.width)
    return box.mirrored_y(layout.size.height)


def _direction(flat: Compass, side: Side, layout: Layout) -> Compass:
    """Return where a side of the flat piece points on the sheet as seen on `side`."""
    turned = _AROUND[(_AROUND.index(flat) + layout.piece_turn // 90) % 4]
    if side == "front":
        return turned
    return _MIRROR_X[turned] if mirrors_x(layout.lead, layout.flip) else _MIRROR_Y[turned]
