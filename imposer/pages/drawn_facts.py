"""What a PDF page was found to draw: type, strokes, images. Values alone; lengths in mm, boxes in page space."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from imposer.geometry import Box

#: From this tone on type is as good as full: its screen leaves holes too small to print. A working value of our own.
FULL = 0.95
#: Up to this tone type is white.
_WHITE = 0.005

#: How type prints: in full tone or a pattern, in a tint, or as paper left bare in ink.
Shade = Literal["full", "tinted", "reversed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A run of type: its em in mm, its tone (None where it is a pattern), where it stands, a mark of what it says."""

    size: float
    tone: float | None
    box: Box
    said: bytes = field(repr=False)

    @property
    def shade(self) -> Shade:
        """How it prints."""
        if self.tone is None or self.tone >= FULL:
            return "full"
        return "reversed" if self.tone <= _WHITE else "tinted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """A stroke: its width in mm, and where."""

    width: float
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """An image: pixels an inch as printed, whether it is one bit a pixel, and where."""

    ppi: float
    bilevel: bool
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPicture:
    """An image that does not bring all of its data: what part is missing, 0 … 1, None if nobody can say; and where."""

    missing: float | None
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a page draws.

    Attributes:
        words: The first 2000 runs of type; some may stand beyond the bleed, in a file with a margin for marks.
        smallest: The smallest type that prints.
        smallest_reversed: The smallest type in white.
        smallest_tinted: The smallest type in a tint between bare and what is as good as full.
        pens: The 200 thinnest strokes that print, the thinnest first; beyond the bleed, too.
        coarsest: The image with the fewest pixels an inch.
        cut: The first images that do not bring all of their data.
        fonts_missing: Names of fonts that the file does not bring along.
        whole: Whether all of the drawing was read.
    """

    words: tuple[Words, ...] = ()
    smallest: Words | None = None
    smallest_reversed: Words | None = None
    smallest_tinted: Words | None = None
    pens: tuple[Pen, ...] = ()
    coarsest: Picture | None = None
    cut: tuple[CutPicture, ...] = ()
    fonts_missing: tuple[str, ...] = ()
    whole: bool = True
