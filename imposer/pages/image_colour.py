"""Whether an image that could be coloured is: many a gray page is saved as RGB, and that is fine.

A header goes in, yes or no comes out, by the rule of `luminance`. The picture is looked at on a copy that is reduced by
averaging, so that the colour noise of a JPEG or a scan does not count and memory stays bounded.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from imposer.pages.image_decoder import decoding, load, open_image
from imposer.pages.image_header import ImageHeader
from imposer.pages.image_samples import inks, palette_colours
from imposer.pages.luminance import NEUTRAL, NEUTRAL_SHARE, picture_is_coloured

#: The longer side of the copy that is looked at is about this, px.
_LOOK = 1000


def is_coloured(file: Path, header: ImageHeader, shown: str) -> bool:
    """Tell whether more than a trace of an image is coloured, as seen on white paper.

    Raises:
        ImposerError: the file is damaged, or of a kind that cannot be decoded.
    """
    if not header.coloured:
        return False
    factor = max(1, max(header.stored) // _LOOK)
    with decoding(shown), open_image(file, header) as image:
        if header.jpeg:
            image.draft(None, (max(1, header.stored[0] // factor), max(1, header.stored[1] // factor)))
        load(image, header)
        if image.mode == "P":
            return _palette_is_coloured(image, header)
        # Alpha on white comes first: an average of clear pixels and others would have no colour of its own.
        seen = _on_white(image, header)
        return picture_is_coloured(seen.reduce(factor) if factor > 1 and not header.jpeg else seen)


def _on_white(image: Image.Image, header: ImageHeader) -> Image.Image:
    """Return an image as "RGB" on white, or as "CMYK"."""
    if image.mode == "CMYK":
        return inks(image, header)
    if image.mode not in ("RGBA", "PA"):
        return image.convert("RGB")
    paper = Image.new("RGB", image.size, (255, 255, 255))
    paper.paste(image.convert("RGBA").convert("RGB"), mask=image.getchannel("A"))
    return paper


def _palette_is_coloured(image: Image.Image, header: ImageHeader) -> bool:
    """Tell it of a palette image, by the entries that are used and how often."""
    spread = np.ptp(palette_colours(image, header), axis=1)
    coloured = np.array(image.histogram())[spread > NEUTRAL * 255].sum()
    return bool(coloured > NEUTRAL_SHARE * image.width * image.height)
