"""Boxes, quarter turns and transforms on the sheet. Origin lower left, x to the right, y up; lengths in mm.

Pure numbers: nothing here knows a page, a file or a screen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from imposer.units import TOLERANCE

#: A turn of the page on the sheet in degrees counter-clockwise.
Turn = Literal[0, 90, 180, 270]

#: An edge of a sheet as drawn.
Edge = Literal["left", "right", "bottom", "top"]


@dataclass(frozen=True, slots=True)
class Size:
    """A width and a height, mm."""

    width: float
    height: float

    @property
    def turned(self) -> Size:
        """The same size after a quarter turn."""
        return Size(self.height, self.width)

    @property
    def landscape(self) -> Size:
        """The same size lying on its longer edge."""
        return self if self.width >= self.height else self.turned

    def close_to(self, other: Size, tolerance: float = TOLERANCE) -> bool:
        """Tell whether both sides agree within `tolerance` mm."""
        return abs(self.width - other.width) <= tolerance and abs(self.height - other.height) <= tolerance


@dataclass(frozen=True, slots=True, order=True)
class Box:
    """An upright rectangle: lower left corner (x0, y0), upper right corner (x1, y1), mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    def __post_init__(self) -> None:
        if self.x1 < self.x0 - TOLERANCE or self.y1 < self.y0 - TOLERANCE:
            raise ValueError(f"corners of {self} are the wrong way round")

    @classmethod
    def at(cls, x: float, y: float, width: float, height: float) -> Box:
        """Return the box of a size with its lower left corner at (x, y)."""
        return cls(x, y, x + width, y + height)

    @classmethod
    def around(cls, x: float, y: float, width: float, height: float) -> Box:
        """Return the box of a size centred on (x, y)."""
        return cls(x - width / 2, y - height / 2, x + width / 2, y + height / 2)

    @property
    def width(self) -> float:
        """Extent along x, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Extent along y, mm."""
        return self.y1 - self.y0

    @property
    def size(self) -> Size:
        """Width and height."""
        return Size(self.width, self.height)

    @property
    def centre(self) -> tuple[float, float]:
        """The middle point."""
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box shifted."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def grown(self, by: float) -> Box:
        """Return the box enlarged by `by` mm on all four sides (reduced, if negative)."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def contains(self, other: Box) -> bool:
        """Tell whether `other` lies inside this box, edges included, within the tolerance."""
        return (
            other.x0 >= self.x0 - TOLERANCE
            and other.y0 >= self.y0 - TOLERANCE
            and other.x1 <= self.x1 + TOLERANCE
            and other.y1 <= self.y1 + TOLERANCE
        )

    def meets(self, other: Box) -> bool:
        """Tell whether the insides of two boxes share more than the tolerance; touching edges do not count."""
        return (
            min(self.x1, other.x1) - max(self.x0, other.x0) > TOLERANCE
            and min(self.y1, other.y1) - max(self.y0, other.y0) > TOLERANCE
        )

    def common(self, other: Box) -> Box | None:
        """Return what two boxes share, or None if they do not meet."""
        if not self.meets(other):
            return None
        return Box(max(self.x0, other.x0), max(self.y0, other.y0), min(self.x1, other.x1), min(self.y1, other.y1))

    def mirrored_x(self, width: float) -> Box:
        """Return the box as seen after the sheet of `width` is flipped left to right."""
        return Box(width - self.x1, self.y0, width - self.x0, self.y1)

    def mirrored_y(self, height: float) -> Box:
        """Return the box as seen after the sheet of `height` is flipped top to bottom."""
        return Box(self.x0, height - self.y1, self.x1, height - self.y0)


class Transform(NamedTuple):
    """An affine map in the PDF convention: x' = a x + c y + e, y' = b x + d y + f (ISO 32000-1, 8.3.3).

    >>> Transform.quarter_turn(90, Size(100, 200)).apply(0, 0)
    (200, 0)
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    @classmethod
    def quarter_turn(cls, turn: Turn, size: Size) -> Transform:
        """Return the map that turns a box [0, w] × [0, h] counter-clockwise and lays it back on the origin.

        The four matrices are those of XJDF 2.2, Table A.32, Rotate0 … Rotate270.
        """
        match turn:
            case 0:
                return cls(1, 0, 0, 1, 0, 0)
            case 90:
                return cls(0, 1, -1, 0, size.height, 0)
            case 180:
                return cls(-1, 0, 0, -1, size.width, size.height)
            case 270:
                return cls(0, -1, 1, 0, 0, size.width)

    @classmethod
    def shift(cls, dx: float, dy: float) -> Transform:
        """Return a pure move."""
        return cls(1, 0, 0, 1, dx, dy)

    @classmethod
    def scale(cls, sx: float, sy: float) -> Transform:
        """Return a scaling about the origin."""
        return cls(sx, 0, 0, sy, 0, 0)

    def then(self, after: Transform) -> Transform:
        """Return the map that does this one first and `after` second."""
        return Transform(
            self.a * after.a + self.b * after.c,
            self.a * after.b + self.b * after.d,
            self.c * after.a + self.d * after.c,
            self.c * after.b + self.d * after.d,
            self.e * after.a + self.f * after.c + after.e,
            self.e * after.b + self.f * after.d + after.f,
        )

    def inverse(self) -> Transform:
        """Return the map that undoes this one.

        Raises:
            ValueError: the map flattens the plane and has no inverse.
        """
        det = self.a * self.d - self.b * self.c
        if det == 0:
            raise ValueError(f"{self} has no inverse")
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Transform(a, b, c, d, -(self.e * a + self.f * c), -(self.e * b + self.f * d))

    def apply(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point goes."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def apply_box(self, box: Box) -> Box:
        """Return the upright box around the image of `box`."""
        xs, ys = zip(
            *(self.apply(x, y) for x in (box.x0, box.x1) for y in (box.y0, box.y1)),
            strict=True,
        )
        return Box(min(xs), min(ys), max(xs), max(ys))
