"""A faster, coarser way to the same picture: the colours of all tones, worked out beforehand and looked up.

For one and two inks the table holds every pair of 8-bit tones and is exact; for three and four it holds evenly spaced
levels, among them no ink and full tone, and the nearest is taken. More inks need `raster`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.ink.colour import Bytes
from imposer.ink.overprint import OverprintModel
from imposer.ink.raster import check_planes, predict_srgb8

#: Levels of tone told apart, by the number of inks: at most 2^20 colours, 4 MB.
_LEVELS = {0: 1, 1: 256, 2: 256, 3: 64, 4: 32}
#: Pixels worked at a time.
_STRIP_PIXELS = 65_536


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PreviewTable:
    """The colours of a model's tones.

    Attributes:
        model: The overprint model it was worked out from.
        levels: How many levels of every tone it tells apart.
        colours: 8-bit sRGB and a byte to fill, four bytes an entry, shape (levels^k,); the first ink varies fastest.
    """

    model: OverprintModel
    levels: int
    colours: npt.NDArray[np.uint32]


def preview_table(model: OverprintModel) -> PreviewTable:
    """Work out the table, in a fraction of the time of one page.

    Raises:
        ValueError: the model has more inks than a table can hold.
    """
    ink_count = len(model.inks)
    if ink_count not in _LEVELS:
        raise ValueError(
            f"{ink_count} inks are too many for a preview table, which holds {max(_LEVELS)}; predict them exactly"
        )
    levels = _LEVELS[ink_count]
    tones = np.floor(np.arange(levels) * 255 / max(levels - 1, 1) + 0.5).astype(np.uint8)
    entries = np.arange(levels**ink_count)
    planes = np.empty((ink_count, 1, len(entries)), dtype=np.uint8)
    for ink in range(ink_count):
        planes[ink, 0] = tones[entries // levels**ink % levels]
    colours = np.zeros((len(entries), 4), dtype=np.uint8)
    colours[:, :3] = predict_srgb8(model, planes)[0]
    return PreviewTable(model=model, levels=levels, colours=colours.view(np.uint32)[:, 0])


def preview_srgb8(table: PreviewTable, planes: Bytes) -> Bytes:
    """Look up what the print of these ink planes will look like.

    Args:
        table: From `preview_table`.
        planes: Tones in the order of the model's inks, shape (k, height, width), 0 = no ink, 255 = full tone.

    Returns:
        8-bit sRGB, shape (height, width, 3).

    Raises:
        ValueError: the planes are not of that shape or type.
    """
    check_planes(table.model, planes)
    _, height, width = planes.shape
    picture = np.empty((height, width, 3), dtype=np.uint8)
    if not picture.size:
        return picture
    rows = max(1, _STRIP_PIXELS // width)
    for top in range(0, height, rows):
        entries = _entries(planes[:, top : top + rows], table.levels)
        found = table.colours[entries].view(np.uint8).reshape(*entries.shape, 4)
        picture[top : top + rows] = found[..., :3]
    return picture


def _entries(planes: Bytes, levels: int) -> npt.NDArray[np.intp]:
    """Return every pixel's place in the table."""
    entries = np.zeros(planes.shape[1:], dtype=np.intp)
    for plane in planes[::-1]:
        entries *= levels
        entries += plane if levels == 256 else _nearest_level(plane, levels)
    return entries


def _nearest_level(plane: Bytes, levels: int) -> npt.NDArray[np.uint16]:
    """Return tone × (levels - 1) / 255, rounded; 16 bits hold it for up to 129 levels."""
    nearest = plane.astype(np.uint16)
    nearest *= 2 * (levels - 1)
    nearest += 255
    nearest //= 510
    return nearest
