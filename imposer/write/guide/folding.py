"""Folding: how a piece lies before, which half goes over, which page is on top afterwards."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.fold.model import Piece
from imposer.geometry import Box, Size
from imposer.units import show
from imposer.write.guide.blocks import Block, numbered, subheading
from imposer.write.guide.booklet_view import draw_flat_piece, draw_fold_arrow, draw_page_on_top
from imposer.write.guide.cautions import BENCH, caution_in_a_line
from imposer.write.guide.facts import GuideFacts, inner_pages, outer_pages
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, Pen
from imposer.write.guide.sheet_view import scale_to_fit
from imposer.write.guide.table import Cell, table

#: Heavier paper than this is scored before it is folded, g/m². Common practice, no source.
_SCORE_OVER = 135

#: So many pieces can be folded together by hand; common practice, no source.
_AT_ONCE = 4

#: Room for the flat piece in the fold drawing, and its least width, mm.
_FLAT, _LEAST_WIDE = Size(78.0, 44.0), 44.0


def folding(facts: GuideFacts, width: float) -> Section:
    """Return the step that folds pieces."""
    pieces = facts.imposition.booklet.pieces
    first = [piece for piece in pieces if piece.signature == 1]
    return Section(
        "Fold",
        (
            *caution_in_a_line(BENCH, width),
            _drawing(first, facts.trim),
            *numbered(_words(facts, first), width),
            *subheading("Each piece, so that nobody has to guess", width),
            *_list(pieces, width),
        ),
    )


def scoring(facts: GuideFacts) -> tuple[str, ...]:
    """Return the word on scoring heavy paper, or nothing."""
    weight = facts.job.sheet.paper.weight
    if weight <= _SCORE_OVER:
        return ()
    return (f"Score first: {show(weight)} g/m² is over about {_SCORE_OVER} g/m², and ink may crack on the fold.",)


def _words(facts: GuideFacts, first: Sequence[Piece]) -> tuple[str, ...]:
    over, under = ("left", "right") if cover_at_left_below(first) else ("right", "left")
    cover = min(first[0].pages)
    nested = len(first) > 1
    together = (
        f"Fold all {len(first)} pieces together, jogged to the head."
        if len(first) <= _AT_ONCE
        else f"Fold up to {_AT_ONCE} pieces at once, then nest them in order, piece {first[0].number} outermost."
    )
    return (
        *scoring(facts),
        f"Inside up, heads away from you. Bring the {over} half over onto the {under} one, edge to edge.",
        f"Now page {cover} is on top and the fold is at the {over}.",
        *((together,) if nested else ()),
        "A clean sheet between hand and print; crease with a bone folder from the middle outwards.",
        "Along the fold runs the grain. If the fold cracks or springs open, the grain runs across: ask first.",
    )


def cover_at_left_below(pieces: Sequence[Piece]) -> bool:
    """Tell whether the first page lies beneath the left half while the inside looks up."""
    _, outer_right = outer_pages(pieces[0])
    return outer_right == min(pieces[0].pages)


def _drawing(pieces: Sequence[Piece], trim: Size) -> Block:
    open_piece = Size(2 * trim.width, trim.height)
    scale = scale_to_fit(open_piece, _FLAT)
    wide, high = max(_LEAST_WIDE, open_piece.width * scale), max(20.0, open_piece.height * scale)
    left, right = inner_pages(pieces[-1])
    outer_left, outer_right = outer_pages(pieces[0])
    from_left = cover_at_left_below(pieces)
    cover = str(min(pieces[0].pages))

    def draw(pen: Pen, x: float, top: float) -> None:
        flat = Box.at(x + 4, top - 12 - high, wide, high)
        # What lies under the left half is the outside's right page: the sheet is seen from its other face.
        draw_flat_piece(pen, flat, str(left), str(right), (f"under it: {outer_right}", f"under it: {outer_left}"))
        ends = (flat.x0 + 12, flat.y1 + 1), (flat.x1 - 12, flat.y1 + 1)
        draw_fold_arrow(pen, ends[0] if from_left else ends[1], ends[1] if from_left else ends[0], 10)
        pen.arrow((flat.x1 + 8, flat.centre[1]), (flat.x1 + 22, flat.centre[1]), FIRM, 3.0)
        closed = Box.at(flat.x1 + 32, flat.y0, wide / 2, high)
        draw_page_on_top(pen, closed, cover, from_left, "fold at the left" if from_left else "fold at the right")

    return Block(high + 22, draw)


def _list(pieces: Sequence[Piece], width: float) -> tuple[Block, ...]:
    rows = []
    for piece in pieces:
        left, right = inner_pages(piece)
        last = max(piece.pages)
        rows.append(
            (
                Cell(f"Piece {piece.number}", bold=True),
                f"{left} | {right}",
                f"{min(piece.pages)}",
                f"{last}",
            )
        )
    return table(("", "Inside up, left | right", "On top once folded", "Underneath"), rows, (34, 50, 50, width - 134))
