"""Files with the inks they are for, and what must be said about that. Values only."""

from __future__ import annotations

from dataclasses import dataclass, field

from imposer.intake.clues import Clues, InkClue
from imposer.intake.delivery import Delivered
from imposer.intake.model import Question


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


@dataclass(slots=True)
class Inks:
    """The files by ink, and what must be said."""

    named: list[Named] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
