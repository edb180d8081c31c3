"""Large solids: areas of nearly full tone that a disc of some millimetres fits into.

Opening by a disc takes away type and lines, however black; what is left grows back to its own outline, so that the
area told is the solid's and not what the disc could reach. Worked on the plane of means: a solid with a fine grain
in it is still a solid. Cells on its outline count by how much of them it covers, so that nothing is rounded up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box
from imposer.tones.packed import WIDEST_DISC, dilated, opened, pack
from imposer.tones.parts import Parts, find_parts
from imposer.tones.plane import Mask, Plane, Raster, Tones

_Reals = npt.NDArray[np.float64]
_Labels = npt.NDArray[np.int32]

#: Pieces of a solid no further apart than this are one, mm: type left bare in it makes it stick no less. A working
#: value of our own.
_ONE_SOLID = 2.0
#: The eight cells next to one.
_STEPS = tuple((down, across) for down in (-1, 0, 1) for across in (-1, 0, 1) if down or across)


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """One area of nearly full tone, in one piece or in several close together.

    Attributes:
        box: The box that holds it, mm.
        area: Its area, mm²; cells on its outline by the part of them that it covers.
        tone: Its mean tone, 0 … 1, its outline left out.
    """

    box: Box
    area: float
    tone: float


def find_solids(plane: Plane, *, tone: float = 0.85, width: float = 6.0, area: float = 0.0) -> tuple[Solid, ...]:
    """Return the solids of a plane, the largest first.

    Args:
        plane: The plane.
        tone: From which tone on an area is solid, 0 … 1.
        width: How wide it must be somewhere, mm: the disc that must fit into it.
        area: How large it must be, mm².
    """
    means = plane.means
    values = means.values
    diameter = max(round(width / means.pitch), 1)
    if diameter > WIDEST_DISC:
        raise ValueError(f"a width of {width} mm is more than can be looked for")
    mask = pack(values, _least(tone), margin=2 * diameter, outside=False)
    kept = opened(mask, diameter)
    if not kept.words.any():
        return ()
    # A disc leaves a square's corner bare over 0.21 of its diameter; stubs of attached lines grow back no further.
    regrown = dilated(kept, math.ceil(0.21 * diameter) + 1)
    grown = mask.with_words(regrown.words & mask.words)
    # A cell on the outline is the solid's if half of it is.
    half = pack(values, _least(tone / 2), margin=2 * diameter)
    around = dilated(grown, 1)
    outlined = mask.with_words(grown.words | (around.words & half.words))
    solid, full = outlined.unpacked(), grown.unpacked()
    # Pieces close together lie in one part of a wider mask, and count as one.
    parts = find_parts(dilated(outlined, max(round(_ONE_SOLID / 2 / means.pitch), 1)).unpacked())
    weights = _cell_areas(means)
    labels = parts.labels[full]
    sums = np.bincount(labels, weights=values[full], minlength=len(parts))
    counts = np.bincount(labels, minlength=len(parts))
    areas = np.bincount(labels, weights=weights[full], minlength=len(parts))
    tones = sums / counts
    owner, covered = _outline(values, full, around.unpacked() & ~full, parts.labels, tones, weights)
    areas += np.bincount(owner, weights=covered, minlength=len(parts))
    found = [
        Solid(box=_box(means, solid, parts, part), area=float(areas[part]), tone=float(tones[part] / 255))
        for part in np.argsort(-areas, kind="stable")
    ]
    return tuple(solid for solid in found if solid.area >= area)


def _box(means: Raster, solid: Mask, parts: Parts, part: int) -> Box:
    """Return the box of the solid cells in one part of the wider mask, mm."""
    top, left = int(parts.top[part]), int(parts.left[part])
    there = np.s_[top : parts.bottom[part], left : parts.right[part]]
    cells = solid[there] & (parts.labels[there] == part)
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    return means.box(top + rows[0], left + columns[0], top + rows[-1] + 1, left + columns[-1] + 1)


def _cell_areas(means: Raster) -> _Reals:
    """Return the area of every cell, mm²: those at the right and lower end may stand out beyond the plane."""
    rows, columns = means.values.shape
    high = np.clip(means.size.height - np.arange(rows) * means.pitch, 0, means.pitch)
    wide = np.clip(means.size.width - np.arange(columns) * means.pitch, 0, means.pitch)
    areas: _Reals = high[:, None] * wide
    return areas


def _outline(
    values: Tones, full: Mask, ring: Mask, labels: _Labels, tones: _Reals, areas: _Reals
) -> tuple[_Labels, _Reals]:
    """Return which solid every cell on an outline belongs to, and how much of it that covers, mm².

    A cell there has ink between that of the solid and what lies beyond, which is the least of the cells next to it that
    are on no outline; a cell with none of them is a hole in the solid, and what it has counts in full.
    """
    down, across = np.divmod(np.flatnonzero(ring), ring.shape[1])
    owner = np.full(len(down), -1, dtype=labels.dtype)
    beyond = np.full(len(down), 255, dtype=values.dtype)
    none = np.ones(len(down), dtype=np.bool_)
    outside = ~(full | ring)
    rows, columns = values.shape
    for step_down, step_across in _STEPS:
        row, column = down + step_down, across + step_across
        inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        row, column = row[inside], column[inside]
        own = np.where(full[row, column], labels[row, column], -1)
        owner[inside] = np.maximum(owner[inside], own)
        bare = outside[row, column]
        beyond[inside] = np.where(bare, np.minimum(beyond[inside], values[row, column]), beyond[inside])
        none[inside] &= ~bare
    ground = np.where(none, 0, beyond).astype(np.float64)
    share = (values[down, across] - ground) / np.maximum(tones[owner] - ground, 1)
    covered: _Reals = np.clip(share, 0, 1) * areas[down, across]
    return owner, covered


def _least(tone: float) -> int:
    """Return the least whole value that is a tone; a hair is left for rounding."""
    return max(math.ceil(tone * 255 - 0.5), 1)
