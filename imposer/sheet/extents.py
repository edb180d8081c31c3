"""The box that an item of a frame covers with ink, line weights included. mm."""

from __future__ import annotations

from imposer.data.fonts import width_of
from imposer.geometry import Box
from imposer.sheet.mark_room import TYPE_DESCENT, TYPE_HEIGHT
from imposer.sheet.model import Arrow, Art, Item, Label, Patch, Ring, Stroke, Words


def extent(item: Item) -> Box:
    """Return the box of an item. A label counts with its title in full room and the longest rest it can carry."""
    match item:
        case Art():
            return item.clip
        case Stroke(x0=x0, y0=y0, x1=x1, y1=y1, width=width):
            # A mark's lines have butt ends: the weight shows across the line only.
            grow_x, grow_y = (0.0, width / 2) if y0 == y1 else (width / 2, 0.0)
            return Box(min(x0, x1) - grow_x, min(y0, y1) - grow_y, max(x0, x1) + grow_x, max(y0, y1) + grow_y)
        case Ring(x=x, y=y, radius=radius, width=width):
            return Box.around(x, y, 2 * radius + width, 2 * radius + width)
        case Patch() | Arrow():
            return item.box
        case Words():
            return text_box(item.x, item.y, width_of(item.text, item.size), item.size, upright=item.turn == 90)
        case Label():
            length = item.title_room + width_of(item.longest_rest, item.size)
            return text_box(item.x, item.y, length, item.size, upright=item.turn == 90)


def text_box(x: float, y: float, length: float, size: float, *, upright: bool) -> Box:
    """Return the box of a line of type whose baseline starts at (x, y); upright text runs toward the top."""
    below, high = TYPE_DESCENT * size, TYPE_HEIGHT * size
    if upright:
        return Box(x - (high - below), y, x + below, y + length)
    return Box(x, y - below, x + length, y - below + high)


def baseline(box: Box, size: float, *, upright: bool) -> tuple[float, float]:
    """Return where the baseline starts of a line of type that fills `box`."""
    below = TYPE_DESCENT * size
    return (box.x1 - below, box.y0) if upright else (box.x0, box.y0 + below)
