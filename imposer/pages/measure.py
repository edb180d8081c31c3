"""What every page carries in every ink, measured on its tones: coverage, darkest tone, inked box, preview.

The table goes in, a `Measured` for each cell comes out; pages pass one at a time. Images are measured on their own
pixels, so that nothing that prints can be called blank; PDF pages as `page_planes` draws them, where a hairline of
0.06 pt still leaves a quarter of a tone.
"""

from __future__ import annotations

import hashlib
import io
import math
import zlib
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageChops

from imposer.geometry import Box, Size
from imposer.job.model import Job, PageSpec
from imposer.pages.image_samples import BAND
from imposer.pages.model import Measured, PageArt, PageTable
from imposer.pages.page_planes import decode
from imposer.pages.place import with_bleed
from imposer.pages.previews import keep
from imposer.pages.resolution import MM_PER_INCH, pixels_at
from imposer.progress import Progress
from imposer.tones.plane import Plane, Raster
from imposer.tones.sketch import area_means, cells_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Resolution of the previews, ppi.
PREVIEW_PPI = 100.0


def measure_table(job: Job, table: PageTable, progress: Progress | None = None) -> dict[tuple[int, str], Measured]:
    """Measure every cell of a table, one page after the other.

    Raises:
        ImposerError: a page cannot be decoded or rendered.
    """
    found = {}
    for done, (cell, art) in enumerate(table.cells.items()):
        if progress:
            progress("measuring pages", done, len(table.cells))
        found[cell] = measure_page(art, art.own(job.page))
    if progress:
        progress("measuring pages", len(table.cells), len(table.cells))
    return found


def measure_page(art: PageArt, page: PageSpec) -> Measured:
    """Measure one page in one ink.

    Coverage is the mean tone over the trim, bare paper where the art does not reach; darkest tone and inked box are
    taken over trim plus bleed, for that is what can be printed.

    Raises:
        ImposerError: the page cannot be decoded or rendered.
    """
    return measure_tones(decode(art), art, page)


def measure_tones(tones: NDArray[np.uint8], art: PageArt, page: PageSpec, plane: Plane | None = None) -> Measured:
    """Measure one page whose tones are decoded already; see `measure_page`.

    Args:
        tones: The art's tones.
        art: The art.
        page: The page's size.
        plane: The plane of the very same tones, if there is one: coverage, preview and sketch are taken from its means,
            which is as good and quicker, and the rest from what it knows of its rows and columns.
    """
    full = with_bleed(page)
    printed = Box.around(page.trim.width / 2, page.trim.height / 2, full.width, full.height)
    grid = _Grid(tones, art.covers)
    coarse = grid if plane is None else grid.reduced(plane.fine_means)
    darkest = grid.darkest(printed) if plane is None else (plane.row_most, plane.column_most)
    trim = Box(0, 0, page.trim.width, page.trim.height)
    return Measured(
        coverage=coarse.sum_over(trim) / (trim.width * trim.height),
        darkest=int(darkest[0].max(initial=0)) / 255,
        inked=grid.inked(printed, *darkest),
        kept=keep(_preview(coarse, page.trim)),
        sketch=_sketch(coarse, page.trim),
        digest=_digest(tones),
    )


def _digest(tones: NDArray[np.uint8]) -> str:
    """Return what stands for all pixels of a page, whatever file they came in."""
    found = hashlib.sha256(f"{tones.shape[0]} x {tones.shape[1]} ".encode())
    found.update(np.ascontiguousarray(tones).data)
    return found.hexdigest()


class _Grid:
    """Tones as they lie on the page: a pixel is a box of `pixel` mm in page space, the first row on top."""

    def __init__(self, tones: NDArray[np.uint8], covers: Box) -> None:
        self.tones = tones
        self.covers = covers
        self.pixel = Size(self.covers.width / tones.shape[1], self.covers.height / tones.shape[0])

    def reduced(self, raster: Raster) -> _Grid:
        """Return the grid of a raster's squares; those at the end stand out beyond the art."""
        means = raster.values
        factor = round(raster.pitch * self.tones.shape[1] / raster.size.width)
        wide, high = (side * factor for side in (self.pixel.width, self.pixel.height))
        x0, y1 = self.covers.x0, self.covers.y1
        return _Grid(means, Box(x0, y1 - means.shape[0] * high, x0 + means.shape[1] * wide, y1))

    def edges(self, box: Box) -> tuple[float, float, float, float]:
        """Return a box in pixels: left, top, right, bottom, cut to the art."""
        height, width = self.tones.shape
        left = (box.x0 - self.covers.x0) / self.pixel.width
        right = (box.x1 - self.covers.x0) / self.pixel.width
        top = (self.covers.y1 - box.y1) / self.pixel.height
        bottom = (self.covers.y1 - box.y0) / self.pixel.height
        return (
            min(max(left, 0.0), width),
            min(max(top, 0.0), height),
            min(max(right, 0.0), width),
            min(max(bottom, 0.0), height),
        )

    def darkest(self, box: Box) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
        """Return the darkest of every row and column of the pixels that lie in a box by more than a hundredth."""
        left, top, right, bottom = self.edges(box)
        part = self.tones[_down(top) : _up(bottom), _down(left) : _up(right)]
        return part.max(axis=1, initial=0), part.max(axis=0, initial=0)

    def sum_over(self, box: Box) -> float:
        """Return tone times area over a box, mm²; pixels on its edges count by the part that lies in it."""
        left, top, right, bottom = self.edges(box)
        if right <= left or bottom <= top:
            return 0.0
        rows = _weights(top, bottom, self.tones.shape[0])
        columns = _weights(left, right, self.tones.shape[1])
        total = 0.0
        for start in range(_down(top), _up(bottom), BAND):
            # In bands, and in whole numbers where no row is cut: an image of floats would take eight times its memory.
            band, weights = self.tones[start : start + BAND], rows[start : start + BAND]
            sums = band.sum(axis=0, dtype=np.uint32) if weights.min() == 1 else weights @ band
            total += float(sums @ columns)
        return total / 255 * self.pixel.width * self.pixel.height

    def inked(self, box: Box, row_most: NDArray[np.uint8], column_most: NDArray[np.uint8]) -> Box | None:
        """Return the box around all pixels of a box that hold any tone, in page space; None if there are none."""
        left, top, _, _ = self.edges(box)
        rows, columns = np.flatnonzero(row_most), np.flatnonzero(column_most)
        if not len(rows):
            return None
        first_row, first_column = _down(top), _down(left)
        return Box(
            max(box.x0, float(self.covers.x0 + (first_column + columns[0]) * self.pixel.width)),
            max(box.y0, float(self.covers.y1 - (first_row + rows[-1] + 1) * self.pixel.height)),
            min(box.x1, float(self.covers.x0 + (first_column + columns[-1] + 1) * self.pixel.width)),
            min(box.y1, float(self.covers.y1 - (first_row + rows[0]) * self.pixel.height)),
        )


#: Fewer pixels than this a cell of a sketch are not averaged beforehand.
_PIXELS_A_CELL = 8


def _sketch(grid: _Grid, trim: Size) -> bytes:
    """Return the mean tones of a page's cells, from its own pixels."""
    columns, rows = cells_of(trim)
    factor = max(1, int(trim.width / columns / grid.pixel.width / _PIXELS_A_CELL))
    tones = grid.tones if factor == 1 else np.asarray(Image.fromarray(grid.tones).reduce(factor))
    across, down = grid.pixel.width * factor, grid.pixel.height * factor
    left, top = -grid.covers.x0 / across, (grid.covers.y1 - trim.height) / down
    window = (left, top, left + trim.width / across, top + trim.height / down)
    return np.rint(area_means(tones, window, columns, rows)).astype(np.uint8).tobytes()


#: A pixel that reaches into a box by less than this part of itself lies outside: sizes are floats.
_SLIVER = 0.01


def _down(edge: float) -> int:
    return math.floor(edge + _SLIVER)


def _up(edge: float) -> int:
    return math.ceil(edge - _SLIVER)


def _weights(first: float, last: float, count: int) -> NDArray[np.float64]:
    """Return how much of each of `count` pixels in a row lies between two edges."""
    starts = np.arange(count, dtype=np.float64)
    inside: NDArray[np.float64] = np.minimum(starts + 1, last) - np.maximum(starts, first)
    return inside.clip(0.0, 1.0)


def _preview(grid: _Grid, trim: Size) -> bytes:
    """Return the trim as a small gray picture, packed, paper where the art does not reach."""
    width, height = pixels_at(trim, PREVIEW_PPI)
    paper = Image.new("L", (width, height), 0)
    left, top, right, bottom = grid.edges(Box(0, 0, trim.width, trim.height))
    shared = grid.covers.common(Box(0, 0, trim.width, trim.height))
    if shared and right > left and bottom > top:
        per_mm = PREVIEW_PPI / MM_PER_INCH
        x0, x1 = round(shared.x0 * per_mm), min(width, max(round(shared.x1 * per_mm), round(shared.x0 * per_mm) + 1))
        y0 = round((trim.height - shared.y1) * per_mm)
        y1 = min(height, max(round((trim.height - shared.y0) * per_mm), y0 + 1))
        if x1 > x0 and y1 > y0:
            art = Image.fromarray(grid.tones)
            small = art.resize(
                (x1 - x0, y1 - y0), Image.Resampling.BOX, box=(left, top, right, bottom), reducing_gap=2.0
            )
            paper.paste(small, (x0, y0))
    return _packed(ImageChops.invert(paper))


#: A picture whose lines pack to no less than this part of themselves is kept as a JPEG: exact it would be several
#: times as large, and a booklet has hundreds of them. Every so many lines are tried.
_PICTURE, _TRIED = 0.4, 16


def _packed(small: Image.Image) -> bytes:
    """Pack a preview: drawings exactly, pictures nearly."""
    lines = np.asarray(small)[::_TRIED].tobytes()
    packed = io.BytesIO()
    if lines and len(zlib.compress(lines, 1)) >= _PICTURE * len(lines):
        small.save(packed, "JPEG", quality=70)
    else:
        # Runs of one tone are what drawings are made of: packed by these alone they take half as much room again as a
        # PNG, and an eighth of the time.
        small.save(packed, "TIFF", compression="packbits")
    return packed.getvalue()
