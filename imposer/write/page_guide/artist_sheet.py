"""The words for an artist set as a PDF to hand on, and as plain text for a letter. Paragraphs in, bytes out."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from imposer.data.fonts import SANS_BOLD, shorten
from imposer.geometry import Size
from imposer.units import to_points
from imposer.write.drawing import open_canvas, printable
from imposer.write.guide.blocks import NAMES, Block, gap, marked, paragraph, subheading
from imposer.write.guide.flow import Section, paginate
from imposer.write.guide.paper import guide_paper
from imposer.write.guide.pen import Pen
from imposer.write.page_guide.words import Paragraphs

#: Type of the title, points.
_TITLE = 16.0


def artist_pdf(title: str, words: Sequence[Paragraphs], sheet: Size) -> bytes:
    """Return the words as a PDF on the office paper of the place where `sheet` is printed."""
    paper = guide_paper(sheet)
    width = paper.text.width
    blocks: list[Block] = [*paragraph(f"{title}: what to send", width, _TITLE, font=SANS_BOLD), gap(1.5)]
    for each in words:
        blocks += subheading(each.heading, width)
        for text in each.texts:
            blocks += marked(_dot, text, width)
    pages = paginate([Section("", tuple(blocks))], paper.text.height).pages
    buffer = BytesIO()
    with open_canvas(buffer, paper.size, f"{printable(title)}: what to send") as canvas:
        pen = Pen(canvas)
        for number, page in enumerate(pages, 1):
            for placed in page:
                placed.block.draw(pen, paper.text.x0, paper.text.y1 - placed.down)
            name = shorten(printable(title), to_points(width - 40), NAMES)
            pen.text((paper.text.x0, paper.text.y0 - 8), name, NAMES, paint=0.25)
            foot = f"page {number} of {len(pages)}"
            pen.text((paper.text.x1, paper.text.y0 - 8), foot, NAMES, paint=0.25, align="right")
            canvas.showPage()
    return buffer.getvalue()


def artist_text(title: str, words: Sequence[Paragraphs]) -> str:
    """Return the words as plain text."""
    lines = [f"{printable(title)}: what to send"]
    for each in words:
        lines += ["", each.heading.upper(), *(f"- {printable(text)}" for text in each.texts)]
    return "\n".join(lines) + "\n"


def _dot(pen: Pen, x: float, baseline: float) -> None:
    pen.disc((x + 2.2, baseline + 1.1), 0.6)
