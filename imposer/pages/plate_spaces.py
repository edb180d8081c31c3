"""A PDF colour space in; the same space as it is on one plate out (ISO 32000-1, 8.6 and 8.6.7).

Process colours are the tones on four plates, spot colours those on plates of their own. What is painted in a space that
has no part for a plate leaves it bare, or, where it overprints, as it is. Gray and neutral light are the black plate's;
coloured light is on no plate, and its spread tells so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from imposer.pages.colour_spaces import ColourSpace, indexed
from imposer.pages.plates import BLACK, is_black, process_number, same_plate

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rows = NDArray[np.float64]

#: Colorants of no plate of their own: on every plate, and on none (8.6.6.4).
_ALL, _NONE = "All", "None"


@lru_cache(maxsize=256)
def on_plate(space: ColourSpace, plate: str | None) -> ColourSpace:
    """Return a space as it is on a plate, the same object for the same space; itself where no plate is meant.

    Raises:
        ColourSpaceError: the colours of its palette cannot be worked out.
    """
    if plate is None or space.nothing:
        return space
    if space.colours is not None and space.base is not None:
        base = on_plate(space.base, plate)
        made = indexed(base, space.colours)
        return replace(made, bare=base.bare, spares=base.spares)
    if space.family == "Pattern":
        return space if space.base is None else replace(space, base=on_plate(space.base, plate))
    if not space.plates:
        if is_black(plate):
            return space
        return replace(space, convert=_bare(space), bare=True, spares=process_number(plate) is None)
    part = next((at for at, name in enumerate(space.plates) if name == _ALL or same_plate(name, plate)), None)
    if part is None:
        return replace(space, convert=_bare(None), bare=True, spares=True)

    def convert(colours: Rows) -> tuple[Rows, Rows]:
        return 1 - np.clip(colours[:, part], 0, 1), np.zeros(len(colours))

    return replace(space, convert=convert, part=part)


def plates_of(space: ColourSpace, colour: tuple[float, ...] | None = None) -> tuple[str, ...]:
    """Return the plates that something painted in a space may print on.

    Args:
        space: the space.
        colour: the one colour it is painted in; None for any.
    """
    if space.base is not None:
        return plates_of(space.base)
    if space.nothing or space.family == "Pattern":
        return ()
    if not space.plates:
        # Light: white is bare.
        return (BLACK,) if colour is None or min(colour, default=0.0) < space.ranges[0][1] else ()
    tones = (1.0,) * len(space.plates) if colour is None else colour
    named = zip(space.plates, tones, strict=False)
    return tuple(name for name, tone in named if tone > 0 and name not in (_ALL, _NONE))


def _bare(light: ColourSpace | None) -> Callable[[Rows], tuple[Rows, Rows]]:
    """Return what makes every colour bare paper; how far light is from neutral is still told."""

    def convert(colours: Rows) -> tuple[Rows, Rows]:
        spreads = np.zeros(len(colours)) if light is None else light.convert(colours)[1]
        return np.ones(len(colours)), spreads

    return convert
