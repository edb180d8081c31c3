"""Colours in, gray out: the one rule by which coloured art becomes the tones of an ink, and what counts as coloured.

A stencil knows light and dark only, so of a colour its lightness counts. The rule:

* red, green and blue weigh 299, 587 and 114 thousandths (Recommendation ITU-R BT.601, 2.5.1; the same as the
  conversion of ISO 32000-1, 10.3.2, which rounds them to 0.3, 0.59 and 0.11);
* cyan, magenta and yellow darken by the same weights, black by all of itself, and no colour is darker than full tone
  (ISO 32000-1, 10.3.3): black of tone *t* alone stays tone *t*, and 100 % black in any mix stays 100 %;
* gray stays as it is; profiles and gammas are not obeyed: they speak of light, a tone of ink.

Values run from 0 to 1, gray 0 = black = full tone. Pictures have 8 bits and are rounded to the nearest.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from PIL import Image

#: The weights of red, green and blue; of cyan, magenta and yellow as well.
WEIGHTS = (0.299, 0.587, 0.114)

#: A colour whose red, green and blue, as a screen shows them, lie no further apart than this is neutral: what is left
#: of gray after a conversion by way of a profile or a lossy coding. A working value of our own.
NEUTRAL = 10 / 255
#: A picture in which no more than this share of the pixels is coloured is neutral.
NEUTRAL_SHARE = 1e-4


def gray_of_rgb(red: float, green: float, blue: float) -> float:
    """Return the gray of a colour of light.

    >>> round(gray_of_rgb(1, 0, 0), 3), gray_of_rgb(0, 0, 0)
    (0.299, 0.0)
    """
    return red * WEIGHTS[0] + green * WEIGHTS[1] + blue * WEIGHTS[2]


def gray_of_cmyk(cyan: float, magenta: float, yellow: float, black: float) -> float:
    """Return the gray of a colour of process inks.

    >>> gray_of_cmyk(0, 0, 0, 1), gray_of_cmyk(0, 0, 0, 0.5), gray_of_cmyk(0.6, 0.4, 0.4, 1)
    (0.0, 0.5, 0.0)
    """
    return 1.0 - min(1.0, gray_of_rgb(cyan, magenta, yellow) + black)


def tone_of(values: Sequence[float]) -> float | None:
    """Return the tone that a colour of so many components prints in; None for a pattern, or what is not known.

    >>> tone_of([0.25]), tone_of([0, 0, 0, 0.5]), tone_of([])
    (0.75, 0.5, None)
    """
    values = [min(max(value, 0.0), 1.0) for value in values]
    match len(values):
        case 1:
            return 1 - values[0]
        case 3:
            return 1 - gray_of_rgb(*values)
        case 4:
            return 1 - gray_of_cmyk(*values)
        case _:
            return None


def gray_of_rgb_rows(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the grays of colours of light, (n, 3) to (n,)."""
    gray: NDArray[np.float64] = rgb @ np.asarray(WEIGHTS)
    return gray


def gray_of_cmyk_rows(cmyk: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the grays of colours of process inks, (n, 4) to (n,)."""
    gray: NDArray[np.float64] = 1.0 - np.minimum(1.0, cmyk[:, :3] @ np.asarray(WEIGHTS) + cmyk[:, 3])
    return gray


def spread_of_rgb_rows(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far red, green and blue lie apart, (n, 3) to (n,): 0 for a gray."""
    spread: NDArray[np.float64] = np.ptp(rgb, axis=1)
    return spread


def spread_of_cmyk_rows(cmyk: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far red, green and blue lie apart once black hides its share, (n, 4) to (n,).

    Rich black is black: what lies under full black does not count.
    """
    return spread_of_rgb_rows(np.maximum(0.0, 1.0 - cmyk[:, :3] - cmyk[:, 3:]))


def gray_of_rgb_picture(picture: Image.Image) -> Image.Image:
    """Return an 8-bit picture of light ("RGB") in gray ("L"); Pillow's own conversion has the same weights."""
    return picture.convert("L")


def gray_of_cmyk_picture(picture: Image.Image) -> Image.Image:
    """Return an 8-bit picture of process inks ("CMYK", 255 = full ink) in gray ("L", 0 = black)."""
    from PIL import Image, ImageChops

    cyan, magenta, yellow, black = picture.split()
    darkness = Image.merge("RGB", (cyan, magenta, yellow)).convert("L")
    return ImageChops.invert(ImageChops.add(darkness, black))


def picture_is_coloured(picture: Image.Image) -> bool:
    """Tell whether more than a trace of an 8-bit "RGB" or "CMYK" picture is coloured."""
    from PIL import Image, ImageChops

    if picture.mode == "CMYK":
        *inks, black = picture.split()
        light = [ImageChops.invert(ImageChops.add(ink, black)) for ink in inks]
        picture = Image.merge("RGB", light)
    red, green, blue = picture.split()
    most = ImageChops.lighter(ImageChops.lighter(red, green), blue)
    least = ImageChops.darker(ImageChops.darker(red, green), blue)
    counts = ImageChops.subtract(most, least).histogram()
    coloured = sum(counts[round(NEUTRAL * 255) + 1 :])
    return coloured > NEUTRAL_SHARE * picture.width * picture.height
