"""The function of a shading in, with the space its colours are in; a function that gives the gray alone out.

Gray is a weighted sum of a colour's parts, so where a function runs in straight lines between colours its gray runs in
straight lines between their grays, and is written exactly. Stitched functions are written piece by piece, so that hard
edges stay hard. What is left (calculators, spot colours) is sampled so finely that no step shows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pikepdf

from imposer.pages.colour_spaces import CMYK, GRAY, RGB, ColourSpace
from imposer.pages.pdf_functions import FunctionError, numbers, read_function, sample_table, stitching
from imposer.pages.pdf_objects import number_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Samples of a function of one number and, each way, of two.
_ALONG, _EACH_WAY = 4096, 256
_DEPTH = 8


def gray_function(
    pdf: pikepdf.Pdf, function: object, space: ColourSpace, domain: list[tuple[float, float]], depth: int = 0
) -> pikepdf.Object:
    """Return a function object of `pdf` that gives the gray of what `function` gives.

    Args:
        pdf: the PDF that the new function belongs to.
        function: a function object, or an array of them, one for each part of a colour.
        space: the colour space of what it gives.
        domain: the range of each of its inputs that is wanted.
        depth: how deep it lies in a stitching function.

    Raises:
        FunctionError: it is damaged or beyond the limits.
    """
    if depth > _DEPTH:
        raise FunctionError("functions lie too deep in one another")
    if isinstance(function, pikepdf.Array) and len(function) == 1:
        function = function[0]
    if isinstance(function, pikepdf.Dictionary | pikepdf.Stream):
        match function.get("/FunctionType"):
            case 2:
                exact = _straight(function, space)
            case 3:
                exact = _stitched(pdf, function, space, depth)
            case 0:
                exact = _resampled(pdf, function, space)
            case _:
                exact = None
        if exact is not None:
            return exact
    return _sampled(pdf, function, space, domain)


def _straight(function: pikepdf.Object, space: ColourSpace) -> pikepdf.Object | None:
    """Return an exponential function between two grays; None if the gray does not run straight between them."""
    ends = np.array([numbers(function.get("/C0")) or [0.0], numbers(function.get("/C1")) or [1.0]])
    if ends.shape[1] != space.components or not _adds_up(ends, space):
        return None
    grays, _ = space.rows(ends)
    made = pikepdf.Dictionary(FunctionType=2, Domain=function.Domain, N=function.N)
    made.C0, made.C1 = ([round(float(one), 6)] for one in grays)
    return made


def _adds_up(colours: NDArray[np.float64], space: ColourSpace) -> bool:
    """Tell whether the gray of any mixture of these colours is the mixture of their grays."""
    if (colours < 0).any() or (colours > 1).any():
        return False
    if space.part is not None:
        return True
    if space not in (GRAY, RGB, CMYK):
        return False
    # Where inks add up to more than full tone, the sum is cut off and no longer straight.
    return space is not CMYK or bool((space.rows(colours)[0] > 0).all() or (colours[:, :3] == 0).all())


def _stitched(pdf: pikepdf.Pdf, function: pikepdf.Object, space: ColourSpace, depth: int) -> pikepdf.Object:
    low, high = numbers(function.get("/Domain"))[:2] or (0.0, 1.0)
    _, encode, parts = stitching(function, np.array([low, high]))
    made = pikepdf.Dictionary(FunctionType=3, Domain=function.Domain, Bounds=function.Bounds, Encode=function.Encode)
    made.Functions = pikepdf.Array(
        [
            gray_function(pdf, part, space, [(float(min(ends)), float(max(ends)))], depth + 1)
            for part, ends in zip(parts, encode, strict=True)
        ]
    )
    return made


def _resampled(pdf: pikepdf.Pdf, function: pikepdf.Object, space: ColourSpace) -> pikepdf.Object | None:
    """Return a sampled function with the gray of each sample; None where that is not the gray between them."""
    size, table = sample_table(function)
    colours = table.reshape(-1, table.shape[-1])
    if colours.shape[1] != space.components or not _adds_up(colours, space):
        return None
    made = _table(pdf, function.Domain, size, space.rows(colours)[0])
    if "/Encode" in function:
        made.Encode = function.Encode
    return made


def _sampled(
    pdf: pikepdf.Pdf, function: object, space: ColourSpace, domain: list[tuple[float, float]]
) -> pikepdf.Object:
    each = _ALONG if len(domain) == 1 else _EACH_WAY
    axes = [np.linspace(low, high, each) for low, high in domain]
    # The first input varies fastest (ISO 32000-1, 7.10.2).
    grid = np.stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="xy")], axis=1)
    grays, _ = space.rows(_values(function, grid, space))
    flat = pikepdf.Array([round(end, 6) for ends in domain for end in ends])
    return _table(pdf, flat, [each] * len(domain), grays)


def _values(function: object, points: NDArray[np.float64], space: ColourSpace) -> NDArray[np.float64]:
    values = read_function(function)(points)
    if values.shape[1] != space.components:
        raise FunctionError(f"a function gives {values.shape[1]} numbers, its colour space has {space.components}")
    return values


def _table(pdf: pikepdf.Pdf, domain: pikepdf.Object, size: list[int], grays: NDArray[np.float64]) -> pikepdf.Object:
    made = pdf.make_stream(np.rint(grays * 65535).astype(">u2").tobytes())
    made.FunctionType = 0
    made.Domain, made.Range = domain, pikepdf.Array([0, 1])
    made.Size, made.BitsPerSample = pikepdf.Array(size), 16
    return made


def function_is_coloured(
    function: object, space: ColourSpace, domain: list[tuple[float, float]], neutral: float
) -> bool:
    """Tell whether a function gives colours that are further from gray than `neutral`.

    Raises:
        FunctionError: it is damaged or beyond the limits.
    """
    axes = [np.linspace(low, high, 65) for low, high in domain]
    grid = np.stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="xy")], axis=1)
    return bool((space.rows(_values(function, grid, space))[1] > neutral).any())


def domain_of(value: object, inputs: int) -> list[tuple[float, float]]:
    """Return the stated range of each input; 0 to 1 where none is stated."""
    found = numbers(value)
    if len(found) != 2 * inputs or number_of(found[0]) is None:
        return [(0.0, 1.0)] * inputs
    return [(found[2 * at], found[2 * at + 1]) for at in range(inputs)]
