"""The surfaces a page is drawn on, one for each ink: a raster for the black drawing, vectors for the others.

All take shapes in mm and a tone 0 … 1 (1 = full ink) and lay them over what is there, like paper on paper; tone 0
scrapes ink away. What comes out is gray alone: black is full tone.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from drawing.hand import Point, Ring, bounds, brush, tapered

WIDTH, HEIGHT = 140.0, 200.0
FONTS = Path(__file__).resolve().parents[2] / "imposer" / "data" / "fonts"
_POINT = 72 / 25.4
#: How far light reaches under the night round it, mm: about the drift between two passes.
SPREAD = 0.6


class Plate(ABC):
    """A sheet of one ink. `shift` moves the drawing to the right, so that both halves of a spread are drawn alike."""

    shift = 0.0

    @abstractmethod
    def shape(self, rings: Ring | Sequence[Ring], tone: float = 1.0) -> None:
        """Fill a ring, or several with the inner ones as holes."""

    @abstractmethod
    def text(self, x: float, y: float, words: str, size: float, bold: bool = False, tone: float = 1.0) -> None:
        """Set a line of type; `size` in points, (x, y) the start of its base line."""

    def stroke(
        self, points: Sequence[Point], width: float | Callable[[float], float] = 0.35, tone: float = 1.0
    ) -> None:
        """Draw a pen stroke; a plain number tapers at both ends."""
        for piece in brush(points, width if callable(width) else tapered(width)):
            self.shape(piece, tone)

    def misses(self, ring: Ring) -> bool:
        """Whether a shape lies wholly off this page: the other half of a spread."""
        x0, _, x1, _ = bounds(ring)
        return x1 + self.shift < 0 or x0 + self.shift > WIDTH

    def strokes(self, lines: Sequence[Sequence[Point]], width: float = 0.26, tone: float = 1.0) -> None:
        for points in lines:
            self.stroke(points, width, tone)


class LightPlate(Plate):
    """A plate that light is drawn on: only light is spread, under the edges of the night."""

    @abstractmethod
    def spread(self, rings: Ring | Sequence[Ring], by: float, tone: float) -> None:
        """Make a shape wider by so many mm all round."""


class Nowhere(LightPlate):
    """The plate of an ink that a page does without."""

    def shape(self, rings: Ring | Sequence[Ring], tone: float = 1.0) -> None:
        pass

    def text(self, x: float, y: float, words: str, size: float, bold: bool = False, tone: float = 1.0) -> None:
        pass

    def spread(self, rings: Ring | Sequence[Ring], by: float, tone: float) -> None:
        pass


@dataclass(frozen=True)
class Page:
    """The plates of one page: the drawing, the lamp light, the night."""

    black: Plate
    gold: LightPlate = field(default_factory=Nowhere)
    blue: Plate = field(default_factory=Nowhere)

    def light(self, rings: Ring | Sequence[Ring], tone: float) -> None:
        """Cut a shape out of the night and lay light in it, spread under the night's edge.

        The two inks run in different passes; where they met edge to edge, the paper would show at every drift.
        """
        self.blue.shape(rings, 0.0)
        self.gold.shape(rings, tone)
        if not isinstance(self.blue, Nowhere):
            self.gold.spread(rings, SPREAD, tone)


class Raster(Plate):
    """Hard-edged dots at 600 to the inch: line work as a press wants it, tints as flat grays."""

    def __init__(self, resolution: int = 600, shift: float = 0.0, trim: tuple[float, float] = (WIDTH, HEIGHT)) -> None:
        self.resolution, self.shift = resolution, shift
        self._scale = resolution / 25.4
        self.size = (round(trim[0] * self._scale), round(trim[1] * self._scale))
        self.image = Image.new("L", self.size, 255)
        self._pen = ImageDraw.Draw(self.image)
        self._pen.fontmode = "1"

    def _dots(self, ring: Ring) -> list[Point]:
        return [((x + self.shift) * self._scale, self.size[1] - y * self._scale) for x, y in ring]

    def shape(self, rings: Ring | Sequence[Ring], tone: float = 1.0) -> None:
        value = round(255 * (1 - tone))
        if self.misses(rings if isinstance(rings[0], tuple) else rings[0]):  # type: ignore[arg-type]
            return
        if isinstance(rings[0], tuple):
            self._pen.polygon(self._dots(rings), fill=value)  # type: ignore[arg-type]
            return
        if len(rings) == 1:
            self._pen.polygon(self._dots(rings[0]), fill=value)  # type: ignore[arg-type]
            return
        self._with_holes([self._dots(ring) for ring in rings], value)  # type: ignore[arg-type]

    def _with_holes(self, rings: list[list[Point]], value: int) -> None:
        x0, y0, x1, y1 = bounds(point for ring in rings for point in ring)
        left, top = int(x0) - 1, int(y0) - 1
        mask = Image.new("1", (int(x1) - left + 2, int(y1) - top + 2))
        for ring in rings:
            layer = Image.new("1", mask.size)
            ImageDraw.Draw(layer).polygon([(x - left, y - top) for x, y in ring], fill=1)
            mask = Image.fromarray(np.asarray(mask) ^ np.asarray(layer))
        self.image.paste(value, (left, top), mask)

    def text(self, x: float, y: float, words: str, size: float, bold: bool = False, tone: float = 1.0) -> None:
        font = _raster_font(round(size / 72 * self.resolution), bold)
        place = ((x + self.shift) * self._scale, self.size[1] - y * self._scale)
        self._pen.text(place, words, fill=round(255 * (1 - tone)), font=font, anchor="ls")

    def save(self, file: Path) -> None:
        """Write the page; one bit a dot where it holds nothing but black and bare paper."""
        plain = all(count == 0 for count in self.image.histogram()[1:255])
        image = self.image.convert("1", dither=Image.Dither.NONE) if plain else self.image
        image.save(file, dpi=(self.resolution, self.resolution), compress_level=9, optimize=True)


class Vectors(LightPlate):
    """One page of a PDF in DeviceGray."""

    def __init__(self, canvas: Canvas, shift: float = 0.0) -> None:
        self._canvas, self.shift = canvas, shift

    def shape(self, rings: Ring | Sequence[Ring], tone: float = 1.0) -> None:
        if self.misses(rings if isinstance(rings[0], tuple) else rings[0]):  # type: ignore[arg-type]
            return
        self._canvas.setFillGray(round(1 - tone, 3))
        self._canvas.drawPath(self._path(rings), stroke=0, fill=1, fillMode=0)

    def _path(self, rings: Ring | Sequence[Ring]) -> PDFPathObject:
        path = self._canvas.beginPath()
        for ring in [rings] if isinstance(rings[0], tuple) else rings:
            for k, (x, y) in enumerate(ring):
                (path.lineTo if k else path.moveTo)((x + self.shift) * _POINT, y * _POINT)  # type: ignore[operator]
            path.close()
        return path

    def spread(self, rings: Ring | Sequence[Ring], by: float, tone: float) -> None:
        if self.misses(rings if isinstance(rings[0], tuple) else rings[0]):  # type: ignore[arg-type]
            return
        self._canvas.setLineJoin(1)
        self._canvas.setLineWidth(2 * by * _POINT)
        self._canvas.setStrokeGray(round(1 - tone, 3))
        self._canvas.drawPath(self._path(rings), stroke=1, fill=0)

    def stroke(
        self, points: Sequence[Point], width: float | Callable[[float], float] = 0.35, tone: float = 1.0
    ) -> None:
        """Draw the stroke as a line of one width; the pen's swell is the black plate's."""
        middle = width(0.5) if callable(width) else width
        path = self._canvas.beginPath()
        for k, (x, y) in enumerate(points):
            (path.lineTo if k else path.moveTo)((x + self.shift) * _POINT, y * _POINT)
        self._canvas.setLineCap(1)
        self._canvas.setLineJoin(1)
        self._canvas.setLineWidth(middle * _POINT)
        self._canvas.setStrokeGray(round(1 - tone, 3))
        self._canvas.drawPath(path, stroke=1, fill=0)

    def text(self, x: float, y: float, words: str, size: float, bold: bool = False, tone: float = 1.0) -> None:
        self._canvas.setFillGray(round(1 - tone, 3))
        self._canvas.setFont(_vector_font(bold), size)
        self._canvas.drawString((x + self.shift) * _POINT, y * _POINT, words)


class _Bare(Canvas):
    """A canvas whose pages name no font but those that are used, and so embedded."""

    def _make_preamble(self) -> None:
        self._preamble = ""


def new_pdf(file: Path, title: str, trim: tuple[float, float] = (WIDTH, HEIGHT)) -> Canvas:
    """Start a PDF of trim size that comes out the same on every run (no clock, no chance)."""
    canvas = _Bare(str(file), pagesize=(trim[0] * _POINT, trim[1] * _POINT), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    return canvas


@cache
def _raster_font(pixels: int, bold: bool) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(FONTS / _file(bold), pixels, layout_engine=ImageFont.Layout.BASIC)


@cache
def _vector_font(bold: bool) -> str:
    name = "Sans-Bold" if bold else "Sans"
    pdfmetrics.registerFont(TTFont(name, str(FONTS / _file(bold))))
    return name


def _file(bold: bool) -> str:
    return "sans-bold.ttf" if bold else "sans.ttf"


def measure(words: str, size: float, bold: bool = False) -> float:
    """Return the width of a line of type in mm; `size` in points."""
    return float(pdfmetrics.stringWidth(words, _vector_font(bold), size)) / _POINT
