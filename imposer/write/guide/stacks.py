"""The stacks that come off the cutter: which pieces each holds, from the top. Read from the panels of the fronts."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.sheet.model import PressSheet
from imposer.words import runs_of
from imposer.write.guide.facts import GuideFacts, front_rows
from imposer.write.guide.words import letters

#: No more pages than this are named one by one.
_PAGES_MOST = 24


@dataclass(frozen=True, slots=True)
class Stack:
    """What one place of the sheet becomes."""

    letter: str
    #: Piece numbers from the top, a sheet each; empty if the place is not used.
    pieces: tuple[int, ...]
    #: The pages on each piece's front, as it lies: row by row from the top.
    pages: tuple[tuple[tuple[int | None, ...], ...], ...]

    def in_words(self) -> str:
        """Return its pieces in words."""
        if not self.pieces:
            return "waste"
        return f"{'piece' if len(self.pieces) == 1 else 'pieces'} {runs_of(self.pieces)}"

    def pages_in_words(self) -> str:
        """Return the pages on the fronts, a piece each."""
        each = max((sum(map(len, rows)) for rows in self.pages), default=1)
        most = max(1, _PAGES_MOST // each)
        shown = [" / ".join("|".join(map(str, row)) for row in rows) for rows in self.pages[:most]]
        return ", ".join(shown) + (" …" if len(self.pages) > most else "")


def stacks_of(facts: GuideFacts) -> tuple[Stack, ...]:
    """Return the stacks in the order of the layout's places."""
    by_number = {piece.number: piece for piece in facts.imposition.booklet.pieces}
    stacks = []
    for index in range(len(facts.layout.slots)):
        found = [_piece_at(facts, sheet, index) for sheet in facts.imposition.sheets]
        pieces = tuple(piece for piece in found if piece)
        stacks.append(Stack(letters(index), pieces, tuple(front_rows(by_number[piece]) for piece in pieces)))
    return tuple(stacks)


def _piece_at(facts: GuideFacts, sheet: PressSheet, index: int) -> int:
    """Return the piece that lies in a place of a sheet, 0 if none does."""
    slot = facts.layout.slots[index]
    for panel in sheet.front.panels:
        x, y = panel.trim.centre
        if slot.x0 < x < slot.x1 and slot.y0 < y < slot.y1:
            return panel.piece
    return 0
