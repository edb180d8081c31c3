"""A pen that draws in millimetres on a PDF canvas: lines, boxes, arrows, text, pictures.

Drawings of the guide are made of these calls alone, so that points, colours and states of the canvas stay in here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from itertools import pairwise
from math import atan2, cos, hypot, sin
from typing import Literal

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from imposer.data.fonts import SANS, width_of
from imposer.geometry import Box, Size, Transform, Turn
from imposer.units import from_points, to_points
from imposer.write.drawing import printable

#: A gray (0 black … 1 white) or a colour `#rrggbb`.
Paint = float | str

Align = Literal["left", "centre", "right"]
Point = tuple[float, float]

#: Weights of lines, mm.
HAIR, THIN, FIRM = 0.15, 0.25, 0.5

#: How much of its size the capitals of the typeface are high.
CAPITALS = 0.73


def text_width(text: str, size: float, font: str = SANS) -> float:
    """Return how wide a line of text comes out, mm; `size` in points."""
    return from_points(width_of(printable(text), size, font))


class Pen:
    """Draws on one canvas. Lengths in mm, type sizes in points, origin lower left."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas

    @contextmanager
    def placed(self, transform: Transform, clip: Box | None = None) -> Iterator[None]:
        """Draw in a space that `transform` (mm) takes to this one, seen only inside `clip` of that space."""
        a, b, c, d, e, f = transform
        self.canvas.saveState()
        self.canvas.transform(a, b, c, d, to_points(e), to_points(f))
        if clip is not None:
            path = self.canvas.beginPath()
            path.rect(*_points(clip.x0, clip.y0, clip.width, clip.height))
            self.canvas.clipPath(path, stroke=0, fill=0)
        yield
        self.canvas.restoreState()

    def line(
        self,
        start: Point,
        end: Point,
        weight: float = THIN,
        paint: Paint = 0.0,
        dash: tuple[float, ...] | None = None,
    ) -> None:
        """Draw a straight line; `dash` is on, off, … in mm."""
        with self._state(weight, paint, None, dash):
            self.canvas.line(*_points(*start, *end))

    def box(
        self,
        box: Box,
        *,
        weight: float | None = THIN,
        paint: Paint = 0.0,
        fill: Paint | None = None,
        radius: float = 0.0,
        dash: tuple[float, ...] | None = None,
    ) -> None:
        """Draw a box; without `weight` no outline, without `fill` no inside."""
        with self._state(weight, paint, fill, dash):
            shape = _points(box.x0, box.y0, box.width, box.height)
            stroke, filled = int(weight is not None), int(fill is not None)
            if radius:
                self.canvas.roundRect(*shape, to_points(radius), stroke=stroke, fill=filled)
            else:
                self.canvas.rect(*shape, stroke=stroke, fill=filled)

    def disc(
        self, centre: Point, radius: float, *, weight: float | None = None, paint: Paint = 0.0, fill: Paint | None = 0.0
    ) -> None:
        """Draw a circle, filled black unless told otherwise."""
        with self._state(weight, paint, fill, None):
            self.canvas.circle(*_points(*centre, radius), stroke=int(weight is not None), fill=int(fill is not None))

    def shape(
        self,
        points: Sequence[Point],
        *,
        weight: float | None = THIN,
        paint: Paint = 0.0,
        fill: Paint | None = None,
        dash: tuple[float, ...] | None = None,
        closed: bool = True,
    ) -> None:
        """Draw a polygon, or an open run of lines."""
        path = self.canvas.beginPath()
        path.moveTo(*_points(*points[0]))
        for point in points[1:]:
            path.lineTo(*_points(*point))
        if closed:
            path.close()
        with self._state(weight, paint, fill, dash):
            self.canvas.drawPath(path, stroke=int(weight is not None), fill=int(fill is not None))

    def arrow(self, start: Point, end: Point, weight: float = THIN, head: float = 2.0, paint: Paint = 0.0) -> None:
        """Draw a line with a filled head at its end."""
        self.arrow_along((start, end), weight, head, paint)

    def arrow_along(self, points: Sequence[Point], weight: float = THIN, head: float = 2.0, paint: Paint = 0.0) -> None:
        """Draw a run of lines with a filled head at its end."""
        (x0, y0), (x1, y1) = points[-2], points[-1]
        angle = atan2(y1 - y0, x1 - x0)
        back = x1 - head * cos(angle), y1 - head * sin(angle)
        across = -sin(angle) * head * 0.38, cos(angle) * head * 0.38
        self.shape((*points[:-1], back), weight=weight, paint=paint, closed=False)
        corners = (x1, y1), (back[0] + across[0], back[1] + across[1]), (back[0] - across[0], back[1] - across[1])
        self.shape(corners, weight=None, fill=paint)

    def text(
        self,
        at: Point,
        text: str,
        size: float,
        *,
        font: str = SANS,
        paint: Paint = 0.0,
        align: Align = "left",
        turn: Turn = 0,
    ) -> None:
        """Draw one line of text as typed; `at` is the start, middle or end of its baseline, about which it turns."""
        shown = printable(text)
        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * text_width(shown, size, font)
        a, b, c, d, _, _ = Transform.quarter_turn(turn, Size(0, 0))
        with self.placed(Transform(a, b, c, d, *at)), self._state(None, 0.0, paint, None):
            self.canvas.setFont(font, size)
            self.canvas.drawString(to_points(-back), 0, shown)

    def text_in_middle(
        self, at: Point, text: str, size: float, *, font: str = SANS, paint: Paint = 0.0, turn: Turn = 0
    ) -> None:
        """Draw one line of text with the middle of its capitals at a point."""
        x, y = at
        down = from_points(size) * CAPITALS / 2
        shift = {0: (0, -down), 90: (down, 0), 180: (0, down), 270: (-down, 0)}[turn]
        self.text((x + shift[0], y + shift[1]), text, size, font=font, paint=paint, align="centre", turn=turn)

    def picture(self, jpeg: bytes, box: Box) -> None:
        """Draw a JPEG into a box."""
        reader = ImageReader(BytesIO(jpeg))
        self.canvas.drawImage(reader, *_points(box.x0, box.y0, box.width, box.height))

    @contextmanager
    def _state(
        self, weight: float | None, paint: Paint, fill: Paint | None, dash: tuple[float, ...] | None
    ) -> Iterator[None]:
        self.canvas.saveState()
        if weight is not None:
            self.canvas.setLineWidth(to_points(weight))
            self.canvas.setLineJoin(1)
            self.canvas.setStrokeColor(_colour(paint))
        if fill is not None:
            self.canvas.setFillColor(_colour(fill))
        if dash is not None:
            self.canvas.setDash([to_points(part) for part in dash])
        yield
        self.canvas.restoreState()


def length_of(points: Sequence[Point]) -> float:
    """Return how long a run of lines is, mm.

    >>> length_of([(0, 0), (3, 4), (3, 10)])
    11.0
    """
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def _points(*lengths: float) -> list[float]:
    return [to_points(length) for length in lengths]


def _colour(paint: Paint) -> Color:
    return HexColor(paint) if isinstance(paint, str) else Color(paint, paint, paint)
