"""In which order a stack is cut, and what the back gauge is set to. A layout in, cuts out; nothing is drawn.

Common practice, no source: first the outside, so that the stack is square and everything after is measured from a
fresh edge; then the cuts between pieces, whole strips first, so that each stack stays easy to hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from imposer.geometry import Edge
from imposer.sheet.model import Layout
from imposer.units import TOLERANCE, show
from imposer.write.guide.words import letters

Axis = Literal["x", "y"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut through the stack, which lies front up with the lead edge where it is drawn."""

    number: int
    #: Which coordinate it has; an "x" cut runs up and down.
    axis: Axis
    #: The coordinate, mm.
    at: float
    #: What lies against the back gauge.
    against: str
    #: Setting of the back gauge: from the blade to that edge, mm.
    gauge: float
    #: What comes off in front of the blade.
    gives: str


def cut_order(layout: Layout) -> tuple[Cut, ...]:
    """Return the cuts of a layout in order; none if its one piece is the whole sheet."""
    names = edge_names(layout)
    found: list[Cut] = []
    trued: dict[Axis, str] = {"x": f"the {names['right']}", "y": f"the {names['top']}"}
    if not layout.untrimmed:
        found = [*_outside(layout, "x", 1), *_outside(layout, "y", 3)]
        trued = {"x": "cut 1", "y": "cut 3"}
    for axis, edge in trued.items():
        found += _between(layout, axis, edge, len(found) + 1)
    return tuple(found)


def edge_names(layout: Layout) -> dict[Edge, str]:
    """Return what each edge of the sheet, as its front is drawn, is called."""
    opposite: dict[Edge, Edge] = {"left": "right", "right": "left", "bottom": "top", "top": "bottom"}
    names: dict[Edge, str] = {edge: f"{edge} edge" for edge in opposite}
    names[layout.lead], names[opposite[layout.lead]] = "lead edge", "tail edge"
    return names


def _outside(layout: Layout, axis: Axis, number: int) -> Iterator[Cut]:
    """Give the two cuts that take off the waste at both ends of an axis."""
    cuts = _cuts(layout, axis)
    names = edge_names(layout)
    low, high = (names["left"], names["right"]) if axis == "x" else (names["bottom"], names["top"])
    yield Cut(number, axis, cuts[-1], f"the {low}", cuts[-1], f"waste at the {high}")
    yield Cut(number + 1, axis, cuts[0], f"cut {number}", cuts[-1] - cuts[0], f"waste at the {low}")


def _between(layout: Layout, axis: Axis, trued: str, number: int) -> Iterator[Cut]:
    """Give the cuts between pieces along an axis, the edge named `trued` against the gauge."""
    cuts = _cuts(layout, axis)
    for before, at in pairwise(cuts[:-1]):
        gives = _between_in_words(layout, axis, before, at)
        if at == cuts[-2]:
            gives += f"; {_between_in_words(layout, axis, at, cuts[-1])} stays"
        yield Cut(number, axis, at, trued, cuts[-1] - at, gives)
        number += 1


def _cuts(layout: Layout, axis: Axis) -> tuple[float, ...]:
    return layout.cuts_x if axis == "x" else layout.cuts_y


def _between_in_words(layout: Layout, axis: Axis, low: float, high: float) -> str:
    """Return what lies between two neighbouring cuts: stacks, or the strip of a gutter."""
    names = [
        letters(i)
        for i, slot in enumerate(layout.slots)
        if (slot.x0 if axis == "x" else slot.y0) < high - TOLERANCE
        and (slot.x1 if axis == "x" else slot.y1) > low + TOLERANCE
    ]
    if not names:
        return f"waste strip of {show(high - low)} mm"
    still_whole = axis == "x" and layout.rows > 1
    if still_whole:
        return f"strip with {', '.join(names)}"
    return f"stack {names[0]}" if len(names) == 1 else f"stacks {', '.join(names)}"
