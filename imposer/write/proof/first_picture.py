"""The first picture of the proof page: the cover as the library computes it, to be seen while the page wakes up.

Previews that were made when the pages were measured go in, an `img` element comes out. The page replaces it with its
own picture as soon as that is painted.
"""

from __future__ import annotations

import io
from base64 import b64encode
from collections.abc import Sequence

import numpy as np
from PIL import Image

from imposer.ink import defaults
from imposer.prepared import Prepared, PreparedPart
from imposer.write.page_colours import in_colour, jpeg, prints

#: The picture is no wider than this, pixels.
_WIDEST = 500
_QUALITY = 80


def first_picture(prepared: Prepared, pages: Sequence[int]) -> str:
    """Return the element of the first page's picture; empty if there is none, or it holds too many inks."""
    for page in pages:
        for part in prepared.parts:
            inks = [ink.ink for ink in part.job.inks if prints(part, page, ink.name)]
            if 0 < len(inks) <= defaults.MOST_INKS:
                planes = np.stack([255 - _preview(part, page, ink.name) for ink in inks])
                data = b64encode(jpeg(in_colour(part, inks, planes), _QUALITY)).decode("ascii")
                return f'<img class="first" alt="" src="data:image/jpeg;base64,{data}">'
    return ""


def _preview(part: PreparedPart, page: int, ink: str) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    picture = Image.open(io.BytesIO(part.measured[page, ink].preview))
    picture.thumbnail((_WIDEST, _WIDEST * 4), Image.Resampling.BOX)
    return np.asarray(picture)
