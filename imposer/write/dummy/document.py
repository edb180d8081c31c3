"""The dummy as a whole: two pages a press sheet, front and back in turn, at full size or scaled to an office sheet.

Impositions in, one PDF out; the same input gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from imposer.errors import Fault, ImposerError
from imposer.findings import SIDES, Side
from imposer.geometry import Box, Size, Transform
from imposer.own_files import DUMMY_SUBJECT, is_dummy
from imposer.sheet.model import Imposition, PressSheet, SheetSide
from imposer.sheet.stitches import Stitching
from imposer.units import close, fits, to_points
from imposer.write.drawing import open_canvas, printable
from imposer.write.dummy.drawing import PRINTER_MARGIN, SideDrawing, cut_names, sheet_name, slit_names, strip_names
from imposer.write.dummy.lines import SideLines, side_lines
from imposer.write.dummy.words import (
    blank_or_none,
    flips_at_short_edge,
    how_to_fold,
    how_to_print,
    place_in_words,
    sizes_in_words,
    what_lines_mean,
)
from imposer.write.guide.pen import THIN, Pen
from imposer.write.whole_file import write_whole

#: A scaled sheet stands this far from the edges of the office sheet, so that its outline is printed; mm.
_MARGIN = 5.0
#: Type grows to make up for the scale, up to this.
_MOST_GROWTH = 1.7


@dataclass(frozen=True, slots=True, kw_only=True)
class DummyPart:
    """What is printed on one paper and bound in one way."""

    title: str
    imposition: Imposition
    #: What the part is called, such as "cover"; empty if the job has one part.
    name: str = ""
    #: Where it is stapled or sewn; None if it is not.
    stitching: Stitching | None = None


@dataclass(frozen=True, slots=True)
class _Page:
    """A page of the PDF, and how a press sheet lies on it."""

    size: Size
    scale: float

    def to_page(self, sheet: Size) -> Transform:
        """Lay the sheet in the middle, so that front and back fall on each other whichever way it is turned over."""
        left = (self.size.width - sheet.width * self.scale) / 2
        below = (self.size.height - sheet.height * self.scale) / 2
        return Transform.scale(self.scale, self.scale).then(Transform.shift(left, below))


def write_dummy(file: Path, parts: Sequence[DummyPart], paper: Size | None = None) -> None:
    """Write the dummy of a job, whole or not at all; see `dummy_pdf`.

    Raises:
        ImposerError: the file cannot be written. What was there before is still there.
    """
    write_whole(file, dummy_pdf(parts, paper))


def dummy_pdf(parts: Sequence[DummyPart], paper: Size | None = None) -> bytes:
    """Return the dummy of a job as a PDF: for every press sheet its front, then its back.

    Args:
        parts: the parts of the job in running order, at least one.
        paper: the office sheet to print on, in any orientation; None gives every press sheet at full size.
    """
    sheets = sum(len(part.imposition.sheets) for part in parts)
    first = _page(parts[0].imposition.layout.size, paper)
    buffer = BytesIO()
    number = 0
    with open_canvas(buffer, first.size, f"{printable(parts[0].title)}: {DUMMY_SUBJECT}") as canvas:
        canvas.setSubject(DUMMY_SUBJECT)
        _ask_the_printer(canvas, parts)
        for part in parts:
            page = _page(part.imposition.layout.size, paper)
            for sheet in part.imposition.sheets:
                number += 1
                lines = {side: side_lines(part.imposition, sheet, side) for side in SIDES}
                _draw_sheet(canvas, part, sheet, lines, page, f"sheet {number} of {sheets}")
    return buffer.getvalue()


def _page(sheet: Size, paper: Size | None) -> _Page:
    """Return the page for a sheet: its own size, or the office sheet turned the way it takes more."""
    if paper is None:
        return _Page(sheet, 1.0)
    return max(
        (_fitted(sheet, each) for each in (paper.landscape, paper.landscape.turned)), key=lambda page: page.scale
    )


def _fitted(sheet: Size, paper: Size) -> _Page:
    if fits(sheet.width, paper.width) and fits(sheet.height, paper.height):
        return _Page(paper, 1.0)
    room = Size(paper.width - 2 * _MARGIN, paper.height - 2 * _MARGIN)
    return _Page(paper, min(room.width / sheet.width, room.height / sheet.height))


def _ask_the_printer(canvas: Canvas, parts: Sequence[DummyPart]) -> None:
    """Ask for 100 % and the right turn of the paper (ISO 32000-1, Table 150: PrintScaling, Duplex)."""
    canvas.setViewerPreference("PrintScaling", "None")
    turns = {flips_at_short_edge(part.imposition.layout) for part in parts}
    if len(turns) == 1:
        canvas.setViewerPreference("Duplex", "DuplexFlipShortEdge" if turns.pop() else "DuplexFlipLongEdge")


def _draw_sheet(
    canvas: Canvas,
    part: DummyPart,
    sheet: PressSheet,
    lines: Mapping[Side, SideLines],
    page: _Page,
    what: str,
) -> None:
    """Draw both pages of a press sheet."""
    size = part.imposition.layout.size
    for side in SIDES:
        canvas.setPageSize((to_points(page.size.width), to_points(page.size.height)))
        pen = Pen(canvas)
        outline = Box(0, 0, size.width, size.height)
        with pen.placed(page.to_page(size)):
            if not (close(page.size.width, size.width) and close(page.size.height, size.height)):
                pen.box(outline, weight=THIN)
            drawing = SideDrawing(
                pen, outline, _reached(outline, page), grow=min(_MOST_GROWTH, max(1.0, 1 / page.scale))
            )
            name = f"{part.name} · " if part.name else ""
            _draw_side(
                drawing, part, sheet.face(side), (lines[side], tuple(lines.values())), f"{name}{what} · {side}", page
            )
        canvas.showPage()


def _reached(sheet: Box, page: _Page) -> Box:
    """Return what an office printer can print of a sheet that lies in the middle of a page."""
    beside = (page.size.width / page.scale - sheet.width) / 2, (page.size.height / page.scale - sheet.height) / 2
    margin = PRINTER_MARGIN / page.scale
    in_x, in_y = (max(0.5, margin - room) for room in beside)
    return Box(sheet.x0 + in_x, sheet.y0 + in_y, sheet.x1 - in_x, sheet.y1 - in_y)


def _draw_side(
    drawing: SideDrawing,
    part: DummyPart,
    side: SheetSide,
    lines: tuple[SideLines, Sequence[SideLines]],
    what: str,
    page: _Page,
) -> None:
    """Draw a side: what lies under everything first, names last."""
    own, both = lines
    notes = list(_notes(part, side, own, both, what, page.scale))
    for laid in own.panels:
        drawing.ground(laid)
    for strip in (*own.open_strips, *own.flaps, *own.spare_flaps):
        drawing.strip(strip)
    drawing.cuts(own)
    for fold in own.plain_folds:
        drawing.plain_fold(fold)
    for crease in own.creases:
        drawing.crease(crease)
    for slit in own.slits:
        drawing.slit(slit)
    for laid, note in zip(own.panels, notes, strict=True):
        drawing.panel(laid, note, part.stitching)
    for crease in own.creases:
        drawing.badge(crease)
    drawing.lead(part.imposition.layout.lead)
    cut_names(drawing, own)
    strip_names(drawing, own.open_strips, "trim open")
    strip_names(drawing, own.flaps, "glue")
    strip_names(drawing, own.spare_flaps, "cut off")
    slit_names(drawing, own.slits)
    if not close(page.scale, 1):
        sheet_name(drawing)


def _notes(
    part: DummyPart, side: SheetSide, own: SideLines, both: Sequence[SideLines], what: str, scale: float
) -> Iterator[tuple[str, ...]]:
    """Give what is written under every number: where it is; and, shared out over the panels, what to do."""
    imposition = part.imposition
    said: list[tuple[str, ...]] = [
        (part.title, sizes_in_words(imposition), how_to_print(imposition.layout, scale)),
        how_to_fold(imposition, both, part.stitching),
        what_lines_mean(own, imposition),
    ]
    if side.side == "back":
        said = [(part.title,), (), said[2]]
    panels = own.panels
    shares: list[list[str]] = [[] for _ in panels]
    # Panels with a page have room for words under its number; so have those without.
    for i, lines in enumerate(said):
        shares[i % len(panels)] += lines
    for laid, share in zip(panels, shares, strict=True):
        panel = laid.panel
        place = place_in_words(panel.piece, panel.signature, panel.copy, imposition) if panel.piece else ""
        where = [note for note in (blank_or_none(panel.page, imposition.booklet), what, place) if note]
        yield (*where, *(["", *share] if share else []))


def refuse_other_files(file: Path) -> None:
    """Let a dummy take the place of an earlier dummy and of nothing else.

    Raises:
        ImposerError: something else bears that name.
    """
    if not file.exists():
        return
    elsewhere = "name another file with -o"
    if not file.is_file():
        raise ImposerError(Fault(file=file, problem="is no file that could be replaced", mend=elsewhere))
    if not is_dummy(file):
        raise ImposerError(Fault(file=file, problem="is there already and is no dummy of this program", mend=elsewhere))
