"""Collation marks: a bar on the spine fold of every gathered signature, one step lower on each.

In the gathered stack the bars form a staircase; a missing signature leaves a gap, a doubled one repeats a step
(Etherington and Roberts, Bookbinding and the Conservation of Books, "black step"). They are the one mark that lies on
pages: half its width on the spine edge of the two outer pages, where the fold hides it.
"""

from __future__ import annotations

from imposer.fold.model import Booklet
from imposer.geometry import Box, Turn
from imposer.sheet.mark_room import STEP_FROM_HEAD, STEP_LENGTH, STEP_WIDTH
from imposer.sheet.model import Panel, Patch, SheetSide
from imposer.units import close


def collation_marks(side: SheetSide, booklet: Booklet) -> tuple[Patch, ...]:
    """Return the bars of a side: on the spine of each outermost piece, between its first and its last page."""
    if booklet.signatures < 2:
        return ()
    outermost = {piece.number: piece for piece in booklet.pieces if piece.nest == 0}
    marks = []
    for panel in side.panels:
        piece = outermost.get(panel.piece)
        if piece is None or panel.page is None:
            continue
        first, last = piece.pages[0], piece.pages[-1]
        partner = next(
            (p for p in side.panels if p.page == last and p.piece == panel.piece and p.copy == panel.copy), None
        )
        if panel.page == first and partner and close(panel.trim.height, partner.trim.height):
            marks.append(Patch("steps", _bar(panel, partner, piece.signature)))
    return tuple(marks)


def _bar(first: Panel, last: Panel, signature: int) -> Box:
    """Return the bar's box: across the border of the two pages, stepped down from their heads."""
    level = first.rotation in (90, 270)
    spine = (first.trim.height if level else first.trim.width), (first.trim.width if level else first.trim.height)
    steps = max(1, int((spine[1] - 2 * STEP_FROM_HEAD) / STEP_LENGTH))
    down = STEP_FROM_HEAD + (signature - 1) % steps * STEP_LENGTH
    head = _from_head(first, down), _from_head(first, down + STEP_LENGTH)
    if level:
        at = max(first.trim.y0, last.trim.y0)
        return Box(min(head), at - STEP_WIDTH / 2, max(head), at + STEP_WIDTH / 2)
    at = max(first.trim.x0, last.trim.x0)
    return Box(at - STEP_WIDTH / 2, min(head), at + STEP_WIDTH / 2, max(head))


def _from_head(panel: Panel, down: float) -> float:
    """Return the coordinate along the spine that is `down` mm from the head of the page."""
    turn: Turn = panel.rotation
    match turn:
        case 0:
            return panel.trim.y1 - down
        case 90:
            return panel.trim.x0 + down
        case 180:
            return panel.trim.y0 + down
        case 270:
            return panel.trim.x1 - down
