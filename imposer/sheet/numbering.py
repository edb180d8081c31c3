"""A part's pages and sheets numbered as the whole job counts them. An imposition in, the same one out.

Pieces and signatures keep the numbers of their part: they are folded, nested and gathered part by part.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from imposer.fold.model import Piece
from imposer.sheet.model import Imposition, SheetSide


def numbered_in_job(imposition: Imposition, pages: Sequence[int], sheets_before: int) -> Imposition:
    """Return an imposition with the numbers of the whole job.

    Args:
        imposition: a part, with pages and sheets counted from 1.
        pages: the reader's number of each of its pages, blanks included.
        sheets_before: how many sheets earlier parts take.
    """
    reader: dict[int | None, int | None] = {None: None, **dict(enumerate(pages, start=1))}
    booklet = imposition.booklet
    return replace(
        imposition,
        booklet=replace(
            booklet,
            pieces=tuple(_piece(piece, reader) for piece in booklet.pieces),
            blanks=tuple(pages[page - 1] for page in booklet.blanks),
        ),
        sheets=tuple(
            replace(
                sheet,
                number=sheet.number + sheets_before,
                front=_side(sheet.front, reader),
                back=_side(sheet.back, reader),
            )
            for sheet in imposition.sheets
        ),
    )


def _piece(piece: Piece, reader: Mapping[int | None, int | None]) -> Piece:
    leaves = (replace(leaf, front=reader[leaf.front], back=reader[leaf.back]) for leaf in piece.leaves)
    return replace(piece, leaves=tuple(leaves), poster=reader[piece.poster])


def _side(side: SheetSide, reader: Mapping[int | None, int | None]) -> SheetSide:
    return replace(side, panels=tuple(replace(panel, page=reader[panel.page]) for panel in side.panels))
