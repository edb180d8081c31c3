"""One page's art in one ink, decoded; its tones laid on trim plus bleed out, as a plane that can be measured.

Images keep their own pixels, PDF pages are drawn at `PDF_PPI`. All inks of a page come out the same size in mm, however
many pixels each has, so that they can be held against one another.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.job.model import PageSpec
from imposer.pages.model import PageArt
from imposer.pages.place import with_bleed
from imposer.pages.readers import reader_of
from imposer.pages.resolution import MM_PER_INCH
from imposer.tones.plane import Plane

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Resolution at which PDF pages are measured, ppi: the renderer draws them no coarser anyway.
PDF_PPI = 300.0
#: Finer art is measured on means of its pixels, ppi: no limit asks for more.
MOST_PPI = 1200.0


def decode(art: PageArt) -> NDArray[np.uint8]:
    """Return the art's tones, an image's own pixels, a PDF page at `PDF_PPI`.

    Raises:
        ImposerError: the page cannot be decoded or rendered.
    """
    reader = reader_of(art.source)
    return reader.tones(art.source, art.size, 0 if art.source.kind == "image" else PDF_PPI)


def page_plane(tones: NDArray[np.uint8], art: PageArt, page: PageSpec) -> Plane:
    """Lay tones on trim plus bleed: what lies beyond is cut off, what is missing is bare paper."""
    full, covers = with_bleed(page), art.covers
    pixel = covers.width / tones.shape[1]
    wide, high = (max(round(side / pixel), 1) for side in (full.width, full.height))
    left = round((covers.x0 + page.bleed) / pixel)
    # Rows from the top: the art's upper edge below that of the page.
    top = round((page.trim.height + page.bleed - covers.y1) / pixel)
    return _reduced(_laid(tones, wide, high, left, top), MM_PER_INCH / pixel)


def _laid(tones: NDArray[np.uint8], wide: int, high: int, left: int, top: int) -> NDArray[np.uint8]:
    """Return a window of high × wide pixels whose first pixel lies `left` and `top` before the art's."""
    rows, columns = tones.shape
    if (left, top, wide, high) == (0, 0, columns, rows):
        return tones
    inside = tones[max(-top, 0) : max(high - top, 0), max(-left, 0) : max(wide - left, 0)]
    if inside.shape == (high, wide):
        return inside
    laid = np.zeros((high, wide), dtype=np.uint8)
    down, across = max(top, 0), max(left, 0)
    laid[down : down + inside.shape[0], across : across + inside.shape[1]] = inside
    return laid


def _reduced(tones: NDArray[np.uint8], ppi: float) -> Plane:
    """Return a plane of no more pixels an inch than are looked at."""
    factor = math.ceil(ppi / MOST_PPI - 1e-6)
    if factor <= 1:
        return Plane(tones, ppi)
    return Plane(np.asarray(Image.fromarray(np.ascontiguousarray(tones)).reduce(factor)), ppi / factor)
