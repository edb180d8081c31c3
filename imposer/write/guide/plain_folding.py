"""Folding in words, for pieces that take more than one fold: leaflets, right-angle signatures, slit sheets, cards.

Every fold is told as whoever folds sees it, in order, with what lies on top afterwards; read from the same simulation
that laid the pages out.
"""

from __future__ import annotations

from imposer.findings import Side
from imposer.fold.model import Piece
from imposer.fold.steps import FoldState, easier_side, folding_steps
from imposer.units import show
from imposer.write.guide.blocks import Block, numbered, subheading
from imposer.write.guide.cautions import BENCH, GUILLOTINE, caution, caution_in_a_line
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.table import Cell, table

_THING = {"left": "the left part", "right": "the right part", "bottom": "the bottom part", "top": "the top part"}


def plain_folding(facts: GuideFacts, width: float) -> Section | None:
    """Return the step that folds pieces with several folds; None for cards, which have none."""
    booklet = facts.imposition.booklet
    scheme = booklet.scheme
    if scheme.columns * scheme.rows == 1:
        return None
    up = "front" if scheme.slit else easier_side(scheme)
    texts = [_start(facts, up), *_folds(facts, up)]
    cautions: tuple[Block, ...] = caution_in_a_line(BENCH, width)
    if scheme.slit:
        cautions = caution(GUILLOTINE[-1:], width)
        texts += _slit(facts)
    if booklet.joined:
        texts[1:1] = _joined(facts)
    texts.append(_end(facts))
    rows = [(Cell(f"Piece {piece.number}", bold=True), front_in_words(piece)) for piece in booklet.pieces]
    return Section(
        "Slit and fold" if scheme.slit else "Fold",
        (
            *cautions,
            *numbered(texts, width),
            *subheading("Pages on the front of each piece, as it lies", width),
            *table(("", "Front"), rows, (34, width - 34)),
        ),
    )


def front_in_words(piece: Piece) -> str:
    """Return the pages on a piece's front, row by row from the top.

    >>> from imposer.fold.leaflets import fold_leaflet
    >>> front_in_words(fold_leaflet("mini", 8).pieces[0])
    '5 4 3 2 / 6 7 8 1'
    """
    rows: dict[int, list[tuple[int, str]]] = {}
    for leaf in piece.leaves:
        rows.setdefault(leaf.row, []).append((leaf.column, str(leaf.front or "–")))
    return " / ".join(" ".join(page for _, page in sorted(rows[row])) for row in sorted(rows, reverse=True))


def _start(facts: GuideFacts, up: Side) -> str:
    scored = " Score first: heavy paper and solid ink crack on a fold." if facts.job.sheet.paper.weight > 135 else ""
    return f"Lay a piece down with its {up} up, its upper edge away from you.{scored}"


def _folds(facts: GuideFacts, up: Side) -> list[str]:
    states = folding_steps(facts.imposition.booklet.scheme, up)
    return [_fold(state, last=state is states[-1], facts=facts) for state in states if state.made]


def _fold(state: FoldState, *, last: bool, facts: GuideFacts) -> str:
    made = state.made
    if made is None:
        return ""
    way = "over onto the rest: a valley" if made.over else "back under the rest: a mountain"
    line = "an upright" if made.axis == "V" else "a level"
    text = f"Fold {state.number}: along {line} line, {_THING[made.moves]} {way}."
    if last and not facts.imposition.booklet.scheme.slit:
        text += " All panels lie on each other now."
    return text


def _slit(facts: GuideFacts) -> list[str]:
    flat = facts.imposition.sheets[0].front.slits
    length = max((abs(s.x1 - s.x0) + abs(s.y1 - s.y0) for s in flat), default=0.0)
    return [
        f"Open it up again. Slit the middle line from bar to bar, {show(length)} mm, over the middle panels.",
        "Fold it in half along the slit, print outside. Push both ends together: the slit opens to a cross of wings.",
        "Lay the wings on each other so that page 1 is on top and its fold at the spine; crease all of it.",
    ]


def _joined(facts: GuideFacts) -> list[str]:
    booklet = facts.imposition.booklet
    flap = show(facts.job.binding.form.glue_flap)
    return [
        f"Join the {len(booklet.pieces)} pieces first: glue the front of each flap ({flap} mm) under the next piece.",
        "Panels meet edge to edge at the joint. Cut the flap, and what is empty, off the last piece. Let the glue dry.",
    ]


def _end(facts: GuideFacts) -> str:
    booklet = facts.imposition.booklet
    poster = booklet.pieces[0].poster
    inside = f" Unfolded, page {poster} fills the back." if poster else ""
    bound = "on the left" if not booklet.right_to_left else "on the right"
    trimmed = "" if booklet.scheme.leaflet else " Folds that are no spine are trimmed open later."
    return f"Page {min(booklet.pieces[0].pages)} is on top, heads up, its fold {bound}.{inside}{trimmed}"
