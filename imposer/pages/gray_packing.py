"""Rows of gray or of a stencil in; the data of a Flate stream out, band by band, so that no second image is made.

Rows of gray are written as their difference from the row above (PNG's filter "up"): measured on photographs it packs
a third better than plain rows, and in a third of the time of choosing a filter for each row.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, BinaryIO

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_LEVEL = 6
#: The number of the filter "up" (PNG, 9.2).
_UP = 2


def pack_gray(bands: Iterator[NDArray[np.uint8]], width: int, stream: BinaryIO) -> None:
    """Write bands of rows (rows, width) as Flate data with `/Predictor 15`, one colour of 8 bits."""
    packer = zlib.compressobj(_LEVEL)
    above = np.zeros((1, width), dtype=np.uint8)
    for rows in bands:
        filtered = np.empty((len(rows), width + 1), dtype=np.uint8)
        filtered[:, 0] = _UP
        filtered[:, 1:] = rows - np.concatenate((above, rows[:-1]))
        above = rows[-1:]
        stream.write(packer.compress(filtered.data))
    stream.write(packer.flush())


def pack_stencil(bands: Iterator[NDArray[np.bool_]], stream: BinaryIO) -> None:
    """Write bands of rows (rows, width) as Flate data of one bit a sample, True = 1."""
    packer = zlib.compressobj(_LEVEL)
    for rows in bands:
        stream.write(packer.compress(np.packbits(rows, axis=1).tobytes()))
    stream.write(packer.flush())


def gray_entries(width: int, height: int) -> dict[str, object]:
    """Return the dictionary of an 8-bit gray image as `pack_gray` packs it, as JSON of the PDF library."""
    return {
        "/Type": "/XObject",
        "/Subtype": "/Image",
        "/Width": width,
        "/Height": height,
        "/ColorSpace": "/DeviceGray",
        "/BitsPerComponent": 8,
        "/Filter": "/FlateDecode",
        "/DecodeParms": {"/Predictor": 15, "/Colors": 1, "/BitsPerComponent": 8, "/Columns": width},
    }
