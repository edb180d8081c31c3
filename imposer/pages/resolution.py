"""Which stated resolutions are believed, and the size in mm that follows.

Numbers in, numbers out. A module of its own because files lie about this more than about anything else: old TIFFs say
1 × 1, screens' programs leave 72 by default, faxes have oblong pixels.
"""

from __future__ import annotations

from imposer.geometry import Size

MM_PER_INCH = 25.4

#: Stated resolutions outside this make no sense for a printed page, ppi. Common practice, no source.
LEAST_PPI, MOST_PPI = 36.0, 4800.0
#: Across and down may differ by this part before the statement is not believed.
UNEQUAL = 0.01
#: A resolution this near a whole number is that number, ppi: PNG stores whole pixels a metre, so that 600 ppi is
#: written as 23622 a metre and read as 599.9988.
WHOLE = 0.01
#: "When the image resolution is unknown, 72 dpi shall be designated": Exif 2.32, tag 0x011A XResolution.
EXIF_UNKNOWN = 72.0


def believed(ppi: tuple[float, float] | None) -> tuple[float, float] | None:
    """Return a stated resolution, snapped to whole numbers, or None if it is missing or senseless.

    >>> believed((23622 * 0.0254, 23622 * 0.0254)), believed((1, 1)), believed((204, 196)), believed(None)
    ((600.0, 600.0), None, None, None)
    """
    if ppi is None or not all(LEAST_PPI <= side <= MOST_PPI for side in ppi):
        return None
    if abs(ppi[0] - ppi[1]) > UNEQUAL * max(ppi):
        return None
    across, down = (float(round(side)) if abs(side - round(side)) <= WHOLE else side for side in ppi)
    return across, down


def size_at(pixels: tuple[int, int], ppi: tuple[float, float]) -> Size:
    """Return the size in mm of so many pixels at a resolution."""
    return Size(pixels[0] / ppi[0] * MM_PER_INCH, pixels[1] / ppi[1] * MM_PER_INCH)


def pixels_at(size: Size, ppi: float) -> tuple[int, int]:
    """Return how many pixels a size in mm has at a resolution, at least one each way."""
    return (
        max(1, round(size.width * ppi / MM_PER_INCH)),
        max(1, round(size.height * ppi / MM_PER_INCH)),
    )
