"""Where a page lies on the press sheets, and where the machine's own zones fall on it. Lengths in mm; no files.

Art is measured page by page, but the machine knows only sheets: its margins, its feed roller and its lead edge. Here
these are brought into page space (origin at the lower left of the trim), so that each page can be held against them.
"""

from __future__ import annotations

from dataclasses import dataclass

from imposer.findings import SIDES, Side
from imposer.geometry import Box, Edge, Size, Transform, Turn
from imposer.job.model import Machine
from imposer.sheet.model import Imposition, Layout, Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePlace:
    """One place of one page. All boxes but `on_sheet` are in page space, mm.

    Attributes:
        page: The reader's number.
        sheet: The press sheet's number.
        side: Its side.
        copy: Which copy of the set.
        on_sheet: The page's trim on the side.
        rotation: Its turn there.
        creep: How far creep moved it toward the spine.
        to_sheet: From page space to the side.
        safe: Where the machine can print.
        careful: Where heavy ink is welcome.
        track: What lies under the feed roller, trim and bleed; None if nothing does.
        lead: What lies in the strip nearest to the lead edge; None if nothing does.
    """

    page: int
    sheet: int
    side: Side
    copy: int
    on_sheet: Box
    rotation: Turn
    creep: float
    to_sheet: Transform
    safe: Box
    careful: Box
    track: Box | None
    lead: Box | None


def page_places(imposition: Imposition, machine: Machine) -> tuple[PagePlace, ...]:
    """Return every place of every page, sheet by sheet and front before back."""
    zones = _Zones.of(imposition.layout, machine)
    return tuple(
        _place(panel, panel.page, sheet.number, side, imposition.layout.bleed, zones)
        for sheet in imposition.sheets
        for side in SIDES
        for panel in sheet.face(side).panels
        if panel.page is not None
    )


@dataclass(frozen=True, slots=True)
class _Zones:
    """The machine's zones on either face of a sheet."""

    safe: Box
    careful: Box
    track: Box
    lead: Box

    @classmethod
    def of(cls, layout: Layout, machine: Machine) -> _Zones:
        sheet = Box(0, 0, layout.size.width, layout.size.height)
        middle, near = machine.roller_track / 2, min(machine.careful, *_half(sheet.size))
        return cls(
            safe=layout.safe,
            careful=sheet.grown(-near),
            track=track_band(layout.size, layout.lead, 2 * middle),
            lead=lead_strip(layout.safe, layout.lead, machine.careful),
        )


def track_band(sheet: Size, lead: Edge, width: float) -> Box:
    """Return the band along the middle of the feed that the roller rides on."""
    x, y = sheet.width / 2, sheet.height / 2
    if lead in ("left", "right"):
        return Box(0, max(y - width / 2, 0), sheet.width, min(y + width / 2, sheet.height))
    return Box(max(x - width / 2, 0), 0, min(x + width / 2, sheet.width), sheet.height)


def lead_strip(safe: Box, lead: Edge, width: float) -> Box:
    """Return the strip of the printable area nearest to the lead edge."""
    match lead:
        case "left":
            return Box(safe.x0, safe.y0, min(safe.x0 + width, safe.x1), safe.y1)
        case "right":
            return Box(max(safe.x1 - width, safe.x0), safe.y0, safe.x1, safe.y1)
        case "bottom":
            return Box(safe.x0, safe.y0, safe.x1, min(safe.y0 + width, safe.y1))
        case "top":
            return Box(safe.x0, max(safe.y1 - width, safe.y0), safe.x1, safe.y1)


def _half(size: Size) -> tuple[float, float]:
    return size.width / 2, size.height / 2


def _place(panel: Panel, page: int, sheet: int, side: Side, bleed: float, zones: _Zones) -> PagePlace:
    upright = panel.trim.size.turned if panel.rotation in (90, 270) else panel.trim.size
    to_sheet = Transform.quarter_turn(panel.rotation, upright).then(Transform.shift(panel.trim.x0, panel.trim.y0))
    to_page = to_sheet.inverse()
    printed = Box(0, 0, upright.width, upright.height).grown(bleed)
    return PagePlace(
        page=page,
        sheet=sheet,
        side=side,
        copy=panel.copy,
        on_sheet=panel.trim,
        rotation=panel.rotation,
        creep=panel.creep,
        to_sheet=to_sheet,
        safe=_rounded(to_page.apply_box(zones.safe)),
        careful=_rounded(to_page.apply_box(zones.careful)),
        track=_common(printed, to_page.apply_box(zones.track)),
        lead=_common(printed, to_page.apply_box(zones.lead)),
    )


def _common(printed: Box, zone: Box) -> Box | None:
    shared = printed.common(zone)
    return None if shared is None else _rounded(shared)


def _rounded(box: Box) -> Box:
    """Return a box to a ten-thousandth of a millimetre, so that what is the same place is the same box."""
    return Box(*(round(edge, 4) + 0.0 for edge in (box.x0, box.y0, box.x1, box.y1)))
