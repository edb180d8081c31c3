"""What a PDF page was found to draw: type, strokes, images. Values alone; lengths in mm, boxes in page space."""

from __future__ import annotations

from dataclasses import dataclass, field

from imposer.geometry import Box

#: From this tone on type is as good as full: its screen leaves holes too small to print. A working value of our own.
FULL = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A run of type: its em in mm, its tone (None where it is a pattern), where it stands, a mark of what it says."""

    size: float
    tone: float | None
    box: Box
    said: bytes = field(repr=False)


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
class Drawn:
    """What a page draws.

    Attributes:
        words: The first 2000 runs of type.
        smallest: The smallest type that prints.
        smallest_reversed: The smallest type in white.
        smallest_tinted: The smallest type in a tint between bare and what is as good as full.
        thinnest: The thinnest stroke that prints.
        coarsest: The image with the fewest pixels an inch.
        fonts_missing: Names of fonts that the file does not bring along.
        whole: Whether all of the drawing was read.
    """

    words: tuple[Words, ...] = ()
    smallest: Words | None = None
    smallest_reversed: Words | None = None
    smallest_tinted: Words | None = None
    thinnest: Pen | None = None
    coarsest: Picture | None = None
    fonts_missing: tuple[str, ...] = ()
    whole: bool = True
