"""Large solids: areas of nearly full tone that a disc of some millimetres fits into.

Opening by a disc takes away type and lines, however black; what is left grows back to its own outline, so that the
area told is the solid's and not what the disc could reach. Worked on the plane of means: a solid with a fine grain
in it is still a solid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from imposer.geometry import Box
from imposer.tones.packed import WIDEST_DISC, dilated, opened, pack
from imposer.tones.parts import find_parts
from imposer.tones.plane import Plane


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """One connected area of nearly full tone.

    Attributes:
        box: The box that holds it, mm.
        area: Its area, mm², to within a third of a millimetre along its outline.
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
    # A disc leaves a square's corner bare over 0.21 of its diameter; stubs of attached lines grow back no further.
    regrown = dilated(kept, math.ceil(0.21 * diameter) + 1)
    grown = mask.with_words(regrown.words & mask.words)
    # A cell on the outline is the solid's if half of it is.
    half = pack(values, _least(tone / 2), margin=2 * diameter)
    solid = mask.with_words(grown.words | (dilated(grown, 1).words & half.words)).unpacked()
    parts = find_parts(solid)
    cell = means.pitch**2
    full = grown.unpacked()
    sums = np.bincount(parts.labels[full], weights=values[full], minlength=len(parts))
    counts = np.bincount(parts.labels[full], minlength=len(parts))
    found = [
        Solid(
            box=means.box(parts.top[i], parts.left[i], parts.bottom[i], parts.right[i]),
            area=float(parts.pixels[i]) * cell,
            tone=float(sums[i] / counts[i] / 255),
        )
        for i in np.argsort(-parts.pixels, kind="stable")
    ]
    return tuple(solid for solid in found if solid.area >= area)


def _least(tone: float) -> int:
    """Return the least whole value that is a tone; a hair is left for rounding."""
    return max(math.ceil(tone * 255 - 0.5), 1)
