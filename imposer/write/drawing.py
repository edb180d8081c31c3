"""The drawing of a frame's marks on a PDF canvas, in gray alone: black is full tone.

Values of `sheet.model` and a reportlab canvas go in, ink on the canvas comes out. It is a module of its own because
masters, guide and proof draw the same marks, and because millimetres become points here and nowhere else among them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from typing import BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from imposer.data.fonts import SANS, register, shorten
from imposer.geometry import Box, Edge, Size, Transform, Turn
from imposer.sheet.model import Arrow, Label, Patch, Ring, Stroke, Words
from imposer.units import to_points

#: What `draw_marks` draws; a label among them is left to `draw_label`, since its pass and ink are not the frame's.
Mark = Stroke | Ring | Patch | Arrow | Words | Label

#: One page: its size, and what draws it.
DrawnPage = tuple[Size, Callable[[Canvas], None]]


@contextmanager
def open_canvas(target: BinaryIO, size: Size, title: str = "") -> Iterator[Canvas]:
    """Give a canvas whose PDF is written to `target` when the block ends: no clock, no text encoding of streams.

    `size` is the first page's, mm. The page's background stays bare, so that one page can lie over another.
    """
    register()
    # A setting of the library and not of a canvas: it is read when streams are made, which is as late as `save`.
    ascii_streams, rl_config.useA85 = rl_config.useA85, 0
    try:
        canvas = Canvas(
            target,
            pagesize=(to_points(size.width), to_points(size.height)),
            pageCompression=1,
            invariant=1,
            pdfVersion=(1, 4),
            # Else every page names a font that is not embedded.
            initialFontName=SANS,
        )
        canvas.setTitle(title)
        canvas.setAuthor("")
        canvas.setSubject("")
        canvas.setCreator("imposer")
        canvas.setProducer("imposer")
        yield canvas
        canvas.save()
    finally:
        rl_config.useA85 = ascii_streams


def marks_pdf(pages: Sequence[DrawnPage]) -> bytes:
    """Return a PDF with a page for every (size, draw): `draw` is called with the canvas, which starts out bare.

    Raises:
        ValueError: there are no pages.
    """
    if not pages:
        raise ValueError("a PDF needs at least one page")
    buffer = BytesIO()
    with open_canvas(buffer, pages[0][0]) as canvas:
        for size, draw in pages:
            canvas.setPageSize((to_points(size.width), to_points(size.height)))
            draw(canvas)
            canvas.showPage()
    return buffer.getvalue()


def draw_marks(canvas: Canvas, marks: Iterable[Mark]) -> None:
    """Draw every mark but the labels, at its place on the sheet, the sheet's lower left corner on the canvas's."""
    for mark in marks:
        canvas.saveState()
        match mark:
            case Stroke():
                _draw_stroke(canvas, mark)
            case Ring():
                canvas.setStrokeGray(0)
                canvas.setLineWidth(to_points(mark.width))
                canvas.circle(to_points(mark.x), to_points(mark.y), to_points(mark.radius), stroke=1, fill=0)
            case Patch():
                fill_box(canvas, mark.box, mark.tone)
            case Arrow():
                fill_triangle(canvas, mark.box, mark.points_to)
            case Words():
                draw_line_of_text(canvas, mark.text, mark.x, mark.y, mark.size, mark.turn)
            case Label():
                pass
        canvas.restoreState()


def draw_label(canvas: Canvas, label: Label, after_title: str) -> None:
    """Draw a master's label: the title, shortened to its room, and what `label.after_title` says of this master."""
    title = shorten(printable(label.title), label.title_room, label.size)
    draw_line_of_text(canvas, title + after_title, label.x, label.y, label.size, label.turn)


def fill_box(canvas: Canvas, box: Box, tone: float = 1.0) -> None:
    """Fill a box (mm) at a tone 0 … 1, no outline."""
    canvas.setFillGray(1 - tone)
    canvas.rect(*map(to_points, (box.x0, box.y0, box.width, box.height)), stroke=0, fill=1)


def fill_triangle(canvas: Canvas, box: Box, points_to: Edge) -> None:
    """Fill the triangle that stands on one edge of a box (mm) and has its tip in the middle of the opposite edge."""
    tip, base_1, base_2 = triangle(box, points_to)
    path = canvas.beginPath()
    path.moveTo(*map(to_points, tip))
    path.lineTo(*map(to_points, base_1))
    path.lineTo(*map(to_points, base_2))
    path.close()
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)


def draw_line_of_text(
    canvas: Canvas, text: str, x: float, y: float, size: float, turn: Turn = 0, font: str = SANS
) -> None:
    """Draw one line of text, full tone: its baseline starts at (x, y) mm and is turned about that point.

    `size` is the height of the type in mm (the font's em).
    """
    register()
    canvas.saveState()
    canvas.setFillGray(0)
    # The turn alone, without the shift that lays a box back on the origin.
    a, b, c, d, _, _ = Transform.quarter_turn(turn, Size(0, 0))
    canvas.transform(a, b, c, d, to_points(x), to_points(y))
    canvas.setFont(font, to_points(size))
    canvas.drawString(0, 0, printable(text))
    canvas.restoreState()


def printable(text: str) -> str:
    r"""Return `text` as one line of what the typeface can show.

    White space becomes a blank, what has no shape is dropped, and a sign the typeface lacks becomes an open box, which
    reads back as such and not as a zero byte. So does a sign beyond U+FFFF: reportlab writes a broken text map for it
    (five hexadecimal digits where ISO 32000-1, 9.10.3 wants UTF-16), at which readers complain.

    >>> printable("Moth\tHours\x07 \U0001f98b")
    'Moth Hours □'
    """
    if text.isascii() and text.isprintable():
        return text
    register()
    known = pdfmetrics.getFont(SANS).face.charToGlyph
    shown = (" " if c.isspace() else c for c in text if c.isspace() or c.isprintable())
    return "".join(c if ord(c) in known and ord(c) <= 0xFFFF else "□" for c in shown)


def _draw_stroke(canvas: Canvas, stroke: Stroke) -> None:
    canvas.setStrokeGray(0)
    canvas.setLineWidth(to_points(stroke.width))
    canvas.setLineCap(0)
    if stroke.dash is not None:
        canvas.setDash([to_points(length) for length in stroke.dash])
    canvas.line(*map(to_points, (stroke.x0, stroke.y0, stroke.x1, stroke.y1)))


def triangle(box: Box, points_to: Edge) -> tuple[tuple[float, float], ...]:
    """Return the tip and the two corners of the base, mm."""
    x, y = box.centre
    match points_to:
        case "left":
            return (box.x0, y), (box.x1, box.y1), (box.x1, box.y0)
        case "right":
            return (box.x1, y), (box.x0, box.y1), (box.x0, box.y0)
        case "bottom":
            return (x, box.y0), (box.x0, box.y1), (box.x1, box.y1)
        case "top":
            return (x, box.y1), (box.x0, box.y0), (box.x1, box.y0)
