"""The eight ways a camera or a scanner may say a picture lies, as matrices and as turns of arrays.

A number from the file goes in; out comes how the stored samples are shown. A module of its own because a turn is told
three times (size, tones, place in a PDF) and must be the same turn each time. Source of the numbers: Exif 2.32
(CIPA DC-008-2019), tag 0x0112 Orientation, the same as tag 274 of TIFF 6.0.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from imposer.geometry import Transform

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: From the unit square of the stored picture to the unit square of the picture as shown; y runs up, so the stored
#: first row is the edge y = 1.
UNIT_TURNS: dict[int, Transform] = {
    1: Transform(1, 0, 0, 1, 0, 0),
    2: Transform(-1, 0, 0, 1, 1, 0),
    3: Transform(-1, 0, 0, -1, 1, 1),
    4: Transform(1, 0, 0, -1, 0, 1),
    5: Transform(0, -1, -1, 0, 1, 1),
    6: Transform(0, -1, 1, 0, 0, 1),
    7: Transform(0, 1, 1, 0, 0, 0),
    8: Transform(0, 1, -1, 0, 1, 0),
}


def valid(orientation: object) -> int:
    """Return the orientation if it is one of the eight, else 1 (as stored): files hold 0 and worse.

    >>> valid(6), valid(0), valid("6"), valid(None)
    (6, 1, 1, 1)
    """
    return orientation if isinstance(orientation, int) and orientation in UNIT_TURNS else 1


def lies_on_its_side(orientation: int) -> bool:
    """Tell whether width and height change places when shown."""
    return orientation >= 5


def shown_size(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Return the width and height as shown (it is its own inverse)."""
    return (size[1], size[0]) if lies_on_its_side(orientation) else size


def turned(stored: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """Return an array of samples, first row on top, as shown."""
    match orientation:
        case 2:
            return stored[:, ::-1]
        case 3:
            return stored[::-1, ::-1]
        case 4:
            return stored[::-1]
        case 5:
            return stored.T
        case 6:
            return stored[::-1].T
        case 7:
            return stored[::-1, ::-1].T
        case 8:
            return stored[:, ::-1].T
        case _:
            return stored
