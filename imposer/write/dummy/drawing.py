"""One side of a press sheet drawn as a dummy: panels, creases, cuts, the lead edge. Lengths in mm of the sheet.

Every drawn thing keeps its box, so that words find a place where nothing is; what finds none is left out, never laid
over something else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from imposer.data.fonts import SANS, SANS_BOLD
from imposer.geometry import Box, Edge, Size, Transform, Turn
from imposer.sheet.free_space import Space, first_free
from imposer.sheet.model import Segment
from imposer.sheet.stitches import Stitching
from imposer.units import to_points
from imposer.write.drawing import triangle
from imposer.write.dummy.lines import CreaseLine, LaidPanel, PageEdge, SideLines
from imposer.write.guide.pen import CAPITALS, FIRM, HAIR, THIN, Pen, Point, text_width
from imposer.write.guide.words import wrap

#: Dashes of creases, mm on, off, …: a valley is dashed, a mountain dashed with a dot (common practice, no source).
VALLEY, MOUNTAIN = (4.0, 2.0), (5.0, 1.4, 0.6, 1.4)

#: Type of names beside lines and of lines of words, mm; radius of a crease's badge, mm.
_NAME, _LINE, _BADGE = 2.6, 2.9, 3.1
#: Type never comes smaller than this on paper, mm.
_LEAST_TYPE = 1.3
#: Where along a crease its badge stands, and where else if something is there.
_BADGE_AT = (0.25, 0.75, 0.18, 0.82, 0.1, 0.9, 0.35, 0.65, 0.5)
#: Strips to be trimmed open are hatched with lines this far apart, mm.
_HATCH = 2.2
#: An office printer leaves this much of its paper bare at the edges, mm; common practice, no source.
PRINTER_MARGIN = 4.5


@dataclass(slots=True)
class SideDrawing:
    """A side being drawn: the pen, the sheet, and what is taken so far. `grow` makes up for a small scale."""

    pen: Pen
    sheet: Box
    #: What an office printer can print of the sheet.
    printable: Box
    grow: float = 1.0
    taken: list[Box] = field(default_factory=list)

    def free(self, box: Box) -> bool:
        """Tell whether nothing is drawn there yet."""
        return Space(self.printable, tuple(self.taken)).free(box)

    # --- lines -----------------------------------------------------------------------------------------------------

    def cuts(self, lines: SideLines) -> None:
        """Draw the cuts through the whole stack, from edge to edge."""
        for x in lines.cuts_x:
            self.pen.line((x, self.sheet.y0), (x, self.sheet.y1), THIN * self.grow)
        for y in lines.cuts_y:
            self.pen.line((self.sheet.x0, y), (self.sheet.x1, y), THIN * self.grow)

    def strip(self, box: Box) -> None:
        """Hatch a strip that is trimmed open."""
        for start, end in _hatches(box, _HATCH * self.grow):
            self.pen.line(start, end, HAIR, 0.45)
        self.pen.box(box, weight=HAIR, paint=0.45)

    def crease(self, crease: CreaseLine) -> None:
        """Draw a crease: dashed for a valley, dashed and dotted for a mountain."""
        line = crease.line
        dash = tuple(part * self.grow for part in (VALLEY if crease.valley else MOUNTAIN))
        self.pen.line((line.x0, line.y0), (line.x1, line.y1), FIRM * self.grow, dash=dash)

    def plain_fold(self, line: Segment) -> None:
        """Draw a fold of which no more is known."""
        self.pen.line((line.x0, line.y0), (line.x1, line.y1), THIN * self.grow, dash=(1.2 * self.grow, 1.2 * self.grow))

    def slit(self, line: Segment) -> None:
        """Draw a cut inside a piece: thick, with a bar across each end, where the blade stops."""
        self.pen.line((line.x0, line.y0), (line.x1, line.y1), 1.0 * self.grow)
        half = 2.0 * self.grow
        for x, y in ((line.x0, line.y0), (line.x1, line.y1)):
            upright = abs(line.x1 - line.x0) < abs(line.y1 - line.y0)
            ends = ((x - half, y), (x + half, y)) if upright else ((x, y - half), (x, y + half))
            self.pen.line(*ends, 0.6 * self.grow)

    def badge(self, crease: CreaseLine) -> None:
        """Write which fold a crease is and which way: black on white for a valley, white on black for a mountain."""
        line = crease.line
        length = abs(line.x1 - line.x0) + abs(line.y1 - line.y0)
        radius = min(_BADGE * self.grow, length / 5)
        places = [(line.x0 + (line.x1 - line.x0) * share, line.y0 + (line.y1 - line.y0) * share) for share in _BADGE_AT]
        boxes = [Box.around(*place, 2 * radius, 2 * radius) for place in places]
        at = next((place for place, box in zip(places, boxes, strict=True) if self.free(box)), places[0])
        self.pen.disc(at, radius, weight=THIN * self.grow, fill=1.0 if crease.valley else 0.0)
        text = f"{crease.fold or ''}{'V' if crease.valley else 'M'}"
        size = to_points(radius * (1.15 if len(text) < 3 else 0.9))
        self.pen.text_in_middle(at, text, size, font=SANS_BOLD, paint=0.0 if crease.valley else 1.0)
        self.taken.append(Box.around(*at, 2 * radius + 0.6, 2 * radius + 0.6))

    # --- words -----------------------------------------------------------------------------------------------------

    def name(self, text: str, places: Iterable[tuple[Point, Turn]], size: float = _NAME) -> bool:
        """Write a name on a white ground at the first place that is free; return whether there was one."""
        high = size * self.grow
        wide = text_width(text, to_points(high)) + high * 0.6
        for (x, y), turn in places:
            box = Box.around(x, y, wide, high * 1.3) if turn in (0, 180) else Box.around(x, y, high * 1.3, wide)
            if self.free(box):
                self.pen.box(box, weight=None, fill=1.0)
                self.pen.text_in_middle((x, y), text, to_points(high), turn=turn)
                self.taken.append(box)
                return True
        return False

    def lead(self, edge: Edge) -> None:
        """Mark the edge that enters the machine first: a triangle that points to it, and words."""
        high = 3.4 * self.grow
        text = "lead edge"
        type_size = to_points(_NAME * self.grow)
        long = high * 1.2 + text_width(text, type_size) + high * 0.4
        strip = _edge_strip(self.printable, edge, high)
        lying = edge in ("bottom", "top")
        width, height = (long, high) if lying else (high, long)
        found = first_free(Space(self.printable, tuple(self.taken)), _along(strip, width, height))
        box = found or next(_along(strip, width, height))
        self.pen.box(box, weight=None, fill=1.0)
        self.taken.append(box)
        tip = Box.at(box.x0, box.y0, high, high)
        self.pen.shape(triangle(tip, edge), weight=None, fill=0.0)
        x, y = tip.centre
        if lying:
            baseline = y - _NAME * self.grow * CAPITALS / 2
            self.pen.text((tip.x1 + high * 0.2, baseline), text, type_size)
        else:
            baseline = x + _NAME * self.grow * CAPITALS / 2
            self.pen.text((baseline, tip.y1 + high * 0.2), text, type_size, turn=90)

    # --- panels ----------------------------------------------------------------------------------------------------

    def ground(self, laid: LaidPanel) -> None:
        """Draw what lies under everything: pale where there is no page; an outline where no cut or crease is one."""
        pale, outline = laid.panel.page is None, None if laid.known else HAIR
        if pale or outline is not None:
            self.pen.box(laid.panel.trim, weight=outline, paint=0.35, fill=0.96 if pale else None)

    def panel(self, laid: LaidPanel, notes: Sequence[str], stitching: Stitching | None = None) -> None:
        """Draw a panel the way its page is read: bars at head and spine, stitches, number, notes."""
        panel = laid.panel
        size = panel.trim.size.turned if panel.rotation in (90, 270) else panel.trim.size
        to_sheet = Transform.quarter_turn(panel.rotation, size).then(Transform.shift(panel.trim.x0, panel.trim.y0))
        with self.pen.placed(to_sheet):
            # Creases run through a page that fills several panels; words stand on white there.
            page = _PageDrawing(self.pen, size, self.grow, on_white=not laid.known)
            drawn = list(page.number_and_notes(panel.page, notes))
            if panel.page is not None:
                drawn.append(page.head())
                if laid.spine is not None:
                    drawn.append(page.spine(laid.spine))
                    if stitching is not None and laid.spine in ("left", "right"):
                        drawn += page.stitches(stitching, laid.spine)
        self.taken += [to_sheet.apply_box(box) for box in drawn]


@dataclass(frozen=True, slots=True)
class _PageDrawing:
    """A page in its own space, head up."""

    pen: Pen
    size: Size
    grow: float
    on_white: bool = False

    def _whiten(self, box: Box) -> None:
        if self.on_white:
            self.pen.box(box, weight=None, fill=1.0)

    def head(self) -> Box:
        """Draw a thick bar along the middle third of the head, with its name."""
        wide, thick = self.size.width / 3, min(1.6 * self.grow, self.size.height * 0.03)
        bar = Box.at(wide, self.size.height - 1.0 - thick, wide, thick)
        self.pen.box(bar, weight=None, fill=0.0)
        high = self._fitting(("head",), wide, _NAME)
        self._whiten(Box.around(self.size.width / 2, bar.y0 - 0.65 * high, 4 * high, 1.3 * high))
        self.pen.text((self.size.width / 2, bar.y0 - high), "head", to_points(high), align="centre")
        return Box(bar.x0, bar.y0 - 1.35 * high, bar.x1, self.size.height)

    def spine(self, edge: PageEdge) -> Box:
        """Draw two lines along the middle of the spine, with its name."""
        along = self.size.height if edge in ("left", "right") else self.size.width
        across = self.size.width if edge in ("left", "right") else self.size.height
        half = along * 0.16
        high = self._fitting(("spine",), 2 * half, _NAME)
        middle = along / 2

        def place(box: Box) -> Box:
            """Lay a box of (along, from the edge inward) at the edge."""
            if edge == "left":
                return Box(box.y0, box.x0, box.y1, box.x1)
            if edge == "right":
                return Box(across - box.y1, box.x0, across - box.y0, box.x1)
            return box if edge == "foot" else Box(box.x0, across - box.y1, box.x1, across - box.y0)

        for inset in (0.9, 2.0):
            line = place(Box(middle - half, inset * self.grow, middle + half, inset * self.grow))
            self.pen.line((line.x0, line.y0), (line.x1, line.y1), THIN * self.grow)
        whole = Box(middle - half, 0, middle + half, 2.6 * self.grow + 1.3 * high)
        words = place(Box(middle - half, 2.6 * self.grow, middle + half, whole.y1))
        self.pen.text_in_middle(words.centre, "spine", to_points(high), turn=90 if edge in ("left", "right") else 0)
        return place(whole)

    def stitches(self, stitching: Stitching, edge: PageEdge) -> Iterator[Box]:
        """Draw holes as rings and staples as short bars where the booklet is held; give their boxes."""
        across = stitching.from_spine if edge == "left" else self.size.width - stitching.from_spine
        staples = stitching.kind in ("saddle", "side")
        half, radius = min(6.0, self.size.height / 20), 0.9 * self.grow
        for place in stitching.places:
            y = self.size.height - place
            if staples:
                self.pen.line((across, y - half), (across, y + half), 1.1 * self.grow, 0.35)
                yield Box(across - 1, y - half, across + 1, y + half)
            else:
                self.pen.disc((across, y), radius, weight=THIN * self.grow, fill=1.0)
                yield Box.around(across, y, 2 * radius, 2 * radius)

    def number_and_notes(self, page: int | None, notes: Sequence[str]) -> Iterator[Box]:
        """Draw the page's number large, and the notes under it; give the boxes of both."""
        width, height = self.size.width, self.size.height
        room = width - 2 * min(9.0 * self.grow, width * 0.16)
        number = "" if page is None else str(page)
        tall = min(height * 0.24, room * 0.55 / max(1.0, text_width(number, to_points(1), SANS_BOLD)))
        middle = height * 0.62
        if number:
            whole = Box.around(width / 2, middle, text_width(number, to_points(tall), SANS_BOLD), tall)
            self._whiten(Box.around(*whole.centre, whole.width, tall * (CAPITALS + 0.06)))
            self.pen.text_in_middle((width / 2, middle), number, to_points(tall), font=SANS_BOLD)
            yield whole
        top = middle - tall * 0.62
        lines, high = self._notes(notes, room, top - min(7.0 * self.grow, height * 0.08))
        block = Box.around(width / 2, top - len(lines) * high * 1.35 / 2, room, len(lines) * high * 1.35)
        if lines:
            widest = max(text_width(line, to_points(high)) for line in lines)
            self._whiten(Box.around(*block.centre, widest + high, block.height))
        for i, line in enumerate(lines):
            self.pen.text((width / 2, top - (i + 0.85) * high * 1.35), line, to_points(high), align="centre")
        if lines:
            yield block

    def _notes(self, notes: Sequence[str], room: float, deep: float) -> tuple[list[str], float]:
        """Return the notes broken into lines, in the largest type in which all of them stand in the room."""
        high = _LINE * self.grow
        least = _LEAST_TYPE * self.grow
        while True:
            lines = [line for note in notes for line in wrap(note, room, to_points(high))]
            if len(lines) * high * 1.35 <= deep:
                return lines, high
            if high <= least:
                return lines[: max(0, int(deep / (high * 1.35)))], high
            high = max(least, high * 0.92)

    def _fitting(self, texts: Sequence[str], room: float, size: float) -> float:
        """Return the type in which texts are no wider than a room, mm."""
        high = size * self.grow
        widest = max(text_width(text, to_points(high), SANS) for text in texts)
        return high if widest <= room else high * room / widest


def cut_names(drawing: SideDrawing, lines: SideLines) -> None:
    """Name every cut, at whichever end of it there is room."""
    sheet = drawing.printable
    inset = 8.0 * drawing.grow
    for x in lines.cuts_x:
        drawing.name("cut", [((x, y), 90) for y in _ends(sheet.y0, sheet.y1, inset)])
    for y in lines.cuts_y:
        drawing.name("cut", [((x, y), 0) for x in _ends(sheet.x0, sheet.x1, inset)])


def sheet_name(drawing: SideDrawing) -> None:
    """Name the outline of a sheet that lies on larger paper."""
    sheet, inset = drawing.sheet, _NAME * drawing.grow * 0.9
    shares = (0.5, 0.3, 0.7, 0.15, 0.85)
    for y in (sheet.y1 - inset, sheet.y0 + inset):
        places: list[tuple[Point, Turn]] = [((sheet.x0 + sheet.width * share, y), 0) for share in shares]
        if drawing.name("edge of the press sheet", places, 2.3):
            return


def strip_names(drawing: SideDrawing, strips: Iterable[Box], name: str) -> None:
    """Say on every strip what is done with it."""
    for strip in strips:
        drawing.name(name, _along_the_middle(strip, (0.62, 0.38, 0.8, 0.2, 0.5)), 2.3)


def slit_names(drawing: SideDrawing, slits: Iterable[Segment]) -> None:
    """Name every slit."""
    for slit in slits:
        drawing.name("slit", _along_the_middle(Box(slit.x0, slit.y0, slit.x1, slit.y1), (0.4, 0.6, 0.3, 0.7, 0.1, 0.9)))


def _along_the_middle(box: Box, shares: Sequence[float]) -> list[tuple[Point, Turn]]:
    """Return places along the middle line of a box, with the turn of words that run along it."""
    lying = box.width >= box.height
    places: list[tuple[Point, Turn]] = []
    for share in shares:
        x = box.x0 + box.width * (share if lying else 0.5)
        y = box.y0 + box.height * (0.5 if lying else share)
        places.append(((x, y), 0 if lying else 90))
    return places


def _hatches(box: Box, step: float) -> Iterator[tuple[Point, Point]]:
    """Give the lines that rise to the right through a box at 45 degrees."""
    reach = box.width + box.height
    at = step
    while at < reach:
        # The line x - x0 + (y1 - y) = at, cut off at the box's edges.
        x0, y0 = box.x0 + max(0.0, at - box.height), box.y1 - min(at, box.height)
        x1, y1 = box.x0 + min(at, box.width), box.y1 - max(0.0, at - box.width)
        yield (x0, y0), (x1, y1)
        at += step


def _ends(low: float, high: float, inset: float) -> tuple[float, ...]:
    """Return places along a line, from its ends inward."""
    steps = (inset, inset * 1.8, inset * 2.6)
    return (*(high - step for step in steps), *(low + step for step in steps), (low + high) / 2)


def _edge_strip(area: Box, edge: Edge, deep: float) -> Box:
    match edge:
        case "left":
            return Box(area.x0, area.y0, area.x0 + deep, area.y1)
        case "right":
            return Box(area.x1 - deep, area.y0, area.x1, area.y1)
        case "bottom":
            return Box(area.x0, area.y0, area.x1, area.y0 + deep)
        case "top":
            return Box(area.x0, area.y1 - deep, area.x1, area.y1)


def _along(strip: Box, width: float, height: float) -> Iterator[Box]:
    """Yield places of a box along a strip, from a third of it outwards."""
    lying = strip.width >= strip.height
    spare = (strip.width - width) if lying else (strip.height - height)
    start = max(0.0, spare) * 0.3
    for step in range(int(max(0.0, spare)) + 1):
        for offset in dict.fromkeys((start + step, start - step)):
            if 0 <= offset <= max(0.0, spare):
                x, y = (strip.x0 + offset, strip.y0) if lying else (strip.x0, strip.y0 + offset)
                yield Box.at(x, y, width, height)
