"""Where inks lie, yes or no, on one coarser grid for all inks of a page: what registration is worked out on.

Pixels are taken out of the plane and never averaged: where two inks meet, an average puts both into the cell on the
edge, and a meeting looks like an overlap. A pixel has ink if its tone is at least a quarter, and more than half of the
darkest beside it; so of an edge that both inks drew in grey each pixel belongs to one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box, Size
from imposer.tones.plane import Mask, Plane, Raster, Tones

_Places = slice | npt.NDArray[np.intp]

#: The worst place is looked for in steps of 1 mm; it is 5 of them wide and high.
_STEP, _PLACE = 1.0, 5
#: From this tone on a pixel has ink: a quarter.
_INK = 64
#: Rows of cells looked at together: what is worked on stays near the processor.
_BAND = 400


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of a page, and how much of what is looked for lies in it.

    Attributes:
        box: The place, mm.
        amount: How much, in the unit of what is looked for.
    """

    box: Box
    amount: float


@dataclass(frozen=True, slots=True, eq=False)
class InkAreas:
    """Masks of several inks on one grid.

    Attributes:
        masks: One an ink, shape (rows, columns).
        pitch: Width of a cell, mm.
        size: Size of the page, mm.
    """

    masks: tuple[Mask, ...]
    pitch: float
    size: Size

    @property
    def states(self) -> Tones:
        """Which inks lie in every cell: bit i stands for ink i."""
        states = np.zeros(self.masks[0].shape, dtype=np.uint8)
        for ink, mask in enumerate(self.masks):
            states |= mask.view(np.uint8) << np.uint8(ink)
        return states

    def worst_place(
        self, rows: npt.NDArray[np.integer], columns: npt.NDArray[np.integer], weights: npt.NDArray[np.floating]
    ) -> Spot | None:
        """Return the place of 5 mm where weights of cells add up to the most; None if all are 0."""
        if not len(rows) or not weights.any():
            return None
        step = max(round(_STEP / self.pitch), 1)
        high, wide = (-(-side // step) for side in self.masks[0].shape)
        sums = np.bincount((rows // step) * wide + columns // step, weights, high * wide).reshape(high, wide)
        integral = np.pad(sums.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
        high, wide = min(_PLACE, high), min(_PLACE, wide)
        windows = integral[high:, wide:] - integral[:-high, wide:] - integral[high:, :-wide] + integral[:-high, :-wide]
        top, left = divmod(int(windows.argmax()), windows.shape[1])
        raster = Raster(np.empty((0, 0), dtype=np.uint8), step * self.pitch, self.size)
        return Spot(raster.box(top, left, top + high, left + wide), float(windows[top, left]))


def ink_areas(planes: Sequence[Plane], ppi: float) -> InkAreas:
    """Return where the inks of a page lie.

    Args:
        planes: One plane an ink, of the same size in mm; their scales may differ.
        ppi: Cells an inch at least, as far as the first plane has as many.

    Raises:
        ValueError: the planes are not of one size.
    """
    first = planes[0]
    factor = max(1, int(first.ppi / ppi + 1e-9))
    pitch = factor * first.pitch
    shape = (-(-first.tones.shape[0] // factor), -(-first.tones.shape[1] // factor))
    for plane in planes:
        if not first.size.close_to(plane.size, 2 * max(first.pitch, plane.pitch)):
            raise ValueError(f"inks of one page are of one size, not {first.size} and {plane.size}")
    return InkAreas(tuple(_mask(plane, pitch, shape) for plane in planes), pitch, first.size)


def _mask(plane: Plane, pitch: float, shape: tuple[int, int]) -> Mask:
    """Return where a plane has ink, at the middles of cells."""
    places = [
        np.minimum(((np.arange(count) + 0.5) * pitch / plane.pitch + 1e-6).astype(np.intp), side - 1)
        for count, side in zip(shape, plane.tones.shape, strict=True)
    ]
    columns = _even(places[1])
    mask = np.empty(shape, dtype=np.bool_)
    for top in range(0, shape[0], _BAND):
        mask[top : top + _BAND] = _inked(plane.tones, _even(places[0][top : top + _BAND]), columns)
    return mask


def _inked(tones: Tones, rows: _Places, columns: _Places) -> Mask:
    """Return which of some pixels have ink."""
    # Whole rows first, at the speed of memory; then three columns of what is left.
    here, last = tones[rows], len(tones) - 1
    around = np.maximum(here, tones[_beside(rows, -1, last)])
    np.maximum(around, tones[_beside(rows, 1, last)], out=around)
    last = tones.shape[1] - 1
    darkest = np.maximum(around[:, columns], around[:, _beside(columns, -1, last)])
    np.maximum(darkest, around[:, _beside(columns, 1, last)], out=darkest)
    middle = here[:, columns]
    mask: Mask = (middle >= _INK) & (middle > darkest >> np.uint8(1))
    return mask


def _even(places: npt.NDArray[np.intp]) -> _Places:
    """Return places that follow at even steps as a slice, which takes a view where they would take a copy."""
    step = int(places[1] - places[0]) if len(places) > 1 else 1
    if not step or not np.array_equal(places, np.arange(places[0], places[0] + len(places) * step, step)):
        return places
    return slice(int(places[0]), int(places[-1]) + 1, step)


def _beside(places: _Places, by: int, last: int) -> _Places:
    """Return the places beside others; where there are none, the last that there is."""
    if isinstance(places, slice):
        if places.start + by >= 0 and places.stop + by <= last + 1:
            return slice(places.start + by, places.stop + by, places.step)
        places = np.arange(places.start, places.stop, places.step)
    return np.minimum(np.maximum(places + by, 0), last)
