"""A folding sequence drawn: the flat piece with all its creases, then a picture for every fold and the folded piece.

Valleys and mountains differ in line and in word, so that they are told apart without colour: a valley is dashed, a
mountain is dash-dotted (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from imposer.data.fonts import SANS_BOLD
from imposer.findings import Side
from imposer.fold.model import Compass, Piece, Scheme
from imposer.fold.steps import points_to
from imposer.geometry import Box, Size, Turn
from imposer.units import from_points
from imposer.write.fold_pictures import CreaseLine, FoldPicture, closed_sides, crease_map, fold_pictures
from imposer.write.guide.blocks import NAMES, SMALL, Block, line_height
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen, Point, text_width
from imposer.write.guide.sheet_view import View, scale_to_fit
from imposer.write.guide.words import wrap

#: On, off, … in mm.
VALLEY, MOUNTAIN = (2.2, 1.1), (3.4, 0.9, 0.5, 0.9)

#: Room for one picture of the sequence and for the flat piece with all creases, mm.
_PICTURE, _FLAT = Size(44.0, 36.0), Size(150.0, 70.0)
#: Room for arrows above and right of a picture, and from one picture to the next.
_ABOVE, _RIGHT, _BETWEEN = 9.0, 9.0, 3.0
#: A folded piece is drawn at most so much larger than the flat one, or with its shorter side so long, mm.
_LARGER, _LEAST_SIDE = 2.2, 13.0
#: Cells narrower than this have the names of their creases upright, mm.
_NARROW = 15.0
#: Of a longer sequence the first pictures and the last ones are drawn.
_MOST, _FIRST, _LAST = 9, 4, 2

#: A cell that carries no page: the end of a strip, where the last piece is shorter.
_BARE: tuple[None, None, Compass] = (None, None, "N")

_TURN: dict[Compass, Turn] = {"N": 0, "W": 90, "S": 180, "E": 270}


@dataclass(frozen=True, slots=True)
class FoldedPiece:
    """One piece on its way through the folds: how it is folded, where, which side looks up, what it carries."""

    scheme: Scheme
    #: The edges of columns and rows as seen from the front, mm.
    lines_x: Sequence[float]
    lines_y: Sequence[float]
    up: Side
    piece: Piece
    #: Folds that are no spine are trimmed open: so with signatures, not with leaflets.
    trimmed: bool = True
    #: Where the flat piece is slit, as seen from its front, mm.
    slits: Sequence[Box] = ()

    @property
    def pictures(self) -> tuple[FoldPicture, ...]:
        """A picture for every state."""
        return fold_pictures(self.scheme, self.lines_x, self.lines_y, self.up)

    @property
    def creases(self) -> tuple[CreaseLine, ...]:
        """All creases of the flat piece."""
        return crease_map(self.scheme, self.lines_x, self.lines_y, self.up)

    @property
    def spine(self) -> Compass:
        """Where the spine is, as the folded piece lies."""
        (place,) = self.pictures[-1].state.places
        leaf = next(x for x in self.piece.leaves if (x.column, x.row) == (place.top.column, place.top.row))
        return points_to(place.top, leaf.spine)

    def faces(self) -> Mapping[tuple[int, int], tuple[int | None, int | None, Compass]]:
        """Return for every cell its page on the front, on the back, and its edge at the pages' heads."""
        return {(leaf.column, leaf.row): (leaf.front, leaf.back, leaf.head) for leaf in self.piece.leaves}


def flat_map(folded: FoldedPiece, width: float) -> Block:
    """Return the flat piece with its pages, and its creases numbered in order."""
    flat = folded.pictures[0]
    scale = scale_to_fit(flat.outline.size, Size(min(width - 30, _FLAT.width), _FLAT.height))
    high = flat.outline.height * scale

    def draw(pen: Pen, x: float, top: float) -> None:
        view = _view(flat.outline, x + (width - flat.outline.width * scale) / 2, top - high - 2, scale)
        _draw_cells(pen, view, flat, folded)
        for line in folded.creases:
            _draw_crease(pen, view, line)
        for line in folded.creases:
            _draw_crease_name(pen, view, line, flat, numbered=not folded.slits)
        for slit in folded.slits:
            _draw_slit(pen, view, slit)
        pen.box(view.box(flat.outline), weight=FIRM)
        _draw_key(pen, x, top - high - 8.5)

    return Block(high + 12, draw)


def _draw_key(pen: Pen, x: float, y: float) -> None:
    """Draw which line is which, from a left edge on a baseline."""
    for dash, words in ((VALLEY, "V: valley, the part comes up and over"), (MOUNTAIN, "M: mountain, it goes under")):
        pen.line((x, y + 1), (x + 14, y + 1), FIRM, dash=dash)
        pen.text((x + 16, y), words, NAMES)
        x += 20 + text_width(words, NAMES) + 6


def drawn_pictures(count: int) -> tuple[int, ...]:
    """Return which pictures of a sequence are drawn: all, or of a long one the first and the last.

    >>> drawn_pictures(4), drawn_pictures(12)
    ((0, 1, 2, 3), (0, 1, 2, 3, 10, 11))
    """
    if count <= _MOST:
        return tuple(range(count))
    return (*range(_FIRST), *range(count - _LAST, count))


def picture_rows(folded: FoldedPiece, captions: Sequence[str], width: float) -> tuple[Block, ...]:
    """Return the pictures of the sequence with a caption each, in rows that stay whole.

    `captions` has one for every picture, drawn or not.
    """
    every = folded.pictures
    numbers = drawn_pictures(len(every))
    pictures = [every[i] for i in numbers]
    across = max(1, int((width + _BETWEEN) // (_PICTURE.width + _RIGHT + _BETWEEN)))
    # Rows of like length: four pictures are two and two, not three and one.
    rows = -(-len(pictures) // across)
    across = -(-len(pictures) // rows)
    room = (width + _BETWEEN) / across - _BETWEEN
    flat = scale_to_fit(pictures[0].outline.size, _PICTURE)
    drawn = [_Drawn(p, _scale(p, flat), folded, i + 1) for p, i in zip(pictures, numbers, strict=True)]
    texts = [wrap(captions[i], room - 2, SMALL) for i in numbers]
    return tuple(_row(drawn[i : i + across], texts[i : i + across], room) for i in range(0, len(pictures), across))


def _scale(picture: FoldPicture, flat: float) -> float:
    size = picture.outline.size
    return min(scale_to_fit(size, _PICTURE), max(flat * _LARGER, _LEAST_SIDE / min(size.width, size.height)))


@dataclass(frozen=True, slots=True)
class _Drawn:
    picture: FoldPicture
    scale: float
    folded: FoldedPiece
    number: int

    @property
    def high(self) -> float:
        return self.picture.outline.height * self.scale


def _row(drawn: Sequence[_Drawn], texts: Sequence[Sequence[str]], room: float) -> Block:
    high = max(each.high for each in drawn)
    step = line_height(SMALL)
    below = max(map(len, texts)) * step

    def draw(pen: Pen, x: float, top: float) -> None:
        for i, (each, lines) in enumerate(zip(drawn, texts, strict=True)):
            left = x + i * (room + _BETWEEN)
            _draw_picture(pen, each, left + 2, top - _ABOVE - high)
            for n, line in enumerate(lines):
                pen.text((left, top - _ABOVE - high - 4.5 - step * (n + 0.76)), line, SMALL)

    return Block(_ABOVE + high + 4.5 + below + 2.0, draw)


def _draw_picture(pen: Pen, drawn: _Drawn, x: float, y: float) -> None:
    picture = drawn.picture
    if picture.next is None and drawn.folded.trimmed:
        x += 5
    view = _view(picture.outline, x, y, drawn.scale)
    _draw_cells(pen, view, picture, drawn.folded)
    made = picture.state.made
    if made is not None:
        pen.line(*_edge(view.box(picture.outline), made.lies), 1.1)
    if picture.next is None and drawn.folded.trimmed:
        _name_edges(pen, view.box(picture.outline), drawn.folded)
    pen.disc((x - 1.2, y + drawn.high + 3.2), 2.4, fill=1.0, weight=THIN)
    pen.text_in_middle((x - 1.2, y + drawn.high + 3.2), str(drawn.number), 7.5, font=SANS_BOLD)
    if picture.next is not None:
        _draw_crease(pen, view, picture.next)
        _draw_move(pen, view, picture)


def _view(outline: Box, x: float, y: float, scale: float) -> View:
    """Return a view that lays the lower left corner of an outline on (x, y)."""
    return View(x - outline.x0 * scale, y - outline.y0 * scale, scale, outline.size)


def _draw_cells(pen: Pen, view: View, picture: FoldPicture, folded: FoldedPiece) -> None:
    faces = folded.faces()
    for seen in picture.cells:
        pen.box(view.box(seen.box), fill=1.0, weight=HAIR)
    for seen in (seen for seen in picture.cells if seen.on_top):
        front, back, head = faces.get((seen.cell.column, seen.cell.row), _BARE)
        page = front if seen.cell.front_up else back
        if page is not None:
            _draw_page(pen, view.box(seen.box), page, points_to(seen.cell, head))


def _draw_page(pen: Pen, box: Box, page: int, head: Compass) -> None:
    """Draw a page's number, turned as the page is, and a bar at its head."""
    turn = _TURN[head]
    upright = box.size.turned if turn in (90, 270) else box.size
    long, inset, thick = upright.width / 3, min(1.0, upright.height * 0.06), min(0.9, upright.height * 0.06)
    (x, y), half = box.centre, long / 2
    bar = {
        "N": Box(x - half, box.y1 - inset - thick, x + half, box.y1 - inset),
        "S": Box(x - half, box.y0 + inset, x + half, box.y0 + inset + thick),
        "E": Box(box.x1 - inset - thick, y - half, box.x1 - inset, y + half),
        "W": Box(box.x0 + inset, y - half, box.x0 + inset + thick, y + half),
    }[head]
    pen.box(bar, weight=None, fill=0.0)
    words = str(page)
    size = max(5.0, min(14.0, upright.height * 0.9, upright.width * 1.5))
    if text_width(words, size, SANS_BOLD) > upright.width * 0.68:
        size *= upright.width * 0.68 / text_width(words, size, SANS_BOLD)
    pen.text_in_middle((x, y), words, size, font=SANS_BOLD, turn=turn)


def _draw_crease(pen: Pen, view: View, line: CreaseLine) -> None:
    pen.line(view.point(line.x0, line.y0), view.point(line.x1, line.y1), 0.35, dash=VALLEY if line.valley else MOUNTAIN)


def _draw_crease_name(pen: Pen, view: View, line: CreaseLine, flat: FoldPicture, *, numbered: bool) -> None:
    """Write a crease's number and V or M on a white ground, beside the middle of a cell: no other crease is there."""
    words = f"{line.number if numbered else ''} {'V' if line.valley else 'M'}".strip()
    centres = [seen.box.centre for seen in flat.cells]
    if line.x0 == line.x1:
        at = min((abs(y - line.middle[1]), -y) for _, y in centres if line.y0 < y < line.y1)[1]
        x, y = view.point(line.x0, -at)
    else:
        at = min((abs(x - line.middle[0]), x) for x, _ in centres if line.x0 < x < line.x1)[1]
        x, y = view.point(at, line.y0)
    half, high = text_width(words, 7.0, SANS_BOLD) / 2 + 0.7, from_points(7.0) * 0.62
    narrow = line.x0 == line.x1 and min(view.box(seen.box).width for seen in flat.cells) < _NARROW
    if narrow:
        # Below the pages' numbers, which fill their cells.
        y = view.point(0.0, line.y0)[1] + half + 0.6
    box = Box.around(x, y, 2 * high, 2 * half) if narrow else Box.around(x, y, 2 * half, 2 * high)
    pen.box(box, weight=HAIR, fill=1.0, radius=0.7)
    pen.text_in_middle((x, y), words, 7.0, font=SANS_BOLD, turn=90 if narrow else 0)


def _draw_slit(pen: Pen, view: View, slit: Box) -> None:
    """Draw a slit as a firm line with its name."""
    pen.line(view.point(slit.x0, slit.y0), view.point(slit.x1, slit.y1), 0.9)
    x, y = view.point((slit.x0 + slit.x1) / 2, (slit.y0 + slit.y1) / 2)
    half = text_width("slit", 7.0, SANS_BOLD) / 2 + 0.7
    pen.box(Box.around(x, y, 2 * half, 3.2), weight=HAIR, fill=1.0, radius=0.7)
    pen.text_in_middle((x, y), "slit", 7.0, font=SANS_BOLD)


def _name_edges(pen: Pen, box: Box, folded: FoldedPiece) -> None:
    """Name the edges of the folded piece that folds close: the spine, and those to be trimmed open."""
    spine = folded.spine
    for side in closed_sides(folded.scheme, folded.up):
        words = "spine" if side == spine else "trim open"
        if side != spine:
            pen.line(*_edge(box.grown(-1.3), side), FIRM, dash=(0.5, 0.8))
        x, y = box.centre
        at, turn = {
            "W": ((box.x0 - 3.0, y), 90),
            "E": ((box.x1 + 3.0, y), 90),
            "S": ((x, box.y0 - 2.6), 0),
            "N": ((x, box.y1 + 2.6), 0),
        }[side]
        pen.text_in_middle(at, words, 7.0, turn=90 if turn else 0)


def _edge(box: Box, side: Compass) -> tuple[Point, Point]:
    return {
        "W": ((box.x0, box.y0), (box.x0, box.y1)),
        "E": ((box.x1, box.y0), (box.x1, box.y1)),
        "S": ((box.x0, box.y0), (box.x1, box.y0)),
        "N": ((box.x0, box.y1), (box.x1, box.y1)),
    }[side]


def _draw_move(pen: Pen, view: View, picture: FoldPicture) -> None:
    """Draw the arrow of the next fold: beyond the piece, from the part that moves to where it lands.

    Over the rest it is drawn through, under the rest dashed.
    """
    line, move, moving = picture.next, picture.move, picture.moving
    if line is None or move is None or moving is None:
        return
    whole, part = view.box(picture.outline), view.box(moving)
    dash = None if move.over else (1.2, 0.9)
    if move.axis == "V":
        at, _ = view.point(line.x0, line.y0)
        half = max(4.0, min(12.0, part.width / 2))
        start, end = (at - half, at + half) if move.moves == "left" else (at + half, at - half)
        points = [_arc(start, end, whole.y1 + 1.0, t, 5.0) for t in _PARTS]
    else:
        _, at = view.point(line.x0, line.y0)
        half = max(4.0, min(12.0, part.height / 2))
        start, end = (at - half, at + half) if move.moves == "bottom" else (at + half, at - half)
        points = [(x, y) for y, x in (_arc(start, end, whole.x1 + 1.0, t, 5.0) for t in _PARTS)]
    _draw_arrow(pen, points, dash)


#: Twelve steps along an arrow.
_PARTS = tuple(i / 12 for i in range(13))


def _arc(start: float, end: float, foot: float, along: float, rise: float) -> Point:
    return start + (end - start) * along, foot + rise * 4 * along * (1 - along)


def _draw_arrow(pen: Pen, points: Sequence[Point], dash: tuple[float, float] | None) -> None:
    if dash is None:
        pen.arrow_along(points, FIRM, 2.4)
        return
    pen.shape(points[:-1], weight=FIRM, closed=False, dash=dash)
    pen.arrow_along(points[-2:], FIRM, 2.4)
