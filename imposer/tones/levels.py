"""Tones that will not print as drawn: too light to hold, a background that is not bare, shadows that will fill in.

Shares are of the plane's area, counted on cells of a sixth of a millimetre by their lightest and darkest pixel, so
that the grey fringe of a drawn edge is no tone: a cell on an edge has bare paper or solid ink in it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PIL import Image

from imposer.geometry import Box
from imposer.tones.coverage import LEAST_INK, window_sums
from imposer.tones.plane import Mask, Plane, Raster, fold

#: From here on a tone is solid: nothing is left to fill in. 98 % of 255, rounded; an own choice.
SOLID = 250
#: A ground is looked for among tones lighter than this: a quarter.
_DARKEST_GROUND = 64
#: Means this near to one another are one ground.
_GROUND_SPREAD = 3
#: Where the lightest tones lie thickest is told by a window of this side, mm.
_PLACE = 10.0
#: … in steps of so many cells.
_STEP = 6
#: The rim of a scan, or of a negative, is looked for in a ring this wide, mm.
_RIM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Shares of a plane's area by tone, 0 … 1.

    Attributes:
        bare: No ink at all, under 1 %.
        light: Even tones from 1 % to under the lightest that the press holds.
        light_box: Where they lie thickest, mm; None if there are none.
        filling: Even tones above the darkest that stay open, short of solid.
        filling_box: Where they lie thickest, mm; None if there are none.
        solid: Solid ink, 98 % and more.
        ground: The commonest tone between bare and a quarter: in a scan, the paper's own grey. 0 if there is none.
        ground_share: How much of the area has that tone.
        rim: Mean tone of the outermost 3 mm.
    """

    bare: float
    light: float
    light_box: Box | None
    filling: float
    filling_box: Box | None
    solid: float
    ground: float
    ground_share: float
    rim: float

    @property
    def negative(self) -> bool:
        """Whether the plane looks like a negative: mostly solid up to its rim, with little between solid and bare.

        A page that is meant to be a solid with reversed type looks the same.
        """
        return self.solid > 0.5 and self.rim > 0.85 and self.bare < 0.4


def measure_levels(plane: Plane, lightest: float = 0.10, darkest: float = 0.90) -> Levels:
    """Return the shares of a plane's area by tone.

    Args:
        plane: The plane.
        lightest: The lightest tone that the press holds, 0 … 1.
        darkest: The darkest tone that does not fill in, 0 … 1.
    """
    least, most = plane.least.values, plane.most.values
    bare, solid = most < LEAST_INK, least >= SOLID
    # Against whole numbers, for tones are: a comparison with a fraction makes every tone a float first.
    under_lightest = most < math.ceil(lightest * 255)
    light = _even(under_lightest) & ~bare
    filling = (least > math.floor(darkest * 255)) & (most < SOLID)
    ground, ground_share = _ground(plane)
    return Levels(
        bare=_share(bare),
        light=_share(light),
        light_box=_thickest(plane.most, light),
        filling=_share(filling),
        filling_box=_thickest(plane.least, filling),
        solid=_share(solid),
        ground=ground,
        ground_share=ground_share,
        rim=_rim(plane.means),
    )


def _share(mask: Mask) -> float:
    return float(np.count_nonzero(mask)) / mask.size


def _even(mask: Mask) -> Mask:
    """Return the cells whose eight neighbours are in the mask too; beyond the plane is as its edge."""
    kept = mask.copy()
    for axis in (0, 1):
        within = kept.copy()
        ahead, behind = np.moveaxis(kept, axis, 0), np.moveaxis(within, axis, 0)
        behind[1:] &= ahead[:-1]
        behind[:-1] &= ahead[1:]
        kept = within
    return kept


def _thickest(raster: Raster, mask: Mask) -> Box | None:
    """Return the box of the marked cells in the window of 10 mm that has the most of them."""
    if not mask.any():
        return None
    counts = fold(fold(mask.view(np.uint8), _STEP, 0, np.add), _STEP, 1, np.add)
    high, wide = (min(max(round(_PLACE / (_STEP * raster.pitch)), 1), n) for n in counts.shape)
    sums = window_sums(counts, high, wide)
    top, left = (_STEP * at for at in divmod(int(sums.argmax()), sums.shape[1]))
    rows, columns = np.nonzero(mask[top : top + _STEP * high, left : left + _STEP * wide])
    return raster.box(top + rows.min(), left + columns.min(), top + rows.max() + 1, left + columns.max() + 1)


def _ground(plane: Plane) -> tuple[float, float]:
    """Return the commonest tone between bare and a quarter, and its share."""
    counts = np.array(Image.fromarray(plane.means.values).histogram())
    near = np.array([counts[max(t - 1, LEAST_INK) : t + 2].sum() for t in range(LEAST_INK, _DARKEST_GROUND)])
    if not near.any():
        return 0.0, 0.0
    around = LEAST_INK + int(near.argmax())
    # Three tones at a time find it; their mean says what it is, whatever the edges of type add to one of them.
    tones = np.arange(max(around - 1, LEAST_INK), around + 2)
    tone = float((tones * counts[tones]).sum() / counts[tones].sum())
    middle = round(tone)
    share = counts[max(middle - _GROUND_SPREAD, LEAST_INK) : middle + _GROUND_SPREAD + 1].sum() / counts.sum()
    return tone / 255, float(share)


def _rim(means: Raster) -> float:
    wide = max(round(_RIM / means.pitch), 1)
    values = means.values
    if min(values.shape) <= 2 * wide:
        return float(values.mean()) / 255
    inner = values[wide:-wide, wide:-wide]
    ring = int(values.sum(dtype=np.int64)) - int(inner.sum(dtype=np.int64))
    return ring / (values.size - inner.size) / 255
