"""Where every page lies on both sides of a sheet: pieces dropped into slots, turned, flipped, shifted for creep."""

from __future__ import annotations

from imposer.findings import Side
from imposer.fold.model import Compass, Leaf, Piece, Scheme
from imposer.geometry import Box, Size, Transform, Turn
from imposer.sheet.model import Layout, Panel, Segment, SheetSide
from imposer.sheet.safe_area import mirrors_x

_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
_TURN_OF_HEAD: dict[Compass, Turn] = {"N": 0, "W": 90, "S": 180, "E": 270}
_TOWARD: dict[Compass, tuple[int, int]] = {"N": (0, 1), "E": (1, 0), "S": (0, -1), "W": (-1, 0)}
_MIRROR_X: dict[Compass, Compass] = {"N": "N", "S": "S", "E": "W", "W": "E"}
_MIRROR_Y: dict[Compass, Compass] = {"N": "S", "S": "N", "E": "E", "W": "W"}


def cell_size(trim: Size, head: Compass) -> Size:
    """Return the size of one cell of the flat piece: the page, lying on its side where heads point east or west."""
    return trim if head in ("N", "S") else trim.turned


def flat_size(trim: Size, scheme: Scheme, head: Compass) -> Size:
    """Return the size of the flat, trimmed piece."""
    cell = cell_size(trim, head)
    return Size(scheme.columns * cell.width, scheme.rows * cell.height)


def side_of_sheet(
    side: Side, pieces: tuple[tuple[Piece | None, int], ...], layout: Layout, trim: Size, scheme: Scheme, step: float
) -> SheetSide:
    """Return one face of a press sheet as seen from its printed side.

    Args:
        side: which face.
        pieces: for every slot of the layout the piece that lies there, or None for an empty one, and its copy.
        layout: where the slots are.
        trim: the finished page, mm.
        scheme: how a piece is folded.
        step: creep from leaf to leaf, mm.
    """
    head: Compass = next((leaf.head for piece, _ in pieces if piece for leaf in piece.leaves), "N")
    cell = cell_size(trim, head)
    panels: list[Panel] = []
    folds: set[Segment] = set()
    for (piece, copy), slot in zip(pieces, layout.slots, strict=True):
        to_sheet = Transform.quarter_turn(layout.piece_turn, flat_size(trim, scheme, head)).then(
            Transform.shift(slot.x0, slot.y0)
        )
        for fold in _folds(cell, scheme):
            folds.add(_segment(_seen(to_sheet.apply_box(fold), side, layout)))
        if piece:
            panels += [_panel(leaf, piece, copy, cell, scheme, to_sheet, side, layout, step) for leaf in piece.leaves]
        else:
            panels += _empty_panels(cell, scheme, copy, to_sheet, side, layout)
    return SheetSide(side, tuple(panels), tuple(sorted(folds, key=lambda s: (s.x0, s.y0, s.x1, s.y1))))


def _panel(
    leaf: Leaf,
    piece: Piece,
    copy: int,
    cell: Size,
    scheme: Scheme,
    to_sheet: Transform,
    side: Side,
    layout: Layout,
    step: float,
) -> Panel:
    flat = Box.at(leaf.column * cell.width, leaf.row * cell.height, cell.width, cell.height)
    box = _seen(to_sheet.apply_box(flat), side, layout)
    clip = _seen(to_sheet.apply_box(_with_bleed(flat, leaf.column, leaf.row, scheme, layout.bleed)), side, layout)
    head = _direction(leaf.head, side, layout)
    dx, dy = _TOWARD[_direction(leaf.spine, side, layout)]
    creep = leaf.depth * step
    return Panel(
        page=leaf.front if side == "front" else leaf.back,
        piece=piece.number,
        signature=piece.signature,
        trim=box.moved(dx * creep, dy * creep),
        rotation=_TURN_OF_HEAD[head],
        clip=clip,
        copy=copy,
        creep=creep,
    )


def _empty_panels(
    cell: Size, scheme: Scheme, copy: int, to_sheet: Transform, side: Side, layout: Layout
) -> list[Panel]:
    """Return the panels of a slot that holds no piece."""
    boxes = [
        _seen(to_sheet.apply_box(Box.at(c * cell.width, r * cell.height, cell.width, cell.height)), side, layout)
        for c in range(scheme.columns)
        for r in range(scheme.rows)
    ]
    return [Panel(None, 0, 0, box, 0, box, copy) for box in boxes]


def _with_bleed(flat: Box, column: int, row: int, scheme: Scheme, bleed: float) -> Box:
    """Return the cell with its bleed on the piece's outer edges; at a fold nothing goes over."""
    return Box(
        flat.x0 - (bleed if column == 0 else 0),
        flat.y0 - (bleed if row == 0 else 0),
        flat.x1 + (bleed if column == scheme.columns - 1 else 0),
        flat.y1 + (bleed if row == scheme.rows - 1 else 0),
    )


def _folds(cell: Size, scheme: Scheme) -> list[Box]:
    """Return the fold lines of the flat piece as boxes without width."""
    width, height = scheme.columns * cell.width, scheme.rows * cell.height
    vertical = [Box(c * cell.width, 0, c * cell.width, height) for c in range(1, scheme.columns)]
    horizontal = [Box(0, r * cell.height, width, r * cell.height) for r in range(1, scheme.rows)]
    return vertical + horizontal


def _segment(box: Box) -> Segment:
    return Segment(box.x0, box.y0, box.x1, box.y1)


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
