"""Boxes to write in: each with its name in the corner, in rows across the page."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.geometry import Box
from imposer.write.guide.blocks import NAMES, Block
from imposer.write.guide.pen import THIN, Pen, text_width

#: How high a box to write in is, mm.
ROOMY, CLOSE = 10.0, 8.5


def fields(names: Sequence[str], width: float, high: float = ROOMY) -> tuple[Block, ...]:
    """Return a row of boxes as wide as their names ask for, sharing what is left; as many rows as they need."""
    rows: list[list[str]] = [[]]
    for name in names:
        if rows[-1] and sum(map(_least, [*rows[-1], name])) > width:
            rows.append([])
        rows[-1].append(name)
    return tuple(_row(row, width, high) for row in rows)


def _least(name: str) -> float:
    return text_width(name, NAMES) + 3


def _row(names: Sequence[str], width: float, high: float) -> Block:
    least = [_least(name) for name in names]
    spare = max(0.0, width - sum(least)) / len(names)

    def draw(pen: Pen, x: float, top: float) -> None:
        for name, needs in zip(names, least, strict=True):
            pen.box(Box(x, top - high, x + needs + spare, top), weight=THIN)
            pen.text((x + 1.2, top - 3.2), name, NAMES, paint=0.25)
            x += needs + spare

    return Block(high, draw)
