"""A guide written as a PDF page, a PNG of 600 pixels an inch, or an SVG in mm. Shapes in, bytes out."""

from __future__ import annotations

from io import BytesIO
from xml.sax.saxutils import escape, quoteattr

from PIL import Image, ImageDraw, ImageFont

from imposer.data import FOLDER
from imposer.geometry import Box
from imposer.pages.resolution import MM_PER_INCH, pixels_at
from imposer.units import to_points
from imposer.write.drawing import open_canvas, printable
from imposer.write.guide.pen import Pen
from imposer.write.page_guide.shapes import CAPITALS, DASHES, LINE, Guide, Line, Text

#: What line art is drawn at, pixels an inch; and what a guide too large for it gets.
PPI, COARSE_PPI = 600, 150
#: A guide of more pixels at full resolution is drawn at the coarse one: memory, not taste.
_MOST_PIXELS = 300_000_000


def guide_pdf(guide: Guide) -> bytes:
    """Return the guide as a PDF page of trim and bleed, both boxes set (ISO 32000-1, 14.11.2)."""
    buffer = BytesIO()
    size, trim = guide.size, guide.trim
    with open_canvas(buffer, size, printable(guide.title)) as canvas:
        canvas.setTrimBox(tuple(map(to_points, (trim.x0, trim.y0, trim.x1, trim.y1))))
        canvas.setBleedBox((0, 0, to_points(size.width), to_points(size.height)))
        pen = Pen(canvas)
        for line in guide.lines:
            pen.line((line.x0, line.y0), (line.x1, line.y1), LINE, dash=DASHES[line.kind] or None)
        for text in guide.texts:
            pen.text_in_middle((text.x, text.y), text.text, to_points(text.size), turn=text.turn)
        canvas.showPage()
    return buffer.getvalue()


def guide_svg(guide: Guide) -> str:
    """Return the guide as an SVG whose units are mm; its lines are one group and its words another."""
    width, height = _mm(guide.size.width), _mm(guide.size.height)
    lines = "\n".join(_svg_line(line, guide.size.height) for line in guide.lines)
    texts = "\n".join(_svg_text(text, guide.size.height) for text in guide.texts)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">\n'
        f"<title>{escape(printable(guide.title))}</title>\n"
        f'<g id="guide-lines" fill="none" stroke="#000000" stroke-width="{LINE}">\n{lines}\n</g>\n'
        f'<g id="guide-words" fill="#000000" font-family="sans-serif" text-anchor="middle">\n{texts}\n</g>\n'
        "</svg>\n"
    )


def guide_png(guide: Guide) -> bytes:
    """Return the guide as a PNG of one bit a pixel: black lines, and white that is see-through."""
    ppi = PPI if _pixels(guide, PPI) <= _MOST_PIXELS else COARSE_PPI
    picture = Image.new("1", pixels_at(guide.size, ppi), 1)
    draw = ImageDraw.Draw(picture)
    for line in guide.lines:
        for dash in _dashes(line):
            _draw_dash(draw, dash, picture.size, ppi)
    for text in guide.texts:
        _draw_text(picture, text, ppi)
    buffer = BytesIO()
    picture.save(buffer, "PNG", dpi=(ppi, ppi), transparency=1, optimize=False)
    return buffer.getvalue()


def _pixels(guide: Guide, ppi: int) -> int:
    width, height = pixels_at(guide.size, ppi)
    return width * height


# --- pixels ---------------------------------------------------------------------------------------------------------


def _dashes(line: Line) -> list[Line]:
    """Return the inked parts of a line."""
    pattern = DASHES[line.kind]
    length = ((line.x1 - line.x0) ** 2 + (line.y1 - line.y0) ** 2) ** 0.5
    if not pattern or length == 0:
        return [line]
    found = []
    at, index = 0.0, 0
    while at < length:
        end = min(length, at + pattern[index % len(pattern)])
        if index % 2 == 0:
            a, b = at / length, end / length
            dx, dy = line.x1 - line.x0, line.y1 - line.y0
            found.append(Line(line.kind, line.x0 + dx * a, line.y0 + dy * a, line.x0 + dx * b, line.y0 + dy * b))
        at, index = end, index + 1
    return found


def _draw_dash(draw: ImageDraw.ImageDraw, line: Line, size: tuple[int, int], ppi: int) -> None:
    scale = ppi / MM_PER_INCH
    weight = max(1, round(LINE * scale))
    if line.x0 != line.x1 and line.y0 != line.y1:
        ends = [(line.x0 * scale, size[1] - line.y0 * scale), (line.x1 * scale, size[1] - line.y1 * scale)]
        draw.line(ends, fill=0, width=weight)
        return
    box = Box(min(line.x0, line.x1), min(line.y0, line.y1), max(line.x0, line.x1), max(line.y0, line.y1))
    # A dash may be shorter than a pixel, and is one then.
    if box.width < box.height:
        left, top = round(line.x0 * scale - weight / 2), round(size[1] - box.y1 * scale)
        draw.rectangle((left, top, left + weight - 1, max(top, round(size[1] - box.y0 * scale) - 1)), fill=0)
    else:
        left, top = round(box.x0 * scale), round(size[1] - line.y0 * scale - weight / 2)
        draw.rectangle((left, top, max(left, round(box.x1 * scale) - 1), top + weight - 1), fill=0)


def _draw_text(picture: Image.Image, text: Text, ppi: int) -> None:
    """Draw words upright on a tile, turn the tile, and lay its black on the picture."""
    scale = ppi / MM_PER_INCH
    font = ImageFont.truetype(str(FOLDER / "fonts" / "sans.ttf"), max(1, round(text.size * scale)))
    words = printable(text.text)
    wide, high = round(font.getlength(words)) + 4, round(text.size * scale * 1.6)
    tile = Image.new("L", (wide, high), 0)
    # The middle of the capitals is the middle of the tile.
    baseline = high / 2 + text.size * scale * CAPITALS / 2
    ImageDraw.Draw(tile).text((2, baseline), words, fill=255, font=font, anchor="ls")
    if text.turn:
        tile = tile.transpose(Image.Transpose.ROTATE_90)
    left = round(text.x * scale - tile.width / 2)
    top = round(picture.height - text.y * scale - tile.height / 2)
    picture.paste(0, (left, top), tile.point([0] * 128 + [255] * 128).convert("1"))


# --- SVG ------------------------------------------------------------------------------------------------------------


def _svg_line(line: Line, height: float) -> str:
    dash = DASHES[line.kind]
    dashes = f" stroke-dasharray={quoteattr(' '.join(map(_mm, dash)))}" if dash else ""
    return (
        f"<line class={quoteattr(line.kind.replace(' ', '-'))} "
        f'x1="{_mm(line.x0)}" y1="{_mm(height - line.y0)}" x2="{_mm(line.x1)}" y2="{_mm(height - line.y1)}"{dashes}/>'
    )


def _svg_text(text: Text, height: float) -> str:
    down = text.size * CAPITALS / 2
    x, y = text.x, height - text.y
    turned = f' transform="rotate(-90 {_mm(x)} {_mm(y)})"' if text.turn else ""
    return (
        f'<text x="{_mm(x)}" y="{_mm(y + down)}" font-size="{_mm(text.size)}"{turned}>'
        f"{escape(printable(text.text))}</text>"
    )


def _mm(length: float) -> str:
    """Write a length as SVG wants it.

    >>> _mm(154.0), _mm(0.15), _mm(-0.00001)
    ('154', '0.15', '0')
    """
    return f"{round(length, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
