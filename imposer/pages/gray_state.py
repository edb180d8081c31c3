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
    #: Where it overprints, it leaves the plate as it is: always, or in the mode in which no tone leaves no mark.
    spares: bool = False
    spares_nonzero: bool = False


@dataclass(frozen=True, slots=True)
class Overprint:
    """Whether what is painted leaves the plates that it has no part for as they are (ISO 32000-1, 8.6.7)."""

    fill: bool = False
    stroke: bool = False
    #: The mode in which process colours without tone leave their plate as it is too.
    nonzero: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """The part of the graphic state that matters for gray."""

    fill: Paint = Paint()
    stroke: Paint = Paint()
    text_mode: int = 0
    overprint: Overprint = Overprint()


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
    #: Where it overprints, it leaves the plate as it is.
    spares: bool = False


class Scope(Protocol):
    """What the names in a drawing stand for. Every method notes that the name is used."""

    def space(self, name: object) -> ColourSpace:
        """Return a colour space, as it is on the plate that is wanted.

        Raises:
            ColourSpaceError: there is none of that name.
        """

    def device(self, space: ColourSpace) -> ColourSpace:
        """Return a space that needs no name, as it is on the plate that is wanted."""

    def uses(self, space: ColourSpace, colour: tuple[float, ...]) -> None:
        """Note that a colour is chosen."""

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

    def graphic_state(self, name: object, overprint: Overprint) -> Overprint:
        """Turn a named graphic state's soft mask to gray; return what overprints from there on."""

    def font(self, name: object) -> Drawn | None:
        """Turn a font whose glyphs are drawings to gray; None if it is none."""

    def hides(self, content: object) -> bool:
        """Tell whether marked content, by name or dictionary, does not print."""
