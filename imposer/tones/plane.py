"""A tone plane with its scale, and the smaller planes that measurements share.

Most questions about a page of 600 pixels per inch have their answer at 75 or 150. The reductions are made on first use
and kept, so that ten measurements on one page pay for them once. Nothing here changes the tones that it is given, and
nobody else may change them while the plane lives.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from PIL import Image

from imposer.geometry import Box, Size

#: Tones: (height, width) uint8, 0 = bare paper, 255 = full tone.
Tones = npt.NDArray[np.uint8]
Mask = npt.NDArray[np.bool_]

#: Pixels per inch of the plane of means: a third of a millimetre is finer than any limit on an area.
MEAN_PPI = 75
#: Pixels per inch of the planes of least and greatest tones: fine enough that type is not one grey.
EXTREME_PPI = 150

MM_PER_INCH = 25.4

#: Rows of pixels read at a time.
_BAND = 512

_Number = TypeVar("_Number", bound=np.generic)


@dataclass(frozen=True, slots=True, eq=False)
class Raster:
    """Tones on a square grid over a plane, first row at the top.

    Attributes:
        values: Shape (rows, columns); what they are of their cells (mean, least, …) says who gives the raster.
        pitch: Width of a cell, mm.
        size: Size of the plane, mm; cells of the last row and column may stand out beyond it.
    """

    values: Tones
    pitch: float
    size: Size

    def box(self, top: float, left: float, bottom: float, right: float) -> Box:
        """Return the box of rows top … bottom and columns left … right (ends excluded), mm, cut to the plane."""
        y1 = min(max(self.size.height - top * self.pitch, 0.0), self.size.height)
        x0 = min(max(left * self.pitch, 0.0), self.size.width)
        return Box(
            x0,
            min(max(self.size.height - bottom * self.pitch, 0.0), y1),
            max(min(right * self.pitch, self.size.width), x0),
            y1,
        )

    def cells(self, box: Box) -> tuple[slice, slice]:
        """Return the rows and columns whose cells lie in a box (mm) by more than half."""
        rows, columns = self.values.shape
        top = round((self.size.height - box.y1) / self.pitch)
        bottom = round((self.size.height - box.y0) / self.pitch)
        left, right = round(box.x0 / self.pitch), round(box.x1 / self.pitch)
        top, left = min(max(top, 0), rows), min(max(left, 0), columns)
        return slice(top, min(max(bottom, top), rows)), slice(left, min(max(right, left), columns))


@dataclass(frozen=True, eq=False)
class Plane:
    """The tones of one ink, and their scale.

    Attributes:
        tones: (height, width) uint8, 0 = bare paper, 255 = full tone, first row at the top.
        ppi: Pixels per inch.

    >>> Plane(np.zeros((300, 150), dtype=np.uint8), 300).size
    Size(width=12.7, height=25.4)
    """

    tones: Tones
    ppi: float

    def __post_init__(self) -> None:
        if self.tones.ndim != 2 or self.tones.dtype != np.uint8 or not self.tones.size:
            raise ValueError(f"a tone plane is (height, width) of 8 bits, not {self.tones.dtype} of {self.tones.shape}")
        if not self.ppi > 0:
            raise ValueError(f"{self.ppi} pixels per inch is no scale")

    @property
    def pitch(self) -> float:
        """Width of a pixel, mm."""
        return MM_PER_INCH / self.ppi

    @property
    def size(self) -> Size:
        """Size of the plane, mm."""
        height, width = self.tones.shape
        return Size(width * self.pitch, height * self.pitch)

    @cached_property
    def pixels(self) -> Raster:
        """The plane itself as a raster."""
        return Raster(self.tones, self.pitch, self.size)

    @cached_property
    def fine_means(self) -> Raster:
        """Mean tone of square cells, uint8, at about 150 an inch."""
        return self._means_of(self.pixels, self._factor(EXTREME_PPI))

    @cached_property
    def means(self) -> Raster:
        """Mean tone of square cells, uint8, at about 75 an inch, to within one step of 255."""
        factor, fine = self._factor(MEAN_PPI), self._factor(EXTREME_PPI)
        if factor != 2 * fine:
            return self._means_of(self.pixels, factor)
        # Twice the fine cells: the pixels are read once for both. Cells cut by the plane's end are made of pixels.
        rows, columns = (side // factor for side in self.tones.shape)
        values = np.empty(tuple(-(-side // factor) for side in self.tones.shape), dtype=np.uint8)
        values[:rows, :columns] = _joined(self.fine_means.values[: 2 * rows, : 2 * columns])
        below, beside = self.tones[rows * factor :], self.tones[:, columns * factor :]
        for cut, at in ((below, np.s_[rows:, :]), (beside, np.s_[:, columns:])):
            if cut.size:
                values[at] = np.asarray(Image.fromarray(np.ascontiguousarray(cut)).reduce(factor))
        return Raster(values, factor * self.pitch, self.size)

    def _means_of(self, raster: Raster, factor: int) -> Raster:
        if factor == 1:
            return raster
        picture = Image.fromarray(np.ascontiguousarray(raster.values))
        return Raster(np.asarray(picture.reduce(factor)), factor * raster.pitch, self.size)

    @property
    def least(self) -> Raster:
        """Lightest tone of square cells, uint8, at about 150 an inch."""
        return self._extremes.least

    @property
    def most(self) -> Raster:
        """Darkest tone of square cells, uint8, at about 150 an inch."""
        return self._extremes.most

    @property
    def column_most(self) -> Tones:
        """Darkest tone of every column, at full resolution."""
        return self._extremes.columns

    @property
    def row_most(self) -> Tones:
        """Darkest tone of every row, at full resolution."""
        return self._extremes.rows

    def _factor(self, ppi: float) -> int:
        return max(1, round(self.ppi / ppi))

    @cached_property
    def _extremes(self) -> _Extremes:
        """All four, for which the pixels are read once: some rows at a time, which stay near the processor."""
        factor, (height, width) = self._factor(EXTREME_PPI), self.tones.shape
        shape = (-(-height // factor), -(-width // factor))
        least, most = np.empty(shape, dtype=np.uint8), np.empty(shape, dtype=np.uint8)
        rows, columns = np.empty(height, dtype=np.uint8), np.zeros(width, dtype=np.uint8)
        cells = max(_BAND // factor, 1)
        for top in range(0, shape[0], cells):
            band = self.tones[top * factor : (top + cells) * factor]
            rows[top * factor : (top + cells) * factor] = band.max(axis=1)
            # Rows first: whole rows at a time run at the speed of memory, and leave little for the columns.
            least[top : top + cells] = fold(fold(band, factor, 0, np.minimum), factor, 1, np.minimum)
            darkest = fold(band, factor, 0, np.maximum)
            most[top : top + cells] = fold(darkest, factor, 1, np.maximum)
            np.maximum(columns, darkest.max(axis=0), out=columns)
        pitch = factor * self.pitch
        return _Extremes(Raster(least, pitch, self.size), Raster(most, pitch, self.size), rows, columns)


@dataclass(frozen=True, slots=True, eq=False)
class _Extremes:
    """Lightest and darkest tones of cells, and the darkest of every row and column."""

    least: Raster
    most: Raster
    rows: Tones
    columns: Tones


def _joined(cells: Tones) -> Tones:
    """Return the means of squares of 2 × 2 cells; halves are rounded to even, so that they do not add up to a bias."""
    sums = cells[::2].astype(np.uint16)
    sums += cells[1::2]
    sums = sums[:, ::2] + sums[:, 1::2]
    sums += 1 + ((sums >> 2) & 1)
    means: Tones = (sums >> 2).astype(np.uint8)
    return means


def fold(values: npt.NDArray[_Number], factor: int, axis: int, rule: np.ufunc) -> npt.NDArray[_Number]:
    """Return every `factor` rows (axis 0) or columns (axis 1) joined by a rule; those left over are joined together.

    >>> fold(np.array([[1, 5, 2, 0, 4]], dtype=np.uint8), 2, 1, np.maximum).tolist()
    [[5, 2, 4]]
    """
    cells = -(-values.shape[axis] // factor)
    shape = (cells, values.shape[1]) if axis == 0 else (values.shape[0], cells)
    folded = np.empty(shape, dtype=values.dtype)
    into, lines = (folded, values) if axis == 0 else (folded.T, values.T)
    # A full cell's first two are joined as they are read.
    first, second = lines[::factor], lines[1::factor] if factor > 1 else lines[:0]
    rule(first[: len(second)], second, out=into[: len(second)])
    into[len(second) :] = first[len(second) :]
    for line in range(2, factor):
        more = lines[line::factor]
        part = into[: len(more)]
        rule(part, more, out=part)
    return folded
