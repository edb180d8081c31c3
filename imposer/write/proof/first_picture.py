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
from imposer.ink.overprint import shop_model
from imposer.ink.raster import predict_srgb8
from imposer.prepared import Prepared, PreparedPart
from imposer.write.proof.press_sheets import prints

#: The picture is no wider than this, pixels.
_WIDEST = 500


def first_picture(prepared: Prepared, pages: Sequence[int]) -> str:
    """Return the element of the first page's picture; empty if there is none, or it holds too many inks."""
    for page in pages:
        for part in prepared.parts:
            inks = [ink.ink for ink in part.job.inks if prints(part, page, ink.name)]
            if 0 < len(inks) <= defaults.MOST_INKS:
                model = shop_model(part.job.sheet.paper, inks)
                planes = np.stack([255 - _preview(part, page, ink.name) for ink in inks])
                data = b64encode(_jpeg(predict_srgb8(model, planes))).decode("ascii")
                return f'<img class="first" alt="" src="data:image/jpeg;base64,{data}">'
    return ""


def _preview(part: PreparedPart, page: int, ink: str) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    picture = Image.open(io.BytesIO(part.measured[page, ink].preview))
    picture.thumbnail((_WIDEST, _WIDEST * 4), Image.Resampling.BOX)
    return np.asarray(picture)


def _jpeg(pixels: np.ndarray[tuple[int, ...], np.dtype[np.uint8]]) -> bytes:
    packed = io.BytesIO()
    Image.fromarray(pixels).save(packed, "JPEG", quality=80, optimize=True)
    return packed.getvalue()
