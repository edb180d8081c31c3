"""Files with the inks they are for and the pages they are, and what must be said about that. Values only."""

from __future__ import annotations

from dataclasses import dataclass, field

from imposer.intake.clues import Clues, InkClue
from imposer.intake.delivery import Delivered
from imposer.intake.model import Cell, Question


@dataclass(frozen=True, slots=True)
class Named:
    """A file with the ink it is for."""

    art: Delivered
    clues: Clues
    #: The word that told; None where the ink was not told by a word.
    by: InkClue | None
    ink: str
    #: The plate of it that the ink is, if it has several.
    plate: str | None = None

    @property
    def stem(self) -> str:
        """The file's name without the word for the ink, dates and sizes."""
        return self.clues.without(self.by)[-1]

    @property
    def folders(self) -> tuple[str, ...]:
        """The names of its folders in the delivery, without dates and sizes; the nearest last.

        That which names the ink is empty: a number of its own is the order of printing.
        """
        own = self.by.component if self.by else len(self.clues.components)
        return tuple("" if at == own else name for at, name in enumerate(self.clues.components[:-1]))


@dataclass(frozen=True, slots=True)
class Title:
    """A word in all names that is an ink, or part of the title."""

    asks: str
    #: The ink it would be, and the one all is in if it is none.
    inks: tuple[str, str]


@dataclass(frozen=True, slots=True)
class InkDoubt:
    """Files whose ink only a person knows."""

    asks: str
    #: Each is the files with inks that they may be for.
    ways: tuple[tuple[Named, ...], ...]
    #: The other inks that the files of a way may be for, if it puts in one for all.
    others: tuple[str, ...] = ()


@dataclass(slots=True)
class Inks:
    """The files by ink, and what must be said."""

    named: list[Named] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    #: Asked about once pages are known, so that the answers hold these.
    doubts: list[InkDoubt] = field(default_factory=list)
    #: Where all files may be of another ink.
    title: Title | None = None


@dataclass(slots=True)
class Numbers:
    """The cells that are sure, and what must be said."""

    cells: list[Cell] = field(default_factory=list)
    #: What several files claim.
    contested: list[Cell] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    #: The question which page is which, where each page of a file is one: of no weight where it is two side by side.
    unclear: list[Question] = field(default_factory=list)
