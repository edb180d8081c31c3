"""Whether an image can be taken apart into plates, and which of its plates carry ink."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from imposer.errors import Fault, ImposerError
from imposer.pages.image_colour import is_coloured
from imposer.pages.image_decoder import decoding, load, open_image
from imposer.pages.image_header import ImageHeader
from imposer.pages.image_samples import inks

#: The number of a TIFF's colours that means separated ones, and the ink set that means process colours (TIFF 6.0,
#: tags 262 and 332).
_SEPARATED, _PROCESS_INKS = 5, 1


def has_process_colours(header: ImageHeader) -> bool:
    """Tell whether an image holds cyan, magenta, yellow and black."""
    if header.jpeg:
        return header.jpeg.parts == 4
    return header.tiff is not None and header.tiff.photometric == _SEPARATED


def check_plates(file: Path, header: ImageHeader, shown: str) -> None:
    """Make sure that an image can be taken apart into plates: it is in process colours, or gray.

    Raises:
        ImposerError: it is not, or is damaged.
    """
    if has_process_colours(header):
        if header.tiff and header.tiff.ink_set != _PROCESS_INKS:
            problem = "holds inks that are not cyan, magenta, yellow and black, so its plates are not known"
            raise ImposerError(Fault(file=shown, problem=problem, mend="export a gray file for each ink"))
    elif is_coloured(file, header, shown):
        problem = "is in red, green and blue, which has no plates"
        mend = "export it in CMYK or a gray file for each ink, or leave plate out and take its lightness"
        raise ImposerError(Fault(file=shown, problem=problem, mend=mend))


def darkest_of_plates(file: Path, header: ImageHeader, shown: str) -> tuple[int, ...]:
    """Return the darkest tone of each plate of an image in process colours, 0 to 255.

    Raises:
        ImposerError: the file is damaged.
    """
    with decoding(shown), open_image(file, header) as image:
        load(image, header)
        return tuple(int(tones) for tones in np.asarray(inks(image, header)).max(axis=(0, 1)))
