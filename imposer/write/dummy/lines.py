"""What is folded, trimmed open and bound on one side of a press sheet: an imposition in, lines and boxes in mm out.

Nothing is drawn here. Places are read off the panels of the side, and the order of the folds off the scheme, so that
whatever the layout decides is what the dummy shows; a side whose panels do not match the scheme keeps its plain folds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from imposer.findings import Side
from imposer.fold.creases import creased_edges
from imposer.fold.model import Compass, Leaf, Scheme
from imposer.geometry import Box
from imposer.sheet.model import Imposition, Panel, Segment, SheetSide
from imposer.sheet.safe_area import mirrors_x
from imposer.units import TOLERANCE, fits

#: Where a page's spine is, as the page is read.
PageEdge = Literal["left", "right", "head", "foot"]

_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
_FROM_HEAD: tuple[PageEdge, ...] = ("head", "left", "foot", "right")
_MIRRORED: dict[PageEdge, PageEdge] = {"left": "right", "right": "left", "head": "head", "foot": "foot"}


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """A panel with the edge its spine is at; None where no spine is known."""

    panel: Panel
    spine: PageEdge | None


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
    #: Strips around a fold that is no spine: cut away to open the leaves.
    open_strips: tuple[Box, ...]
    #: Cuts through the whole stack: the x of the upright ones and the y of the level ones.
    cuts_x: tuple[float, ...]
    cuts_y: tuple[float, ...]


_Cells = dict[tuple[int, int], tuple[Panel, Leaf | None]]


def side_lines(imposition: Imposition, side: SheetSide) -> SideLines:
    """Return the lines of one side."""
    layout = imposition.layout
    slots = _cells_by_slot(imposition, side)
    panels: list[LaidPanel] = []
    creases: list[CreaseLine] = []
    strips: list[Box] = []
    for cells, slot in slots or ():
        panels += [LaidPanel(panel, _spine(leaf, side.side)) for panel, leaf in cells.values()]
        creases += _creases(imposition.booklet.scheme, cells, slot, side.side)
        strips += _open_strips(cells)
    if slots is None:
        panels = [LaidPanel(panel, None) for panel in side.panels]
        creases = [CreaseLine(line, None, valley=True) for line in side.folds]
    across, up = layout.cuts_x, layout.cuts_y
    if side.side == "back":
        if mirrors_x(layout.lead, layout.flip):
            across = tuple(sorted(layout.size.width - x for x in across))
        else:
            up = tuple(sorted(layout.size.height - y for y in up))
    return SideLines(tuple(panels), tuple(creases), tuple(strips), across, up)


def _cells_by_slot(imposition: Imposition, side: SheetSide) -> list[tuple[_Cells, Box]] | None:
    """Return for every slot its panels by column and row; None if the panels do not fill the slots cell by cell."""
    scheme, layout = imposition.booklet.scheme, imposition.layout
    each = scheme.columns * scheme.rows
    if len(side.panels) != each * len(layout.slots):
        return None
    pieces = {piece.number: piece for piece in imposition.booklet.pieces}
    found: list[tuple[_Cells, Box]] = []
    for number, slot in enumerate(layout.slots):
        panels = side.panels[number * each : (number + 1) * each]
        piece = pieces.get(panels[0].piece)
        if piece is None:
            found.append(({(i, 0): (panel, None) for i, panel in enumerate(panels)}, slot))
            continue
        if len(piece.leaves) != each:
            return None
        cells: _Cells = {
            (leaf.column, leaf.row): (panel, leaf) for leaf, panel in zip(piece.leaves, panels, strict=True)
        }
        found.append((cells, _seen(slot, imposition, side.side)))
    return found


def _seen(box: Box, imposition: Imposition, side: Side) -> Box:
    layout = imposition.layout
    if side == "front":
        return box
    if mirrors_x(layout.lead, layout.flip):
        return box.mirrored_x(layout.size.width)
    return box.mirrored_y(layout.size.height)


def _spine(leaf: Leaf | None, side: Side) -> PageEdge | None:
    """Return where the spine is from the page's own head: the two faces of a leaf are mirror images."""
    if leaf is None:
        return None
    edge = _FROM_HEAD[(_AROUND.index(leaf.spine) - _AROUND.index(leaf.head)) % 4]
    return edge if side == "front" else _MIRRORED[edge]


def _creases(scheme: Scheme, cells: _Cells, slot: Box, side: Side) -> list[CreaseLine]:
    """Return the creases of one piece, each along the border of two panels, with the order of the folds."""
    if any(leaf is None for _, leaf in cells.values()):
        return []
    found = []
    for edge in creased_edges(scheme):
        here = edge.column, edge.row
        beyond = (edge.column + 1, edge.row) if edge.edge == "E" else (edge.column, edge.row + 1)
        if here in cells and beyond in cells:
            line = _between(_territory(here, cells, slot), _territory(beyond, cells, slot))
            if line is not None:
                found.append(CreaseLine(line, edge.fold, edge.valley == (side == "front")))
    return found


def _territory(cell: tuple[int, int], cells: _Cells, slot: Box) -> Box:
    """Return a cell with its half of every strip between it and its neighbours, as far as the trimmed piece goes."""
    own = cells[cell][0].clip
    x0, y0, x1, y1 = own.x0, own.y0, own.x1, own.y1
    for step in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        near = cells.get((cell[0] + step[0], cell[1] + step[1]))
        if near is None:
            continue
        other = near[0].clip
        if fits(own.x1, other.x0):
            x1 = (own.x1 + other.x0) / 2
        elif fits(other.x1, own.x0):
            x0 = (own.x0 + other.x1) / 2
        elif fits(own.y1, other.y0):
            y1 = (own.y1 + other.y0) / 2
        elif fits(other.y1, own.y0):
            y0 = (own.y0 + other.y1) / 2
    whole = Box(x0, y0, x1, y1)
    return whole.common(slot) or whole


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


def _open_strips(cells: _Cells) -> list[Box]:
    """Return the strips between neighbours whose spines do not meet."""
    strips = []
    for (column, row), (panel, leaf) in cells.items():
        for beyond, toward in (((column + 1, row), "E"), ((column, row + 1), "N")):
            near = cells.get(beyond)
            if near is None or leaf is None or near[1] is None:
                continue
            if leaf.spine == toward and _AROUND.index(near[1].spine) == (_AROUND.index(leaf.spine) + 2) % 4:
                continue
            strip = _gap(panel.trim, near[0].trim)
            if strip is not None:
                strips.append(strip)
    return strips


def _gap(one: Box, other: Box) -> Box | None:
    """Return what lies between two boxes beside each other."""
    x0, x1 = sorted((one.x0, one.x1, other.x0, other.x1))[1:3]
    y0, y1 = sorted((one.y0, one.y1, other.y0, other.y1))[1:3]
    apart_x = fits(one.x1, other.x0) or fits(other.x1, one.x0)
    wide = (x1 - x0) if apart_x else (y1 - y0)
    return Box(x0, y0, x1, y1) if wide >= _LEAST_STRIP else None
