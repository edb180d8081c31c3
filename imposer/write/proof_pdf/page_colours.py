"""Pages of the proof at its own resolution, as JPEG; one page at a time, nothing kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from imposer.pages.resolution import pixels_at
from imposer.prepared import PreparedPart
from imposer.write.page_colours import in_colour, jpeg, printing_inks, trim_of
from imposer.write.proof.layers import page_tones

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Resolution of the proof, ppi.
PPI = 150.0
_QUALITY = 90


def page_picture(part: PreparedPart, page: int) -> bytes:
    """Return a page's trim in simulated colour, a JPEG of `PPI`.

    Raises:
        ImposerError: the art cannot be read after all.
    """
    inks = printing_inks(part, page)
    width, height = pixels_at(trim_of(part, page), PPI)
    planes = np.zeros((len(inks), height, width), np.uint8)
    for plane, ink in zip(planes, inks, strict=True):
        plane[:] = _plane(part, page, ink.name, width, height)
    return jpeg(in_colour(part, inks, planes), _QUALITY)


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
