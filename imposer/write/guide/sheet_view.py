"""Press sheets drawn small: the map of a side's pages, its thumbnail with art and marks, the machine at its lead edge.

All of it is drawn from the same panels and frames that the masters are made from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Edge, Size, Transform
from imposer.sheet.model import Frame, Label, Layout, Panel, SheetSide, Words
from imposer.units import from_points
from imposer.write.drawing import draw_marks
from imposer.write.guide.blocks import NAMES
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen, Point, text_width
from imposer.write.guide.pictures import PagePictures

#: How far the machine's outline stands from the sheet, and how deep it is, mm.
MACHINE_GAP, MACHINE_DEPTH = 5.0, 9.0

#: Type of the notes under a page's number, points.
_NOTE = 7.5


@dataclass(frozen=True, slots=True)
class View:
    """A sheet's side at a place on the guide's page: lower left corner (mm) and scale."""

    x: float
    y: float
    scale: float
    size: Size

    @property
    def outline(self) -> Box:
        """The sheet on the guide's page."""
        return Box.at(self.x, self.y, self.size.width * self.scale, self.size.height * self.scale)

    @property
    def transform(self) -> Transform:
        """From the sheet to the guide's page."""
        return Transform.scale(self.scale, self.scale).then(Transform.shift(self.x, self.y))

    def box(self, box: Box) -> Box:
        """Return where a box of the sheet lies on the guide's page."""
        return self.transform.apply_box(box)

    def point(self, x: float, y: float) -> Point:
        """Return where a point of the sheet lies on the guide's page."""
        return self.transform.apply(x, y)


def scale_to_fit(size: Size, room: Size) -> float:
    """Return the scale at which a sheet fits into a room."""
    return min(room.width / size.width, room.height / size.height)


def draw_map(
    pen: Pen,
    view: View,
    side: SheetSide,
    layout: Layout,
    *,
    printed: bool = True,
    backs: Mapping[int, int] | None = None,
    blanks: frozenset[int] = frozenset(),
) -> None:
    """Draw a side as a map: outline, safe area, page numbers as they stand, a thick bar at the head of each.

    Args:
        pen: draws.
        view: where.
        side: what.
        layout: how pieces lie on the sheet.
        printed: else the pages are drawn pale and dashed: what will be printed here.
        backs: for each page the one on its back, which is then named too.
        blanks: pages without art.
    """
    pen.box(view.outline, fill=1.0, weight=FIRM if printed else THIN)
    pen.box(view.box(layout.safe), weight=HAIR, paint=0.5, dash=(1.0, 0.8))
    other = "back" if side.side == "front" else "front"
    for panel in side.panels:
        notes = ["blank"] if panel.page in blanks else []
        if backs and panel.page is not None and panel.page in backs:
            notes.insert(0, f"{other} {backs[panel.page]}")
        _draw_panel(pen, view.box(panel.trim), panel, notes, pale=not printed)


def _draw_panel(pen: Pen, box: Box, panel: Panel, notes: Sequence[str], *, pale: bool) -> None:
    if panel.page is None:
        pen.box(box, weight=HAIR, paint=0.6, fill=0.9)
        return
    pen.box(box, weight=THIN, paint=0.5 if pale else 0.0, fill=1.0, dash=(1.2, 0.9) if pale else None)
    paint = 0.4 if pale else 0.0
    _draw_head(pen, box, panel, paint)
    size = max(6.5, min(18.0, min(box.width, box.height) * 0.62))
    shown = [note for note in notes if text_width(note, _NOTE) < _upright(box, panel).width - 1]
    step = from_points(_NOTE) * 1.15
    up = step * len(shown) / 2
    pen.text_in_middle(_inside(box, panel, up), str(panel.page), size, font=SANS_BOLD, paint=paint, turn=panel.rotation)
    for i, note in enumerate(shown):
        down = from_points(size) * 0.5 + from_points(_NOTE) * 0.6 + step * i
        pen.text_in_middle(_inside(box, panel, up - down), note, _NOTE, paint=0.25, turn=panel.rotation)


def _upright(box: Box, panel: Panel) -> Size:
    """Return the panel's size as its page is read."""
    return box.size.turned if panel.rotation in (90, 270) else box.size


def _inside(box: Box, panel: Panel, up: float) -> Point:
    """Return the point `up` mm above the panel's middle, as its page is read."""
    x, y = box.centre
    dx, dy = {0: (0, up), 90: (-up, 0), 180: (0, -up), 270: (up, 0)}[panel.rotation]
    return x + dx, y + dy


def _draw_head(pen: Pen, box: Box, panel: Panel, paint: float) -> None:
    """Draw a bar along the middle third of the page's head."""
    upright = _upright(box, panel)
    half, inset, thick = upright.width / 6, min(1.0, upright.height * 0.06), 0.9
    to_sheet = Transform.quarter_turn(panel.rotation, upright).then(Transform.shift(box.x0, box.y0))
    middle = upright.width / 2
    bar = Box(middle - half, upright.height - inset - thick, middle + half, upright.height - inset)
    pen.box(to_sheet.apply_box(bar), weight=None, fill=paint)


def draw_thumbnail(pen: Pen, view: View, frame: Frame, inks: tuple[str, ...], pictures: PagePictures) -> None:
    """Draw a frame with the art of its pages in some inks, its marks, and the page numbers."""
    pen.box(view.outline, fill=1.0, weight=THIN)
    for art in frame.art:
        upright = art.trim.size.turned if art.rotation in (90, 270) else art.trim.size
        jpeg = pictures.of(art.page, inks, view.scale * max(upright.width, upright.height))
        if jpeg is not None:
            turned = Transform.quarter_turn(art.rotation, upright).then(Transform.shift(art.trim.x0, art.trim.y0))
            with pen.placed(view.transform, art.clip), pen.placed(turned):
                pen.picture(jpeg, Box(0, 0, upright.width, upright.height))
    with pen.placed(view.transform):
        draw_marks(pen.canvas, (m for m in frame.marks if not isinstance(m, Words | Label)))
    for art in frame.art:
        box = view.box(art.trim)
        pen.box(box, weight=HAIR, paint=0.4)
        _chip(pen, box.centre, str(art.page), max(5.5, min(8.5, min(box.width, box.height) * 0.45)))


def _chip(pen: Pen, at: Point, text: str, size: float) -> None:
    """Write a number on a white ground, so that it reads on any art."""
    half, high = text_width(text, size, SANS_BOLD) / 2 + 0.8, from_points(size) * 0.62
    pen.box(Box(at[0] - half, at[1] - high, at[0] + half, at[1] + high), weight=HAIR, fill=1.0, radius=0.8)
    pen.text_in_middle(at, text, size, font=SANS_BOLD)


def draw_machine(pen: Pen, sheet: Box, lead: Edge) -> None:
    """Draw the machine beyond the lead edge of a sheet, and an arrow that goes in."""
    x, y = sheet.centre
    if lead == "left":
        body = Box(sheet.x0 - MACHINE_GAP - MACHINE_DEPTH, sheet.y0 - 2, sheet.x0 - MACHINE_GAP, sheet.y1 + 2)
        pen.box(body, fill=0.85, radius=1.5)
        pen.text_in_middle(body.centre, "machine", NAMES, turn=90)
        pen.arrow((sheet.x0 - 0.5, y), (sheet.x0 - MACHINE_GAP + 0.3, y), 1.2, 3.2)
        return
    body = Box(sheet.x0 - 2, sheet.y0 - MACHINE_GAP - MACHINE_DEPTH, sheet.x1 + 2, sheet.y0 - MACHINE_GAP)
    pen.box(body, fill=0.85, radius=1.5)
    pen.text_in_middle(body.centre, "machine", NAMES)
    pen.arrow((x, sheet.y0 - 0.5), (x, sheet.y0 - MACHINE_GAP + 0.3), 1.2, 3.2)


def machine_room(lead: Edge) -> Size:
    """Return how much the machine adds to the left and below a sheet, mm."""
    beyond = MACHINE_GAP + MACHINE_DEPTH
    return Size(beyond, 2.0) if lead == "left" else Size(2.0, beyond)
