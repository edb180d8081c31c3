"""What a PDF page draws on the page itself: what stands beyond the bleed is cut off before it prints. No rule.

A file exported with marks has a margin around trim and bleed with crop marks, colour bars and a line of small type.
"""

from __future__ import annotations

from collections.abc import Sequence

from imposer.geometry import Box
from imposer.pages.drawn_facts import Pen, Shade, Words
from imposer.pages.tone_facts import InkTones

#: A level or upright stroke has a box of no height or width, which meets nothing: it is taken to be as wide, mm.
_LEAST_PEN = 0.01


def area_of(tones: InkTones) -> Box:
    """Return trim and bleed in page space."""
    return tones.on_page(Box(0, 0, tones.size.width, tones.size.height))


def smallest_on_page(tones: InkTones, smallest: Words | None, shades: Sequence[Shade]) -> Words | None:
    """Return the smallest type of some shades that stands on the page; `smallest` is that of the whole drawing."""
    area = area_of(tones)
    if tones.drawn is None or smallest is None or smallest.box.meets(area):
        return smallest
    here = (words for words in tones.drawn.words if words.shade in shades and words.box.meets(area))
    return min(here, key=lambda words: words.size, default=None)


def thinnest_on_page(tones: InkTones) -> Pen | None:
    """Return the thinnest stroke that lies on the page."""
    area = area_of(tones)
    pens = () if tones.drawn is None else tones.drawn.pens
    return next((pen for pen in pens if pen.box.grown(max(pen.width, _LEAST_PEN) / 2).meets(area)), None)
