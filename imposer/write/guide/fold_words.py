"""A folding sequence in words: what is done at every fold, and how the folded piece is held. Values in, text out."""

from __future__ import annotations

from itertools import pairwise

from imposer.fold.model import Compass
from imposer.fold.steps import FoldMade, FoldState, points_to
from imposer.words import number_of
from imposer.write.fold_pictures import closed_sides
from imposer.write.guide.fold_view import FoldedPiece

_TOWARD: dict[Compass, str] = {"N": "away from you", "S": "towards you", "W": "to the left", "E": "to the right"}
_AROUND: tuple[Compass, ...] = ("N", "E", "S", "W")
#: The side of an upright page with its spine at the left.
_EDGES: dict[Compass, str] = {"N": "head", "E": "fore edge", "S": "foot", "W": "spine"}


def captions(folded: FoldedPiece) -> tuple[str, ...]:
    """Return a caption for every picture: the fold to make, and at last what lies before you."""
    states = [picture.state for picture in folded.pictures]
    found = [_fold_in_words(before, after.made) for before, after in pairwise(states) if after.made]
    return (*found, finished(folded))


def _fold_in_words(before: FoldState, made: FoldMade) -> str:
    of = before.columns if made.axis == "V" else before.rows
    moved = made.at if made.moves in ("left", "bottom") else of - made.at
    lines = "columns" if made.axis == "V" else "rows"
    part = "half" if 2 * moved == of else lines[:-1] if moved == 1 else f"{moved} of {of} {lines}"
    side = {"left": "left", "right": "right", "bottom": "near", "top": "far"}[made.moves]
    way = "over onto the rest: valley" if made.over else "under the rest, out of sight: mountain"
    return f"Bring the {side} {part} {way}."


def finished(folded: FoldedPiece) -> str:
    """Return how the folded piece lies, and what brings its first page up, head away."""
    page, head = top_page(folded)
    lowest = min(folded.piece.pages, default=None)
    turns = quarter_turns(head)
    words = f"Folded: page {page} on top, head {_TOWARD[head]}." if page is not None else "Folded."
    if turns:
        turned = {1: "a quarter clockwise", 2: "half round", 3: "a quarter counter-clockwise"}[turns]
        words += f" Turn it {turned}: the head points away from you."
    if page is not None and page != lowest:
        words += f" Then turn it over like a leaf: page {lowest} is up."
    return words


def top_page(folded: FoldedPiece) -> tuple[int | None, Compass]:
    """Return the page on top of the folded piece, and where its head points."""
    (place,) = folded.pictures[-1].state.places
    front, back, head = folded.faces()[place.top.column, place.top.row]
    return (front if place.top.front_up else back), points_to(place.top, head)


def under_page(folded: FoldedPiece) -> int | None:
    """Return the page that the folded piece lies on."""
    (place,) = folded.pictures[-1].state.places
    lowest = place.layers[-1]
    front, back, _ = folded.faces()[lowest.column, lowest.row]
    return back if lowest.front_up else front


def quarter_turns(head: Compass) -> int:
    """Return how many quarters clockwise bring a head to point away.

    >>> quarter_turns("W"), quarter_turns("N"), quarter_turns("E")
    (1, 0, 3)
    """
    return -_AROUND.index(head) % 4


def closed_edges(folded: FoldedPiece) -> dict[str, int]:
    """Return the edges of the folded piece that folds close, other than its spine: how many folds each.

    Edges are named as on a page that stands upright: head, foot, fore edge.
    """
    turns = quarter_turns(top_page(folded)[1])
    spine = spine_side(folded)
    found: dict[str, int] = {}
    for side, folds in closed_sides(folded.scheme, folded.up).items():
        turned = _AROUND[(_AROUND.index(side) + turns) % 4]
        if turned != spine:
            name = _EDGES[turned] if turned in ("N", "S") else "fore edge"
            found[name] = found.get(name, 0) + folds
    return found


def spine_side(folded: FoldedPiece) -> Compass:
    """Return where the spine lies once the head points away."""
    return _AROUND[(_AROUND.index(folded.spine) + quarter_turns(top_page(folded)[1])) % 4]


def closed_in_words(closed: dict[str, int]) -> str:
    """Return what must be trimmed open, in a sentence; empty if nothing is.

    >>> closed_in_words({"head": 2, "fore edge": 1})
    'Closed by folds until it is trimmed open: head (2 folds), fore edge (1 fold).'
    """
    if not closed:
        return ""
    named = ", ".join(f"{edge} ({number_of(folds, 'fold')})" for edge, folds in closed.items())
    return f"Closed by folds until it is trimmed open: {named}."
