"""The overprint model's numbers for a browser, so that a page computes the very colours that `overprint.predict` does.

A fragment shader gets `ShaderConstants`. With `a = clamp(t + 4 g t (1 - t))` for each ink it mixes the roots pairwise
by the first ink's `a`, then the second's and so on, raises to the power n, turns the result into linear sRGB with the
matrix, cuts it to 0…1 and encodes it.

A browser without shaders gets `LayerConstants`: fill with the base, multiply by one layer an ink, `1 - a + a · film`,
then add the floor ("lighter"). That is the same film with a floor, worked in sRGB's encoded scale, where multiplying
comes near to the Yule–Nielsen law. It is coarser than the model, but multiplying alone would be far too dark.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from imposer.ink.colour import SRGB_FROM_REC2020, Floats, Triple, encode_srgb
from imposer.ink.defaults import ENCODED_FLOOR
from imposer.ink.overprint import OverprintModel


@dataclass(frozen=True, slots=True, kw_only=True)
class ShaderConstants:
    """Uniforms of the exact computation.

    Attributes:
        inks: Names, in the order of the bits.
        roots: `P^(1/n)` of every set of inks, linear Rec.2020; bit i of the place says whether ink i is there.
        gains: g of every ink.
        n: The Yule–Nielsen factor.
        to_srgb: Rows of the matrix from linear Rec.2020 to linear sRGB.
    """

    inks: tuple[str, ...]
    roots: tuple[Triple, ...]
    gains: tuple[float, ...]
    n: float
    to_srgb: tuple[Triple, Triple, Triple]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerConstants:
    """Colours of the plainer computation, encoded sRGB, 0…1.

    Attributes:
        inks: Names, in the order of the films.
        base: The paper less the floor.
        films: What each ink's full tone leaves of the base.
        floor: What is added at the end.
    """

    inks: tuple[str, ...]
    base: Triple
    films: tuple[Triple, ...]
    floor: Triple


def shader_constants(model: OverprintModel) -> ShaderConstants:
    """Return what a shader needs to compute the model's colours."""
    red, green, blue = SRGB_FROM_REC2020
    return ShaderConstants(
        inks=model.inks,
        roots=tuple(map(_triple, model.roots)),
        gains=model.gains,
        n=model.n,
        to_srgb=(_triple(red), _triple(green), _triple(blue)),
    )


def layer_constants(model: OverprintModel, floor: float = ENCODED_FLOOR) -> LayerConstants:
    """Return what layers that multiply need to come near the model's colours.

    Where the paper is darker than the floor, the paper itself is the floor.
    """
    paper = _encoded(model.paper)
    under = np.minimum(floor, paper)
    base = paper - under
    solids = [_encoded(model.solids[2**ink]) for ink in range(len(model.inks))]
    films = [np.where(base > 0, np.clip((solid - under) / np.where(base > 0, base, 1), 0, 1), 1) for solid in solids]
    return LayerConstants(inks=model.inks, base=_triple(base), films=tuple(map(_triple, films)), floor=_triple(under))


def _encoded(colour: Triple) -> Floats:
    """Return linear Rec.2020 as encoded sRGB."""
    return encode_srgb(np.array(colour) @ SRGB_FROM_REC2020.T)


def _triple(values: Floats) -> Triple:
    """Return three floats as a plain tuple."""
    first, second, third = values.tolist()
    return (first, second, third)
