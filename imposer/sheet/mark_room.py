"""How large marks are, and how small they may become: one table for the layout that leaves room and the marks drawn.

All lengths in mm. Sizes are common practice where no source is named.
"""

from __future__ import annotations

from typing import NamedTuple

#: Weight of every line of a mark. 0.5 pt is the finest positive line that line-screen film specifications hold.
LINE = 0.2

#: Nothing comes nearer to a mark than this.
CLEARANCE = 0.5

#: Crop, cut and fold marks: full and least length (5 mm is common practice), and their gap from the bleed.
CROP_LENGTH, CROP_LEAST = 5.0, 1.5
CROP_GAP, CROP_GAP_LEAST = 2.0, 0.5

#: Room that crop, cut and fold marks need at the least, beyond trim and bleed.
LEAST_ROOM = CROP_GAP_LEAST + CROP_LEAST

#: Registration crosses, arm to arm, from full to least; the ring is 5/8 of it (a 5 mm circle on 8 mm arms).
CROSS_SIZES = (8.0, 7.0, 6.0, 5.0, 4.5, 4.0, 3.5, 3.0)
RING_SHARE = 5 / 8

#: Scale bars: lengths and heights of the ticks, full to least.
SCALE_LENGTHS = (100.0, 50.0)
SCALE_HEIGHTS = (3.0, 2.5, 2.0, 1.5)

#: Type of label and scale, from full to least.
LABEL_SIZES = (3.0, 2.7, 2.4, 2.1, 1.8)
#: The title in the label is never cut shorter than this.
TITLE_LEAST = 15.0
#: A line of type is this high, as a share of its size (ascender to descender of the face).
TYPE_HEIGHT = 1.15
TYPE_DESCENT = 0.25

#: Lead-edge arrow, and a tone patch: full to least.
ARROW_SIZES = (5.0, 4.0, 3.5, 3.0, 2.5, 2.0)
PATCH_SIZES = (5.0, 4.5, 4.0, 3.5, 3.0, 2.5, 2.0)
#: The tones of the steps, 10 … 100 %.
TONES = tuple(step / 10 for step in range(1, 11))

#: Collation marks: length and step are 24 pt (Etherington and Roberts, Bookbinding and the Conservation of Books,
#: "black step"). They give 6 pt as the width; a zine's spine is thinner, so 1 mm, half of it on each page's spine edge.
STEP_LENGTH = 24 * 25.4 / 72
STEP_WIDTH = 1.0
#: From the head of the page to the first collation mark.
STEP_FROM_HEAD = 10.0


class CropReach(NamedTuple):
    """Gap and length of the marks at the end of a cut or fold line."""

    gap: float
    length: float


def crop_reach(room: float) -> CropReach | None:
    """Return gap and length of the marks that fit in `room` mm beyond trim and bleed; None if even the least do not.

    >>> crop_reach(10.0), crop_reach(6.5), crop_reach(2.0), crop_reach(1.9)
    (CropReach(gap=2.0, length=5.0), CropReach(gap=1.5, length=5.0), CropReach(gap=0.5, length=1.5), None)
    """
    gap = min(CROP_GAP, max(CROP_GAP_LEAST, room - CROP_LENGTH))
    length = min(CROP_LENGTH, room - gap)
    return CropReach(gap, length) if length >= CROP_LEAST - 1e-9 else None
