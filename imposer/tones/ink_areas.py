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

#: The worst place is looked for in steps of 1 mm; it is 5 of them wide and high.
_STEP, _PLACE = 1.0, 5
#: From this tone on a pixel has ink: a quarter.
_INK = 64


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
    rows, columns = places
    last = len(plane.tones) - 1
    # Whole rows first, at the speed of memory; then three columns of what is left.
    here = plane.tones[rows]
    around = np.maximum(here, plane.tones[np.maximum(rows - 1, 0)])
    np.maximum(around, plane.tones[np.minimum(rows + 1, last)], out=around)
    padded = np.pad(around, ((0, 0), (1, 1)), mode="edge")
    darkest = _columns(padded, columns).copy()
    for across in (1, 2):
        np.maximum(darkest, _columns(padded, columns + across), out=darkest)
    middle = _columns(here, columns)
    mask: Mask = (middle >= _INK) & (middle > darkest >> np.uint8(1))
    return mask


def _columns(tones: Tones, columns: npt.NDArray[np.intp]) -> Tones:
    """Return columns of tones; a view where they follow at even steps."""
    steps = np.unique(np.diff(columns))
    return tones[:, columns[0] : columns[-1] + 1 : int(steps[0])] if len(steps) == 1 and steps[0] else tones[:, columns]
