"""How much ink lies where: means, worst places, and what lies outside a box.

Coverage is the mean tone of an area, 0 … 1. Areas are summed on the plane of means, with cells on the edge of a box
counted by their share; what lies outside a box is counted on the pixels themselves, because a clean page must measure
as exactly nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from imposer.geometry import Box
from imposer.tones.plane import Plane, Raster, Tones
from imposer.tones.rim import Beyond, ink_beyond

Sums = npt.NDArray[np.float64]

#: Tones under 1 % are no ink: rounding and a compressed picture's ripple leave as much on bare paper.
LEAST_INK = 3


@dataclass(frozen=True, slots=True)
class Window:
    """A place and its mean tone.

    Attributes:
        box: The place, mm.
        tone: Its mean tone, 0 … 1.
    """

    box: Box
    tone: float


@dataclass(frozen=True, slots=True)
class SummedTone:
    """The place where the tones of several inks add up to the most.

    Attributes:
        box: The place, mm.
        tones: Mean tone of every ink there, 0 … 1, in the order of the planes.
    """

    box: Box
    tones: tuple[float, ...]

    @property
    def total(self) -> float:
        """Their sum: 1.3 where two inks lie at 60 and 70 %."""
        return sum(self.tones)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """What of a plane's ink lies outside a box.

    Attributes:
        share: Part of the plane's ink, 0 … 1, weighed by its tone.
        left: How far ink reaches beyond the left edge, mm; 0 if it does not.
        right: The same for the right edge.
        bottom: The same for the lower edge.
        top: The same for the upper edge.
        places: Where it lies, by edge and stretch.
    """

    share: float
    left: float
    right: float
    bottom: float
    top: float
    places: tuple[Beyond, ...] = ()

    @property
    def furthest(self) -> float:
        """The largest of the four, mm."""
        return max(self.left, self.right, self.bottom, self.top)


def mean_tone(plane: Plane, box: Box | None = None) -> float:
    """Return the mean tone of a plane, or of a box of it (mm), 0 … 1; 0 for a box beside the plane.

    It is taken from the reduced plane, so the edge of a box is blurred by up to one reduced pixel.

    >>> tones = np.zeros((100, 100), dtype=np.uint8)
    >>> tones[:50, :50] = 255
    >>> round(mean_tone(Plane(tones, 254)), 3), round(mean_tone(Plane(tones, 254), Box(0, 5, 10, 10)), 1)
    (0.25, 0.5)
    """
    means, wanted = plane.means, box or Box(0, 0, plane.size.width, plane.size.height)
    rows, columns = means.values.shape
    height, width = plane.size.height, plane.size.width
    down = _overlaps(rows, means.pitch, height, height - wanted.y1, height - wanted.y0)
    across = _overlaps(columns, means.pitch, width, wanted.x0, wanted.x1)
    area = down.sum() * across.sum()
    return float(down @ (means.values.astype(np.float64) @ across) / area / 255) if area > 0 else 0.0


def worst_window(plane: Plane, side: float = 20.0, within: Box | None = None) -> Window:
    """Return the square window of the greatest mean tone.

    Args:
        plane: The plane.
        side: Side of the window, mm; it is cut to the plane, or to `within`, where these are smaller.
        within: Look only at windows inside this box, mm.

    Returns:
        The first such window from the top, in steps of a third of a millimetre.
    """
    return _worst(plane.means.values, plane.means, side, within)


def worst_sum(planes: Sequence[Plane], side: float = 5.0, within: Box | None = None) -> SummedTone:
    """Return the square window where the tones of planes of one size add up to the most.

    Args:
        planes: One plane an ink, of the same size in mm; their scales may differ.
        side: Side of the window, mm.
        within: Look only at windows inside this box, mm.
    """
    first = planes[0].means
    total = sum((_on_grid(plane.means, first) for plane in planes), np.zeros(first.values.shape, dtype=np.uint16))
    box = _worst(total, first, side, within).box
    return SummedTone(box, tuple(mean_tone(plane, box) for plane in planes))


def inked_box(plane: Plane, least: int = LEAST_INK) -> Box | None:
    """Return the smallest box that holds all pixels of at least `least` (of 255), mm; None if there are none."""
    rows, columns = np.flatnonzero(plane.row_most >= least), np.flatnonzero(plane.column_most >= least)
    if not len(rows):
        return None
    return plane.pixels.box(rows[0], columns[0], rows[-1] + 1, columns[-1] + 1)


def ink_outside(plane: Plane, box: Box, least: int = LEAST_INK) -> Outside:
    """Return how much ink lies outside a box (mm), and how far it reaches.

    A pixel lies where its middle lies. Reach counts pixels of at least `least` (of 255), the share counts all.
    """
    rows, columns = plane.pixels.cells(box)
    tones, pitch = plane.tones, plane.pitch
    strips = (
        (tones[: rows.start], plane.row_most[: rows.start]),
        (tones[rows.stop :], plane.row_most[rows.stop :]),
        (tones[rows, : columns.start], plane.column_most[: columns.start]),
        (tones[rows, columns.stop :], plane.column_most[columns.stop :]),
    )
    # Most pages are clean there, and that the darkest pixels tell.
    outside = sum(int(strip.sum(dtype=np.uint64)) for strip, darkest in strips if darkest.any())
    whole = outside + int(mean_tone(plane, box) * 255 * (rows.stop - rows.start) * (columns.stop - columns.start))
    inked_rows, inked_columns = np.flatnonzero(plane.row_most >= least), np.flatnonzero(plane.column_most >= least)
    if not len(inked_rows):
        return Outside(share=0.0, left=0.0, right=0.0, bottom=0.0, top=0.0)
    return Outside(
        share=outside / whole if whole else 0.0,
        left=max(columns.start - int(inked_columns[0]), 0) * pitch,
        right=max(int(inked_columns[-1]) + 1 - columns.stop, 0) * pitch,
        bottom=max(int(inked_rows[-1]) + 1 - rows.stop, 0) * pitch,
        top=max(rows.start - int(inked_rows[0]), 0) * pitch,
        places=ink_beyond(plane.pixels, box, least) if outside else (),
    )


def _overlaps(count: int, pitch: float, extent: float, start: float, stop: float) -> Sums:
    """Return how much of each of `count` cells of a plane's extent lies between start and stop, mm."""
    edges = np.minimum(np.arange(count + 1) * pitch, extent)
    inside: Sums = np.minimum(edges[1:], stop) - np.maximum(edges[:-1], start)
    return np.maximum(inside, 0.0)


def _on_grid(means: Raster, grid: Raster) -> Tones:
    if means.values.shape == grid.values.shape:
        return means.values
    height, width = grid.values.shape
    picture = Image.fromarray(means.values).resize((width, height), Image.Resampling.BOX)
    return np.asarray(picture)


def _worst(cells: npt.NDArray[np.integer], raster: Raster, side: float, within: Box | None) -> Window:
    """Return the worst window of values on a raster's grid."""
    rows, columns = (slice(0, n) for n in raster.values.shape) if within is None else raster.cells(within)
    values = cells[rows, columns]
    if not values.size:
        return Window(raster.box(rows.start, columns.start, rows.start, columns.start), 0.0)
    high, wide = (min(max(round(side / raster.pitch), 1), n) for n in values.shape)
    sums = window_sums(values, high, wide)
    top, left = divmod(int(sums.argmax()), sums.shape[1])
    box = raster.box(rows.start + top, columns.start + left, rows.start + top + high, columns.start + left + wide)
    return Window(box, float(sums[top, left]) / (high * wide * 255))


def window_sums(values: npt.NDArray[np.generic], high: int, wide: int) -> npt.NDArray[np.uint32]:
    """Return the sums of all windows of high × wide cells, by their first row and column; each must fit 32 bits."""
    # Sums from the plane's corner on may run over: what is left of them by subtraction is right all the same.
    integral = np.zeros((values.shape[0] + 1, values.shape[1] + 1), dtype=np.uint32)
    np.cumsum(values, axis=0, dtype=np.uint32, out=integral[1:, 1:])
    np.cumsum(integral[1:, 1:], axis=1, out=integral[1:, 1:])
    return integral[high:, wide:] - integral[:-high, wide:] - integral[high:, :-wide] + integral[:-high, :-wide]
