"""Where ink may lie on a sheet, and which way the sheet turns over: what the machine's margins and the flip decide."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.geometry import Box, Edge, Size
from imposer.job.model import Flip, LeadEdge, Margins


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A sheet as it is drawn: lying on its long edge, lead edge at the left or at the bottom."""

    size: Size
    lead: Edge
    flip: Flip
    safe: Box

    @property
    def mirrors_x(self) -> bool:
        """Whether the flip shows the back mirrored left to right; else top to bottom."""
        return mirrors_x(self.lead, self.flip)


def mirrors_x(lead: Edge, flip: Flip) -> bool:
    """Tell whether a flip swaps left and right as drawn; else it swaps top and bottom.

    A turn flips the sheet about the direction of feed, so the same edge leads again; a tumble flips it about the
    lead edge (XJDF 2.2, Table A.51: WorkAndBack keeps the gripper edge, Perfecting changes it).
    """
    feeds_along_x = lead in ("left", "right")
    return feeds_along_x == (flip == "tumble")


def draw_sheet(size: Size, lead: LeadEdge, flip: Flip, margins: Margins) -> DrawnSheet:
    """Lay a sheet of any orientation down as it is drawn, with the area the machine can print on both faces.

    When a tumble makes the tail lead the second time, the larger of the two margins holds at both ends.
    """
    lying = size.landscape
    at_lead = max(margins.lead, margins.tail) if flip == "tumble" else margins.lead
    at_tail = max(margins.lead, margins.tail) if flip == "tumble" else margins.tail
    if lead == "short edge":
        safe = Box(at_lead, margins.sides, lying.width - at_tail, lying.height - margins.sides)
        return DrawnSheet(lying, "left", flip, safe)
    safe = Box(margins.sides, at_lead, lying.width - margins.sides, lying.height - at_tail)
    return DrawnSheet(lying, "bottom", flip, safe)
