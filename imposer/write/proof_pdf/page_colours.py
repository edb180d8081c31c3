"""Pages in the colours that the overprint model foretells, as JPEG; one page at a time, nothing kept."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.geometry import Size
from imposer.ink.overprint import shop_model
from imposer.ink.raster import predict_srgb8
from imposer.pages.resolution import pixels_at
from imposer.prepared import Prepared, PreparedPart
from imposer.write.proof.layers import page_tones

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Resolution of the proof, ppi.
PPI = 150.0
_QUALITY = 90


def part_of(prepared: Prepared, page: int) -> PreparedPart:
    """Return the part that a page belongs to."""
    return next(part for part in prepared.parts if page in part.pages)


def trim_of(part: PreparedPart, page: int) -> Size:
    """Return the finished size of a page, mm, as it is read."""
    for sheet in part.imposition.sheets:
        for side in (sheet.front, sheet.back):
            for panel in side.panels:
                if panel.page == page:
                    size = panel.trim.size
                    return size.turned if panel.rotation in (90, 270) else size
    return part.job.page.trim


def page_picture(part: PreparedPart, page: int) -> bytes:
    """Return a page's trim in simulated colour, a JPEG of `PPI`.

    Raises:
        ImposerError: the art cannot be read after all.
    """
    inks = [each.ink for each in part.job.inks if _prints(part, page, each.name)]
    model = shop_model(part.job.sheet.paper, inks)
    width, height = pixels_at(trim_of(part, page), PPI)
    planes = np.zeros((len(inks), height, width), np.uint8)
    for plane, ink in zip(planes, inks, strict=True):
        plane[:] = _plane(part, page, ink.name, width, height)
    return jpeg(np.asarray(predict_srgb8(model, planes), np.uint8))


def jpeg(pixels: NDArray[np.uint8], quality: int = _QUALITY) -> bytes:
    """Return pixels, gray or sRGB, as a JPEG."""
    packed = io.BytesIO()
    Image.fromarray(pixels).save(packed, "JPEG", quality=quality, optimize=True)
    return packed.getvalue()


def _prints(part: PreparedPart, page: int, ink: str) -> bool:
    found = part.measured.get((page, ink))
    return found is not None and found.prints


def _plane(part: PreparedPart, page: int, ink: str, width: int, height: int) -> NDArray[np.uint8]:
    """Return the tones of a page's trim, bleed cut away."""
    art = part.table.cells[page, ink]
    spec = art.own(part.job.page)
    tones = page_tones(art, spec, PPI)
    down = round((tones.shape[0] - height) / 2)
    across = round((tones.shape[1] - width) / 2)
    cut = tones[max(0, down) : max(0, down) + height, max(0, across) : max(0, across) + width]
    laid = np.zeros((height, width), np.uint8)
    laid[: cut.shape[0], : cut.shape[1]] = cut
    return laid
