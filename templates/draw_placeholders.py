"""Draw the placeholder pages of every template: python templates/draw_placeholders.py [--into FOLDER] [NAME ...].

A placeholder shows the page's number, its ink and the line that text should stay inside; the second ink carries a
moon that waxes and wanes from page to page, so that a first print shows at once whether the pages fell in order.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import reportlab.rl_config
from PIL import Image, ImageDraw, ImageFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

HERE = Path(__file__).resolve().parent
_POINT = 72 / 25.4
#: Line work is wanted at the press's own resolution; half of it does for tints.
_LINES, _TINTS = 600, 300
#: Text keeps this far from the trim, mm.
_SAFE = 6.0
#: A side stitch sits about 6 mm from the spine and needs the strip beside it free, mm.
_STITCH = 14.0
#: How light a large area is: a heavy solid sticks and smears.
_LIGHT = 0.3

Point = tuple[float, float]


def _font_file(bold: bool) -> Path:
    name = "sans-bold.ttf" if bold else "sans.ttf"
    # Beside the package in a checkout; the templates of an installed package lie inside it.
    return next(
        folder / name
        for folder in (HERE.parent / "imposer" / "data" / "fonts", HERE.parent / "data" / "fonts")
        if (folder / name).is_file()
    )


@dataclass(frozen=True)
class Template:
    """The placeholder pages of one template, lengths in mm."""

    name: str
    width: float
    height: float
    pages: int
    #: Each ink's name, its file ("black/*.png" draws an image a page, "black.pdf" one file), and its pages (none: all).
    inks: Sequence[tuple[str, str, Sequence[int]]]
    gutter: float = _SAFE


TEMPLATES = (
    Template("a5-on-a3", 140, 200, 8, [("black", "black/*.png", ()), ("marigold", "marigold.pdf", ())]),
    Template("a6-on-a4", 100, 140, 8, [("black", "black/*.png", ()), ("rose", "rose/*.png", (1, 3, 6, 8))]),
    Template("half-letter-on-tabloid", 133.35, 203.2, 8, [("black", "black.pdf", ()), ("harbour", "harbour.pdf", ())]),
    Template(
        "gathered-side-stitched", 140, 200, 24, [("black", "black.pdf", ()), ("fern", "fern/*.png", (1, 24))], _STITCH
    ),
    Template("mini-a7-on-a4", 74.25, 105, 8, [("black", "black/*.png", ())]),
    Template("a6-on-a3", 100, 140, 16, [("damson", "damson.pdf", ()), ("marigold", "marigold/*.png", (1, 8, 9, 16))]),
)


class Raster:
    """One page as an image: one bit a dot, unless it holds a tint."""

    def __init__(self, width: float, height: float, resolution: int) -> None:
        self._resolution = resolution
        self._scale, self._height = resolution / 25.4, height
        self._image = Image.new("L", (round(width * self._scale), round(height * self._scale)), 255)
        self._pen = ImageDraw.Draw(self._image)
        self._pen.fontmode = "1"

    def _dots(self, points: Sequence[Point]) -> list[Point]:
        return [(x * self._scale, (self._height - y) * self._scale) for x, y in points]

    def area(self, points: Sequence[Point]) -> None:
        self._pen.polygon(self._dots(points), fill=round(255 * _LIGHT))

    def dashed(self, start: Point, end: Point) -> None:
        count = round(math.dist(start, end) / 4)
        for k in range(count):
            self.line(_between(start, end, k / count), _between(start, end, (k + 0.5) / count), 0.25)

    def line(self, start: Point, end: Point, width: float) -> None:
        self._pen.line(self._dots([start, end]), fill=0, width=round(width * self._scale))

    def text(self, at: Point, words: str, size: float, bold: bool = False) -> None:
        font = _raster_font(round(size / 72 * self._resolution), bold)
        self._pen.text(self._dots([at])[0], words, fill=0, font=font, anchor="ms")

    def save(self, file: Path) -> None:
        tinted = any(self._image.histogram()[1:255])
        image = self._image if tinted else self._image.convert("1", dither=Image.Dither.NONE)
        image.save(file, dpi=(self._resolution, self._resolution), compress_level=9)


class _Bare(Canvas):
    """A canvas whose pages name no font but those that are used, and so embedded."""

    def _make_preamble(self) -> None:
        self._preamble = ""


class Vectors:
    """One page of a PDF."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        canvas.setFillGray(0)
        canvas.setStrokeGray(0)

    def area(self, points: Sequence[Point]) -> None:
        path = self._canvas.beginPath()
        for k, (x, y) in enumerate(points):
            (path.lineTo if k else path.moveTo)(x * _POINT, y * _POINT)
        path.close()
        self._canvas.setFillGray(_LIGHT)
        self._canvas.drawPath(path, stroke=0, fill=1)
        self._canvas.setFillGray(0)

    def dashed(self, start: Point, end: Point) -> None:
        self._canvas.setDash(2 * _POINT, 2 * _POINT)
        self.line(start, end, 0.25)
        self._canvas.setDash()

    def line(self, start: Point, end: Point, width: float) -> None:
        self._canvas.setLineWidth(width * _POINT)
        self._canvas.line(*(length * _POINT for length in (*start, *end)))

    def text(self, at: Point, words: str, size: float, bold: bool = False) -> None:
        self._canvas.setFont(_vector_font(bold), size)
        self._canvas.drawCentredString(at[0] * _POINT, at[1] * _POINT, words)


def draw(template: Template, folder: Path) -> None:
    """Draw all placeholder pages of a template into `folder`."""
    for position, (ink, files, wanted) in enumerate(template.inks):
        paint = _key_page if position == 0 else _moon_page
        pages = wanted or range(1, template.pages + 1)
        target = folder / files
        target.parent.mkdir(parents=True, exist_ok=True)
        if files.endswith(".pdf"):
            _draw_pdf(template, target, ink, paint)
            continue
        for page in pages:
            raster = Raster(template.width, template.height, _TINTS if position else _LINES)
            paint(raster, template, page, ink)
            raster.save(target.with_name(f"page-{page:02}.png"))


def _draw_pdf(template: Template, file: Path, ink: str, paint: Callable[..., None]) -> None:
    size = (template.width * _POINT, template.height * _POINT)
    reportlab.rl_config.useA85 = 0  # a quarter smaller
    canvas = _Bare(str(file), pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(f"Placeholder pages, {ink}")
    for page in range(1, template.pages + 1):
        paint(Vectors(canvas), template, page, ink)
        canvas.showPage()
    canvas.save()


def _live(template: Template, page: int) -> tuple[float, float, float, float]:
    """Return the box that text should stay inside; odd pages have their spine on the left."""
    spine_left = page % 2 == 1
    left, right = (template.gutter, _SAFE) if spine_left else (_SAFE, template.gutter)
    return left, _SAFE, template.width - right, template.height - _SAFE


def _key_page(plate: Raster | Vectors, template: Template, page: int, ink: str) -> None:
    x0, y0, x1, y1 = _live(template, page)
    for start, end in (((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x1, y1), (x0, y1)), ((x0, y1), (x0, y0))):
        plate.dashed(start, end)
    middle = (x0 + x1) / 2
    small = template.width < 120
    plate.text((middle, y1 - 9), "keep words inside this line", 7.5 if small else 9)
    plate.text((middle, template.height * 0.28), str(page), 110 if small else 150, bold=True)
    plate.line((middle - 16, template.height * 0.24), (middle + 16, template.height * 0.24), 0.6)
    plate.text((middle, template.height * 0.24 - 8), _role(template, page), 10 if small else 12)
    plate.text((middle, y0 + 5), f"{ink}  ·  page {page} of {template.pages}", 7.5 if small else 9)


def _role(template: Template, page: int) -> str:
    roles = {1: "front cover", 2: "inside front", template.pages - 1: "inside back", template.pages: "back cover"}
    return roles.get(page, "your page here")


def _moon_page(plate: Raster | Vectors, template: Template, page: int, ink: str) -> None:
    x0, _y0, x1, _y1 = _live(template, page)
    radius = template.width * 0.19
    share = (page - 1) / (template.pages - 1)
    x, y = (x0 + x1) / 2, template.height * 0.7
    plate.area(_moon(x, y, radius, share))
    plate.text((x, y - radius - 6.5), ink, 10 if template.width < 120 else 12, bold=True)


def _moon(x: float, y: float, radius: float, share: float) -> list[Point]:
    """Return a moon that grows from a crescent to full and back as `share` goes from 0 to 1."""
    lit = 0.25 + 0.75 * (1 - abs(2 * share - 1))
    inner = 2 * lit - 1
    side = 1 if share < 0.5 else -1
    angles = [math.pi * k / 40 - math.pi / 2 for k in range(41)]
    rim = [(x + side * radius * math.cos(a), y + radius * math.sin(a)) for a in angles]
    edge = [(x - side * radius * inner * math.cos(a), y + radius * math.sin(a)) for a in reversed(angles)]
    return rim + edge


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


@cache
def _raster_font(pixels: int, bold: bool) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(_font_file(bold), pixels, layout_engine=ImageFont.Layout.BASIC)


@cache
def _vector_font(bold: bool) -> str:
    name = "Sans-Bold" if bold else "Sans"
    pdfmetrics.registerFont(TTFont(name, str(_font_file(bold))))
    return name


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="the templates to draw; all if none is named")
    parser.add_argument("--into", type=Path, default=HERE, help="the folder that holds their folders")
    asked = parser.parse_args()
    for template in TEMPLATES:
        if not asked.names or template.name in asked.names:
            draw(template, asked.into / template.name)


if __name__ == "__main__":
    main()
