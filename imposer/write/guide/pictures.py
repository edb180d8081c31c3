"""Small pictures of pages: the gray previews of some inks, each tinted with its ink's colour and multiplied.

They show which page is which and which way up. They promise nothing about colour.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from io import BytesIO

from PIL import Image, ImageChops, ImageColor

from imposer.pages.model import Measured

#: Pixels for every mm of a thumbnail, and its least and greatest longer side.
_PER_MM, _LEAST, _MOST = 8.0, 24, 240

#: Good enough for a thumbnail, and small.
_JPEG_QUALITY = 80


class PagePictures:
    """Makes and keeps the pictures of a job's pages."""

    def __init__(self, measured: Mapping[tuple[int, str], Measured], colour: Callable[[str], str]) -> None:
        self._measured = measured
        self._colour = colour
        self._made: dict[tuple[int, tuple[str, ...], int], bytes] = {}

    def of(self, page: int, inks: tuple[str, ...], longer_side: float) -> bytes | None:
        """Return a page in some inks as a JPEG to be shown `longer_side` mm long; None if nothing prints on it."""
        printing = tuple(ink for ink in inks if (found := self._measured.get((page, ink))) and found.prints)
        if not printing:
            return None
        pixels = round(max(_LEAST, min(_MOST, longer_side * _PER_MM)))
        key = page, printing, pixels
        if key not in self._made:
            self._made[key] = self._make(page, printing, pixels)
        return self._made[key]

    def _make(self, page: int, inks: tuple[str, ...], pixels: int) -> bytes:
        picture: Image.Image | None = None
        for ink in inks:
            with Image.open(BytesIO(self._measured[page, ink].preview)) as preview:
                gray = preview.convert("L")
            gray.thumbnail((pixels, pixels))
            tinted = _tint(gray, self._colour(ink))
            picture = tinted if picture is None else ImageChops.multiply(picture, tinted.resize(picture.size))
        assert picture is not None, "at least one ink prints"
        jpeg = BytesIO()
        picture.save(jpeg, "JPEG", quality=_JPEG_QUALITY)
        return jpeg.getvalue()


def _tint(gray: Image.Image, colour: str) -> Image.Image:
    """Return a gray picture with black turned into a colour, and white left white."""
    tinted = gray.copy()
    tinted.putpalette(_palette(colour))
    return tinted.convert("RGB")


@cache
def _palette(colour: str) -> bytes:
    """Return the colours of 256 grays, from the full colour to white, as red, green and blue bytes."""
    full = ImageColor.getrgb(colour)[:3]
    return bytes(part + (255 - part) * value // 255 for value in range(256) for part in full)
