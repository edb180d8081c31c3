"""Marks for holes and staples, on the spine and never in the art: fine strokes on a fold, where the fold hides them.

Signatures to be sewn carry them inside, along the fold of their innermost piece, where the needle goes in. What is
stapled or pierced through the side carries ticks across the outer fold of every signature: in the gathered stack they
form lines across the spine, from which the places are squared over onto the first page. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.fold.model import Booklet, Piece
from imposer.geometry import Box
from imposer.sheet.mark_room import LINE
from imposer.sheet.model import Patch, SheetSide, Stroke
from imposer.sheet.spine_folds import SpineFold, folds_of
from imposer.sheet.stitches import Stitching

#: Along the fold, and across it, mm: a tick reaches 0.4 mm onto each page.
ALONG, ACROSS = 2.0, 0.8


def hole_marks(
    side: SheetSide, booklet: Booklet, stitching: Stitching | None, bars: tuple[Patch, ...] = ()
) -> tuple[Stroke, ...]:
    """Return the marks of a side; none where the job names no stitch, or is stapled through its one fold.

    Args:
        side: the panels as they lie.
        booklet: its pieces.
        stitching: where it is held.
        bars: the collation marks of the side; a tick that would lie on one is left out.
    """
    if stitching is None or not stitching.named or stitching.kind == "saddle":
        return ()
    marks: list[Stroke] = []
    for piece in _marked_pieces(booklet, inside=stitching.kind == "sewn"):
        pages = piece.pages
        middle = len(pages) // 2
        wanted = pages[middle - 1 : middle + 1] if stitching.kind == "sewn" else (pages[0], pages[-1])
        for fold in folds_of(side, piece.number, wanted):
            for down in stitching.places:
                mark = _along(fold, down) if stitching.kind == "sewn" else _across(fold, down)
                if not any(bar.box.meets(_box(mark).grown(LINE)) for bar in bars):
                    marks.append(mark)
    return tuple(marks)


def _marked_pieces(booklet: Booklet, *, inside: bool) -> Iterator[Piece]:
    """Give the innermost piece of every signature, or the outermost."""
    innermost = {piece.signature: piece for piece in sorted(booklet.pieces, key=lambda piece: piece.nest)}
    for piece in booklet.pieces:
        if len(piece.pages) >= 2 and (piece is innermost[piece.signature] if inside else piece.nest == 0):
            yield piece


def _along(fold: SpineFold, down: float) -> Stroke:
    middle = fold.from_head(down)
    start, end = middle - ALONG / 2, middle + ALONG / 2
    if fold.level:
        return Stroke("holes", start, fold.at, end, fold.at, LINE)
    return Stroke("holes", fold.at, start, fold.at, end, LINE)


def _across(fold: SpineFold, down: float) -> Stroke:
    middle = fold.from_head(down)
    start, end = fold.at - ACROSS / 2, fold.at + ACROSS / 2
    if fold.level:
        return Stroke("holes", middle, start, middle, end, LINE)
    return Stroke("holes", start, middle, end, middle, LINE)


def _box(stroke: Stroke) -> Box:
    return Box(
        min(stroke.x0, stroke.x1), min(stroke.y0, stroke.y1), max(stroke.x0, stroke.x1), max(stroke.y0, stroke.y1)
    )
