"""A PDF page's boxes, turn and unit in; its art space out: what a viewer shows, in mm, with the page's own matrix.

A module of its own because it is numbers only, and because every trap of foreign page boxes is met here once.
"""

from __future__ import annotations

from dataclasses import dataclass

import pikepdf

from imposer.errors import Fault, ImposerError
from imposer.geometry import Box, Size, Transform, Turn
from imposer.limits import Limits
from imposer.pages.pdf_objects import number_of
from imposer.units import POINTS_PER_MM

#: Boxes smaller than this in default units hold nothing.
_NOTHING = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSpace:
    """Where a PDF page's art lies: from its own user space to art space."""

    #: What is art, in the page's user space (its own units, before `/Rotate`).
    box: Box
    #: What a viewer shows of the page, in the same space; `box` is larger where bleed lies beyond it.
    visible: Box
    #: The page's `/Rotate` as a counter-clockwise turn.
    turn: Turn
    #: Points in one default unit (`/UserUnit`).
    unit: float
    #: The stated TrimBox, in user space; None if the page states none.
    trim: Box | None
    #: Whether its boxes make sense as they stand, so that every viewer takes the same from them.
    plain: bool = True

    @property
    def size(self) -> Size:
        """Art space, mm."""
        return self._shown(self.box)

    @property
    def visible_size(self) -> Size:
        """What a viewer shows, mm."""
        return self._shown(self.visible)

    @property
    def to_art(self) -> Transform:
        """From user space to art space, mm: shift to the origin, turn, scale."""
        turned = Transform.shift(-self.box.x0, -self.box.y0).then(Transform.quarter_turn(self.turn, self.box.size))
        return turned.then(Transform.scale(self._mm, self._mm))

    @property
    def trim_in_art(self) -> Box | None:
        """The stated TrimBox in art space, mm."""
        return None if self.trim is None else self.to_art.apply_box(self.trim)

    def _shown(self, box: Box) -> Size:
        size = Size(box.width * self._mm, box.height * self._mm)
        return size.turned if self.turn in (90, 270) else size

    @property
    def _mm(self) -> float:
        return self.unit / POINTS_PER_MM


def page_space(page: pikepdf.Object, shown: str, place: str, limits: Limits) -> PageSpace:
    """Return the art space of a page.

    A viewer shows CropBox ∩ MediaBox (ISO 32000-1, 14.11.2). That is the art, with one exception: a page that states a
    TrimBox is placed by it, and its bleed may lie beyond the CropBox. There the art is widened to the stated BleedBox,
    or to the MediaBox where none is stated; it is clipped to trim plus the job's bleed when it is placed.

    Args:
        page: the page's dictionary, with what it inherits from the page tree in it: the library lays it there.
        shown: the file in words, for faults.
        place: the page in words, for faults.
        limits: the sides a page may have.

    Raises:
        ImposerError: the page states no usable size.
    """
    media = _box(page.get("/MediaBox"))
    if media is None or media.width < _NOTHING or media.height < _NOTHING:
        raise ImposerError(no_size(shown, place))
    crop = _common(_box(page.get("/CropBox")), media)
    visible = crop or media
    trim = _common(_box(page.get("/TrimBox")), media)
    bleed = _common(_box(page.get("/BleedBox")), media) or media
    space = PageSpace(
        box=visible if trim is None else _around(visible, bleed),
        visible=visible,
        turn=_turn(page.get("/Rotate")),
        unit=_unit(page.get("/UserUnit")),
        trim=trim,
        plain=crop is not None or "/CropBox" not in page,
    )
    _check_sides(space, shown, place, limits)
    return space


def no_size(shown: str, place: str) -> Fault:
    """Return the fault of a page that has no size."""
    return Fault(file=shown, place=place, problem="states no page size (MediaBox)", mend="export it again")


def _box(value: object) -> Box | None:
    """Return a rectangle with its corners in order; None if it is none."""
    if not isinstance(value, pikepdf.Array) or len(value) != 4:
        return None
    corners = [number_of(one) for one in value.as_list()]
    if None in corners:
        return None
    x0, y0, x1, y1 = (one for one in corners if one is not None)
    return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _common(box: Box | None, media: Box) -> Box | None:
    """Return the part of `box` on the medium; None if that is nothing worth the name."""
    if box is None:
        return None
    x0, y0, x1, y1 = max(box.x0, media.x0), max(box.y0, media.y0), min(box.x1, media.x1), min(box.y1, media.y1)
    return Box(x0, y0, x1, y1) if x1 - x0 >= _NOTHING and y1 - y0 >= _NOTHING else None


def _around(a: Box, b: Box) -> Box:
    return Box(min(a.x0, b.x0), min(a.y0, b.y0), max(a.x1, b.x1), max(a.y1, b.y1))


def _turn(value: object) -> Turn:
    """Return `/Rotate` (clockwise, any multiple of 90, ISO 32000-1, Table 30) as a counter-clockwise turn.

    What is no multiple of 90 is cut down to one, as viewers do.
    """
    turns: tuple[Turn, ...] = (0, 270, 180, 90)
    return turns[int((number_of(value) or 0) / 90) % 4]


def _unit(value: object) -> float:
    """Return `/UserUnit`, 1 if it is missing or makes no sense."""
    unit = number_of(value)
    return unit if unit is not None and unit > 0 else 1.0


def _check_sides(space: PageSpace, shown: str, place: str, limits: Limits) -> None:
    for side in (space.box.width, space.box.height):
        if not limits.page_side_least <= side <= limits.page_side_most or side * space.unit > limits.page_side_most:
            allowed = f"{limits.page_side_least:g} to {limits.page_side_most:g} pt"
            problem = f"is {side * space.unit:g} pt on one side; a page has {allowed}"
            raise ImposerError(Fault(file=shown, place=place, problem=problem, mend="export it at its printed size"))
