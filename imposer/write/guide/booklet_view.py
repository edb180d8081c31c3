"""Pieces and booklets drawn: the nest seen from its head, a fold, a pile, a closed booklet with its edges."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.data.fonts import SANS, SANS_BOLD
from imposer.geometry import Box
from imposer.write.guide.blocks import NAMES
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen, Point
from imposer.write.guide.spacing import spread

#: More pieces than this are drawn as the outer ones, dots, and the innermost.
_NEST_MOST = 8


def draw_nest(pen: Pen, box: Box, pieces: Sequence[int]) -> None:
    """Draw nested pieces seen from their head, the spine at the left, each with its number."""
    shown: list[int | None] = list(pieces)
    if len(shown) > _NEST_MOST:
        shown = [*shown[:4], None, *shown[-2:]]
    step = min(5.0, box.height / 2 / (len(shown) + 0.5))
    middle = (box.y0 + box.y1) / 2
    ends = box.x1 - 20
    tops = [middle + (len(shown) - i - 0.5) * step for i in range(len(shown))]
    names = spread(tops[::-1], 3.6)[::-1]
    down = max(0.0, names[0] - (box.y1 - 1.5))
    names = tuple(name - down for name in names)
    for i, piece in enumerate(shown):
        spine, reach = box.x0 + i * step * 0.9, (len(shown) - i) * step
        pen.line((ends + 0.5, tops[i]), (ends + 3.5, names[i]), HAIR, 0.5)
        pen.text((ends + 4.5, names[i] - 1.0), f"piece {piece}" if piece else "…", NAMES)
        if piece is None:
            continue
        bend = min(3.0, reach)
        top, foot = middle + reach - step / 2, middle - reach + step / 2
        pen.shape(
            ((ends, top), (spine + bend, top), (spine, middle), (spine + bend, foot), (ends, foot)),
            weight=FIRM,
            closed=False,
        )
    pen.text((box.x0, box.y0 - 3.5), "spine", NAMES, paint=0.3)


def draw_flat_piece(pen: Pen, box: Box, left: str, right: str, below: tuple[str, str]) -> None:
    """Draw an open piece: the pages that face up, the fold between them, and what lies beneath each."""
    middle = (box.x0 + box.x1) / 2
    pen.box(box, fill=1.0, weight=FIRM)
    pen.line((middle, box.y0), (middle, box.y1), THIN, dash=(1.5, 1.0))
    for at, page, under in (
        ((box.x0 + middle) / 2, left, below[0]),
        ((box.x1 + middle) / 2, right, below[1]),
    ):
        pen.text_in_middle((at, (box.y0 + box.y1) / 2 + 1.5), page, 15, font=SANS_BOLD)
        pen.text_in_middle((at, (box.y0 + box.y1) / 2 - 5), under, 7.5, paint=0.35)
        head_bar(pen, Box(at - box.width / 4, box.y0, at + box.width / 4, box.y1))


def draw_fold_arrow(pen: Pen, start: Point, end: Point, rise: float) -> None:
    """Draw an arrow that swings over from one half of a piece to the other."""
    (x0, y0), (x1, y1) = start, end
    steps = [i / 12 for i in range(13)]
    points = [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t + rise * 4 * t * (1 - t)) for t in steps]
    pen.arrow_along(points, FIRM, 2.6)


def draw_page_on_top(pen: Pen, box: Box, page: str, fold_at_left: bool, name: str = "") -> None:
    """Draw a folded piece: the page on top, the fold at its left or right, the leaves behind it."""
    for i in (2, 1):
        shift = 0.9 * i * (1 if fold_at_left else -1)
        pen.box(box.moved(shift, -0.9 * i), fill=1.0, weight=HAIR)
    pen.box(box, fill=1.0, weight=FIRM)
    fold = box.x0 if fold_at_left else box.x1
    pen.line((fold, box.y0), (fold, box.y1), 1.2)
    pen.text_in_middle(box.centre, page, 15, font=SANS_BOLD)
    head_bar(pen, box)
    if name:
        pen.text((box.centre[0], box.y0 - 6.0), name, NAMES, align="centre", paint=0.3)


def draw_pile(pen: Pen, box: Box, title: str, lines: Sequence[str]) -> None:
    """Draw a pile of paper seen from the side and above, with its title on top and lines of text under it."""
    lean, thick = 4.0, 5.0
    foot = box.y1 - 13
    face = (
        (box.x0, foot + thick),
        (box.x1 - lean, foot + thick),
        (box.x1, box.y1),
        (box.x0 + lean, box.y1),
    )
    pen.shape(face, fill=1.0, weight=FIRM)
    pen.box(Box(box.x0, foot, box.x1 - lean, foot + thick), fill=1.0, weight=FIRM)
    pen.shape(
        ((box.x1 - lean, foot), (box.x1, box.y1 - thick), (box.x1, box.y1), (box.x1 - lean, foot + thick)),
        fill=0.85,
        weight=FIRM,
    )
    for i in range(1, 4):
        y = foot + thick * i / 4
        pen.line((box.x0, y), (box.x1 - lean, y), HAIR, 0.4)
    pen.text_in_middle(((box.x0 + box.x1) / 2, (foot + thick + box.y1) / 2), title, 10, font=SANS_BOLD)
    for i, line in enumerate(lines):
        pen.text((box.x0, foot - 3.6 - 3.6 * i), line, NAMES, font=SANS)


def head_bar(pen: Pen, page: Box) -> None:
    """Draw the bar that marks the head of a page that stands upright."""
    middle, half = page.centre[0], min(4.0, page.width / 6)
    pen.box(Box(middle - half, page.y1 - 2.2, middle + half, page.y1 - 1.3), weight=None, fill=0.0)


def dimension(pen: Pen, start: Point, end: Point, text: str, *, size: float = NAMES) -> None:
    """Draw a dimension line, level or upright, with its ends ticked and its text beside the middle."""
    (x0, y0), (x1, y1) = start, end
    pen.line(start, end, HAIR)
    level = y0 == y1
    for x, y in (start, end):
        pen.line((x, y - 1) if level else (x - 1, y), (x, y + 1) if level else (x + 1, y), THIN)
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if level:
        pen.text((middle[0], middle[1] + 1.0), text, size, align="centre")
    else:
        pen.text_in_middle((middle[0] - 2.4, middle[1]), text, size, turn=90)
