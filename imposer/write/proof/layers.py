"""The ink layers of the proof: a page's tones in one ink as a small gray picture, black = full tone.

Art and a resolution go in, bytes come out; one page is held at a time. Every layer covers trim plus bleed, so that all
inks of a page lie on one grid. A layer is a PNG, or a JPEG where that is much smaller and shows the same tones, as it
is with photographs.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import astuple, dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from PIL import Image

from imposer.geometry import Box, Size
from imposer.job.model import PageSpec
from imposer.pages.model import PageArt
from imposer.pages.place import with_bleed
from imposer.pages.readers import reader_for
from imposer.pages.resolution import MM_PER_INCH, pixels_at

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: The finest layers, ppi, and the steps down to smaller files.
RESOLUTIONS = (150, 120, 100, 85, 72, 60, 50, 42, 36)
#: No layer is longer than this, pixels: every phone with shaders takes it, in the memory it has.
LONGEST_SIDE = 3000
#: Room for the layers of a booklet of up to 16 pages, bytes of base64; with the page itself it stays under 3 MB.
ROOM = 2_600_000
#: Room that every further page brings, and where that ends.
ROOM_A_PAGE, MOST_ROOM = 55_000, 12_000_000
#: What base64 makes of a byte.
BASE64 = 4 / 3
#: A layer of line art grows with the resolution, one of photographs with its square; measured on a zine of both.
_GROWTH = 1.3
#: The previews that sizes are foretold from have this resolution, ppi (`pages.measure`).
_PREVIEW_PPI = 100

#: Art that lies this near the layer's grid, in pixels, is taken as it is: a file's own scale is rounded.
_SAME_PIXEL = 0.25

_JPEG_QUALITY = 90
#: A JPEG is taken if it is at most this much of the PNG, and all but a thousandth of its pixels are this near, of 255.
_MUCH_SMALLER, _NEAR = 0.6, 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One page in one ink, packed."""

    data: bytes
    kind: Literal["png", "jpeg"]


def room_for(pages: int) -> int:
    """Return how many bytes of base64 the layers of a booklet may take.

    >>> room_for(16), room_for(64), room_for(1000)
    (2600000, 5240000, 12000000)
    """
    return min(ROOM + ROOM_A_PAGE * max(0, pages - 16), MOST_ROOM)


def resolution_for(previews: Iterable[int], room: float, longest_side: float) -> int:
    """Return the finest resolution whose layers fit, foretold from the size of the pages' previews.

    Args:
        previews: The bytes of the previews, of 100 ppi, of all layers that are still to be written.
        room: Bytes of base64 that are left for them.
        longest_side: Of the page with its bleed, mm.
    """
    weight = sum(previews) * BASE64
    for ppi in RESOLUTIONS:
        fits = weight * (ppi / _PREVIEW_PPI) ** _GROWTH <= room
        if fits and longest_side / MM_PER_INCH * ppi <= LONGEST_SIDE:
            return ppi
    return min(RESOLUTIONS[-1], max(1, int(LONGEST_SIDE * MM_PER_INCH / longest_side)))


def make_layer(art: PageArt, page: PageSpec, ppi: float) -> Layer:
    """Read a page's art and pack it.

    Raises:
        ImposerError: the art cannot be read after all.
    """
    tones = page_tones(art, page, ppi)
    data, kind = pack(tones)
    return Layer(data=data, kind=kind)


def page_tones(art: PageArt, page: PageSpec, ppi: float) -> NDArray[np.uint8]:
    """Return the tones over trim plus bleed, 0 = bare paper, 255 = full tone; paper where the art does not reach."""
    scale = art.to_page.a
    reader = reader_for(art.source.file, art.source.shown)
    tones = reader.tones(art.source, art.size, ppi * scale)
    full = with_bleed(page)
    wanted = Box(-page.bleed, -page.bleed, page.trim.width + page.bleed, page.trim.height + page.bleed)
    width, height = pixels_at(full, ppi)
    covers = art.covers
    if tones.shape == (height, width) and _same_place(covers, wanted, _SAME_PIXEL * MM_PER_INCH / ppi):
        return tones
    return _laid_out(tones, covers, wanted, Size(width, height))


def _same_place(first: Box, second: Box, tolerance: float) -> bool:
    edges = zip(astuple(first), astuple(second), strict=True)
    return all(abs(a - b) <= tolerance for a, b in edges)


def pack(tones: NDArray[np.uint8]) -> tuple[bytes, Literal["png", "jpeg"]]:
    """Return tones as a gray picture, black = full tone."""
    grays = 255 - tones
    picture = Image.fromarray(grays)
    png = _saved(picture, "PNG", compress_level=6)
    if len(png) * 8 > tones.size:
        jpeg = _saved(picture, "JPEG", quality=_JPEG_QUALITY, optimize=True)
        if len(jpeg) <= _MUCH_SMALLER * len(png) and _as_seen(jpeg, grays):
            return jpeg, "jpeg"
    return png, "png"


def _as_seen(jpeg: bytes, grays: NDArray[np.uint8]) -> bool:
    back = np.asarray(Image.open(io.BytesIO(jpeg)))
    apart = np.abs(back.astype(np.int16) - grays)
    return bool(np.count_nonzero(apart > _NEAR) <= apart.size / 1000)


def _saved(picture: Image.Image, kind: str, **options: object) -> bytes:
    packed = io.BytesIO()
    picture.save(packed, kind, **options)
    return packed.getvalue()


def _laid_out(tones: NDArray[np.uint8], covers: Box, wanted: Box, pixels: Size) -> NDArray[np.uint8]:
    """Lay art that covers one box on the grid of another, between its pixels where it must."""
    height, width = tones.shape
    across, down = width / covers.width, height / covers.height
    step_x, step_y = wanted.width / pixels.width, wanted.height / pixels.height
    # From a pixel of the layer to one of the art, rows counted from the top in both.
    matrix = (step_x * across, 0, (wanted.x0 - covers.x0) * across, 0, step_y * down, (covers.y1 - wanted.y1) * down)
    size = (int(pixels.width), int(pixels.height))
    laid = Image.fromarray(tones).transform(size, Image.Transform.AFFINE, matrix, Image.Resampling.BILINEAR)
    return np.asarray(laid)
