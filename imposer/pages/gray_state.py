"""What the rewriting of a drawing to gray knows and asks: the colours that are current, and what names stand for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from imposer.pages.colour_spaces import GRAY, ColourSpace


@dataclass(frozen=True, slots=True)
class Paint:
    """What fills or strokes."""

    space: ColourSpace = GRAY
    coloured: bool = False
    #: It leaves no mark.
    nothing: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """The part of the graphic state that matters for gray."""

    fill: Paint = Paint()
    stroke: Paint = Paint()
    text_mode: int = 0


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a named thing comes to in gray."""

    #: Its name in the new resources; None if nothing is drawn.
    name: str | None
    coloured: bool = False
    #: It is a nested drawing that paints in the colours that are current where it is drawn.
    inherits: bool = False
    #: It is a stencil, filled with the colour that is current.
    stencil: bool = False


class Scope(Protocol):
    """What the names in a drawing stand for. Every method notes that the name is used."""

    def space(self, name: object) -> ColourSpace:
        """Return a colour space.

        Raises:
            ColourSpaceError: there is none of that name.
        """

    def pattern(self, name: object) -> Drawn:
        """Return a pattern, turned to gray."""

    def gray_pattern_space(self) -> str:
        """Return the name of the space in which uncoloured patterns are painted gray."""

    def shading(self, name: object) -> Drawn:
        """Return a shading, turned to gray."""

    def xobject(self, name: object, state: State) -> Drawn:
        """Return an image or nested drawing, turned to gray."""

    def inline_image(self, image: Any) -> Drawn | None:  # noqa: ANN401 - the PDF library's inline image
        """Return an inline image as a named one in gray; None if it is gray as it stands."""

    def graphic_state(self, name: object) -> None:
        """Turn a named graphic state's soft mask to gray."""

    def font(self, name: object) -> Drawn | None:
        """Turn a font whose glyphs are drawings to gray; None if it is none."""

    def hides(self, content: object) -> bool:
        """Tell whether marked content, by name or dictionary, does not print."""
