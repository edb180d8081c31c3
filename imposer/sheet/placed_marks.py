"""Marks that go wherever there is room: registration crosses, lead arrow, scale bars, tone steps and the label.

Each function takes the free space of a side and returns the mark at the largest of its sizes that fits, or None.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from imposer.data.fonts import width_of
from imposer.geometry import Box, Edge, Turn
from imposer.sheet.extents import baseline
from imposer.sheet.free_space import Space, everywhere, first_free
from imposer.sheet.mark_room import (
    ARROW_SIZES,
    CLEARANCE,
    CROSS_SIZES,
    LABEL_SIZES,
    LINE,
    PATCH_SIZES,
    RING_SHARE,
    SCALE_HEIGHTS,
    SCALE_LENGTHS,
    TITLE_LEAST,
    TONES,
    TYPE_HEIGHT,
)
from imposer.sheet.model import Arrow, Label, Patch, Ring, Stroke, Words


@dataclass(frozen=True, slots=True)
class Strips:
    """The four strips of waste between the pages (with bleed) and the edge of the safe area."""

    #: At the lead and the tail end of the feed.
    lead: Box
    tail: Box
    #: Along the two sides.
    near: Box
    far: Box

    @property
    def sides_first(self) -> tuple[Box, ...]:
        """The strips in the order in which long marks try them: the sides lie clear of the roller track."""
        return (self.near, self.far, self.tail, self.lead)


def strips_around(safe: Box, pages: Box, lead: Edge) -> Strips:
    """Return the strips of a side whose lead edge is drawn at the left or at the bottom."""

    def strip(x0: float, y0: float, x1: float, y1: float) -> Box:
        return Box(x0, y0, max(x0, x1), max(y0, y1))

    left = strip(safe.x0, safe.y0, pages.x0 - CLEARANCE, safe.y1)
    right = strip(min(pages.x1 + CLEARANCE, safe.x1), safe.y0, safe.x1, safe.y1)
    bottom = strip(safe.x0, safe.y0, safe.x1, pages.y0 - CLEARANCE)
    top = strip(safe.x0, min(pages.y1 + CLEARANCE, safe.y1), safe.x1, safe.y1)
    if lead == "left":
        return Strips(left, right, bottom, top)
    return Strips(bottom, top, left, right)


def registration(space: Space, strips: Strips) -> tuple[Stroke | Ring, ...] | None:
    """Return four crosses, mirror images of each other: near the lead and the tail end, at both sides.

    They stand at the same places for every ink and pass, and front and back fall on each other.
    """
    for size in CROSS_SIZES:
        for first in _cross_places(space.area, strips, size):
            boxes = _four(first, space.area)
            if all(map(space.free, boxes)) and not boxes[0].meets(boxes[1]) and not boxes[0].meets(boxes[2]):
                return tuple(item for box in boxes for item in _cross(box))
    return None


def _cross_places(area: Box, strips: Strips, size: float) -> Iterator[Box]:
    """Yield places of the cross nearest the sheet's lower left corner, from the corner inwards."""
    lead_lies = strips.lead.width > strips.lead.height
    upright, level = (strips.near, strips.lead) if lead_lies else (strips.lead, strips.near)
    ends, sides = (level, upright) if lead_lies else (upright, level)
    half = size / 2
    for strip in (ends, sides):
        lying = strip.width > strip.height
        if (strip.height if lying else strip.width) < size:
            continue
        middle = strip.centre[1] if lying else strip.centre[0]
        for i in range(int((strip.width if lying else strip.height) / 2 - size)):
            if lying:
                yield Box.around(area.x0 + half + i, middle, size, size)
            else:
                yield Box.around(middle, area.y0 + half + i, size, size)


def _four(box: Box, area: Box) -> tuple[Box, Box, Box, Box]:
    """Return a box and its mirror images in the middle lines of the area."""
    right = Box(area.x0 + area.x1 - box.x1, box.y0, area.x0 + area.x1 - box.x0, box.y1)
    up = Box(box.x0, area.y0 + area.y1 - box.y1, box.x1, area.y0 + area.y1 - box.y0)
    return box, right, up, Box(right.x0, up.y0, right.x1, up.y1)


def _cross(box: Box) -> tuple[Stroke | Ring, ...]:
    (x, y), half = box.centre, box.width / 2
    return (
        Stroke("registration", x - half, y, x + half, y, LINE),
        Stroke("registration", x, y - half, x, y + half, LINE),
        Ring("registration", x, y, half * RING_SHARE, LINE),
    )


def lead_arrow(space: Space, strips: Strips, lead: Edge) -> Arrow | None:
    """Return the arrow that points to the lead edge."""
    for size in ARROW_SIZES:
        box = first_free(space, everywhere((strips.lead, strips.near, strips.far), size, size, start=0.2))
        if box:
            return Arrow("lead", box, lead)
    return None


def scale_bar(space: Space, strips: Strips, *, level: bool) -> tuple[Stroke | Words, ...] | None:
    """Return a bar with a tick every 10 mm, level or upright, with its length beside it where there is room."""
    for length in SCALE_LENGTHS:
        for height in SCALE_HEIGHTS:
            for words in (f"{length:.0f} mm", ""):
                size = min(2.5, height / TYPE_HEIGHT) if height > 2 else 1.8
                beside = width_of(words, size) + 1 if words else 0.0
                deep = max(height, size * TYPE_HEIGHT) if words else height
                long = length + LINE + beside
                width, tall = (long, deep) if level else (deep, long)
                box = first_free(space, everywhere(strips.sides_first, width, tall, start=0.2))
                if box:
                    return _bar(box, length, height, words, size, level=level)
    return None


def _bar(box: Box, length: float, height: float, words: str, size: float, *, level: bool) -> tuple[Stroke | Words, ...]:
    """Draw a bar from the left or lower end of its box: a line, ticks, words."""
    start = (box.x0 if level else box.y0) + LINE / 2
    foot = box.y0 if level else box.x1
    rise = 1 if level else -1

    def stroke(a0: float, c0: float, a1: float, c1: float) -> Stroke:
        return Stroke("scale", a0, c0, a1, c1, LINE) if level else Stroke("scale", c0, a0, c1, a1, LINE)

    line = foot + rise * LINE / 2
    strokes: list[Stroke | Words] = [stroke(start, line, start + length, line)]
    for tick in range(int(length / 10) + 1):
        high = height if tick in (0, round(length / 20), round(length / 10)) else height * 0.6
        strokes.append(stroke(start + tick * 10, foot, start + tick * 10, foot + rise * high))
    if words:
        after = start + length + LINE / 2 + 1
        text = (
            Box(after, box.y0, box.x1, box.y0 + size * TYPE_HEIGHT)
            if level
            else Box(box.x1 - size * TYPE_HEIGHT, after, box.x1, box.y1)
        )
        x, y = baseline(text, size, upright=not level)
        strokes.append(Words("scale", words, x, y, size, 0 if level else 90))
    return tuple(strokes)


def tone_steps(space: Space, strips: Strips, ink: str) -> tuple[Patch, ...] | None:
    """Return ten patches of one ink, 10 … 100 %, side by side."""
    for size in PATCH_SIZES:
        long = size * len(TONES)
        for level in (True, False):
            width, tall = (long, size) if level else (size, long)
            box = first_free(space, everywhere(strips.sides_first, width, tall, start=0.8))
            if box:
                return tuple(
                    Patch(
                        "tone",
                        Box.at(box.x0 + i * size, box.y0, size, size)
                        if level
                        else Box.at(box.x0, box.y0 + i * size, size, size),
                        tone,
                        ink,
                    )
                    for i, tone in enumerate(TONES)
                )
    return None


@dataclass(frozen=True, slots=True)
class LabelText:
    """What the label of one ink says: the title, and the longest line that can follow it on any of its masters."""

    title: str
    longest_rest: str
    sheets: int
    ink: str


def label_place(space: Space, strips: Strips, text: LabelText) -> Label | None:
    """Return the label of sheet 1's front with its place; those of the ink's other masters stand there too."""
    for cut_short in (False, True):
        for size in LABEL_SIZES:
            title = width_of(text.title, size)
            room = min(title, TITLE_LEAST) if cut_short else title
            long, deep = room + width_of(text.longest_rest, size), size * TYPE_HEIGHT
            for level in (True, False):
                width, tall = (long, deep) if level else (deep, long)
                box = first_free(space, everywhere(strips.sides_first, width, tall))
                if box:
                    turn: Turn = 0 if level else 90
                    x, y = baseline(box, size, upright=not level)
                    return Label(
                        text.title, 1, text.sheets, "front", x, y, size, turn, room, text.longest_rest, text.ink
                    )
    return None
