"""The pages of `proof.pdf`: openings at 1:1, inks apart, the page to sign. The same job gives the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from PIL import Image

from imposer.approval.digests import Digests
from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.prepared import Prepared
from imposer.progress import Progress
from imposer.units import to_points
from imposer.write.drawing import open_canvas, printable
from imposer.write.guide.pen import HAIR, THIN, Pen
from imposer.write.guide.words import wrap
from imposer.write.page_colours import jpeg, part_of, preview_in_colour, preview_tones, prints, trim_of
from imposer.write.proof.openings import Opening, openings, page_numbers
from imposer.write.proof_pdf.page_colours import page_picture
from imposer.write.proof_pdf.words import ink_lines, paper_lines, simulation_words

#: Pages that are looked at as a list: A4 upright, mm (ISO 216).
_SHEET = Size(210, 297)
_MARGIN = 15.0
#: Around an opening at 1:1, mm: sides and top; under it stand two lines.
_AROUND, _UNDER = 10.0, 18.0
#: A page in a list is no larger than this, mm.
_THUMB = Size(30, 40)
_THUMB_PIXELS = 200
#: Pages side by side on the page to sign.
_ACROSS = 8


def write_proof_pdf(file: Path, prepared: Prepared, digests: Digests, progress: Progress | None = None) -> None:
    """Write the proof.

    Args:
        file: where to.
        prepared: the job, with every decision made.
        digests: what an approval would hold; its code is printed.
        progress: told how many openings are done.

    Raises:
        ImposerError: artwork cannot be read after all.
        OSError: the file cannot be written.
    """
    looked = openings(prepared)
    first = _size_of(prepared, looked[0]) if looked else _SHEET
    with file.open("wb") as out, open_canvas(out, first, f"{printable(prepared.job.title)}: proof") as canvas:
        pen = Pen(canvas)
        for done, opening in enumerate(looked):
            if progress:
                progress("drawing the proof", done, len(looked))
            _begin(pen, _size_of(prepared, opening))
            _draw_opening(pen, prepared, opening, digests.code)
            canvas.showPage()
        for ink in ink_lines(prepared):
            _draw_ink(pen, prepared, ink.name, ink.swatches[0])
        _draw_sign_off(pen, prepared, digests.code)


def _begin(pen: Pen, size: Size) -> None:
    pen.canvas.setPageSize((to_points(size.width), to_points(size.height)))


def _size_of(prepared: Prepared, opening: Opening) -> Size:
    sizes = [trim_of(part_of(prepared, page), page) for page in opening if page is not None]
    width = sum(size.width for size in sizes)
    return Size(width + 2 * _AROUND, max(size.height for size in sizes) + _AROUND + _UNDER)


def _draw_opening(pen: Pen, prepared: Prepared, opening: Opening, code: str) -> None:
    left = _AROUND
    for page in opening:
        if page is None:
            continue
        part = part_of(prepared, page)
        size = trim_of(part, page)
        box = Box.at(left, _UNDER, size.width, size.height)
        pen.picture(page_picture(part, page), box)
        pen.box(box, weight=HAIR, paint=0.7)
        left += size.width
    named = [str(page) for page in opening if page is not None]
    words = f"page {named[0]}" if len(named) == 1 else f"pages {' and '.join(named)}"
    pen.text((_AROUND, _UNDER - 5), f"{prepared.job.title}: {words}", 8, font=SANS_BOLD)
    pen.text((_AROUND, _UNDER - 9.5), f"Simulated colour at 1:1. Proof code {code}.", 7, paint=0.35)


def _draw_ink(pen: Pen, prepared: Prepared, ink: str, colour: str) -> None:
    """Draw one ink by itself, page by page, as its masters are: black is full tone."""
    places = [(part, page) for part in prepared.parts for page in part.pages if prints(part, page, ink)]
    columns = int((_SHEET.width - 2 * _MARGIN) // (_THUMB.width + 6))
    rows = int((_SHEET.height - 2 * _MARGIN - 20) // (_THUMB.height + 9))
    for start in range(0, len(places), columns * rows):
        _begin(pen, _SHEET)
        top = _SHEET.height - _MARGIN
        pen.box(Box(_MARGIN, top - 6, _MARGIN + 8, top), fill=colour, weight=HAIR)
        pen.text((_MARGIN + 11, top - 4.8), f"{ink}, by itself", 14, font=SANS_BOLD)
        for i, (part, page) in enumerate(places[start : start + columns * rows]):
            x = _MARGIN + i % columns * (_THUMB.width + 6)
            y = top - 14 - (i // columns + 1) * (_THUMB.height + 9) + 9
            tones = preview_tones(part, page, ink)
            if tones is not None:
                _thumbnail(pen, Image.fromarray(255 - tones), Box.at(x, y, _THUMB.width, _THUMB.height), str(page))
        pen.canvas.showPage()


def _thumbnail(pen: Pen, picture: Image.Image, room: Box, name: str) -> None:
    """Draw a page as large as the room allows, its number under it."""
    picture.thumbnail((_THUMB_PIXELS, _THUMB_PIXELS * 2), Image.Resampling.BOX)
    scale = min(room.width / picture.width, room.height / picture.height)
    wide, high = picture.width * scale, picture.height * scale
    box = Box.at(room.x0 + (room.width - wide) / 2, room.y1 - high, wide, high)
    pen.picture(jpeg(np.asarray(picture), 85), box)
    pen.box(box, weight=HAIR, paint=0.6)
    pen.text((box.centre[0], box.y0 - 4), name, 8, align="centre")


def _draw_sign_off(pen: Pen, prepared: Prepared, code: str) -> None:
    pages = page_numbers(prepared)
    columns = _ACROSS
    wide, high = (_SHEET.width - 2 * _MARGIN) / columns - 4, 28.0
    rows_first, rows_more = 2, int((_SHEET.height - 2 * _MARGIN) // (high + 11))
    _begin(pen, _SHEET)
    y = _draw_heading(pen, prepared, code)
    y = _draw_ticks(pen, prepared, pages[: columns * rows_first], Box(_MARGIN, 0, _MARGIN + wide, high), y)
    rest = pages[columns * rows_first :]
    for start in range(0, len(rest), columns * rows_more):
        pen.canvas.showPage()
        _begin(pen, _SHEET)
        chunk = rest[start : start + columns * rows_more]
        y = _draw_ticks(pen, prepared, chunk, Box(_MARGIN, 0, _MARGIN + wide, high), _SHEET.height - _MARGIN)
    if y < 95:
        pen.canvas.showPage()
        _begin(pen, _SHEET)
        y = _SHEET.height - _MARGIN
    _draw_signature(pen, prepared, code, y)
    pen.canvas.showPage()


def _draw_heading(pen: Pen, prepared: Prepared, code: str) -> float:
    y = _SHEET.height - _MARGIN - 6
    for line in wrap(prepared.job.title, _SHEET.width - 2 * _MARGIN, 18, SANS_BOLD):
        pen.text((_MARGIN, y), line, 18, font=SANS_BOLD)
        y -= 8
    pen.text((_MARGIN, y), f"Proof {code}", 12, font=SANS_BOLD)
    y -= 8
    for line in paper_lines(prepared):
        pen.text((_MARGIN, y), line, 9)
        y -= 5
    for ink in ink_lines(prepared):
        left = _MARGIN
        for colour in ink.swatches:
            pen.box(Box(left, y - 1, left + 6, y + 3), fill=colour, weight=HAIR)
            left += 6
        for line in wrap(ink.words, _SHEET.width - _MARGIN - left - 2, 9):
            pen.text((left + 2, y), line, 9)
            y -= 5.5
    y -= 2
    pen.text((_MARGIN, y), "Tick every page that is as it should be.", 9, font=SANS_BOLD)
    return y - 4


def _draw_ticks(pen: Pen, prepared: Prepared, pages: Sequence[int], cell: Box, top: float) -> float:
    """Draw thumbnails with a box to tick under each; return how far down they reach."""
    columns = _ACROSS
    for i, page in enumerate(pages):
        x = _MARGIN + i % columns * (cell.width + 4)
        y = top - (i // columns + 1) * (cell.height + 11) + 11
        _thumbnail(
            pen,
            Image.fromarray(preview_in_colour(part_of(prepared, page), page)),
            Box.at(x, y, cell.width, cell.height),
            "",
        )
        pen.box(Box.at(x + cell.width / 2 - 7, y - 5.5, 4, 4), weight=THIN)
        pen.text((x + cell.width / 2 - 1, y - 4.8), str(page), 9)
    rows = -(-len(pages) // columns)
    return top - rows * (cell.height + 11) - 4


def _draw_signature(pen: Pen, prepared: Prepared, code: str, top: float) -> None:
    y = top - 2
    for sentence in simulation_words(prepared):
        for line in wrap(sentence, _SHEET.width - 2 * _MARGIN, 8.5):
            pen.text((_MARGIN, y), line, 8.5)
            y -= 4.4
        y -= 1.5
    y -= 3
    pen.text((_MARGIN, y), f"I have seen proof {code} and say yes to exactly these pages.", 10, font=SANS_BOLD)
    y -= 16
    half = (_SHEET.width - 2 * _MARGIN - 10) / 2
    for x, name in ((_MARGIN, "name"), (_MARGIN + half + 10, "date")):
        pen.line((x, y), (x + half, y), THIN)
        pen.text((x, y - 4), name, 8, paint=0.35)
