"""What kind of art a plane holds: line art or tones, told by looking at it and not by its file.

Line art is bare or solid, with grey only where an edge crosses a pixel; it wants the press's full resolution. A picture
has grey cells with neither bare paper nor solid ink in them, and tones that change from cell to cell. A tint is grey
too, but even, and its resolution does not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from imposer.tones.coverage import LEAST_INK
from imposer.tones.levels import SOLID
from imposer.tones.plane import Mask, Plane, Tones, fold

Kind = Literal["blank", "line", "tone", "mixed"]

#: Cells that are looked at together for evenness, along each side: two thirds of a millimetre.
_EVEN_CELLS = 4
#: Tones of an even tint lie this near to one another; an own choice, above rounding and below a picture's grain.
_EVEN_SPREAD = 2
#: Less of a picture among the ink is a stray grey; more than the other is a picture with a frame. Own choices.
_LITTLE, _MOST = 0.02, 0.60


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """What the ink of a plane is made of; shares of the cells that have any, 0 … 1, which sum to 1.

    Attributes:
        inked: How much of the plane's area has ink.
        solid: Solid ink.
        tint: Even grey.
        picture: Grey that changes.
        edge: Cells with bare paper or solid ink beside something else: outlines, type, lines.
    """

    inked: float
    solid: float
    tint: float
    picture: float
    edge: float

    @property
    def kind(self) -> Kind:
        """Line art, tones, or both."""
        if not self.inked:
            return "blank"
        if self.picture < _LITTLE:
            return "line"
        return "tone" if self.picture > _MOST else "mixed"


def describe_content(plane: Plane) -> Content:
    """Return what the ink of a plane is made of.

    >>> tones = np.zeros((600, 600), dtype=np.uint8)
    >>> tones[100:300, 100:300] = 255
    >>> describe_content(Plane(tones, 600)).kind
    'line'
    """
    least, most = plane.least.values, plane.most.values
    inked = most >= LEAST_INK
    count = int(np.count_nonzero(inked))
    if not count:
        return Content(inked=0.0, solid=0.0, tint=0.0, picture=0.0, edge=0.0)
    solid = least >= SOLID
    grey = (least >= LEAST_INK) & (most < SOLID)
    grey_count, solid_count = int(np.count_nonzero(grey)), int(np.count_nonzero(solid))
    tint_count = int(np.count_nonzero(grey & _even(least, most, grey))) if grey_count else 0
    return Content(
        inked=count / inked.size,
        solid=solid_count / count,
        tint=tint_count / count,
        picture=(grey_count - tint_count) / count,
        edge=(count - solid_count - grey_count) / count,
    )


def _even(least: Tones, most: Tones, grey: Mask) -> Mask:
    """Tell which cells lie where the tones of grey cells hardly change over two thirds of a millimetre."""
    lightest, darkest = np.where(grey, least, 255).astype(np.uint8), np.where(grey, most, 0).astype(np.uint8)
    for axis in (0, 1):
        lightest = fold(lightest, _EVEN_CELLS, axis, np.minimum)
        darkest = fold(darkest, _EVEN_CELLS, axis, np.maximum)
    # Where no cell is grey the darkest is lighter than the lightest.
    even = (darkest.astype(np.int16) - lightest) <= _EVEN_SPREAD
    rows, columns = least.shape
    return even.repeat(_EVEN_CELLS, axis=0).repeat(_EVEN_CELLS, axis=1)[:rows, :columns]
