"""One ink laid on what lies under it: a coloured film above a surface that shines through unfiltered.

Light that reaches the paper passes the film both ways and is filtered by it (Beer–Lambert); a small part, the floor,
comes back from the surface, or from ink that has sunk in, whatever lies on top. So

    P = floor + (under - floor) · T,    T = (solid - floor) / (paper - floor)

channel by channel in linear Rec.2020. The same law carries a colour from the paper it was measured on to another one.
All arrays here are one colour, shape (3,).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from imposer.ink.colour import Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Film:
    """What an ink does to the light, found from its full tone on one paper."""

    #: The part of the light above the floor that it lets through, per channel.
    transmittance: Floats
    #: Where the full tone is darker than the floor, that colour; infinite elsewhere. No film over it can be lighter.
    darkest: Floats
    #: Its own colour, for the part of it that hides what lies under.
    solid: Floats
    #: That part, 0…1.
    opacity: float
    #: The surface floor it was found with.
    floor: float


def film_of(solid: Floats, paper: Floats, *, floor: float, opacity: float = 0.0) -> Film:
    """Find the film from its full tone on a paper, both linear Rec.2020.

    A channel in which the paper is as dark as the floor tells nothing of the ink: the film is taken to be clear there.
    """
    light = paper - floor
    tells = light > 0
    transmittance = np.where(tells, np.maximum(solid - floor, 0.0) / np.where(tells, light, 1.0), 1.0)
    darkest = np.where(solid < floor, np.maximum(solid, 0.0), np.inf)
    return Film(transmittance=transmittance, darkest=darkest, solid=solid, opacity=opacity, floor=floor)


def lay(film: Film, under: Floats) -> Floats:
    """Return the colour of the film laid on `under`, linear Rec.2020.

    Where `under` is already as dark as the floor, a film leaves it as it is. Transparent films that are nowhere lighter
    than their paper can be laid in any order, and each only darkens.
    """
    filtered = np.where(under > film.floor, film.floor + (under - film.floor) * film.transmittance, under)
    filtered = np.minimum(filtered, film.darkest)
    colour: Floats = film.opacity * film.solid + (1 - film.opacity) * filtered
    return np.maximum(colour, 0.0)
