"""Pages in the colours that the overprint model foretells: what report and proofs share.

A part and a page go in, pixels come out. More inks on one page than the model keeps solids for are cut off at its
most, as nothing that is printed here comes near.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.geometry import Size
from imposer.ink.defaults import MOST_INKS
from imposer.ink.overprint import shop_model
from imposer.ink.raster import predict_srgb8
from imposer.job.model import Ink
from imposer.pages.resolution import pixels_at
from imposer.prepared import Prepared, PreparedPart

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

#: Resolution at which a page that prints nothing is shown, ppi.
_BARE_PPI = 50.0


def part_of(prepared: Prepared, page: int) -> PreparedPart:
    """Return the part that a page belongs to."""
    return next(part for part in prepared.parts if page in part.pages)


def trim_of(part: PreparedPart, page: int) -> Size:
    """Return the finished size of a page, mm, as it is read: a poster and a tucked panel have their own."""
    for sheet in part.imposition.sheets:
        for side in (sheet.front, sheet.back):
            for panel in side.panels:
                if panel.page == page:
                    size = panel.trim.size
                    return size.turned if panel.rotation in (90, 270) else size
    return part.job.page.trim


def prints(part: PreparedPart, page: int, ink: str) -> bool:
    """Tell whether an ink lays anything down on a page."""
    found = part.measured.get((page, ink))
    return found is not None and found.prints


def printing_inks(part: PreparedPart, page: int) -> tuple[Ink, ...]:
    """Return the inks of a page that lay anything down, in the job's order."""
    return tuple(each.ink for each in part.job.inks if prints(part, page, each.name))[:MOST_INKS]


def in_colour(part: PreparedPart, inks: Sequence[Ink], planes: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the sRGB of tone planes (inks, rows, columns), 255 = full tone, on the part's paper."""
    model = shop_model(part.job.sheet.paper, inks, part.job.shop.overprints)
    return np.asarray(predict_srgb8(model, planes), np.uint8)


def preview_tones(part: PreparedPart, page: int, ink: str) -> NDArray[np.uint8] | None:
    """Return the tones of a page's preview in one ink, 255 = full tone; None where there is none."""
    found = part.measured.get((page, ink))
    if found is None or not found.preview:
        return None
    with Image.open(io.BytesIO(found.preview)) as image:
        return 255 - np.asarray(image.convert("L"))


def preview_in_colour(part: PreparedPart, page: int, names: Collection[str] | None = None) -> NDArray[np.uint8]:
    """Return a page in all its inks, or in those of some names, as its previews have it: (rows, columns, 3), sRGB."""
    inks = [ink for ink in printing_inks(part, page) if names is None or ink.name in names]
    found = [(ink, preview_tones(part, page, ink.name)) for ink in inks]
    shown = [(ink, plane) for ink, plane in found if plane is not None]
    if not shown:
        width, height = pixels_at(trim_of(part, page), _BARE_PPI)
        return in_colour(part, (), np.zeros((0, height, width), np.uint8))
    return in_colour(part, [ink for ink, _ in shown], np.stack([plane for _, plane in shown]))


def jpeg(pixels: NDArray[np.uint8], quality: int) -> bytes:
    """Return pixels, gray or sRGB, as a JPEG."""
    packed = io.BytesIO()
    Image.fromarray(pixels).save(packed, "JPEG", quality=quality, optimize=True)
    return packed.getvalue()
