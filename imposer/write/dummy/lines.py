"""What is folded, trimmed open and bound on one side of a press sheet: an imposition in, lines and boxes in mm out.

Nothing is drawn here. Places are read off the panels of the side, and the order of the folds off the scheme, so that
whatever the layout decides is what the dummy shows; a piece whose panels do not match the scheme keeps plain folds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from itertools import groupby
from typing import Literal

from imposer.findings import Side
from imposer.fold.creases import creased_edges
from imposer.fold.model import Compass, Leaf, Piece, Scheme
from imposer.geometry import Box
from imposer.sheet.model import Imposition, Panel, PressSheet, Segment, SheetSide
from imposer.sheet.safe_area import mirrors_x
from imposer.units import TOLERANCE, close, fits

#: Where a page's spine is, as the page is read.
PageEdge = Literal["left", "right", "head", "foot"]

_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
_FROM_HEAD: tuple[PageEdge, ...] = ("head", "left", "foot", "right")
_MIRRORED: dict[PageEdge, PageEdge] = {"left": "right", "right": "left", "head": "head", "foot": "foot"}


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """A panel as its page is bound."""

    panel: Panel
    #: The edge its spine is at; None where no fold is its spine.
    spine: PageEdge | None
    #: Whether it is known cell by cell, so that creases and cuts are drawn around it.
    known: bool = True


@dataclass(frozen=True, slots=True)
class CreaseLine:
    """A crease along one edge of one panel, upright or level."""

    line: Segment
    #: Which fold makes it, from 1; None where the order is not known.
    fold: int | None
    #: A valley as seen from this side; else a mountain.
    valley: bool


@dataclass(frozen=True, slots=True)
class SideLines:
    """All that a side of the dummy shows, as seen from its printed face."""

    panels: tuple[LaidPanel, ...]
    creases: tuple[CreaseLine, ...]
    #: Folds that no crease of the scheme accounts for: the border of a glue flap, or all of a shape not known here.
    plain_folds: tuple[Segment, ...]
    #: Cuts inside a piece.
    slits: tuple[Segment, ...]
    #: Strips around a fold that is no spine: cut away to open the leaves.
    open_strips: tuple[Box, ...]
    #: Strips by which another piece is glued on; and those of last pieces, onto which nothing is glued.
    flaps: tuple[Box, ...]
    spare_flaps: tuple[Box, ...]
    #: Cuts through the whole stack: the x of the upright ones and the y of the level ones.
    cuts_x: tuple[float, ...]
    cuts_y: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _LaidPiece:
    """A piece on the front of a sheet: its panels by column and row, and the slot it lies in."""

    piece: Piece
    cells: Mapping[tuple[int, int], tuple[Panel, Leaf]]
    slot: Box


def side_lines(imposition: Imposition, sheet: PressSheet, side: Side) -> SideLines:
    """Return the lines of one side of a sheet.

    Creases are those of the front, where every cell has a panel of its own, seen from this side.
    """
    face, layout = sheet.face(side), imposition.layout
    laid = _laid_pieces(imposition, sheet.front)
    creases = tuple(
        CreaseLine(_seen_line(crease.line, imposition, side), crease.fold, crease.valley == (side == "front"))
        for each in laid
        for crease in _creases(imposition.booklet.scheme, each)
    )
    strips = tuple(_seen(box, imposition, side) for each in laid for box in _open_strips(each))
    cuts = _seen(layout.block, imposition, side)
    mirrored_x, mirrored_y = cuts.x0 != layout.block.x0, cuts.y0 != layout.block.y0
    last = max(piece.number for piece in imposition.booklet.pieces)
    ends = [_seen(each.slot, imposition, side) for each in laid if each.piece.number == last]
    spare = tuple(flap for flap in face.flaps if any(end.contains(flap) for end in ends))
    return SideLines(
        panels=panels_with_spines(imposition, sheet, side),
        creases=creases,
        plain_folds=tuple(fold for fold in face.folds if not any(_covers(c.line, fold) for c in creases)),
        slits=face.slits,
        open_strips=strips,
        flaps=tuple(flap for flap in face.flaps if flap not in spare),
        spare_flaps=spare,
        cuts_x=_inner(layout.cuts_x, layout.size.width, mirrored=mirrored_x),
        cuts_y=_inner(layout.cuts_y, layout.size.height, mirrored=mirrored_y),
    )


def _inner(cuts: tuple[float, ...], length: float, *, mirrored: bool) -> tuple[float, ...]:
    """Return the cuts as seen from a side, without those that are the sheet's own edge."""
    seen = sorted(length - at for at in cuts) if mirrored else cuts
    return tuple(at for at in seen if TOLERANCE < at < length - TOLERANCE)


def panels_with_spines(imposition: Imposition, sheet: PressSheet, side: Side) -> tuple[LaidPanel, ...]:
    """Return the panels of a side with their spines, read off the leaves of their piece in the piece's order."""
    found = []
    for piece, panels in _groups(imposition, sheet.face(side)):
        leaves: Sequence[Leaf | None] = [None] * len(panels)
        if piece is not None and len(piece.leaves) == len(panels):
            leaves = piece.leaves
        first = 0 if piece is None else piece.first_column
        for panel, leaf in zip(panels, leaves, strict=True):
            folded = leaf is not None and _has_neighbour(leaf, imposition.booklet.scheme, first)
            found.append(LaidPanel(panel, _spine(leaf, side) if folded else None, known=leaf is not None))
    return tuple(found)


def _has_neighbour(leaf: Leaf, scheme: Scheme, first_column: int) -> bool:
    """Tell whether another cell lies beyond a leaf's spine: else the spine is an edge, and nothing is folded there."""
    dx, dy = {"N": (0, 1), "E": (1, 0), "S": (0, -1), "W": (-1, 0)}[leaf.spine]
    return 0 <= leaf.column + first_column + dx < scheme.columns and 0 <= leaf.row + dy < scheme.rows


def _groups(imposition: Imposition, side: SheetSide) -> Iterator[tuple[Piece | None, list[Panel]]]:
    """Give the panels of a side piece by piece; None for places that hold none."""
    pieces = {piece.number: piece for piece in imposition.booklet.pieces}
    for (number, _), panels in groupby(side.panels, key=lambda panel: (panel.piece, panel.copy)):
        yield pieces.get(number), list(panels)


def _laid_pieces(imposition: Imposition, front: SheetSide) -> tuple[_LaidPiece, ...]:
    """Return the pieces whose panels can be told cell by cell."""
    found = []
    for piece, panels in _groups(imposition, front):
        if piece is None or len(piece.leaves) != len(panels):
            continue
        x, y = panels[0].trim.centre
        slot = next((each for each in imposition.layout.slots if each.x0 < x < each.x1 and each.y0 < y < each.y1), None)
        if slot is not None:
            cells = {(leaf.column, leaf.row): (panel, leaf) for leaf, panel in zip(piece.leaves, panels, strict=True)}
            found.append(_LaidPiece(piece, cells, slot))
    return tuple(found)


def _seen(box: Box, imposition: Imposition, side: Side) -> Box:
    layout = imposition.layout
    if side == "front":
        return box
    if mirrors_x(layout.lead, layout.flip):
        return box.mirrored_x(layout.size.width)
    return box.mirrored_y(layout.size.height)


def _seen_line(line: Segment, imposition: Imposition, side: Side) -> Segment:
    return Segment(*astuple(_seen(Box(line.x0, line.y0, line.x1, line.y1), imposition, side)))


def _covers(line: Segment, fold: Segment) -> bool:
    """Tell whether a crease lies on a fold."""
    if close(fold.x0, fold.x1):
        return close(line.x0, line.x1) and close(line.x0, fold.x0) and min(line.y1, fold.y1) > max(line.y0, fold.y0)
    return close(line.y0, line.y1) and close(line.y0, fold.y0) and min(line.x1, fold.x1) > max(line.x0, fold.x0)


def _spine(leaf: Leaf | None, side: Side) -> PageEdge | None:
    """Return where the spine is from the page's own head: the two faces of a leaf are mirror images."""
    if leaf is None:
        return None
    edge = _FROM_HEAD[(_AROUND.index(leaf.spine) - _AROUND.index(leaf.head)) % 4]
    return edge if side == "front" else _MIRRORED[edge]


def _creases(scheme: Scheme, laid: _LaidPiece) -> Iterator[CreaseLine]:
    """Give the creases of one piece as seen from the front, each along the border of two panels."""
    for edge in creased_edges(scheme):
        # A joined strip is folded as a whole; this piece begins at one of its columns.
        here = edge.column - laid.piece.first_column, edge.row
        beyond = (here[0] + 1, here[1]) if edge.edge == "E" else (here[0], here[1] + 1)
        if here in laid.cells and beyond in laid.cells:
            line = _between(_territory(here, laid), _territory(beyond, laid))
            if line is not None:
                # What is slit and opened bends everywhere at once: its creases have no order.
                yield CreaseLine(line, None if scheme.slit else edge.fold, edge.valley)


def _territory(cell: tuple[int, int], laid: _LaidPiece) -> Box:
    """Return a cell with its half of every strip between it and its neighbours, and the piece's own edges beyond."""
    own = laid.cells[cell][0].clip
    edges = {"x0": laid.slot.x0, "x1": laid.slot.x1, "y0": laid.slot.y0, "y1": laid.slot.y1}
    for step in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        near = laid.cells.get((cell[0] + step[0], cell[1] + step[1]))
        if near is None:
            continue
        other = near[0].clip
        if fits(own.x1, other.x0):
            edges["x1"] = (own.x1 + other.x0) / 2
        elif fits(other.x1, own.x0):
            edges["x0"] = (own.x0 + other.x1) / 2
        elif fits(own.y1, other.y0):
            edges["y1"] = (own.y1 + other.y0) / 2
        elif fits(other.y1, own.y0):
            edges["y0"] = (own.y0 + other.y1) / 2
    return Box(**edges)


def _between(one: Box, other: Box) -> Segment | None:
    """Return the border of two boxes that touch, along what both have of it."""
    y0, y1 = max(one.y0, other.y0), min(one.y1, other.y1)
    x0, x1 = max(one.x0, other.x0), min(one.x1, other.x1)
    if y1 - y0 > x1 - x0 and y1 - y0 > TOLERANCE:
        x = (x0 + x1) / 2
        return Segment(x, y0, x, y1)
    if x1 - x0 > TOLERANCE:
        y = (y0 + y1) / 2
        return Segment(x0, y, x1, y)
    return None


#: A strip narrower than this is a rounding of lengths or creep, and not paper to be cut away, mm.
_LEAST_STRIP = 1.0


def _open_strips(laid: _LaidPiece) -> Iterator[Box]:
    """Give the strips between neighbours whose spines do not meet."""
    for (column, row), (panel, leaf) in laid.cells.items():
        for beyond, toward in (((column + 1, row), "E"), ((column, row + 1), "N")):
            near = laid.cells.get(beyond)
            if near is None:
                continue
            if leaf.spine == toward and _AROUND.index(near[1].spine) == (_AROUND.index(leaf.spine) + 2) % 4:
                continue
            strip = _gap(panel.trim, near[0].trim)
            if strip is not None:
                yield strip


def _gap(one: Box, other: Box) -> Box | None:
    """Return what lies between two boxes beside each other."""
    x0, x1 = sorted((one.x0, one.x1, other.x0, other.x1))[1:3]
    y0, y1 = sorted((one.y0, one.y1, other.y0, other.y1))[1:3]
    apart_x = fits(one.x1, other.x0) or fits(other.x1, one.x0)
    wide = (x1 - x0) if apart_x else (y1 - y0)
    return Box(x0, y0, x1, y1) if wide >= _LEAST_STRIP else None
