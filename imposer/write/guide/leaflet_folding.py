"""Folding a leaflet: its creases, its slit, every state on the way, drawn and told. Cards have no folds and no step.

Read from the same simulation that laid the pages out.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from imposer.findings import Side
from imposer.fold.model import Piece
from imposer.fold.steps import easier_side
from imposer.sheet.layout import piece_of
from imposer.units import show
from imposer.words import number_of
from imposer.write.guide.blocks import Block, gap, numbered, paragraph, subheading
from imposer.write.guide.cautions import BENCH, GUILLOTINE, caution, caution_in_a_line
from imposer.write.guide.facts import GuideFacts, front_rows
from imposer.write.guide.flow import Section
from imposer.write.guide.fold_view import FoldedPiece, drawn_pictures, flat_map, picture_rows
from imposer.write.guide.fold_words import captions
from imposer.write.guide.folding import scoring
from imposer.write.guide.ring_view import ring_pictures
from imposer.write.guide.table import Cell, table


def leaflet_folding(facts: GuideFacts, width: float) -> Section | None:
    """Return the step that folds a leaflet; None for cards."""
    scheme = facts.imposition.booklet.scheme
    if scheme.columns * scheme.rows == 1:
        return None
    folded = _folded(facts)
    # The caution for the blade stands right before the slit, and on its page.
    slit = (*caution(GUILLOTINE[-1:], width), *_ring(folded, width)) if scheme.slit else ()
    side = "Fronts" if folded.up == "front" else "Backs"
    lies = f"{side} up, lying as drawn. {number_of(len(scheme.creases), 'fold')}, in this order."
    return Section(
        "Slit and fold" if scheme.slit else "Fold",
        (
            *caution_in_a_line(BENCH, width),
            *_joining(facts, width),
            *paragraph(lies, width),
            gap(2.0, keep=True),
            flat_map(folded, width),
            *subheading("Fold by fold, as seen from above", width),
            *picture_rows(folded, _captions(folded), width),
            *slit,
            *numbered(_words(facts), width),
            *(_list(facts, width) if len(facts.imposition.booklet.pieces) > 1 else ()),
        ),
    )


def _folded(facts: GuideFacts) -> FoldedPiece:
    """Return the leaflet as one piece, whatever number of pieces it is joined from."""
    booklet = facts.imposition.booklet
    scheme = booklet.scheme
    flat = piece_of(facts.job, facts.trim, scheme)
    up: Side = "front" if scheme.slit else easier_side(scheme)
    lines_x, lines_y = (0.0, *flat.folds_x, flat.size.width), (0.0, *flat.folds_y, flat.size.height)
    return FoldedPiece(scheme, lines_x, lines_y, up, _joined(booklet.pieces), trimmed=False, slits=flat.slits)


def _joined(pieces: tuple[Piece, ...]) -> Piece:
    leaves = tuple(replace(leaf, column=leaf.column + piece.first_column) for piece in pieces for leaf in piece.leaves)
    return replace(pieces[0], leaves=leaves)


def _captions(folded: FoldedPiece) -> tuple[str, ...]:
    told = list(captions(folded))
    drawn = drawn_pictures(len(told))
    for before, after in pairwise(drawn):
        if after > before + 1:
            told[before] += f" Go on in the same way, over and under in turn, up to fold {after}."
    if folded.scheme.slit:
        told[-1] = "All creases are made. Open the sheet again."
    return tuple(told)


def _ring(folded: FoldedPiece, width: float) -> tuple[Block, ...]:
    return ring_pictures(_slit_words(folded), min(folded.piece.pages), width)


def _slit_words(folded: FoldedPiece) -> tuple[str, str, str, str]:
    length = max((slit.x1 - slit.x0 for slit in folded.slits), default=0.0)
    return (
        f"Slit along the middle line, {show(length)} mm, over the middle panels and no farther.",
        "Fold it in half along the slit, print outside, the slit upwards.",
        "Push both ends together: the slit opens, and four wings stand in a cross.",
        "Lay the wings on each other round page 1, its fold at the spine, and crease all of it.",
    )


def _words(facts: GuideFacts) -> tuple[str, ...]:
    booklet = facts.imposition.booklet
    poster = booklet.pieces[0].poster
    pages = [page for piece in booklet.pieces for page in piece.pages if page != poster]
    bound = "right" if booklet.right_to_left else "left"
    return (
        *scoring(facts),
        "Crease every fold from the middle outwards before you begin the next, a clean sheet under the bone folder.",
        f"Done, page {min(pages)} is in front, head up, and opens from its {bound}.",
        *((f"Unfolded, page {poster} fills the back.",) if poster else ()),
    )


def _joining(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    booklet = facts.imposition.booklet
    if not booklet.joined:
        return ()
    flap = show(facts.job.binding.form.glue_flap)
    return (
        *subheading(f"Join the {len(booklet.pieces)} pieces first", width),
        *numbered(
            (
                f"In their order, fronts up: glue the front of each flap ({flap} mm) under the next piece.",
                "Panels meet edge to edge at the joint. Cut the flap, and what is empty, off the last piece.",
                "Let the glue dry under a board before you fold.",
            ),
            width,
        ),
    )


def _list(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    rows = [
        (Cell(f"Piece {piece.number}", bold=True), _in_words(front_rows(piece)), _in_words(front_rows(piece, "back")))
        for piece in facts.imposition.booklet.pieces
    ]
    half = (width - 34) / 2
    return (
        *subheading("Pages on each piece, as it lies", width),
        *table(("", "Front", "Back, seen from the back"), rows, (34, half, half)),
    )


def _in_words(rows: tuple[tuple[int | None, ...], ...]) -> str:
    return " / ".join("|".join("–" if page is None else str(page) for page in row) for row in rows)
