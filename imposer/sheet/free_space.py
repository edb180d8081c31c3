"""Finding a free place for a box among obstacles: nothing a mark needs may overlap anything else.

Pure boxes in, a box out. Places are tried in the order given, so the result is always the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from imposer.geometry import Box
from imposer.units import TOLERANCE

#: Places along a strip are tried this far apart, mm.
_STEP = 1.0


@dataclass(frozen=True, slots=True)
class Space:
    """An area with things in it; `taken` are boxes nothing may meet."""

    area: Box
    taken: tuple[Box, ...]

    def free(self, box: Box) -> bool:
        """Tell whether a box lies in the area and meets nothing."""
        return self.area.contains(box) and not any(box.meets(other) for other in self.taken)

    def with_boxes(self, boxes: Iterable[Box]) -> Space:
        """Return the space with more of it taken."""
        return Space(self.area, (*self.taken, *boxes))


def first_free(space: Space, places: Iterable[Box]) -> Box | None:
    """Return the first of the places that is free.

    The same test as `Space.free`, laid out in plain numbers: on a crowded sheet hundreds of thousands of places are
    tried before it is known that a mark has no room.
    """
    taken = [
        (other.x0 + TOLERANCE, other.y0 + TOLERANCE, other.x1 - TOLERANCE, other.y1 - TOLERANCE)
        for other in space.taken
        if other.width > TOLERANCE and other.height > TOLERANCE
    ]
    for box in places:
        if not space.area.contains(box):
            continue
        left, low, right, high = box.x0, box.y0, box.x1, box.y1
        for x0, y0, x1, y1 in taken:
            if right > x0 and left < x1 and high > y0 and low < y1:
                break
        else:
            return box
    return None


def along(strip: Box, width: float, height: float, *, start: float = 0.5) -> Iterator[Box]:
    """Yield places of a box in a strip, from the share `start` of its longer way outwards, in the middle across."""
    if width > strip.width + 1e-6 or height > strip.height + 1e-6:
        return
    lying = strip.width >= strip.height
    length = (strip.width - width) if lying else (strip.height - height)
    for offset in _outwards(length, start):
        if lying:
            yield Box.at(strip.x0 + offset, strip.centre[1] - height / 2, width, height)
        else:
            yield Box.at(strip.centre[0] - width / 2, strip.y0 + offset, width, height)


def everywhere(strips: Sequence[Box], width: float, height: float, *, start: float = 0.5) -> Iterator[Box]:
    """Yield places in several strips: along the middle of each first, then along their inner and outer edges."""
    for strip in strips:
        yield from along(strip, width, height, start=start)
    for strip in strips:
        lying = strip.width >= strip.height
        spare = (strip.height - height) if lying else (strip.width - width)
        if spare <= 1:
            continue
        for edge in (0.0, spare):
            thin = (
                Box(strip.x0, strip.y0 + edge, strip.x1, strip.y0 + edge + height)
                if lying
                else Box(strip.x0 + edge, strip.y0, strip.x0 + edge + width, strip.y1)
            )
            yield from along(thin, width, height, start=start)


def _outwards(length: float, start: float) -> Iterator[float]:
    """Yield offsets from 0 to `length`, the nearest to `start` × length first."""
    middle = length * start
    yield middle
    steps = int(length / _STEP) + 1
    for i in range(1, steps + 1):
        for offset in (middle - i * _STEP, middle + i * _STEP):
            if 0 <= offset <= length:
                yield offset
    yield 0.0
    yield length
