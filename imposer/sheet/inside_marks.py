"""Marks inside a piece: where a one-sheet zine is slit, and where a strip is glued to the next.

They lie on the pages' edges or on paper that is glued over, the same on every sheet. A slit is marked at its ends
alone, so that nothing stays on the heads of the pages between: a bar where the knife stops, and a dashed lead-in.
"""

from __future__ import annotations

from imposer.data.fonts import width_of
from imposer.geometry import Box
from imposer.job.model import MarkKind
from imposer.sheet.extents import baseline
from imposer.sheet.mark_room import LINE, TYPE_HEIGHT
from imposer.sheet.model import Segment, SheetSide, Stroke, Words

#: The lead-in of a slit: its length at most, its share of the slit at most, its dash; and the bar at its end, mm.
LEAD_IN, LEAD_IN_SHARE, DASH, STOP = 8.0, 0.2, (1.2, 0.6), 3.0

#: The word on a flap, and the type it is set in, mm, if the flap is wide enough.
GLUE, GLUE_TYPE = "glue", 3.0


def inside_marks(side: SheetSide, wanted: frozenset[MarkKind]) -> tuple[Stroke | Words, ...]:
    """Return the marks on the pieces of a front; none on a back: knife and glue work from one face."""
    if side.side == "back":
        return ()
    marks: list[Stroke | Words] = []
    if "slit" in wanted:
        marks += [stroke for slit in side.slits for stroke in slit_marks(slit)]
    if "glue" in wanted:
        marks += [_word(flap) for flap in side.flaps]
    return tuple(marks)


def slit_marks(slit: Segment) -> tuple[Stroke, ...]:
    """Return the bars and lead-ins at both ends of a slit.

    >>> [(m.x0, m.y0, m.x1, m.y1) for m in slit_marks(Segment(10, 50, 90, 50))][:2]
    [(10, 48.5, 10, 51.5), (10, 50, 18.0, 50)]
    """
    level = slit.y0 == slit.y1
    length = slit.x1 - slit.x0 if level else slit.y1 - slit.y0
    inward = min(LEAD_IN, length * LEAD_IN_SHARE)
    half = STOP / 2
    marks = []
    for x, y, way in ((slit.x0, slit.y0, inward), (slit.x1, slit.y1, -inward)):
        if level:
            marks.append(Stroke("slit", x, y - half, x, y + half, LINE))
            marks.append(Stroke("slit", x, y, x + way, y, LINE, DASH))
        else:
            marks.append(Stroke("slit", x - half, y, x + half, y, LINE))
            marks.append(Stroke("slit", x, y, x, y + way, LINE, DASH))
    return tuple(marks)


def _word(flap: Box) -> Words:
    upright = flap.height > flap.width
    size = min(GLUE_TYPE, min(flap.width, flap.height) / TYPE_HEIGHT / 1.2)
    length, high = width_of(GLUE, size), TYPE_HEIGHT * size
    box = Box.around(*flap.centre, high, length) if upright else Box.around(*flap.centre, length, high)
    x, y = baseline(box, size, upright=upright)
    return Words("glue", GLUE, x, y, size, 90 if upright else 0)
