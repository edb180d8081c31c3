"""Pictures of a report: pages and sheets in the colours of their inks, and the spot that a finding is about.

They are cut from the small previews that were kept when the pages were measured; no artwork is read again.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from imposer.geometry import Box, Size
from imposer.ink.overprint import OverprintModel, shop_model
from imposer.ink.raster import predict_srgb8
from imposer.prepared import PreparedPart

#: How much of the page is shown around a spot, mm at least.
AROUND = 30.0
#: Resolution of whole pages on the pictures of sheets, ppi: a sheet is seen as a whole.
_SHEET_PPI = 50.0
_MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Picture:
    """An image as a page carries it, and the marked spot as shares of its width and height from the upper left."""

    uri: str
    width: int
    height: int
    #: Left, top, width, height, 0 … 1; None where nothing is marked.
    spot: tuple[float, float, float, float] | None = None


@dataclass(frozen=True)
class PagePictures:
    """The pages of one part, in colours."""

    part: PreparedPart

    @cached_property
    def _model(self) -> OverprintModel:
        return shop_model(self.part.job.sheet.paper, [each.ink for each in self.part.job.inks])

    def page(self, page: int) -> Picture:
        """Return a whole page, all inks, small."""
        pixels = Image.fromarray(self._colours(page))
        share = _SHEET_PPI * self._trim.width / _MM_PER_INCH / pixels.width
        size = (max(1, round(pixels.width * share)), max(1, round(pixels.height * share)))
        return _jpeg(pixels.resize(size, Image.Resampling.BOX) if share < 1 else pixels)

    def whole(self, page: int) -> Image.Image:
        """Return a whole page, all inks, as its previews have it."""
        return Image.fromarray(self._colours(page))

    def spot(self, page: int, ink: str | None, box: Box | None) -> Picture:
        """Return what lies around a spot of a page (mm, page space), in one ink's gray or in all inks."""
        pixels = Image.fromarray(self._gray(page, ink) if ink in self._inks else self._colours(page))
        seen = _around(box, self._trim)
        per_mm_x, per_mm_y = pixels.width / self._trim.width, pixels.height / self._trim.height
        left, right = round(seen.x0 * per_mm_x), max(round(seen.x1 * per_mm_x), round(seen.x0 * per_mm_x) + 1)
        top = round((self._trim.height - seen.y1) * per_mm_y)
        bottom = max(round((self._trim.height - seen.y0) * per_mm_y), top + 1)
        cut = pixels.crop((left, top, right, bottom))
        return _jpeg(cut, _share(box, seen) if box is not None else None)

    @property
    def _trim(self) -> Size:
        return self.part.job.page.trim

    @property
    def _inks(self) -> Mapping[str | None, None]:
        return dict.fromkeys(self.part.job.ink_names)

    def _plane(self, page: int, ink: str) -> NDArray[np.uint8] | None:
        """Return the tones of a preview, 255 = full tone."""
        found = self.part.measured.get((page, ink))
        if found is None or not found.preview:
            return None
        with Image.open(io.BytesIO(found.preview)) as image:
            return 255 - np.asarray(image.convert("L"))

    def _shape(self) -> tuple[int, int]:
        for page, ink in self.part.measured:
            plane = self._plane(page, ink)
            if plane is not None:
                return plane.shape[0], plane.shape[1]
        per_mm = _SHEET_PPI / _MM_PER_INCH
        return max(1, round(self._trim.height * per_mm)), max(1, round(self._trim.width * per_mm))

    def _gray(self, page: int, ink: str | None) -> NDArray[np.uint8]:
        plane = self._plane(page, ink) if ink is not None else None
        return np.full(self._shape(), 255, np.uint8) if plane is None else 255 - plane

    def _colours(self, page: int) -> NDArray[np.uint8]:
        shape = self._shape()
        planes = [self._plane(page, ink) for ink in self.part.job.ink_names]
        blank = np.zeros(shape, np.uint8)
        stacked = np.stack([blank if plane is None or plane.shape != shape else plane for plane in planes])
        return np.asarray(predict_srgb8(self._model, stacked), np.uint8)


def _around(box: Box | None, trim: Size) -> Box:
    """Return the part of a page that is shown for a spot: the spot with its surroundings, or the whole page."""
    whole = Box(0, 0, trim.width, trim.height)
    if box is None:
        return whole
    x, y = box.centre
    side = max(AROUND, 1.6 * max(box.width, box.height))
    return Box.around(x, y, side, side).common(whole) or whole


def _share(box: Box, seen: Box) -> tuple[float, float, float, float]:
    """Return a spot as shares of what is seen; never smaller than can be seen."""
    least = 0.02 * max(seen.width, seen.height)
    x, y = box.centre
    marked = Box.around(x, y, max(box.width, least), max(box.height, least)).common(seen) or seen
    return (
        (marked.x0 - seen.x0) / seen.width,
        (seen.y1 - marked.y1) / seen.height,
        marked.width / seen.width,
        marked.height / seen.height,
    )


def _jpeg(image: Image.Image, spot: tuple[float, float, float, float] | None = None) -> Picture:
    packed = io.BytesIO()
    image.save(packed, "JPEG", quality=82, optimize=True)
    uri = "data:image/jpeg;base64," + base64.b64encode(packed.getvalue()).decode("ascii")
    return Picture(uri, image.width, image.height, spot)
