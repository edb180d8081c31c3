"""What is gathered while the drawings of a page are turned to gray; values only."""

from __future__ import annotations

from dataclasses import dataclass, field

import pikepdf

from imposer.pages.gray_state import State


class GrayError(Exception):
    """A page whose vectors cannot be rewritten, and why in words."""


@dataclass(frozen=True, slots=True)
class PendingImage:
    """An image still to be turned to gray, and where it is named."""

    holder: pikepdf.Object
    name: str
    image: pikepdf.Object
    #: The plate that is wanted of it; None for its lightness.
    plate: str | None


@dataclass(slots=True)
class Outcome:
    """A nested drawing in gray."""

    thing: pikepdf.Object
    coloured: bool
    inherits: bool
    pending: list[PendingImage]
    rasterised: list[str]
    start: State
    plates: dict[str, None]


@dataclass(slots=True)
class Notes:
    """What is gathered while one page is rewritten."""

    pending: list[PendingImage] = field(default_factory=list)
    rasterised: list[str] = field(default_factory=list)
    #: Plates that it may print on, in the order met.
    plates: dict[str, None] = field(default_factory=dict)
    drawings: int = 0
    depth: int = 0
