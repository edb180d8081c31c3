"""Pictures of a report: pages and sheets in the colours of their inks, and the spot that a finding is about.

They are cut from the small previews that were kept when the pages were measured; no artwork is read again.
"""

from __future__ import annotations

import base64
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from PIL import Image

from imposer.geometry import Box, Size
from imposer.pages.resolution import MM_PER_INCH
from imposer.prepared import PreparedPart
from imposer.write.page_colours import jpeg, preview_in_colour, preview_tones, trim_of

#: How much of the page is shown around a spot, mm at least.
AROUND = 30.0
#: Resolution of whole pages on the pictures of sheets, ppi: a sheet is seen as a whole.
_SHEET_PPI = 50.0
_QUALITY = 82


@dataclass(frozen=True, slots=True)
class Picture:
    """An image as a page carries it, and the marked spot as shares of its width and height from the upper left."""

    uri: str
    width: int
    height: int
    #: Left, top, width, height, 0 … 1; None where nothing is marked.
    spot: tuple[float, float, float, float] | None = None
    #: What stands below it where several are shown beside each other.
    label: str = ""


def whole_page(part: PreparedPart, page: int) -> Picture:
    """Return a whole page, all inks, small."""
    pixels = Image.fromarray(preview_in_colour(part, page))
    scale = _SHEET_PPI * trim_of(part, page).width / MM_PER_INCH / pixels.width
    size = (max(1, round(pixels.width * scale)), max(1, round(pixels.height * scale)))
    return picture(pixels.resize(size, Image.Resampling.BOX) if scale < 1 else pixels)


def page_in_inks(part: PreparedPart, page: int, names: Collection[str]) -> Picture:
    """Return a whole page in some of its inks, printed over each other."""
    return picture(Image.fromarray(preview_in_colour(part, page, names)))


def spot_of_page(part: PreparedPart, page: int, ink: str | None, box: Box | None, *, mirrored: bool = False) -> Picture:
    """Return what lies around a spot of a page (mm, page space), in one ink's gray or in all inks.

    Args:
        part: the part that the page belongs to.
        page: the page.
        ink: one ink, or None for all.
        box: the spot; None shows the whole page.
        mirrored: show it from behind, as it lies on the page that it faces.
    """
    tones = None if ink is None else preview_tones(part, page, ink)
    pixels = Image.fromarray(preview_in_colour(part, page) if tones is None else 255 - tones)
    trim = trim_of(part, page)
    seen = around(box, trim, AROUND)
    per_mm_x, per_mm_y = pixels.width / trim.width, pixels.height / trim.height
    left, right = round(seen.x0 * per_mm_x), max(round(seen.x1 * per_mm_x), round(seen.x0 * per_mm_x) + 1)
    top = round((trim.height - seen.y1) * per_mm_y)
    bottom = max(round((trim.height - seen.y0) * per_mm_y), top + 1)
    cut, spot = pixels.crop((left, top, right, bottom)), share(box, seen) if box is not None else None
    if mirrored:
        cut = cut.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        spot = (1 - spot[0] - spot[2], *spot[1:]) if spot is not None else None
    return picture(cut, spot)


def around(box: Box | None, trim: Size, least: float) -> Box:
    """Return the part of a page that is shown for a spot, at least so many mm each way; else the whole page."""
    whole = Box(0, 0, trim.width, trim.height)
    if box is None:
        return whole
    x, y = box.centre
    side = max(least, 1.6 * max(box.width, box.height))
    return Box.around(x, y, side, side).common(whole) or whole


def share(box: Box, seen: Box) -> tuple[float, float, float, float]:
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


def picture(image: Image.Image, spot: tuple[float, float, float, float] | None = None) -> Picture:
    """Return an image as a page carries it."""
    uri = "data:image/jpeg;base64," + base64.b64encode(jpeg(np.asarray(image), _QUALITY)).decode("ascii")
    return Picture(uri, image.width, image.height, spot)
