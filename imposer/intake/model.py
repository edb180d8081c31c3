"""What the intake understood of a delivery. Values only."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.geometry import Size
from imposer.intake.delivery import Delivered, LeftOut, place_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A page of a file, as the art of one page in one ink."""

    page: int
    ink: str
    art: Delivered
    #: Which page of the file, from 0.
    index: int = 0

    @property
    def plate(self) -> str | None:
        """The plate of the file that the ink is; None where it is all of it."""
        return self.art.pages[self.index].plate

    @property
    def place(self) -> str:
        """The file, and the page in it where it has several, as a job file names it."""
        return place_of(self.art, self.index)


@dataclass(frozen=True, slots=True)
class Question:
    """What only a person can answer."""

    #: One sentence that ends with a question mark or says what to ask for.
    asks: str
    #: Lines of a job file, one of which may be the answer.
    proposals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """A delivery as far as it could be read. No cell is claimed twice; what was doubtful is a question instead."""

    #: Inks of the shop, in the shop's order.
    inks: tuple[str, ...] = ()
    #: By page, then ink.
    cells: tuple[Cell, ...] = ()
    trim: Size | None = None
    bleed: float = 0.0
    #: What was taken as it says itself, what was guessed and why, in sentences.
    said: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    #: What several files claim, one of which is right: by page, then ink.
    contested: tuple[Cell, ...] = ()
    #: Files of which no page has found its place.
    unplaced: tuple[Delivered, ...] = ()

    @property
    def pages(self) -> int:
        """The last page that any ink has."""
        return max((cell.page for cell in (*self.cells, *self.contested)), default=0)

    @property
    def holes(self) -> tuple[int, ...]:
        """Pages before the last that no ink has."""
        present = {cell.page for cell in (*self.cells, *self.contested)}
        return tuple(page for page in range(1, self.pages) if page not in present)

    def lacks(self, ink: str) -> tuple[int, ...]:
        """Return the pages that other inks have and this one has not."""
        every = (*self.cells, *self.contested)
        own = {cell.page for cell in every if cell.ink == ink}
        return tuple(sorted({cell.page for cell in every} - own))
