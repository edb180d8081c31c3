"""Folding a piece more than once: its creases in order, every state on the way, and what is closed at the end."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.fold.model import Piece
from imposer.fold.steps import easier_side
from imposer.units import show
from imposer.words import number_of
from imposer.write.guide.blocks import Block, gap, kept, numbered, paragraph, subheading
from imposer.write.guide.cautions import BENCH, caution_in_a_line
from imposer.write.guide.facts import GuideFacts, front_rows
from imposer.write.guide.flow import Section
from imposer.write.guide.fold_view import FoldedPiece, flat_map, picture_rows
from imposer.write.guide.fold_words import captions, closed_edges, closed_in_words, top_page, under_page
from imposer.write.guide.folding import scoring
from imposer.write.guide.table import Cell, table


def folding_in_steps(facts: GuideFacts, width: float) -> Section:
    """Return the step that folds pieces with several creases."""
    pieces = facts.imposition.booklet.pieces
    first = folded_piece(facts, pieces[0])
    side = "Fronts" if first.up == "front" else "Backs"
    folds = number_of(len(first.scheme.creases), "fold")
    lies = _lies(first)
    return Section(
        "Fold",
        (
            *caution_in_a_line(BENCH, width),
            *kept(paragraph(f"{side} up, {lies}. {folds}, in this order; piece {pieces[0].number} is drawn.", width)),
            gap(2.0, keep=True),
            flat_map(first, width),
            *subheading("Fold by fold, as seen from above", width),
            *picture_rows(first, captions(first), width),
            *numbered(_words(facts, first), width),
            *subheading("Each piece, so that nobody has to guess", width),
            *_list(facts, pieces, width),
        ),
    )


def folded_piece(facts: GuideFacts, piece: Piece) -> FoldedPiece:
    """Return a piece with where its folds lie, the side up from which most folds go over."""
    scheme, flat = facts.imposition.booklet.scheme, facts.flat
    lines_x, lines_y = (0.0, *flat.folds_x, flat.size.width), (0.0, *flat.folds_y, flat.size.height)
    return FoldedPiece(scheme, lines_x, lines_y, easier_side(scheme), piece)


def _lies(folded: FoldedPiece) -> str:
    corner = front_rows(folded.piece, folded.up)[0][0]
    return f"page {corner} at the far left corner" if corner is not None else "lying as drawn"


def _words(facts: GuideFacts, first: FoldedPiece) -> tuple[str, ...]:
    closed = closed_in_words(closed_edges(first))
    thick, caliper = len(first.piece.leaves), facts.job.sheet.paper.caliper
    return (
        *scoring(facts),
        "Crease every fold from the middle outwards before you begin the next, a clean sheet under the bone folder.",
        f"Folded, a piece is {number_of(thick, 'leaf', 'leaves')} and {show(thick * caliper)} mm thick. Press it flat.",
        *((closed,) if closed else ()),
    )


def _list(facts: GuideFacts, pieces: Sequence[Piece], width: float) -> tuple[Block, ...]:
    rows = []
    for piece in pieces:
        folded = folded_piece(facts, piece)
        far = "|".join(map(str, front_rows(piece, folded.up)[0]))
        top, _ = top_page(folded)
        rows.append((Cell(f"Piece {piece.number}", bold=True), far, f"{top}", f"{under_page(folded)}"))
    up = "front" if facts and easier_side(facts.imposition.booklet.scheme) == "front" else "back"
    return table(("", f"Flat, {up} up, far row", "On top once folded", "Underneath"), rows, (30, width - 110, 44, 36))
