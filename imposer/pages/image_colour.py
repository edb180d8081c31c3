"""Whether an image that could be coloured is: many a gray page is saved as RGB, and that is fine.

A header goes in, the strongest colour found comes out. It is looked for on a copy that is reduced by averaging, so that
the colour noise of a JPEG or a scan does not count and memory stays bounded.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from imposer.pages.image_header import ImageHeader
from imposer.pages.image_samples import decoding, open_image, palette_colours

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: How far red, green and blue may lie apart (part of the full range) before a page counts as coloured: gray scans of
#: gray pages and gray saved as colour JPEG stay below. Common practice, no source.
COLOUR_TOLERANCE = 0.08

#: The longer side of the copy that is looked at, px.
_LOOK = 1000


def strongest_colour(file: Path, header: ImageHeader, shown: str) -> float:
    """Return how far red, green and blue lie apart at most, 0 … 1, seen on white paper.

    Raises:
        ImposerError: the file is damaged, or of a kind that cannot be decoded.
    """
    if not header.coloured:
        return 0.0
    factor = max(1, max(header.stored) // _LOOK)
    with decoding(shown), open_image(file, header) as image:
        if header.jpeg:
            image.draft(None, (max(1, header.stored[0] // factor), max(1, header.stored[1] // factor)))
        image.load()
        if image.mode == "P":
            used = np.array(image.histogram()) > 0
            return _spread(palette_colours(image, header)[used])
        small = image.convert("RGBA") if image.mode == "PA" else image
        if factor > 1 and not header.jpeg:
            small = small.reduce(factor)
        return _spread(np.asarray(_on_white(small)).reshape(-1, 3).astype(np.int16))


def _on_white(image: Image.Image) -> Image.Image:
    """Return an image as red, green and blue on white."""
    if image.mode not in ("RGBA", "LA", "La"):
        return image.convert("RGB")
    paper = Image.new("RGB", image.size, (255, 255, 255))
    paper.paste(image.convert("RGBA").convert("RGB"), mask=image.getchannel(image.getbands()[-1]))
    return paper


def _spread(colours: NDArray[Any]) -> float:
    """Return the largest distance between the highest and lowest of red, green and blue."""
    return float((colours.max(axis=1) - colours.min(axis=1)).max(initial=0)) / 255
